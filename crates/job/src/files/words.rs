//! Words for what a value is and for what it may be, and text to paste.

use std::ops::Range;

use toml::de::DeValue;

use super::keys::{Key, Kind, Takes};

/// A place for a whole table would underline half the file; its first character is enough.
pub(super) fn head(span: Range<usize>) -> Range<usize> {
    span.start..span.end.min(span.start + 1)
}

pub(super) fn paste(key: &Key) -> String {
    match (&key.takes, key.example) {
        (Takes::Table(keys), "") => {
            let inner: Vec<String> = keys.iter().filter(|key| key.must).map(paste).collect();
            format!("{} = {{ {} }}", key.name, inner.join(", "))
        }
        (Takes::Named { .. }, "") => format!("[{}]", key.name),
        (_, example) => format!("{} = {example}", key.name),
    }
}

pub(super) fn fits_type(takes: &Takes, value: &DeValue<'_>) -> bool {
    match takes {
        Takes::Text
        | Takes::Name(_)
        | Takes::Line
        | Takes::Thread
        | Takes::Stock
        | Takes::Word(_)
        | Takes::Rate(_)
        | Takes::Corner => value.is_str(),
        Takes::Flag => value.is_bool(),
        Takes::Number => value.is_integer() || value.is_float(),
        Takes::Whole => value.is_integer(),
        Takes::Sum(_) => value.is_str() || value.is_integer() || value.is_float(),
        Takes::Direction => value.is_str() || value.is_array(),
        Takes::List { .. } | Takes::Pair(..) => value.is_array(),
        Takes::Table(_) | Takes::Shapes(_) | Takes::Named { .. } => value.is_table(),
        Takes::Either(options) => options.iter().any(|option| fits_type(option, value)),
    }
}

pub(super) fn type_words(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "words in quotes",
        DeValue::Integer(_) | DeValue::Float(_) => "a bare number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date without quotes",
        DeValue::Array(_) => "a list in brackets",
        DeValue::Table(_) => "a table",
    }
}

pub(super) fn kind_words(takes: &Takes) -> String {
    match takes {
        Takes::Text => "words in quotes".into(),
        Takes::Flag => "true or false".into(),
        Takes::Number => "a number".into(),
        Takes::Whole => "a whole number".into(),
        Takes::Sum(Kind::Length) => "a length such as \"1-1/8 in\" or \"28.5 mm\"".into(),
        Takes::Sum(Kind::Angle) => "an angle such as \"25 deg\"".into(),
        Takes::Sum(Kind::Mass) => "a mass such as \"0.9 kg\"".into(),
        Takes::Sum(Kind::Force) => "a force such as \"250 N\" or \"55 lbf\"".into(),
        Takes::Sum(Kind::Moment) => "a moment such as \"20 N m\" or \"15 lbf ft\"".into(),
        Takes::Sum(Kind::Stiffness) => "a stiffness such as \"400 N/mm\"".into(),
        Takes::Sum(Kind::TurnStiffness) => "a stiffness such as \"25 N m/deg\"".into(),
        Takes::Sum(Kind::PerLength) => {
            "a force for each length such as \"1000 N/mm\" or \"5700 lbf/in\"".into()
        }
        Takes::Sum(Kind::Any) => "a quantity such as \"28.5 mm\" or \"25 deg\"".into(),
        Takes::Rate(rate) => rate.words().into(),
        Takes::Name(_) => "a name in quotes".into(),
        Takes::Line => "a line such as \"A-B\"".into(),
        Takes::Thread => "a thread such as \"M6\" or \"5/16-18\"".into(),
        Takes::Stock => "metal and thickness such as \"5052-H32 3/16 in\"".into(),
        Takes::Word(words) => format!("one of: {}", words.join(", ")),
        Takes::Direction => "a direction such as \"y\" or [0, 1, 0]".into(),
        Takes::Corner => "a corner such as \"round 1/2 in\"".into(),
        Takes::List { of, least, most } if least == most => {
            format!("{least} in brackets, each {}", kind_words(of))
        }
        Takes::List { of, .. } => format!("a list in brackets, each {}", kind_words(of)),
        Takes::Pair(first, second) => {
            format!("in brackets, {} and {}", kind_words(first), kind_words(second))
        }
        Takes::Table(_) => "a table".into(),
        Takes::Shapes(shapes) => {
            let leads: Vec<&str> = shapes.iter().map(|shape| shape.lead).collect();
            format!("a table with one of: {}", leads.join(", "))
        }
        Takes::Named { .. } => "a table of named things".into(),
        Takes::Either(options) => {
            let words: Vec<String> = options.iter().map(kind_words).collect();
            words.join(", or ")
        }
    }
}
