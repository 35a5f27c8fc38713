//! The drawing of the mark-out: of a job that was worked out, or of what is sound in files that stop it.

use std::path::Path;

use draw::{
    MarkedCrease, MarkedOpening, MarkedOut, MarkedOutline, MarkedPoint, MarkedReading, MarkedSpan,
    mark_out_svg,
};
use plane::Point;
use sheet::{MarkKind, Mockup, OpeningShape};
use units::Expr;

use crate::files::Wrong;
use crate::files::model::{MarkDefKind, Name, ReadingDef, ReadingOf, Sum};
use crate::folder::Folder;
use crate::judge;
use crate::run::Outcome;
use crate::sound_files::SoundFiles;
use crate::stages::outline;
use crate::stages::pattern::{self, way_word};
use crate::stages::points::{self, Places};
use crate::stages::setting;
use crate::tell;

/// So many faults are told beneath the drawing; the rest are counted.
const MOST_TOLD: usize = 12;

/// The mark-out of files that may be unfinished.
#[derive(Debug, Clone)]
pub struct MarkOutShown {
    /// The drawing of what is sound.
    pub svg: String,
    /// What is wrong with the rest.
    pub wrongs: Vec<Wrong>,
}

/// The drawing of a job that was worked out, with the measures that were found.
pub(super) fn of_outcome(outcome: &Outcome) -> String {
    let files = SoundFiles::worked_out(outcome);
    mark_out_svg(&Grounds(&files).marked().0)
}

/// Marks out what is sound of a job's files, whatever stops it later; measures that are to be found stand at their starts.
/// None of a job that this program does not help with.
pub fn mark_out(folder: &Folder) -> Option<MarkOutShown> {
    let (mut marked, wrongs) = match SoundFiles::read(folder) {
        Ok(files) if files.is_refused() => return None,
        Ok(files) => {
            let (marked, more) = Grounds(&files).marked();
            (marked, [files.wrongs, more].concat())
        }
        Err(wrongs) => (MarkedOut::default(), wrongs),
    };
    let wrongs: Vec<Wrong> = tell::ordered(&wrongs).into_iter().cloned().collect();
    marked.not_drawn = not_drawn(folder, &wrongs);
    Some(MarkOutShown {
        svg: mark_out_svg(&marked),
        wrongs,
    })
}

/// What is told beneath the drawing.
fn not_drawn(folder: &Folder, wrongs: &[Wrong]) -> Vec<String> {
    let told = wrongs
        .iter()
        .take(MOST_TOLD)
        .map(|wrong| match tell::place(folder, &wrong.at) {
            (Some(file), Some(spot)) => {
                // A drawing says where in the job, not where the job lies on this machine.
                let file = Path::new(&file);
                let file = file.strip_prefix(&folder.root).unwrap_or(file);
                format!("{}, line {}: {}.", file.display(), spot.line, wrong.says)
            }
            _ => format!("{}.", wrong.says),
        });
    let more = wrongs.len().saturating_sub(MOST_TOLD);
    told.chain((more > 0).then(|| format!("And {more} more.")))
        .collect()
}

/// What the drawing is made from.
struct Grounds<'a>(&'a SoundFiles);

