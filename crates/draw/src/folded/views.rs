//! The eyes a part is looked at with, and one picture on paper.

use nalgebra::{Point3, Vector3};
use plane::Point;

use super::hidden::{Eye, Scene};
use super::shape::{EdgeKind, Shape};
use super::tidy::tidied;
use crate::canvas::{Canvas, run};
use crate::frame::{Frame, around};
use crate::ink::Ink;
use crate::place::Placer;

const fn eye(right: [f64; 3], up: [f64; 3], toward: [f64; 3]) -> Eye {
    Eye {
        right: Vector3::new(right[0], right[1], right[2]),
        up: Vector3::new(up[0], up[1], up[2]),
        toward: Vector3::new(toward[0], toward[1], toward[2]),
    }
}

/// Looking along y.
pub(crate) const FRONT: Eye = eye([1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]);
/// Looking down, against z.
pub(crate) const TOP: Eye = eye([1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]);
/// Looking from the right, against x.
pub(crate) const RIGHT: Eye = eye([0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [1.0, 0.0, 0.0]);

const HALF: f64 = std::f64::consts::FRAC_1_SQRT_2;
/// 1 / sqrt(3) and 1 / sqrt(6): the parts of the diagonal of a cube.
const THIRD: f64 = 0.577_350_269_189_625_8;
const SIXTH: f64 = 0.408_248_290_463_863;
/// A true isometric view from the front, right and above: every axis shortened alike.
pub(crate) const ISOMETRIC: Eye = eye(
    [HALF, HALF, 0.0],
    [-SIXTH, SIXTH, 2.0 * SIXTH],
    [THIRD, -THIRD, THIRD],
);
/// Looking the other way along the same line, from behind, left and below: what the isometric view shows the back of.
pub(crate) const BEHIND: Eye = eye(
    [-HALF, -HALF, 0.0],
    [-SIXTH, SIXTH, 2.0 * SIXTH],
    [-THIRD, THIRD, -THIRD],
);
/// How much an isometric view shortens the axes: sqrt(2/3).
pub(crate) const ISOMETRIC_SHARE: f64 = 2.0 * SIXTH;

/// A picture on paper: an eye, a scale, a place.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Picture {
    pub eye: Eye,
    pub factor: f64,
    /// Where the picture's origin falls.
    pub origin: Point,
}

impl Picture {
    /// A picture whose upper left corner is at `corner`, with the frame it fills.
    pub fn at(shape: &Shape<'_>, eye: Eye, factor: f64, corner: Point) -> (Self, Frame) {
        let bounds = seen_bounds(shape, &eye);
        let origin = Point::new(
            corner.x - bounds.left * factor,
            corner.y + bounds.bottom() * factor,
        );
        let frame = Frame::new(corner.x, corner.y, bounds.width * factor, bounds.height * factor);
        (Self { eye, factor, origin }, frame)
    }

    pub fn on_paper(&self, at: &Point3<f64>) -> Point {
        self.flat(self.eye.see(at))
    }

    fn flat(&self, seen: Point) -> Point {
        Point::new(
            self.origin.x + seen.x * self.factor,
            self.origin.y - seen.y * self.factor,
        )
    }

    /// Draws the shape; hidden edges dashed or not at all. Labels keep off every line drawn.
    pub fn draw(
        &self,
        page: &mut Canvas,
        placer: &mut Placer,
        shape: &Shape<'_>,
        scene: &Scene,
        hidden: bool,
    ) {
        let mut edges = shape.edges.clone();
        edges.extend(shape.rims_seen_from(self.eye.toward));
        let mut seen = scene.look(&edges);
        seen.retain(|seen| seen.in_sight || (hidden && seen.kind == EdgeKind::Sharp));
        let seen = tidied(seen);
        for (in_sight, kind) in [
            (false, EdgeKind::Sharp),
            (true, EdgeKind::Tangent),
            (true, EdgeKind::Sharp),
        ] {
            let ink = match (in_sight, kind) {
                (false, _) => Ink::Hidden,
                (true, EdgeKind::Tangent) => Ink::Tangent,
                (true, EdgeKind::Sharp) => Ink::Seen,
            };
            let mut commands = String::new();
            for seen in seen
                .iter()
                .filter(|seen| seen.in_sight == in_sight && seen.kind == kind)
            {
                let points: Vec<Point> = seen.run.iter().map(|at| self.flat(*at)).collect();
                for (from, to) in coarse(&points) {
                    placer.avoid(from, to, if in_sight { 0.8 } else { 0.3 });
                }
                commands.push_str(&run(&points, false));
            }
            if !commands.is_empty() {
                page.path(&commands, ink, None);
            }
        }
    }
}

/// A run as fewer, longer lines: enough for labels to keep off it.
fn coarse(points: &[Point]) -> Vec<(Point, Point)> {
    const LEAST_MM: f64 = 2.0;
    let mut lines = Vec::new();
    let mut from = points[0];
    for (index, to) in points.iter().enumerate().skip(1) {
        if (to - from).norm() > LEAST_MM || index + 1 == points.len() {
            lines.push((from, *to));
            from = *to;
        }
    }
    lines
}

/// Bounds of the shape in the picture (y upward: `top` is the least y), mm of the part.
pub(crate) fn seen_bounds(shape: &Shape<'_>, eye: &Eye) -> Frame {
    let rims = shape.rims_seen_from(eye.toward);
    around(
        shape
            .points()
            .chain(rims.iter().flat_map(|edge| &edge.run))
            .map(|at| eye.see(at)),
    )
    .unwrap_or(Frame::new(0.0, 0.0, 0.0, 0.0))
}
