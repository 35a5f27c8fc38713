//! What one entity draws, in its own coordinates and unit.

use std::f64::consts::TAU;

use plane::{Point, Segment, Vector};

use super::entity::Entity;
use super::error::ImportError;
use super::spline::{Spline, points_along};

/// Lines and arcs that one entity draws.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Drawn {
    pub(super) edges: Vec<Segment>,
    /// Whether the last edge ends where the first starts, because the entity says so.
    pub(super) closed: bool,
    /// Whether it was a curve that is neither line nor arc.
    pub(super) flattened: bool,
}

impl Drawn {
    fn open(edges: Vec<Segment>) -> Drawn {
        Drawn {
            edges,
            closed: false,
            flattened: false,
        }
    }

    fn curve(points: &[Point], closed: bool) -> Drawn {
        Drawn {
            edges: points
                .windows(2)
                .map(|pair| Segment::line(pair[0], pair[1]))
                .collect(),
            closed,
            flattened: true,
        }
    }
}

/// How fine curves become, and how many edges there may be.
#[derive(Debug, Clone, Copy)]
pub(super) struct Fineness {
    /// In the entity's own unit.
    pub(super) tolerance: f64,
    pub(super) most: usize,
}

/// Arcs that end this near to where they start (in radians) go all the way round.
const WHOLE_TURN_RAD: f64 = 1e-9;

pub(super) fn line(entity: &Entity) -> Result<Drawn, ImportError> {
    Ok(Drawn::open(vec![Segment::line(
        entity.place(10)?,
        entity.place(11)?,
    )]))
}

/// Whether a line rises or falls.
pub(super) fn slants(entity: &Entity) -> Result<bool, ImportError> {
    Ok(entity.number_or(30, 0.0)? != entity.number_or(31, 0.0)?)
}

fn halves(centre: Point, out: Vector, sweep_rad: f64) -> Vec<Segment> {
    // Half a turn at most, so that the ends of an edge tell it.
    let count = if sweep_rad.abs() > std::f64::consts::PI {
        2
    } else {
        1
    };
    let step = sweep_rad / f64::from(count);
    let first = Segment::arc_about(centre, centre + out, step);
    if count == 1 {
        return vec![first];
    }
    let second = Segment::arc_about(centre, first.to(), step);
    vec![first, second]
}

fn radius(entity: &Entity) -> Result<f64, ImportError> {
    let radius = entity.need(40)?;
    if radius < 0.0 {
        return Err(entity.cannot_be("its radius is negative"));
    }
    Ok(radius)
}

/// Two halves that meet exactly.
fn whole(centre: Point, out: Vector) -> Vec<Segment> {
    let (start, across) = (centre + out, centre - out);
    let half = |from: Point, to: Point| Segment::Arc {
        from,
        to,
        centre,
        radius_mm: out.norm(),
        sweep_rad: std::f64::consts::PI,
    };
    vec![half(start, across), half(across, start)]
}

pub(super) fn circle(entity: &Entity) -> Result<Drawn, ImportError> {
    let (centre, radius) = (entity.place(10)?, radius(entity)?);
    Ok(Drawn {
        edges: if radius > 0.0 {
            whole(centre, Vector::new(radius, 0.0))
        } else {
            Vec::new()
        },
        closed: true,
        flattened: false,
    })
}

pub(super) fn arc(entity: &Entity) -> Result<Drawn, ImportError> {
    let (centre, radius) = (entity.place(10)?, radius(entity)?);
    let (start, end) = (entity.need(50)?.to_radians(), entity.need(51)?.to_radians());
    let out = Vector::new(start.cos(), start.sin()) * radius;
    if radius == 0.0 {
        return Ok(Drawn::open(Vec::new()));
    }
    let sweep = (end - start).rem_euclid(TAU);
    if !(WHOLE_TURN_RAD..=TAU - WHOLE_TURN_RAD).contains(&sweep) {
        return Ok(Drawn {
            edges: whole(centre, out),
            closed: true,
            flattened: false,
        });
    }
    Ok(Drawn::open(halves(centre, out, sweep)))
}

