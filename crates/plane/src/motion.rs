//! Moved, turned, mirrored, scaled, reversed.

use nalgebra::Isometry2;

use crate::outline::{Outline, Region, Segment, Vertex};
use crate::validity::OutlineError;
use crate::{Point, Vector};

impl Outline {
    /// The same outline travelled the other way. It starts at the same corner.
    pub fn reversed(&self) -> Outline {
        let count = self.vertices.len();
        let vertices = (0..count)
            .map(|i| {
                let corner = self.vertices[(count - i) % count];
                let leaves_by = self.vertices[(2 * count - i - 1) % count];
                Vertex {
                    at: corner.at,
                    bulge: -leaves_by.bulge,
                }
            })
            .collect();
        Outline { vertices }
    }

    /// The same outline counter-clockwise (`true`) or clockwise, reversed if need be.
    pub fn oriented(&self, counter_clockwise: bool) -> Outline {
        if self.is_counter_clockwise() == counter_clockwise {
            self.clone()
        } else {
            self.reversed()
        }
    }

    /// Turned and moved as a rigid card. The motion must be finite.
    pub fn transformed(&self, motion: &Isometry2<f64>) -> Outline {
        self.moved_by(|p| motion * p)
    }

    /// Moved without turning.
    pub fn translated(&self, by: Vector) -> Outline {
        self.moved_by(|p| p + by)
    }

    /// Mirrored about the line through a point along a direction of some length, and travelled backward so that
    /// counter-clockwise stays counter-clockwise.
    pub fn mirrored(&self, through: Point, along: Vector) -> Outline {
        let unit = along.normalize();
        let mut image = self.moved_by(|p| mirror_of(p, through, unit));
        for corner in &mut image.vertices {
            corner.bulge = -corner.bulge;
        }
        image.reversed()
    }

    /// Scaled about the origin by a factor above 0. Fails when an edge becomes too short or a corner lies too far out.
    pub fn scaled(&self, factor: f64) -> Result<Outline, OutlineError> {
        Outline::new(self.moved_by(|p| p * factor).vertices)
    }

    fn moved_by(&self, place: impl Fn(Point) -> Point) -> Outline {
        let vertices = self
            .vertices
            .iter()
            .map(|v| Vertex {
                at: place(v.at),
                bulge: v.bulge,
            })
            .collect();
        Outline { vertices }
    }
}

impl Region {
    /// Turned and moved as a rigid card. The motion must be finite.
    pub fn transformed(&self, motion: &Isometry2<f64>) -> Region {
        self.each(|outline| outline.transformed(motion))
    }

    /// Moved without turning.
    pub fn translated(&self, by: Vector) -> Region {
        self.each(|outline| outline.translated(by))
    }

    /// Mirrored about the line through a point along a direction; outer and holes keep their ways round.
    pub fn mirrored(&self, through: Point, along: Vector) -> Region {
        self.each(|outline| outline.mirrored(through, along))
    }

    fn each(&self, change: impl Fn(&Outline) -> Outline) -> Region {
        Region {
            outer: change(&self.outer),
            holes: self.holes.iter().map(change).collect(),
        }
    }
}

impl Segment {
    /// Moved without turning.
    pub fn translated(&self, by: Vector) -> Segment {
        match *self {
            Segment::Line { from, to } => Segment::Line {
                from: from + by,
                to: to + by,
            },
            Segment::Arc {
                from,
                to,
                centre,
                radius_mm,
                sweep_rad,
            } => Segment::Arc {
                from: from + by,
                to: to + by,
                centre: centre + by,
                radius_mm,
                sweep_rad,
            },
        }
    }

    /// Turned and moved as a rigid card.
    pub fn transformed(&self, motion: &Isometry2<f64>) -> Segment {
        match *self {
            Segment::Line { from, to } => Segment::Line {
                from: motion * from,
                to: motion * to,
            },
            Segment::Arc {
                from,
                to,
                centre,
                radius_mm,
                sweep_rad,
            } => Segment::Arc {
                from: motion * from,
                to: motion * to,
                centre: motion * centre,
                radius_mm,
                sweep_rad,
            },
        }
    }
}

/// A point's image in the line through `through` along a unit direction.
fn mirror_of(p: Point, through: Point, unit: Vector) -> Point {
    let out = p - through;
    through + unit * (2.0 * unit.dot(&out)) - out
}
