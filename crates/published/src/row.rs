//! One published value: its inputs by name, and the comparison that says which row failed.

use std::fmt;

/// Rounding of f64 through a short formula, as a share of the value: added to every tolerance so that a row with
/// tolerance 0 means "the same number", not "the same bits".
const ROUNDING_SHARE: f64 = 1e-12;

/// A published value with what leads to it.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// Its id, a letter and three digits.
    pub id: String,
    /// What is computed or looked up.
    pub topic: String,
    /// The inputs as written in the file.
    pub inputs: String,
    /// The value as written.
    pub expected: String,
    /// Unit of the value, `-` for none.
    pub unit: String,
    /// The tolerance as written: a number in the value's unit, or a share with `rel`.
    pub tolerance: String,
    /// Where the value was published.
    pub source: String,
    /// `confirmed`, `from-memory` or `common-practice`.
    pub status: String,
}

impl Row {
    pub(crate) fn from_record(record: &csv::StringRecord) -> Self {
        assert_eq!(
            record.len(),
            8,
            "a row of the check values has 8 fields: {record:?}"
        );
        let field = |i: usize| record[i].trim().to_owned();
        Row {
            id: field(0),
            topic: field(1),
            inputs: field(2),
            expected: field(3),
            unit: field(4),
            tolerance: field(5),
            source: field(6),
            status: field(7),
        }
    }

    /// The inputs as (key, value), in order; a part without `=` has an empty key.
    pub fn pairs(&self) -> Vec<(&str, &str)> {
        self.inputs
            .split(';')
            .map(|part| part.split_once('=').unwrap_or(("", part)))
            .map(|(key, value)| (key.trim(), value.trim()))
            .collect()
    }

    /// The input of this name, as written.
    ///
    /// # Panics
    /// When the row has none.
    pub fn text(&self, key: &str) -> &str {
        self.pairs()
            .into_iter()
            .find_map(|(k, value)| (k == key).then_some(value))
            .unwrap_or_else(|| panic!("{self}: no input {key:?} in {:?}", self.inputs))
    }

    /// The input of this name as a number; `1/16` and `29e6` are numbers.
    ///
    /// # Panics
    /// When the row has none, or it is no number.
    pub fn number(&self, key: &str) -> f64 {
        let text = self.text(key);
        number(text).unwrap_or_else(|| panic!("{self}: the input {key} = {text:?} is no number"))
    }

    /// The input of this name as numbers parted by `|`.
    ///
    /// # Panics
    /// When the row has none, or one is no number.
    pub fn numbers(&self, key: &str) -> Vec<f64> {
        let text = self.text(key);
        text.split('|')
            .map(|part| {
                number(part).unwrap_or_else(|| panic!("{self}: {part:?} in {key} = {text:?} is no number"))
            })
            .collect()
    }

    /// The input of this name as a band: `3-10`, `>1-3.15`, `<=10` (from 0), `>19` (to infinity).
    ///
    /// # Panics
    /// When the row has none, or it is no band.
    pub fn band(&self, key: &str) -> (f64, f64) {
        let text = self.text(key);
        let band = match (text.strip_prefix("<="), text.strip_prefix('>')) {
            (Some(to), _) => number(to).map(|to| (0.0, to)),
            (_, Some(rest)) if !rest.contains('-') => number(rest).map(|from| (from, f64::INFINITY)),
            (_, rest) => rest
                .unwrap_or(text)
                .split_once('-')
                .and_then(|(from, to)| Some((number(from)?, number(to)?))),
        };
        band.unwrap_or_else(|| panic!("{self}: the input {key} = {text:?} is no band"))
    }

    /// The published value as a number.
    ///
    /// # Panics
    /// When it is none.
    pub fn expected_number(&self) -> f64 {
        number(&self.expected).unwrap_or_else(|| panic!("{self}: {:?} is no number", self.expected))
    }

    /// How far the answer may lie from the published value, in the value's unit.
    ///
    /// # Panics
    /// When the tolerance of the row is no number.
    pub fn allowed(&self) -> f64 {
        let expected = self.expected_number();
        let stated = match self.tolerance.strip_suffix("rel") {
            Some(share) => number(share).map(|share| share * expected.abs()),
            None => number(&self.tolerance),
        };
        let stated =
            stated.unwrap_or_else(|| panic!("{self}: the tolerance {:?} is no number", self.tolerance));
        stated + ROUNDING_SHARE * expected.abs()
    }