impl Grounds<'_> {
    /// Everything that has a place, and what is wrong with the rest.
    fn marked(&self) -> (MarkedOut, Vec<Wrong>) {
        let dia = |hole: &_| pattern::hole_cut(&self.0.book, &self.0.scope, hole).map(|cut| cut.dia_mm);
        let sound = points::sound_marks(
            &self.0.book,
            &self.0.design,
            self.0.shop.as_ref(),
            &self.0.scope,
            &dia,
        );
        let places = &sound.places;
        let mut wrongs = sound.wrongs;
        let mut marked = MarkedOut {
            title: self.0.design.title.value.clone(),
            points: self.points(places),
            creases: self.creases(places),
            readings: self.readings(places),
            ..MarkedOut::default()
        };
        match self.mockup(places) {
            Ok(mockup) => {
                marked.outline = MarkedOutline {
                    edges: mockup.outline.segments().collect(),
                    sound: true,
                };
                marked.openings = mockup
                    .openings
                    .iter()
                    .map(|opening| MarkedOpening {
                        name: opening.name.clone(),
                        shape: opening.shape.clone(),
                    })
                    .collect();
                marked.scribed = mockup
                    .marks
                    .iter()
                    .filter_map(|mark| match &mark.kind {
                        MarkKind::Line { from, to } => Some([*from, *to]),
                        MarkKind::Text { .. } => None,
                    })
                    .collect();
            }
            Err(_) => {
                marked.outline = match outline::outline(&self.0.design, &self.0.scope, places) {
                    Ok(outline) => MarkedOutline {
                        edges: outline.segments().collect(),
                        sound: true,
                    },
                    Err(more) => {
                        // What only follows from a point that has no place is told with the point.
                        let has_place = |name: &Name| places.get(&name.value).is_some();
                        if self.0.design.outline.through.iter().all(has_place)
                            && !self.0.design.outline.through.is_empty()
                        {
                            wrongs.extend(more);
                        }
                        MarkedOutline {
                            edges: outline::edges(&self.0.design, &self.0.scope, places),
                            sound: false,
                        }
                    }
                };
                marked.openings = self.openings(places, &mut wrongs);
                marked.scribed = self.scribed(places);
            }
        }
        (marked, wrongs)
    }

    fn mockup(&self, places: &Places) -> Result<Mockup, Vec<Wrong>> {
        let setting = setting::setting(&self.0.book, &self.0.design, self.0.shop.as_ref(), &self.0.scope)?;
        let least_slot_mm = judge::least_slot_mm(&self.0.book, self.0.shop.as_ref(), &self.0.scope);
        pattern::mockup(
            &self.0.book,
            &self.0.design,
            &self.0.scope,
            places,
            &setting,
            least_slot_mm,
        )
    }

    fn points(&self, places: &Places) -> Vec<MarkedPoint> {
        let named = self.0.design.points.iter().filter_map(|point| {
            Some(MarkedPoint {
                name: point.name.value.clone(),
                at: places.get(&point.name.value)?,
            })
        });
        named.collect()
    }

    fn creases(&self, places: &Places) -> Vec<MarkedCrease> {
        let creases = self.0.design.bends.iter().filter_map(|bend| {
            let way = way_word(bend.way.value);
            Some(MarkedCrease {
                name: bend.name.value.clone(),
                from: places.get(&bend.line[0].value)?,
                to: places.get(&bend.line[1].value)?,
                bent: match pattern::bent_rad(bend, &self.0.scope) {
                    Ok(bent_rad) => format!("{} {way}", units::deg(bent_rad)),
                    Err(_) => way.to_owned(),
                },
            })
        });
        creases.collect()
    }

    /// Each opening by itself; what is wrong with one is told.
    fn openings(&self, places: &Places, wrongs: &mut Vec<Wrong>) -> Vec<MarkedOpening> {
        let mut openings = Vec::new();
        let mut push = |name: &str, shape: OpeningShape| {
            openings.push(MarkedOpening {
                name: name.to_owned(),
                shape,
            });
        };
        for hole in &self.0.design.holes {
            // A diameter that is not known is told with the points.
            if let (Some(at), Ok(cut)) = (
                places.get(&hole.at.value),
                pattern::hole_cut(&self.0.book, &self.0.scope, hole),
            ) {
                push(
                    &hole.name.value,
                    OpeningShape::Round {
                        at,
                        dia_mm: cut.dia_mm,
                    },
                );
            }
        }
        for slot in &self.0.design.slots {
            match (
                places.get(&slot.from.value),
                places.get(&slot.to.value),
                self.0.scope.size_mm(&slot.width, "the width"),
            ) {
                (Some(from), Some(to), Ok(width_mm)) => {
                    push(&slot.name.value, OpeningShape::Slot { from, to, width_mm });
                }
                (_, _, Err(wrong)) => wrongs.push(wrong),
                _ => {}
            }
        }
        for window in &self.0.design.windows {
            match pattern::window(window, &self.0.scope, places, None) {
                Ok(outlines) => {
                    for outline in outlines {
                        push(&window.name.value, OpeningShape::Window(outline));
                    }
                }
                Err(wrong) => wrongs.push(wrong),
            }
        }
        openings
    }

    fn scribed(&self, places: &Places) -> Vec<[Point; 2]> {
        let lines = self.0.design.marks.iter().filter_map(|mark| match &mark.kind {
            MarkDefKind::Line([from, to]) => Some([places.get(&from.value)?, places.get(&to.value)?]),
            MarkDefKind::Text { .. } => None,
        });
        lines.collect()
    }

    fn readings(&self, places: &Places) -> Vec<MarkedReading> {
        let rows = self.0.design.readings.iter().enumerate();
        rows.filter_map(|(index, reading)| {
            let (of, called) = self.span(reading, places)?;
            Some(MarkedReading {
                index,
                read: with_unit(&reading.read),
                called,
                of,
            })
        })
        .collect()
    }

    /// What a reading runs between, and what it is called.
    fn span(&self, reading: &ReadingDef, places: &Places) -> Option<(MarkedSpan, String)> {
        let line = |line: &[String; 2]| Some([places.get(&line[0])?, places.get(&line[1])?]);
        Some(match &reading.of {
            ReadingOf::Between([a, b]) => (
                MarkedSpan::Between([places.get(&a.value)?, places.get(&b.value)?]),
                format!("{}-{}", a.value, b.value),
            ),
            ReadingOf::Corner([a, b, c]) => (
                MarkedSpan::Corner([
                    places.get(&a.value)?,
                    places.get(&b.value)?,
                    places.get(&c.value)?,
                ]),
                format!("corner {}-{}-{}", a.value, b.value, c.value),
            ),
            ReadingOf::Off { point, line: from } => (
                MarkedSpan::Off {
                    point: places.get(&point.value)?,
                    line: line(&from.value)?,
                },
                format!("{} off {}", point.value, from.value.join("-")),
            ),
            ReadingOf::Lines([first, second]) => (
                MarkedSpan::Lines(line(&first.value)?, line(&second.value)?),
                format!("{} to {}", first.value.join("-"), second.value.join("-")),
            ),
            ReadingOf::Edges { holes: [a, b], far } => {
                let hole = |name: &str| -> Option<(Point, f64)> {
                    let hole = self.0.design.holes.iter().find(|hole| hole.name.value == name)?;
                    let cut = pattern::hole_cut(&self.0.book, &self.0.scope, hole).ok()?;
                    Some((places.get(&hole.at.value)?, cut.dia_mm / 2.0))
                };
                let ((one, one_mm), (two, two_mm)) = (hole(&a.value)?, hole(&b.value)?);
                let apart = two - one;
                let aim = apart / apart.norm().max(plane::SAME_POINT_MM);
                let out = if *far { -1.0 } else { 1.0 };
                let which = if *far { "far" } else { "near" };
                (
                    MarkedSpan::Between([one + aim * (out * one_mm), two - aim * (out * two_mm)]),
                    format!("{which} edges of {} and {}", a.value, b.value),
                )
            }
        })
    }
}

/// As typed, with the unit of the file where a number stands bare.
fn with_unit(sum: &Sum) -> String {
    let text = sum.value.text();
    match sum.value.bare_unit() {
        Some(unit) if Expr::parse(text, None).is_err() => format!("{} {}", text.trim(), unit.symbol()),
        _ => text.trim().to_owned(),
    }
}
