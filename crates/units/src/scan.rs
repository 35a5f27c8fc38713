//! A place in a text that moves forward.

use std::ops::Range;

use crate::error::{ParseProblem, ParseQuantityError};

/// A text and how far it has been read.
#[derive(Debug, Clone)]
pub(crate) struct Scanner<'a> {
    pub text: &'a str,
    pub pos: usize,
}

/// A dash as typed: which one decides what it may mean.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Dash {
    /// Hyphens and the en dash: "and" between a whole number and a fraction, else minus.
    Hyphen,
    /// The mathematical minus sign: never "and".
    Minus,
}

impl<'a> Scanner<'a> {
    pub fn new(text: &'a str) -> Self {
        Self { text, pos: 0 }
    }

    pub fn rest(&self) -> &'a str {
        self.text.get(self.pos..).unwrap_or("")
    }

    pub fn peek(&self) -> Option<char> {
        self.rest().chars().next()
    }

    pub fn take(&mut self, wanted: char) -> bool {
        let found = self.peek() == Some(wanted);
        if found {
            self.pos += wanted.len_utf8();
        }
        found
    }

    pub fn skip_space(&mut self) {
        let rest = self.rest();
        self.pos += rest.len() - rest.trim_start().len();
    }

    /// The characters from here that satisfy `is`, which are then behind.
    pub fn run(&mut self, is: impl Fn(char) -> bool) -> &'a str {
        let rest = self.rest();
        let end = rest.find(|c| !is(c)).unwrap_or(rest.len());
        self.pos += end;
        &rest[..end]
    }

    pub fn digits(&mut self) -> &'a str {
        self.run(|c| c.is_ascii_digit())
    }

    /// A word of letters, digits and underscores that starts with a letter or underscore; empty if none starts here.
    pub fn word(&mut self) -> &'a str {
        if self.peek().is_some_and(|c| c.is_alphabetic() || c == '_') {
            self.run(is_word_char)
        } else {
            ""
        }
    }

    pub fn dash(&mut self) -> Option<Dash> {
        let dash = match self.peek()? {
            '-' | '\u{2010}' | '\u{2011}' | '\u{2012}' | '\u{2013}' => Dash::Hyphen,
            '\u{2212}' => Dash::Minus,
            _ => return None,
        };
        self.pos += self.peek().map_or(0, char::len_utf8);
        Some(dash)
    }

    /// Does a number start here?
    pub fn at_number(&self) -> bool {
        let mut chars = self.rest().chars();
        match chars.next() {
            Some(c) if c.is_ascii_digit() || vulgar_fraction(c).is_some() => true,
            Some('.') => chars.next().is_some_and(|c| c.is_ascii_digit()),
            _ => false,
        }
    }

    /// A fault at these bytes; each replacement of them makes a fix.
    pub fn fault(&self, at: Range<usize>, problem: ParseProblem, instead: &[String]) -> ParseQuantityError {
        let fixes = instead
            .iter()
            .map(|new| format!("{}{new}{}", &self.text[..at.start], &self.text[at.end..]))
            .collect();
        ParseQuantityError { at, problem, fixes }
    }

    /// The bytes of the next character, or the empty range at the end.
    pub fn next_char_range(&self) -> Range<usize> {
        self.pos..self.pos + self.peek().map_or(0, char::len_utf8)
    }
}

/// Letters, digits, underscores, and the raised powers of a unit. Not the one-character fractions, which are numbers.
fn is_word_char(c: char) -> bool {
    c.is_alphabetic() || c.is_ascii_digit() || matches!(c, '_' | '\u{b2}' | '\u{b3}' | '\u{2074}')
}

/// The parts of a one-character fraction.
pub(crate) fn vulgar_fraction(c: char) -> Option<(u8, u8)> {
    Some(match c {
        '\u{bd}' => (1, 2),
        '\u{2153}' => (1, 3),
        '\u{2154}' => (2, 3),
        '\u{bc}' => (1, 4),
        '\u{be}' => (3, 4),
        '\u{2155}' => (1, 5),
        '\u{2156}' => (2, 5),
        '\u{2157}' => (3, 5),
        '\u{2158}' => (4, 5),
        '\u{2159}' => (1, 6),
        '\u{215a}' => (5, 6),
        '\u{2150}' => (1, 7),
        '\u{215b}' => (1, 8),
        '\u{215c}' => (3, 8),
        '\u{215d}' => (5, 8),
        '\u{215e}' => (7, 8),
        '\u{2151}' => (1, 9),
        '\u{2152}' => (1, 10),
        _ => return None,
    })
}
