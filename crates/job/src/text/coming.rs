//! The inside radius that really comes, leg by leg, in words.

use super::bending::alike;
use super::{line, wrapped};
use crate::summary::TrueRadius;

/// What comes otherwise than drawn, and what it changes.
pub(super) fn coming(out: &mut String, coming: &TrueRadius) {
    let both = units::both;
    let said = coming.bends.iter().map(|bend| {
        let by = bend.deduction_mm.map_or(String::new(), |[before, after]| {
            let longer_mm = before.0 - after.0;
            format!(
                "; over this bend the blank is {:.2} mm {}",
                longer_mm.abs(),
                if longer_mm >= 0.0 { "longer" } else { "shorter" }
            )
        });
        let words = if bend.comes_mm == bend.drawn_mm {
            format!(
                "the radius comes as drawn, {}; K {:.3} by {}{by}",
                both(bend.drawn_mm.0),
                bend.k.0,
                bend.k_from
            )
        } else {
            format!(
                "drawn {}, comes {} with {} ({}); K {:.3} by {}{by}",
                both(bend.drawn_mm.0),
                both(bend.comes_mm.0),
                bend.tool,
                bend.from,
                bend.k.0,
                bend.k_from
            )
        };
        (bend.bend.as_str(), words)
    });
    for (bends, words) in alike(said) {
        let words = format!("{}: {words}", bends.join(", "));
        wrapped(out, "  radius  ", "          ", &words);
    }
    if let Some(why) = &coming.why_not {
        wrapped(
            out,
            "          ",
            "          ",
            &format!("the blank is as drawn, since {why}"),
        );
        return;
    }
    if !coming.legs.is_empty() {
        line(
            out,
            "          leg by leg on the blank, from the middle of the bend to the far edge or to the middle of the next:",
        );
    }
    for leg in &coming.legs {
        let [before, after] = leg.reach_mm.map(|reach| reach.0);
        line(
            out,
            &format!(
                "            {:<14} at {:<10} {:>7.2} mm as drawn, {:>7.2} mm as it comes ({:+.2})",
                leg.leg,
                leg.bend,
                before,
                after,
                after - before + 0.0
            ),
        );
    }
    if let Some([before, after]) = &coming.blank_mm {
        line(
            out,
            &format!(
                "            the blank is {:.1} by {:.1} mm, and would be {:.1} by {:.1} mm as drawn",
                after[0].0, after[1].0, before[0].0, before[1].0
            ),
        );
    }
    let draw: Vec<String> = coming
        .bends
        .iter()
        .filter(|bend| bend.comes_mm != bend.drawn_mm)
        .map(|bend| format!("{} under [bends.{}]", bend.draw, bend.bend))
        .collect();
    if !draw.is_empty() {
        wrapped(
            out,
            "          ",
            "          ",
            &format!("to draw it as it comes, in design.toml: {}", draw.join("; ")),
        );
    }
}
