//! What is left of the sheet.

use plane::{Outline, Point, Region, difference};

use super::grid::Grid;
use super::job::{Frame, Gaps, Sheet};
use super::layout::Placed;

/// The largest usable piece that a layout leaves.
#[derive(Debug, Clone, PartialEq)]
pub struct Remnant {
    /// Lower left and upper right corners of the largest upright rectangle that is free, margins kept; good to a cell of
    /// the grid on the low side. None when there is none.
    pub rectangle: Option<(Point, Point)>,
    /// The largest piece left in one: the sheet less every part grown by the distance from part to part. None when nothing is
    /// left or its edges run too near each other to tell.
    pub piece: Option<Region>,
}

/// What is left of a sheet; `free` is the grid with the parts blocked.
pub(super) fn remnant(free: &Grid, frame: &Frame, placed: &[Placed], sheet: &Sheet, gaps: &Gaps) -> Remnant {
    let rectangle = largest_free(free).map(|(from, to)| {
        let at = |(across, row): (usize, usize)| {
            frame.back(Point::new(
                across as f64 * free.cell_mm,
                row as f64 * free.cell_mm,
            ))
        };
        let (a, b) = (at(from), at(to));
        (
            Point::new(a.x.min(b.x), a.y.min(b.y)),
            Point::new(a.x.max(b.x), a.y.max(b.y)),
        )
    });
    Remnant {
        rectangle,
        piece: largest_piece(placed, sheet, gaps),
    }
}

fn largest_piece(placed: &[Placed], sheet: &Sheet, gaps: &Gaps) -> Option<Region> {
    let mut left = vec![sheet.region.clone()];
    for part in placed {
        let grown: Vec<Outline> = part.region.outer.offset(gaps.parts_mm).ok()?;
        // Growing may leave pockets, which come after; they are too small to keep.
        let grown = Region::solid(grown.into_iter().next()?);
        left = difference(&left, std::slice::from_ref(&grown)).ok()?;
    }
    left.into_iter()
        .max_by(|a, b| a.area_mm2().total_cmp(&b.area_mm2()))
}

/// A cell by its number across and its row.
type Cell = (usize, usize);

/// Cells of the largest rectangle that is free: its first cell and the one behind its last. By the heights of free columns
/// over each row and a stack of rising ones.
fn largest_free(free: &Grid) -> Option<(Cell, Cell)> {
    let mut heights = vec![0usize; free.across + 1];
    let mut best: Option<(usize, Cell, Cell)> = None;
    for row in 0..free.rows {
        for (across, height) in heights.iter_mut().enumerate().take(free.across) {
            *height = if free.is_set(across, row) { *height + 1 } else { 0 };
        }
        let mut rising: Vec<(usize, usize)> = Vec::new();
        for (across, &height) in heights.iter().enumerate() {
            let mut start = across;
            while let Some(&(from, high)) = rising.last()
                && high >= height
            {
                rising.pop();
                let area = high * (across - from);
                if area > best.map_or(0, |(area, ..)| area) {
                    best = Some((area, (from, row + 1 - high), (across, row + 1)));
                }
                start = from;
            }
            rising.push((start, height));
        }
    }
    best.map(|(_, from, to)| (from, to))
}
