//! What the answers to the five questions ask of the person who makes and uses the part.

use crate::care;
use crate::finding::{Finding, Level, Question};
use crate::run::Worked;

pub(super) fn findings(worked: &Worked) -> Vec<Finding> {
    let Some(fit) = &worked.files.fit else {
        return Vec::new();
    };
    let care = &fit.care;
    let mut findings = Vec::new();
    let mut say = |code, about: &str, at, says: String, fix: &[&str]| {
        findings.push(Finding {
            code,
            level: Level::Care,
            question: Question::Other,
            about: about.to_owned(),
            at,
            says,
            fix: fix.iter().map(|way| (*way).to_owned()).collect(),
            margin: None,
        });
    };
    if !care.feels.value {
        say(
            "skin-not-felt",
            "skin",
            Some(care.feels.at.clone()),
            "the person cannot feel the skin it touches, so nothing will warn of a sore".into(),
            &[
                "look at the skin after the first five minutes, and after every use",
                "ask a prosthetist to look at the pad and where it presses",
            ],
        );
    }
    if !care.release.value {
        say(
            "no-release",
            "release",
            Some(care.release.at.clone()),
            "the other hand cannot let go of it in two seconds".into(),
            &[
                "give it a strap, lever or magnet that the other hand opens",
                "never use it near what moves or near water",
            ],
        );
    }
    if let Some(onto) = &care.onto
        && let Some(thing) = care::not_to_be_altered(&onto.value)
    {
        say(
            "not-to-be-altered",
            "mounts",
            Some(onto.at.clone()),
            format!("it is fastened to {thing}, which must not be drilled or welded"),
            &[
                "clamp it, or use holes that the maker put there",
                "ask the maker or a licensed workshop",
            ],
        );
    }
    findings
}