/// An ellipse or a part of one. Its axes are told in the drawing's coordinates, whichever way its own z points.
pub(super) fn ellipse(
    entity: &Entity,
    from_below: bool,
    fine: Fineness,
) -> Result<Option<Drawn>, ImportError> {
    let centre = entity.place(10)?;
    let major = entity.place(11)?.coords;
    let ratio = entity.need(40)?;
    if !(ratio > 0.0 && ratio <= 1.0 + 1e-9) {
        return Err(entity.cannot_be("the ratio of its axes is not over 0 and at most 1"));
    }
    let turn = if from_below { -ratio } else { ratio };
    let minor = Vector::new(-major.y, major.x) * turn;
    let (start, end) = (entity.number_or(41, 0.0)?, entity.number_or(42, TAU)?);
    if major.norm() == 0.0 {
        return Ok(Some(Drawn::open(Vec::new())));
    }
    let sweep = (end - start).rem_euclid(TAU);
    let all_round = !(WHOLE_TURN_RAD..=TAU - WHOLE_TURN_RAD).contains(&sweep);
    let sweep = if all_round { TAU } else { sweep };
    let at = |u: f64| centre + major * u.cos() + minor * u.sin();
    let mut points: Vec<Point> = Vec::new();
    // Quarters, so that no piece comes back to where it began.
    let quarters = (sweep / (TAU / 4.0)).ceil().max(1.0);
    for i in 0..quarters as u32 {
        let of = |i: u32| start + sweep * f64::from(i) / quarters;
        let Some(piece) = points_along(&at, of(i), of(i + 1), fine.tolerance, fine.most) else {
            return Ok(None);
        };
        points.extend(piece.into_iter().skip(usize::from(i > 0)));
    }
    if all_round && points.len() > 2 {
        points.pop();
        points.push(points[0]);
    }
    Ok(Some(Drawn::curve(&points, all_round)))
}

pub(super) fn spline(entity: &Entity, fine: Fineness) -> Result<Option<SplineDrawn>, ImportError> {
    const CLOSED: i64 = 1;
    let mut knots = Vec::new();
    let mut weights = Vec::new();
    let mut points: Vec<Point> = Vec::new();
    let mut x: Option<f64> = None;
    for pair in entity.body {
        match pair.code {
            40 => knots.push(pair.number()?),
            41 => weights.push(pair.number()?),
            10 => x = Some(pair.number()?),
            20 => {
                let x = x.take().ok_or_else(|| pair.out_of_place())?;
                points.push(Point::new(x, pair.number()?));
            }
            _ => {}
        }
    }
    if points.is_empty() {
        return Ok(Some(SplineDrawn::FitPointsAlone));
    }
    let degree = entity.whole_or(71, 3)?;
    let spline = Spline::new(degree, knots, points, &weights).map_err(|why| entity.cannot_be(why))?;
    let Some(mut along) = spline.points_along(fine.tolerance, fine.most) else {
        return Ok(None);
    };
    let closed = entity.whole_or(70, 0)? & CLOSED != 0
        && along.len() > 3
        && (along[0] - along[along.len() - 1]).norm() <= fine.tolerance;
    if closed {
        along.pop();
        along.push(along[0]);
    }
    Ok(Some(SplineDrawn::Curve(Drawn::curve(&along, closed))))
}

/// What a spline entity gives.
pub(super) enum SplineDrawn {
    Curve(Drawn),
    /// The points it should pass, without the curve itself: how it runs between them is the other program's affair.
    FitPointsAlone,
}

/// Corners with their bulges, joined.
pub(super) fn polyline(corners: &[(Point, f64)], closed: bool) -> Drawn {
    let count = corners.len();
    let edges_n = if closed { count } else { count.saturating_sub(1) };
    let edges = (0..edges_n)
        .map(|i| {
            let ((from, bulge), (to, _)) = (corners[i], corners[(i + 1) % count]);
            (from, to, bulge)
        })
        .filter(|(from, to, _)| from != to)
        .flat_map(|(from, to, bulge)| {
            let edge = Segment::new(from, to, bulge);
            if bulge.abs() > 1.0 && edge.turn_rad() != 0.0 {
                let (a, b) = edge.split_at(0.5);
                vec![a, b]
            } else {
                vec![edge]
            }
        })
        .collect();
    Drawn {
        edges,
        closed: closed && count > 1,
        flattened: false,
    }
}

/// Flag of polylines: the last corner joins the first.
pub(super) const CLOSED_POLYLINE: i64 = 1;

pub(super) fn light_polyline(entity: &Entity) -> Result<Drawn, ImportError> {
    let mut corners: Vec<(Point, f64)> = Vec::new();
    let mut x: Option<f64> = None;
    for pair in entity.body {
        match pair.code {
            10 => x = Some(pair.number()?),
            20 => {
                let x = x.take().ok_or_else(|| pair.out_of_place())?;
                corners.push((Point::new(x, pair.number()?), 0.0));
            }
            42 => {
                if let Some((_, bulge)) = corners.last_mut() {
                    *bulge = pair.number()?;
                }
            }
            _ => {}
        }
    }
    Ok(polyline(&corners, entity.whole_or(70, 0)? & CLOSED_POLYLINE != 0))
}
