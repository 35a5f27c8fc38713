//! What the proof found, as sentences with their numbers.

use prove::joint::{Lacks, Mode};
use prove::{Answer as Proof, Case, Check, Detail, Followed, ProveError, TwistShort, What};

use crate::run::Worked;

/// What the user calls a mount.
pub(super) fn mount_name(worked: &Worked, mount: usize) -> &str {
    worked
        .equipment
        .as_ref()
        .and_then(|equipment| equipment.mounts.get(mount))
        .map_or("", |mount| mount.place.name.as_str())
}

/// "side" or "bend b1", for a table.
pub(crate) fn part_name(worked: &Worked, part: prove::Part) -> String {
    match part {
        prove::Part::Panel(panel) => worked.part.panels[panel].name.clone(),
        prove::Part::Bend(bend) => format!("bend {}", worked.part.bends[bend].name),
    }
}

/// "panel \"side\"" or "bend b1", within a sentence.
fn part_words(worked: &Worked, part: prove::Part) -> String {
    match part {
        prove::Part::Panel(panel) => format!("panel \"{}\"", worked.part.panels[panel].name),
        prove::Part::Bend(bend) => format!("bend {}", worked.part.bends[bend].name),
    }
}

/// Which face.
pub(crate) fn face_words(side: prove::Side) -> &'static str {
    match side {
        prove::Side::Marked => "marked face",
        prove::Side::Far => "far face",
    }
}

/// How a bolted place gives.
pub(crate) fn mode_words(mode: Mode) -> &'static str {
    match mode {
        Mode::Shear => "the bolt in shear",
        Mode::Tension => "the bolt in tension",
        Mode::ShearAndTension => "the bolt in shear and tension together",
        Mode::Bending => "the bolt in bending",
        Mode::Bearing => "the rim of the hole",
        Mode::TearOut => "the plate toward the edge",
        Mode::Punching => "the plate under the head",
        Mode::NutStrips => "the tapped thread",
        Mode::BoltStrips => "the bolt's thread",
        Mode::Slip => "the friction of the faces",
    }
}

/// A kind of place where a crack may start.
pub(crate) fn detail_words(detail: Detail) -> &'static str {
    match detail {
        Detail::Edge => "a cut edge",
        Detail::Hole => "the rim of a hole",
        Detail::Face => "the face of the plate",
        Detail::Toe => "the toe of a weld",
    }
}

