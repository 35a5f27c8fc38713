//! The drills for a diameter, one of a metric set and one of an inch set.

use handbook::{Drill, Handbook};

/// A drill smaller by less than this makes the hole, mm: a drill cuts a little over its size.
const SMALLER_MM: f64 = 0.05;

/// Drills for one hole. None where the set has none.
#[derive(Debug, Clone, PartialEq)]
pub struct Drills {
    /// Of a metric set.
    pub metric: Option<Drill>,
    /// Of an inch set.
    pub inch: Option<Drill>,
}

impl Drills {
    /// The smallest that make a hole of this diameter, mm.
    #[must_use]
    pub fn at_least(book: &Handbook, dia_mm: f64) -> Drills {
        Drills::of(|inch| {
            set(book, inch)
                .filter(|drill| drill.dia_mm.value >= dia_mm - SMALLER_MM)
                .min_by(|a, b| a.dia_mm.value.total_cmp(&b.dia_mm.value))
        })
    }

    /// The largest that leave something of this diameter, mm: before a reamer.
    #[must_use]
    pub fn at_most(book: &Handbook, dia_mm: f64) -> Drills {
        Drills::of(|inch| {
            set(book, inch)
                .filter(|drill| drill.dia_mm.value <= dia_mm + SMALLER_MM)
                .max_by(|a, b| a.dia_mm.value.total_cmp(&b.dia_mm.value))
        })
    }

    fn of<'a>(find: impl Fn(bool) -> Option<&'a Drill>) -> Drills {
        Drills {
            metric: find(false).cloned(),
            inch: find(true).cloned(),
        }
    }
}

fn set(book: &Handbook, inch: bool) -> impl Iterator<Item = &Drill> {
    book.drills().iter().filter(move |drill| drill.inch == inch)
}
