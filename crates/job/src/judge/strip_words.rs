//! The test strips in words: what is done with one at the bench, and what is typed of it.

use std::f64::consts::PI;

use units::{both, deg};

use crate::bend_strip::{BendStrip, StripAsked};
use crate::stages::cutting::NotPlanned;

/// The drawing of a bend strip.
pub(crate) const BEND_DRAWING: &str = "bend-test.dxf";
/// Its program, and the same with the torch off.
pub(crate) const BEND_PROGRAM: &str = "bend-test.nc";
pub(crate) const BEND_DRY_RUN: &str = "bend-test-dry-run.nc";
/// Its card.
pub(crate) const BEND_CARD: &str = "bend-test.pdf";
/// How a job is called on a card, which goes from hand to hand.
pub(crate) const ANY_JOB: &str = "JOB";

/// Why a strip has no program.
pub(crate) fn not_planned_words(why: &NotPlanned) -> String {
    match why {
        NotPlanned::NoShop => "there is no shop.toml".into(),
        NotPlanned::ByHand => "this shop saws: cut the strip by hand to the size on the card".into(),
        NotPlanned::NoSheet => "shop.toml lists no sheet of this plate".into(),
        NotPlanned::NoSuchSheet { asked, .. } => format!("no sheet of this plate is called {asked}"),
        NotPlanned::TooSmall { largest } => format!("it goes on none of the sheets, not even on {largest}"),
        NotPlanned::No { why, .. } => why.to_string(),
    }
}

/// The command that takes the readings of this strip, with blanks to fill in: with all that it was made for, so that a plan that has
/// become another by then, or another strip, does not change what is understood.
pub(crate) fn to_type(job: &str, asked: &StripAsked, strip: &BendStrip) -> String {
    let mut words = format!("gusset strip bend {}", quoted(job));
    for (option, value) in [
        ("--bend", asked.bend.as_deref()),
        ("--tool", Some(strip.tool.as_str())),
        ("--angle", asked.angle.as_deref()),
        ("--radius", asked.radius.as_deref()),
        ("--grain", Some(strip.grain.word())),
    ] {
        if let Some(value) = value {
            words.push_str(&format!(" {option} {}", quoted(value)));
        }
    }
    format!(
        "{words} --read \"flat = ____ mm; thickness = ____ mm; legs = ____ mm, ____ mm; angle = ____ deg between legs; loaded = {} \
         between legs\"",
        deg(PI - strip.loaded_rad)
    )
}

/// A word as a shell takes it: bare where it has nothing that a shell reads, else between quotes. Double quotes are read alike by most
/// shells, and single ones are needed for what they leave open.
fn quoted(word: &str) -> String {
    let bare = |letter: char| letter.is_alphanumeric() || "_-./,:+@".contains(letter);
    if !word.is_empty() && word.chars().all(bare) {
        return word.to_owned();
    }
    if word.contains(['"', '$', '`', '!']) || word.ends_with('\\') {
        return format!("'{}'", word.replace('\'', "'\\''"));
    }
    format!("\"{word}\"")
}

/// For what the strip counts, and what should come of it.
pub(crate) fn bend_counts_for(strip: &BendStrip, stock: &str) -> String {
    format!(
        "Counts for {stock}, bent with {}, {} the grain. An inside radius of {} should come ({}), and legs of {}.",
        strip.tool,
        strip.grain.word(),
        both(strip.radius_mm),
        strip.radius_from,
        both(strip.leg_mm)
    )
}

