//! Outlines moved sideways by a distance, arcs kept as arcs.
//!
//! The work is done by `cavalier_contours`; this file holds it to our conventions, hands it nothing it cannot take, and
//! believes nothing it gives back that breaks what an offset must keep.

use std::panic::{AssertUnwindSafe, catch_unwind};

use cavalier_contours::polyline::{
    CoincidentSegmentBehavior, PlineCreation, PlineOffsetOptions, PlineSource, PlineSourceMut, Polyline,
    TouchingLoopBehavior,
};
use thiserror::Error;

use crate::outline::{Outline, Segment, Vertex};
use crate::validity::check_crossings;
use crate::{FARTHEST_MM, Point, SAME_POINT_MM};

/// Why an offset has no answer.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum OffsetError {
    /// The distance is not a number or beyond [`FARTHEST_MM`].
    #[error("{distance_mm} mm is no distance to offset by")]
    NoDistance {
        /// What was asked.
        distance_mm: f64,
    },
    /// Nothing is left.
    #[error(
        "nothing is left of an outline {width_mm:.3} by {height_mm:.3} mm after moving its edge in by {inward_mm:.3} mm"
    )]
    Collapsed {
        /// How far its edge was moved in.
        inward_mm: f64,
        /// Width of the outline's box.
        width_mm: f64,
        /// Height of the outline's box.
        height_mm: f64,
    },
    /// One outline was asked for and several came out.
    #[error("moving the edge by {distance_mm:.3} mm leaves {pieces} outlines, not one")]
    InPieces {
        /// What was asked.
        distance_mm: f64,
        /// How many came out.
        pieces: usize,
    },
    /// The result crosses itself or did not keep what every offset keeps (box and area), so it is withheld.
    #[error("the offset by {distance_mm:.3} mm could not be worked out: its result did not pass the check")]
    NotTrusted {
        /// What was asked.
        distance_mm: f64,
    },
}

impl Outline {
    /// The edge moved sideways by `distance_mm`, arcs kept as arcs, outside corners rounded when growing away from them.
    ///
    /// **Positive moves the edge to the right of its direction**: it grows a counter-clockwise outline, and shrinks a
    /// clockwise hole, so for both a positive distance adds material. Each result runs the same way round as this
    /// outline, except that growing an outline until its arms meet leaves pockets, which run the other way. Largest area
    /// first. Empty when nothing is left: [`Outline::offset_to_one`] makes that an error. 0 gives the outline itself.
    pub fn offset(&self, distance_mm: f64) -> Result<Vec<Outline>, OffsetError> {
        if !distance_mm.is_finite() || distance_mm.abs() > FARTHEST_MM {
            return Err(OffsetError::NoDistance { distance_mm });
        }
        if distance_mm.abs() < SAME_POINT_MM {
            return Ok(vec![self.clone()]);
        }
        // Arms that have shrunk to a line and loops that touch come apart, so that every result is an outline.
        let options = PlineOffsetOptions {
            touching_loop_behavior: TouchingLoopBehavior::Separate,
            coincident_segment_behavior: CoincidentSegmentBehavior::Discard,
            ..PlineOffsetOptions::new()
        };
        // Theirs is positive to the left. Its own checks panic when its bookkeeping breaks; to us that is one more result
        // not to be trusted, and nothing of ours is left half changed.
        let results = catch_unwind(AssertUnwindSafe(|| {
            to_polyline(self).parallel_offset_opt(-distance_mm, &options)
        }))
        .map_err(|_| OffsetError::NotTrusted { distance_mm })?;
        let mut outlines: Vec<Outline> = results.iter().filter_map(from_polyline).collect();
        outlines.sort_by(|a, b| {
            let (p, q) = (a.vertices[0].at, b.vertices[0].at);
            b.area_mm2()
                .total_cmp(&a.area_mm2())
                .then(p.x.total_cmp(&q.x))
                .then(p.y.total_cmp(&q.y))
        });
        let sound = outlines.iter().all(|outline| check_crossings(outline).is_ok());
        if sound && self.keeps_offset_bounds(distance_mm, &outlines) {
            Ok(outlines)
        } else {
            Err(OffsetError::NotTrusted { distance_mm })
        }
    }

