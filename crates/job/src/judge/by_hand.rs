//! Bends made by hand, in words: what a hand takes, what a saw kerf costs, and where a line must not be scribed.

use brake::by_hand::{Kerf, Kerfed, WeldedUp, hand_strength, welded_up};
use brake::order::Step;
use brake::tooling::Means;
use sheet::Way;
use units::{both, deg};

use crate::run::Worked;
use crate::stages::bending::{Bending, Found};

use super::bending::words::{means_words, step_bends};

/// What is to be said of one bend that is made by hand.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ByHand {
    /// The bend; of several made in one stroke, all.
    pub bend: String,
    /// Sentences, the first what to do.
    pub says: Vec<String>,
}

/// What there is to say of bends by hand: of each step in folder or vice, and of kerfs where they would give an order.
pub(crate) fn by_hand(worked: &Worked, bending: &Bending) -> Vec<ByHand> {
    match &bending.found {
        Found::Order(plan) => plan
            .steps
            .iter()
            .filter_map(|step| of_step(bending, step))
            .collect(),
        Found::None {
            kerfed: Some(kerfed), ..
        } => kerfed
            .kerfs
            .iter()
            .map(|(line, kerf)| ByHand {
                bend: bending.work.lines[*line].name.clone(),
                says: of_kerf(worked, bending, *line, kerf),
            })
            .collect(),
        Found::None { kerfed: None, .. } => Vec::new(),
    }
}

/// The change that kerfs are, beside other changes.
pub(crate) fn kerfed_words(bending: &Bending, kerfed: &Kerfed) -> String {
    let each = kerfed.kerfs.iter().map(|(line, kerf)| {
        format!(
            "saw a kerf {} deep and {} wide along the inside of {}",
            both(kerf.deep_mm),
            both(kerf.wide_mm),
            bending.work.lines[*line].name
        )
    });
    let each: Vec<String> = each.collect();
    let tool = kerfed
        .plan
        .steps
        .iter()
        .find(|step| {
            step.lines
                .iter()
                .any(|line| kerfed.kerfs.iter().any(|(kerfed, _)| kerfed == line))
        })
        .map_or_else(String::new, |step| means_words(bending, step.means));
    format!("{}, and close it by hand: {tool}", each.join(", "))
}

fn of_step(bending: &Bending, step: &Step) -> Option<ByHand> {
    let tool = means_words(bending, step.means);
    let how = match step.means {
        Means::Vice(_) => format!(
            "clamp it ({tool}) with the line at the jaw's edge; draw it over with a block and a hammer, a little at a \
             time along the whole bend, so that it does not bow"
        ),
        Means::Folder(_) => {
            format!("clamp it ({tool}) with the line under the nose, and swing it up in one go")
        }
        Means::Press { .. } | Means::Away => return None,
    };
    let mut says = vec![how];
    says.extend(beside_screw(bending, step));
    if let Some(strength) = hand_strength(&bending.work, &bending.tooling, step) {
        says.push(format!(
            "over this length it takes up to {}; the plate is {}",
            both(strength.most_mm),
            both(strength.thickness_mm)
        ));
    }
    if step
        .lines
        .iter()
        .any(|line| bending.work.lines[*line].way == Way::Down)
    {
        says.push(
            "the marked face is outside of the bend: draw the line with a pencil or a felt pen. One that is scribed or \
             chiselled there opens as the face is stretched, and the plate cracks along it"
                .into(),
        );
    }
    Some(ByHand {
        bend: step_bends(bending, step),
        says,
    })
}

/// That a leg goes past the screw of a vice, in a sentence; none where it does not reach so far down.
fn beside_screw(bending: &Bending, step: &Step) -> Option<String> {
    let Means::Vice(vice) = step.means else {
        return None;
    };
    let vice = bending.tooling.vices.get(vice)?;
    vice.body?;
    (step.held.back_mm > vice.deep_mm).then(|| {
        format!(
            "the clamped leg reaches down past the screw, which begins {} under the jaw's edge: clamp it to one side of the screw",
            both(vice.deep_mm)
        )
    })
}

