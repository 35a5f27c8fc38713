//! How points are marked out: by coordinates, off a baseline, by swung arcs, or constructed from other points.

use nalgebra::Point3;

use crate::SAME_POINT_MM;
use crate::find::{Trouble, find};

/// How sure a value is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Sure {
    /// Meant, not measured: it holds exactly.
    Exact,
    /// Measured, with this standard deviation: mm for lengths, radians for angles. Above zero.
    Sd(f64),
    /// Only a start for the search; the readings say what it is.
    Start,
}

/// A length in mm or an angle in radians, how sure it is, and whose it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Value {
    /// mm or radians.
    pub value: f64,
    /// How sure.
    pub sure: Sure,
    /// The caller's own number for it, given back with everything said about it.
    pub about: usize,
}

impl Value {
    /// A measured value with its standard deviation.
    #[must_use]
    pub fn read(value: f64, sd: f64, about: usize) -> Self {
        Self {
            value,
            sure: Sure::Sd(sd),
            about,
        }
    }

    /// A value that holds exactly.
    #[must_use]
    pub fn exact(value: f64, about: usize) -> Self {
        Self {
            value,
            sure: Sure::Exact,
            about,
        }
    }

    /// A start for the search.
    #[must_use]
    pub fn start(value: f64, about: usize) -> Self {
        Self {
            value,
            sure: Sure::Start,
            about,
        }
    }
}

/// Which side of a line, looking from its first point to its second.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// On the left hand.
    Left,
    /// On the right hand.
    Right,
}

/// How one point is found. `N` names other points, `V` is a value. All but `InSpace` and `Middle` lie in the plane of
/// x and y: they look at x and y alone, and their z is 0.
#[derive(Debug, Clone, PartialEq)]
pub enum Mark<N = String, V = Value> {
    /// By coordinates in the plane.
    At {
        /// Along x.
        x: V,
        /// Along y.
        y: V,
    },
    /// By coordinates in space.
    InSpace {
        /// Along x.
        x: V,
        /// Along y.
        y: V,
        /// Along z.
        z: V,
    },
    /// Along a baseline and square off it.
    Offset {
        /// Start of the baseline.
        from: N,
        /// A point the baseline runs toward.
        toward: N,
        /// Along it.
        along: V,
        /// Off it, left positive.
        off: V,
    },
    /// A distance at an angle.
    Polar {
        /// From here.
        from: N,
        /// How far.
        reach: V,
        /// Counter-clockwise from x, or from the direction of `of`.
        angle: V,
        /// The line that the angle is measured from.
        of: Option<[N; 2]>,
    },
    /// Where two swung arcs meet.
    Swing {
        /// First centre.
        a: N,
        /// Radius about it.
        ra: V,
        /// Second centre.
        b: N,
        /// Radius about it.
        rb: V,
        /// Which of the two meetings, by the side of the line from `a` to `b`.
        side: Side,
    },
    /// Where two lines cross.
    Crossing {
        /// One line.
        first: [N; 2],
        /// The other.
        second: [N; 2],
    },
    /// Square from a point onto a line.
    Foot {
        /// The point.
        of: N,
        /// The line.
        on: [N; 2],
    },
    /// Half way between two points.
    Middle([N; 2]),
    /// The mirror image of a point in a line.
    Mirror {
        /// The point.
        of: N,
        /// The line.
        over: [N; 2],
    },
    /// Where the tangent from a point touches a circle.
    Tangent {
        /// From here.
        from: N,
        /// The circle's centre.
        round: N,
        /// Its radius.
        radius: V,
        /// Which of the two, looking from `from` to the centre.
        side: Side,
    },
}

