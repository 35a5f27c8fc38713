//! The five questions that come before geometry, and what is refused.

use crate::files::model::{Care, CareSaid, Control, Design, Fit, Place, Told};

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
const REFUSED_USES: &[(&[&str], &str, &str)] = &[
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
            "hanging seat",
            "swing seat",
            "standing platform",
            "to stand on",
            "to sit on",
            "stool",
            "chair seat",
            "crutch",
            "grab rail",
        ],
        "it would lift, hang, catch or carry a person, standing or sitting",
        "a licensed engineer and the maker of lifting, seating or walking equipment",
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
            "feeding tube",
            "prescribed",
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
            "pistol", "rifle", "shotgun", "handgun", "firearm", "weapon", "crossbow", "gunstock",
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
            "without the guard",
            "bypass interlock",
            "defeat interlock",
            "bypass the interlock",
            "defeat the interlock",
            "two-hand control",
            "dead man's switch",
            "dead man switch",
        ],
        "it would defeat a guard, an interlock or a two-hand control",
        "the machine's maker, for controls that one hand can work with the guard in place",
    ),
];

/// Equipment that must not be drilled or welded outside a licensed workshop.
const NOT_TO_BE_ALTERED: &[&str] = &[
    "wheelchair frame",
    "wheelchair's frame",
    "bicycle fork",
    "the fork",
    "steerer",
    "steering stem",
    "the stem",
    "wheel rim",
    "the rim",
    "pressure vessel",
    "gas bottle",
    "gas cylinder",
    "compressed air tank",
];

/// Words for altering it.
const ALTERING: &[&str] = &[
    "drill", "drilled", "drilling", "weld", "welded", "welding", "tap", "tapped", "braze", "brazed",
];

/// What is refused, from the answers and the words of the job; the first reason only.
pub fn refusal(design: &Design, fit: &Fit) -> Option<Refusal> {
    refused(design, &CareSaid::from(&fit.care))
}

/// The same from the answers that are given, where others may be missing.
pub(crate) fn refused(design: &Design, care: &CareSaid) -> Option<Refusal> {
    let because = |at: &Place, why, ask| {
        Some(Refusal {
            at: at.clone(),
            why,
            ask,
            words: None,
        })
    };
    let yes = |answer: &Option<Told<bool>>| answer.clone().filter(|answer| answer.value);
    if let Some(weight) = yes(&care.weight) {
        return because(
            &weight.at,
            "someone's weight hangs on it",
            "a licensed engineer, a prosthetist, and the maker of lifting or seating equipment",
        );
    }
    if let Some(control) = care
        .control
        .as_ref()
        .filter(|control| control.value == Control::Only)
    {
        return because(
            &control.at,
            "it would be the only steering, brake or throttle",
            "a licensed vehicle adapter; a second control that works without the part must stay",
        );
    }
    let cannot_let_go = care.release.as_ref().is_some_and(|release| !release.value);
    if let Some(held) = yes(&care.held).filter(|_| cannot_let_go) {
        return because(
            &held.at,
            "it could hold someone under water or to something that moves, and the other hand cannot let go of it",
            "a prosthetist, for a release that the other hand works in two seconds",
        );
    }
    let texts = [
        care.purpose.as_ref(),
        care.onto.as_ref(),
        design.about.as_ref(),
        Some(&design.title),
    ];
    for text in texts.into_iter().flatten() {
        for (words, why, ask) in REFUSED_USES {
            if let Some(word) = first_of(words, &text.value) {
                return Some(Refusal {
                    at: text.at.clone(),
                    why,
                    ask,
                    words: Some(word.to_owned()),
                });
            }
        }
        if let (Some(thing), Some(act)) = (
            first_of(NOT_TO_BE_ALTERED, &text.value),
            first_of(ALTERING, &text.value),
        ) {
            return Some(Refusal {
                at: text.at.clone(),
                why: "it would drill or weld a frame, fork, stem, rim or pressure vessel",
                ask: "the maker, or a licensed workshop that may alter that equipment; a clamp on it alters nothing",
                words: Some(format!("{thing}\" and \"{act}")),
            });
        }
    }
    None
}

/// Does the job touch equipment that must not be drilled or welded?
pub(crate) fn not_to_be_altered(text: &str) -> Option<&'static str> {
    first_of(NOT_TO_BE_ALTERED, text)
}

/// The first of some words that a text has, whole words only.
fn first_of(words: &[&'static str], text: &str) -> Option<&'static str> {
    let text = format!(" {} ", spaced(text));
    words
        .iter()
        .find(|word| text.contains(&format!(" {} ", spaced(word))))
        .copied()
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::files::{read_design, read_fit};

    fn refused_by(care: &str) -> Option<Refusal> {
        let design = read_design(
            "gusset = 1\ntitle = \"Plate\"\nplate = { stock = \"5052-H32 3 mm\" }\npoints = { A = [\"0 mm\", \"0 mm\"] }\n\
             outline = { through = [\"A\", \"A\"] }\n",
        )
        .expect("a design of right form");
        let fit =
            read_fit(&format!("gusset = 1\ntitle = \"Fit\"\n[care]\n{care}")).expect("a fit of right form");
        refusal(&design, &fit)
    }

    fn answers_with(change: (&str, &str)) -> String {
        let mut lines = vec![
            ("purpose", "\"Pushing a hoe.\""),
            ("weight", "false"),
            ("held", "false"),
            ("control", "\"no\""),
            ("feels", "true"),
            ("release", "true"),
            ("onto", "\"a handle tube\""),
        ];
        for line in &mut lines {
            if line.0 == change.0 {
                line.1 = change.1;
            }
        }
        lines
            .iter()
            .map(|(key, value)| format!("{key} = {value}\n"))
            .collect()
    }

    #[test]
    fn a_hoe_is_not_refused() {
        assert_eq!(refused_by(&answers_with(("weight", "false"))), None);
    }

    #[test]
    fn a_weight_that_hangs_on_it_and_the_only_brake_are_refused() {
        assert!(refused_by(&answers_with(("weight", "true"))).is_some());
        assert!(refused_by(&answers_with(("control", "\"only\""))).is_some());
        assert_eq!(refused_by(&answers_with(("control", "\"beside another\""))), None);
    }

    #[test]
    fn water_and_wheels_need_a_release() {
        let held = answers_with(("held", "true"));
        assert_eq!(refused_by(&held), None);
        assert!(refused_by(&held.replace("release = true", "release = false")).is_some());
    }

    #[test]
    fn words_of_refused_uses_are_whole_words() {
        let used_for =
            |words: &str| refused_by(&answers_with(("purpose", &format!("\"{words}\"")))).map(|r| r.why);
        assert!(used_for("Holds a seat belt away.").is_some());
        assert!(used_for("A rifle rest.").is_some());
        assert!(used_for("Works the press without the guard.").is_some());
        assert_eq!(used_for("Holds a toadstool lamp and a glue gun."), None);
    }

    #[test]
    fn a_clamp_on_a_wheelchair_frame_is_not_a_hole_in_it() {
        let onto = |words: &str| refused_by(&answers_with(("onto", &format!("\"{words}\""))));
        assert_eq!(onto("clamped to the wheelchair frame"), None);
        assert!(onto("drilled into the wheelchair frame").is_some());
    }
}
