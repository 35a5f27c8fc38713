//! A bend strip in words: what to do with it, and what its readings say.

use units::both;

use crate::judge::strip_words::{BEND_CARD, BEND_DRAWING, BEND_DRY_RUN, BEND_PROGRAM};
use crate::summary::{StripMade, StripRead};

/// Thicker or thinner by more hundredths than these is told: by then a blank of two bends is off by what a rule shows. Common practice, no
/// source.
const TOLD_PCT: f64 = 2.0;

/// What to do with a strip that was made, and where its files are.
pub fn strip_made_text(made: &StripMade) -> String {
    let cut = match (&made.sheet, &made.why_no_program) {
        (Some(sheet), _) => format!("Cut it from {sheet}: {BEND_DRY_RUN} first, then {BEND_PROGRAM}."),
        (None, Some(why)) => format!("There is no program ({why}); cut it to size from {BEND_DRAWING}."),
        (None, None) => format!("Cut it to size from {BEND_DRAWING}."),
    };
    let mut text = format!(
        "Bend test for {}, {} the grain\nwith {}\n\n\
         1. {cut} {} along the bend, {} flat, the line of the bend {} from either end.\n\
         2. Read the flat length and the thickness. Bend it to {:.1} deg under load ({:.1} deg between the legs).\n\
         3. Read both legs outside to the corner, and the angle. An inside radius of {} should come ({}), legs of about {},\n   \
            and {:.1} deg between the legs. {BEND_CARD} shows where, with boxes to write in.\n\
         4. {}\n\n",
        made.stock,
        made.grain,
        made.tool,
        both(made.wide_mm.0),
        both(made.flat_mm.0),
        both(made.line_at_mm.0),
        made.loaded_deg.0,
        made.loaded_between_legs_deg.0,
        both(made.radius_mm.0),
        made.radius_from,
        both(made.leg_mm.0),
        made.between_legs_deg.0,
        made.to_type,
    );
    for file in &made.written {
        text.push_str(&format!("{}\n", file.display()));
    }
    text
}

/// What its readings say, and what the blank of the job rests on from now on. "Give or take" is two standard deviations.
pub fn strip_read_text(read: &StripRead) -> String {
    let mut text = format!(
        "K is {:.3}, give or take {:.3} (two standard deviations).\n\
         The inside radius is {}, give or take {:.2} mm{}.\n\
         It opened by {:.1} deg, give or take {:.1} deg: bent to {:.1} deg under load, it came out at {:.1} deg ({:.1} deg between the \
         legs).\n\
         Legs less flat at this angle: {:.2} mm, give or take {:.2}.\n\
         It is in shop.toml under [[strips]], dated {}, for this plate, {}, {} the grain.\n",
        read.k.0,
        2.0 * read.k_sd.0,
        both(read.radius_mm.0),
        2.0 * read.radius_sd_mm.0,
        if read.radius_gauged {
            ", by the gauge"
        } else {
            "; a gauge held to it would tell it closer"
        },
        read.opens_deg.0,
        2.0 * read.opens_sd_deg.0,
        read.loaded_deg.0,
        read.bent_deg.0,
        read.between_legs_deg.0,
        read.deduction_mm.0,
        2.0 * read.deduction_sd_mm.0,
        read.date,
        read.tool,
        read.grain,
    );
    let thicker_pct = read.thicker_pct.0;
    if thicker_pct.abs() > TOLD_PCT {
        text.push_str(&format!(
            "The strip is {:.1} % {} than this plate is taken to be: measure the sheet with a caliper, and write measured under its \
             [[stock]].\n",
            thicker_pct.abs(),
            if thicker_pct > 0.0 { "thicker" } else { "thinner" }
        ));
    }
    if let [Some(before), Some(now)] = read.blank_mm {
        text.push_str(&format!(
            "The blank of this job was {:.2} by {:.2} mm, and is now {:.2} by {:.2} mm.\n",
            before[0].0, before[1].0, now[0].0, now[1].0
        ));
    }
    for bend in &read.bends {
        text.push_str(&format!(
            "  {}: K {:.3} by {}; inside radius {}, {}\n",
            bend.bend,
            bend.k.0,
            bend.k_from,
            both(bend.radius_mm.0),
            bend.radius_from
        ));
    }
    text
}
