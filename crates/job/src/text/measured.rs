//! The rest of the bends around the real part, in words.

use brake::measured::Freedom;

use super::{line, wrapped};
use crate::measured_bends::MeasuredBends;
use crate::summary::Num;

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
        let stop = |pair: [Num; 2], from: &str| {
            let [planned, now] = pair.map(|mm| mm.0);
            format!("{planned:.2} -> {} from the {from}", units::both(now))
        };
        let mut stops = [
            stop(bend.gauge_to_middle_mm, "middle"),
            stop(bend.gauge_to_tangent_mm, "tangent"),
        ];
        if bend.gauge_to == "tangent" {
            stops.reverse();
        }
        // As on the card, and then the other.
        let [first, second] = stops;
        wrapped(
            out,
            "          ",
            "          ",
            &format!("gauge {first} ({second})"),
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
            "every hole lands with the angles and gauges above: take these, and not those of the cards."
        }
        (false, _, true) => "there is no bend left to make up for it, and not every hole lands.",
        (false, ..) => &not_found(),
    };
    wrapped(out, "  so      ", "          ", says);
    for way in &found.would_do {
        wrapped(out, "  would do: ", "            ", way);
    }
    text
}

/// What was looked for in vain.
fn not_found() -> String {
    let Freedom { angle_rad, place_mm } = Freedom::default();
    format!(
        "no setting was found with which every hole lands, the rest bent within {} and {place_mm:.0} mm of what was planned.",
        units::deg(angle_rad)
    )
}
