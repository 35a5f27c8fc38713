//! The drawing of the mark-out: of a job that was worked out, or of what is sound in files that stop it.

use std::path::Path;

use draw::{
    MarkedCrease, MarkedOpening, MarkedOut, MarkedOutline, MarkedPoint, MarkedReading, MarkedSpan,
    mark_out_svg,
};
use plane::Point;
use sheet::{MarkKind, Mockup, OpeningShape};

use crate::files::Wrong;
use crate::files::model::{Design, MarkDefKind, Place, ReadingDef, ReadingOf, Sum};
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
            Err(more) => {
                // What only follows from a point that has no place is told with the point.
                let follows = follows(&self.0.design, places);
                let sizes = pattern::size_wrongs(&self.0.design, &self.0.scope);
                for wrong in [more, sizes].concat() {
                    if !follows.contains(&wrong.at) && !wrongs.contains(&wrong) {
                        wrongs.push(wrong);
                    }
                }
                marked.outline = match outline::outline(&self.0.design, &self.0.scope, places) {
                    Ok(outline) => MarkedOutline {
                        edges: outline.segments().collect(),
                        sound: true,
                    },
                    Err(_) => MarkedOutline {
                        edges: outline::edges(&self.0.design, &self.0.scope, places),
                        sound: false,
                    },
                };
                marked.openings = self.openings(places);
                marked.scribed = self.scribed(places);
            }
        }
        (marked, wrongs)
    }

    /// The mock-up, or everything that stands against it but an outline that is not begun.
    fn mockup(&self, places: &Places) -> Result<Mockup, Vec<Wrong>> {
        let SoundFiles {
            book,
            design,
            shop,
            scope,
            ..
        } = self.0;
        let setting = setting::setting(book, design, shop.as_ref(), scope);
        let begun = !design.outline.through.is_empty();
        let setting = match setting {
            Ok(setting) => setting,
            Err(wrongs) => {
                let outline = outline::outline(design, scope, places).err().filter(|_| begun);
                return Err([wrongs, outline.unwrap_or_default()].concat());
            }
        };
        let least_slot_mm = judge::least_slot_mm(book, shop.as_ref(), scope);
        pattern::mockup(book, design, scope, places, &setting, least_slot_mm).map_err(|wrongs| {
            if begun {
                return wrongs;
            }
            let of_outline = outline::outline(design, scope, places).err().unwrap_or_default();
            let others = wrongs.into_iter().filter(|wrong| !of_outline.contains(wrong));
            others.collect()
        })
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

    /// Each opening by itself, as far as it is sound; what is wrong with one is told with the mock-up.
    fn openings(&self, places: &Places) -> Vec<MarkedOpening> {
        let mut openings = Vec::new();
        let mut push = |name: &str, shape: OpeningShape| {
            openings.push(MarkedOpening {
                name: name.to_owned(),
                shape,
            });
        };
        for hole in &self.0.design.holes {
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
            if let (Some(from), Some(to), Ok(width_mm)) = (
                places.get(&slot.from.value),
                places.get(&slot.to.value),
                self.0.scope.size_mm(&slot.width, "the width"),
            ) {
                push(&slot.name.value, OpeningShape::Slot { from, to, width_mm });
            }
        }
        for window in &self.0.design.windows {
            let outlines = pattern::window(window, &self.0.scope, places, None).unwrap_or_default();
            for outline in outlines {
                push(&window.name.value, OpeningShape::Window(outline));
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
                index: self.0.reading_rows.get(index).copied()?,
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

/// Where points are named that are marked out and have no place.
fn follows(design: &Design, places: &Places) -> Vec<Place> {
    let has_none = |name: &&str| places.get(name).is_none();
    let named = points::named(design).into_iter();
    named
        .filter(|(names, _)| names.iter().any(&has_none))
        .map(|(_, at)| at.clone())
        .collect()
}

/// As typed, with the unit of the file where a number stands bare.
fn with_unit(sum: &Sum) -> String {
    let text = sum.value.text();
    match sum.value.bare_unit() {
        Some(unit) if sum.value.is_bare() => format!("{} {}", text.trim(), unit.symbol()),
        _ => text.trim().to_owned(),
    }
}