/// A check as a sentence with its numbers.
pub(crate) fn check_words(worked: &Worked, proof: &Proof, check: &Check) -> String {
    let case = check.case.map(|case| &proof.cases[case]);
    let under = case.map_or(String::new(), |case| format!("under \"{}\" ", case.name));
    match check.what {
        What::Yield | What::Ultimate => {
            let word = if check.what == What::Yield {
                "yields"
            } else {
                "breaks"
            };
            let Some(peak) = case.and_then(|case| case.peak.as_ref()) else {
                return String::new();
            };
            let side = face_words(peak.side);
            let beside = if peak.beside_weld { " beside a weld" } else { "" };
            format!(
                "{under}the plate reaches {} in {}{beside}, {side}, at {:.0}, {:.0} mm on the blank{}; it {word} at {:.1} times \
                 that, and {:.1} is asked for",
                units::stress(
                    case.and_then(|case| case.held_mises_mpa())
                        .unwrap_or(peak.mises_mpa)
                ),
                part_words(worked, peak.in_),
                peak.blank_at.x,
                peak.blank_at.y,
                case.map_or("", stress_by),
                check.has,
                check.limit
            )
        }
        What::Moves => format!(
            "{under}the support moves {}{}, and {} is allowed",
            units::both(check.has),
            case.map_or("", moves_by),
            units::both(check.limit)
        ),
        What::Turns => {
            // Twist and bending are told of the linear answer alone.
            let split = case
                .filter(|case| !is_followed(case))
                .and_then(|case| case.moves.as_ref())
                .map_or(String::new(), |moves| {
                    format!(
                        " ({} of twist about the arm, {} of bending)",
                        units::deg(moves.twist_rad.abs()),
                        units::deg(moves.bend_rad)
                    )
                });
            format!(
                "{under}the support turns {}{}{split}, and {} is allowed",
                units::deg(check.has),
                case.map_or("", moves_by),
                units::deg(check.limit)
            )
        }
        What::GivesWay => format!(
            "{under}the part gives way at {:.2} times the load, followed as it moves, and {:.1} is asked for",
            check.has, check.limit
        ),
        What::Buckles => format!(
            "{under}the plate buckles at {:.1} times the load, and {:.1} is asked for",
            check.has, check.limit
        ),
        What::BoltYield { mount, mode } => format!(
            "{under}at mount \"{}\" {} yields at {:.1} times the load, and {:.1} is asked for",
            mount_name(worked, mount),
            mode_words(mode),
            check.has,
            check.limit
        ),
        What::BoltBreaks { mount, mode } => format!(
            "{under}at mount \"{}\" {} gives at {:.1} times the load, and {:.1} is asked for",
            mount_name(worked, mount),
            mode_words(mode),
            check.has,
            check.limit
        ),
        What::Weld { weld } => format!(
            "{under}the weld of seam \"{}\" breaks at {:.1} times the load, and {:.1} is asked for",
            worked.part.seams.get(weld).map_or("", |seam| seam.name.as_str()),
            check.has,
            check.limit
        ),
        What::Lasts { detail } => format!(
            "{} may crack after {:.0} days of use at the short end of the estimate, and {:.0} are asked for",
            detail_words(detail),
            check.has,
            check.limit
        ),
        What::Frequency => format!(
            "it shakes at {:.1} Hz by itself, and {:.1} Hz is the least asked for",
            check.has, check.limit
        ),
    }
}

/// Was it followed as it moves, to the whole load?
fn is_followed(case: &Case) -> bool {
    let followed = case.large.and_then(|large| large.followed);
    matches!(followed, Some(Followed::Moves { .. }))
}

/// Whose movement and turn are held against a limit, where the part moves far.
fn moves_by(case: &Case) -> &'static str {
    match case.large.map(|large| large.followed) {
        None => "",
        Some(Some(Followed::Moves { .. })) => ", followed as it moves",
        Some(_) => " by the linear answer",
    }
}

/// Whose stress is held against strength, where the part moves far.
fn stress_by(case: &Case) -> &'static str {
    match case.large.map(|large| large.followed) {
        None => "",
        Some(Some(Followed::Moves {
            stress: Some(stress), ..
        })) if stress > 1.0 => " (followed as it moves: more than by the linear answer)",
        Some(Some(Followed::Moves { .. })) => " (by the linear answer: no more when followed as it moves)",
        Some(_) => " (by the linear answer)",
    }
}

/// What to do about it, cheapest first.
pub(super) fn check_fix(check: &Check) -> Vec<String> {
    let helps =
        "use thicker plate, a lip along a free edge, or a smaller window; `gusset hold` shows each load"
            .to_owned();
    match check.what {
        What::BoltYield { mode, .. } | What::BoltBreaks { mode, .. } => match mode {
            Mode::Bearing | Mode::TearOut | Mode::Punching => {
                vec![
                    "move the hole from the edge, or put a larger washer under the head".into(),
                    helps,
                ]
            }
            Mode::NutStrips | Mode::BoltStrips => {
                vec!["use a longer bolt, or an insert in the thread".into()]
            }
            _ => vec![
                "use a larger bolt or a higher grade, or one bolt more".into(),
                helps,
            ],
        },
        What::Weld { .. } => vec!["make the weld larger or longer, or weld both sides".into()],
        What::Lasts { .. } => vec![
            "dress the cut edge smooth, drill the holes, or stiffen it".into(),
            helps,
        ],
        _ => vec![helps],
    }
}

