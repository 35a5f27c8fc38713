//! A mark-out and its readings as one least-squares problem.
//!
//! A mark whose values are all measured leaves its coordinates as unknowns and its values become readings of them. A
//! mark with an exact value is a function of its parents and of the values that are not exact, each of which is an
//! unknown with a reading of itself. Constructed points are functions of their parents and add no unknowns; slopes
//! chain through them.

use std::collections::{BTreeMap, BTreeSet};
use std::convert::Infallible;

use crate::find::find;
use crate::least_squares::{Model, Row};
use crate::mark::{Mark, Sure, Value};
use crate::mark_out::MarkOut;
use crate::number::{Number, Sloped};
use crate::reading::{Of, Reading};

/// Where a number of a mark comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Source {
    Known(f64),
    Unknown(usize),
}

/// What one row reads.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Watched {
    /// Something of the points.
    Points(Of<usize>),
    /// An unknown value of a mark, itself.
    Unknown { unknown: usize, is_angle: bool },
}

impl Watched {
    pub fn is_angle(&self) -> bool {
        match self {
            Self::Points(of) => of.is_angle(),
            Self::Unknown { is_angle, .. } => *is_angle,
        }
    }
}

/// One row: what it reads and the value read.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Observed {
    pub watched: Watched,
    pub value: Value,
    /// Left out of the fit, as a suspect.
    pub left_out: bool,
}

#[derive(Debug, Clone)]
pub(crate) struct Network {
    marks: Vec<Mark<usize, Source>>,
    order: Vec<usize>,
    /// The point that each unknown belongs to.
    pub owner: Vec<usize>,
    pub start: Vec<f64>,
    pub observed: Vec<Observed>,
}

/// What keeps a reading from being used.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ReadingError {
    /// It is of a point that is not marked out.
    #[error("a reading is of {unknown}, which is not marked out")]
    Unknown {
        /// The name.
        unknown: String,
        /// The caller's number for the reading.
        about: usize,
    },
    /// It is no measurement: not finite, or its standard deviation is not above zero.
    #[error("{value} with standard deviation {sd} is not a reading")]
    NotAReading {
        /// The value.
        value: f64,
        /// Its standard deviation.
        sd: f64,
        /// The caller's number for it.
        about: usize,
    },
}

impl Network {
    /// Rows come in the order of the points, values of each mark in the order of its fields, then the readings.
    pub fn new(mark_out: &MarkOut, places: &[[f64; 3]]) -> Self {
        let mut network = Self {
            marks: Vec::with_capacity(places.len()),
            order: mark_out.order.clone(),
            owner: Vec::new(),
            start: Vec::new(),
            observed: Vec::new(),
        };
        for (index, mark) in mark_out.marks.iter().enumerate() {
            let compiled = network.compile(index, mark, places[index]);
            network.marks.push(compiled);
        }
        network
    }

    pub fn add(&mut self, mark_out: &MarkOut, readings: &[Reading]) -> Result<(), ReadingError> {
        let by_name: BTreeMap<&str, usize> = mark_out
            .names
            .iter()
            .enumerate()
            .map(|(i, n)| (n.as_str(), i))
            .collect();
        for reading in readings {
            let about = reading.value.about;
            let of = reading.of.try_map(|name| {
                by_name
                    .get(name.as_str())
                    .copied()
                    .ok_or_else(|| ReadingError::Unknown {
                        unknown: name.clone(),
                        about,
                    })
            })?;
            let sd = match reading.value.sure {
                Sure::Sd(sd) => sd,
                Sure::Exact | Sure::Start => 1.0,
            };
            let value = reading.value.value;
            if !(value.is_finite() && sd.is_finite() && sd > 0.0) {
                return Err(ReadingError::NotAReading { value, sd, about });
            }
            self.observe(Watched::Points(of), reading.value);
        }
        Ok(())
    }

    fn observe(&mut self, watched: Watched, value: Value) {
        self.observed.push(Observed {
            watched,
            value,
            left_out: false,
        });
    }

    fn unknown(&mut self, owner: usize, start: f64) -> usize {
        self.owner.push(owner);
        self.start.push(start);
        self.start.len() - 1
    }

