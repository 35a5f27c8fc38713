//! Where a file calls something by its name: where it is said, and wherever it is spoken of.

use std::ops::Range;

use toml::de::{DeTable, DeValue};

use super::keys::{DESIGN, FIT, Key, NameOf, Of, SHOP, Takes};
use super::model::FileKind;
use super::reader::Value;

/// A kind of thing of the design that has a name of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Named {
    /// A point.
    Point,
    /// A round hole, with the point of its own that it is at, where it has one.
    Hole,
    /// A slot.
    Slot,
    /// A window.
    Window,
    /// A crease.
    Bend,
    /// A panel.
    Panel,
}

impl Named {
    /// As it is called.
    pub fn word(self) -> &'static str {
        match self {
            Named::Point => "point",
            Named::Hole => "hole",
            Named::Slot => "slot",
            Named::Window => "window",
            Named::Bend => "bend",
            Named::Panel => "panel",
        }
    }

    /// The table of the design that such things are said in.
    fn table(self) -> &'static str {
        match self {
            Named::Point => "points",
            Named::Hole => "holes",
            Named::Slot => "slots",
            Named::Window => "windows",
            Named::Bend => "bends",
            Named::Panel => "panels",
        }
    }

    /// The tables whose things may have no name in common with one of this kind.
    fn beside(self) -> &'static [&'static str] {
        match self {
            Named::Point => &["points"],
            Named::Hole | Named::Slot | Named::Window => &["holes", "slots", "windows"],
            Named::Bend => &["bends"],
            Named::Panel => &["panels"],
        }
    }
}

/// What a design says of a name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Said {
    /// Something of the kind has it.
    pub is_there: bool,
    /// It is a hole that is placed by numbers, and so names a point too.
    pub is_point_too: bool,
}

/// What a design says of something by this name.
pub(crate) fn said(design: &DeTable<'_>, what: Named, name: &str) -> Said {
    let thing = table(design, what.table()).and_then(|things| things.get(name));
    Said {
        is_there: thing.is_some(),
        is_point_too: what == Named::Hole && thing.is_some_and(makes_point),
    }
}

/// Whether a design has this name already, where something of a kind is to have it.
pub(crate) fn is_taken(design: &DeTable<'_>, what: Named, is_point_too: bool, name: &str) -> bool {
    let has = |key: &str| table(design, key).is_some_and(|things| things.contains_key(name));
    let of_points = what == Named::Point || is_point_too;
    what.beside().iter().any(|key| has(key))
        || (of_points && (has("points") || said(design, Named::Hole, name).is_point_too))
}

fn table<'t, 'i>(design: &'t DeTable<'i>, key: &str) -> Option<&'t DeTable<'i>> {
    design.get(key)?.get_ref().as_table()
}

/// Is a hole placed by numbers, so that it makes a point of its own name?
fn makes_point(hole: &Value<'_>) -> bool {
    let at = hole.get_ref().as_table().and_then(|hole| hole.get("at"));
    at.is_some_and(|at| at.get_ref().is_array())
}

/// The bytes of a file that are this name of such a thing; of what is written in several places of one key, the first.
pub(crate) fn mentions(
    (kind, text): (FileKind, &str),
    table: &DeTable<'_>,
    what: Named,
    is_point_too: bool,
    name: &str,
) -> Vec<Range<usize>> {
    let keys = match kind {
        FileKind::Design => DESIGN,
        FileKind::Fit => FIT,
        FileKind::Shop => SHOP,
    };
    let mut search = Search {
        text,
        what,
        is_point_too,
        name,
        found: Vec::new(),
    };
    if kind == FileKind::Design
        && let Some(things) = self::table(table, what.table())
        && let Some((key, _)) = things.get_key_value(name)
    {
        search.keep(key.span());
    }
    search.in_table(table, keys);
    let mut found = search.found;
    found.sort_by_key(|span| span.start);
    found.dedup();
    found
}

struct Search<'a> {
    text: &'a str,
    what: Named,
    is_point_too: bool,
    name: &'a str,
    found: Vec<Range<usize>>,
}

impl Search<'_> {
    fn of_points(&self) -> bool {
        self.what == Named::Point || self.is_point_too
    }

    fn is_of(&self, of: Of) -> bool {
        match of {
            Of::Point => self.of_points(),
            Of::Hole => self.what == Named::Hole,
            Of::HoleOrSlot => matches!(self.what, Named::Hole | Named::Slot),
            Of::Panel => self.what == Named::Panel,
            Of::Instrument | Of::Measure | Of::Place | Of::PlaceOrSupport | Of::Load => false,
        }
    }

    /// Keeps the name where it stands in a key or a text, with or without its quotes.
    fn keep(&mut self, span: Range<usize>) {
        let within = self.text.get(span.clone()).and_then(|raw| raw.find(self.name));
        if let Some(within) = within {
            let start = span.start + within;
            self.found.push(start..start + self.name.len());
        }
    }

    /// Keeps the name where it is one end of a line, "A-B".
    fn keep_ends(&mut self, span: Range<usize>) {
        let Some(raw) = self.text.get(span.clone()) else {
            return;
        };
        let Some((first, second)) = raw.split_once('-') else {
            return;
        };
        for (part, from) in [(first, 0), (second, first.len() + 1)] {
            let name = part.trim_matches(|c: char| c.is_whitespace() || matches!(c, '"' | '\''));
            if name == self.name {
                let start = span.start + from;
                self.keep(start..start + part.len());
            }
        }
    }

    fn in_table(&mut self, table: &DeTable<'_>, keys: &'static [Key]) {
        for (name, value) in table {
            if let Some(key) = keys.iter().find(|key| key.name == name.get_ref().as_ref()) {
                self.in_value(value, &key.takes);
            }
        }
    }

    fn in_value(&mut self, value: &Value<'_>, takes: &'static Takes) {
        match (takes, value.get_ref()) {
            (Takes::Name(of), DeValue::String(text)) if self.is_of(*of) && text == self.name => {
                self.keep(value.span());
            }
            (Takes::Line, DeValue::String(_)) if self.of_points() => self.keep_ends(value.span()),
            (Takes::List { of, .. }, DeValue::Array(rows)) => {
                rows.iter().for_each(|row| self.in_value(row, of));
            }
            (Takes::Pair(first, second), DeValue::Array(both)) => {
                for (value, takes) in both.iter().zip([first, second]) {
                    self.in_value(value, takes);
                }
            }
            (Takes::Table(keys), DeValue::Table(table)) => self.in_table(table, keys),
            (Takes::Shapes(shapes), DeValue::Table(table)) => {
                match shapes.iter().find(|shape| table.contains_key(shape.lead)) {
                    Some(shape) => self.in_table(table, shape.keys),
                    // Not finished yet; what is there is of any of them.
                    None => shapes.iter().for_each(|shape| self.in_table(table, shape.keys)),
                }
            }
            (Takes::Named { of, key }, DeValue::Table(table)) => {
                for (name, value) in table {
                    match key {
                        NameOf::Known(of) if self.is_of(*of) && name.get_ref() == self.name => {
                            self.keep(name.span());
                        }
                        NameOf::Line if self.of_points() => self.keep_ends(name.span()),
                        _ => {}
                    }
                    self.in_value(value, of);
                }
            }
            (Takes::Either(any), _) => any.iter().for_each(|takes| self.in_value(value, takes)),
            _ => {}
        }
    }
}
