//! What would help: changes made to the card by rule, ranked by what the proof found, the best solved in full, and each
//! asked whether it still fits, cuts and bends.

mod acts;
mod words;

use prove::Options;
use prove::helps::{Changed, Effort, Help, Shelf, Stands, Still, Stock, what_helps_while};
use serde::Serialize;

use crate::finding::Answer;
use crate::judge;
use crate::revise::Act;
use crate::run::{FACET_MM, Held, Outcome, Worked};
use crate::stages::strips::{self, Like};
use crate::stages::{carrying, setting, standing};
use crate::stop::Stop;
use crate::summary::Num;

use words::{change_words, no_mount, weld_words, word};

/// Rounding of a window's corner that is moved, mm; common practice, no source.
const WINDOW_CORNER_MM: f64 = 6.0;
/// Thicknesses nearer than this are one plate of the list.
const SAME_PLATE_MM: f64 = 1e-6;

/// Of a change that nobody waits for any more.
const NOT_ASKED: Still = Still {
    fits: Stands::NotChecked,
    cuts: Stands::NotChecked,
    bends: Stands::NotChecked,
};

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
    /// Mounts of the fit that the part does not use and cannot.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub not_possible: Vec<NotPossible>,
}

/// A change that was asked for and cannot be made.
#[derive(Debug, Clone, Serialize)]
pub struct NotPossible {
    /// What it would have been, in words.
    pub change: String,
    /// Why it cannot be made.
    pub why: String,
    /// What would make it possible.
    pub fix: String,
}

/// A change, solved.
#[derive(Debug, Clone, Serialize)]
pub struct HelpRow {
    /// What is done, in words.
    pub change: String,
    /// It holds within every limit, and nothing speaks against fit, cut and bend.
    pub passes: bool,
    /// Share used of the limit that decides, on the mesh that all are compared on.
    pub used: Num,
    /// The same with the mesh refined as for the part itself; only asked of what passes on the other.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub refined_used: Option<Num>,
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
    /// What is welded on, and whether it holds; absent when nothing is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub weld: Option<WeldRow>,
    /// Does it still fit?
    pub fits: &'static str,
    /// Can it still be cut?
    pub cuts: &'static str,
    /// Can it still be bent?
    pub bends_still: &'static str,
    /// The change as acts on design.toml; absent when the file has no words for it and it is drawn by hand.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub acts: Option<Vec<Act>>,
}

/// The welds of what is added: the one that is nearest to breaking.
#[derive(Debug, Clone, Serialize)]
pub struct WeldRow {
    /// Leg of the fillets; absent when nothing is known of welds of this metal.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub leg_mm: Option<Num>,
    /// The load under which it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub load: Option<String>,
    /// Force through a mm of it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub line_n_mm: Option<Num>,
    /// Stress in the throat.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub throat_mpa: Option<Num>,
    /// Times the load that breaks it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub breaks_at: Option<Num>,
    /// Share used of what is asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub used: Option<Num>,
    /// The same in words.
    pub says: String,
}

/// What would help; none when the proof was not asked or the part could not be solved.
pub fn helps(outcome: &Outcome) -> Option<Helps> {
    helps_until(outcome, &Stop::default())
}

/// As [`helps`], until it is stopped; none too once it is.
pub fn helps_until(outcome: &Outcome, stop: &Stop) -> Option<Helps> {
    let worked = &outcome.worked;
    let bracket = carrying::bracket(worked)?;
    let shelf = shelf(worked);
    // Each change is judged on a copy of the run; the proof itself is not needed there.
    let base = Worked {
        held: Held::NotAsked,
        ..worked.clone()
    };
    let judge = |changed: &Changed| {
        if stop.is_stopped() {
            NOT_ASKED
        } else {
            still(&base, changed)
        }
    };
    let found = what_helps_while(
        &bracket,
        &worked.mockup,
        &shelf,
        &Options::default(),
        Effort::default(),
        &judge,
        stop.flag(),
    )
    .ok()?;
    let worst = (0..found.before.cases.len()).max_by(|&a, &b| {
        let used = |case: usize| {
            let case = &found.before.cases[case];
            case.stress_used.max(case.moves_used)
        };
        used(a).total_cmp(&used(b))
    })?;
    let rows = found.solved.iter().map(|help| row(outcome, &shelf, help, worst));
    let not_possible = found
        .dropped
        .iter()
        .filter_map(|dropped| no_mount(&shelf, dropped));
    Some(Helps {
        mass_kg: Num(found.mass_g / 1e3),
        used: Num(found.before.used),
        load: found.before.cases[worst].name.clone(),
        ranked: found.ranked,
        changes: rows.collect(),
        not_possible: not_possible.collect(),
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
        let strips = strips::of_stock(book, shop, &worked.scope, metal, mm).ok()?;
        let like = Like {
            thickness_mm: mm,
            radius_mm,
            tool: None,
            grain: None,
        };
        let k = setting::neutral(book, shop, &worked.scope, metal, &strips, like).ok()?;
        let die_mm = book.vdie_opening_mm(mm).ok()?.value;
        Some(Stock {
            name: format!("{metal} {}", units::both(mm)),
            thickness_mm: mm,
            radius_mm,
            neutral_share: k.share,
            least_leg_mm: book.least_leg_mm(die_mm).value,
            welding: carrying::welding(worked, mm),
        })
    };
    Shelf {
        plates: thick_mm.into_iter().filter_map(plate).collect(),
        window_corner_mm: WINDOW_CORNER_MM,
        free_mounts: carrying::free_mounts(worked),
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

fn row(outcome: &Outcome, shelf: &Shelf, help: &Help, worst: usize) -> HelpRow {
    let part = &outcome.worked.part;
    let gained = help.gained.get(worst);
    let of = |share: fn(&prove::helps::Gained) -> f64| Num(gained.map_or(0.0, share));
    let costs = help.costs();
    HelpRow {
        change: change_words(part, shelf, &help.changed, &help.change),
        passes: help.passes(),
        used: Num(help.held.used),
        refined_used: help.refined.as_ref().map(|held| Num(held.used)),
        stiffer: of(|gained| gained.stiffness),
        less_bending: of(|gained| gained.bending),
        less_twist: of(|gained| gained.twist),
        stronger: of(|gained| gained.strength),
        grams: Num(costs.grams),
        cut_mm: Num(costs.cut_mm),
        bends: costs.bends,
        weld_mm: Num(costs.weld_mm),
        plates: costs.plates,
        weld: weld_row(help),
        fits: word(help.still.fits),
        cuts: word(help.still.cuts),
        bends_still: word(help.still.bends),
        acts: acts::acts(outcome, shelf, &help.changed, &help.change),
    }
}

/// The welds of what is added, from the same solution that `passes` is told from.
fn weld_row(help: &Help) -> Option<WeldRow> {
    let held = help.finest();
    let says = weld_words(held, &help.changed)?;
    let tightest = held.tightest_weld();
    Some(WeldRow {
        leg_mm: tightest.map(|(_, weld)| Num(weld.leg_mm)),
        load: tightest.map(|(load, _)| load.to_owned()),
        line_n_mm: tightest.map(|(_, weld)| Num(weld.line_n_mm)),
        throat_mpa: tightest.map(|(_, weld)| Num(weld.throat.mises_mpa())),
        breaks_at: tightest.map(|(_, weld)| Num(weld.breaks_at)),
        used: tightest.map(|(_, weld)| Num(weld.used)),
        says,
    })
}
