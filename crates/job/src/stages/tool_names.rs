//! What the tools of a step are called: a strip may name all of them, or the one piece that counts.

use brake::tooling::{Means, Tooling};

/// The names of the tools of a step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct ToolNames {
    /// All of them, as a plan tells them.
    whole: String,
    /// Each by itself; of a press brake the machine, the punch and the die.
    pieces: Vec<String>,
}

impl ToolNames {
    /// Of a way to bend.
    pub fn of(tooling: &Tooling, means: Means) -> ToolNames {
        let named =
            |name: Option<&String>, else_word: &str| name.cloned().unwrap_or_else(|| else_word.into());
        match means {
            Means::Press { press, punch, die } => {
                let press = named(tooling.presses.get(press).map(|press| &press.name), "");
                let punch = named(tooling.punches.get(punch).map(|punch| &punch.name), "");
                let die = named(tooling.dies.get(die).map(|die| &die.name), "");
                ToolNames {
                    whole: format!("{press}: {punch} over {die}"),
                    pieces: vec![press, punch, die],
                }
            }
            Means::Folder(folder) => ToolNames::one(named(
                tooling.folders.get(folder).map(|folder| &folder.name),
                "a folder",
            )),
            Means::Vice(vice) => {
                ToolNames::one(named(tooling.vices.get(vice).map(|vice| &vice.name), "a vice"))
            }
            Means::Away => ToolNames::one("sent out".into()),
        }
    }

    fn one(name: String) -> ToolNames {
        ToolNames {
            pieces: vec![name.clone()],
            whole: name,
        }
    }

    /// All of them, as a plan tells them: "small brake: straight punch 85 over V 24 die".
    pub fn words(&self) -> &str {
        &self.whole
    }

    /// The piece that a person calls them by: of a press brake the die.
    pub fn short(&self) -> &str {
        self.pieces.last().unwrap_or(&self.whole)
    }

    /// Whether this is their name, or that of one piece of them, in whatever case.
    pub fn are(&self, name: &str) -> bool {
        let name = plain(name);
        std::iter::once(&self.whole)
            .chain(&self.pieces)
            .any(|own| plain(own) == name)
    }
}

fn plain(text: &str) -> String {
    text.to_lowercase()
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_with_the_words_of_a_sentence_in_it_is_still_one_name() {
        let mut tooling = Tooling::starter_brake();
        tooling.dies[0].name = "V 24: over the pit".into();
        let names = ToolNames::of(
            &tooling,
            Means::Press {
                press: 0,
                punch: 0,
                die: 0,
            },
        );
        assert!(names.are("v 24:  over the pit") && names.are(names.words()));
        assert!(!names.are("the pit") && !names.are("V 24"));
        assert_eq!(names.short(), "V 24: over the pit");
    }
}
