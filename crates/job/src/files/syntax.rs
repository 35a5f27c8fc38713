//! Faults of the text as such, before any key is looked at: quotes, brackets, equals signs. The parser's findings are
//! put into plain words, and what only follows from an earlier fault is left out.

use std::ops::Range;

use super::model::{FileKind, Place};
use super::wrong::Wrong;

/// After so many faults of this kind the text is not one of ours, and the rest would bury the first ones.
const MOST_TOLD: usize = 20;

/// Everything wrong with the text, from what the parser found.
pub(super) fn wrongs(kind: FileKind, text: &str, errors: &[toml::de::Error]) -> Vec<Wrong> {
    let mut told: Vec<Wrong> = Vec::new();
    let mut last_line = None;
    let mut errors: Vec<&toml::de::Error> = errors.iter().collect();
    errors.sort_by_key(|error| error.span().map_or(0, |span| span.start));
    for error in errors {
        let span = error.span().unwrap_or(0..0);
        let place = |span: Range<usize>| Place { file: kind, span };
        let line = text
            .get(..span.start)
            .map_or(0, |before| before.matches('\n').count());
        if let Some((open, with)) = unclosed(text, span.start) {
            // All that follows is read as if it were inside, so nothing more can be said of it.
            let mark = &text[open..=open];
            told.push(
                Wrong::new(
                    place(open..open + 1),
                    format!("the bracket \"{mark}\" is not closed"),
                )
                .expected(format!("a \"{with}\" at its end"))
                .fix(with),
            );
            break;
        }
        let wrong = plain(text, error.message(), span);
        let wrong = Wrong {
            at: place(wrong.0),
            says: wrong.1,
            expected: wrong.2,
            fix: wrong.3,
        };
        // A second fault of one line is nearly always the first one's shadow.
        let shadow = last_line == Some(line)
            || told
                .iter()
                .any(|other| other.says == wrong.says && is_whole_file(&wrong));
        if !shadow {
            told.push(wrong);
        }
        last_line = Some(line);
        if told.len() == MOST_TOLD {
            break;
        }
    }
    told
}

const OLD_LINE_ENDS: &str = "the lines of this file end in a way that is no longer used";

fn is_whole_file(wrong: &Wrong) -> bool {
    wrong.says == OLD_LINE_ENDS
}

/// The bracket that was opened before this place, in the entry that the place belongs to, and is still open where the
/// place's line begins; with the bracket that closes it.
fn unclosed(text: &str, at: usize) -> Option<(usize, char)> {
    let line_start = text.get(..at)?.rfind('\n')? + 1;
    let mut entry = line_start;
    loop {
        entry = match text[..entry.checked_sub(1)?].rfind('\n') {
            Some(newline) => newline + 1,
            None => 0,
        };
        let line = text[entry..].lines().next().unwrap_or("");
        let begins = line.split_once('=').is_some_and(|(key, _)| {
            let key = key.trim();
            !key.is_empty() && key.chars().all(|c| c.is_alphanumeric() || "_-.\" ".contains(c))
        });
        if begins {
            break;
        }
        if entry == 0 || line.starts_with('[') {
            return None;
        }
    }
    let mut open: Vec<(usize, char)> = Vec::new();
    let (mut quote, mut comment) = (None, false);
    for (byte, c) in text[entry..line_start].char_indices() {
        match (c, quote) {
            ('\n', _) => (quote, comment) = (None, false),
            _ if comment => {}
            (c, Some(mark)) if c == mark => quote = None,
            (_, Some(_)) => {}
            ('"' | '\'', None) => quote = Some(c),
            ('#', None) => comment = true,
            ('[', None) => open.push((entry + byte, ']')),
            ('{', None) => open.push((entry + byte, '}')),
            (']' | '}', None) => drop(open.pop()),
            _ => {}
        }
    }
    open.first().copied()
}

type Plain = (Range<usize>, String, Option<String>, Option<String>);

