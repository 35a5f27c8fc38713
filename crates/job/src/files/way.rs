//! The way to a value in a file, from where its text stands.

use toml::de::{DeTable, DeValue};

use super::model::Place;
use super::reader::Value;
use crate::revise::Step;

/// The way to the innermost value that a place lies in; none where the text is no TOML or nothing stands there.
pub(crate) fn way_to(text: &str, at: &Place) -> Option<Vec<Step>> {
    let table = DeTable::parse(text).ok()?;
    in_table(table.get_ref(), at.span.start)
}

fn in_table(table: &DeTable<'_>, byte: usize) -> Option<Vec<Step>> {
    table.iter().find_map(|(name, value)| {
        let below = in_value(value, byte)?;
        Some(led_by(Step::Key(name.get_ref().to_string()), below))
    })
}

fn in_value(value: &Value<'_>, byte: usize) -> Option<Vec<Step>> {
    match value.get_ref() {
        DeValue::Table(table) => in_table(table, byte),
        DeValue::Array(rows) => rows
            .iter()
            .enumerate()
            .find_map(|(index, row)| Some(led_by(Step::Row(index), in_value(row, byte)?))),
        _ => value.span().contains(&byte).then(Vec::new),
    }
}

fn led_by(first: Step, mut rest: Vec<Step>) -> Vec<Step> {
    rest.insert(0, first);
    rest
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::files::model::FileKind;

    #[test]
    fn the_way_leads_through_tables_rows_and_lists() {
        let text = "[points]\nC = { swing = [[\"A\", \"3 in\"], [\"B\", \"5 in\"]], side = \"left\" }\n[[readings]]\nread = \"1\"\n[[readings]]\nread = \"22\"\n";
        let key = |key: &str| Step::Key(key.into());
        for (found, way) in [
            (
                "5 in",
                vec![key("points"), key("C"), key("swing"), Step::Row(1), Step::Row(1)],
            ),
            ("22", vec![key("readings"), Step::Row(1), key("read")]),
        ] {
            let start = text.find(found).expect("it is there");
            let at = Place {
                file: FileKind::Design,
                span: start..start + found.len(),
            };
            assert_eq!(way_to(text, &at), Some(way), "{found}");
        }
    }
}
