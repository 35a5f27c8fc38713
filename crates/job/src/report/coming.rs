//! From the radii that come to the summary.

use crate::judge::line_to_draw;
use crate::run::Worked;
use crate::stages::coming::{Came, ComingBend, from_words};
use crate::summary::*;

fn two(pair: [f64; 2]) -> [Num; 2] {
    pair.map(Num)
}

pub(super) fn true_radius(worked: &Worked) -> Option<TrueRadius> {
    let coming = worked.coming.as_ref()?;
    let again = match &coming.came {
        Came::Developed(again) => Some(again),
        Came::Unsettled | Came::NoBlank(_) => None,
    };
    let row = |bend: &ComingBend| {
        let change = again.and_then(|again| again.bends.get(bend.bend));
        TrueBendRow {
            bend: worked
                .part
                .bends
                .get(bend.bend)
                .map_or_else(String::new, |bend| bend.name.clone()),
            tool: bend.tool.clone(),
            drawn_mm: Num(bend.drawn_mm),
            comes_mm: Num(bend.comes_mm),
            from: from_words(&bend.from),
            k: Num(bend.neutral.share),
            k_from: bend.neutral.from.clone(),
            strip_mm: change.map(|change| two(change.strip_mm)),
            deduction_mm: change.map(|change| two(change.deduction_mm)),
            draw: line_to_draw(bend),
        }
    };
    let legs = again.into_iter().flat_map(|again| &again.legs).flat_map(|leg| {
        leg.reaches.iter().map(|reach| LegRow {
            leg: leg.panel.clone(),
            bend: reach.bend.clone(),
            reach_mm: two(reach.mm),
        })
    });
    Some(TrueRadius {
        used: again.is_some(),
        why_not: match &coming.came {
            Came::Developed(_) => None,
            Came::Unsettled => Some("tools and radii do not settle".into()),
            Came::NoBlank(error) => Some(error.to_string()),
        },
        most_mm: again.map(|again| Num(again.most_mm)),
        bends: coming.bends.iter().map(row).collect(),
        legs: legs.collect(),
        blank_mm: again.map(|again| again.sizes_mm.map(two)),
    })
}
