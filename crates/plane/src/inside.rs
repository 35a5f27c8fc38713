//! Inside, on the edge, or outside.

use crate::outline::{Outline, Region, Segment};
use crate::{Point, SAME_POINT_MM};

/// Where a point lies against an outline or region.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    /// Enclosed; for a region, in the material.
    Inside,
    /// Within the tolerance of an edge.
    On,
    /// Neither.
    Outside,
}

impl Outline {
    /// Where a point lies; within [`SAME_POINT_MM`] of an edge it is on it. A point that is not finite is outside.
    pub fn place_of(&self, point: Point) -> Place {
        self.place_within(point, SAME_POINT_MM)
    }

    /// Where a point lies, where an edge is taken to be as wide as `tolerance_mm` to either side.
    pub fn place_within(&self, point: Point, tolerance_mm: f64) -> Place {
        if self.segments().any(|edge| edge.nearest(point).0 <= tolerance_mm) {
            Place::On
        } else if self.winds_round(point) {
            Place::Inside
        } else {
            Place::Outside
        }
    }

    /// Whether a point is enclosed or on the edge.
    pub fn contains(&self, point: Point) -> bool {
        self.place_of(point) != Place::Outside
    }

    /// Whether the outline goes round a point that is not on it.
    ///
    /// The chords are counted where they cross the ray to the right of the point; an arc then adds or takes away the
    /// point when it lies between arc and chord. A point on a chord counts as just right of it and just above, in both.
    pub(crate) fn winds_round(&self, point: Point) -> bool {
        self.segments().map(|edge| edge.winding(point)).sum::<i32>() != 0
    }
}

impl Segment {
    /// What the edge adds to the turns that its outline makes round a point: the sum over all edges is not 0 when the outline
    /// goes round it. Undefined within rounding of the edge. An edge that lies all above or all below the point adds 0, so
    /// whoever knows these may leave them out.
    pub fn winding(&self, point: Point) -> i32 {
        winding(self, point)
    }
}

fn winding(edge: &Segment, point: Point) -> i32 {
    let (from, to) = (edge.from(), edge.to());
    let cross = (to - from).perp(&(point - from));
    let mut turns = 0;
    if from.y <= point.y && to.y > point.y {
        turns += i32::from(cross > 0.0);
    } else if from.y > point.y && to.y <= point.y {
        turns -= i32::from(cross < 0.0);
    }
    if let Segment::Arc {
        centre,
        radius_mm,
        sweep_rad,
        ..
    } = *edge
    {
        let inside_circle = (point - centre).norm() < radius_mm;
        let left_of_chord = if cross != 0.0 {
            cross > 0.0
        } else if from.y != to.y {
            from.y > to.y
        } else {
            to.x > from.x
        };
        // Up to a half turn the arc adds the near segment of the circle; past it, all of the circle on its own side
        // of the chord, which is the same test.
        if inside_circle && left_of_chord == (sweep_rad < 0.0) {
            turns += if sweep_rad > 0.0 { 1 } else { -1 };
        }
    }
    turns
}

impl Region {
    /// Where a point lies against the material; within [`SAME_POINT_MM`] of any edge it is on it.
    pub fn place_of(&self, point: Point) -> Place {
        match self.outer.place_of(point) {
            Place::Inside => {}
            other => return other,
        }
        for hole in &self.holes {
            match hole.place_of(point) {
                Place::Inside => return Place::Outside,
                Place::On => return Place::On,
                Place::Outside => {}
            }
        }
        Place::Inside
    }

    /// Whether a point is in the material or on its edge.
    pub fn contains(&self, point: Point) -> bool {
        self.place_of(point) != Place::Outside
    }
}
