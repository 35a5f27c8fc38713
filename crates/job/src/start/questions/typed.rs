//! What was typed, as it is understood: what is usual, what is asked after it, and what all of it comes to.

use super::ask::Ask::{
    self, Bent, Bolt, Control, Fall, FallMass, Feels, FitTitle, Hand, Held, Jam, JamWay, Kind, Leg, Loads,
    Onto, OtherLeg, PerDay, Purpose, Release, Size, Stock, Title, Unit, Way, Weight, Width,
};
use super::ask::{OF_CARE, YES_NO, word_of};
use super::{Answers, Beginning, QuestionAsked};
use crate::asked::{
    refusal_of, refusal_of_care, understood_bend, understood_length, understood_stock, understood_thread,
};
use crate::care::Refusal;
use crate::files::model::{Design, LoadKind};
use crate::start::loads::{
    AskedLoad, AskedLoads, Happens, kinds_asked, reason_never, understood_load, usual_per_day, usual_size,
};
use crate::start::{Asked, AskedCare, AskedFit, Form};

/// The answers, with what is usual where nothing was typed.
pub(super) struct Typed<'a>(pub &'a Answers);

impl Typed<'_> {
    pub(super) fn text(&self, ask: Ask) -> String {
        let typed = self.0.get(ask.key()).map_or("", |text| text.trim());
        if typed.is_empty() {
            self.usual(ask)
        } else {
            typed.to_owned()
        }
    }

    /// The word that a choice stands for; empty when it is none of them.
    fn word(&self, ask: Ask) -> &'static str {
        word_of(ask.choices(), &self.text(ask)).unwrap_or_default()
    }

    fn yes(&self, ask: Ask) -> bool {
        self.word(ask) == "yes"
    }

    fn inch(&self) -> bool {
        self.word(Unit) == "in"
    }

    fn kind(&self) -> LoadKind {
        let typed = self.text(Kind).to_lowercase();
        kinds_asked()
            .find(|(word, _)| *word == typed)
            .map_or(LoadKind::Push, |(_, kind)| kind)
    }

    fn usual(&self, ask: Ask) -> String {
        let by_unit = |mm: &str, inch: &str| if self.inch() { inch } else { mm }.to_owned();
        match ask {
            Hand => "right".into(),
            Unit => "mm".into(),
            Stock => by_unit("5052-H32 3 mm", "5052-H32 3/16 in"),
            Ask::Form => "one bend".into(),
            Width => by_unit("40 mm", "1-1/2 in"),
            Leg | OtherLeg => by_unit("80 mm", "3 in"),
            Bent => "90 deg".into(),
            Bolt => by_unit("M6", "1/4-20"),
            Loads => "later".into(),
            Kind => LoadKind::Push.word().into(),
            Size => usual_size(self.kind(), self.inch()),
            Way if self.kind() == LoadKind::Twist => "z".into(),
            Way => "-z".into(),
            PerDay => usual_per_day(self.kind()),
            Fall => usual_size(LoadKind::Drop, self.inch()),
            FallMass => by_unit("2 kg", "5 lb"),
            Jam => usual_size(LoadKind::Jam, self.inch()),
            JamWay => "x".into(),
            Title | FitTitle | Purpose | Onto | Weight | Held | Control | Feels | Release => String::new(),
        }
    }

    fn asks(&self, ask: Ask) -> &'static str {
        match ask {
            Title => "What do you call the part?",
            FitTitle => "Whom or what is this fit for, in a few words?",
            Purpose => "What is it used for, in your words?",
            Onto => "What is it fastened to?",
            Weight => "Does anyone's weight hang on it?",
            Held => "Could it hold someone under water or to something that moves?",
            Control => "Does it steer, brake or fire anything?",
            Feels => "Can the person feel the skin it touches?",
            Release => "Can the other hand let go of it in two seconds?",
            Hand => "Which hand or side is it for?",
            Unit => "Do you measure in mm or in?",
            Stock => "Which plate?",
            Ask::Form => "A flat plate, or one bend?",
            Width => "How wide is the plate?",
            Leg => "How long is it (or its first leg)?",
            OtherLeg => "How long is the second leg?",
            Bent => "Through what angle is it bent? (0 is flat)",
            Bolt => "Which bolts hold it?",
            Loads => "Say now what it carries? \"Will it hold?\" is answered from it.",
            Kind => "What is done to it most?",
            Size => "How hard?",
            Way if self.kind() == LoadKind::Twist => "About which axis of the equipment?",
            Way => "Which way is the part pushed by it? (z is up)",
            PerDay => "How many times a day? (a number, or: not known)",
            Fall => "How far can it fall? (a height, or: cannot, because ...)",
            FallMass => "What falls with it, all together?",
            Jam => "How hard does it pull when it catches on something? (a force, or: cannot, because ...)",
            JamWay => "Which way is the part pushed by that?",
        }
    }

    /// Whether it is asked at all, after the answers before it.
    pub(super) fn wanted(&self, ask: Ask, from: Beginning) -> bool {
        match from {
            Beginning::Nothing if ask == FitTitle => return false,
            Beginning::Nothing => {}
            Beginning::SharedDesign => return OF_CARE.contains(&ask),
            Beginning::EmptyFit => return ask == FitTitle || OF_CARE.contains(&ask),
            Beginning::FitLike => return ask == FitTitle || (ask != Unit && OF_CARE.contains(&ask)),
        }
        let can = |ask: Ask| reason_never(&self.text(ask)).is_none();
        match ask {
            OtherLeg | Bent => self.form() == Form::OneBend,
            Kind | Size | Way | PerDay | Fall | Jam => self.word(Loads) == "now",
            FallMass => self.word(Loads) == "now" && can(Fall),
            JamWay => self.word(Loads) == "now" && can(Jam),
            _ => true,
        }
    }

    pub(super) fn question(&self, ask: Ask) -> QuestionAsked {
        let mut choices: Vec<&'static str> = Vec::new();
        for (_, word) in ask.choices() {
            if !choices.contains(word) {
                choices.push(word);
            }
        }
        if ask == Kind {
            choices.extend(kinds_asked().map(|(word, _)| word));
        }
        QuestionAsked {
            key: ask.key(),
            asks: self.asks(ask),
            usual: self.usual(ask),
            choices,
        }
    }

    /// What an answer is understood as; none where words are words.
    pub(super) fn understood(&self, ask: Ask) -> Result<Option<String>, String> {
        let typed = self.text(ask);
        match ask {
            Title | FitTitle | Purpose | Onto => match typed.is_empty() {
                true => Err("A few words, please.".into()),
                false => Ok(None),
            },
            Weight | Held | Feels | Release => match word_of(YES_NO, &typed) {
                Some(_) => Ok(None),
                None => Err("Yes or no, please.".into()),
            },
            Stock => understood_stock(&typed).map(Some),
            Width | Leg | OtherLeg => understood_length(&typed, self.inch()).map(Some),
            Bent => understood_bend(&typed).map(Some),
            Bolt => understood_thread(&typed).map(Some),
            Size => understood_load(&typed, self.kind()).map(Some),
            PerDay => per_day(&typed).map(|_| None),
            FallMass => {
                let says = understood_load(&typed, LoadKind::Carry)?;
                if says.contains("kg") {
                    Ok(Some(says))
                } else {
                    Err("A weight such as 2 kg or 5 lb, please.".into())
                }
            }
            Fall | Jam => match reason_never(&typed) {
                Some("") => Err("Why not? Cannot, because ...".into()),
                Some(_) => Ok(None),
                None if ask == Fall => understood_length(&typed, self.inch()).map(Some),
                None => understood_load(&typed, LoadKind::Jam).map(Some),
            },
            Control | Hand | Unit | Ask::Form | Loads | Kind | Way | JamWay => {
                let choices = self.question(ask).choices;
                let typed = typed.to_lowercase();
                let known = choices.contains(&typed.as_str()) || word_of(ask.choices(), &typed).is_some();
                if known {
                    Ok(None)
                } else {
                    Err(format!("One of: {}.", choices.join(", ")))
                }
            }
        }
    }

    fn form(&self) -> Form {
        if self.word(Ask::Form) == "flat" {
            Form::Flat
        } else {
            Form::OneBend
        }
    }

    pub(super) fn care(&self) -> AskedCare {
        AskedCare {
            purpose: self.text(Purpose),
            onto: self.text(Onto),
            weight: self.yes(Weight),
            held: self.yes(Held),
            control: self.word(Control),
            feels: self.yes(Feels),
            release: self.yes(Release),
            left: self.word(Hand) == "left",
            inch: self.inch(),
        }
    }

    pub(super) fn asked_fit(&self) -> AskedFit {
        AskedFit {
            title: self.text(FitTitle),
            care: self.care(),
        }
    }

    fn loads(&self) -> Option<AskedLoads> {
        if self.word(Loads) != "now" {
            return None;
        }
        let never = |ask: Ask| reason_never(&self.text(ask)).map(str::to_owned);
        Some(AskedLoads {
            most: AskedLoad {
                kind: self.kind(),
                size: self.text(Size),
                way: self.word(Way).to_owned(),
                per_day: per_day(&self.text(PerDay)).unwrap_or_default(),
            },
            drop: match never(Fall) {
                Some(reason) => Happens::Never(reason),
                None => Happens::So((self.text(FallMass), self.text(Fall))),
            },
            jam: match never(Jam) {
                Some(reason) => Happens::Never(reason),
                None => Happens::So(AskedLoad {
                    kind: LoadKind::Jam,
                    size: self.text(Jam),
                    way: self.word(JamWay).to_owned(),
                    per_day: String::new(),
                }),
            },
        })
    }

    /// All of it; what is not answered yet is as usual.
    pub(super) fn asked(&self) -> Asked {
        Asked {
            title: self.text(Title),
            care: self.care(),
            stock: self.text(Stock),
            form: self.form(),
            width: self.text(Width),
            leg: self.text(Leg),
            other_leg: self.text(OtherLeg),
            bent: self.text(Bent),
            bolt: self.text(Bolt),
            loads: self.loads(),
        }
    }

    pub(super) fn refusal(&self, from: Beginning, design: Option<&Design>) -> Option<Refusal> {
        match (from, design) {
            (Beginning::Nothing, _) | (_, None) => refusal_of(&self.asked()),
            (_, Some(design)) => refusal_of_care(design, &self.care()),
        }
    }
}

/// A number as it is written; empty when it is not known.
fn per_day(typed: &str) -> Result<String, String> {
    if typed.to_lowercase().starts_with("not") {
        return Ok(String::new());
    }
    match typed.parse::<f64>() {
        Ok(number) if number > 0.0 && number.is_finite() => Ok(number.to_string()),
        _ => Err("A number above 0, or: not known.".into()),
    }
}
