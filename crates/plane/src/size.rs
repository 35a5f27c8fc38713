//! How large: area, length, box, centroid, second moments. Exact for arcs.

use crate::outline::Outline;
use crate::{Point, Vector};

/// Area moments of an outline about its own centroid, axes along x and y.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moments {
    /// Area, mm2.
    pub area_mm2: f64,
    /// Centre of the area.
    pub centroid: Point,
    /// Integral of y squared, mm4: resists bending about the x axis.
    pub about_x_mm4: f64,
    /// Integral of x squared, mm4.
    pub about_y_mm4: f64,
    /// Integral of x y, mm4.
    pub product_mm4: f64,
}

impl Outline {
    /// Area enclosed, mm2, negative when the outline runs clockwise.
    pub fn signed_area_mm2(&self) -> f64 {
        // About the first corner, so that a part far from the origin loses no digits.
        let base = self.vertices[0].at;
        self.segments()
            .map(|edge| (edge.from() - base).perp(&(edge.to() - base)) / 2.0 + edge.area_over_chord_mm2())
            .sum()
    }

    /// Area enclosed, mm2.
    pub fn area_mm2(&self) -> f64 {
        self.signed_area_mm2().abs()
    }

    /// Length all the way round, mm.
    pub fn length_mm(&self) -> f64 {
        self.segments().map(|edge| edge.length_mm()).sum()
    }

    /// Whether it runs counter-clockwise, as an outer outline does.
    pub fn is_counter_clockwise(&self) -> bool {
        self.signed_area_mm2() > 0.0
    }

    /// The lower left and upper right corners of the smallest upright box round it.
    pub fn bounds(&self) -> (Point, Point) {
        let far = Point::new(f64::INFINITY, f64::INFINITY);
        self.segments()
            .map(|edge| edge.bounds())
            .fold((far, -far), |(low, high), (l, h)| {
                (
                    Point::new(low.x.min(l.x), low.y.min(l.y)),
                    Point::new(high.x.max(h.x), high.y.max(h.y)),
                )
            })
    }

    /// The centre of the area enclosed.
    pub fn centroid(&self) -> Point {
        self.moments().centroid
    }

    /// Area, centroid and second moments, whichever way round the outline runs.
    ///
    /// Green's theorem turns each into an integral along the edges, done by Gauss's rule.
    pub fn moments(&self) -> Moments {
        let base = self.vertices[0].at;
        let (mut area, mut first, mut xx, mut yy, mut xy) = (0.0, Vector::zeros(), 0.0, 0.0, 0.0);
        for edge in self.segments() {
            let pieces = (edge.turn_rad().abs() / GAUSS_SPAN_RAD).ceil().max(1.0);
            for i in 0..pieces as u32 {
                for (node, weight) in GAUSS {
                    let share = (f64::from(i) + 0.5 + node / 2.0) / pieces;
                    let p = edge.point_at(share) - base;
                    let step = edge.tangent_at(share) * (edge.length_mm() * weight / (2.0 * pieces));
                    area += (p.x * step.y - p.y * step.x) / 2.0;
                    first += Vector::new(p.x * p.x * step.y, -p.y * p.y * step.x) / 2.0;
                    yy += p.x.powi(3) / 3.0 * step.y;
                    xx -= p.y.powi(3) / 3.0 * step.x;
                    xy += p.x * p.x * p.y / 2.0 * step.y;
                }
            }
        }
        let centre = first / area;
        let way = area.signum();
        Moments {
            area_mm2: area.abs(),
            centroid: base + centre,
            about_x_mm4: way * (xx - area * centre.y * centre.y),
            about_y_mm4: way * (yy - area * centre.x * centre.x),
            product_mm4: way * (xy - area * centre.x * centre.y),
        }
    }
}

/// The most of an arc that one run of Gauss's rule covers: at 15 degrees its error is under rounding.
const GAUSS_SPAN_RAD: f64 = std::f64::consts::PI / 12.0;

/// Gauss-Legendre nodes and weights on -1 to 1, five points, exact to degree nine.
/// Abramowitz and Stegun, Handbook of Mathematical Functions, table 25.4 (from memory; the weights sum to 2).
const GAUSS: [(f64, f64); 5] = [
    (0.0, 0.568_888_888_888_888_9),
    (0.538_469_310_105_683_1, 0.478_628_670_499_366_47),
    (-0.538_469_310_105_683_1, 0.478_628_670_499_366_47),
    (0.906_179_845_938_664, 0.236_926_885_056_189_08),
    (-0.906_179_845_938_664, 0.236_926_885_056_189_08),
];