    /// As [`Outline::offset`], when exactly one outline must come out.
    pub fn offset_to_one(&self, distance_mm: f64) -> Result<Outline, OffsetError> {
        let mut outlines = self.offset(distance_mm)?;
        match outlines.len() {
            1 => Ok(outlines.remove(0)),
            0 => {
                let (low, high) = self.bounds();
                let size = high - low;
                Err(OffsetError::Collapsed {
                    inward_mm: distance_mm.abs(),
                    width_mm: size.x,
                    height_mm: size.y,
                })
            }
            pieces => Err(OffsetError::InPieces { distance_mm, pieces }),
        }
    }

    /// The edge moved toward the inside (positive), whichever way round the outline runs. Otherwise as
    /// [`Outline::offset`].
    pub fn inset(&self, inward_mm: f64) -> Result<Vec<Outline>, OffsetError> {
        self.offset(if self.is_counter_clockwise() {
            -inward_mm
        } else {
            inward_mm
        })
    }

    /// What holds for every offset: grown, the box grows by exactly the distance and the area by no more than
    /// L d + pi d^2; shrunk, no point leaves the box shrunk as much, and the area falls.
    fn keeps_offset_bounds(&self, distance_mm: f64, outlines: &[Outline]) -> bool {
        /// The offset keeps its distance this well: well under a cutter's step.
        const KEEPS_MM: f64 = 1e-3;
        let way = if self.is_counter_clockwise() { 1.0 } else { -1.0 };
        let grows_mm = distance_mm * way;
        let left_mm2: f64 = outlines.iter().map(|o| o.signed_area_mm2() * way).sum();
        let slack_mm2 = KEEPS_MM * (self.length_mm() + grows_mm.abs());
        let (low, high) = self.bounds();
        let edges_keep = |exactly: bool| {
            outlines.iter().enumerate().all(|(i, o)| {
                let (l, h) = o.bounds();
                let out = [low.x - l.x, low.y - l.y, h.x - high.x, h.y - high.y];
                let within = out.iter().all(|far| *far <= grows_mm + KEEPS_MM);
                within && (i > 0 || !exactly || out.iter().all(|far| *far >= grows_mm - KEEPS_MM))
            })
        };
        if grows_mm > 0.0 {
            let most_mm2 = self.length_mm() * grows_mm + std::f64::consts::PI * grows_mm * grows_mm;
            let gain_mm2 = left_mm2 - self.area_mm2();
            !outlines.is_empty()
                && edges_keep(true)
                && (-slack_mm2..=most_mm2 + slack_mm2).contains(&gain_mm2)
        } else {
            edges_keep(false) && left_mm2 >= -slack_mm2 && left_mm2 <= self.area_mm2() + slack_mm2
        }
    }
}

/// As theirs: closed, and no arc beyond a half circle, which is all they take.
pub(crate) fn to_polyline(outline: &Outline) -> Polyline {
    let mut polyline = Polyline::with_capacity(outline.len() + 4, true);
    for edge in outline.segments() {
        if let Segment::Arc { sweep_rad, .. } = edge
            && sweep_rad.abs() > std::f64::consts::PI
        {
            let (first, second) = edge.split_at(0.5);
            polyline.add(first.from().x, first.from().y, first.bulge());
            polyline.add(second.from().x, second.from().y, second.bulge());
        } else {
            polyline.add(edge.from().x, edge.from().y, edge.bulge().clamp(-1.0, 1.0));
        }
    }
    polyline
}

/// Ours again, slivers dropped and edges merged that were only cut for their sake. None when nothing is left.
pub(crate) fn from_polyline(polyline: &Polyline) -> Option<Outline> {
    /// They hold two points this near to be one, so an edge this short is a leftover.
    const LEFTOVER_MM: f64 = 1e-5;
    let mut vertices: Vec<Vertex> = Vec::with_capacity(polyline.vertex_count());
    for v in polyline.iter_vertexes() {
        let at = Point::new(v.x, v.y);
        match vertices.last_mut() {
            Some(last) if (last.at - at).norm() < LEFTOVER_MM => last.bulge = v.bulge,
            _ => vertices.push(Vertex { at, bulge: v.bulge }),
        }
    }
    while vertices.len() > 1 && (vertices[vertices.len() - 1].at - vertices[0].at).norm() < LEFTOVER_MM {
        vertices.pop();
    }
    let finite = vertices
        .iter()
        .all(|v| v.at.x.is_finite() && v.at.y.is_finite() && v.bulge.is_finite());
    if vertices.len() < 2 || !finite {
        return None;
    }
    let outline = Outline { vertices };
    (outline.area_mm2() > LEFTOVER_MM * outline.length_mm()).then(|| outline.simplified())
}
