//! The blank as lines: rims of panels, strips of bends in rows, rings.

use std::f64::consts::TAU;

use plane::{Point, Segment};
use sheet::{Bend, OpeningShape, Part, Strip};

use super::lines::{Drawing, Kind, Lines, Round};
use super::sizes::{Sizes, rows, steps_round};
use super::{BodyOptions, Ring};

/// A rim of a hole is that of an opening when a point of the opening's edge is this near to it: the two are the same
/// outline.
const SAME_RIM_MM: f64 = 1e-3;

/// A ring keeps at least this share of its chords clear of rims and other rings, so that no thin triangles are forced.
const CLEAR_OF_RING: f64 = 0.4;

/// The plan of a part's blank. Regions are panels in their order, then bends in theirs; the run of a line is the opening
/// whose rim it is.
pub(super) fn drawing(part: &Part, options: &BodyOptions, sizes: &Sizes) -> Drawing {
    let mut lines = Lines::default();
    for (index, bend) in part.bends.iter().enumerate() {
        let region = (part.panels.len() + index) as u32;
        for strip in &bend.strips {
            strip_lines(&mut lines, bend, strip, region, rows(bend, options), sizes);
        }
    }
    for (index, panel) in part.panels.iter().enumerate() {
        for outline in panel.flat.outlines() {
            let edges: Vec<Segment> = outline
                .segments()
                .map(|edge| edge.translated(panel.to_blank))
                .collect();
            let opening = panel.openings.iter().copied().find(|&opening| {
                let on = part
                    .blank
                    .openings
                    .get(opening)
                    .and_then(Option::as_ref)
                    .map(rim_point);
                on.is_some_and(|on| edges.iter().any(|edge| edge.nearest(on).0 <= SAME_RIM_MM))
            });
            for edge in edges {
                rim_lines(&mut lines, &edge, index as u32, opening, options, sizes);
            }
        }
    }
    let mut left_out = Vec::new();
    let mut drawn: Vec<(usize, Ring)> = Vec::new();
    for (index, ring) in options.rings.iter().enumerate() {
        let chords = chords(ring, options, sizes);
        let chord_mm = TAU * ring.radius_mm / chords as f64;
        let clear_mm = CLEAR_OF_RING * chord_mm;
        let panel = panel_round(part, ring, clear_mm);
        match panel {
            Some(panel)
                if drawn
                    .iter()
                    .all(|(other, ring_drawn)| *other != panel || apart(ring, ring_drawn, clear_mm)) =>
            {
                ring_lines(&mut lines, ring, chords);
                drawn.push((panel, *ring));
            }
            _ => left_out.push(index),
        }
    }
    Drawing {
        rings_left_out: left_out,
        ..lines.drawn()
    }
}

/// A point on the edge of an opening.
fn rim_point(shape: &OpeningShape) -> Point {
    match shape {
        OpeningShape::Round { at, dia_mm } => at + plane::Vector::new(dia_mm / 2.0, 0.0),
        OpeningShape::Slot { from, to, width_mm } => {
            let along = (to - from).try_normalize(0.0).unwrap_or(plane::Vector::x());
            to + along * (width_mm / 2.0)
        }
        OpeningShape::Window(outline) => outline.vertices()[0].at,
    }
}

fn rim_lines(
    lines: &mut Lines,
    edge: &Segment,
    region: u32,
    opening: Option<usize>,
    options: &BodyOptions,
    sizes: &Sizes,
) {
    let run = opening.map(|opening| opening as u32);
    let (steps, round) = match *edge {
        Segment::Line { .. } => (1, None),
        Segment::Arc {
            centre,
            radius_mm,
            sweep_rad,
            ..
        } => {
            let size_mm = sizes.at(edge.point_at(0.5));
            let by_size = (edge.length_mm() / size_mm).round() as usize;
            (
                steps_round(sweep_rad, options).max(by_size),
                Some(Round { centre, radius_mm }),
            )
        }
    };
    let mut last = edge.from();
    for step in 1..=steps {
        let next = if step == steps {
            edge.to()
        } else {
            edge.point_at(step as f64 / steps as f64)
        };
        lines.add(last, next, Kind::Rim(region), round, run);
        last = next;
    }
}