/// What is done with it, in order. `sheet` is the one that its program is for.
pub(crate) fn bend_acts(strip: &BendStrip, sheet: Option<&str>) -> Vec<String> {
    let cut = match sheet {
        Some(sheet) => format!(
            "Cut it from {sheet}: {BEND_DRY_RUN} first, then {BEND_PROGRAM}. By hand: to the size drawn, ends square."
        ),
        None => format!("Cut it to the size drawn, by saw, or from {BEND_DRAWING}; ends square."),
    };
    vec![
        format!(
            "{cut} The line of the bend runs {} the way the sheet was rolled; draw that way on the strip with an arrow.",
            strip.grain.word()
        ),
        "File the dross off and break the edges. Scribe nothing on the outside of the bend: mark its line at the two edges."
            .to_owned(),
        "Clamp it flat with one end out, and read L and T. One hand: the jaw of the caliper on the clamped side, push it shut \
         with the thumb."
            .to_owned(),
        format!(
            "Bend it on its line with {}, to {} under load ({} between the legs): a card cut to that angle shows when.",
            strip.tool,
            deg(strip.loaded_rad),
            deg(PI - strip.loaded_rad)
        ),
        "Take it out and clamp one leg, the other standing up. Read A and B on the outside, each from its end to where the \
         outsides of both legs would meet: a square or a straight bar held on the other leg gives that place. Keep away from \
         the sides, which curl."
            .to_owned(),
        format!(
            "Read C between the legs with a protractor. It should be about {} between the legs ({} bent through).",
            deg(PI - strip.bent_rad),
            deg(strip.bent_rad)
        ),
        "If there is a radius gauge: which one fills the inside without light? Write it beside R; without one, leave R out."
            .to_owned(),
    ]
}

/// What is read, by letter, with its unit.
pub(crate) const BEND_READINGS: [(&str, &str, &str); 6] = [
    ("L", "flat: the whole strip before it is bent, by caliper", "mm"),
    ("T", "thickness, by caliper", "mm"),
    ("A", "legs: one, outside to the corner", "mm"),
    ("B", "legs: the other", "mm"),
    ("C", "angle between the legs, as it came out", "deg"),
    ("R", "radius inside, by a gauge, if there is one", "mm"),
];

/// Cautions at the brake.
pub(crate) const BEND_CAUTIONS: [&str; 2] = [
    "Hands stay out from between the tools; the strip swings up as it bends. Guards and two-hand controls stay as they are.",
    "Edges are sharp until they are broken. Eyes covered: a strip that cracks may fly.",
];

/// Over the command on the card.
pub(crate) const BEND_TYPE_INTO: &str = "Then type this, with what you read, and the folder of the job for JOB. If it was bent to another \
    angle under load, change loaded. With a gauge, add: radius = ____ mm.";

/// For what a kerf comb counts.
pub(crate) fn kerf_counts_for(
    stock: &str,
    process: &str,
    feed_mm_min: f64,
    pitch_mm: f64,
    tooth_mm: f64,
) -> String {
    format!(
        "Counts for {stock}, cut by {process} at {feed_mm_min:.0} mm/min with this nozzle and these consumables. Slots are \
         {pitch_mm:.1} mm apart; with the kerf expected, the teeth read about {tooth_mm:.2} mm."
    )
}

/// What is done with it, in order.
pub(crate) fn kerf_acts(plate_mm: [f64; 2]) -> Vec<String> {
    vec![
        format!(
            "Lay a piece of at least {:.0} by {:.0} mm, its lower left corner at zero. Run kerf-test-dry-run.nc first: the torch \
             stays off, and must stay on the piece and off the clamps.",
            plate_mm[0].ceil(),
            plate_mm[1].ceil()
        ),
        "Cut kerf-test.nc. Let it cool, knock the dross off both faces, and file no edge.".to_owned(),
        "Clamp the comb by its closed side, teeth up. Read each tooth across, half way down, with the caliper: the tooth, not the \
         slot. One hand does it: the fixed jaw against the tooth, push it shut with the thumb."
            .to_owned(),
        "The three should be within a quarter of a millimetre. If one stands out, it has dross on it: clean it and read it again."
            .to_owned(),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_shell_takes_each_word_whole() {
        for (word, says) in [
            ("jobs/hoe", "jobs/hoe"),
            ("my jobs/hoe", "\"my jobs/hoe\""),
            ("", "\"\""),
            ("4 mm", "\"4 mm\""),
            ("brake: punch over V 24; old", "\"brake: punch over V 24; old\""),
            ("1\" V", "'1\" V'"),
            ("Jo's $5 die", "'Jo'\\''s $5 die'"),
            ("C:\\my jobs\\", "'C:\\my jobs\\'"),
        ] {
            assert_eq!(quoted(word), says, "{word}");
        }
    }
}
