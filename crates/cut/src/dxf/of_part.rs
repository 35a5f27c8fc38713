//! The blank as a drawing.

use nalgebra::center;
use plane::{Outline, Point, Segment};
use sheet::{MarkKind, Part, Way};

use super::drawing::{Circle, Drawing, Layer, Line, Loop, Words};

/// Arcs whose centres and radii differ by less than this belong to one circle: ten times the rounding that offset and
/// slide leave, far under any cutter.
const SAME_CIRCLE_MM: f64 = 1e-7;

impl Drawing {
    /// The part's blank: its edge, its openings (round ones as circles with their centres), the middle of every run of
    /// every bend, and the marks.
    pub fn of_part(part: &Part) -> Drawing {
        let region = &part.blank.region;
        let mut drawing = Drawing {
            loops: vec![Loop {
                layer: Layer::Outline,
                vertices: region.outer.vertices().to_vec(),
            }],
            ..Drawing::default()
        };
        for hole in &region.holes {
            match full_circle(hole) {
                Some((centre, dia_mm)) => {
                    drawing.circles.push(Circle {
                        layer: Layer::Openings,
                        centre,
                        dia_mm,
                    });
                    drawing.centres.push(centre);
                }
                None => drawing.loops.push(Loop {
                    layer: Layer::Openings,
                    vertices: hole.vertices().to_vec(),
                }),
            }
        }
        for bend in &part.bends {
            let layer = match bend.way {
                Way::Up => Layer::BendUp,
                Way::Down => Layer::BendDown,
            };
            drawing.lines.extend(bend.strips.iter().map(|strip| Line {
                layer,
                from: center(&strip.fixed[0], &strip.moving[0]),
                to: center(&strip.fixed[1], &strip.moving[1]),
            }));
        }
        for mark in &part.blank.marks {
            match mark {
                MarkKind::Line { from, to } => {
                    drawing.lines.push(Line {
                        layer: Layer::Marks,
                        from: *from,
                        to: *to,
                    });
                }
                MarkKind::Text { at, text, height_mm } => drawing.words.push(Words {
                    layer: Layer::Marks,
                    at: *at,
                    height_mm: *height_mm,
                    text: text.clone(),
                }),
            }
        }
        drawing
    }
}

/// Centre and diameter of an outline whose every edge lies on one circle.
fn full_circle(outline: &Outline) -> Option<(Point, f64)> {
    let mut found: Option<(Point, f64)> = None;
    for segment in outline.segments() {
        let Segment::Arc {
            centre, radius_mm, ..
        } = segment
        else {
            return None;
        };
        let (first_centre, first_radius_mm) = *found.get_or_insert((centre, radius_mm));
        if (centre - first_centre).norm() > SAME_CIRCLE_MM
            || (radius_mm - first_radius_mm).abs() > SAME_CIRCLE_MM
        {
            return None;
        }
    }
    found.map(|(centre, radius_mm)| (centre, 2.0 * radius_mm))
}
