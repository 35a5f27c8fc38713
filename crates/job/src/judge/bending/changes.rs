//! Changes that would let a part be bent, in sentences.

use brake::tooling::Tooling;
use brake::why_not::{Change, NOTCH_CLEAR_MM, NOTCH_ROUND_MM, Repair};
use units::{both, deg};

use crate::stages::bending::Bending;

/// That not all changes were tried, in a sentence; none where all were.
pub(crate) fn left_out_words(left_out: usize) -> Option<String> {
    (left_out > 0).then(|| {
        let (changes, were) = if left_out == 1 {
            ("change", "was")
        } else {
            ("changes", "were")
        };
        format!(
            "with so many bends {left_out} {changes} {were} not tried, or not to the least: others may do too, and smaller ones"
        )
    })
}

/// "b1", "b1 and b2", "b1, b2 and b3".
pub(super) fn and(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// A share of a panel as a percentage, so small a one as less than one.
pub(super) fn share_words(share: f64) -> String {
    if share < 0.01 {
        "less than 1 %".into()
    } else {
        format!("{:.0} %", 100.0 * share)
    }
}

/// Folding in a vice that the shop does not list: what bars for it are like, as no shop sells them.
pub(super) fn vice_words(name: &str) -> String {
    let bars = Tooling::fold_bars();
    if bars.name != name {
        return format!("fold it in a vice: {name}");
    }
    let (low, high) = bars.inner.bounds();
    format!(
        "fold it by hand between {name}: two flat bars of {:.0} by {:.0} mm, {:.0} mm long, bolted together past both ends of the \
         plate, one of them held in the vice",
        high.x - low.x,
        high.y - low.y,
        bars.jaws.longest_mm()
    )
}

/// A change that gives an order, in a sentence.
pub(crate) fn repair_words(bending: &Bending, repair: &Repair) -> String {
    let line = |line: usize| bending.work.lines[line].name.clone();
    let panel = |panel: usize| bending.work.panels[panel].clone();
    match &repair.change {
        Change::TwoSteps {
            line: of,
            first_to_rad,
        } => {
            format!(
                "bend {} to {} first, and finish it later",
                line(*of),
                deg(*first_to_rad)
            )
        }
        Change::Punch { name } => format!("use a {name}"),
        Change::Die { name } => format!("use a {name}"),
        Change::Taper {
            line: of,
            panel: leg,
            lean_rad,
        } => format!(
            "taper \"{}\" at {} by {} on both sides",
            panel(*leg),
            line(*of),
            deg(*lean_rad)
        ),
        Change::Notch {
            notch,
            takes_mm2,
            takes_share,
        } => {
            let notch = notch.over_panel(&bending.work);
            let [wide_mm, deep_mm] = notch.size_mm();
            let [one, _, other, _] = notch.corners(&bending.work);
            format!(
                "cut a notch of {} by {} out of the edge of \"{}\", over ({:.1}, {:.1}) to ({:.1}, {:.1}) mm on the blank, {} \
                 clear all round of what it meets; it takes {:.0} mm2, {} of the panel, and what is left beside it is weaker: \
                 round its inner corners with a radius of {} or a little more",
                both(wide_mm),
                both(deep_mm),
                panel(notch.panel),
                one.x,
                one.y,
                other.x,
                other.y,
                both(NOTCH_CLEAR_MM),
                takes_mm2,
                share_words(*takes_share),
                both(NOTCH_ROUND_MM),
            )
        }
        Change::Leg {
            line: of,
            panel: leg,
            by_mm,
        } => format!(
            "make \"{}\" at {} {} {}",
            panel(*leg),
            line(*of),
            both(by_mm.abs()),
            if *by_mm > 0.0 { "longer" } else { "shorter" }
        ),
        Change::Vice { name } => vice_words(name),
        Change::Folder { name } => format!("fold it in a folder: {name}"),
        Change::Radius { line: of, radius_mm } => {
            format!("draw {} with an inside radius of {}", line(*of), both(*radius_mm))
        }
        Change::Thickness { thickness_mm } => format!("use plate of {}", both(*thickness_mm)),
        Change::Seam { line: of } => format!("make two parts of it, welded where {} was", line(*of)),
        Change::SeamAcross {
            line: of,
            panel: across,
            at_mm,
        } => format!(
            "make two parts of it, welded across \"{}\" {} from the middle of {} on the blank",
            panel(*across),
            both(*at_mm),
            line(*of)
        ),
        Change::SendOut { lines } => {
            let lines: Vec<String> = lines.iter().map(|of| line(*of)).collect();
            format!("send it out once for {}", and(&lines))
        }
    }
}
