//! Whether a part that is cut free lies still on the slats of the table.
//!
//! A plate touches a slat along the chords in which the slat runs under it, or at the teeth there. Weight alone keeps
//! it down, so it lies still as long as its centroid is within the hull of what it touches, and the better the farther
//! inside (statics). Where the slats stand under the sheet is seldom known; then every place within a pitch is tried,
//! and the worst one counts.

use plane::{Point, Region, Vector};
use thiserror::Error;

/// The slats of a table: straight, parallel, evenly spaced.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slats {
    /// Distance from slat to slat, mm.
    pub pitch_mm: f64,
    /// The direction that they run in.
    pub along: Vector,
    /// How far a slat stands beside the table's zero, mm, across their direction (to its left); none when it is not
    /// known, as when the sheet may be laid anywhere.
    pub first_mm: Option<f64>,
    /// The distance of the teeth, mm, when only they touch; their place along the slat is taken as not known.
    pub tooth_mm: Option<f64>,
    /// How far inside what it touches the centroid must be, mm: for the push of the gas and of an uneven slat.
    pub margin_mm: f64,
}

/// Why slats are none.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum SlatsError {
    /// A distance is not a number above 0, or the margin below 0.
    #[error("slats {pitch_mm} mm apart with a margin of {margin_mm} mm carry nothing")]
    NoPitch {
        /// Pitch given.
        pitch_mm: f64,
        /// Margin given.
        margin_mm: f64,
    },
    /// No direction.
    #[error("the slats run in no direction")]
    NoDirection,
}

/// What becomes of a part that is cut free, where the slats stand worst for it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fate {
    /// It stays as it lies.
    Lies,
    /// Its weight is not over what it touches, or too near the edge of it: it can tip.
    Tips,
    /// It touches no slat at all: it drops.
    Drops,
}

/// A part on its slats.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lies {
    /// What becomes of it.
    pub fate: Fate,
    /// How far inside what it touches its centroid is at the worst, mm; below 0 outside. None when it touches nothing.
    pub inside_mm: Option<f64>,
}

/// Places of the slats that are tried within a pitch when it is not known. The margin changes with the place no faster
/// than the place itself as long as the same slats touch.
const PLACES: u32 = 48;

impl Slats {
    /// Takes them if they can carry anything.
    pub fn check(&self) -> Result<(), SlatsError> {
        let teeth = self.tooth_mm.is_none_or(|tooth| tooth.is_finite() && tooth > 0.0);
        if !(self.pitch_mm.is_finite() && self.pitch_mm > 0.0 && self.margin_mm >= 0.0 && teeth) {
            return Err(SlatsError::NoPitch {
                pitch_mm: self.pitch_mm,
                margin_mm: self.margin_mm,
            });
        }
        if self
            .along
            .try_normalize(0.0)
            .is_none_or(|unit| !unit.x.is_finite())
        {
            return Err(SlatsError::NoDirection);
        }
        Ok(())
    }

    /// What becomes of a part that is cut free, held by nothing.
    pub fn under(&self, part: &Region) -> Result<Lies, SlatsError> {
        self.under_held(part, &[])
    }

    /// The same of a part that is also held at some points of its edge, as by tabs.
    pub fn under_held(&self, part: &Region, held_at: &[Point]) -> Result<Lies, SlatsError> {
        self.check()?;
        let centroid = part.centroid();
        let mut worst: Option<f64> = None;
        for first_mm in self.places() {
            let mut touches = self.touches(part, first_mm);
            if touches.is_empty() && held_at.is_empty() {
                return Ok(Lies {
                    fate: Fate::Drops,
                    inside_mm: None,
                });
            }
            touches.extend_from_slice(held_at);
            let inside_mm = inside_hull_mm(&touches, centroid);
            worst = Some(worst.map_or(inside_mm, |w: f64| w.min(inside_mm)));
        }
        let lies = worst.is_some_and(|inside_mm| inside_mm >= self.margin_mm);
        Ok(Lies {
            fate: if lies { Fate::Lies } else { Fate::Tips },
            inside_mm: worst,
        })
    }

