//! From the points and readings of the design to places in the plane, by the survey.

use std::collections::BTreeMap;

use handbook::Handbook;
use plane::Point;
use survey::{AdjustError, Adjusted, Mark, MarkError, MarkOut, Of, Reading, ReadingError, Value};

use crate::files::model::{
    Design, HoleDef, Line, MarkDefKind, Name, Place, PointDef, PointHow, ReadingDef, ReadingOf, Shop, Side,
    Sum, WindowShape,
};
use crate::files::{Wrong, nearest};

use super::scope::Scope;

/// What a number in the files is, for everything the survey says of it.
#[derive(Debug, Clone)]
pub(crate) struct Told {
    /// "x of A", "A-D".
    pub label: String,
    /// As typed.
    pub typed: String,
    /// Where.
    pub at: Place,
}

/// The mark-out with its readings, ready to be adjusted.
#[derive(Debug, Clone)]
pub(crate) struct Marked {
    /// How each point is found.
    pub mark_out: MarkOut,
    /// Extra readings.
    pub readings: Vec<Reading>,
    /// What each number is; the survey's `about` is an index into this.
    pub told: Vec<Told>,
}

/// Points by name.
#[derive(Debug, Clone, Default)]
pub(crate) struct Places {
    by_name: BTreeMap<String, Point>,
}

impl Places {
    /// The place of a named point.
    pub(crate) fn at(&self, name: &Name) -> Result<Point, Wrong> {
        self.by_name
            .get(&name.value)
            .copied()
            .ok_or_else(|| self.unknown(&name.value, &name.at))
    }

    fn unknown(&self, name: &str, at: &Place) -> Wrong {
        let mut wrong = Wrong::new(at.clone(), format!("there is no point \"{name}\" under [points]"));
        wrong.fix = nearest(name, self.by_name.keys().map(String::as_str)).map(|near| format!("\"{near}\""));
        wrong
    }

    /// The two ends of a line.
    pub(crate) fn line(&self, line: &Line) -> Result<[Point; 2], Wrong> {
        let find = |name: &str| {
            self.by_name
                .get(name)
                .copied()
                .ok_or_else(|| self.unknown(name, &line.at))
        };
        Ok([find(&line.value[0])?, find(&line.value[1])?])
    }

    /// The name of the point at a place.
    pub(crate) fn name_at(&self, at: Point) -> Option<&str> {
        self.by_name
            .iter()
            .find(|(_, place)| (*place - at).norm() < plane::SAME_POINT_MM)
            .map(|(name, _)| name.as_str())
    }

    /// After an adjustment.
    pub(crate) fn of(marked: &Marked, adjusted: &Adjusted) -> Self {
        let names = marked.mark_out.names().iter().cloned();
        Self {
            by_name: names
                .zip(adjusted.points.iter().map(|point| point.xy()))
                .collect(),
        }
    }
}

