//! What must be cut before what.

use std::collections::BTreeSet;

use plane::Place;

use super::contour::Contour;
use super::plan::OrderError;
use crate::Of;

/// Why a contour comes before another.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Why {
    /// It lies inside the other, which comes free with it.
    Inside,
    /// It locates the part or the sheet for what follows.
    Locates,
    /// The shop asks for it.
    Asked,
}

/// One contour comes before another; contours count from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Before {
    /// What is cut first.
    pub first: usize,
    /// What is cut later.
    pub then: usize,
    /// Why.
    pub why: Why,
}

/// All pairs that hold: those given, the openings of a part before its outline, and whatever is pierced inside a contour
/// before that contour. Checked to leave an order at all.
pub(super) fn precedence(contours: &[Contour], given: &[Before]) -> Result<BTreeSet<Before>, OrderError> {
    let count = contours.len();
    let mut pairs = BTreeSet::new();
    for pair in given {
        if pair.first >= count || pair.then >= count {
            return Err(OrderError::NoSuchContour {
                contour: pair.first.max(pair.then),
                contours: count,
            });
        }
        pairs.insert(*pair);
    }
    for (first, inner) in contours.iter().enumerate() {
        for (then, outer) in contours.iter().enumerate() {
            let by_name = match (inner.of, outer.of) {
                (Of::Opening { part, .. }, Of::Outline { part: of }) => part == of,
                _ => false,
            };
            if first != then && (by_name || lies_inside(inner, outer)) {
                pairs.insert(Before {
                    first,
                    then,
                    why: Why::Inside,
                });
            }
        }
    }
    check_no_circle(count, &pairs)?;
    Ok(pairs)
}

/// A contour lies inside another when a corner of its shape does.
fn lies_inside(inner: &Contour, outer: &Contour) -> bool {
    let at = inner.shape.vertices()[0].at;
    let (low, high) = outer.shape.bounds();
    let in_box = low.x <= at.x && at.x <= high.x && low.y <= at.y && at.y <= high.y;
    in_box && outer.shape.place_of(at) == Place::Inside
}

fn check_no_circle(count: usize, pairs: &BTreeSet<Before>) -> Result<(), OrderError> {
    let mut open = vec![0usize; count];
    for pair in pairs {
        open[pair.then] += 1;
    }
    let mut ready: Vec<usize> = (0..count).filter(|i| open[*i] == 0).collect();
    let mut done = 0;
    while let Some(next) = ready.pop() {
        done += 1;
        for pair in pairs.iter().filter(|pair| pair.first == next) {
            open[pair.then] -= 1;
            if open[pair.then] == 0 {
                ready.push(pair.then);
            }
        }
    }
    if done == count {
        Ok(())
    } else {
        Err(OrderError::Circle {
            contours: (0..count).filter(|i| open[*i] > 0).collect(),
        })
    }
}

/// For each contour what comes directly before it, and what directly after.
pub(super) fn neighbours(count: usize, pairs: &BTreeSet<Before>) -> (Vec<Vec<usize>>, Vec<Vec<usize>>) {
    let (mut before, mut after) = (vec![Vec::new(); count], vec![Vec::new(); count]);
    for pair in pairs {
        before[pair.then].push(pair.first);
        after[pair.first].push(pair.then);
    }
    for list in before.iter_mut().chain(&mut after) {
        list.sort_unstable();
        list.dedup();
    }
    (before, after)
}
