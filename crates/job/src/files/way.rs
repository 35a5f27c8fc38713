//! The ways to the values of a file, from where their text stands.

use std::ops::Range;

use toml::de::{DeTable, DeValue};

use super::model::Place;
use super::reader::Value;
use crate::revise::Step;

/// The ways to all values of a file.
#[derive(Debug, Clone, Default)]
pub(crate) struct Ways {
    /// Where each value begins and ends, and its way, by where it begins.
    of: Vec<(Range<usize>, Vec<Step>)>,
}

impl Ways {
    /// None of a text that is no TOML.
    pub fn of(text: &str) -> Ways {
        let mut of = Vec::new();
        if let Ok(table) = DeTable::parse(text) {
            in_table(table.get_ref(), &mut Vec::new(), &mut of);
        }
        of.sort_by_key(|(span, _)| span.start);
        Ways { of }
    }

    /// The way to the value that a place lies in; none where nothing stands there.
    pub fn to(&self, at: &Place) -> Option<&[Step]> {
        let byte = at.span.start;
        let before = self.of.partition_point(|(span, _)| span.start <= byte);
        let (span, way) = self.of.get(before.checked_sub(1)?)?;
        span.contains(&byte).then_some(way)
    }
}

fn in_table(table: &DeTable<'_>, way: &mut Vec<Step>, of: &mut Vec<(Range<usize>, Vec<Step>)>) {
    for (name, value) in table {
        way.push(Step::Key(name.get_ref().to_string()));
        in_value(value, way, of);
        way.pop();
    }
}

fn in_value(value: &Value<'_>, way: &mut Vec<Step>, of: &mut Vec<(Range<usize>, Vec<Step>)>) {
    match value.get_ref() {
        DeValue::Table(table) => in_table(table, way, of),
        DeValue::Array(rows) => {
            for (index, row) in rows.iter().enumerate() {
                way.push(Step::Row(index));
                in_value(row, way, of);
                way.pop();
            }
        }
        _ => of.push((value.span(), way.clone())),
    }
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
            assert_eq!(Ways::of(text).to(&at), Some(&way[..]), "{found}");
        }
    }
}
