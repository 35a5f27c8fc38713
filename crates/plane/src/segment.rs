//! One edge: its length, points, directions, nearest point, and cutting it in two.

use std::f64::consts::TAU;

use crate::arc::{bulge_of_sweep, is_flat, left_of, radius_of_bulge_mm, sweep_of_bulge, turned};
use crate::outline::Segment;
use crate::{Point, SAME_POINT_MM, Vector};

impl Segment {
    /// The edge from `from` to `to` with this bulge. An arc that rises less than [`SAME_POINT_MM`] over its chord, or
    /// has no chord, is a line.
    pub fn new(from: Point, to: Point, bulge: f64) -> Segment {
        let chord = to - from;
        let chord_mm = chord.norm();
        if bulge == 0.0 || is_flat(chord_mm, bulge) {
            return Segment::Line { from, to };
        }
        let centre = from + chord / 2.0 + left_of(chord) * ((1.0 - bulge * bulge) / (4.0 * bulge));
        Segment::Arc {
            from,
            to,
            centre,
            radius_mm: radius_of_bulge_mm(chord_mm, bulge),
            sweep_rad: sweep_of_bulge(bulge),
        }
    }

    /// The straight edge between two points.
    pub fn line(from: Point, to: Point) -> Segment {
        Segment::Line { from, to }
    }

    /// The arc about a centre that starts at `from` and turns through `sweep_rad` (counter-clockwise positive, less
    /// than a full turn).
    pub fn arc_about(centre: Point, from: Point, sweep_rad: f64) -> Segment {
        let to = centre + turned(from - centre, sweep_rad);
        Segment::Arc {
            from,
            to,
            centre,
            radius_mm: (from - centre).norm(),
            sweep_rad,
        }
    }

    /// Where it starts.
    pub fn from(&self) -> Point {
        match *self {
            Segment::Line { from, .. } | Segment::Arc { from, .. } => from,
        }
    }

    /// Where it ends.
    pub fn to(&self) -> Point {
        match *self {
            Segment::Line { to, .. } | Segment::Arc { to, .. } => to,
        }
    }

    /// tan(sweep / 4); 0 for a line.
    pub fn bulge(&self) -> f64 {
        bulge_of_sweep(self.turn_rad())
    }

    /// The angle it turns through, counter-clockwise positive; 0 for a line.
    pub fn turn_rad(&self) -> f64 {
        match *self {
            Segment::Line { .. } => 0.0,
            Segment::Arc { sweep_rad, .. } => sweep_rad,
        }
    }

    /// Length along the edge, mm.
    pub fn length_mm(&self) -> f64 {
        match *self {
            Segment::Line { from, to } => (to - from).norm(),
            Segment::Arc {
                radius_mm, sweep_rad, ..
            } => radius_mm * sweep_rad.abs(),
        }
    }

    /// The point at a share of the length: 0 at the start, 1 at the end.
    pub fn point_at(&self, share: f64) -> Point {
        match *self {
            Segment::Line { from, to } => from + (to - from) * share,
            // From the nearer end, and by chords rather than from the centre, so that a flat arc loses no digits.
            Segment::Arc {
                from, to, sweep_rad, ..
            } if share <= 0.5 => from + chord_over(to - from, sweep_rad, sweep_rad * share),
            Segment::Arc {
                from, to, sweep_rad, ..
            } => to + chord_over(from - to, -sweep_rad, -sweep_rad * (1.0 - share)),
        }
    }

    /// The unit direction of travel at a share of the length.
    pub fn tangent_at(&self, share: f64) -> Vector {
        match *self {
            Segment::Line { from, to } => (to - from).normalize(),
            Segment::Arc {
                from,
                centre,
                radius_mm,
                sweep_rad,
                to,
            } => {
                let chord = to - from;
                if sweep_rad.abs() < 1.0 {
                    turned(chord.normalize(), sweep_rad * (share - 0.5))
                } else {
                    left_of(turned(from - centre, sweep_rad * share)) * (sweep_rad.signum() / radius_mm)
                }
            }
        }
    }

    /// Signed curvature, 1/mm: positive when it turns counter-clockwise, 0 for a line.
    pub fn curvature(&self) -> f64 {
        match *self {
            Segment::Line { .. } => 0.0,
            Segment::Arc {
                radius_mm, sweep_rad, ..
            } => sweep_rad.signum() / radius_mm,
        }
    }

    /// The same edge travelled the other way.
    pub fn reversed(&self) -> Segment {
        match *self {
            Segment::Line { from, to } => Segment::Line { from: to, to: from },
            Segment::Arc {
                from,
                to,
                centre,
                radius_mm,
                sweep_rad,
            } => Segment::Arc {
                from: to,
                to: from,
                centre,
                radius_mm,
                sweep_rad: -sweep_rad,
            },
        }
    }

    /// The share of the length at which the edge comes nearest to a point, 0 to 1.
    pub fn share_nearest(&self, point: Point) -> f64 {
        match *self {
            Segment::Line { from, to } => {
                let along = to - from;
                let square = along.norm_squared();
                if square == 0.0 {
                    0.0
                } else {
                    ((point - from).dot(&along) / square).clamp(0.0, 1.0)
                }
            }
            Segment::Arc {
                from,
                to,
                centre,
                sweep_rad,
                ..
            } => {
                let (start, out) = (from - centre, point - centre);
                let turn = start.perp(&out).atan2(start.dot(&out)) * sweep_rad.signum();
                let turn = if turn < 0.0 { turn + TAU } else { turn };
                let sweep = sweep_rad.abs();
                if turn <= sweep {
                    (turn / sweep).clamp(0.0, 1.0)
                } else if (point - from).norm_squared() <= (point - to).norm_squared() {
                    0.0
                } else {
                    1.0
                }
            }
        }
    }