impl<N, V> Mark<N, V> {
    /// The same mark with other names and values; the first that fails ends it. Values come in the
    /// order of the fields.
    pub(crate) fn try_map<M, W, E>(
        &self,
        mut name: impl FnMut(&N) -> Result<M, E>,
        mut value: impl FnMut(&V) -> Result<W, E>,
    ) -> Result<Mark<M, W>, E> {
        let mut pair = |[a, b]: &[N; 2]| Ok([name(a)?, name(b)?]);
        Ok(match self {
            Self::At { x, y } => Mark::At {
                x: value(x)?,
                y: value(y)?,
            },
            Self::InSpace { x, y, z } => Mark::InSpace {
                x: value(x)?,
                y: value(y)?,
                z: value(z)?,
            },
            Self::Offset {
                from,
                toward,
                along,
                off,
            } => Mark::Offset {
                from: name(from)?,
                toward: name(toward)?,
                along: value(along)?,
                off: value(off)?,
            },
            Self::Polar {
                from,
                reach,
                angle,
                of,
            } => Mark::Polar {
                of: of.as_ref().map(&mut pair).transpose()?,
                from: name(from)?,
                reach: value(reach)?,
                angle: value(angle)?,
            },
            Self::Swing { a, ra, b, rb, side } => Mark::Swing {
                a: name(a)?,
                ra: value(ra)?,
                b: name(b)?,
                rb: value(rb)?,
                side: *side,
            },
            Self::Crossing { first, second } => Mark::Crossing {
                first: pair(first)?,
                second: pair(second)?,
            },
            Self::Foot { of, on } => Mark::Foot {
                on: pair(on)?,
                of: name(of)?,
            },
            Self::Middle(ends) => Mark::Middle(pair(ends)?),
            Self::Mirror { of, over } => Mark::Mirror {
                over: pair(over)?,
                of: name(of)?,
            },
            Self::Tangent {
                from,
                round,
                radius,
                side,
            } => Mark::Tangent {
                from: name(from)?,
                round: name(round)?,
                radius: value(radius)?,
                side: *side,
            },
        })
    }

    /// The points it is found from, in the order of the fields.
    pub(crate) fn parents(&self) -> Vec<&N> {
        match self {
            Self::At { .. } | Self::InSpace { .. } => vec![],
            Self::Offset { from, toward, .. } => vec![from, toward],
            Self::Polar { from, of, .. } => {
                let mut all = vec![from];
                all.extend(of.iter().flatten());
                all
            }
            Self::Swing { a, b, .. } => vec![a, b],
            Self::Crossing { first, second } => first.iter().chain(second).collect(),
            Self::Foot { of, on: line } | Self::Mirror { of, over: line } => {
                vec![of, &line[0], &line[1]]
            }
            Self::Middle(ends) => ends.iter().collect(),
            Self::Tangent { from, round, .. } => vec![from, round],
        }
    }

    /// Its values, in the order of the fields.
    pub(crate) fn values(&self) -> Vec<&V> {
        match self {
            Self::At { x, y } => vec![x, y],
            Self::InSpace { x, y, z } => vec![x, y, z],
            Self::Offset { along, off, .. } => vec![along, off],
            Self::Polar { reach, angle, .. } => vec![reach, angle],
            Self::Swing { ra, rb, .. } => vec![ra, rb],
            Self::Tangent { radius, .. } => vec![radius],
            _ => vec![],
        }
    }
}

