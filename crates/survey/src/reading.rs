//! Extra readings: what can be measured of points that are already marked out.

use std::f64::consts::{PI, TAU};

use crate::mark::Value;
use crate::number::Number;

/// What a reading is of. `N` names points. `Distance`, `Corner`, `X`, `Y`, `Z` and `Height` hold in space; the rest look
/// at x and y alone.
#[derive(Debug, Clone, PartialEq)]
pub enum Of<N = String> {
    /// Coordinate along x, mm.
    X(N),
    /// Coordinate along y, mm.
    Y(N),
    /// Coordinate along z, mm.
    Z(N),
    /// How much higher (in z) the second is than the first, mm.
    Height([N; 2]),
    /// Distance of two points, mm.
    Distance([N; 2]),
    /// The angle at the middle point between the other two, 0 to pi.
    Corner([N; 3]),
    /// The turn at the middle point from the first to the last, counter-clockwise, -pi to pi.
    Turn([N; 3]),
    /// Direction of the line from the first to the second, counter-clockwise from x, -pi to pi.
    Direction([N; 2]),
    /// The angle between two lines taken in their senses, 0 to pi.
    Between([N; 2], [N; 2]),
    /// The turn from the first line to the second, counter-clockwise, -pi to pi.
    From([N; 2], [N; 2]),
    /// Square distance of a point from a line, left of it positive, mm.
    Off {
        /// The point.
        point: N,
        /// The line.
        line: [N; 2],
    },
    /// How far along a line, from its first point, the foot of a point lies, mm.
    Along {
        /// The point.
        point: N,
        /// The line.
        line: [N; 2],
    },
}

/// One reading: what of, what was read. A [`Sure::Exact`](crate::Sure) value is a hard condition on the points; a
/// [`Sure::Start`](crate::Sure) value is not yet taken: it weighs nothing and is only predicted.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading<N = String> {
    /// What it is of.
    pub of: Of<N>,
    /// What was read.
    pub value: Value,
}

impl Reading {
    /// A reading of something.
    #[must_use]
    pub fn new(of: Of, value: Value) -> Self {
        Self { of, value }
    }
}

impl<N> Of<N> {
    /// The same with other names; the first that fails ends it.
    pub(crate) fn try_map<M, E>(&self, mut name: impl FnMut(&N) -> Result<M, E>) -> Result<Of<M>, E> {
        Ok(match self {
            Self::X(p) => Of::X(name(p)?),
            Self::Y(p) => Of::Y(name(p)?),
            Self::Z(p) => Of::Z(name(p)?),
            Self::Height([a, b]) => Of::Height([name(a)?, name(b)?]),
            Self::Distance([a, b]) => Of::Distance([name(a)?, name(b)?]),
            Self::Corner([a, b, c]) => Of::Corner([name(a)?, name(b)?, name(c)?]),
            Self::Turn([a, b, c]) => Of::Turn([name(a)?, name(b)?, name(c)?]),
            Self::Direction([a, b]) => Of::Direction([name(a)?, name(b)?]),
            Self::Between([a, b], [c, d]) => Of::Between([name(a)?, name(b)?], [name(c)?, name(d)?]),
            Self::From([a, b], [c, d]) => Of::From([name(a)?, name(b)?], [name(c)?, name(d)?]),
            Self::Off { point, line: [a, b] } => Of::Off {
                point: name(point)?,
                line: [name(a)?, name(b)?],
            },
            Self::Along { point, line: [a, b] } => Of::Along {
                point: name(point)?,
                line: [name(a)?, name(b)?],
            },
        })
    }

    /// The points that it is of, in the order of the fields.
    #[must_use]
    pub fn names(&self) -> Vec<&N> {
        match self {
            Self::X(p) | Self::Y(p) | Self::Z(p) => vec![p],
            Self::Height([a, b]) | Self::Distance([a, b]) | Self::Direction([a, b]) => vec![a, b],
            Self::Corner([a, b, c]) | Self::Turn([a, b, c]) => vec![a, b, c],
            Self::Between([a, b], [c, d]) | Self::From([a, b], [c, d]) => vec![a, b, c, d],
            Self::Off { point, line: [a, b] } | Self::Along { point, line: [a, b] } => vec![point, a, b],
        }
    }

