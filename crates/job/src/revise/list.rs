//! A list in a file, taken apart into its rows with the notes that are theirs, and put together again.
//!
//! A note after a row's comma stands, for the parser, before the next row. Here it is the row's own:
//!
//! ```text
//! open     [ # of the list
//! lead       # above the row
//!            "a",        the row
//! tail              # beside the row
//! close    ]
//! ```

use toml_edit::{Array, Value};

/// How far a row is set in where no other row shows it.
const INDENT: &str = "  ";

/// A row with its notes.
struct Row {
    /// What stands before it: a blank, or from the end of the line before.
    lead: String,
    value: Value,
    /// What stands behind it on its line, after the comma.
    tail: String,
}

/// A list, taken apart.
pub(super) struct List {
    open: String,
    rows: Vec<Row>,
    close: String,
    comma_at_end: bool,
}

impl List {
    /// Takes a list apart.
    pub fn of(list: &Array) -> List {
        let mut open = String::new();
        let mut rows: Vec<Row> = Vec::new();
        for value in list {
            let (tail, lead) = parted(text(value.decor().prefix()));
            match rows.last_mut() {
                Some(before) => before.tail = tail,
                None => open = tail,
            }
            rows.push(Row {
                lead,
                value: value.clone(),
                tail: String::new(),
            });
        }
        let mut end = list.trailing().as_str().unwrap_or_default().to_owned();
        let comma_at_end = list.trailing_comma();
        if let Some(last) = rows.last_mut()
            && !comma_at_end
        {
            end.insert_str(0, &text(last.value.decor().suffix()));
            last.value.decor_mut().set_suffix("");
        }
        let (tail, close) = parted(end);
        match rows.last_mut() {
            Some(last) => last.tail = tail,
            None => open = tail,
        }
        List {
            open,
            rows,
            close,
            comma_at_end,
        }
    }

    /// Puts a row at the end, on a line of its own where the others are.
    pub fn add(&mut self, mut value: Value) {
        let lead = match self.rows.last() {
            Some(last) => match last.lead.rfind('\n') {
                Some(line) => last.lead[line..].to_owned(),
                None => " ".into(),
            },
            None => String::new(),
        };
        value.decor_mut().clear();
        self.rows.push(Row {
            lead,
            value,
            tail: String::new(),
        });
    }

    /// Takes a row out, with the notes above and beside it.
    pub fn remove(&mut self, row: usize) {
        let gone = self.rows.remove(row);
        let line = gone.lead.rfind('\n');
        if let Some(next) = self.rows.get_mut(row)
            && !next.lead.contains('\n')
            && (row == 0 || line.is_some())
        {
            // It stood on the same line, which it now begins.
            next.lead = gone.lead[line.unwrap_or_default()..].to_owned();
        }
    }

    /// Puts a row into the place of another; it takes the notes above and beside it along, and the lines stay as they are.
    pub fn put_elsewhere(&mut self, from: usize, to: usize) {
        let places: Vec<String> = self
            .rows
            .iter()
            .map(|row| match (row.lead.contains('#'), row.lead.rfind('\n')) {
                (true, Some(line)) => row.lead[line..].to_owned(),
                _ => row.lead.clone(),
            })
            .collect();
        let ends: Vec<String> = self
            .rows
            .iter()
            .map(|row| text(row.value.decor().suffix()))
            .collect();
        let row = self.rows.remove(from);
        self.rows.insert(to, row);
        for ((row, place), end) in self.rows.iter_mut().zip(places).zip(ends) {
            row.value.decor_mut().set_suffix(end);
            if !row.lead.contains('#') {
                row.lead = place;
            }
        }
    }

    /// Puts the rows back in their list.
    pub fn put_into(self, list: &mut Array) {
        let mut before = self.open;
        list.clear();
        for row in self.rows {
            let mut value = row.value;
            value.decor_mut().set_prefix(followed(before, row.lead, INDENT));
            if value.decor().suffix().is_none() {
                value.decor_mut().set_suffix("");
            }
            list.push_formatted(value);
            before = row.tail;
        }
        list.set_trailing(followed(before, self.close, ""));
        list.set_trailing_comma(self.comma_at_end);
    }
}

fn text(raw: Option<&toml_edit::RawString>) -> String {
    raw.and_then(|raw| raw.as_str()).unwrap_or_default().to_owned()
}

/// What ends a line, and the rest from its end on; where no line ends, all is rest.
fn parted(text: String) -> (String, String) {
    match text.find('\n') {
        Some(end) => (text[..end].to_owned(), text[end..].to_owned()),
        None => (String::new(), text),
    }
}

/// One after the other; a note ends its line.
fn followed(note: String, next: String, indent: &str) -> String {
    if note.contains('#') && !next.starts_with('\n') {
        return format!("{note}\n{indent}{}", next.trim_start());
    }
    note + &next
}

#[cfg(test)]
mod tests {
    use super::*;

    fn list(text: &str) -> Array {
        let document: toml_edit::DocumentMut = text.parse().unwrap_or_else(|error| panic!("{error}"));
        document["x"].as_array().expect("a list").clone()
    }

