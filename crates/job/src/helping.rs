//! What would help: changes made to the card by rule, ranked by what the proof found, the best solved in full, and each
//! asked whether it still fits, cuts and bends.

use plane::Point;
use prove::Options;
use prove::helps::{Change, Changed, Effort, Help, Shelf, Stands, Still, Stock, WindowTo, what_helps};
use serde::Serialize;
use sheet::{Part, Way};

use crate::finding::Answer;
use crate::judge;
use crate::run::{FACET_MM, Outcome, Worked};
use crate::stages::{carrying, setting, standing};
use crate::summary::Num;

/// Rounding of a window's corner that is moved, mm; common practice, no source.
const WINDOW_CORNER_MM: f64 = 6.0;
/// Thicknesses nearer than this are one plate of the list.
const SAME_PLATE_MM: f64 = 1e-6;

/// What would help a part.
#[derive(Debug, Clone, Serialize)]
pub struct Helps {
    /// Its mass as it is, with all its plate.
    pub mass_kg: Num,
    /// Share used of the limit that decides, as it is, on the mesh that the changes are compared on.
    pub used: Num,
    /// The load that the gains are told for: the one that uses most.
    pub load: String,
    /// How many changes were ranked.
    pub ranked: usize,
    /// Those solved in full: first what passes, the lightest first; then by what is gained per gram.
    pub changes: Vec<HelpRow>,
}

/// A change, solved.
#[derive(Debug, Clone, Serialize)]
pub struct HelpRow {
    /// What is done, in words.
    pub change: String,
    /// It holds within every limit, and nothing speaks against fit, cut and bend.
    pub passes: bool,
    /// Share used of the limit that decides.
    pub used: Num,
    /// Less movement of the support, as a share.
    pub stiffer: Num,
    /// Less turn by bending.
    pub less_bending: Num,
    /// Less turn by twist.
    pub less_twist: Num,
    /// Less stress.
    pub stronger: Num,
    /// Added mass, g.
    pub grams: Num,
    /// Added length of cut, mm.
    pub cut_mm: Num,
    /// Added bends.
    pub bends: usize,
    /// Length of weld, mm.
    pub weld_mm: Num,
    /// Separate plates to cut.
    pub plates: usize,
    /// Does it still fit?
    pub fits: &'static str,
    /// Can it still be cut?
    pub cuts: &'static str,
    /// Can it still be bent?
    pub bends_still: &'static str,
}

/// What would help; none when the proof was not asked or the part could not be solved.
pub fn helps(outcome: &Outcome) -> Option<Helps> {
    let worked = &outcome.worked;
    let bracket = carrying::bracket(worked)?;
    let shelf = shelf(worked);
    // Each change is judged on a copy of the run; the proof itself is not needed there.
    let base = Worked {
        held: None,
        ..worked.clone()
    };
    let judge = |changed: &Changed| still(&base, changed);
    let found = what_helps(
        &bracket,
        &worked.mockup,
        &shelf,
        &Options::default(),
        Effort::default(),
        &judge,
    )
    .ok()?;
    let worst = (0..found.before.cases.len()).max_by(|&a, &b| {
        let used = |case: usize| {
            let case = &found.before.cases[case];
            case.stress_used.max(case.moves_used)
        };
        used(a).total_cmp(&used(b))
    })?;
    let rows = found
        .solved
        .iter()
        .map(|help| row(&worked.part, &shelf, help, worst));
    Some(Helps {
        mass_kg: Num(found.mass_g / 1e3),
        used: Num(found.before.used),
        load: found.before.cases[worst].name.clone(),
        ranked: found.ranked,
        changes: rows.collect(),
    })
}

