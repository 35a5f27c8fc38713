//! The ends of lines: a file that was saved with a return and a line feed after each line comes back so.

/// The new text with the line ends of the old one: those of most of its lines.
pub(crate) fn like(before: &str, after: &str) -> String {
    let returns = before.matches("\r\n").count();
    let feeds = before.matches('\n').count() - returns;
    let plain = after.replace("\r\n", "\n");
    if returns > feeds {
        plain.replace('\n', "\r\n")
    } else {
        plain
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_keeps_the_line_ends_that_most_of_its_lines_have() {
        assert_eq!(like("a\r\nb\r\n", "a\nc\r\n"), "a\r\nc\r\n");
        assert_eq!(like("a\nb\n", "a\nc\r\n"), "a\nc\n");
        assert_eq!(like("", "a\n"), "a\n");
    }
}
