//! What the changes since a revision was kept did to the four answers and to the mass, in words.

use serde::{Deserialize, Serialize};

use crate::finding::Verdict;
use crate::summary::Summary;

/// One of the four answers as it was.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct KeptAnswer {
    /// "yes", "care", "no" or "not checked".
    pub answer: String,
    /// How much of the limit was left.
    pub margin: Option<f64>,
    /// The sentence with the numbers.
    pub says: String,
}

/// A revision that was kept: its name, and the answers of that state.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Kept {
    /// "B"
    pub revision: String,
    /// Does it fit?
    pub fit: KeptAnswer,
    /// Can it be cut?
    pub cut: KeptAnswer,
    /// Can it be bent?
    pub bend: KeptAnswer,
    /// Will it hold?
    pub hold: KeptAnswer,
    /// Mass of the part, kg; none where there was no part.
    pub mass_kg: Option<f64>,
}

/// One of the five as it was, as it is, and what that means.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SinceRow {
    /// "fit", "cut", "bend", "hold" or "mass".
    pub what: &'static str,
    /// The same for people.
    pub called: &'static str,
    /// As it was.
    pub was: String,
    /// As it is.
    pub is: String,
    /// What the changes did to it, as a sentence.
    pub says: String,
    /// Nothing of it changed.
    pub same: bool,
}

/// What the changes since a revision did.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Since {
    /// The revision.
    pub revision: String,
    /// In one sentence, for reading out.
    pub says: String,
    /// Fit, cut, bend, hold and mass.
    pub rows: Vec<SinceRow>,
}

/// Parts of the same mass within this, kg: a tenth of a gram.
const SAME_MASS_KG: f64 = 1e-4;

impl Kept {
    /// The answers as they are now, under the name of a revision.
    pub fn of(revision: &str, summary: &Summary) -> Kept {
        let kept = |verdict: &Verdict| KeptAnswer {
            answer: verdict.answer.word().to_owned(),
            margin: verdict.margin.filter(|margin| margin.is_finite()),
            says: verdict.says.clone(),
        };
        let verdicts = &summary.verdicts;
        Kept {
            revision: revision.to_owned(),
            fit: kept(&verdicts.fit),
            cut: kept(&verdicts.cut),
            bend: kept(&verdicts.bend),
            hold: kept(&verdicts.hold),
            mass_kg: mass_kg(summary),
        }
    }
}

fn mass_kg(summary: &Summary) -> Option<f64> {
    summary.folded.as_ref().map(|folded| folded.mass_kg.0)
}

/// What changed from a kept revision to the answers now.
pub fn since(kept: &Kept, now: &Summary) -> Since {
    let now = Kept::of("", now);
    let mut rows = vec![
        answer_row("fit", "Fit", &kept.fit, &now.fit),
        answer_row("cut", "Cut", &kept.cut, &now.cut),
        answer_row("bend", "Bend", &kept.bend, &now.bend),
        answer_row("hold", "Hold", &kept.hold, &now.hold),
    ];
    rows.extend(mass_row(kept.mass_kg, now.mass_kg));
    let changed: Vec<&str> = rows
        .iter()
        .filter(|row| !row.same)
        .map(|row| row.says.as_str())
        .collect();
    let says = if changed.is_empty() {
        format!(
            "The answers and the mass are those of revision {}.",
            kept.revision
        )
    } else {
        format!("Since revision {}: {}", kept.revision, changed.join(" "))
    };
    Since {
        revision: kept.revision.clone(),
        says,
        rows,
    }
}

fn answer_row(what: &'static str, called: &'static str, was: &KeptAnswer, is: &KeptAnswer) -> SinceRow {
    let same_answer = was.answer == is.answer;
    let shares = was.margin.zip(is.margin).and_then(|(was, is)| shares(was, is));
    let same = was.says == is.says && same_answer;
    let mut says = match (
        same_answer,
        was.margin.zip(is.margin).filter(|_| shares.is_some()),
    ) {
        (false, _) => format!("{called} was {}, and is {}", was.answer, is.answer),
        (true, Some((before, now))) => format!("{called} is still {}, {}", is.answer, moved(before, now)),
        (true, None) if same => format!("{called} is as it was"),
        (true, None) => format!(
            "{called} is still {}, and something else is said of it",
            is.answer
        ),
    };
    if let Some([before, now]) = shares {
        says.push_str(&format!(": {now}, before {before}"));
    }
    says.push('.');
    let told = |answer: &KeptAnswer| format!("{}. {}", answer.answer, answer.says);
    SinceRow {
        what,
        called,
        was: told(was),
        is: told(is),
        says,
        same,
    }
}

/// Which way what is left of a limit went, or how far it is past it.
fn moved(was: f64, is: f64) -> &'static str {
    match (is < 0.0, is > was) {
        (false, true) => "with more in hand",
        (false, false) => "with less in hand",
        (true, true) => "less far past its limit",
        (true, false) => "farther past its limit",
    }
}

/// What is left of a limit before and after, in whole percents, or in tenths where those are the same: "12 % of its limit left",
/// "3 % past its limit". None where not even the tenths differ.
fn shares(was: f64, is: f64) -> Option<[String; 2]> {
    [0, 1].into_iter().find_map(|decimals| {
        let both = [was, is].map(|margin| share(margin, decimals));
        (both[0] != both[1]).then_some(both)
    })
}