/// The plates of this metal that the shop has, the part's own among them.
fn shelf(worked: &Worked) -> Shelf {
    let book = &worked.book;
    let shop = worked.files.shop.as_ref();
    let metal = &worked.setting.metal;
    let own_mm = worked.part.thickness_mm;
    let kept = shop.map_or(&[][..], |shop| &shop.stock).iter();
    let mut thick_mm: Vec<f64> = kept
        .filter(|sheet| {
            book.metal(&sheet.stock.metal)
                .is_ok_and(|found| found.name == *metal)
        })
        .filter_map(|sheet| setting::nominal_mm(book, &sheet.stock).ok())
        // A sheet that was measured is the part's own when it is of that stock.
        .filter(|mm| {
            worked
                .setting
                .measured
                .then_some(own_mm)
                .is_none_or(|_| !setting::same_stock(book, &worked.files.design.plate.stock, metal, *mm))
        })
        .collect();
    thick_mm.push(own_mm);
    thick_mm.sort_by(f64::total_cmp);
    thick_mm.dedup_by(|a, b| (*a - *b).abs() < SAME_PLATE_MM);
    let plate = |mm: f64| -> Option<Stock> {
        let drawn = worked
            .part
            .bends
            .first()
            .filter(|_| (mm - own_mm).abs() < SAME_PLATE_MM);
        let radius_mm = match (drawn, book.least_radius_mm(metal, mm)) {
            (Some(bend), _) => bend.radius_mm,
            (None, Ok(least)) => least.value,
            (None, Err(_)) => return None,
        };
        let k = setting::neutral(book, shop, &worked.scope, metal, mm, radius_mm).ok()?;
        let die_mm = book.vdie_opening_mm(mm).ok()?.value;
        Some(Stock {
            name: format!("{metal} {}", units::both(mm)),
            thickness_mm: mm,
            radius_mm,
            neutral_share: k.0,
            least_leg_mm: book.least_leg_mm(die_mm).value,
        })
    };
    Shelf {
        plates: thick_mm.into_iter().filter_map(plate).collect(),
        window_corner_mm: WINDOW_CORNER_MM,
        free_mounts: Vec::new(),
    }
}

/// Does a changed part still fit, cut and bend? The run's own rules answer, on the changed plate.
fn still(base: &Worked, changed: &Changed) -> Still {
    let not = Still {
        fits: Stands::No,
        cuts: Stands::NotChecked,
        bends: Stands::NotChecked,
    };
    let Some(equipment) = &base.equipment else {
        return not;
    };
    let Ok(mesh) = draw::mesh(&changed.part, FACET_MM) else {
        return not;
    };
    let Ok(stands) = standing::stand(equipment, &changed.part, &base.files.design, &mesh) else {
        return not;
    };
    let mut worked = base.clone();
    worked.setting.thickness_mm = changed.part.thickness_mm;
    worked.mockup = changed.mockup.clone();
    worked.part = changed.part.clone();
    worked.mesh = mesh;
    worked.standing = Some(stands);
    let findings = judge::findings(&worked);
    let verdicts = judge::verdicts(&worked, &findings);
    let stands = |answer: Answer| match answer {
        Answer::Yes => Stands::Yes,
        Answer::Care => Stands::Care,
        Answer::No => Stands::No,
        Answer::NotChecked => Stands::NotChecked,
    };
    let stops = |question| {
        findings
            .iter()
            .any(|finding| finding.question == question && finding.level == crate::Level::Stop)
    };
    Still {
        fits: stands(verdicts.fit.answer),
        cuts: stands(verdicts.cut.answer),
        // The bend plan is still to come; a leg that is too short speaks against it all the same.
        bends: if stops(crate::Question::Bend) {
            Stands::No
        } else {
            stands(verdicts.bend.answer)
        },
    }
}

fn word(stands: Stands) -> &'static str {
    match stands {
        Stands::Yes => "yes",
        Stands::Care => "care",
        Stands::No => "no",
        Stands::NotChecked => "not checked",
    }
}

fn row(part: &Part, shelf: &Shelf, help: &Help, worst: usize) -> HelpRow {
    let gained = help.gained.get(worst);
    let of = |share: fn(&prove::helps::Gained) -> f64| Num(gained.map_or(0.0, share));
    let costs = help.costs();
    HelpRow {
        change: change_words(part, shelf, &help.change),
        passes: help.passes(),
        used: Num(help.held.used),
        stiffer: of(|gained| gained.stiffness),
        less_bending: of(|gained| gained.bending),
        less_twist: of(|gained| gained.twist),
        stronger: of(|gained| gained.strength),
        grams: Num(costs.grams),
        cut_mm: Num(costs.cut_mm),
        bends: costs.bends,
        weld_mm: Num(costs.weld_mm),
        plates: costs.plates,
        fits: word(help.still.fits),
        cuts: word(help.still.cuts),
        bends_still: word(help.still.bends),
    }
}