/// One finding of the parser: where, what, what was expected, a fix.
fn plain(text: &str, message: &str, span: Range<usize>) -> Plain {
    let raw = text.get(span.clone()).unwrap_or("").trim();
    let message = message.trim().trim_end_matches('.');
    let rest_of_line = text
        .get(span.start..)
        .and_then(|rest| rest.lines().next())
        .unwrap_or("")
        .trim();
    let told = |says: &str, expected: &str, fix: Option<String>| -> Plain {
        (
            span.clone(),
            says.to_owned(),
            (!expected.is_empty()).then(|| expected.to_owned()),
            fix,
        )
    };
    let quoted = |words: &str| {
        let words: String = words
            .chars()
            .filter(|c| !matches!(c, '"' | '\u{201c}' | '\u{201d}' | '\u{201e}'))
            .collect();
        format!("\"{}\"", words.trim())
    };
    if text.as_bytes().get(span.start) == Some(&b'\r') || message.starts_with("carriage return") {
        return told(
            OLD_LINE_ENDS,
            "plain line ends: save the file again as plain text (UTF-8)",
            None,
        );
    }
    if let Some(c) = raw.chars().next().filter(|c| c.is_control()) {
        let says = format!("this is not text: there is a byte {} in it", u32::from(c));
        return told(&says, "a text file: save it again as plain text (UTF-8)", None);
    }
    if raw.starts_with("//") || raw.starts_with("/*") {
        return told(
            "this is not a key",
            "a note begins with #",
            Some(format!(
                "# {}",
                rest_of_line.trim_start_matches(['/', '*']).trim()
            )),
        );
    }
    match message {
        m if m.starts_with("duplicate key") => {
            told("this is said twice", "one of the two; take the other out", None)
        }
        m if m.starts_with("string values must be quoted") && raw.is_empty() => told(
            "there is nothing after the =",
            "a value: words and quantities in quotes",
            None,
        ),
        m if m.starts_with("string values must be quoted") => told(
            "words and quantities need quotes round them",
            "quotes at both ends",
            Some(quoted(raw)),
        ),
        m if m.starts_with("invalid basic string") || m.starts_with("invalid literal string") => told(
            "the quotes are not closed on this line",
            "a quote at both ends",
            Some("\"".into()),
        ),
        m if m.starts_with("missing escaped value") || m.starts_with("invalid escape") => told(
            "a backslash has a meaning of its own inside quotes",
            "two of them for one, or another sign",
            Some("\\\\".into()),
        ),
        m if m.starts_with("key with no value") => {
            let fix = match rest_of_line.chars().next() {
                None => None,
                Some('"' | '\'' | '[' | '{') => Some(format!("= {rest_of_line}")),
                Some(_) => Some(format!("= {}", quoted(rest_of_line))),
            };
            told("there is no = after the key", "key = value", fix)
        }
        m if m.starts_with("invalid unquoted key") && raw == ":" => {
            told("an = is wanted here, not a :", "key = value", Some("=".into()))
        }
        m if m.starts_with("invalid unquoted key") => told(
            "this sign cannot be in a key",
            "letters, digits and underscores, then =",
            None,
        ),
        m if m.starts_with("missing comma between array") => told(
            "there is no comma between these two",
            "a comma between the things in brackets",
            Some(format!(", {rest_of_line}")),
        ),
        m if m.starts_with("missing comma between key") => told(
            "there is no comma between these two",
            "a comma between the keys in braces",
            Some(format!(", {rest_of_line}")),
        ),
        m if m.starts_with("unclosed table") || m.starts_with("unclosed array of tables") => told(
            "this heading is not closed",
            "the same brackets at both ends: [plate] or [[readings]]",
            Some("]".into()),
        ),
        m if m.starts_with("unclosed") => told("a bracket is not closed here", "brackets at both ends", None),
        m if m.starts_with("unexpected key or value") && rest_of_line.starts_with('"') => told(
            "there is a quote too many",
            "one quote at each end; an inch is written in, as \"2-3/8 in\"",
            None,
        ),
        m if m.starts_with("unexpected key or value") => told(
            "there is more here than one value",
            "one key and one value to a line; a quantity in quotes",
            None,
        ),
        m if m.starts_with("unexpected leading zero") => told(
            "a bare number does not begin with 0",
            "the number without the 0 in front",
            None,
        ),
        m if m.starts_with("invalid boolean") => told(
            "true and false are written in small letters",
            "true or false",
            Some(raw.to_lowercase()),
        ),
        m if m.starts_with("invalid date")
            || m.starts_with("invalid time")
            || m.starts_with("invalid datetime")
            || m.starts_with("invalid integer")
            || m.starts_with("invalid float")
            || m.contains("digit") =>
        {
            told(
                "this number cannot be read",
                "a number such as 1.5, or a quantity in quotes",
                (!raw.is_empty()).then(|| quoted(raw)),
            )
        }
        m if m.contains("recurs") => told(
            "brackets stand inside brackets too deep to be followed",
            "at most three or four inside each other, as the examples have them",
            None,
        ),
        m => told(
            &format!("this cannot be read: {m}"),
            "key = value, or a heading in brackets",
            None,
        ),
    }
}