fn share(margin: f64, decimals: usize) -> String {
    let percent = format!("{:.decimals$}", 100.0 * margin.abs());
    // What rounds to nothing is neither left nor past.
    if percent.bytes().all(|digit| matches!(digit, b'0' | b'.')) {
        "just at its limit".into()
    } else if margin < 0.0 {
        format!("{percent} % past its limit")
    } else {
        format!("{percent} % of its limit left")
    }
}

fn mass_row(was: Option<f64>, is: Option<f64>) -> Option<SinceRow> {
    let told = |kg: Option<f64>| kg.map_or_else(|| "not worked out".to_owned(), units::mass);
    let (same, says) = match (was, is) {
        (None, None) => return None,
        (Some(was), Some(is)) if (was - is).abs() < SAME_MASS_KG => {
            (true, "The mass is as it was.".to_owned())
        }
        (Some(was), Some(is)) => {
            let by = units::mass((is - was).abs());
            let way = if is > was { "heavier" } else { "lighter" };
            (false, format!("It is {way} by {by}: {}.", units::mass(is)))
        }
        (was, is) => (false, format!("The mass was {}, and is {}.", told(was), told(is))),
    };
    Some(SinceRow {
        what: "mass",
        called: "Mass",
        was: told(was),
        is: told(is),
        says,
        same,
    })
}

/// What a revision after this one is called: "B" after "A", "AA" after "Z", "4" after "3"; what follows no count gets one.
pub fn next_revision(revision: &str) -> String {
    let revision = revision.trim();
    if let Ok(number) = revision.parse::<u32>() {
        return number.saturating_add(1).to_string();
    }
    let letters = !revision.is_empty() && revision.chars().all(|c| c.is_ascii_uppercase());
    if !letters {
        return match revision
            .rsplit_once(' ')
            .map(|(word, number)| (word, number.parse::<u32>()))
        {
            Some((word, Ok(number))) => format!("{word} {}", number.saturating_add(1)),
            _ if revision.is_empty() => "A".into(),
            _ => format!("{revision} 2"),
        };
    }
    let mut letters: Vec<u8> = revision.bytes().collect();
    for letter in letters.iter_mut().rev() {
        if *letter < b'Z' {
            *letter += 1;
            return String::from_utf8_lossy(&letters).into_owned();
        }
        *letter = b'A';
    }
    format!("A{}", String::from_utf8_lossy(&letters))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn answer(answer: &str, margin: f64, says: &str) -> KeptAnswer {
        KeptAnswer {
            answer: answer.into(),
            margin: Some(margin),
            says: says.into(),
        }
    }

    #[test]
    fn revisions_go_on_as_a_drawing_office_counts() {
        for (this, next) in [
            ("A", "B"),
            ("Z", "AA"),
            ("AZ", "BA"),
            ("3", "4"),
            ("", "A"),
            ("trial", "trial 2"),
            ("trial 2", "trial 3"),
        ] {
            assert_eq!(next_revision(this), next);
        }
    }

    #[test]
    fn what_is_left_of_a_limit_is_told_as_it_was_and_as_it_is() {
        let row = |was: KeptAnswer, is: KeptAnswer| answer_row("hold", "Hold", &was, &is);
        let kept = row(answer("yes", 0.4, "a"), answer("yes", 0.4, "a"));
        assert!(kept.same);
        for (was, is, says) in [
            (
                answer("yes", 0.4, "a"),
                answer("yes", 0.25, "b"),
                "Hold is still yes, with less in hand: 25 % of its limit left, before 40 % of its limit left.",
            ),
            (
                answer("yes", 0.4, "a"),
                answer("no", -0.1, "b"),
                "Hold was yes, and is no: 10 % past its limit, before 40 % of its limit left.",
            ),
            (
                answer("no", -0.3, "a"),
                answer("no", -0.1, "b"),
                "Hold is still no, less far past its limit: 10 % past its limit, before 30 % past its limit.",
            ),
            // Half a percent must not show as none: 40 % would stand on both sides.
            (
                answer("yes", 0.401, "a"),
                answer("yes", 0.404, "b"),
                "Hold is still yes, with more in hand: 40.4 % of its limit left, before 40.1 % of its limit left.",
            ),
            (
                answer("care", -0.0004, "a"),
                answer("care", 0.02, "b"),
                "Hold is still care, with more in hand: 2 % of its limit left, before just at its limit.",
            ),
            (
                answer("yes", 0.4, "the bolt at m1"),
                answer("yes", 0.4, "the bolt at m2"),
                "Hold is still yes, and something else is said of it.",
            ),
        ] {
            let row = row(was, is);
            assert_eq!(row.says, says);
            assert!(!row.same);
        }
    }

    #[test]
    fn mass_is_told_in_both_systems() {
        let row = mass_row(Some(1.0), Some(1.25)).expect("two masses");
        assert!(
            row.says.starts_with("It is heavier by ") && row.says.contains("lb"),
            "{}",
            row.says
        );
        assert!(mass_row(Some(1.0), Some(1.00001)).is_some_and(|row| row.same));
    }
}
