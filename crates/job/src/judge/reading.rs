//! What the readings say of each other: slips, what nothing checks, what to measure next.

use std::collections::{BTreeMap, BTreeSet};

use survey::{Graduation, Slip, Snooped, Suspect, Suspected, Writing};
use units::LengthUnit;

use super::measuring::shown;
use crate::files::model::{Design, PointDef, PointHow, Sum};
use crate::finding::{Finding, Level, Question};
use crate::run::Worked;
use crate::stages::points::{Marked, Told};

/// The code of a finding that names a slip.
pub(super) const SLIP: &str = "slip";

/// Hook of a common tape. Common practice, no source.
pub(crate) const HOOK_MM: f64 = 1.0;
/// So many unchecked readings are named; the rest are counted.
const MOST_NAMED: usize = 6;

/// Looks for slips in all the readings of a job.
pub(crate) fn snoop(
    marked: &Marked,
    design: &Design,
    thickness_mm: Option<f64>,
    next_sd_mm: f64,
) -> Result<Snooped, survey::AdjustError> {
    let sums: BTreeMap<[usize; 2], &Sum> = sums(design)
        .into_iter()
        .map(|sum| ([sum.at.span.start, sum.at.span.end], sum))
        .collect();
    let typed = |about: usize| marked.told.get(about).map(|told| told.typed.clone());
    let meaning = |about: usize, text: &str| -> Option<f64> {
        let told = marked.told.get(about)?;
        let sum = sums.get(&[told.at.span.start, told.at.span.end])?;
        Some(meant(text, sum.value.bare_unit())? + told.added_mm)
    };
    let writing = Writing {
        typed: &typed,
        meaning: &meaning,
        hook_mm: Some(HOOK_MM),
        thickness_mm,
    };
    survey::find_slips(
        &marked.mark_out,
        &marked.readings,
        survey::AdjustOptions::default(),
        writing,
        next_sd_mm,
    )
}

/// What a text means as a reading, mm or radians; none where no rule or tape shows such a number.
pub(crate) fn meant(text: &str, bare: Option<LengthUnit>) -> Option<f64> {
    if !on_a_rule(text) {
        return None;
    }
    let value = units::Expr::parse(text, bare).ok()?.value().ok()?;
    value.length_mm().or_else(|_| value.angle_rad()).ok()
}

/// Has every fraction a denominator that rules and tapes are divided in?
fn on_a_rule(text: &str) -> bool {
    text.split('/').skip(1).all(|rest| {
        let digits: String = rest
            .trim_start()
            .chars()
            .take_while(char::is_ascii_digit)
            .collect();
        digits
            .parse::<u32>()
            .is_ok_and(|parts| parts <= FINEST_DIVISION && parts.is_power_of_two())
    })
}

/// Inch rules are divided to 64ths.
const FINEST_DIVISION: u32 = 64;

/// Every number of the design that may be a reading.
fn sums(design: &Design) -> Vec<&Sum> {
    let readings = design.readings.iter().map(|reading| &reading.read);
    readings
        .chain(design.points.iter().flat_map(|point| point.how.sums()))
        .collect()
}

/// The readings that look slipped, by the number of what was told.
pub(crate) fn suspects(worked: &Worked) -> BTreeSet<usize> {
    worked
        .snooped
        .suspects
        .iter()
        .flat_map(|suspect| &suspect.readings)
        .map(|reading| reading.about)
        .collect()
}

pub(super) fn findings(worked: &Worked) -> Vec<Finding> {
    let mut findings: Vec<Finding> = worked
        .snooped
        .suspects
        .iter()
        .map(|suspect| slipped(worked, suspect))
        .collect();
    let adjusted = &worked.snooped.all;
    if findings.is_empty() && adjusted.freedom > 0 && !adjusted.test.passes() {
        findings.push(Finding {
            code: "readings-disagree",
            level: Level::Care,
            question: Question::Fit,
            about: "readings".into(),
            at: None,
            says: format!(
                "the readings disagree by {:.1} times what their instruments explain, and no single one stands out",
                adjusted.sigma0.unwrap_or(f64::NAN)
            ),
            fix: vec!["read the longest ones again".into(), "name the instrument that was used with each".into()], margin: None, });
    }
    findings.extend(unchecked(worked));
    findings
}

fn told<'a>(worked: &'a Worked, reading: &Suspected) -> Option<&'a Told> {
    worked.marked.told.get(reading.about)
}

/// A value of the survey as the instrument shows it: from edge to edge where it was read so.
fn as_read(worked: &Worked, reading: &Suspected, value: f64, is_angle: bool) -> String {
    let added_mm = told(worked, reading).map_or(0.0, |told| told.added_mm);
    shown(value - added_mm, is_angle)
}