/// Why a mark-out cannot be drawn.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum MarkError {
    /// Two points have one name.
    #[error("{point} is marked out twice")]
    Twice {
        /// The name.
        point: String,
    },
    /// A point is found from one that is not there.
    #[error("{point} is found from {unknown}, which is not marked out")]
    Unknown {
        /// The point being found.
        point: String,
        /// The name that is not there.
        unknown: String,
    },
    /// Points that need each other.
    #[error("these points are found from each other in a circle: {}", points.join(" from "))]
    Circle {
        /// Each is found from the next, the last from the first.
        points: Vec<String>,
    },
    /// A value or standard deviation that is no measurement: not finite, or a standard deviation not above zero.
    #[error("{point}: {value} with standard deviation {sd} is not a reading")]
    NotAReading {
        /// The point it is for.
        point: String,
        /// The value.
        value: f64,
        /// Its standard deviation.
        sd: f64,
        /// The caller's number for the value.
        about: usize,
    },
    /// A radius or reach below zero.
    #[error("{point}: a distance of {value_mm} mm is below zero")]
    BelowZero {
        /// The point it is for.
        point: String,
        /// The distance.
        value_mm: f64,
        /// The caller's number for it.
        about: usize,
    },
    /// The two swung arcs end before they meet.
    #[error("the arcs from {a} and {b} for {point} do not reach each other by {short_by_mm:.2} mm")]
    ArcsDoNotReach {
        /// The point being found.
        point: String,
        /// First centre.
        a: String,
        /// Second centre.
        b: String,
        /// The gap between the arcs on the line of the centres.
        short_by_mm: f64,
    },
    /// One arc lies wholly inside the other.
    #[error("for {point}, the arc from {inner} lies inside the arc from {outer}, {gap_mm:.2} mm clear of it")]
    ArcInsideArc {
        /// The point being found.
        point: String,
        /// Centre of the smaller arc.
        inner: String,
        /// Centre of the larger.
        outer: String,
        /// The least gap between them.
        gap_mm: f64,
    },
    /// Two lines that must cross are parallel.
    #[error("{} and {} are parallel, so {point} is nowhere", first.join("-"), second.join("-"))]
    LinesParallel {
        /// The point being found.
        point: String,
        /// One line.
        first: [String; 2],
        /// The other.
        second: [String; 2],
    },
    /// Two points that give a direction are one point.
    #[error("{a} and {b} are in one place, so they give no direction for {point}")]
    SamePoint {
        /// The point being found.
        point: String,
        /// One.
        a: String,
        /// The other.
        b: String,
    },
    /// No tangent from inside a circle.
    #[error("{from} is {inside_by_mm:.2} mm inside the circle round {round}, so no tangent runs to {point}")]
    TangentInside {
        /// The point being found.
        point: String,
        /// Where the tangent would start.
        from: String,
        /// The circle's centre.
        round: String,
        /// How far inside the circle.
        inside_by_mm: f64,
    },
}

/// All the points of a job and how each is found, checked: every name is known once and no point needs itself.
#[derive(Debug, Clone, PartialEq)]
pub struct MarkOut {
    pub(crate) names: Vec<String>,
    pub(crate) marks: Vec<Mark<usize, Value>>,
    /// Indices, each after all that it is found from.
    pub(crate) order: Vec<usize>,
}

impl MarkOut {
    /// Points in any order: one may be found from later ones.
    ///
    /// # Errors
    /// A name given twice or not at all, points found from each other in a circle, values that are no reading.
    pub fn new(points: Vec<(String, Mark)>) -> Result<Self, MarkError> {
        let names: Vec<String> = points.iter().map(|(name, _)| name.clone()).collect();
        let mut by_name = std::collections::BTreeMap::new();
        for (index, name) in names.iter().enumerate() {
            if by_name.insert(name.clone(), index).is_some() {
                return Err(MarkError::Twice { point: name.clone() });
            }
        }
        let mut marks = Vec::with_capacity(points.len());
        for (point, mark) in &points {
            marks.push(mark.try_map(
                |name| {
                    by_name.get(name).copied().ok_or_else(|| MarkError::Unknown {
                        point: point.clone(),
                        unknown: name.clone(),
                    })
                },
                |value| check_value(point, value),
            )?);
            check_distances(point, mark)?;
        }
        let order = order(&names, &marks)?;
        Ok(Self { names, marks, order })
    }

    /// Names of the points, in the order given to [`MarkOut::new`]; their places there are the points' numbers.
    #[must_use]
    pub fn names(&self) -> &[String] {
        &self.names
    }

    /// The number of a point by its name.
    #[must_use]
    pub fn index_of(&self, name: &str) -> Option<usize> {
        self.names.iter().position(|n| n == name)
    }

    /// Where the values as they stand put each point, in mm, in the order of [`MarkOut::names`], nothing adjusted.
    ///
    /// # Errors
    /// The first point, in the order in which they can be found, that cannot be drawn.
    pub fn place(&self) -> Result<Vec<Point3<f64>>, MarkError> {
        let places = self.place_by(|value| value.value)?;
        Ok(places.into_iter().map(Point3::from).collect())
    }

