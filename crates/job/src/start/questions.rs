//! The questions that start a job, one after another: which comes next, what an answer is understood as, and what all of them
//! come to. The terminal and the page ask the same ones.

mod ask;
mod typed;

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use self::ask::{ALL, Ask, FIVE};
use self::typed::Typed;
use super::{Asked, AskedCare, AskedFit};
use crate::care::Refusal;
use crate::files::model::Design;

/// Answers as they were typed, by the key of their question. An empty one takes what is usual.
pub type Answers = BTreeMap<String, String>;

/// What a job is started from, where questions are asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Beginning {
    /// From nothing: about the part, the care it needs, and what it carries.
    Nothing,
    /// From a design that another person drew: about the care that this use of it needs.
    SharedDesign,
    /// Another fit of a job, with nothing in it: whom it is for, and the care that this use of the design needs.
    EmptyFit,
    /// Another fit of a job, like one that is there: as an empty one, in the unit of the other.
    FitLike,
}

/// One question.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct QuestionAsked {
    /// What its answer is kept by.
    pub key: &'static str,
    /// In plain words.
    pub asks: &'static str,
    /// What is taken when nothing is typed; empty where something must be.
    pub usual: String,
    /// The words to choose from; none where it is typed.
    pub choices: Vec<&'static str>,
}

/// A question that has its answer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Answered {
    /// The key of the question.
    pub key: &'static str,
    /// The question.
    pub asks: &'static str,
    /// The answer: as typed, or what is usual.
    pub answer: String,
    /// What it is understood as, in both systems; none where words are words.
    pub understood: Option<String>,
}

/// Where the questions have come to.
#[derive(Debug, Clone, PartialEq)]
pub enum Next {
    /// This one comes next.
    Question(QuestionAsked),
    /// An answer cannot be used.
    NotUnderstood {
        /// Its question, to be asked again.
        question: QuestionAsked,
        /// Why, as a sentence.
        says: String,
    },
    /// The program does not help with such a part.
    Refused(Refusal),
    /// All are answered.
    Done,
}

/// The questions so far, and what comes next.
#[derive(Debug, Clone, PartialEq)]
pub struct Asking {
    /// Those that have their answers, in order.
    pub answered: Vec<Answered>,
    /// What comes next.
    pub next: Next,
}

/// Which question comes after these answers. `design` is the shared one, whose words are held to the same rules as the answers.
/// A question that is not among the answers has none; an empty answer takes what is usual.
pub fn asking(from: Beginning, answers: &Answers, design: Option<&Design>) -> Asking {
    let typed = Typed(answers);
    let mut answered = Vec::new();
    for ask in ALL.into_iter().filter(|ask| typed.wanted(*ask, from)) {
        let question = typed.question(ask);
        let next = if !answers.contains_key(ask.key()) {
            Next::Question(question)
        } else {
            match typed.understood(ask) {
                Ok(understood) => {
                    answered.push(Answered {
                        key: ask.key(),
                        asks: question.asks,
                        answer: typed.text(ask),
                        understood,
                    });
                    // The last of the five: nothing more need be asked about a part that is refused.
                    match (ask == Ask::Release)
                        .then(|| typed.refusal(from, design))
                        .flatten()
                    {
                        Some(refusal) => Next::Refused(refusal),
                        None => continue,
                    }
                }
                Err(says) => Next::NotUnderstood { question, says },
            }
        };
        return Asking { answered, next };
    }
    Asking {
        answered,
        next: Next::Done,
    }
}

/// What an answer would be understood as, while it is typed; none where words are words, or where nothing is asked by that key.
///
/// # Errors
/// Why it cannot be used, as a sentence.
pub fn understood_answer(answers: &Answers, key: &str, text: &str) -> Result<Option<String>, String> {
    let Some(ask) = ALL.into_iter().find(|ask| ask.key() == key) else {
        return Ok(None);
    };
    let mut answers = answers.clone();
    answers.insert(key.to_owned(), text.to_owned());
    Typed(&answers).understood(ask)
}

/// The five questions of the care, and what it is for: their keys are those of `[care]` in the fit.
pub fn care_questions() -> Vec<QuestionAsked> {
    let none = Answers::new();
    let five = [Ask::Purpose, Ask::Onto].into_iter().chain(FIVE);
    five.map(|ask| Typed(&none).question(ask)).collect()
}