    /// Passes when the answer is the published value within its tolerance. `computed` is in the row's unit.
    ///
    /// # Panics
    /// When it is not (also when it is not a number), naming the row, both values and the source.
    #[track_caller]
    pub fn check(&self, computed: f64) {
        self.check_within(computed, self.allowed());
    }

    /// As [`Row::check`], within `allowed` where the row's own tolerance does not apply; say why beside the call.
    ///
    /// # Panics
    /// When it is not, naming the row, both values and the source.
    #[track_caller]
    pub fn check_within(&self, computed: f64, allowed: f64) {
        let expected = self.expected_number();
        assert!(
            (computed - expected).abs() <= allowed,
            "{self}: got {computed} {unit}, published {expected} {unit} within {allowed}",
            unit = self.unit
        );
    }

    /// Passes when the answer is the published word.
    ///
    /// # Panics
    /// When it is not, naming the row and the source.
    #[track_caller]
    pub fn check_text(&self, computed: &str) {
        assert!(
            computed == self.expected,
            "{self}: got {computed:?}, published {:?}",
            self.expected
        );
    }
}

/// Id, topic, inputs and source in one line.
impl fmt::Display for Row {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{} {} [{}] ({}, {})",
            self.id, self.topic, self.inputs, self.source, self.status
        )
    }
}

fn number(text: &str) -> Option<f64> {
    let text = text.trim();
    match text.split_once('/') {
        Some((over, under)) => {
            let (over, under): (f64, f64) = (over.trim().parse().ok()?, under.trim().parse().ok()?);
            (under != 0.0).then_some(over / under)
        }
        None => text.parse().ok(),
    }
}

#[cfg(test)]
mod tests {
    use crate::{all, row, rows, rows_between};

    #[test]
    fn every_row_has_an_id_of_its_own_and_a_source() {
        let mut ids: Vec<String> = all().into_iter().map(|row| row.id).collect();
        assert!(ids.len() >= 500, "{} rows", ids.len());
        ids.sort();
        ids.dedup();
        assert_eq!(ids.len(), all().len());
        assert!(all().iter().all(|row| !row.source.is_empty()));
    }

    #[test]
    fn every_status_is_one_of_three_words() {
        for row in all() {
            assert!(
                ["confirmed", "from-memory", "common-practice"].contains(&row.status.as_str()),
                "{row}"
            );
        }
    }

    #[test]
    fn fractions_lists_and_bands_are_read() {
        assert_eq!(row("A048").number("t_in"), 0.0625);
        assert_eq!(row("A048").text("alloy"), "5052-H32");
        assert_eq!(row("A004").numbers("outside_legs"), [0.740, 0.420, 1.050, 1.000]);
        assert_eq!(row("B016").band("a"), (1.0, 3.15));
        assert_eq!(row("H015").band("short_side"), (0.0, 10.0));
        assert_eq!(row("D035").band("thinner_part_mm"), (19.0, f64::INFINITY));
        assert_eq!(rows("gauge to mm").len(), 21);
        assert_eq!(rows_between("I034", "I037").len(), 4);
    }

    #[test]
    fn a_relative_tolerance_is_a_share_of_the_value() {
        let row = row("I034");
        row.check(238.94212918 * (1.0 + 0.9e-6));
        assert!(std::panic::catch_unwind(|| row.check(238.94212918 * (1.0 + 1.1e-6))).is_err());
    }

    #[test]
    fn a_failing_row_names_itself_and_its_source() {
        let row = row("E030");
        let said = std::panic::catch_unwind(|| row.check(4.6)).expect_err("4.6 mm is not 7 gauge steel");
        let said = said.downcast_ref::<String>().expect("a message");
        assert!(
            said.contains("E030") && said.contains("gauge charts") && said.contains("4.554"),
            "{said}"
        );
    }

    #[test]
    fn not_a_number_never_passes() {
        assert!(std::panic::catch_unwind(|| row("E030").check(f64::NAN)).is_err());
    }
}
