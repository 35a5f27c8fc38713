//! How it is bent, in words.

use super::{line, wrapped};
use crate::summary::{Bend, Summary};

/// How it is bent, in full.
pub(super) fn bend(out: &mut String, summary: &Summary) {
    let Some(bend) = &summary.bend else { return };
    line(out, "How it is bent");
    if !bend.tools_said {
        wrapped(
            out,
            "  tools   ",
            "          ",
            "a small brake, folder or vice of common shapes; say tools = \"starter\" under [bender] if yours are like them, or write your own",
        );
    } else if bend.tools != "starter" {
        let whose = if bend.tools == "own" {
            "this shop's own"
        } else {
            "this shop's own, and those of common shapes"
        };
        wrapped(out, "  tools   ", "          ", whose);
    }
    for step in &bend.order {
        let mut before = Vec::new();
        if step.change {
            before.push("put up the tools".to_owned());
        }
        if step.flip {
            before.push("turn it over".into());
        }
        if step.turn {
            before.push("turn it round".into());
        }
        let before = if before.is_empty() {
            String::new()
        } else {
            format!("{}; ", before.join(", "))
        };
        let loaded = if step.springs_known {
            format!("{:.1} under load", step.loaded_deg.0)
        } else {
            "how far it springs back is not known".into()
        };
        let force = step
            .force_n
            .map_or(String::new(), |force| format!(", {}", units::force(force.0)));
        wrapped(
            out,
            &format!("    {:>3}   ", step.number),
            "          ",
            &format!(
                "{before}{}: {:.1} deg bent through ({:.1} between the legs), {loaded}; {}, {:.0} mm of it{force}",
                step.bend, step.bent_deg.0, step.between_legs_deg.0, step.tool, step.tool_mm.0
            ),
        );
        let mut stop = [
            format!("{} from the middle", units::both(step.gauge_to_middle_mm.0)),
            format!("{} from the tangent", units::both(step.gauge_to_tangent_mm.0)),
        ];
        if step.gauge_to == "tangent" {
            stop.reverse();
        }
        // As on the card, and then the other.
        let [first, second] = stop;
        wrapped(
            out,
            "          ",
            "          ",
            &format!(
                "{} up, \"{}\" to the back; gauge {first} ({second}), {}",
                step.face_up, step.back, step.gauge
            ),
        );
        if let (Some(mm), Some(nearest)) = (step.clearance_mm, &step.nearest) {
            wrapped(
                out,
                "          ",
                "          ",
                &format!("nearest: {nearest}, {:.1} mm", mm.0),
            );
        }
        wrapped(
            out,
            "          ",
            "          ",
            &format!(
                "free hand: {}; it reaches {:.0} mm to the front and {:.0} mm to the back",
                step.hand, step.front_mm.0, step.back_mm.0
            ),
        );
        for needs in &step.needs {
            wrapped(out, "          needs ", "            ", needs);
        }
    }
    for (bends, says) in alike(
        bend.asks
            .iter()
            .map(|asks| (asks.bend.as_str(), asks.says.clone())),
    ) {
        let asks = if bends.len() == 1 { "asks" } else { "each ask" };
        wrapped(
            out,
            &format!("  {:<8}", bends.join(", ")),
            "          ",
            &format!("{asks} for: {says}"),
        );
    }
    stuck(out, bend);
    if let Some(radius) = &bend.true_radius {
        super::coming::coming(out, radius);
    }
    by_hand(out, bend);
    if !bend.order.is_empty() {
        wrapped(
            out,
            "  care    ",
            "          ",
            "Hands stay out from between the tools. Guards and two-hand controls stay as they are; where one hand cannot work them, \
             another person bends, or a shop does.",
        );
    }
    out.push('\n');
}

/// What is said of each bend, once for all that it is said of.
pub(super) fn alike<'a>(said: impl Iterator<Item = (&'a str, String)>) -> Vec<(Vec<&'a str>, String)> {
    let mut told: Vec<(Vec<&str>, String)> = Vec::new();
    for (bend, says) in said {
        match told.iter_mut().find(|(_, known)| *known == says) {
            Some((bends, _)) => bends.push(bend),
            None => told.push((vec![bend], says)),
        }
    }
    told
}

fn by_hand(out: &mut String, bend: &Bend) {
    let said = bend
        .by_hand
        .iter()
        .map(|hand| (hand.bend.as_str(), hand.says.join("\n")));
    for (bends, says) in alike(said) {
        let mut first = true;
        for says in says.lines() {
            let head = if first {
                format!("  by hand   {}: ", bends.join(", "))
            } else {
                "            ".to_owned()
            };
            wrapped(out, &head, "            ", says);
            first = false;
        }
    }
}

fn stuck(out: &mut String, bend: &Bend) {
    if let Some(in_itself) = &bend.in_itself {
        wrapped(out, "  drawn   ", "          ", in_itself);
    }
    for blocked in &bend.blocked {
        wrapped(out, "  stuck   ", "          ", &blocked.says);
    }
    for change in &bend.would_do {
        wrapped(out, "  would do: ", "            ", change);
    }
    if let Some(not_tried) = &bend.not_tried {
        wrapped(out, "            ", "            ", not_tried);
    }
}
