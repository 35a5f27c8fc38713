//! All the points of a job: names looked up, order found, places drawn.

use std::collections::BTreeMap;

use nalgebra::Point3;

use crate::SAME_POINT_MM;
use crate::find::{Trouble, find};
use crate::mark::{Mark, Sure, Value};
use crate::mark_error::MarkError;

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
        let mut by_name = BTreeMap::new();
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
