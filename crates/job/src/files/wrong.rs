//! What is wrong with a file, and how it is shown: file, line, column, the line, a caret, what was expected, a fix.

use std::fmt::Write as _;

use super::model::{FileKind, Place};

/// One thing wrong with a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wrong {
    /// Where.
    pub at: Place,
    /// What is wrong, a sentence without its full stop.
    pub says: String,
    /// What would have been right.
    pub expected: Option<String>,
    /// Text that can be pasted in.
    pub fix: Option<String>,
}

impl Wrong {
    /// A wrong with no advice yet.
    pub fn new(at: Place, says: impl Into<String>) -> Self {
        Self {
            at,
            says: says.into(),
            expected: None,
            fix: None,
        }
    }

    /// With what would have been right.
    #[must_use]
    pub fn expected(mut self, expected: impl Into<String>) -> Self {
        self.expected = Some(expected.into());
        self
    }

    /// With text to paste.
    #[must_use]
    pub fn fix(mut self, fix: impl Into<String>) -> Self {
        self.fix = Some(fix.into());
        self
    }
}

/// The text of a file, for finding lines in it.
#[derive(Debug, Clone)]
pub struct Source {
    /// Which of the three.
    pub kind: FileKind,
    /// The path as the user would type it.
    pub path: String,
    /// The whole text.
    pub text: String,
}

/// A line and a column, both from 1; the column counts characters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Spot {
    /// Line.
    pub line: usize,
    /// Column.
    pub column: usize,
}

impl Source {
    /// The line and column of a byte.
    pub fn spot(&self, byte: usize) -> Spot {
        let byte = self.boundary(byte);
        let before = &self.text[..byte];
        let start = before.rfind('\n').map_or(0, |newline| newline + 1);
        Spot {
            line: before.matches('\n').count() + 1,
            column: before[start..].chars().filter(|c| *c != BYTE_ORDER_MARK).count() + 1,
        }
    }

    /// The text of the line that a byte is in, without its line end.
    pub fn line_of(&self, byte: usize) -> &str {
        let byte = self.boundary(byte);
        let start = self.text[..byte].rfind('\n').map_or(0, |newline| newline + 1);
        let end = self.text[byte..]
            .find('\n')
            .map_or(self.text.len(), |newline| byte + newline);
        self.text[start..end].trim_end_matches('\r')
    }

    fn boundary(&self, byte: usize) -> usize {
        let mut byte = byte.min(self.text.len());
        while !self.text.is_char_boundary(byte) {
            byte -= 1;
        }
        byte
    }

    /// The wrong as a block of text for a person.
    pub fn show(&self, wrong: &Wrong) -> String {
        let spot = self.spot(wrong.at.span.start);
        let line = self.line_of(wrong.at.span.start);
        let shown: String = line
            .chars()
            .filter(|c| *c != BYTE_ORDER_MARK)
            .map(shown)
            .collect();
        let length = shown.chars().count();
        let wide = self.text[self.boundary(wrong.at.span.start)..self.boundary(wrong.at.span.end)]
            .chars()
            .count();
        let carets = wide.min((length + 1).saturating_sub(spot.column)).max(1);
        let number = spot.line.to_string();
        let margin = " ".repeat(number.len());
        let mut out = String::new();
        // Writing to a String cannot fail.
        let says: String = wrong.says.chars().map(self::shown).collect();
        let _ = writeln!(out, "{}:{}:{}: {says}", self.path, spot.line, spot.column);
        let _ = writeln!(out, "{margin} |");
        let (shown, shift) = window(&shown, spot.column - 1);
        let _ = writeln!(out, "{number} | {shown}");
        let _ = writeln!(
            out,
            "{margin} | {}{}",
            " ".repeat((spot.column - 1).saturating_sub(shift)),
            "^".repeat(carets.min((LONGEST_LINE + shift + 1).saturating_sub(spot.column)))
        );
        if let Some(expected) = &wrong.expected {
            let _ = writeln!(out, "{margin}   expected: {expected}");
        }
        if let Some(fix) = &wrong.fix {
            let _ = writeln!(out, "{margin}   write:    {fix}");
        }
        out
    }
}

/// Some editors put it at the start of a file; it is no column of its own.
const BYTE_ORDER_MARK: char = '\u{feff}';

/// A character as it can be shown in its column: signs that move the cursor or turn the line round would part the caret
/// from what it points at.
fn shown(c: char) -> char {
    match c {
        '\t' => ' ',
        '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{2069}' => '\u{fffd}',
        c if c.is_control() => '\u{fffd}',
        c => c,
    }
}

/// A longer line is shown only round the place, so that a terminal does not wrap the caret away from it.
const LONGEST_LINE: usize = 160;

fn window(line: &str, column: usize) -> (String, usize) {
    let length = line.chars().count();
    if length <= LONGEST_LINE {
        return (line.to_owned(), 0);
    }
    let start = column.saturating_sub(LONGEST_LINE / 2).min(length - LONGEST_LINE);
    (line.chars().skip(start).take(LONGEST_LINE).collect(), start)
}

/// The known name nearest to a mistyped one, when it is near enough to be meant.
pub fn nearest<'a>(typed: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let mut best: Option<(usize, &str)> = None;
    for name in known {
        let distance = strsim::damerau_levenshtein(&typed.to_lowercase(), &name.to_lowercase());
        if best.is_none_or(|(least, _)| distance < least) {
            best = Some((distance, name));
        }
    }
    let (distance, name) = best?;
    let (typed_length, length) = (typed.chars().count(), name.chars().count());
    // With every letter changed nothing of what was typed is left to go by.
    let near = distance <= 1 + length / 3 && distance < typed_length.max(length);
    let begins = length >= 2 && typed.to_lowercase().starts_with(name);
    (near || begins).then_some(name)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn source(text: &str) -> Source {
        Source {
            kind: FileKind::Design,
            path: "design.toml".into(),
            text: text.into(),
        }
    }

    #[test]
    fn the_caret_stands_under_the_fault() {
        let source = source("a = 1\nbent = \"90 dge\"\n");
        let at = Place {
            file: FileKind::Design,
            span: 14..20,
        };
        let shown = source.show(&Wrong::new(at, "there is no unit \"dge\"").fix("\"90 deg\""));
        assert_eq!(
            shown,
            "design.toml:2:9: there is no unit \"dge\"\n  |\n2 | bent = \"90 dge\"\n  |         ^^^^^^\n    write:    \"90 deg\"\n"
        );
    }

    #[test]
    fn a_place_past_the_end_is_the_end() {
        let source = source("é = 1");
        assert_eq!(source.spot(99), Spot { line: 1, column: 6 });
        assert_eq!(source.spot(1), Spot { line: 1, column: 1 });
    }

    #[test]
    fn a_swapped_letter_is_found_and_a_stranger_is_not() {
        assert_eq!(nearest("outlien", ["outline", "points"]), Some("outline"));
        assert_eq!(nearest("zebra", ["outline", "points"]), None);
    }
}
