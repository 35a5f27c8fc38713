//! The flat plate on either side of a bend: whether it is held, and what the gauge stands against.

use super::moves::{Round, Stroke};
use crate::solid::Prism;
use crate::sweep::Mover;
use crate::work::{Solid, Work, farthest_of_strip};
use nalgebra::Vector3;

/// Where along a bend its legs are measured.
const STATIONS: usize = 25;
/// Plate that begins within this of the last is the same plate.
const SAME_PLATE_MM: f64 = 0.05;
/// Where an edge stands within this of its farthest, it bears on the gauge.
const BEARS_MM: f64 = 0.15;
/// Over this share of the bend or less, a short leg is only a rounded or leaning corner.
const LEANS_AT_ENDS: f64 = 0.1;
/// An edge must bear on the gauge over this length to be square by it, mm: two gauge fingers side by side.
const SQUARE_OVER_MM: f64 = 30.0;

/// How the edge at the back stands against the gauge.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Edge {
    /// A straight edge along the bend, long enough to stand square.
    Square,
    /// The outside of a bend that is already made.
    Bent,
    /// Only a point or a short piece of edge: it must be held square by eye.
    Point,
    /// Nothing in reach of a gauge: bend to a mark.
    Mark,
}

/// The back gauge of a step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gauge {
    /// From the middle of the bend to the edge, mm on the blank.
    pub to_middle_mm: f64,
    /// From the nearer tangent line of the bend to the edge, mm on the blank.
    pub to_tangent_mm: f64,
    /// What bears on it.
    pub edge: Edge,
}

/// Flat plate on one side of a bend.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Reach {
    /// Over all of the bend but its ends, at least so much lies flat from its middle, mm.
    pub nearly_all_mm: f64,
    /// Over half of it.
    pub half_mm: f64,
    /// The farthest, mm.
    pub farthest_mm: f64,
    /// The farthest of the solids that stand for it, mm: round a bend they stand out a little more.
    pub solid_mm: f64,
    /// What stands there.
    pub edge: Edge,
    /// Something hangs where the gauge's finger would stand as the bend begins.
    pub shut: bool,
}

