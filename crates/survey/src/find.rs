//! Where a mark puts its point: the constructions of plane geometry, each written once for plain and sloped numbers.

use crate::SAME_POINT_MM;
use crate::mark::{Mark, Side};
use crate::number::Number;

/// Two lines whose directions differ by less than this many radians count as parallel: over a metre of line it is a
/// thousandth of a millimetre, which no reading in a shop can tell from parallel.
const PARALLEL_RAD: f64 = 1e-6;

/// Why a construction fails, by the numbers of the points.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Trouble {
    SamePoint(usize, usize),
    Parallel([usize; 2], [usize; 2]),
    Short { a: usize, b: usize, by: f64 },
    Inside { inner: usize, outer: usize, gap: f64 },
    TangentInside { from: usize, round: usize, by: f64 },
}

/// A point or vector of the plane.
type Pair<T> = (T, T);

fn plane<T: Number>(points: &[[T; 3]], index: usize) -> Pair<T> {
    (points[index][0].clone(), points[index][1].clone())
}

fn minus<T: Number>(a: Pair<T>, b: Pair<T>) -> Pair<T> {
    (a.0 - b.0, a.1 - b.1)
}

fn cross<T: Number>(a: &Pair<T>, b: &Pair<T>) -> T {
    a.0.clone() * b.1.clone() - a.1.clone() * b.0.clone()
}

fn dot<T: Number>(a: &Pair<T>, b: &Pair<T>) -> T {
    a.0.clone() * b.0.clone() + a.1.clone() * b.1.clone()
}

/// From `start`, `along` the unit vector and `off` to its left.
fn step<T: Number>(start: Pair<T>, unit: &Pair<T>, along: &T, off: &T) -> [T; 3] {
    let (ux, uy) = unit.clone();
    [
        start.0 + ux.clone() * along.clone() - uy.clone() * off.clone(),
        start.1 + uy * along.clone() + ux * off.clone(),
        T::constant(0.0),
    ]
}

/// Unit vector from point `a` to point `b`, and their distance.
fn direction<T: Number>(points: &[[T; 3]], a: usize, b: usize) -> Result<(Pair<T>, T), Trouble> {
    let v = minus(plane(points, b), plane(points, a));
    let length = dot(&v, &v).root();
    if length.real() < SAME_POINT_MM {
        return Err(Trouble::SamePoint(a, b));
    }
    Ok(((v.0 / length.clone(), v.1 / length.clone()), length))
}

/// The place of a mark whose parents' places are already in `points`.
pub(crate) fn find<T: Number>(mark: &Mark<usize, T>, points: &[[T; 3]]) -> Result<[T; 3], Trouble> {
    Ok(match mark {
        Mark::At { x, y } => [x.clone(), y.clone(), T::constant(0.0)],
        Mark::InSpace { x, y, z } => [x.clone(), y.clone(), z.clone()],
        Mark::Offset {
            from,
            toward,
            along,
            off,
        } => {
            let (unit, _) = direction(points, *from, *toward)?;
            step(plane(points, *from), &unit, along, off)
        }
        Mark::Polar {
            from,
            reach,
            angle,
            of,
        } => {
            let (sin, cos) = angle.clone().sin_cos();
            let base = match of {
                None => (T::constant(1.0), T::constant(0.0)),
                Some([a, b]) => direction(points, *a, *b)?.0,
            };
            let (along, off) = (reach.clone() * cos, reach.clone() * sin);
            step(plane(points, *from), &base, &along, &off)
        }
        Mark::Swing { a, ra, b, rb, side } => swing(points, (*a, ra), (*b, rb), *side)?,
        Mark::Crossing { first, second } => crossing(points, *first, *second)?,
        Mark::Foot { of, on } => {
            let (unit, _) = direction(points, on[0], on[1])?;
            let start = plane(points, on[0]);
            let along = dot(&minus(plane(points, *of), start.clone()), &unit);
            step(start, &unit, &along, &T::constant(0.0))
        }
        Mark::Middle([a, b]) => [0, 1, 2].map(|i| (points[*a][i].clone() + points[*b][i].clone()).times(0.5)),
        Mark::Mirror { of, over } => {
            let (unit, _) = direction(points, over[0], over[1])?;
            let start = plane(points, over[0]);
            let v = minus(plane(points, *of), start.clone());
            step(start, &unit, &dot(&v, &unit), &-cross(&unit, &v))
        }
        Mark::Tangent {
            from,
            round,
            radius,
            side,
        } => tangent(points, *from, *round, radius, *side)?,
    })
}

fn signed<T: Number>(value: T, side: Side) -> T {
    match side {
        Side::Left => value,
        Side::Right => -value,
    }
}

/// On the line of the centres, d apart, the foot of the meeting lies (d^2 + ra^2 - rb^2) / 2 d from a.
fn swing<T: Number>(
    points: &[[T; 3]],
    (a, ra): (usize, &T),
    (b, rb): (usize, &T),
    side: Side,
) -> Result<[T; 3], Trouble> {
    let (unit, apart) = direction(points, a, b)?;
    let (d, r, s) = (apart.real(), ra.real(), rb.real());
    if d - r - s > SAME_POINT_MM {
        return Err(Trouble::Short { a, b, by: d - r - s });
    }
    let gap = (r - s).abs() - d;
    if gap > SAME_POINT_MM {
        let (inner, outer) = if r < s { (a, b) } else { (b, a) };
        return Err(Trouble::Inside { inner, outer, gap });
    }
    let square = |v: &T| v.clone() * v.clone();
    let along = (square(&apart) + square(ra) - square(rb)) / apart.times(2.0);
    let off = (square(ra) - square(&along)).root();
    Ok(step(plane(points, a), &unit, &along, &signed(off, side)))
}

fn crossing<T: Number>(points: &[[T; 3]], first: [usize; 2], second: [usize; 2]) -> Result<[T; 3], Trouble> {
    let (u, _) = direction(points, first[0], first[1])?;
    let (v, _) = direction(points, second[0], second[1])?;
    let turn = cross(&u, &v);
    if turn.real().abs() < PARALLEL_RAD {
        return Err(Trouble::Parallel(first, second));
    }
    let start = plane(points, first[0]);
    let between = minus(plane(points, second[0]), start.clone());
    let along = cross(&between, &v) / turn;
    Ok(step(start, &u, &along, &T::constant(0.0)))
}

/// The touching point lies r^2 / d from the centre toward the start, and r sqrt(d^2 - r^2) / d to the side.
fn tangent<T: Number>(
    points: &[[T; 3]],
    from: usize,
    round: usize,
    radius: &T,
    side: Side,
) -> Result<[T; 3], Trouble> {
    let (unit, apart) = direction(points, from, round)?;
    let by = radius.real() - apart.real();
    if by > SAME_POINT_MM {
        return Err(Trouble::TangentInside { from, round, by });
    }
    let square = |v: &T| v.clone() * v.clone();
    let off = radius.clone() * (square(&apart) - square(radius)).root() / apart.clone();
    let along = apart.clone() - square(radius) / apart;
    Ok(step(plane(points, from), &unit, &along, &signed(off, side)))
}
