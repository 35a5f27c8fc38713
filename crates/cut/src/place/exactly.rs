//! Places that fit to the last millimetre, which a grid that is never too kind does not see: the box of a part laid
//! against edges of the sheet, of its holes, and of what lies on it.

use nalgebra::Isometry2;
use plane::{Outline, Point, Vector};

use super::job::{Frame, Gaps, Part, Sheet};
use super::layout::Placed;
use super::settle::keeps;

/// Places that are still looked at exactly in one layout. Each costs some microseconds for every edge near it, so that all of
/// them together stay within the second that a layout may take; many parts on a full sheet would ask for millions.
pub(super) struct Looks(u32);

impl Default for Looks {
    fn default() -> Looks {
        Looks(20_000)
    }
}

impl Looks {
    fn take(&mut self) -> bool {
        self.0 = self.0.saturating_sub(1);
        self.0 > 0
    }
}

/// Whether a part is like one for which there was no place: then there is none for it either, since things only come to lie on
/// the sheet.
fn like_one_of(part: usize, tried: &[usize], parts: &[Part]) -> bool {
    tried.iter().any(|other| parts[*other] == parts[part])
}

/// Lays those that are left out where their boxes fit between the others; what is left then stays in the list.
pub(super) fn those_left(
    left_out: &mut Vec<usize>,
    placed: &mut Vec<Placed>,
    parts: &[Part],
    sheet: &Sheet,
    gaps: &Gaps,
    frame: &Frame,
    looks: &mut Looks,
) {
    let mut tried: Vec<usize> = Vec::new();
    left_out.retain(|part| {
        if like_one_of(*part, &tried, parts) {
            return true;
        }
        match against_edges(*part, parts, placed, sheet, gaps, frame, looks) {
            Some(lies) => {
                placed.push(lies);
                false
            }
            None => {
                tried.push(*part);
                true
            }
        }
    });
}

/// Parts laid one after another, the largest first, each by its box alone; those for which there is no place.
pub(super) fn all_against_edges(
    parts: &[Part],
    sheet: &Sheet,
    gaps: &Gaps,
    frame: &Frame,
    looks: &mut Looks,
) -> (Vec<Placed>, Vec<usize>) {
    let mut order: Vec<usize> = (0..parts.len()).collect();
    let area_mm2 = |part: usize| parts[part].region.outer.area_mm2();
    order.sort_by(|a, b| area_mm2(*b).total_cmp(&area_mm2(*a)).then(a.cmp(b)));
    let mut placed = Vec::new();
    those_left(&mut order, &mut placed, parts, sheet, gaps, frame, looks);
    (placed, order)
}

/// The first place by the reach from the zero corner at which a part keeps its distances, of all where its box touches
/// those of other things along x and along y.
fn against_edges(
    part: usize,
    parts: &[Part],
    placed: &[Placed],
    sheet: &Sheet,
    gaps: &Gaps,
    frame: &Frame,
    looks: &mut Looks,
) -> Option<Placed> {
    // Stretches along each axis that a box must stay within or out of, with their distance.
    let mut within: Vec<((Point, Point), f64)> = vec![(sheet.region.bounds(), gaps.edge_mm)];
    let mut beside: Vec<((Point, Point), f64)> = Vec::new();
    let bounds = |outline: &Outline| outline.bounds();
    beside.extend(sheet.region.holes.iter().map(|hole| (bounds(hole), gaps.edge_mm)));
    beside.extend(sheet.clamps.iter().map(|clamp| (bounds(clamp), gaps.clamps_mm)));
    for lies in placed {
        beside.push((lies.region.bounds(), gaps.parts_mm));
        within.extend(lies.region.holes.iter().map(|hole| (bounds(hole), gaps.parts_mm)));
    }
    let (sheet_low, sheet_high) = sheet.region.bounds();
    let on_box = |low: Point, high: Point| {
        low.x >= sheet_low.x && low.y >= sheet_low.y && high.x <= sheet_high.x && high.y <= sheet_high.y
    };
    let mut best: Option<(f64, Placed)> = None;
    for turn_rad in parts[part].turns.list_rad() {
        let turned = parts[part].region.transformed(&Isometry2::rotation(turn_rad));
        let (low, high) = turned.bounds();
        let moves = |axis: usize| {
            let (l, h) = (low.coords[axis], high.coords[axis]);
            let mut moves = Vec::new();
            for ((from, to), gap_mm) in &within {
                moves.push(from.coords[axis] + gap_mm - l);
                moves.push(to.coords[axis] - gap_mm - h);
            }
            for ((from, to), gap_mm) in &beside {
                moves.push(to.coords[axis] + gap_mm - l);
                moves.push(from.coords[axis] - gap_mm - h);
            }
            moves
        };
        let (across, up) = (moves(0), moves(1));
        for (x, y) in across.iter().flat_map(|x| up.iter().map(move |y| (*x, *y))) {
            let by = Vector::new(x, y);
            let (a, b) = (frame.seen(low + by), frame.seen(high + by));
            let reach = a.x.max(b.x) + a.y.max(b.y);
            if best.as_ref().is_some_and(|(least, _)| *least <= reach) || !on_box(low + by, high + by) {
                continue;
            }
            if !looks.take() {
                return best.map(|(_, lies)| lies);
            }
            let lies = Placed {
                part,
                turn_rad,
                by,
                region: parts[part].region.transformed(&Isometry2::new(by, turn_rad)),
            };
            if keeps(placed, usize::MAX, &lies, sheet, gaps) {
                best = Some((reach, lies));
            }
        }
    }
    best.map(|(_, lies)| lies)
}