    fn compile(&mut self, index: usize, mark: &Mark<usize, Value>, place: [f64; 3]) -> Mark<usize, Source> {
        let as_readings = if mark.values().iter().any(|v| v.sure == Sure::Exact) {
            None
        } else {
            readings_of(index, mark)
        };
        if let Some(readings) = as_readings {
            let x = Source::Unknown(self.unknown(index, place[0]));
            let y = Source::Unknown(self.unknown(index, place[1]));
            for (of, value) in readings {
                if value.sure != Sure::Start {
                    self.observe(Watched::Points(of), value);
                }
            }
            return Mark::At { x, y };
        }
        let angles = matches!(mark, Mark::Polar { .. });
        let mut number = 0;
        let Ok(compiled) = mark.try_map(
            |&parent| Ok::<usize, Infallible>(parent),
            |value| {
                number += 1;
                Ok(if value.sure == Sure::Exact {
                    Source::Known(value.value)
                } else {
                    let unknown = self.unknown(index, value.value);
                    if value.sure != Sure::Start {
                        let is_angle = angles && number == 2;
                        self.observe(Watched::Unknown { unknown, is_angle }, *value);
                    }
                    Source::Unknown(unknown)
                })
            },
        );
        compiled
    }

    /// Where the points are, with their slopes; `None` where a construction fails.
    pub fn points<T: Number>(&self, source: impl Fn(usize) -> T) -> Option<Vec<[T; 3]>> {
        let nowhere = [T::constant(0.0), T::constant(0.0), T::constant(0.0)];
        let mut points = vec![nowhere; self.marks.len()];
        for &index in &self.order {
            let Ok(mark) = self.marks[index].try_map(
                |&parent| Ok::<usize, Infallible>(parent),
                |value| {
                    Ok(match *value {
                        Source::Known(v) => T::constant(v),
                        Source::Unknown(i) => source(i),
                    })
                },
            );
            points[index] = find(&mark, &points).ok()?;
        }
        Some(points)
    }

    pub fn sloped_points(&self, at: &[f64]) -> Option<Vec<[Sloped; 3]>> {
        self.points(|i| Sloped::unknown(i, at[i]))
    }

    /// The pairs of points whose distance is already read or held, lower number first.
    pub fn measured_pairs(&self) -> BTreeSet<[usize; 2]> {
        let read = self.observed.iter().filter_map(|o| match o.watched {
            Watched::Points(Of::Distance(ends)) if o.value.sure != Sure::Start => Some(ends),
            _ => None,
        });
        let built = self
            .marks
            .iter()
            .enumerate()
            .flat_map(|(index, mark)| match *mark {
                Mark::Polar { from, .. } => vec![[from, index]],
                Mark::Swing { a, b, .. } => vec![[a, index], [b, index]],
                _ => vec![],
            });
        read.chain(built).map(|[a, b]| [a.min(b), a.max(b)]).collect()
    }

    fn row(&self, observed: &Observed, points: &[[Sloped; 3]], at: &[f64]) -> Row {
        let read = observed.value.value;
        let weight = match observed.value.sure {
            _ if observed.left_out => 0.0,
            Sure::Exact => f64::INFINITY,
            Sure::Sd(sd) => 1.0 / (sd * sd),
            Sure::Start => 0.0,
        };
        match &observed.watched {
            Watched::Points(of) => {
                let model = of.at(points);
                Row {
                    misfit: of.difference(model.value - read),
                    weight,
                    slopes: model.slopes,
                }
            }
            Watched::Unknown { unknown, .. } => Row {
                misfit: at[*unknown] - read,
                weight,
                slopes: vec![(*unknown, 1.0)],
            },
        }
    }
}

impl Model for Network {
    fn unknowns(&self) -> usize {
        self.start.len()
    }

    fn rows(&self, at: &[f64]) -> Option<Vec<Row>> {
        let points = self.sloped_points(at)?;
        Some(
            self.observed
                .iter()
                .map(|observed| self.row(observed, &points, at))
                .collect(),
        )
    }

    fn weights_are_known(&self) -> bool {
        true
    }
}

