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

/// A share of a limit that changes by less is the same: what is printed is whole hundredths.
const SAME_SHARE: f64 = 0.005;
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
    let moved = match (was.margin, is.margin) {
        (Some(was), Some(is)) if (was - is).abs() >= SAME_SHARE => Some((was, is)),
        _ => None,
    };
    let same = was.says == is.says && same_answer;
    let mut says = match (same_answer, moved) {
        (false, _) => format!("{called} was {}, and is {}", was.answer, is.answer),
        (true, Some((was, now))) if now > was => {
            format!("{called} is still {}, with more in hand", is.answer)
        }
        (true, Some(_)) => format!("{called} is still {}, with less in hand", is.answer),
        (true, None) if same => format!("{called} is as it was"),
        (true, None) => format!("{called} is still {}, by other numbers", is.answer),
    };
    if let Some((was, now)) = moved {
        says.push_str(&format!(
            ": {} of its limit left, {} before",
            share(now),
            share(was)
        ));
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

/// "12 %"; past a limit, how far.
fn share(margin: f64) -> String {
    let percent = (100.0 * margin).round();
    // No "-0".
    format!("{} %", if percent == 0.0 { 0.0 } else { percent })
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
    fn less_in_hand_is_told_with_both_shares() {
        let row = answer_row(
            "hold",
            "Hold",
            &answer("yes", 0.4, "a"),
            &answer("yes", 0.25, "b"),
        );
        assert_eq!(
            row.says,
            "Hold is still yes, with less in hand: 25 % of its limit left, 40 % before."
        );
        let row = answer_row("hold", "Hold", &answer("yes", 0.4, "a"), &answer("no", -0.1, "b"));
        assert_eq!(
            row.says,
            "Hold was yes, and is no: -10 % of its limit left, 40 % before."
        );
        let row = answer_row("hold", "Hold", &answer("yes", 0.4, "a"), &answer("yes", 0.4, "a"));
        assert!(row.same);
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
