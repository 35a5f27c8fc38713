//! Checks what a file says against its table of keys, and notes every fault.

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};
use units::Dim;

use super::keys::{Key, Kind, NameOf, Shape, Takes};
use super::model::Sum;
use super::reader::{Reader, Value, is_name, split_line};
use super::words::{fits_type, head, kind_words, paste, type_words};
use super::wrong::{Wrong, nearest};

impl Reader<'_> {
    pub(super) fn check_table(
        &mut self,
        table: &DeTable<'_>,
        whole: Range<usize>,
        keys: &'static [Key],
        what: &str,
    ) {
        for (name, value) in table {
            if self.full() {
                return;
            }
            match keys.iter().find(|key| key.name == name.get_ref().as_ref()) {
                Some(key) => self.check(value, &key.takes, key.example, key.name),
                None => self.unknown_key(name, keys, what),
            }
        }
        // A key that is there under a mistyped name is told once, where it is mistyped.
        let meant: Vec<&str> = table
            .iter()
            .filter(|(name, _)| keys.iter().all(|key| key.name != name.get_ref().as_ref()))
            .filter_map(|(name, _)| nearest(name.get_ref(), keys.iter().map(|key| key.name)))
            .collect();
        for key in keys
            .iter()
            .filter(|key| key.must && !table.contains_key(key.name) && !meant.contains(&key.name))
        {
            let fix = paste(key);
            let wrong = self.wrong(head(whole.clone()), format!("{what} has no \"{}\"", key.name));
            wrong.expected = Some(key.says.to_owned());
            wrong.fix = Some(fix);
        }
    }

    fn unknown_key(&mut self, name: &Spanned<std::borrow::Cow<'_, str>>, keys: &'static [Key], what: &str) {
        let known = nearest(name.get_ref(), keys.iter().map(|key| key.name));
        let all: Vec<&str> = keys.iter().map(|key| key.name).collect();
        let says = format!("{what} knows no \"{}\"", name.get_ref());
        let wrong = self.wrong(name.span(), says);
        wrong.expected = Some(format!("one of: {}", all.join(", ")));
        wrong.fix = known.map(str::to_owned);
    }

    fn check(&mut self, value: &Value<'_>, takes: &'static Takes, example: &'static str, what: &str) {
        if self.full() {
            return;
        }
        match (takes, value.get_ref()) {
            (Takes::Text, DeValue::String(_)) | (Takes::Flag, DeValue::Boolean(_)) => {}
            (Takes::Number, DeValue::Integer(_) | DeValue::Float(_)) => {
                if self.number(value).is_none() {
                    self.wrong(
                        value.span(),
                        format!("\"{what}\" is not a number that can be used"),
                    );
                }
            }
            (Takes::Whole, DeValue::Integer(_)) => {}
            (Takes::Sum(_), DeValue::Float(_)) if self.number(value).is_none() => {
                let wrong = self.wrong(
                    value.span(),
                    format!("\"{what}\" is not a number that can be used"),
                );
                wrong.expected = Some(kind_words(takes));
            }
            (Takes::Sum(kind), DeValue::String(_) | DeValue::Integer(_) | DeValue::Float(_)) => {
                let told = self.parse_sum(value).and_then(|sum| check_kind(&sum, *kind));
                if let Err(wrong) = told {
                    self.wrongs.push(wrong);
                }
            }
            (Takes::Rate(rate), DeValue::String(text)) => {
                if rate.parse(text, self.bare).is_none() {
                    let span = self.inside(value);
                    let wrong = self.wrong(span, format!("\"{what}\" cannot be \"{text}\""));
                    wrong.expected = Some(rate.words().into());
                    wrong.fix = Some(if example.is_empty() {
                        format!("\"{}\"", rate.example())
                    } else {
                        example.to_owned()
                    });
                }
            }
            (Takes::Name(_), DeValue::String(text)) => {
                if !is_name(text) {
                    self.bad_name(self.inside(value), text);
                }
            }
            (Takes::Line, DeValue::String(text)) => {
                if split_line(text).is_none() {
                    self.bad_line(self.inside(value), text);
                }
            }
            (Takes::Thread, DeValue::String(text)) => {
                if let Err(error) = units::Thread::parse(text) {
                    let span = self.inside(value);
                    self.wrong(span, error.to_string()).expected =
                        Some("a thread such as 5/16-18 or M6".into());
                }
            }
            (Takes::Stock, DeValue::String(text)) => {
                if let Err(error) = units::StockText::parse(text) {
                    let span = self.inside(value);
                    let wrong = self.wrong(span, error.problem.to_string());
                    wrong.expected =
                        Some("metal and thickness, such as \"5052-H32 3/16 in\" or \"304 16 ga\"".into());
                    wrong.fix = error.fixes.first().map(|text| format!("{text:?}"));
                }
            }
            (Takes::Word(words), DeValue::String(text)) => {
                if !words.contains(&text.as_ref()) {
                    let near = nearest(text, words.iter().copied());
                    let span = self.inside(value);
                    let wrong = self.wrong(span, format!("\"{what}\" cannot be \"{text}\""));
                    wrong.expected = Some(format!("one of: {}", words.join(", ")));
                    wrong.fix = near.map(|word| format!("\"{word}\""));
                }
            }
            (Takes::Direction, DeValue::String(_) | DeValue::Array(_)) => {
                if self.direction(value).is_none() {
                    let wrong = self.wrong(value.span(), format!("\"{what}\" is not a direction"));
                    wrong.expected = Some("\"x\", \"-z\" or three numbers that are not all 0".into());
                    wrong.fix = Some(example.to_owned());
                }
            }
            (Takes::Corner, DeValue::String(text)) => {
                if let Err(wrong) = self.parse_corner(value, text) {
                    self.wrongs.push(wrong);
                }
            }
            (Takes::List { of, least, most }, DeValue::Array(items)) => {
                if items.len() < *least || items.len() > *most {
                    let wanted = if least == most {
                        kind_words(takes)
                    } else {
                        format!("{least} to {most} in brackets, each {}", kind_words(of))
                    };
                    let wrong = self.wrong(
                        value.span(),
                        format!("\"{what}\" has {} in its brackets", items.len()),
                    );
                    wrong.expected = Some(wanted);
                    wrong.fix = (!example.is_empty()).then(|| format!("{what} = {example}"));
                }
                for item in items.iter() {
                    self.check(item, of, "", what);
                }
            }
            (Takes::Pair(first, second), DeValue::Array(items)) => {
                match (items.first(), items.get(1), items.len()) {
                    (Some(one), Some(two), 2) => {
                        self.check(one, first, "", what);
                        self.check(two, second, "", what);
                    }
                    _ => {
                        let wrong = self.wrong(
                            value.span(),
                            format!("\"{what}\" has {} in its brackets", items.len()),
                        );
                        wrong.expected =
                            Some(format!("two: {} and {}", kind_words(first), kind_words(second)));
                    }
                }
            }
            (Takes::Table(keys), DeValue::Table(table)) => {
                self.check_table(table, value.span(), keys, &format!("\"{what}\""));
            }
            (Takes::Shapes(shapes), DeValue::Table(table)) => self.check_shapes(table, value, shapes, what),
            (Takes::Named { of, key }, DeValue::Table(table)) => {
                for (name, item) in table {
                    let good = match key {
                        NameOf::Thing | NameOf::Known(_) => is_name(name.get_ref()),
                        NameOf::Line => split_line(name.get_ref()).is_some(),
                    };
                    if !good {
                        match key {
                            NameOf::Thing | NameOf::Known(_) => self.bad_name(name.span(), name.get_ref()),
                            NameOf::Line => self.bad_line(name.span(), name.get_ref()),
                        }
                    }
                    self.check(item, of, example, name.get_ref());
                }
            }
            (Takes::Either(options), _) => {
                match options.iter().find(|option| fits_type(option, value.get_ref())) {
                    Some(option) => self.check(value, option, example, what),
                    None => self.wrong_type(value, takes, example, what),
                }
            }
            _ => self.wrong_type(value, takes, example, what),
        }
    }

    fn check_shapes(&mut self, table: &DeTable<'_>, value: &Value<'_>, shapes: &'static [Shape], what: &str) {
        let leads: Vec<&Shape> = shapes
            .iter()
            .filter(|shape| table.contains_key(shape.lead))
            .collect();
        // A lead may also be a plain key of another form ("radius" of a tangent); the form that knows most keys is meant.
        let known = |shape: &Shape| {
            table
                .iter()
                .filter(|(name, _)| shape.keys.iter().any(|key| key.name == name.get_ref().as_ref()))
                .count()
        };
        let best = leads.iter().copied().max_by_key(|shape| known(shape));
        match best {
            Some(shape) => {
                let other = leads.iter().copied().find(|other| {
                    other.lead != shape.lead && !shape.keys.iter().any(|key| key.name == other.lead)
                });
                if let Some(other) = other {
                    let says = format!(
                        "\"{what}\" is said in two ways at once: \"{}\" and \"{}\"",
                        shape.lead, other.lead
                    );
                    let span = table
                        .iter()
                        .find(|(name, _)| name.get_ref().as_ref() == other.lead);
                    let span = span.map_or(value.span(), |(name, _)| name.span());
                    self.wrong(span, says).expected = Some("one of them; take the other out".into());
                    return;
                }
                self.check_table(table, value.span(), shape.keys, &format!("\"{what}\""));
            }
            None => {
                let names: Vec<&str> = shapes.iter().map(|shape| shape.lead).collect();
                let near = table.iter().find_map(|(name, _)| {
                    nearest(name.get_ref(), names.iter().copied()).map(|near| (name.span(), near))
                });
                let fix = shapes.first().map(|shape| {
                    let absent = |key: &&Key| key.must && !table.contains_key(key.name);
                    shape.keys.iter().filter(absent).map(paste).collect()
                });
                let says = format!("\"{what}\" has none of the keys that say what it is");
                let span = near.as_ref().map_or(head(value.span()), |(span, _)| span.clone());
                let wrong = self.wrong(span, says);
                wrong.expected = Some(format!("one of: {}", names.join(", ")));
                wrong.fix = near
                    .map(|(_, near)| near.to_owned())
                    .or(fix.map(|keys: Vec<String>| keys.join(", ")));
            }
        }
    }

    fn wrong_type(&mut self, value: &Value<'_>, takes: &'static Takes, example: &'static str, what: &str) {
        let says = format!("\"{what}\" cannot be {}", type_words(value.get_ref()));
        let wrong = self.wrong(head(value.span()), says);
        wrong.expected = Some(kind_words(takes));
        wrong.fix = match (takes, value.get_ref()) {
            (Takes::List { .. }, DeValue::Table(_)) => Some(format!("[[{what}]]")),
            (Takes::Named { .. }, DeValue::Array(_)) => {
                Some(format!("[{what}.NAME], with a name of your own"))
            }
            (Takes::Name(_), DeValue::Array(items)) => match items.first().map(|item| item.get_ref()) {
                Some(DeValue::String(first)) => Some(format!("{what} = \"{first}\"")),
                _ => None,
            },
            _ => (!example.is_empty()).then(|| format!("{what} = {example}")),
        };
    }

    fn bad_name(&mut self, span: Range<usize>, text: &str) {
        let tidy: String = text
            .chars()
            .map(|c| if c.is_ascii_alphanumeric() { c } else { '_' })
            .collect();
        let wrong = self.wrong(span, format!("\"{text}\" cannot be a name"));
        wrong.expected = Some("letters, digits and underscores, beginning with a letter".into());
        wrong.fix = is_name(&tidy).then(|| format!("\"{tidy}\""));
    }

    fn bad_line(&mut self, span: Range<usize>, text: &str) {
        let wrong = self.wrong(span, format!("\"{text}\" does not name a line"));
        wrong.expected = Some("two different points with a dash between: \"A-B\"".into());
    }
}