fn of_kerf(worked: &Worked, bending: &Bending, line: usize, kerf: &Kerf) -> Vec<String> {
    let bend = &bending.work.lines[line];
    let percent = |share: f64| format!("{:.0} %", 100.0 * share);
    let face = match bend.way {
        Way::Up => "marked face",
        Way::Down => "far face",
    };
    let mut says = vec![
        format!(
            "saw or file a slot along the middle of the bend on the {face}, its whole length: {} deep and {} wide, so that \
             {} are left. Its walls meet when it is bent through {} (by geometry; that it is done so is common practice, no \
             source)",
            both(kerf.deep_mm),
            both(kerf.wide_mm),
            both(kerf.left_mm),
            deg(bend.bent_rad)
        ),
        format!(
            "across the bend that leaves {} of the plate's strength in bending (what is left squared) and {} of its \
             stiffness there (cubed), and {} in plain pull",
            percent(kerf.bending_share()),
            percent(kerf.stiffness_share()),
            percent(kerf.tension_share())
        ),
        format!(
            "it bends round {} rather than {}: on the same blank the two legs together come {} {}",
            both(kerf.deep_mm),
            both(bend.radius_mm),
            both(kerf.legs_shorter_mm.abs()),
            if kerf.legs_shorter_mm > 0.0 {
                "shorter"
            } else {
                "longer"
            }
        ),
        format!(
            "that the part does not meet itself was followed with the kerf closing; jaws and fingers were followed with the bend as \
             drawn: where they come within {} of the part, look before it is drawn over",
            both(kerf.legs_shorter_mm.abs())
        ),
    ];
    says.extend(cracks(bending, kerf));
    says.push(welded_words(worked, kerf));
    says.push(
        "no line scribed or chiselled on the outside of it: what is left is all stretched there, and a scratch opens. What it \
         carries was worked out with the whole plate, not with a kerf"
            .into(),
    );
    says
}

/// Whether what is left cracks, by the least radius of the plate, which goes with its thickness.
fn cracks(bending: &Bending, kerf: &Kerf) -> Option<String> {
    let least = bending.work.stock.as_ref()?.least_radius_mm.as_ref()?;
    let least_mm = least.value * kerf.left_mm / kerf.thickness_mm;
    /// A radius short by less is that radius.
    const SAME_MM: f64 = 1e-6;
    (kerf.deep_mm < least_mm - SAME_MM).then(|| {
        format!(
            "what is left is stretched by {:.0} % outside and likely cracks: so thin it takes a radius of {} ({})",
            100.0 * kerf.stretched_share(),
            both(least_mm),
            super::source_words(least)
        )
    })
}

fn welded_words(worked: &Worked, kerf: &Kerf) -> String {
    let shop = worked.files.shop.as_ref();
    let filler = shop
        .and_then(|shop| shop.welder.as_ref())
        .and_then(|welder| welder.filler.as_ref())
        .map(|filler| filler.value.as_str());
    let metal = &worked.setting.metal;
    let beside = match welded_up(&worked.book, metal, kerf.thickness_mm, filler) {
        WeldedUp::AsParent => {
            format!("beside the weld {metal} is as strong as before (by the handbook's heat-affected rows)")
        }
        WeldedUp::Share(share) => format!(
            "beside the weld {metal} keeps {:.0} % of its yield strength ({})",
            100.0 * share.value,
            super::source_words(&share)
        ),
        WeldedUp::NotWeldable => return format!("{metal} is not to be welded: the kerf stays as it is"),
        WeldedUp::NotKnown => {
            format!("how strong {metal} is beside the weld is not known: the handbook has no such row")
        }
    };
    format!(
        "welded along the seam where its walls meet it no longer opens; {beside}. What the corner with its hollow carries \
         then is not worked out"
    )
}
