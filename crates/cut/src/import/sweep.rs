//! Which edges come near each other, by a sweep from left to right that gives up before it takes too long.

use plane::{Point, Segment};

use super::error::ImportError;

/// The most looks at pairs of edges: near a second of work, thirty times what a plate of ten thousand edges needs.
pub const MOST_LOOKS: u64 = 100_000_000;

/// Working out where two edges meet, or how far a point is from one, takes as long as so many looks at their boxes.
pub(super) const EXACT_LOOKS: usize = 30;

pub(super) type Bounds = (Point, Point);

/// The box round all of these; none for none.
pub(super) fn bounds<'a>(edges: impl IntoIterator<Item = &'a Segment>) -> Option<Bounds> {
    edges.into_iter().map(Segment::bounds).reduce(joined)
}

pub(super) fn joined((low, high): Bounds, (l, h): Bounds) -> Bounds {
    (
        Point::new(low.x.min(l.x), low.y.min(l.y)),
        Point::new(high.x.max(h.x), high.y.max(h.y)),
    )
}

/// Counts looks, and says when there were too many.
#[derive(Debug, Default)]
pub(super) struct Looks(u64);

impl Looks {
    pub(super) fn add(&mut self, looks: usize) -> Result<(), ImportError> {
        self.0 += looks as u64;
        if self.0 > MOST_LOOKS {
            Err(ImportError::TooTangled)
        } else {
            Ok(())
        }
    }
}

/// Calls `visit` for each pair of boxes that come within a distance of each other.
pub(super) fn each_near_pair(
    boxes: &[Bounds],
    within_mm: f64,
    looks: &mut Looks,
    mut visit: impl FnMut(usize, usize) -> Result<(), ImportError>,
) -> Result<(), ImportError> {
    let mut order: Vec<usize> = (0..boxes.len()).collect();
    order.sort_by(|&a, &b| boxes[a].0.x.total_cmp(&boxes[b].0.x));
    let mut open: Vec<usize> = Vec::new();
    for &edge in &order {
        let (low, high) = boxes[edge];
        looks.add(open.len() + 1)?;
        open.retain(|&other| boxes[other].1.x >= low.x - within_mm);
        for &other in &open {
            if boxes[other].0.y <= high.y + within_mm && boxes[other].1.y >= low.y - within_mm {
                visit(other, edge)?;
            }
        }
        open.push(edge);
    }
    Ok(())
}
