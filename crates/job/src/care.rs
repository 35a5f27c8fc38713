//! The five questions that come before geometry, and what is refused.

use crate::files::model::{Care, Control, Design, Fit, Place};

/// A job that this program does not help with.
#[derive(Debug, Clone, PartialEq)]
pub struct Refusal {
    /// Where the answer stands that decides it.
    pub at: Place,
    /// Why.
    pub why: &'static str,
    /// Whom to ask instead.
    pub ask: &'static str,
    /// The words in the file that decided it, when words did.
    pub words: Option<String>,
}

/// Words that name a use which is refused, each with why. Whole words only, any case. A job that has them in another
/// sense is better described in other words than let through by mistake.
const REFUSED_WORDS: &[(&[&str], &str, &str)] = &[
    (
        &[
            "hoist",
            "hoisting",
            "lifting people",
            "lift a person",
            "climbing",
            "abseil",
            "fall arrest",
            "belay",
            "crane",
            "hanging seat",
            "swing seat",
            "standing platform",
            "step to stand on",
            "stool",
            "chair seat",
        ],
        "it would lift, hang, catch or carry a person or a load overhead",
        "a licensed engineer and the maker of the lifting or seating equipment",
    ),
    (
        &[
            "ventilator",
            "life support",
            "oxygen cylinder",
            "surgical",
            "implant",
            "infusion",
            "medical device",
            "therapy device",
        ],
        "it serves life support or a medical purpose",
        "the clinic or the device's maker",
    ),
    (
        &[
            "seat belt",
            "seatbelt",
            "child seat",
            "tie-down",
            "tiedown",
            "harness anchor",
            "tow hitch",
            "towing",
        ],
        "it is part of a restraint, a tie-down or a tow",
        "the vehicle's maker or a licensed vehicle adapter",
    ),
    (
        &[
            "wheelchair frame",
            "bicycle fork",
            "steering stem",
            "wheel rim",
            "pressure vessel",
            "gas bottle",
            "gas cylinder",
            "drill the fork",
            "weld the frame",
        ],
        "it would drill or weld a wheelchair frame, fork, stem, rim or pressure vessel",
        "the maker, or a licensed workshop that may alter that equipment",
    ),
    (
        &[
            "gun",
            "pistol",
            "rifle",
            "firearm",
            "weapon",
            "crossbow",
            "trigger guard",
            "knife fighting",
        ],
        "it serves a weapon",
        "nobody here: this program does not help with weapons",
    ),
    (
        &[
            "defeat the guard",
            "bypass the guard",
            "remove the guard",
            "defeat guard",
            "bypass guard",
            "guard defeat",
            "bypass interlock",
            "defeat interlock",
            "bypass the interlock",
            "dead man's switch",
            "dead-man switch",
        ],
        "it would defeat a guard or an interlock",
        "the machine's maker, for controls that one hand can work with the guard in place",
    ),
];

/// What is refused, from the answers and the words of the job; the first reason only.
pub fn refusal(design: &Design, fit: &Fit) -> Option<Refusal> {
    let care = &fit.care;
    let said = |at: &Place, why, ask| {
        Some(Refusal {
            at: at.clone(),
            why,
            ask,
            words: None,
        })
    };
    if care.weight.value {
        return said(
            &care.weight.at,
            "someone's weight hangs on it",
            "a licensed engineer, a prosthetist, and the maker of lifting or seating equipment",
        );
    }
    if care.control.value == Control::Only {
        return said(
            &care.control.at,
            "it would be the only steering, brake or throttle",
            "a licensed vehicle adapter; a second control that works without the part must stay",
        );
    }
    if care.held.value && !care.release.value {
        return said(
            &care.held.at,
            "it could hold someone under water or to something that moves, and the other hand cannot let go of it",
            "a prosthetist, for a release that the other hand works in two seconds",
        );
    }
    let texts = [
        Some(&care.purpose),
        care.onto.as_ref(),
        design.about.as_ref(),
        Some(&design.title),
    ];
    for text in texts.into_iter().flatten() {
        let lower = format!(" {} ", spaced(&text.value));
        for (words, why, ask) in REFUSED_WORDS {
            if let Some(word) = words
                .iter()
                .find(|word| lower.contains(&format!(" {} ", spaced(word))))
            {
                return Some(Refusal {
                    at: text.at.clone(),
                    why,
                    ask,
                    words: Some((*word).to_owned()),
                });
            }
        }
    }
    None
}

fn spaced(text: &str) -> String {
    let plain: String = text
        .to_lowercase()
        .chars()
        .map(|c| if c.is_alphanumeric() || c == '\'' { c } else { ' ' })
        .collect();
    plain.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The five questions with their answers, as printed on the first lines of every output.
pub fn answers(care: &Care) -> [(&'static str, &'static str); 5] {
    let yes_no = |yes: bool| if yes { "yes" } else { "no" };
    [
        ("Does anyone's weight hang on it?", yes_no(care.weight.value)),
        (
            "Could it hold someone under water or to something that moves?",
            yes_no(care.held.value),
        ),
        (
            "Does it steer, brake or fire anything?",
            match care.control.value {
                Control::No => "no",
                Control::Beside => "beside another control that does the same",
                Control::Only => "yes, the only one",
            },
        ),
        (
            "Can the person feel the skin it touches?",
            yes_no(care.feels.value),
        ),
        (
            "Can the other hand let go of it in two seconds?",
            yes_no(care.release.value),
        ),
    ]
}
