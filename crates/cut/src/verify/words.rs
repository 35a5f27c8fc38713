//! The grain of the program: words on lines, comments left out.

use super::read_error::ReadError;

/// A program of a full sheet is far under this; it keeps a wrong file from filling the memory.
pub(super) const LONGEST_PROGRAM_BYTES: usize = 16 << 20;
/// Characters on a line: RS274/NGC takes 256 (value from memory).
const LONGEST_LINE_BYTES: usize = 256;
/// Numbers beyond this mean nothing to a cutting table, in any unit.
const LARGEST_NUMBER: f64 = 1e8;

/// A letter and its number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Word {
    /// A capital letter.
    pub(super) letter: char,
    pub(super) value: f64,
}

/// One line's words.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Block {
    /// From 1.
    pub(super) line: usize,
    pub(super) words: Vec<Word>,
}

/// The words of one line, N words, comments and blanks left out.
pub(super) fn block(line: usize, text: &str) -> Result<Block, ReadError> {
    if text.len() > LONGEST_LINE_BYTES {
        return Err(ReadError::LongLine {
            line,
            bytes: text.len(),
            most: LONGEST_LINE_BYTES,
        });
    }
    let mut words = Vec::new();
    let bare = without_comments(line, text)?;
    // Blanks may stand anywhere, even within a number.
    let mut rest = bare.as_str();
    // A line of one percent sign frames the program.
    if rest == "%" {
        rest = "";
    }
    while let Some(found) = rest.chars().next() {
        let letter = found.to_ascii_uppercase();
        if !letter.is_ascii_uppercase() {
            return Err(ReadError::NoWord { line, found });
        }
        rest = &rest[1..];
        let length = number_length(rest);
        let value = rest
            .get(..length)
            .and_then(|digits| digits.parse::<f64>().ok())
            .ok_or(ReadError::NoNumber { line, letter })?;
        rest = &rest[length..];
        if value.abs() > LARGEST_NUMBER {
            return Err(ReadError::OutOfMeasure { line, letter, value });
        }
        let word = Word { letter, value };
        if letter == 'N' {
            if !words.is_empty() || value < 0.0 || value.fract() != 0.0 {
                return Err(ReadError::BadValue {
                    line,
                    letter,
                    value,
                    why: "a line number is whole and stands first",
                });
            }
            continue;
        }
        words.push(word);
    }
    Ok(Block { line, words })
}

/// How many characters of a number stand here: a sign, digits, a point, digits.
fn number_length(text: &str) -> usize {
    let mut point = false;
    text.char_indices()
        .find(|&(i, c)| match c {
            '+' | '-' => i > 0,
            '.' if !point => {
                point = true;
                false
            }
            _ => !c.is_ascii_digit(),
        })
        .map_or(text.len(), |(i, _)| i)
}

fn without_comments(line: usize, text: &str) -> Result<String, ReadError> {
    let mut bare = String::new();
    let mut within = false;
    for c in text.chars() {
        match c {
            '(' if within => return Err(ReadError::OpenComment { line }),
            '(' => within = true,
            ')' if within => within = false,
            _ if within => {}
            ';' => return Ok(bare),
            ' ' | '\t' | '\r' => {}
            _ => bare.push(c),
        }
    }
    if within {
        return Err(ReadError::OpenComment { line });
    }
    Ok(bare)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(text: &str) -> Vec<(char, f64)> {
        block(1, text)
            .expect("the line reads")
            .words
            .iter()
            .map(|word| (word.letter, word.value))
            .collect()
    }

    #[test]
    fn words_are_read_with_blanks_and_comments_anywhere() {
        assert_eq!(
            words("N10 G1 X-1.5 (to the edge) Y+.25 ; done"),
            [('G', 1.0), ('X', -1.5), ('Y', 0.25)]
        );
        assert_eq!(words("g 1 x 1 0 . 5"), [('G', 1.0), ('X', 10.5)]);
        assert_eq!(words("%"), []);
        assert_eq!(words("G1X1Y2"), [('G', 1.0), ('X', 1.0), ('Y', 2.0)]);
    }

    #[test]
    fn what_is_no_word_is_told() {
        assert!(matches!(
            block(7, "G1 X"),
            Err(ReadError::NoNumber { line: 7, letter: 'X' })
        ));
        // No number has an exponent, so this is two words, and no machine has an E.
        assert_eq!(words("X1e3"), [('X', 1.0), ('E', 3.0)]);
        assert!(matches!(
            block(1, "#1=2"),
            Err(ReadError::NoWord { found: '#', .. })
        ));
        assert!(matches!(
            block(1, "/G1"),
            Err(ReadError::NoWord { found: '/', .. })
        ));
        assert!(matches!(
            block(1, "X1.2.3"),
            Err(ReadError::NoWord { found: '.', .. })
        ));
        assert!(matches!(block(1, "X--1"), Err(ReadError::NoNumber { .. })));
        assert!(matches!(block(1, "(a (b)"), Err(ReadError::OpenComment { .. })));
        assert!(matches!(block(1, "(a"), Err(ReadError::OpenComment { .. })));
        assert!(matches!(block(1, "X1\u{e9}"), Err(ReadError::NoWord { .. })));
        assert!(matches!(block(1, "G1 N3"), Err(ReadError::BadValue { .. })));
        assert!(matches!(
            block(1, "X999999999999"),
            Err(ReadError::OutOfMeasure { .. })
        ));
        assert!(matches!(
            block(1, &"X1".repeat(200)),
            Err(ReadError::LongLine { .. })
        ));
    }
}
