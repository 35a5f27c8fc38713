//! Lines of the program: numbered if wanted, comments made harmless.

use super::dialect::{Comments, Dialect};

/// A program being written.
pub(super) struct Lines {
    text: String,
    comments: Comments,
    step_n: Option<u32>,
    next_n: u32,
}

/// A line may have 256 characters (RS274/NGC; value from memory); comments are broken well before.
const MOST_COMMENT_CHARS: usize = 100;
/// A line number has at most five digits (RS274/NGC; value from memory); then counting starts again.
const MOST_LINE_NUMBER_N: u32 = 99_999;

impl Lines {
    pub(super) fn new(dialect: &Dialect) -> Lines {
        Lines {
            text: String::new(),
            comments: dialect.comments,
            step_n: dialect.line_numbers,
            next_n: dialect.line_numbers.unwrap_or(0),
        }
    }

    /// One line of words.
    pub(super) fn line(&mut self, words: &str) {
        if let Some(step_n) = self.step_n {
            self.text.push_str(&format!("N{} ", self.next_n));
            self.next_n += step_n;
            if self.next_n > MOST_LINE_NUMBER_N {
                self.next_n = step_n;
            }
        }
        self.text.push_str(words);
        self.text.push('\n');
    }

    /// Words for a person, on as many lines as they need. Only plain ASCII stays, and nothing that would end the comment
    /// early: what is typed as a title must never move the machine.
    pub(super) fn comment(&mut self, words: &str) {
        let plain: String = words
            .chars()
            .map(|c| match c {
                '(' | '[' | '{' => '<',
                ')' | ']' | '}' => '>',
                ';' => ',',
                '\u{b0}' => 'd',
                ' '..='~' => c,
                _ if c.is_whitespace() || c.is_control() => ' ',
                _ => '?',
            })
            .collect();
        let mut row = String::new();
        for word in plain.split_whitespace() {
            // A word longer than a line is cut into pieces; they are ASCII, so any byte is a border.
            for piece in word.as_bytes().chunks(MOST_COMMENT_CHARS) {
                let piece = String::from_utf8_lossy(piece);
                if !row.is_empty() && row.len() + 1 + piece.len() > MOST_COMMENT_CHARS {
                    self.comment_row(&row);
                    row.clear();
                }
                if !row.is_empty() {
                    row.push(' ');
                }
                row.push_str(&piece);
            }
        }
        if !row.is_empty() {
            self.comment_row(&row);
        }
    }

    fn comment_row(&mut self, row: &str) {
        let whole = match self.comments {
            // The blank keeps a row from starting with a word that a machine would act on.
            Comments::Parentheses => format!("( {row} )\n"),
            Comments::Semicolon => format!("; {row}\n"),
            Comments::None => return,
        };
        self.text.push_str(&whole);
    }

    pub(super) fn finish(self) -> String {
        self.text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_title_cannot_leave_its_comment() {
        for comments in [Comments::Parentheses, Comments::Semicolon] {
            let mut lines = Lines::new(&Dialect {
                comments,
                ..Dialect::default()
            });
            lines.comment("arm) G0 X0\nM3 (pad; \u{e9}");
            let text = lines.finish();
            assert_eq!(text.lines().count(), 1, "{text}");
            assert!(text.contains("arm> G0 X0 M3 <pad, ?"), "{text}");
        }
    }

    #[test]
    fn long_words_are_broken_into_short_lines() {
        let mut lines = Lines::new(&Dialect::default());
        lines.comment(&"x".repeat(1000));
        lines.comment(&"word ".repeat(100));
        let text = lines.finish();
        assert!(text.lines().count() > 14, "{text}");
        assert!(
            text.lines().all(|line| line.len() <= MOST_COMMENT_CHARS + 4),
            "{text}"
        );
    }

    #[test]
    fn line_numbers_step_and_start_again_before_they_are_too_long() {
        let mut lines = Lines::new(&Dialect {
            line_numbers: Some(1000),
            ..Dialect::default()
        });
        for _ in 0..100 {
            lines.line("M5");
        }
        let text = lines.finish();
        assert!(text.starts_with("N1000 M5\nN2000 M5\n"), "{text}");
        assert!(text.ends_with("N99000 M5\nN1000 M5\n"), "{text}");
    }
}