/// The readings that a mark's own values are, for the marks that leave their coordinates unknown.
fn readings_of(index: usize, mark: &Mark<usize, Value>) -> Option<Vec<(Of<usize>, Value)>> {
    Some(match *mark {
        Mark::Offset {
            from,
            toward,
            along,
            off,
        } => {
            let line = [from, toward];
            vec![
                (Of::Along { point: index, line }, along),
                (Of::Off { point: index, line }, off),
            ]
        }
        Mark::Polar {
            from,
            reach,
            angle,
            of,
        } => {
            let arm = [from, index];
            let turn = match of {
                None => Of::Direction(arm),
                Some(line) => Of::From(line, arm),
            };
            vec![(Of::Distance(arm), reach), (turn, angle)]
        }
        Mark::Swing { a, ra, b, rb, .. } => {
            vec![(Of::Distance([a, index]), ra), (Of::Distance([b, index]), rb)]
        }
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mark::Side;

    fn v(value: f64) -> Value {
        Value::read(value, 1.0, 0)
    }

    fn pair(a: &str, b: &str) -> [String; 2] {
        [a.into(), b.into()]
    }

    /// Every kind of mark, with and without exact values, and every kind of reading.
    fn everything() -> (MarkOut, Network) {
        let swing = |rb| Mark::Swing {
            a: "A".into(),
            ra: v(180.0),
            b: "B".into(),
            rb,
            side: Side::Right,
        };
        let polar = |angle| Mark::Polar {
            from: "A".into(),
            reach: v(70.0),
            angle,
            of: Some(pair("B", "C")),
        };
        let offset = |off| Mark::Offset {
            from: "B".into(),
            toward: "C".into(),
            along: v(44.0),
            off,
        };
        let at = |x, y| Mark::At { x: v(x), y: v(y) };
        let mark_out = MarkOut::new(
            [
                ("A", at(3.0, 5.0)),
                ("B", at(290.0, 20.0)),
                (
                    "C",
                    Mark::InSpace {
                        x: v(210.0),
                        y: v(160.0),
                        z: v(35.0),
                    },
                ),
                ("swing", swing(v(240.0))),
                ("swing held", swing(Value::exact(236.0, 0))),
                ("polar", polar(v(0.4))),
                ("polar held", polar(Value::exact(0.5, 0))),
                ("offset", offset(v(-12.0))),
                ("offset held", offset(Value::exact(-17.0, 0))),
                (
                    "crossing",
                    Mark::Crossing {
                        first: pair("A", "C"),
                        second: pair("swing held", "polar"),
                    },
                ),
                (
                    "foot",
                    Mark::Foot {
                        of: "crossing".into(),
                        on: pair("B", "C"),
                    },
                ),
                ("middle", Mark::Middle(pair("foot", "C"))),
                (
                    "mirror",
                    Mark::Mirror {
                        of: "offset held".into(),
                        over: pair("A", "swing"),
                    },
                ),
                (
                    "tangent",
                    Mark::Tangent {
                        from: "mirror".into(),
                        round: "C".into(),
                        radius: v(20.0),
                        side: Side::Left,
                    },
                ),
            ]
            .map(|(name, mark)| (name.to_owned(), mark))
            .into(),
        )
        .expect("a good mark-out");
        let n = |i: usize| mark_out.names[i % mark_out.names.len()].clone();
        let mut readings = Vec::new();
        for i in 0..mark_out.names.len() {
            let (p, q, r, s) = (n(i), n(i + 1), n(i + 4), n(i + 9));
            let line = [q.clone(), r.clone()];
            for of in [
                Of::X(p.clone()),
                Of::Y(p.clone()),
                Of::Z(p.clone()),
                Of::Height([p.clone(), q.clone()]),
                Of::Distance([p.clone(), q.clone()]),
                Of::Corner([p.clone(), q.clone(), r.clone()]),
                Of::Turn([p.clone(), q.clone(), r.clone()]),
                Of::Direction([p.clone(), q.clone()]),
                Of::Between([p.clone(), q.clone()], [r.clone(), s.clone()]),
                Of::From([p.clone(), q.clone()], [r.clone(), s.clone()]),
                Of::Off {
                    point: p.clone(),
                    line: line.clone(),
                },
                Of::Along { point: p, line },
            ] {
                readings.push(Reading::new(of, v(0.0)));
            }
        }
        let places = mark_out.place_by(|value| value.value).expect("it can be drawn");
        let mut network = Network::new(&mark_out, &places);
        network.add(&mark_out, &readings).expect("good readings");
        (mark_out, network)
    }

    #[test]
    fn slopes_of_every_mark_and_reading_agree_with_small_differences() {
        let (_, network) = everything();
        let rows = network.rows(&network.start).expect("it can be drawn");
        let step = 1e-5;
        for unknown in 0..network.unknowns() {
            let moved = |by: f64| {
                let mut at = network.start.clone();
                at[unknown] += by;
                network.rows(&at).expect("it can be drawn")
            };
            for ((row, more), less) in rows.iter().zip(moved(step)).zip(moved(-step)) {
                let slope = row.slopes.iter().find(|s| s.0 == unknown).map_or(0.0, |s| s.1);
                let difference = (more.misfit - less.misfit) / (2.0 * step);
                assert!(
                    (slope - difference).abs() < 1e-6 * (1.0 + slope.abs()),
                    "{slope} against {difference} for unknown {unknown}"
                );
            }
        }
    }

    #[test]
    fn the_network_starts_where_the_mark_out_is_drawn() {
        let (mark_out, network) = everything();
        let points = network.points(|i| network.start[i]).expect("it can be drawn");
        let places = mark_out.place().expect("it can be drawn");
        for (point, place) in points.iter().zip(&places) {
            for (start, drawn) in point.iter().zip(place.iter()) {
                assert!((start - drawn).abs() < 1e-9);
            }
        }
    }
}
