//! The plate as solids: each panel, and each strip flat and bent.

use nalgebra::{Isometry3, Point3, Vector3};
use plane::{Outline, Point, Region};
use sheet::Part;

use super::line::{Line, Stage};
use crate::solid::{Prism, convex_pieces, corners_of};

/// Openings smaller than this across are not cut out of the solids: no tool and no leg passes through them.
const PASSED_THROUGH_MM: f64 = 15.0;
/// A bend's curve is made of pieces of no more than this angle.
const CURVE_STEP_RAD: f64 = std::f64::consts::PI / 6.0;

/// Which solid of the part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Solid {
    /// A panel, as an index into [`super::Work::panels`].
    Panel(usize),
    /// The strip of a line, as an index into [`super::Work::lines`].
    Strip(usize),
}

/// A solid of the part, in blank axes.
#[derive(Debug, Clone, PartialEq)]
pub struct Body {
    /// Which.
    pub solid: Solid,
    /// The panel whose blank axes it is in.
    pub panel: usize,
    /// Flat.
    pub flat: Vec<Prism>,
    /// For a strip, how it looks bent so far, in the fixed panel's axes.
    pub bent: Vec<(f64, Vec<Prism>)>,
    /// For a panel, its openings, small ones too, each as the corners of a shape that holds it.
    pub openings: Vec<Vec<Point>>,
}

impl Body {
    /// The pieces when its line is bent so far; a panel is always flat.
    pub fn pieces(&self, bent_rad: f64) -> &[Prism] {
        self.bent
            .iter()
            .rev()
            .find(|(at, _)| *at <= bent_rad + 1e-9 && bent_rad > 0.0)
            .map_or(&self.flat, |(_, pieces)| pieces)
    }

    /// Volume flat, mm3.
    pub fn volume_mm3(&self) -> f64 {
        self.flat.iter().map(Prism::volume_mm3).sum()
    }
}

pub(super) fn of_part(part: &Part, lines: &[Line], stages: &[Stage], faces_mm: [f64; 2]) -> Vec<Body> {
    let [low_mm, high_mm] = faces_mm;
    let mut bodies = Vec::new();
    for (panel, made) in part.panels.iter().enumerate() {
        let region = large_holes_only(part, panel).translated(made.to_blank);
        let pieces = convex_pieces(&region);
        let openings = made.flat.holes.iter().map(|hole| hole.translated(made.to_blank));
        bodies.push(Body {
            solid: Solid::Panel(panel),
            panel,
            flat: pieces
                .iter()
                .filter_map(|piece| Prism::plate(piece, low_mm, high_mm))
                .collect(),
            bent: Vec::new(),
            openings: openings.map(|hole| corners_of(&hole.oriented(true))).collect(),
        });
    }
    for (index, line) in lines.iter().enumerate() {
        let flat = line
            .bends
            .iter()
            .flat_map(|&bend| &part.bends[bend].strips)
            .filter_map(|strip| {
                let corners = [strip.fixed[0], strip.fixed[1], strip.moving[1], strip.moving[0]];
                Prism::plate(&corners, low_mm, high_mm)
            })
            .collect();
        bodies.push(Body {
            solid: Solid::Strip(index),
            panel: line.fixed,
            flat,
            bent: bent_strip(line, index, stages, high_mm - low_mm),
            openings: Vec::new(),
        });
    }
    bodies
}

/// How a line's strip looks after each of its steps.
pub(super) fn bent_strip(line: &Line, index: usize, stages: &[Stage], t_mm: f64) -> Vec<(f64, Vec<Prism>)> {
    let own = stages.iter().filter(|stage| stage.line == index);
    own.map(|stage| {
        let about = curve(line, stage.to_rad, t_mm, &line.spans_mm, Fit::About);
        (stage.to_rad, about)
    })
    .collect()
}

/// The same with no more than there is of it: what stands in these pieces stands in the plate.
pub(super) fn within_strip(line: &Line, body: &Body, bent_rad: f64, t_mm: f64) -> Vec<Prism> {
    // Sides that lean are cut at the nearer end of each.
    let spans_mm: Vec<[f64; 2]> = body
        .flat
        .iter()
        .map(|flat| {
            let mut span_mm = [f64::NEG_INFINITY, f64::INFINITY];
            for side in [-1.0, 1.0] {
                let corners = flat.corners().map(|at| line.frame * Point3::from(at));
                let own = corners.filter(|at| at.x * side > 0.0).map(|at| at.y);
                let (low, high) = own.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), y| {
                    (low.min(y), high.max(y))
                });
                span_mm = [span_mm[0].max(low), span_mm[1].min(high)];
            }
            span_mm
        })
        .filter(|[low, high]| low < high)
        .collect();
    curve(line, bent_rad, t_mm, &spans_mm, Fit::Within)
}

/// How pieces with straight sides stand for a curve.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Fit {
    /// All of the plate lies in them.
    About,
    /// They lie in the plate.
    Within,
}

fn large_holes_only(part: &Part, panel: usize) -> Region {
    let flat = &part.panels[panel].flat;
    let large = |hole: &&Outline| {
        let (low, high) = hole.bounds();
        (high.x - low.x).min(high.y - low.y) >= PASSED_THROUGH_MM
    };
    Region {
        outer: flat.outer.clone(),
        holes: flat.holes.iter().filter(large).cloned().collect(),
    }
}

