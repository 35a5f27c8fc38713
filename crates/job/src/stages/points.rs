//! From the points and readings of the design to places in the plane, by the survey.

use std::collections::BTreeMap;

use handbook::Handbook;
use plane::Point;
use survey::{AdjustError, Adjusted, Mark, MarkError, MarkOut, Reading, ReadingError};

use crate::files::model::{
    ArcDef, Design, HoleDef, Line, MarkDefKind, Name, Place, PointHow, ReadingOf, Shop, WindowShape,
};
use crate::files::{Wrong, nearest};

use super::scope::Scope;
use super::teller::Teller;

/// What a number in the files is, for everything the survey says of it.
#[derive(Debug, Clone)]
pub(crate) struct Told {
    /// "x of A", "A-D".
    pub label: String,
    /// As typed.
    pub typed: String,
    /// Where.
    pub at: Place,
    /// The instrument that it is taken to be read with.
    pub with: String,
    /// What is added to the number to come from edges of holes to their middles, mm; 0 of all else.
    pub added_mm: f64,
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
        Self::standing(marked, adjusted.points.iter().map(|point| point.xy()))
    }

    /// The points of a mark-out where they are, in its order.
    fn standing(marked: &Marked, places: impl Iterator<Item = Point>) -> Self {
        let names = marked.mark_out.names().iter().cloned();
        Self {
            by_name: names.zip(places).collect(),
        }
    }

    /// Where a point is, if it has a place.
    pub(crate) fn get(&self, name: &str) -> Option<Point> {
        self.by_name.get(name).copied()
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

/// The points and readings that are sound.
#[derive(Debug, Clone)]
pub(crate) struct SoundMarks {
    /// Without what cannot be found.
    pub marked: Marked,
    /// After an adjustment, or as the numbers stand where there is none.
    pub places: Places,
    /// What is wrong with the rest.
    pub wrongs: Vec<Wrong>,
}

/// The same as [`mark`] and [`adjust`], of what is sound.
pub(crate) fn sound_marks(
    book: &Handbook,
    design: &Design,
    shop: Option<&Shop>,
    scope: &Scope,
    hole_dia_mm: &dyn Fn(&HoleDef) -> Result<f64, Wrong>,
) -> SoundMarks {
    let mut teller = Teller {
        book,
        shop,
        design,
        scope,
        told: Vec::new(),
        wrongs: Vec::new(),
    };
    let (mut points, mut missing) = (Vec::new(), Vec::new());
    for point in &design.points {
        let before = teller.wrongs.len();
        let mark = teller.mark(point);
        if teller.wrongs.len() == before {
            points.push((point.name.value.clone(), mark));
        } else {
            missing.push(point.name.value.clone());
        }
    }
    let sound = survey::sound_mark_out(points, &missing);
    let mut holes = BTreeMap::new();
    for hole in &design.holes {
        match hole_dia_mm(hole) {
            Ok(dia) => {
                holes.insert(hole.name.value.clone(), (hole.at.value.clone(), dia));
            }
            Err(wrong) => teller.wrongs.push(wrong),
        }
    }
    let mut readings = Vec::new();
    for def in &design.readings {
        let before = teller.wrongs.len();
        let reading = teller.reading(def, &holes);
        let stands = |name: &&String| sound.mark_out.index_of(name).is_some();
        readings.extend(
            reading.filter(|reading| teller.wrongs.len() == before && reading.of.names().iter().all(stands)),
        );
    }
    let mut wrongs = teller.wrongs;
    unknown_points(design, &mut wrongs);
    for left in &sound.left_out {
        // A name that no point has is told above, where it is used.
        let told = matches!(&left.why, MarkError::Unknown { .. }) && !left.follows;
        let wrong = mark_wrong(&left.why, design);
        if !told && !wrongs.contains(&wrong) {
            wrongs.push(wrong);
        }
    }
    let marked = Marked {
        mark_out: sound.mark_out,
        readings,
        told: teller.told,
    };
    let adjusted = match adjust(&marked, design) {
        Ok(adjusted) => Some(adjusted),
        Err(wrong) => {
            if !marked.mark_out.names().is_empty() {
                wrongs.push(wrong);
            }
            None
        }
    };
    let places = match &adjusted {
        Some(adjusted) => Places::of(&marked, adjusted),
        None => {
            let places = marked.mark_out.place().unwrap_or_default();
            Places::standing(&marked, places.iter().map(|place| place.xy()))
        }
    };
    SoundMarks {
        marked,
        places,
        wrongs,
    }
}

/// Every name of a point that is used and not marked out, each at its own place.
fn unknown_points(design: &Design, wrongs: &mut Vec<Wrong>) {
    let known: Vec<&str> = design
        .points
        .iter()
        .map(|point| point.name.value.as_str())
        .collect();
    for (names, at) in named(design) {
        for name in names.into_iter().filter(|name| !known.contains(name)) {
            let mut wrong = Wrong::new(at.clone(), format!("there is no point \"{name}\" under [points]"));
            wrong.fix = nearest(name, known.iter().copied()).map(|near| format!("\"{near}\""));
            wrongs.push(wrong);
        }
    }
}

/// The points that a design names, and where: one point at its own place, two of a line at one.
pub(crate) fn named(design: &Design) -> Vec<(Vec<&str>, &Place)> {
    fn one(name: &Name) -> (Vec<&str>, &Place) {
        (vec![&name.value], &name.at)
    }
    fn both(line: &Line) -> (Vec<&str>, &Place) {
        (line.value.iter().map(String::as_str).collect(), &line.at)
    }
    let mut found = Vec::new();
    for point in &design.points {
        match &point.how {
            PointHow::At(_) => {}
            PointHow::Offset { from, toward, .. } => found.extend([from, toward].map(one)),
            PointHow::Polar { from, of, .. } => {
                found.push(one(from));
                found.extend(of.iter().map(both));
            }
            PointHow::Swing { first, second, .. } => found.extend([&first.0, &second.0].map(one)),
            PointHow::Crossing(lines) => found.extend(lines.iter().map(both)),
            PointHow::Foot { of, on: line } | PointHow::Mirror { of, over: line } => {
                found.extend([one(of), both(line)]);
            }
            PointHow::Middle(ends) => found.extend(ends.iter().map(one)),
            PointHow::Tangent { from, round, .. } => found.extend([from, round].map(one)),
        }
    }
    for reading in &design.readings {
        match &reading.of {
            ReadingOf::Between(ends) => found.extend(ends.iter().map(one)),
            ReadingOf::Corner(three) => found.extend(three.iter().map(one)),
            ReadingOf::Off { point, line } => found.extend([one(point), both(line)]),
            ReadingOf::Lines(lines) => found.extend(lines.iter().map(both)),
            ReadingOf::Edges { .. } => {}
        }
    }
    found.extend(design.outline.through.iter().map(one));
    for (_, arc) in &design.outline.arcs {
        if let ArcDef::Via(via) = arc {
            found.push(one(via));
        }
    }
    found.extend(design.bends.iter().flat_map(|bend| &bend.line).map(one));
    found.extend(design.holes.iter().map(|hole| one(&hole.at)));
    found.extend(
        design
            .slots
            .iter()
            .flat_map(|slot| [&slot.from, &slot.to].map(one)),
    );
    for window in &design.windows {
        if let WindowShape::Points(points) = &window.shape {
            found.extend(points.iter().map(one));
        }
    }
    for mark in &design.marks {
        match &mark.kind {
            MarkDefKind::Text { at, .. } => found.push(one(at)),
            MarkDefKind::Line(ends) => found.extend(ends.iter().map(one)),
        }
    }
    found.extend(design.panels.iter().map(|(_, at)| one(at)));
    found.extend(design.seams.iter().flat_map(|seam| &seam.edges).map(both));
    found
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
