//! How far: from a point, and between outlines, to the true arcs.

use crate::outline::{Outline, Region, Segment};
use crate::{Point, Vector};

impl Segment {
    /// The least distance between two edges, mm, and where it is on this one and on the other. 0 where they meet.
    pub fn distance_between(&self, other: &Segment) -> (f64, Point, Point) {
        if let Some(meeting) = self.meetings(other).first() {
            return (0.0, meeting.at, meeting.at);
        }
        let mut best = (f64::INFINITY, self.from(), other.from());
        let mut offer = |on_self: Point, on_other: Point| {
            let apart_mm = (on_self - on_other).norm();
            if apart_mm < best.0 {
                best = (apart_mm, on_self, on_other);
            }
        };
        for end in [self.from(), self.to()] {
            offer(end, other.nearest(end).1);
        }
        for end in [other.from(), other.to()] {
            offer(self.nearest(end).1, end);
        }
        // Away from the ends the shortest way is square to both edges, so it runs through the arcs' centres.
        match (*self, *other) {
            (Segment::Line { .. }, Segment::Line { .. }) => {}
            (Segment::Arc { centre, .. }, Segment::Line { .. }) => {
                let foot = other.nearest(centre).1;
                offer(self.nearest(foot).1, foot);
            }
            (Segment::Line { .. }, Segment::Arc { centre, .. }) => {
                let foot = self.nearest(centre).1;
                offer(foot, other.nearest(foot).1);
            }
            (
                Segment::Arc {
                    centre, radius_mm, ..
                },
                Segment::Arc {
                    centre: other_centre,
                    radius_mm: other_radius_mm,
                    ..
                },
            ) => {
                let between = other_centre - centre;
                if let Some(unit) = between.try_normalize(0.0) {
                    for (here, there) in [(1.0, 1.0), (1.0, -1.0), (-1.0, 1.0), (-1.0, -1.0)] {
                        let on_self = centre + unit * (here * radius_mm);
                        let on_other = other_centre + unit * (there * other_radius_mm);
                        if self.faces(on_self) && other.faces(on_other) {
                            offer(on_self, on_other);
                        }
                    }
                }
            }
        }
        best
    }
}

impl Outline {
    /// The least distance from a point to the edge, mm, and where on the edge it is. Not signed: see
    /// [`Outline::place_of`].
    pub fn distance_to(&self, point: Point) -> (f64, Point) {
        self.segments()
            .map(|edge| edge.nearest(point))
            .min_by(|a, b| a.0.total_cmp(&b.0))
            .expect("an outline has edges")
    }

    /// The least distance between the edges of two outlines, mm, and where it is on this one and on the other. One that
    /// lies inside the other still has a distance; it is 0 only where edges meet.
    pub fn distance_between(&self, other: &Outline) -> (f64, Point, Point) {
        let theirs: Vec<_> = other.segments().map(|edge| (edge, edge.bounds())).collect();
        let mut best = (f64::INFINITY, self.vertices[0].at, other.vertices[0].at);
        for edge in self.segments() {
            let (low, high) = edge.bounds();
            for (their, (their_low, their_high)) in &theirs {
                let gap = Vector::new(
                    (their_low.x - high.x).max(low.x - their_high.x).max(0.0),
                    (their_low.y - high.y).max(low.y - their_high.y).max(0.0),
                );
                if gap.norm() < best.0 {
                    let found = edge.distance_between(their);
                    if found.0 < best.0 {
                        best = found;
                    }
                }
            }
        }
        best
    }

    /// The parts of the endless line through `through` along `direction` that lie inside, in order along the line. Where
    /// the line runs along an edge, that stretch is not inside; where it touches a corner, a chord ends and the next begins.
    /// Nothing for a direction of no length.
    pub fn chords_along(&self, through: Point, direction: Vector) -> Vec<(Point, Point)> {
        let Some(unit) = direction.try_normalize(0.0) else {
            return Vec::new();
        };
        let at = |p: &Point| unit.dot(&(p - through));
        let mut cuts: Vec<Point> = self
            .segments()
            .flat_map(|edge| edge.meetings_with_line(through, unit))
            .collect();
        cuts.sort_by(|a, b| at(a).total_cmp(&at(b)));
        cuts.dedup_by(|a, b| (*a - *b).norm() <= 2.0 * crate::SAME_POINT_MM);
        let mut chords = Vec::new();
        for pair in cuts.windows(2) {
            let middle = pair[0] + (pair[1] - pair[0]) / 2.0;
            if self.place_of(middle) == crate::Place::Inside {
                chords.push((pair[0], pair[1]));
            }
        }
        chords
    }
}

impl Region {
    /// The least distance from a point to any edge of the region, mm, and where on the edge it is.
    pub fn distance_to(&self, point: Point) -> (f64, Point) {
        self.holes.iter().map(|hole| hole.distance_to(point)).fold(
            self.outer.distance_to(point),
            |best, next| {
                if next.0 < best.0 { next } else { best }
            },
        )
    }
}
