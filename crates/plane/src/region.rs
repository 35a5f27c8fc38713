//! Material with holes: what makes it sound, and how much of it there is.

use nalgebra::Vector2;
use thiserror::Error;

use crate::inside::Place;
use crate::outline::{Outline, Region};
use crate::size::Moments;
use crate::{Point, SAME_POINT_MM};

/// Why an outline and its holes do not make a region. Holes count from 0.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum RegionError {
    /// A hole lies outside the outer outline altogether.
    #[error("hole {hole} lies outside the plate, at ({:.3}, {:.3})", at.x, at.y)]
    HoleOutside {
        /// Which hole.
        hole: usize,
        /// A point of it.
        at: Point,
    },
    /// A hole crosses or touches the outer outline.
    #[error("hole {hole} runs into the edge of the plate at ({:.3}, {:.3})", at.x, at.y)]
    HoleCrossesEdge {
        /// Which hole.
        hole: usize,
        /// The edge of the outer outline it meets.
        edge: usize,
        /// The edge of the hole that meets it.
        hole_edge: usize,
        /// Where.
        at: Point,
    },
    /// Two holes cross or touch, or one lies within the other.
    #[error("holes {first} and {second} overlap at ({:.3}, {:.3})", at.x, at.y)]
    HolesOverlap {
        /// The lower of the two.
        first: usize,
        /// The higher.
        second: usize,
        /// Where.
        at: Point,
    },
}

impl Region {
    /// The material inside `outer` and outside every hole, each turned the way round it must run. Holes must lie within
    /// the outer outline and apart from it and from each other.
    pub fn new(outer: Outline, holes: Vec<Outline>) -> Result<Region, RegionError> {
        let outer = outer.oriented(true);
        let holes: Vec<Outline> = holes.into_iter().map(|hole| hole.oriented(false)).collect();
        for (hole, shape) in holes.iter().enumerate() {
            if let Some((edge, hole_edge, at)) = first_meeting(&outer, shape) {
                return Err(RegionError::HoleCrossesEdge {
                    hole,
                    edge,
                    hole_edge,
                    at,
                });
            }
            let at = shape.vertices[0].at;
            if outer.place_of(at) != Place::Inside {
                return Err(RegionError::HoleOutside { hole, at });
            }
        }
        for (second, shape) in holes.iter().enumerate() {
            for (first, other) in holes[..second].iter().enumerate() {
                let (a, b) = (other.vertices[0].at, shape.vertices[0].at);
                let at = if let Some((_, _, at)) = first_meeting(other, shape) {
                    Some(at)
                } else if boxes_touch(other, shape) && other.contains(b) {
                    Some(b)
                } else if boxes_touch(other, shape) && shape.contains(a) {
                    Some(a)
                } else {
                    None
                };
                if let Some(at) = at {
                    return Err(RegionError::HolesOverlap { first, second, at });
                }
            }
        }
        Ok(Region { outer, holes })
    }

    /// Material without holes.
    pub fn solid(outer: Outline) -> Region {
        Region {
            outer: outer.oriented(true),
            holes: Vec::new(),
        }
    }

    /// The outer outline and then the holes.
    pub fn outlines(&self) -> impl Iterator<Item = &Outline> + Clone {
        std::iter::once(&self.outer).chain(&self.holes)
    }

    /// Area of the material, mm2.
    pub fn area_mm2(&self) -> f64 {
        self.outer.area_mm2() - self.holes.iter().map(Outline::area_mm2).sum::<f64>()
    }

    /// Length of all edges, outer and holes, mm.
    pub fn length_mm(&self) -> f64 {
        self.outlines().map(Outline::length_mm).sum()
    }

    /// The lower left and upper right corners of the smallest upright box round it.
    pub fn bounds(&self) -> (Point, Point) {
        self.outer.bounds()
    }

    /// The centre of the material.
    pub fn centroid(&self) -> Point {
        self.moments().centroid
    }

    /// Area, centroid and second moments of the material.
    pub fn moments(&self) -> Moments {
        let parts: Vec<(f64, Moments)> = self
            .outlines()
            .enumerate()
            .map(|(i, o)| (if i == 0 { 1.0 } else { -1.0 }, o.moments()))
            .collect();
        let base = parts[0].1.centroid;
        let area_mm2: f64 = parts.iter().map(|(sign, m)| sign * m.area_mm2).sum();
        let first: Vector2<f64> = parts
            .iter()
            .map(|(sign, m)| (m.centroid - base) * (sign * m.area_mm2))
            .sum();
        let centroid = base + first / area_mm2;
        // Steiner: each part's moments carried from its own centroid to that of the whole.
        let total = |own: fn(&Moments) -> f64, carry: fn(Vector2<f64>) -> f64| -> f64 {
            parts
                .iter()
                .map(|(sign, m)| sign * (own(m) + m.area_mm2 * carry(m.centroid - centroid)))
                .sum()
        };
        Moments {
            area_mm2,
            centroid,
            about_x_mm4: total(|m| m.about_x_mm4, |d| d.y * d.y),
            about_y_mm4: total(|m| m.about_y_mm4, |d| d.x * d.x),
            product_mm4: total(|m| m.product_mm4, |d| d.x * d.y),
        }
    }
}

/// The first place, in the order of the edges, where two outlines meet: edge of one, edge of the other, where.
fn first_meeting(a: &Outline, b: &Outline) -> Option<(usize, usize, Point)> {
    let near = |(low, high): (Point, Point), (l, h): (Point, Point)| {
        low.x <= h.x + SAME_POINT_MM
            && l.x <= high.x + SAME_POINT_MM
            && low.y <= h.y + SAME_POINT_MM
            && l.y <= high.y + SAME_POINT_MM
    };
    let whole = b.bounds();
    let theirs: Vec<_> = b.segments().map(|edge| (edge, edge.bounds())).collect();
    for (i, edge) in a.segments().enumerate() {
        let bounds = edge.bounds();
        if !near(bounds, whole) {
            continue;
        }
        for (j, (other, other_bounds)) in theirs.iter().enumerate() {
            if near(bounds, *other_bounds)
                && let Some(meeting) = edge.meetings(other).first()
            {
                return Some((i, j, meeting.at));
            }
        }
    }
    None
}

fn boxes_touch(a: &Outline, b: &Outline) -> bool {
    let ((low, high), (l, h)) = (a.bounds(), b.bounds());
    low.x <= h.x && l.x <= high.x && low.y <= h.y && l.y <= high.y
}
