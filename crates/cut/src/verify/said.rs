//! The words of one line, sorted into modal groups and values, and what contradicts itself told.

use super::read_error::ReadError;
use super::words::{Block, Word};

/// The words of a line that are not G or M, each used once.
pub(super) struct Values {
    line: usize,
    left: Vec<Word>,
}

impl Values {
    pub(super) fn has(&self, letter: char) -> bool {
        self.left.iter().any(|word| word.letter == letter)
    }

    /// The first that nothing has used yet.
    pub(super) fn first_left(&self) -> Option<&Word> {
        self.left.first()
    }

    pub(super) fn take(&mut self, letter: char) -> Option<f64> {
        let at = self.left.iter().position(|word| word.letter == letter)?;
        Some(self.left.remove(at).value)
    }

    pub(super) fn need(
        &mut self,
        letter: char,
        word: &'static str,
        needs: &'static str,
    ) -> Result<f64, ReadError> {
        self.take(letter).ok_or(ReadError::Needs {
            line: self.line,
            word,
            needs,
        })
    }
}

/// The G and M words that this interpreter takes, with their modal group (RS274/NGC, NISTIR 6556, table 4; the group of
/// G90.1 and G91.1, which are younger, is their own).
const G_WORDS: [(f64, u8); 20] = [
    (0.0, 1),
    (1.0, 1),
    (2.0, 1),
    (3.0, 1),
    (80.0, 1),
    (4.0, 0),
    (17.0, 2),
    (90.0, 3),
    (91.0, 3),
    (90.1, 4),
    (91.1, 4),
    (94.0, 5),
    (20.0, 6),
    (21.0, 6),
    (40.0, 7),
    (41.0, 7),
    (42.0, 7),
    (41.1, 7),
    (42.1, 7),
    (61.0, 13),
];

/// The words of a line, sorted.
pub(super) struct Said {
    /// Number and group of the G words.
    g: Vec<(f64, u8)>,
    /// M words but the end.
    pub(super) m: Vec<f64>,
    pub(super) ends: bool,
    pub(super) values: Vec<Word>,
}

impl Said {
    pub(super) fn of(block: &Block) -> Result<Said, ReadError> {
        let line = block.line;
        let mut said = Said {
            g: Vec::new(),
            m: Vec::new(),
            ends: false,
            values: Vec::new(),
        };
        for word in &block.words {
            let Word { letter, value } = *word;
            match letter {
                'G' => {
                    let unknown = ReadError::UnknownWord { line, letter, value };
                    let &(_, group) = G_WORDS.iter().find(|(g, _)| *g == value).ok_or(unknown)?;
                    if let Some((first, _)) = said.g.iter().find(|(_, other)| *other == group) {
                        return Err(ReadError::SameGroup {
                            line,
                            first: format!("G{first}"),
                            second: format!("G{value}"),
                        });
                    }
                    said.g.push((value, group));
                }
                'M' if value == 2.0 || value == 30.0 => {
                    if said.ends {
                        return Err(ReadError::Twice { line, letter });
                    }
                    said.ends = true;
                }
                'M' => {
                    if said.m.contains(&value) {
                        return Err(ReadError::Twice { line, letter });
                    }
                    said.m.push(value);
                }
                'D' | 'F' | 'I' | 'J' | 'P' | 'Q' | 'R' | 'S' | 'X' | 'Y' | 'Z' => {
                    if said.values.iter().any(|other| other.letter == letter) {
                        return Err(ReadError::Twice { line, letter });
                    }
                    said.values.push(*word);
                }
                _ => return Err(ReadError::UnknownWord { line, letter, value }),
            }
        }
        Ok(said)
    }

    pub(super) fn values_of(&self, line: usize) -> Values {
        Values {
            line,
            left: self.values.clone(),
        }
    }

    pub(super) fn g_of(&self, group: u8) -> Option<f64> {
        self.g.iter().find(|(_, of)| *of == group).map(|(g, _)| *g)
    }

    pub(super) fn has_g(&self, number: f64) -> bool {
        self.g.iter().any(|(g, _)| *g == number)
    }
}