/// "within about 3 %", or that nobody knows.
pub(crate) fn within(share: f64) -> String {
    if share.is_finite() {
        format!("within about {:.1} %", 100.0 * share)
    } else {
        "to an unknown share".into()
    }
}

/// What a bolt lacks, and what to write.
pub(super) fn lacks_words(lacks: Lacks) -> (&'static str, &'static str) {
    match lacks {
        Lacks::Grade => (
            "the bolt's grade is not known",
            "write grade = \"8.8\", or what is on its head",
        ),
        Lacks::PlateMetal => (
            "the plate's strength is not known",
            "use a metal whose strength is known",
        ),
        Lacks::Place => (
            "where its hole lies to the edges is not known",
            "use a round hole within a flat panel",
        ),
        Lacks::EndHeld => (
            "how deep the bolt goes into its thread is not known",
            "write depth = \"10 mm\", or what it is",
        ),
        Lacks::TappedMetal => (
            "the metal that its thread is in is not known",
            "write metal = \"6061-T6\", or what it is",
        ),
        Lacks::Clamping => (
            "it is not said to be tightened",
            "write torque = \"10 N m\", or what it is",
        ),
    }
}

/// "it moves up to 2.5 times its thickness: 12.3 mm by the linear answer, 11.1 mm followed as it moves".
pub(crate) fn large_words(large: prove::Large) -> String {
    let far = format!("it moves up to {:.1} times its thickness", large.in_thicknesses);
    let linear = format!("{} by the linear answer", units::both(large.linear_mm));
    match large.followed {
        None => format!("{far}: {linear}, which is not to be believed that far"),
        Some(Followed::Moves { moves_mm, .. }) => {
            format!("{far}: {linear}, {} followed as it moves", units::both(moves_mm))
        }
        Some(Followed::GivesWay { at }) => format!(
            "{far}: {linear}; followed as it moves, it gives way at {:.0} % of the load",
            100.0 * at
        ),
        Some(Followed::Lost { at }) => format!(
            "{far}: {linear}, which is not to be believed that far; it could be followed up to {:.0} % of the load",
            100.0 * at
        ),
    }
}

/// What is left out of the twist.
pub(super) fn twist_short_words(load: &str, short: &TwistShort, t_mm: f64) -> String {
    format!(
        "under \"{load}\" it moves mainly by twist ({:.0} % of the work, by the strip); some {:.0} % more twist is to be \
         reckoned with than is told, as the theory of thin plates leaves out the shear at free edges: it twists as an even \
         strip of {} by {}",
        100.0 * short.by_twist,
        100.0 * short.left_out,
        units::both(short.breadth_mm),
        units::both(t_mm)
    )
}

/// Why there is no proof, in words.
pub(super) fn error_words(error: &ProveError) -> String {
    format!("whether it holds could not be worked out: {error}")
}

/// What to do about it.
pub(super) fn error_fix(error: &ProveError) -> Vec<String> {
    match error {
        ProveError::NotWanted => Vec::new(),
        ProveError::NoMounts => vec!["say where it is fastened: [mounts]".into()],
        ProveError::NoLoads => vec!["say what it carries: [loads]".into()],
        ProveError::NoSupport { .. } => {
            vec!["add a [support], or say at which holes the load comes in".into()]
        }
        ProveError::LoadNowhere { .. } | ProveError::OpeningInBend { .. } | ProveError::SupportInBend => {
            vec!["move the hole out of the bend".into()]
        }
        ProveError::NothingUnderWasher { .. } => {
            vec!["move the hole from the edge, or use a larger washer".into()]
        }
        ProveError::Prepare(_) | ProveError::Solve { .. } => {
            vec!["add a mount, or tighten the bolts (torque), so that nothing is left free to move".into()]
        }
        ProveError::Body(_) | ProveError::Coupling(_) | ProveError::WeldOn(_) => {
            vec!["look at the outline and the openings near the place named".into()]
        }
    }
}
