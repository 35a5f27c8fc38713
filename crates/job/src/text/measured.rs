//! The rest of the bends around the real part, in words.

use super::{line, wrapped};
use crate::measured_bends::MeasuredBends;

/// What was understood, the bends that are left, and where the holes land.
pub fn measured_text(found: &MeasuredBends) -> String {
    let mut text = String::new();
    let out = &mut text;
    line(out, "As measured");
    for bend in &found.measured {
        let leg = match (&bend.leg, &bend.leg_mm) {
            (Some(leg), Some([drawn, is])) => format!(
                "; leg \"{leg}\" {}, where {} was to come",
                units::both(is.0),
                units::both(drawn.0)
            ),
            _ => String::new(),
        };
        wrapped(
            out,
            "  made    ",
            "          ",
            &format!(
                "{}: {:.1} deg bent through ({:.1} between the legs), drawn {:.1}{leg}",
                bend.bend, bend.bent_deg[1].0, bend.between_legs_deg[1].0, bend.bent_deg[0].0
            ),
        );
    }
    if !found.remaining.is_empty() {
        line(
            out,
            "  next    in this order; as planned, then as it should be now",
        );
    }
    for bend in &found.remaining {
        wrapped(
            out,
            &format!("    {:>3}   ", bend.number),
            "          ",
            &format!(
                "{}: {:.1} -> {:.1} deg bent through ({:.1} between the legs), under load {:.1} -> {:.1}",
                bend.bend,
                bend.bent_deg[0].0,
                bend.bent_deg[1].0,
                bend.between_legs_deg[1].0,
                bend.loaded_deg[0].0,
                bend.loaded_deg[1].0
            ),
        );
        wrapped(
            out,
            "          ",
            "          ",
            &format!(
                "gauge {:.2} -> {} from the tangent ({:.2} -> {} from the middle)",
                bend.gauge_to_tangent_mm[0].0,
                units::both(bend.gauge_to_tangent_mm[1].0),
                bend.gauge_to_middle_mm[0].0,
                units::both(bend.gauge_to_middle_mm[1].0)
            ),
        );
    }
    line(
        out,
        "  holes   off their places: as planned, as it should be now, allowed",
    );
    for hole in &found.holes {
        line(
            out,
            &format!(
                "            {:<12} {:>6.2} mm {:>6.2} mm {:>6.2} mm{}",
                hole.hole,
                hole.before_mm.0,
                hole.off_mm.0,
                hole.allowed_mm.0,
                if hole.off_mm.0 > hole.allowed_mm.0 {
                    "  does not land"
                } else {
                    ""
                }
            ),
        );
    }
    let says = match (found.lands, found.lands_as_planned, found.remaining.is_empty()) {
        (true, true, _) => {
            "every hole lands as it is planned: angles that stand here as on the cards stay so."
        }
        (true, false, _) => {
            "every hole lands with the angles and gauges above, and not with those of the cards."
        }
        (false, _, true) => "there is no bend left to make up for it, and not every hole lands.",
        (false, ..) => "not every hole lands, whatever the rest is bent to within 5 deg and 2 mm.",
    };
    wrapped(out, "  so      ", "          ", says);
    for way in &found.would_do {
        wrapped(out, "  would do: ", "            ", way);
    }
    text
}