/// What the answers ask for; none while one is missing, cannot be used, or is refused.
pub fn asked_from(answers: &Answers) -> Option<Asked> {
    let done = asking(Beginning::Nothing, answers, None).next == Next::Done;
    done.then(|| Typed(answers).asked())
}

/// The care that the answers ask for; none as in [`asked_from`].
pub fn care_from(answers: &Answers, design: &Design) -> Option<AskedCare> {
    let done = asking(Beginning::SharedDesign, answers, Some(design)).next == Next::Done;
    done.then(|| Typed(answers).care())
}

/// The fit that the answers ask for; none as in [`asked_from`].
pub fn asked_fit_from(from: Beginning, answers: &Answers, design: &Design) -> Option<AskedFit> {
    let done = asking(from, answers, Some(design)).next == Next::Done;
    done.then(|| Typed(answers).asked_fit())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::start::Form;

    fn answers(typed: &[(&str, &str)]) -> Answers {
        let pairs = typed.iter();
        pairs
            .map(|(key, text)| ((*key).to_owned(), (*text).to_owned()))
            .collect()
    }

    const CARE: [(&str, &str); 8] = [
        ("title", "Lamp arm"),
        ("purpose", "holds a lamp over the bench"),
        ("onto", "a bench"),
        ("weight", "no"),
        ("held", "No"),
        ("control", "beside"),
        ("feels", "y"),
        ("release", "yes"),
    ];

    #[test]
    fn each_question_comes_once_and_empty_answers_take_what_is_usual() {
        let mut given = answers(&CARE);
        let mut keys = Vec::new();
        while let Next::Question(question) = asking(Beginning::Nothing, &given, None).next {
            keys.push(question.key);
            let text = if question.key == "loads" { "now" } else { "" };
            given.insert(question.key.to_owned(), text.to_owned());
        }
        let wanted = "hand unit stock form width leg other_leg bent bolt loads kind size way per_day fall fall_mass jam jam_way";
        assert_eq!(keys.join(" "), wanted);
        let asked = asked_from(&given).expect("all are answered");
        assert_eq!(
            (asked.stock.as_str(), asked.form),
            ("5052-H32 3 mm", Form::OneBend)
        );
        assert_eq!(asked.care.control, "beside another");
        assert!(asked.loads.is_some_and(|loads| loads.most.size == "250 N"));
    }

    #[test]
    fn a_part_that_is_refused_is_refused_before_its_size_is_asked() {
        for (key, text) in [
            ("weight", "yes"),
            ("control", "only"),
            ("purpose", "a rest for a crossbow"),
        ] {
            let mut given = answers(&CARE);
            given.insert(key.to_owned(), text.to_owned());
            let next = asking(Beginning::Nothing, &given, None).next;
            assert!(matches!(next, Next::Refused(_)), "{key}: {next:?}");
            assert_eq!(asked_from(&given), None);
        }
    }

    #[test]
    fn what_cannot_be_used_is_asked_again_with_the_reason() {
        let mut given = answers(&CARE);
        given.insert("hand".into(), "sideways".into());
        let Next::NotUnderstood { question, says } = asking(Beginning::Nothing, &given, None).next else {
            panic!("sideways is no hand");
        };
        assert_eq!((question.key, says.as_str()), ("hand", "One of: right, left."));
        assert!(understood_answer(&given, "width", "wide").is_err());
        let echo = understood_answer(&answers(&[("unit", "in")]), "width", "1-1/2");
        assert_eq!(echo, Ok(Some("38.1 mm (1-1/2 in)".into())));
    }

    #[test]
    fn a_flat_plate_has_no_second_leg_and_a_part_that_cannot_fall_no_mass() {
        let mut given = answers(&CARE);
        for (key, text) in [
            ("form", "flat"),
            ("loads", "now"),
            ("fall", "cannot, because it is chained"),
        ] {
            given.insert(key.to_owned(), text.to_owned());
        }
        let mut keys = Vec::new();
        while let Next::Question(question) = asking(Beginning::Nothing, &given, None).next {
            keys.push(question.key);
            given.insert(question.key.to_owned(), String::new());
        }
        for gone in ["other_leg", "bent", "fall_mass"] {
            assert!(!keys.contains(&gone), "{keys:?}");
        }
    }
}
