//! The rows of a list of tables in another order: each takes its notes along, and what stood where stays filled as it was.

use toml_edit::{ArrayOfTables, Item, Table};

/// Puts a row into the place of another; both are there.
pub(super) fn put_row(rows: &mut ArrayOfTables, from: usize, to: usize) {
    let mut tables: Vec<Table> = rows.iter().cloned().collect();
    let blanks: Vec<String> = tables.iter_mut().map(take_blank_lines).collect();
    let places = places_of(&mut tables);
    let row = tables.remove(from);
    tables.insert(to, row);
    deal(&mut tables, places);
    for (table, blank) in tables.iter_mut().zip(blanks) {
        let notes = prefix(table);
        table.decor_mut().set_prefix(blank + &notes);
    }
    rows.clear();
    for table in tables {
        rows.push(table);
    }
}

fn prefix(table: &Table) -> String {
    let raw = table.decor().prefix().and_then(|raw| raw.as_str());
    raw.unwrap_or_default().to_owned()
}

/// Takes the blank lines off that stand before a row and its notes.
fn take_blank_lines(table: &mut Table) -> String {
    let all = prefix(table);
    let blank = all.len() - all.trim_start().len();
    let (lines, notes) = all.split_at(all[..blank].rfind('\n').map_or(0, |end| end + 1));
    table.decor_mut().set_prefix(notes);
    lines.to_owned()
}

/// Where the rows and what is in them stand in the file, from its head. What was just added stands behind what is before it.
fn places_of(tables: &mut [Table]) -> Vec<isize> {
    let mut places = Vec::new();
    for table in tables {
        each(table, &mut |table| {
            if let Some(place) = table.position().or(places.last().copied()) {
                table.set_position(Some(place));
                places.push(place);
            }
        });
    }
    places.sort_unstable();
    places
}

/// Gives out the places row by row, within a row in the order that its tables had.
fn deal(tables: &mut [Table], places: Vec<isize>) {
    let mut places = places.into_iter();
    for table in tables {
        let mut own = Vec::new();
        each(table, &mut |table| own.extend(table.position()));
        let mut order: Vec<usize> = (0..own.len()).collect();
        order.sort_by_key(|index| own[*index]);
        let mut dealt = own;
        for (index, place) in order.into_iter().zip(&mut places) {
            dealt[index] = place;
        }
        let mut dealt = dealt.into_iter();
        each(table, &mut |table| {
            if table.position().is_some() {
                table.set_position(dealt.next());
            }
        });
    }
}

/// A table and all that have headers of their own in it.
fn each(table: &mut Table, look: &mut dyn FnMut(&mut Table)) {
    look(table);
    for (_, item) in table.iter_mut() {
        match item {
            Item::Table(inner) => each(inner, look),
            Item::ArrayOfTables(rows) => rows.iter_mut().for_each(|row| each(row, look)),
            Item::None | Item::Value(_) => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FILE: &str = "# the hoe\ntitle = \"Hoe\"\n\n# by the long tape\n[[readings]] # first\nread = \"1 in\"\n\n[[readings]]\nread = \"2 in\" # twice\n\n[readings.more]\nwith = \"rule\"\n\n\n# by the rule\n[[readings]]\nread = \"3 in\"\n\n[bends.b1]\nbent = \"90 deg\"\n";

    fn put(text: &str, from: usize, to: usize) -> String {
        let mut document: toml_edit::DocumentMut = text.parse().unwrap_or_else(|error| panic!("{error}"));
        let rows = document["readings"].as_array_of_tables_mut().expect("rows");
        put_row(rows, from, to);
        document.to_string()
    }

    #[test]
    fn a_row_takes_its_notes_and_what_is_in_it_along() {
        assert_eq!(
            put(FILE, 0, 1),
            "# the hoe\ntitle = \"Hoe\"\n\n[[readings]]\nread = \"2 in\" # twice\n\n[readings.more]\nwith = \"rule\"\n\n# by the long tape\n[[readings]] # first\nread = \"1 in\"\n\n\n# by the rule\n[[readings]]\nread = \"3 in\"\n\n[bends.b1]\nbent = \"90 deg\"\n"
        );
    }

    #[test]
    fn there_and_back_is_not_a_byte_another() {
        for (from, to) in [(0, 1), (1, 2), (0, 2), (2, 0), (1, 1)] {
            assert_eq!(put(&put(FILE, from, to), to, from), FILE, "{from} {to}");
        }
    }

    #[test]
    fn the_first_row_of_a_file_begins_it_without_a_blank_line() {
        let file = "[[readings]]\nread = \"1 in\"\n\n# late\n[[readings]]\nread = \"2 in\"\n";
        assert_eq!(
            put(file, 1, 0),
            "# late\n[[readings]]\nread = \"2 in\"\n\n[[readings]]\nread = \"1 in\"\n"
        );
    }
}