/// Reads numbers as values of the survey.
struct Teller<'a> {
    book: &'a Handbook,
    shop: Option<&'a Shop>,
    design: &'a Design,
    scope: &'a Scope,
    told: Vec<Told>,
    wrongs: Vec<Wrong>,
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
        let sd = self.instrument_sd(number, value)?;
        self.told.push(Told {
            label: number.label.clone(),
            typed: number.sum.value.text().to_owned(),
            at: number.sum.at.clone(),
        });
        Ok(match sd {
            Some(sd) if !meant => Value::read(value, sd, about),
            _ => Value::exact(value, about),
        })
    }

    /// The standard deviation of the instrument for this number; none when it is exact.
    fn instrument_sd(&self, number: &Number<'_>, value: f64) -> Result<Option<f64>, Wrong> {
        let angle = number.sort == Sort::Angle;
        let mut last = None;
        for name in [number.with, self.design.instrument.as_ref()]
            .into_iter()
            .flatten()
        {
            match self.sd(name, number, value)? {
                Some(sd) => return Ok(Some(sd)),
                None => last = Some(name),
            }
            if number.with.is_some() {
                break;
            }
        }
        if let (Some(name), true) = (last, number.with.is_some()) {
            let kind = if angle { "angles" } else { "lengths" };
            return Err(
                Wrong::new(name.at.clone(), format!("the {} reads no {kind}", name.value)).expected(
                    if angle {
                        "an angle finder"
                    } else {
                        "a tape, rule, caliper or grid paper"
                    },
                ),
            );
        }
        let usual = number.sort.usual();
        let found = self
            .book
            .instrument(usual)
            .map_err(|error| Wrong::new(number.sum.at.clone(), error.to_string()))?;
        let sd = if angle {
            found.angle_sd_rad()
        } else {
            found.sd_at(value, number.hook)
        };
        Ok(sd.filter(|sd| *sd > 0.0))
    }

    fn sd(&self, name: &Name, number: &Number<'_>, value: f64) -> Result<Option<f64>, Wrong> {
        let plain = |text: &str| text.to_lowercase().replace(['_', '-'], " ");
        let own = self.shop.map_or(&[][..], |shop| &shop.instruments);
        if let Some(own) = own
            .iter()
            .find(|own| plain(&own.name.value) == plain(&name.value))
        {
            let per_length = own.per_length.as_ref().map_or(0.0, |share| share.value);
            return Ok(match number.sort {
                Sort::Angle => self.scope.angle_rad(&own.sd).ok(),
                _ => self
                    .scope
                    .length_mm(&own.sd)
                    .ok()
                    .map(|sd| sd + per_length * value.abs()),
            }
            .filter(|sd| *sd > 0.0));
        }
        match self.book.instrument(&name.value) {
            Ok(found) if number.sort == Sort::Angle => Ok(found.angle_sd_rad().filter(|sd| *sd > 0.0)),
            Ok(found) => Ok(found.sd_at(value, number.hook).filter(|sd| *sd > 0.0)),
            Err(error) => {
                let known: Vec<&str> = self
                    .book
                    .instrument_names()
                    .chain(own.iter().map(|own| own.name.value.as_str()))
                    .collect();
                let mut wrong = Wrong::new(name.at.clone(), error.to_string())
                    .expected(format!("one of: {}", known.join(", ")));
                wrong.fix = nearest(&name.value, known).map(|near| format!("\"{}\"", near.replace(' ', "_")));
                Err(wrong)
            }
        }
    }

    fn mark(&mut self, point: &PointDef) -> Mark {
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

    fn reading(&mut self, reading: &ReadingDef, holes: &BTreeMap<String, (String, f64)>) -> Option<Reading> {
        let with = reading.with.as_ref();
        let number = |label: String, sort| Number {
            label,
            sum: &reading.read,
            sort,
            with,
            exact: false,
            hook: reading.hook,
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
                let mut value = self.value(number(label, Sort::Distance));
                let radii = (one.1 + two.1) / 2.0;
                value.value += if *far { -radii } else { radii };
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

/// The mark-out and its readings, from the design.
pub(crate) fn mark(
    book: &Handbook,
    design: &Design,
    shop: Option<&Shop>,
    scope: &Scope,
    hole_dia_mm: &dyn Fn(&HoleDef) -> Result<f64, Wrong>,
) -> Result<Marked, Vec<Wrong>> {
    let mut teller = Teller {
        book,
        shop,
        design,
        scope,
        told: Vec::new(),
        wrongs: Vec::new(),
    };
    let points: Vec<(String, Mark)> = design
        .points
        .iter()
        .map(|point| (point.name.value.clone(), teller.mark(point)))
        .collect();
    let mut holes = BTreeMap::new();
    if !design.readings.is_empty() {
        for hole in &design.holes {
            match hole_dia_mm(hole) {
                Ok(dia) => {
                    holes.insert(hole.name.value.clone(), (hole.at.value.clone(), dia));
                }
                Err(wrong) => teller.wrongs.push(wrong),
            }
        }
    }
    let readings: Vec<Reading> = design
        .readings
        .iter()
        .filter_map(|reading| teller.reading(reading, &holes))
        .collect();
    let mut wrongs = teller.wrongs;
    unknown_points(design, &mut wrongs);
    if !wrongs.is_empty() {
        return Err(wrongs);
    }
    match MarkOut::new(points) {
        Ok(mark_out) => Ok(Marked {
            mark_out,
            readings,
            told: teller.told,
        }),
        Err(error) => Err(vec![mark_wrong(&error, design)]),
    }
}

/// Every name of a point that is used and not marked out, each at its own place.
fn unknown_points(design: &Design, wrongs: &mut Vec<Wrong>) {
    let known: Vec<&str> = design
        .points
        .iter()
        .map(|point| point.name.value.as_str())
        .collect();
    let mut check = |name: &str, at: &Place| {
        if !known.contains(&name) {
            let mut wrong = Wrong::new(at.clone(), format!("there is no point \"{name}\" under [points]"));
            wrong.fix = nearest(name, known.iter().copied()).map(|near| format!("\"{near}\""));
            wrongs.push(wrong);
        }
    };
    let names = |point: &PointDef| -> (Vec<Name>, Vec<Line>) {
        match &point.how {
            PointHow::At(_) => (vec![], vec![]),
            PointHow::Offset { from, toward, .. } => (vec![from.clone(), toward.clone()], vec![]),
            PointHow::Polar { from, of, .. } => (vec![from.clone()], of.iter().cloned().collect()),
            PointHow::Swing { first, second, .. } => (vec![first.0.clone(), second.0.clone()], vec![]),
            PointHow::Crossing(lines) => (vec![], lines.to_vec()),
            PointHow::Foot { of, on: line } | PointHow::Mirror { of, over: line } => {
                (vec![of.clone()], vec![line.clone()])
            }
            PointHow::Middle(both) => (both.to_vec(), vec![]),
            PointHow::Tangent { from, round, .. } => (vec![from.clone(), round.clone()], vec![]),
        }
    };
    for (points, lines) in
        design
            .points
            .iter()
            .map(names)
            .chain(design.readings.iter().map(|r| match &r.of {
                ReadingOf::Between(both) => (both.to_vec(), vec![]),
                ReadingOf::Corner(three) => (three.to_vec(), vec![]),
                ReadingOf::Off { point, line } => (vec![point.clone()], vec![line.clone()]),
                ReadingOf::Lines(lines) => (vec![], lines.to_vec()),
                ReadingOf::Edges { .. } => (vec![], vec![]),
            }))
    {
        points.iter().for_each(|name| check(&name.value, &name.at));
        lines
            .iter()
            .for_each(|line| line.value.iter().for_each(|name| check(name, &line.at)));
    }
    let outline = design.outline.through.iter();
    let bends = design.bends.iter().flat_map(|bend| &bend.line);
    let holes = design.holes.iter().map(|hole| &hole.at);
    let slots = design.slots.iter().flat_map(|slot| [&slot.from, &slot.to]);
    let windows = design.windows.iter().filter_map(|window| match &window.shape {
        WindowShape::Points(points) => Some(points),
        WindowShape::Panel(_) => None,
    });
    let marks = design.marks.iter().flat_map(|mark| match &mark.kind {
        MarkDefKind::Text { at, .. } => std::slice::from_ref(at),
        MarkDefKind::Line(ends) => ends.as_slice(),
    });
    let panels = design.panels.iter().map(|(_, at)| at);
    for name in outline
        .chain(bends)
        .chain(holes)
        .chain(slots)
        .chain(windows.flatten())
        .chain(marks)
        .chain(panels)
    {
        check(&name.value, &name.at);
    }
    for line in design.seams.iter().flat_map(|seam| &seam.edges) {
        line.value.iter().for_each(|name| check(name, &line.at));
    }
}

/// Points and judgements.
pub(crate) fn adjust(marked: &Marked, design: &Design) -> Result<Adjusted, Wrong> {
    survey::adjust(
        &marked.mark_out,
        &marked.readings,
        survey::AdjustOptions::default(),
    )
    .map_err(|error| adjust_wrong(error, marked, design))
}

/// Why nothing could be adjusted, with its place.
pub(crate) fn adjust_wrong(error: AdjustError, marked: &Marked, design: &Design) -> Wrong {
    match error {
        AdjustError::Mark(error) => mark_wrong(&error, design),
        AdjustError::Reading(error) => reading_wrong(&error, marked, design),
        AdjustError::ExactConflict { about, .. } => {
            let at = marked
                .told
                .get(about)
                .map_or_else(|| design.title.at.clone(), |told| told.at.clone());
            Wrong::new(at, error.to_string()).expected("one of the exact values as a reading, or left out")
        }
        AdjustError::Loose { .. } | AdjustError::NotConverged { .. } => {
            let at = design
                .points
                .first()
                .map_or_else(|| design.title.at.clone(), |point| point.name.at.clone());
            Wrong::new(at, error.to_string()).expected("readings that hold every point in place")
        }
    }
}

fn point_place(design: &Design, point: &str) -> Place {
    let found = design.points.iter().find(|def| def.name.value == point);
    found.map_or_else(|| design.title.at.clone(), |def| def.name.at.clone())
}

fn mark_wrong(error: &MarkError, design: &Design) -> Wrong {
    let (point, expected) = match error {
        MarkError::Twice { point } => (point, "a name of its own for every point"),
        MarkError::Unknown { point, .. } => (point, "a point that is under [points]"),
        MarkError::Circle { points } => {
            let first = points.first().map_or("", String::as_str);
            return Wrong::new(point_place(design, first), error.to_string())
                .expected("one of them found from the axes");
        }
        MarkError::NotAReading { point, .. } | MarkError::BelowZero { point, .. } => {
            (point, "a length of 0 or more")
        }
        MarkError::ArcsDoNotReach { point, .. } => (
            point,
            "two lengths that add up to more than the distance of the centres",
        ),
        MarkError::ArcInsideArc { point, .. } => (
            point,
            "two lengths that differ by less than the distance of the centres",
        ),
        MarkError::LinesParallel { point, .. } => (point, "two lines that cross"),
        MarkError::SamePoint { point, .. } => (point, "two points that are apart"),
        MarkError::TangentInside { point, .. } => (point, "a point outside the circle, or a smaller radius"),
    };
    Wrong::new(point_place(design, point), error.to_string()).expected(expected)
}

fn reading_wrong(error: &ReadingError, marked: &Marked, design: &Design) -> Wrong {
    let (ReadingError::Unknown { about, .. } | ReadingError::NotAReading { about, .. }) = error;
    let at = marked.told.get(*about).map(|told| told.at.clone());
    Wrong::new(at.unwrap_or_else(|| design.title.at.clone()), error.to_string())
}
