//! Numbers of the design as values of the survey: each with its instrument's doubt, or exact where it is meant.

use std::collections::BTreeMap;

use handbook::Handbook;
use survey::{Mark, Of, Reading, Value};

use crate::files::model::{Design, Line, Name, PointDef, PointHow, ReadingDef, ReadingOf, Shop, Side, Sum};
use crate::files::{Wrong, nearest};

use super::instrument::{Doubt, Read, doubt, usual};
use super::points::Told;
use super::scope::Scope;

/// Reads numbers as values of the survey.
pub(super) struct Teller<'a> {
    pub(super) book: &'a Handbook,
    pub(super) shop: Option<&'a Shop>,
    pub(super) design: &'a Design,
    pub(super) scope: &'a Scope,
    pub(super) told: Vec<Told>,
    pub(super) wrongs: Vec<Wrong>,
}

/// What a number measures, for the choice of an instrument where none is named.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Sort {
    Coordinate,
    Distance,
    Angle,
}

impl Sort {
    fn usual(self) -> &'static str {
        match self {
            Sort::Coordinate => "grid paper",
            Sort::Distance => "tape",
            Sort::Angle => "angle finder",
        }
    }
}

/// A number of a point: what it is called, its sum, and how it is taken.
struct Number<'a> {
    label: String,
    sum: &'a Sum,
    sort: Sort,
    with: Option<&'a Name>,
    /// Meant, not measured.
    exact: bool,
    hook: bool,
    /// What is added to come from edges of holes to their middles, mm.
    added_mm: f64,
}