    fn told(array: &Array) -> String {
        let mut document = toml_edit::DocumentMut::new();
        document.insert("x", toml_edit::value(array.clone()));
        document.to_string()
    }

    const WITH_COMMA: &str =
        "x = [ # the list\n  \"a\", # of a\n  # above b\n  \"b\", # of b\n  \"c\", # of c\n]\n";
    const WITHOUT: &str =
        "x = [ # the list\n  \"a\", # of a\n  # above b\n  \"b\", # of b\n  \"c\" # of c\n]\n";
    const ONE_LINE: &str = "x = [\"a\", \"b\", \"c\"]\n";
    const SHARED: &str = "x = [\"a\", # of a\n  \"b\", \"c\"]\n";

    fn changed(text: &str, change: impl FnOnce(&mut List)) -> String {
        let mut array = list(text);
        let mut apart = List::of(&array);
        change(&mut apart);
        apart.put_into(&mut array);
        let new = told(&array);
        assert!(new.parse::<toml_edit::DocumentMut>().is_ok(), "{new}");
        new
    }

    #[test]
    fn a_list_taken_apart_and_put_together_is_the_same() {
        for text in [
            WITH_COMMA,
            WITHOUT,
            ONE_LINE,
            SHARED,
            "x = []\n",
            "x = [ # none yet\n]\n",
            "x = [ \"a\" , \"b\" ]\n",
        ] {
            assert_eq!(changed(text, |_| {}), text);
        }
    }

    #[test]
    fn a_row_goes_with_its_own_notes_and_no_other() {
        for text in [WITH_COMMA, WITHOUT] {
            for (row, own) in [(0, "  \"a\", # of a\n"), (1, "  # above b\n  \"b\", # of b\n")] {
                assert_eq!(changed(text, |list| list.remove(row)), text.replace(own, ""));
            }
        }
        let new = changed(WITH_COMMA, |list| list.remove(2));
        assert_eq!(new, WITH_COMMA.replace("  \"c\", # of c\n", ""));
        let new = changed(WITHOUT, |list| list.remove(2));
        assert_eq!(
            new,
            WITHOUT.replace("\"b\", # of b\n  \"c\" # of c\n", "\"b\" # of b\n")
        );
        assert_eq!(changed(ONE_LINE, |list| list.remove(0)), "x = [\"b\", \"c\"]\n");
        assert_eq!(changed(ONE_LINE, |list| list.remove(2)), "x = [\"a\", \"b\"]\n");
        assert_eq!(
            changed(SHARED, |list| list.remove(1)),
            "x = [\"a\", # of a\n  \"c\"]\n"
        );
    }

    #[test]
    fn a_row_that_is_put_elsewhere_takes_its_own_notes_along() {
        let put = |text: &str, from, to| changed(text, |list| list.put_elsewhere(from, to));
        let (a, b) = ("  \"a\", # of a\n", "  # above b\n  \"b\", # of b\n");
        let later = WITH_COMMA.replace(&format!("{a}{b}"), &format!("{b}{a}"));
        assert_eq!(put(WITH_COMMA, 0, 1), later);
        assert_eq!(put(&later, 1, 0), WITH_COMMA);
        assert_eq!(
            put(WITHOUT, 2, 0),
            "x = [ # the list\n  \"c\", # of c\n  \"a\", # of a\n  # above b\n  \"b\" # of b\n]\n"
        );
        assert_eq!(put(ONE_LINE, 2, 0), "x = [\"c\", \"a\", \"b\"]\n");
        assert_eq!(put("x = [ \"a\" , \"b\" ]\n", 0, 1), "x = [ \"b\" , \"a\" ]\n");
        assert_eq!(put(SHARED, 0, 1), "x = [\"b\",\n  \"a\", # of a\n  \"c\"]\n");
    }

    #[test]
    fn a_new_row_has_no_note_of_another_and_the_last_keeps_its_own() {
        let new = || Value::from("d");
        assert_eq!(
            changed(WITH_COMMA, |list| list.add(new())),
            WITH_COMMA.replace("# of c\n", "# of c\n  \"d\",\n")
        );
        assert_eq!(
            changed(WITHOUT, |list| list.add(new())),
            WITHOUT.replace("\"c\" # of c\n", "\"c\", # of c\n  \"d\"\n")
        );
        assert_eq!(
            changed(ONE_LINE, |list| list.add(new())),
            "x = [\"a\", \"b\", \"c\", \"d\"]\n"
        );
        assert_eq!(changed("x = []\n", |list| list.add(new())), "x = [\"d\"]\n");
        assert_eq!(
            changed("x = [ # none yet\n]\n", |list| list.add(new())),
            "x = [ # none yet\n  \"d\"\n]\n"
        );
    }

    #[test]
    fn the_last_row_goes_and_the_lists_own_note_stays() {
        let new = changed("x = [ # of the list\n  \"a\", # of a\n]\n", |list| list.remove(0));
        assert_eq!(new, "x = [ # of the list\n]\n");
    }
}