fn slipped(worked: &Worked, suspect: &Suspect) -> Finding {
    let names: Vec<String> = suspect
        .readings
        .iter()
        .filter_map(|reading| {
            Some(format!(
                "{} ({})",
                told(worked, reading)?.label,
                told(worked, reading)?.typed
            ))
        })
        .collect();
    let first = suspect.readings.first();
    let is_angle = first.is_some_and(|first| {
        worked
            .snooped
            .all
            .readings
            .get(first.reading)
            .is_some_and(|reading| reading.is_angle)
    });
    let at = first
        .and_then(|first| told(worked, first))
        .map(|told| told.at.clone());
    let mut fix = Vec::new();
    let says = match (suspect.is_located(), first) {
        (true, Some(first)) => {
            for mean in first.did_you_mean.iter().take(2) {
                fix.push(format!(
                    "did you mean {}? ({})",
                    as_read(worked, first, mean.value, is_angle),
                    slip_words(&mean.slip)
                ));
            }
            fix.push(format!(
                "read {} again; expected is {}",
                names.join(""),
                as_read(worked, first, first.expected, is_angle)
            ));
            format!(
                "the reading {} is {} off what the others say, which is {:.1} standard deviations",
                names.join(""),
                shown(first.slip.abs(), is_angle),
                first.w.abs()
            )
        }
        _ => {
            for reading in &suspect.readings {
                if let (Some(mean), Some(told)) = (reading.did_you_mean.first(), told(worked, reading)) {
                    fix.push(format!(
                        "did you mean {} for {}? ({})",
                        as_read(worked, reading, mean.value, is_angle),
                        told.label,
                        slip_words(&mean.slip)
                    ));
                }
            }
            match &suspect.deciding {
                Some(deciding) => {
                    let [a, b] = &deciding.between;
                    let expected: Vec<String> = suspect
                        .readings
                        .iter()
                        .zip(&deciding.expected_mm)
                        .filter_map(|(reading, mm)| {
                            Some(format!(
                                "{} if {} slipped",
                                units::both(*mm),
                                told(worked, reading)?.label
                            ))
                        })
                        .collect();
                    fix.push(format!(
                        "measure {a}-{b}, which decides it: {}",
                        expected.join(", ")
                    ));
                }
                None => fix.push("read all of them again".into()),
            }
            let count = names.len();
            format!(
                "one of {count} readings has slipped, and they cannot be told apart: {}",
                names.join(", ")
            )
        }
    };
    Finding {
        code: SLIP,
        level: Level::Care,
        question: Question::Fit,
        about: names.join(", "),
        at,
        says,
        fix,
        margin: None,
    }
}

/// What went wrong, in words that may stand in brackets.
fn slip_words(slip: &Slip) -> String {
    match slip {
        Slip::SwappedDigits { text } => format!("{text}: {}", slip_reason(slip)),
        _ => slip_reason(slip),
    }
}

/// What went wrong in a slip, without what was meant.
pub(crate) fn slip_reason(slip: &Slip) -> String {
    let step = |step: &Graduation| match step {
        Graduation::Inch => "an inch",
        Graduation::TenMm => "10 mm",
        Graduation::HundredMm => "100 mm",
    };
    match slip {
        Slip::SwappedDigits { .. } => "two digits changed places".into(),
        Slip::Dropped(by) => format!("{} was dropped", step(by)),
        Slip::Added(by) => format!("{} too many was counted", step(by)),
        Slip::HookEnd { counted: true } => "the tape's hook was counted".into(),
        Slip::HookEnd { counted: false } => "the tape's hook was left out".into(),
        Slip::Thickness { counted: true } => "one thickness of the plate was counted".into(),
        Slip::Thickness { counted: false } => "one thickness of the plate was left out".into(),
        Slip::InchForMm => "inches were written down as millimetres".into(),
        Slip::MmForInch => "millimetres were written down as inches".into(),
    }
}

/// Does the design speak of measuring: an instrument named, a further reading, an arc swung?
fn was_measured(design: &Design) -> bool {
    let swung = |point: &PointDef| point.with.is_some() || matches!(point.how, PointHow::Swing { .. });
    design.instrument.is_some() || !design.readings.is_empty() || design.points.iter().any(swung)
}

fn unchecked(worked: &Worked) -> Option<Finding> {
    let adjusted = &worked.snooped.all;
    let measured = adjusted
        .readings
        .iter()
        .filter(|reading| reading.sd > 0.0 && reading.sd.is_finite())
        .count();
    let unchecked = adjusted.unchecked();
    if measured == 0 || unchecked.is_empty() {
        return None;
    }
    let labels: Vec<&str> = unchecked
        .iter()
        .filter_map(|index| worked.marked.told.get(adjusted.readings.get(*index)?.about))
        .map(|told| told.label.as_str())
        .collect();
    let more = labels.len().saturating_sub(MOST_NAMED);
    let named = labels
        .iter()
        .take(MOST_NAMED)
        .copied()
        .collect::<Vec<_>>()
        .join(", ");
    let named = if more > 0 {
        format!("{named} and {more} more")
    } else {
        named
    };
    let all = adjusted.freedom == 0;
    let says = if all {
        "nothing checks the readings: a slip in any of them would not show".to_owned()
    } else {
        format!("nothing checks {named}: a slip there would not show")
    };
    let mut fix = Vec::new();
    for next in adjusted.next_readings(&[], worked.next_sd_mm, 1) {
        let [a, b] = &next.between;
        fix.push(format!(
            "measure {a}-{b} and write it under [[readings]]; it should read {} give or take {:.1} mm",
            units::both(next.predicted_mm),
            3.0 * next.predicted_sd_mm
        ));
    }
    fix.push("write exact = true at points that are meant, not measured".into());
    // Numbers with no word of an instrument may as well have been drawn; then it is only worth knowing.
    let level = if all && was_measured(&worked.files.design) {
        Level::Care
    } else {
        Level::Note
    };
    Some(Finding {
        code: "unchecked-readings",
        level,
        question: Question::Fit,
        about: if all { "readings".into() } else { named },
        at: None,
        says,
        fix,
        margin: None,
    })
}

#[cfg(test)]
mod tests {
    use super::on_a_rule;

    #[test]
    fn seventy_sixths_stand_on_no_rule() {
        assert!(on_a_rule("8-13/64 in"));
        assert!(on_a_rule("207.5 mm"));
        assert!(!on_a_rule("8-1/76"));
        assert!(!on_a_rule("8-1/ in"));
    }
}