/// The strip bent so far about its middle, as bars along the bend in the fixed panel's blank axes.
fn curve(line: &Line, bent_rad: f64, t_mm: f64, spans_mm: &[[f64; 2]], fit: Fit) -> Vec<Prism> {
    let count = (bent_rad / CURVE_STEP_RAD).ceil().max(1.0) as usize;
    let each = bent_rad / count as f64;
    let out = 1.0 / (each / 2.0).cos();
    // A chord of the inside face lies outside the plate, and one of the outside face in it.
    let (inside_mm, outside_mm) = match fit {
        Fit::About => (line.radius_mm, (line.radius_mm + t_mm) * out),
        Fit::Within => (line.radius_mm * out, line.radius_mm + t_mm),
    };
    // In the line's frame with the fixed panel flat: the axis over the end of the fixed side's flat.
    let axis_x_mm = -bent_rad * line.neutral_mm / 2.0;
    let at = |turned: f64, radius_mm: f64| {
        let (sin, cos) = turned.sin_cos();
        Point::new(axis_x_mm + radius_mm * sin, line.radius_mm - radius_mm * cos)
    };
    let to_blank: Isometry3<f64> = line.frame.inverse();
    let mut pieces = Vec::new();
    for i in 0..count {
        let (from, to) = (i as f64 * each, (i + 1) as f64 * each);
        let mut corners = vec![at(from, inside_mm.max(1e-3)), at(from, line.radius_mm + t_mm)];
        corners.push(at((from + to) / 2.0, outside_mm));
        corners.extend([at(to, line.radius_mm + t_mm), at(to, inside_mm.max(1e-3))]);
        let bars = spans_mm
            .iter()
            .filter_map(|[low, high]| Prism::bar(&corners, *low, *high));
        pieces.extend(bars.map(|bar| bar.moved(&to_blank)));
    }
    // What of the strip is still flat on either side, when it is bent in part.
    let (curved_mm, all_mm) = (bent_rad * line.neutral_mm / 2.0, line.strip_mm() / 2.0);
    if all_mm > curved_mm + plane::SAME_POINT_MM {
        for [low, high] in spans_mm {
            let flat = |from: f64, to: f64| {
                let corners = [(from, -t_mm), (to, -t_mm), (to, 0.0), (from, 0.0)];
                Prism::bar(&corners.map(|(x, z)| Point::new(x, z)), *low, *high)
            };
            pieces.extend(flat(-all_mm, -curved_mm).map(|bar| bar.moved(&to_blank)));
            let moving = line.turn(bent_rad) * to_blank;
            pieces.extend(flat(curved_mm, all_mm).map(|bar| bar.moved(&moving)));
        }
    }
    pieces
}

/// Where a strip bent so far stands out farthest in some direction, on its true arc and not on the pieces round it: points of
/// it, both directions and points in the fixed panel's blank axes.
pub(crate) fn farthest_of_strip(
    line: &Line,
    bent_rad: f64,
    t_mm: f64,
    toward: &Vector3<f64>,
) -> Vec<Vector3<f64>> {
    let to_blank: Isometry3<f64> = line.frame.inverse();
    let seen = line.frame.rotation * toward;
    // As far out as R cos(turned - this) has it, by the curve of the strip as it is made of pieces.
    let out_rad = seen.x.atan2(-seen.z).rem_euclid(std::f64::consts::TAU);
    let (curved_mm, all_mm) = (bent_rad * line.neutral_mm / 2.0, line.strip_mm() / 2.0);
    let turned = [0.0, bent_rad, out_rad.min(bent_rad)];
    let on_arc = turned.into_iter().flat_map(|turned| {
        let (sin, cos) = turned.sin_cos();
        [line.radius_mm, line.radius_mm + t_mm]
            .map(|radius_mm| (-curved_mm + radius_mm * sin, line.radius_mm - radius_mm * cos))
    });
    let mut corners: Vec<(Isometry3<f64>, f64, f64)> = on_arc.map(|(x, z)| (to_blank, x, z)).collect();
    if all_mm > curved_mm + plane::SAME_POINT_MM {
        let moving = line.turn(bent_rad) * to_blank;
        for z in [-t_mm, 0.0] {
            corners.extend([(to_blank, -all_mm, z), (moving, all_mm, z)]);
        }
    }
    let ends = line.spans_mm.iter().flatten();
    ends.flat_map(|y| {
        let place = |(to, x, z): &(Isometry3<f64>, f64, f64)| {
            to.rotation * Vector3::new(*x, *y, *z) + to.translation.vector
        };
        corners.iter().map(place).collect::<Vec<_>>()
    })
    .collect()
}

/// The middle of some pieces and their volume, mm and mm3.
pub(crate) fn balance<'a>(pieces: impl Iterator<Item = &'a Prism>) -> (Vector3<f64>, f64) {
    let (mut moment, mut volume) = (Vector3::zeros(), 0.0);
    for piece in pieces {
        let own = piece.volume_mm3();
        moment += piece.centre * own;
        volume += own;
    }
    if volume > 0.0 {
        (moment / volume, volume)
    } else {
        (moment, 0.0)
    }
}