impl Teller<'_> {
    /// A number as a value; a fault is noted and 0 stands in for it.
    fn value(&mut self, number: Number<'_>) -> Value {
        match self.try_value(&number) {
            Ok(value) => value,
            Err(wrong) => {
                self.wrongs.push(wrong);
                Value::exact(0.0, 0)
            }
        }
    }

    fn try_value(&mut self, number: &Number<'_>) -> Result<Value, Wrong> {
        let value = match number.sort {
            Sort::Angle => self.scope.angle_rad(number.sum)?,
            _ => self.scope.length_mm(number.sum)?,
        };
        let about = self.told.len();
        // A sum on measures is what the designer means; a plain 0 is where the axes were put. Neither is a reading.
        let meant =
            number.exact || !number.sum.value.is_plain() || (value == 0.0 && number.sort != Sort::Angle);
        let (sd, with) = self.instrument_sd(number, value)?;
        self.told.push(Told {
            label: number.label.clone(),
            typed: number.sum.value.text().to_owned(),
            at: number.sum.at.clone(),
            with,
            added_mm: number.added_mm,
        });
        Ok(match sd {
            Some(sd) if !meant => Value::read(value, sd, about),
            _ => Value::exact(value, about),
        })
    }

    /// The standard deviation of the instrument for this number, none when it is exact; and which instrument it is.
    fn instrument_sd(&self, number: &Number<'_>, value: f64) -> Result<(Option<f64>, String), Wrong> {
        let angle = number.sort == Sort::Angle;
        let read = Read {
            value,
            angle,
            hook: number.hook,
        };
        if let Some(name) = number.with.or(self.design.instrument.as_ref()) {
            match doubt(self.book, self.shop, self.scope, name, read)? {
                Doubt::Sd(sd) => return Ok((Some(sd), name.value.clone())),
                Doubt::Exact => return Ok((None, name.value.clone())),
                // What reads the lengths of a whole design need not read its angles too.
                Doubt::NotThisKind if angle && number.with.is_none() => {}
                Doubt::NotThisKind => {
                    let kind = if angle { "angles" } else { "lengths" };
                    let wrong = Wrong::new(name.at.clone(), format!("the {} reads no {kind}", name.value));
                    return Err(wrong.expected(if angle {
                        "an angle finder"
                    } else {
                        "a tape, rule, caliper or grid paper"
                    }));
                }
            }
        }
        let found = self
            .book
            .instrument(number.sort.usual())
            .map_err(|error| Wrong::new(number.sum.at.clone(), error.to_string()))?;
        let sd = match usual(&found, read) {
            Doubt::Sd(sd) => Some(sd),
            Doubt::Exact | Doubt::NotThisKind => None,
        };
        Ok((sd, number.sort.usual().to_owned()))
    }

    pub(super) fn mark(&mut self, point: &PointDef) -> Mark {
        let name = &point.name.value;
        let with = point.with.as_ref();
        // A point one of whose numbers is a sum on measures is designed, and so are its other numbers.
        let exact = point.exact || point.how.sums().iter().any(|sum| !sum.value.is_plain());
        let number = |label: String, sum, sort| Number {
            label,
            sum,
            sort,
            with,
            exact,
            hook: false,
            added_mm: 0.0,
        };
        let pair = |line: &Line| line.value.clone();
        match &point.how {
            PointHow::At([x, y]) => Mark::At {
                x: self.value(number(format!("x of {name}"), x, Sort::Coordinate)),
                y: self.value(number(format!("y of {name}"), y, Sort::Coordinate)),
            },
            PointHow::Offset {
                from,
                toward,
                along,
                off,
            } => {
                let base = format!("{}-{}", from.value, toward.value);
                Mark::Offset {
                    from: from.value.clone(),
                    toward: toward.value.clone(),
                    along: self.value(number(format!("{name} along {base}"), along, Sort::Distance)),
                    off: match off {
                        Some(off) => self.value(number(format!("{name} off {base}"), off, Sort::Distance)),
                        None => Value::exact(0.0, 0),
                    },
                }
            }
            PointHow::Polar {
                from,
                reach,
                angle,
                of,
            } => Mark::Polar {
                from: from.value.clone(),
                reach: self.value(number(format!("{}-{name}", from.value), reach, Sort::Distance)),
                angle: self.value(number(format!("angle of {name}"), angle, Sort::Angle)),
                of: of.as_ref().map(pair),
            },
            PointHow::Swing { first, second, side } => Mark::Swing {
                a: first.0.value.clone(),
                ra: self.value(number(
                    format!("{}-{name}", first.0.value),
                    &first.1,
                    Sort::Distance,
                )),
                b: second.0.value.clone(),
                rb: self.value(number(
                    format!("{}-{name}", second.0.value),
                    &second.1,
                    Sort::Distance,
                )),
                side: survey_side(*side),
            },
            PointHow::Crossing([first, second]) => Mark::Crossing {
                first: pair(first),
                second: pair(second),
            },
            PointHow::Foot { of, on } => Mark::Foot {
                of: of.value.clone(),
                on: pair(on),
            },
            PointHow::Middle([a, b]) => Mark::Middle([a.value.clone(), b.value.clone()]),
            PointHow::Mirror { of, over } => Mark::Mirror {
                of: of.value.clone(),
                over: pair(over),
            },
            PointHow::Tangent {
                from,
                round,
                radius,
                side,
            } => Mark::Tangent {
                from: from.value.clone(),
                round: round.value.clone(),
                radius: self.value(number(
                    format!("radius round {}", round.value),
                    radius,
                    Sort::Distance,
                )),
                side: survey_side(*side),
            },
        }
    }

    pub(super) fn reading(
        &mut self,
        reading: &ReadingDef,
        holes: &BTreeMap<String, (String, f64)>,
    ) -> Option<Reading> {
        let with = reading.with.as_ref();
        let number = |label: String, sort| Number {
            label,
            sum: &reading.read,
            sort,
            with,
            exact: false,
            hook: reading.hook,
            added_mm: 0.0,
        };
        Some(match &reading.of {
            ReadingOf::Between([a, b]) => {
                let value = self.value(number(format!("{}-{}", a.value, b.value), Sort::Distance));
                Reading::new(Of::Distance([a.value.clone(), b.value.clone()]), value)
            }
            ReadingOf::Corner([a, b, c]) => {
                let value = self.value(number(
                    format!("corner {}-{}-{}", a.value, b.value, c.value),
                    Sort::Angle,
                ));
                Reading::new(
                    Of::Corner([a.value.clone(), b.value.clone(), c.value.clone()]),
                    value,
                )
            }
            ReadingOf::Off { point, line } => {
                let label = format!("{} off {}-{}", point.value, line.value[0], line.value[1]);
                let value = self.value(number(label, Sort::Distance));
                Reading::new(
                    Of::Off {
                        point: point.value.clone(),
                        line: line.value.clone(),
                    },
                    value,
                )
            }
            ReadingOf::Lines([first, second]) => {
                let label = format!("{} to {}", first.value.join("-"), second.value.join("-"));
                let value = self.value(number(label, Sort::Angle));
                Reading::new(Of::Between(first.value.clone(), second.value.clone()), value)
            }
            ReadingOf::Edges { holes: [a, b], far } => {
                let one = self.hole(a, holes)?;
                let two = self.hole(b, holes)?;
                let which = if *far { "far" } else { "near" };
                let label = format!("{which} edges of {} and {}", a.value, b.value);
                let radii = (one.1 + two.1) / 2.0;
                let added_mm = if *far { -radii } else { radii };
                let mut value = self.value(Number {
                    added_mm,
                    ..number(label, Sort::Distance)
                });
                value.value += added_mm;
                Reading::new(Of::Distance([one.0, two.0]), value)
            }
        })
    }

    fn hole(&mut self, name: &Name, holes: &BTreeMap<String, (String, f64)>) -> Option<(String, f64)> {
        let found = holes.get(&name.value).cloned();
        if found.is_none() {
            let mut wrong = Wrong::new(
                name.at.clone(),
                format!("there is no round hole \"{}\"", name.value),
            );
            wrong.fix =
                nearest(&name.value, holes.keys().map(String::as_str)).map(|near| format!("\"{near}\""));
            self.wrongs.push(wrong);
        }
        found
    }
}

fn survey_side(side: Side) -> survey::Side {
    match side {
        Side::Left => survey::Side::Left,
        Side::Right => survey::Side::Right,
    }
}
