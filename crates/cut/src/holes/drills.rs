//! The drills for a diameter, by millimetre, by fraction of an inch, and by number or letter.

use handbook::{Drill, DrillSet, Handbook};

/// A drill smaller by less than this makes the hole, mm: a drill cuts a little over its size.
const SMALLER_MM: f64 = 0.05;

/// Drills for one hole. None where the set has none.
#[derive(Debug, Clone, PartialEq)]
pub struct Drills {
    /// Of a metric set.
    pub metric: Option<Drill>,
    /// Of a set of inch fractions.
    pub inch: Option<Drill>,
    /// By number or letter, where that is nearer than the fraction.
    pub numbered: Option<Drill>,
}

impl Drills {
    /// The smallest that make a hole of this diameter, mm.
    #[must_use]
    pub fn at_least(book: &Handbook, dia_mm: f64) -> Drills {
        Drills::of(book, dia_mm, |drills| {
            drills
                .filter(|drill| drill.dia_mm.value >= dia_mm - SMALLER_MM)
                .min_by(|a, b| a.dia_mm.value.total_cmp(&b.dia_mm.value))
        })
    }

    /// The largest that leave something of this diameter, mm: before a reamer.
    #[must_use]
    pub fn at_most(book: &Handbook, dia_mm: f64) -> Drills {
        Drills::of(book, dia_mm, |drills| {
            drills
                .filter(|drill| drill.dia_mm.value <= dia_mm + SMALLER_MM)
                .max_by(|a, b| a.dia_mm.value.total_cmp(&b.dia_mm.value))
        })
    }

    fn of<'a>(
        book: &'a Handbook,
        dia_mm: f64,
        find: impl Fn(&mut dyn Iterator<Item = &'a Drill>) -> Option<&'a Drill>,
    ) -> Drills {
        let of_set = |set| find(&mut book.drills().iter().filter(move |drill| drill.set == set)).cloned();
        let off_mm = |drill: &Drill| (drill.dia_mm.value - dia_mm).abs();
        let inch = of_set(DrillSet::Fraction);
        let nearer = |drill: &Drill| {
            /// Nearer by less than this is not nearer: a thousandth of an inch.
            const NEARER_MM: f64 = 0.0254;
            inch.as_ref()
                .is_none_or(|inch| off_mm(drill) + NEARER_MM <= off_mm(inch))
        };
        Drills {
            metric: of_set(DrillSet::Metric),
            numbered: of_set(DrillSet::NumberOrLetter).filter(nearer),
            inch,
        }
    }
}