    /// Is it an angle, so that its values are radians and not mm?
    #[must_use]
    pub fn is_angle(&self) -> bool {
        matches!(
            self,
            Self::Corner(_) | Self::Turn(_) | Self::Direction(_) | Self::Between(..) | Self::From(..)
        )
    }

    /// Does it go round, so that -pi and pi are one value?
    pub(crate) fn goes_round(&self) -> bool {
        matches!(self, Self::Turn(_) | Self::Direction(_) | Self::From(..))
    }

    /// `value` brought to within half a turn of zero where the reading goes round.
    pub(crate) fn difference(&self, value: f64) -> f64 {
        if self.goes_round() && value.abs() > PI {
            value - TAU * (value / TAU).round()
        } else {
            value
        }
    }
}

impl Of<usize> {
    /// Its value for points in these places.
    pub(crate) fn at<T: Number>(&self, points: &[[T; 3]]) -> T {
        match self {
            Self::X(p) => points[*p][0].clone(),
            Self::Y(p) => points[*p][1].clone(),
            Self::Z(p) => points[*p][2].clone(),
            Self::Height([a, b]) => points[*b][2].clone() - points[*a][2].clone(),
            Self::Distance([a, b]) => length(&vector(points, *a, *b)),
            Self::Corner([a, b, c]) => unsigned(&vector(points, *b, *a), &vector(points, *b, *c)),
            Self::Turn([a, b, c]) => turn(&vector(points, *b, *a), &vector(points, *b, *c)),
            Self::Direction([a, b]) => {
                let [x, y, _] = vector(points, *a, *b);
                y.atan2(x)
            }
            Self::Between([a, b], [c, d]) => turn_size(&vector(points, *a, *b), &vector(points, *c, *d)),
            Self::From([a, b], [c, d]) => turn(&vector(points, *a, *b), &vector(points, *c, *d)),
            Self::Off { point, line: [a, b] } => {
                let along = flat(vector(points, *a, *b));
                cross(&along, &vector(points, *a, *point)) / length(&along)
            }
            Self::Along { point, line: [a, b] } => {
                let along = flat(vector(points, *a, *b));
                let to = flat(vector(points, *a, *point));
                dot(&along, &to) / length(&along)
            }
        }
    }
}

type Vector<T> = [T; 3];

fn vector<T: Number>(points: &[[T; 3]], a: usize, b: usize) -> Vector<T> {
    [0, 1, 2].map(|i| points[b][i].clone() - points[a][i].clone())
}

fn flat<T: Number>([x, y, _]: Vector<T>) -> Vector<T> {
    [x, y, T::constant(0.0)]
}

fn dot<T: Number>(a: &Vector<T>, b: &Vector<T>) -> T {
    a[0].clone() * b[0].clone() + a[1].clone() * b[1].clone() + a[2].clone() * b[2].clone()
}

fn length<T: Number>(v: &Vector<T>) -> T {
    dot(v, v).root()
}

/// The z part of the cross product.
fn cross<T: Number>(a: &Vector<T>, b: &Vector<T>) -> T {
    a[0].clone() * b[1].clone() - a[1].clone() * b[0].clone()
}

fn turn<T: Number>(a: &Vector<T>, b: &Vector<T>) -> T {
    let (a, b) = (flat(a.clone()), flat(b.clone()));
    cross(&a, &b).atan2(dot(&a, &b))
}

fn turn_size<T: Number>(a: &Vector<T>, b: &Vector<T>) -> T {
    let turn = turn(a, b);
    if turn.real() < 0.0 { -turn } else { turn }
}

/// In a plane the size of the turn, which keeps its slope at a straight corner; in space the arc tangent of the two
/// products, which keeps its digits near 0 and pi where the arc cosine loses them.
fn unsigned<T: Number>(a: &Vector<T>, b: &Vector<T>) -> T {
    if a[2].real() == 0.0 && b[2].real() == 0.0 {
        return turn_size(a, b);
    }
    let part = |i: usize, j: usize| a[i].clone() * b[j].clone() - a[j].clone() * b[i].clone();
    let normal = [part(1, 2), part(2, 0), part(0, 1)];
    length(&normal).atan2(dot(a, b))
}