/// The strip's two tangent lines, the rows between, and its two sides. Every other row is staggered by half a step.
fn strip_lines(lines: &mut Lines, bend: &Bend, strip: &Strip, region: u32, rows: usize, sizes: &Sizes) {
    let ends = |row: usize| {
        let share = row as f64 / rows as f64;
        [0, 1].map(|end| strip.fixed[end] + (strip.moving[end] - strip.fixed[end]) * share)
    };
    let [from, to] = ends(rows / 2);
    let size_mm = sizes.at(nalgebra::center(&from, &to));
    let longest = [0, rows]
        .map(ends)
        .map(|[from, to]| (to - from).norm())
        .into_iter()
        .fold(0.0, f64::max);
    let steps = (longest / size_mm).round().max(1.0) as usize;
    for row in 0..=rows {
        let [from, to] = ends(row);
        let kind = match row {
            0 => Kind::Joint(region, bend.fixed as u32),
            row if row == rows => Kind::Joint(bend.moving as u32, region),
            _ => Kind::Within,
        };
        let shift = if row % 2 == 0 { 0.0 } else { 0.5 };
        let mut last = from;
        for step in 1..=steps {
            let share = (step as f64 - shift) / steps as f64;
            if share < 1.0 {
                let next = from + (to - from) * share;
                lines.add(last, next, kind, None, None);
                last = next;
            }
        }
        lines.add(last, to, kind, None, None);
    }
    lines.add(strip.fixed[1], strip.moving[1], Kind::Rim(region), None, None);
    lines.add(strip.moving[0], strip.fixed[0], Kind::Rim(region), None, None);
}

fn chords(ring: &Ring, options: &BodyOptions, sizes: &Sizes) -> usize {
    let size_mm = sizes.at(ring.centre + plane::Vector::new(ring.radius_mm, 0.0));
    let by_size = (TAU * ring.radius_mm / size_mm).round() as usize;
    by_size.max(options.per_hole).max(3)
}

/// The panel that holds the whole of a ring with this much to spare.
fn panel_round(part: &Part, ring: &Ring, clear_mm: f64) -> Option<usize> {
    if !(ring.radius_mm > 0.0 && ring.radius_mm.is_finite() && ring.centre.iter().all(|v| v.is_finite())) {
        return None;
    }
    part.panels.iter().position(|panel| {
        let centre = ring.centre - panel.to_blank;
        let clear_of = |outline: &plane::Outline| {
            let crosses = (ring.radius_mm - clear_mm)..=(ring.radius_mm + clear_mm);
            let near = outline.distance_to(centre).0;
            // A hole that the ring goes round is clear when all of it is inside.
            let far = outline
                .segments()
                .map(|edge| farthest_mm(&edge, centre))
                .fold(0.0, f64::max);
            !crosses.contains(&near) && (near > ring.radius_mm || far < *crosses.start())
        };
        let within = panel.flat.outer.contains(centre)
            && panel.flat.outer.distance_to(centre).0 > ring.radius_mm + clear_mm;
        within && panel.flat.holes.iter().all(clear_of)
    })
}

/// No point of an edge is farther from a point than this.
fn farthest_mm(edge: &Segment, from: Point) -> f64 {
    match *edge {
        Segment::Line { from: a, to: b } => (a - from).norm().max((b - from).norm()),
        Segment::Arc {
            centre, radius_mm, ..
        } => (centre - from).norm() + radius_mm,
    }
}

fn apart(a: &Ring, b: &Ring, clear_mm: f64) -> bool {
    let between = (a.centre - b.centre).norm();
    let (small, large) = (a.radius_mm.min(b.radius_mm), a.radius_mm.max(b.radius_mm));
    between > small + large + clear_mm || between + small + clear_mm < large
}

fn ring_lines(lines: &mut Lines, ring: &Ring, chords: usize) {
    let at = |i: usize| {
        let (sin, cos) = (TAU * (i % chords) as f64 / chords as f64).sin_cos();
        ring.centre + plane::Vector::new(cos, sin) * ring.radius_mm
    };
    let round = Some(Round {
        centre: ring.centre,
        radius_mm: ring.radius_mm,
    });
    for i in 0..chords {
        lines.add(at(i), at(i + 1), Kind::Within, round, None);
    }
}