    pub(crate) fn place_by(&self, value: impl Fn(&Value) -> f64) -> Result<Vec<[f64; 3]>, MarkError> {
        let mut places = vec![[0.0; 3]; self.names.len()];
        for &index in &self.order {
            let plain = self.marks[index].try_map(|&n| Ok::<usize, MarkError>(n), |v| Ok(value(v)))?;
            places[index] = find(&plain, &places).map_err(|trouble| self.explain(index, &trouble))?;
        }
        Ok(places)
    }

    pub(crate) fn explain(&self, index: usize, trouble: &Trouble) -> MarkError {
        let point = self.names[index].clone();
        let name = |i: &usize| self.names[*i].clone();
        match trouble {
            Trouble::SamePoint(a, b) => MarkError::SamePoint {
                point,
                a: name(a),
                b: name(b),
            },
            Trouble::Parallel([a, b], [c, d]) => MarkError::LinesParallel {
                point,
                first: [name(a), name(b)],
                second: [name(c), name(d)],
            },
            Trouble::Short { a, b, by } => MarkError::ArcsDoNotReach {
                point,
                a: name(a),
                b: name(b),
                short_by_mm: *by,
            },
            Trouble::Inside { inner, outer, gap } => MarkError::ArcInsideArc {
                point,
                inner: name(inner),
                outer: name(outer),
                gap_mm: *gap,
            },
            Trouble::TangentInside { from, round, by } => MarkError::TangentInside {
                point,
                from: name(from),
                round: name(round),
                inside_by_mm: *by,
            },
        }
    }
}

fn check_value(point: &str, value: &Value) -> Result<Value, MarkError> {
    let sd = match value.sure {
        Sure::Sd(sd) => sd,
        Sure::Exact | Sure::Start => 1.0,
    };
    if value.value.is_finite() && sd.is_finite() && sd > 0.0 {
        Ok(*value)
    } else {
        Err(MarkError::NotAReading {
            point: point.to_owned(),
            value: value.value,
            sd,
            about: value.about,
        })
    }
}

fn check_distances<N>(point: &str, mark: &Mark<N, Value>) -> Result<(), MarkError> {
    let distances = match mark {
        Mark::Swing { ra, rb, .. } => vec![ra, rb],
        Mark::Polar { reach, .. } => vec![reach],
        Mark::Tangent { radius, .. } => vec![radius],
        _ => vec![],
    };
    match distances.iter().find(|v| v.value < -SAME_POINT_MM) {
        None => Ok(()),
        Some(v) => Err(MarkError::BelowZero {
            point: point.to_owned(),
            value_mm: v.value,
            about: v.about,
        }),
    }
}

/// Each point after those it is found from; among those that are free, the order given.
fn order(names: &[String], marks: &[Mark<usize, Value>]) -> Result<Vec<usize>, MarkError> {
    #[derive(Clone, Copy, PartialEq)]
    enum Seen {
        Not,
        Open,
        Done,
    }
    let mut seen = vec![Seen::Not; marks.len()];
    let mut order = Vec::with_capacity(marks.len());
    for root in 0..marks.len() {
        if seen[root] != Seen::Not {
            continue;
        }
        // Walked with a stack of our own: a long chain of points must not exhaust the thread's.
        let mut trail = vec![(root, 0)];
        seen[root] = Seen::Open;
        while let Some(&mut (point, ref mut next)) = trail.last_mut() {
            let parents = marks[point].parents();
            match parents.get(*next) {
                None => {
                    seen[point] = Seen::Done;
                    order.push(point);
                    trail.pop();
                }
                Some(&&parent) => {
                    *next += 1;
                    match seen[parent] {
                        Seen::Done => {}
                        Seen::Not => {
                            seen[parent] = Seen::Open;
                            trail.push((parent, 0));
                        }
                        Seen::Open => {
                            let from = trail.iter().position(|&(p, _)| p == parent).unwrap_or(0);
                            return Err(MarkError::Circle {
                                points: trail[from..].iter().map(|&(p, _)| names[p].clone()).collect(),
                            });
                        }
                    }
                }
            }
        }
    }
    Ok(order)
}
