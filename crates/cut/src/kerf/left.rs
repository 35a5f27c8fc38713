//! What stays in and should have gone: the path moved back by half the kerf, held against the edge as drawn.

use plane::{Outline, Place, Point, Region, Segment, difference, union_all};

use super::corner::sharp;
use super::{Edge, Left};

/// Pieces smaller than this are rounding between two outlines that are one, mm2: a tenth of what a kerf of 0.1 mm leaves
/// in a square corner.
const SPECK_MM2: f64 = 5e-5;
/// A point is on the edge as drawn within this, mm: over what moving out and back leaves, under any kerf.
const ON_EDGE_MM: f64 = 1e-3;
/// Edges that turn through more than this face each other across a gap; less is a corner. 165 degrees: a corner sharper
/// than 15 degrees is a gap that ends in a point.
const FACES_RAD: f64 = 2.88;

pub(super) fn round_outline(edge: &Outline, path: &Outline, half_mm: f64) -> Vec<Left> {
    let back = path.offset(-half_mm).ok();
    let filled: Option<Vec<Region>> = back.map(|outlines| outlines.into_iter().map(Region::solid).collect());
    let pieces = filled.and_then(|filled| difference(&filled, &[Region::solid(edge.clone())]).ok());
    tell(Edge::Outline, edge, std::slice::from_ref(path), pieces, half_mm)
}

pub(super) fn within_opening(opening: usize, edge: &Outline, loops: &[Outline], half_mm: f64) -> Vec<Left> {
    let of = Edge::Opening(opening);
    // A circle wider than the kerf is cut as drawn.
    if edge.as_circle().is_some() {
        return Vec::new();
    }
    let cut: Result<Vec<Region>, _> = loops
        .iter()
        .map(|path| path.offset_to_one(-half_mm).map(Region::solid))
        .collect();
    let pieces = cut
        .ok()
        .and_then(|cut| union_all(&cut).ok())
        .and_then(|cut| difference(&[Region::solid(edge.clone())], &cut).ok());
    tell(of, edge, loops, pieces, half_mm)
}

fn tell(of: Edge, edge: &Outline, paths: &[Outline], pieces: Option<Vec<Region>>, half_mm: f64) -> Vec<Left> {
    let mut told = Vec::new();
    let mut gaps: Vec<Region> = Vec::new();
    match pieces {
        None => told.push(Left::NotWorkedOut { of }),
        Some(pieces) => {
            for piece in pieces {
                if piece.area_mm2() < SPECK_MM2 {
                    continue;
                }
                if let Some((at, width_mm)) = mouth_of_gap(edge, &piece.outer) {
                    told.push(Left::Gap {
                        of,
                        at,
                        width_mm,
                        left_mm2: piece.area_mm2(),
                    });
                    gaps.push(piece);
                }
            }
        }
    }
    let in_a_gap = |at: Point| {
        gaps.iter()
            .any(|gap| gap.outer.place_within(at, ON_EDGE_MM) != Place::Outside)
    };
    let short_mm = |at: Point| {
        let off_mm = paths.iter().map(|path| path.distance_to(at).0);
        (off_mm.fold(f64::INFINITY, f64::min) - half_mm).max(0.0)
    };
    let corners = sharp(edge, half_mm).into_iter();
    told.extend(
        corners
            .filter(|(_, at)| !in_a_gap(*at))
            .map(|(drawn_mm, at)| Left::Corner {
                of,
                at,
                drawn_mm,
                comes_out_mm: half_mm,
                short_mm: short_mm(at),
            }),
    );
    told
}

/// Where and how wide the mouth of a piece that stays in is, when edges face each other across it; none for what is
/// left in a corner. The narrowest of several mouths.
fn mouth_of_gap(edge: &Outline, piece: &Outline) -> Option<(Point, f64)> {
    let sides: Vec<Segment> = piece.segments().collect();
    let drawn: Vec<bool> = sides
        .iter()
        .map(|side| edge.place_within(side.point_at(0.5), ON_EDGE_MM) == Place::On)
        .collect();
    let count = sides.len();
    let first_mouth = drawn.iter().position(|drawn| !drawn)?;
    let (mut runs, mut most_rad, mut turned_rad) = (0, 0.0f64, 0.0);
    for step in 1..=count {
        let i = (first_mouth + step) % count;
        let before = (i + count - 1) % count;
        if !drawn[i] {
            continue;
        }
        if drawn[before] {
            let (from, to) = (sides[before].tangent_at(1.0), sides[i].tangent_at(0.0));
            turned_rad += from.perp(&to).atan2(from.dot(&to));
        } else {
            runs += 1;
            turned_rad = 0.0;
        }
        turned_rad += sides[i].turn_rad();
        most_rad = most_rad.max(turned_rad);
    }
    if runs < 2 && most_rad < FACES_RAD {
        return None;
    }
    let mouths = sides.iter().zip(&drawn).filter(|(_, drawn)| !**drawn);
    mouths
        .map(|(side, _)| {
            let chord = side.to() - side.from();
            (side.from() + chord / 2.0, chord.norm())
        })
        .min_by(|a, b| a.1.total_cmp(&b.1))
}