/// A sum of plain numbers must be of the kind that its key takes; a sum on measures is judged when it is worked out.
fn check_kind(sum: &Sum, kind: Kind) -> Result<(), Wrong> {
    if !sum.value.is_plain() {
        return Ok(());
    }
    let wrong = |says: String, expected: &str| Wrong::new(sum.at.clone(), says).expected(expected);
    let value = match sum.value.eval_in(&std::collections::BTreeMap::new()) {
        Ok(value) => value,
        // Told with its place within the sum when it is worked out.
        Err(_) => return Ok(()),
    };
    let told = match kind {
        Kind::Length => value
            .length_mm()
            .map_err(|error| (error, "a length, as 28.5 mm or 1-1/8 in")),
        Kind::Angle => value.angle_rad().map_err(|error| (error, "an angle, as 25 deg")),
        Kind::Mass => value.mass_kg().map_err(|error| (error, "a mass, as 0.9 kg")),
        Kind::Force => value
            .force_n()
            .map_err(|error| (error, "a force, as 250 N or 55 lbf")),
        Kind::Moment => value
            .moment_n_mm()
            .map_err(|error| (error, "a moment, as 20 N m or 15 lbf ft")),
        Kind::Stiffness => value
            .as_kind(Dim::STIFFNESS)
            .map_err(|error| (error, "a force per length, as 400 N/mm")),
        Kind::TurnStiffness => value
            .as_kind(Dim::TURN_STIFFNESS)
            .map_err(|error| (error, "a moment per angle, as 25 N m/deg")),
        Kind::PerLength => value
            .as_kind(Dim::STIFFNESS)
            .map_err(|error| (error, "a force for each length, as 1000 N/mm")),
        Kind::Any => return Ok(()),
    };
    told.map(|_| ())
        .map_err(|(error, expected)| wrong(error.to_string(), expected))
}