/// "a lip of 20 mm, up, along the edge of "side" from -34, 40 to 48, -24 mm on the card".
fn change_words(part: &Part, shelf: &Shelf, change: &Change) -> String {
    let way = |way: Way| match way {
        Way::Up => "up",
        Way::Down => "down",
    };
    let along = |edge: [Point; 2]| {
        let middle = nalgebra::center(&edge[0], &edge[1]);
        let nearest = part.panels.iter().min_by(|a, b| {
            let off = |panel: &sheet::Panel| panel.as_marked.distance_to(middle).0;
            off(a).total_cmp(&off(b))
        });
        let name = nearest.map_or("", |panel| panel.name.as_str());
        format!(
            "\"{name}\" from {:.0}, {:.0} to {:.0}, {:.0} mm on the card",
            edge[0].x, edge[0].y, edge[1].x, edge[1].y
        )
    };
    let opening = |index: usize| {
        part.openings
            .get(index)
            .map_or("", |opening| opening.name.as_str())
    };
    match change {
        Change::Stock(plate) => {
            let name = shelf.plates.get(*plate).map_or("", |stock| stock.name.as_str());
            format!("other plate: {name}")
        }
        Change::Lip(lip) => format!(
            "a lip of {:.0} mm bent {} along the edge of {}",
            lip.leg_mm,
            way(lip.way),
            along(lip.edge)
        ),
        Change::Channel([one, other]) => format!(
            "two lips of {:.0} mm bent {}, along the edges of {}, and facing it, of {}",
            one.leg_mm,
            way(one.way),
            along(one.edge),
            along(other.edge)
        ),
        Change::Closed([one, other]) => format!(
            "two lips of {:.0} mm bent {}, closed by a flat strip welded between them, along the edges of {}, and facing it, \
             of {}",
            one.leg_mm,
            way(one.way),
            along(one.edge),
            along(other.edge)
        ),
        Change::Wider { edge, by_mm } => format!("{by_mm:.0} mm wider at the edge of {}", along(*edge)),
        Change::Window { opening: window, to } => match to {
            WindowTo::Gone => format!("the window {} not cut", opening(*window)),
            WindowTo::Smaller(by_mm) => format!(
                "the window {} smaller by {by_mm:.0} mm all round",
                opening(*window)
            ),
            WindowTo::Larger(by_mm) => format!(
                "the window {} larger by {by_mm:.0} mm all round",
                opening(*window)
            ),
        },
        Change::Bar(bar) => format!(
            "a flat bar on edge, {:.0} mm high, welded to the {} face of {}",
            bar.height_mm,
            match bar.way {
                Way::Up => "marked",
                Way::Down => "far",
            },
            along(bar.line)
        ),
        Change::Gussets(gussets) => {
            let bend = part.bends.get(gussets.bend).map_or("", |bend| bend.name.as_str());
            let many = if gussets.at.len() == 1 {
                "a gusset plate".to_owned()
            } else {
                format!("{} gusset plates", gussets.at.len())
            };
            format!(
                "{many} welded into the inside of bend {bend}, legs {:.0} and {:.0} mm",
                gussets.legs_mm[0], gussets.legs_mm[1]
            )
        }
        Change::Bolt { opening: hole, by } => {
            format!(
                "the bolt of {} moved by {:.0}, {:.0} mm on the card",
                opening(*hole),
                by.x,
                by.y
            )
        }
        Change::Mount(_) => "one more mount of the equipment used".to_owned(),
        Change::Together(all) => {
            let each: Vec<String> = all.iter().map(|one| change_words(part, shelf, one)).collect();
            each.join("; and ")
        }
    }
}