/// The flat plate on the side that moves so, when these steps are done.
pub(crate) fn reach(
    work: &Work,
    stroke: &Stroke,
    round: Round,
    side: Mover,
    done: u32,
    short_share: f64,
) -> Reach {
    let sign = if side == Mover::Ahead { 1.0 } else { -1.0 };
    let mut flat: Vec<Prism> = Vec::new();
    // Corners of bends already made: across, along, mm.
    let mut bent_at_mm: Vec<(f64, f64)> = Vec::new();
    let mut solid_mm = f64::NEG_INFINITY;
    for (body, hangs) in stroke.hangs.iter().enumerate() {
        let Some(hangs) = hangs.as_ref().filter(|hangs| Stroke::mover(hangs, round) == side) else {
            continue;
        };
        if Stroke::lies_flat(work, hangs, done) {
            flat.extend(stroke.pieces(work, body, round, done));
            continue;
        }
        // A strip bent at the end of the flat: its outside is what stands at the back. It may hang on either of its sides.
        let Solid::Strip(own) = work.bodies[body].solid else {
            continue;
        };
        let passed = hangs.over.iter().filter(|(line, _)| *line != own);
        if passed.clone().any(|(line, _)| work.bent_rad(*line, done) != 0.0) {
            continue;
        }
        let place = stroke.place(work, hangs, round, done);
        let toward = place.rotation.inverse() * Vector3::x() * sign;
        let points = farthest_of_strip(
            &work.lines[own],
            work.bent_rad(own, done),
            work.thickness_mm,
            &toward,
        );
        bent_at_mm.extend(points.iter().map(|point| {
            let at = place.rotation * point + place.translation.vector;
            (at.x * sign, at.y)
        }));
        let pieces = stroke.pieces(work, body, round, done);
        let corners = pieces.iter().flat_map(Prism::corners);
        solid_mm = corners.fold(solid_mm, |most, corner| most.max(corner.x * sign));
    }
    let start_mm = work.lines[stroke.lines[0]].strip_mm() / 2.0;
    let mut reaches: Vec<(f64, f64)> = Vec::new();
    let middle = stroke.middle_mm();
    let turned = if round == Round::MovingBack { 1.0 } else { -1.0 };
    for span in &stroke.spans_mm {
        let inset = work.thickness_mm.min((span[1] - span[0]) / 4.0);
        for i in 0..STATIONS {
            let along =
                span[0] + inset + (span[1] - span[0] - 2.0 * inset) * i as f64 / (STATIONS - 1) as f64;
            let y = (along - middle) * turned;
            reaches.push((y, reach_at(&flat, y, sign, start_mm)));
        }
    }
    let mut sorted: Vec<f64> = reaches.iter().map(|(_, reach)| *reach).collect();
    sorted.sort_by(f64::total_cmp);
    let at =
        |share: f64| sorted.get(((sorted.len() as f64 * share) as usize).min(sorted.len().saturating_sub(1)));
    let flat_mm = sorted.last().copied().unwrap_or(0.0);
    let bent_mm = bent_at_mm
        .iter()
        .map(|(x, _)| *x)
        .fold(f64::NEG_INFINITY, f64::max);
    let over_mm = |along: &mut dyn Iterator<Item = f64>| {
        let none = [f64::INFINITY, f64::NEG_INFINITY];
        let [low, high] = along.fold(none, |[low, high], y| [low.min(y), high.max(y)]);
        high - low
    };
    let bent_over_mm = over_mm(
        &mut bent_at_mm
            .iter()
            .filter(|(x, _)| bent_mm - x < BEARS_MM)
            .map(|(_, y)| *y),
    );
    let flat_over_mm = over_mm(
        &mut reaches
            .iter()
            .filter(|(_, reach)| flat_mm - reach < BEARS_MM)
            .map(|(y, _)| *y),
    );
    let square_mm = SQUARE_OVER_MM.min(0.8 * stroke.length_mm());
    // A bend that slants to this one touches the gauge with one end.
    let edge = match bent_mm > flat_mm {
        true if bent_over_mm >= square_mm => Edge::Bent,
        false if flat_over_mm >= square_mm => Edge::Square,
        _ => Edge::Point,
    };
    Reach {
        nearly_all_mm: at(LEANS_AT_ENDS).copied().unwrap_or(0.0),
        half_mm: at(short_share).copied().unwrap_or(0.0),
        farthest_mm: flat_mm.max(bent_mm),
        solid_mm: flat_mm.max(solid_mm),
        edge,
        shut: false,
    }
}

/// How far the plate goes without a break from the bend, at this place along it.
fn reach_at(flat: &[Prism], y_mm: f64, sign: f64, start_mm: f64) -> f64 {
    let mut chords: Vec<(f64, f64)> = flat.iter().filter_map(|piece| chord(piece, y_mm, sign)).collect();
    chords.sort_by(|a, b| a.0.total_cmp(&b.0));
    chords.into_iter().fold(start_mm, |reached, (from, to)| {
        if from <= reached + SAME_PLATE_MM {
            reached.max(to)
        } else {
            reached
        }
    })
}

/// Where a flat piece lies across the bend at this place along it, counted outward.
fn chord(piece: &Prism, y_mm: f64, sign: f64) -> Option<(f64, f64)> {
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for (i, from) in piece.base.iter().enumerate() {
        let to = &piece.base[(i + 1) % piece.base.len()];
        if (from.y - y_mm) * (to.y - y_mm) > 0.0 || from.y == to.y {
            continue;
        }
        let x = (from.x + (to.x - from.x) * (y_mm - from.y) / (to.y - from.y)) * sign;
        low = low.min(x);
        high = high.max(x);
    }
    (low < high).then_some((low, high))
}
