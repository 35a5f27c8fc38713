//! From what each bend asks for to the summary.

use brake::needs::{BendNeeds, Grain};
use brake::order::Step;
use brake::tooling::Means;
use plane::Vector;

use crate::judge::bend_words::asks_words;
use crate::run::Worked;
use crate::stages::bending::{Bending, Found, grain_on_blank};
use crate::summary::{BendAsks, BendCrack, Num};

/// What each bend asks for with the tools of its step.
pub(super) fn asks(worked: &Worked, bending: &Bending) -> Vec<BendAsks> {
    let Found::Order(plan) = &bending.found else {
        return Vec::new();
    };
    let grain = grain_on_blank(worked);
    let steps = plan.steps.iter().filter(|step| step.means != Means::Away);
    steps
        .flat_map(|step| {
            step.lines
                .iter()
                .map(move |line| bend_asks(bending, step, *line, grain))
        })
        .collect()
}

fn bend_asks(bending: &Bending, step: &Step, line: usize, grain: Option<Vector>) -> BendAsks {
    let work = &bending.work;
    let asked = bending.asks(step, line, grain);
    let opening_mm = match step.means {
        Means::Press { die, .. } => bending.tooling.dies.get(die).map(|die| die.opening_mm),
        _ => None,
    };
    let BendNeeds {
        comes,
        force,
        force_used,
        spring,
        crack,
        least_leg_mm,
        ..
    } = &asked;
    let metal_mm: f64 = work.lines[line].spans_mm.iter().map(|[from, to]| to - from).sum();
    BendAsks {
        bend: work.lines[line].name.clone(),
        opening_mm: opening_mm.map(Num),
        least_leg_mm: least_leg_mm.map(Num),
        radius_mm: Num(work.lines[line].radius_mm),
        comes_mm: comes.map(|comes| Num(comes.radius_mm)),
        force_n: force
            .as_ref()
            .map(|force| force.n_per_mm.map(|n_per_mm| Num(n_per_mm * metal_mm))),
        force_used: force_used.map(Num),
        springs_deg: spring.map(|spring| Num(spring.opens_rad.to_degrees())),
        crack: BendCrack {
            radius_mm: Num(crack.radius_mm),
            least_mm: crack.least_mm.as_ref().map(|least| Num(least.value)),
            grain: match crack.grain {
                Grain::Across => "across",
                Grain::Slanting => "slanting",
                Grain::Along => "along",
                Grain::Unknown => "unknown",
            },
            likely: crack.is_likely(),
        },
        says: asks_words(work.thickness_mm, opening_mm, &asked),
    }
}