    /// The places of the first slat to be tried.
    pub(super) fn places(&self) -> Vec<f64> {
        match self.first_mm {
            Some(first_mm) => vec![first_mm],
            None => (0..PLACES)
                .map(|k| self.pitch_mm * f64::from(k) / f64::from(PLACES))
                .collect(),
        }
    }

    /// The ends of what a part touches, with a slat this far beside the table's zero.
    pub(super) fn touches(&self, part: &Region, first_mm: f64) -> Vec<Point> {
        let Some(along) = self.along.try_normalize(0.0) else {
            return Vec::new();
        };
        let across = Vector::new(-along.y, along.x);
        let (low, high) = part.bounds();
        let corners = [low, high, Point::new(low.x, high.y), Point::new(high.x, low.y)];
        let beside = |p: &Point| across.dot(&p.coords);
        let least = corners.iter().map(beside).fold(f64::INFINITY, f64::min);
        let most = corners.iter().map(beside).fold(f64::NEG_INFINITY, f64::max);
        let mut touches = Vec::new();
        let mut slat = ((least - first_mm) / self.pitch_mm).ceil();
        while first_mm + slat * self.pitch_mm <= most {
            let through = Point::from(across * (first_mm + slat * self.pitch_mm));
            for (from, to) in chords(part, through, along) {
                // The nearest tooth may stand as far in from each end as the teeth are apart.
                let short_mm = self.tooth_mm.unwrap_or(0.0);
                if (to - from).norm() > 2.0 * short_mm {
                    touches.push(from + along * short_mm);
                    touches.push(to - along * short_mm);
                } else if (to - from).norm() >= short_mm {
                    touches.push(from + (to - from) / 2.0);
                }
            }
            slat += 1.0;
        }
        touches
    }
}

/// The stretches of a line that lie in the material, in order along it.
fn chords(part: &Region, through: Point, along: Vector) -> Vec<(Point, Point)> {
    let at = |p: &Point| along.dot(&(p - through));
    let mut open = part.outer.chords_along(through, along);
    for hole in &part.holes {
        for (from, to) in hole.chords_along(through, along) {
            open = open
                .into_iter()
                .flat_map(|(a, b)| {
                    let before = (at(&a) < at(&from)).then(|| (a, if at(&b) < at(&from) { b } else { from }));
                    let after = (at(&b) > at(&to)).then(|| (if at(&a) > at(&to) { a } else { to }, b));
                    [before, after]
                })
                .flatten()
                .collect();
        }
    }
    open
}

/// How far inside the hull of some points a point is, mm; below 0 it lies that far outside, and a hull without area has
/// no inside.
pub(super) fn inside_hull_mm(points: &[Point], at: Point) -> f64 {
    let hull = hull(points);
    if hull.len() < 3 {
        let from_line = match hull.as_slice() {
            [a, b] => plane::Segment::line(*a, *b).nearest(at).0,
            [a] => (at - a).norm(),
            _ => f64::INFINITY,
        };
        return -from_line;
    }
    let edges = hull.iter().zip(hull.iter().cycle().skip(1));
    let inside = edges
        .clone()
        .map(|(a, b)| (b - a).perp(&(at - a)) / (b - a).norm())
        .fold(f64::INFINITY, f64::min);
    if inside >= 0.0 {
        inside
    } else {
        -edges
            .map(|(a, b)| plane::Segment::line(*a, *b).nearest(at).0)
            .fold(f64::INFINITY, f64::min)
    }
}

/// The corners of the hull, counter-clockwise, by its lower and upper chain.
fn hull(points: &[Point]) -> Vec<Point> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a.x.total_cmp(&b.x).then(a.y.total_cmp(&b.y)));
    sorted.dedup_by(|a, b| (*a - *b).norm() <= plane::SAME_POINT_MM);
    if sorted.len() < 3 {
        return sorted;
    }
    let chain = |points: &mut dyn Iterator<Item = &Point>| {
        let mut chain: Vec<Point> = Vec::new();
        for p in points {
            while let [.., a, b] = chain.as_slice()
                && (b - a).perp(&(p - a)) <= plane::SAME_POINT_MM * (b - a).norm()
            {
                chain.pop();
            }
            chain.push(*p);
        }
        chain.pop();
        chain
    };
    let mut hull = chain(&mut sorted.iter());
    hull.extend(chain(&mut sorted.iter().rev()));
    hull
}