    /// The nearest point of the edge to a point, and how far it is, mm.
    pub fn nearest(&self, point: Point) -> (f64, Point) {
        let share = self.share_nearest(point);
        let at = if share <= 0.0 {
            self.from()
        } else if share >= 1.0 {
            self.to()
        } else {
            self.point_at(share)
        };
        ((point - at).norm(), at)
    }

    /// The edge up to a share of its length, and the rest of it.
    pub fn split_at(&self, share: f64) -> (Segment, Segment) {
        (self.between(0.0, share), self.between(share, 1.0))
    }

    /// The part of the edge between two shares of its length, `start <= end`.
    pub fn between(&self, start: f64, end: f64) -> Segment {
        let end_of = |share: f64| {
            if share <= 0.0 {
                self.from()
            } else if share >= 1.0 {
                self.to()
            } else {
                self.point_at(share)
            }
        };
        let (first, last) = (end_of(start), end_of(end));
        match *self {
            Segment::Line { .. } => Segment::Line {
                from: first,
                to: last,
            },
            Segment::Arc {
                centre,
                radius_mm,
                sweep_rad,
                ..
            } => Segment::Arc {
                from: first,
                to: last,
                centre,
                radius_mm,
                sweep_rad: sweep_rad * (end - start),
            },
        }
    }

    /// The lower left and upper right corners of the smallest upright box round the edge.
    pub fn bounds(&self) -> (Point, Point) {
        let (from, to) = (self.from(), self.to());
        let mut low = Point::new(from.x.min(to.x), from.y.min(to.y));
        let mut high = Point::new(from.x.max(to.x), from.y.max(to.y));
        if let Segment::Arc {
            centre, radius_mm, ..
        } = *self
        {
            for out in [Vector::x(), Vector::y(), -Vector::x(), -Vector::y()] {
                let far = centre + out * radius_mm;
                if self.faces(far) {
                    low = Point::new(low.x.min(far.x), low.y.min(far.y));
                    high = Point::new(high.x.max(far.x), high.y.max(far.y));
                }
            }
        }
        (low, high)
    }

    /// Whether a point of the arc's circle lies on the arc itself: it does when it is on the arc's side of the chord.
    pub(crate) fn faces(&self, on_circle: Point) -> bool {
        match *self {
            Segment::Line { .. } => false,
            Segment::Arc {
                from, to, sweep_rad, ..
            } => (to - from).perp(&(on_circle - from)) * sweep_rad <= 0.0,
        }
    }

    /// Whether a point lies on the edge within [`SAME_POINT_MM`].
    pub fn holds(&self, point: Point) -> bool {
        self.holds_within(point, SAME_POINT_MM)
    }

    /// Whether a point lies on the edge within a tolerance. Asked for every pair of edges that come near each other, so
    /// arcs are judged without angles as long as their centre is known well enough for it.
    pub(crate) fn holds_within(&self, point: Point, tolerance_mm: f64) -> bool {
        /// Up to this radius rounding leaves the centre good to a hundredth of [`SAME_POINT_MM`].
        const CENTRE_KNOWN_MM: f64 = 1e7;
        match *self {
            Segment::Arc {
                from,
                to,
                centre,
                radius_mm,
                ..
            } if radius_mm <= CENTRE_KNOWN_MM => {
                (((point - centre).norm() - radius_mm).abs() <= tolerance_mm && self.faces(point))
                    || (point - from).norm() <= tolerance_mm
                    || (point - to).norm() <= tolerance_mm
            }
            _ => self.nearest(point).0 <= tolerance_mm,
        }
    }

    /// The area between the edge and its chord, signed: what the edge adds to an outline that runs along the chord.
    pub(crate) fn area_over_chord_mm2(&self) -> f64 {
        match *self {
            Segment::Line { .. } => 0.0,
            Segment::Arc {
                from, to, sweep_rad, ..
            } => {
                let half_sine = (sweep_rad / 2.0).sin();
                // r^2 / 2 (sweep - sin sweep) with r = chord / (2 sin(sweep / 2)).
                (to - from).norm_squared() * less_its_sine(sweep_rad) / (8.0 * half_sine * half_sine)
            }
        }
    }
}

/// x - sin x, without the loss of digits near 0.
fn less_its_sine(x: f64) -> f64 {
    /// Under this the series is exact to rounding and the plain difference no longer is.
    const SERIES_BELOW: f64 = 0.2;
    if x.abs() > SERIES_BELOW {
        return x - x.sin();
    }
    let square = x * x;
    x * square / 6.0
        * (1.0 - square / 20.0 * (1.0 - square / 42.0 * (1.0 - square / 72.0 * (1.0 - square / 110.0))))
}

/// The chord of the first `part_rad` of an arc whose whole chord and sweep are given.
fn chord_over(chord: Vector, sweep_rad: f64, part_rad: f64) -> Vector {
    // The whole chord is turned half the sweep from the starting direction, the part's chord half of its own.
    turned(chord, (part_rad - sweep_rad) / 2.0) * ((part_rad / 2.0).sin() / (sweep_rad / 2.0).sin())
}
