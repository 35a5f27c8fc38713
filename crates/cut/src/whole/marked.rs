//! What the machine marks on the sheet before it cuts, in what order, and by which ways.
//!
//! A centre is marked by a cross of two strokes and not by a point: every marker can draw a line at its feed, while one that
//! is fired on the spot burns or digs a pit that nobody has said the depth of; and a punch finds where two lines cross.

use std::f64::consts::FRAC_1_SQRT_2;

use plane::{Outline, Point, Segment, Vector};

use super::tour::{Stop, tour};
use super::{PlacedPart, Running};
use crate::Of;
use crate::gcode::MarkingStep;
use crate::motion::{DriveError, MarkedLine, MarkingWork, Mover, marking_work};
use crate::order::{self, After, Candidate, Contour, Job, Leg, Search};
use crate::tracks::{Mark, MarkFor, MarkedBy};
use crate::verify::AskedMark;

/// Everything to be marked.
pub(super) struct ToMark {
    /// In the order in which it is marked.
    pub steps: Vec<MarkingStep>,
    /// As the reader is told of it, in the order of the parts.
    pub asked: Vec<AskedMark>,
    /// To where the cutting begins; none where the torch stays at the last mark.
    pub park: Option<Leg>,
}

impl ToMark {
    /// The work of it, from where the machine is set on zero.
    pub fn work(
        &self,
        home: Point,
        feed_mm_min: f64,
        mover: &Mover,
        running: &Running,
    ) -> Result<MarkingWork, DriveError> {
        let mut here = home;
        let mut lines = Vec::new();
        for step in &self.steps {
            for (stroke, line) in step.strokes.iter().enumerate() {
                let via: &[Point] = if stroke == 0 { &step.via } else { &[] };
                lines.push(MarkedLine {
                    way: [&[here], via, &[line[0]]].concat(),
                    line: *line,
                });
                here = line[1];
            }
        }
        let park = self.park.as_ref();
        let to_park = park.map_or_else(Vec::new, |leg| [&[here], leg.via.as_slice(), &[leg.to]].concat());
        marking_work(
            &lines,
            &to_park,
            feed_mm_min,
            mover,
            &running.pierce,
            &running.doubts,
        )
    }
}

/// The marks that the machine makes of all parts; none when it makes none. `job` is that of the cutting: home, parking place,
/// clamps and table are the same.
pub(super) fn marking(placed: &[PlacedPart], job: &Job) -> Option<ToMark> {
    let by_machine = |mark: &&Mark| mark.by == MarkedBy::Machine;
    let marks: Vec<(&PlacedPart, &Mark)> = placed
        .iter()
        .flat_map(|part| part.marks.iter().filter(by_machine).map(move |mark| (part, mark)))
        .collect();
    if marks.is_empty() {
        return None;
    }
    let several = placed.len() > 1;
    let strokes: Vec<Vec<[Point; 2]>> = marks.iter().map(|(_, mark)| strokes(mark)).collect();
    let stops: Vec<Stop> = strokes
        .iter()
        .filter_map(|strokes| {
            let ([from, _], [_, to]) = (strokes.first()?, strokes.last()?);
            Some(Stop { ends: [*from, *to] })
        })
        .collect();
    // It is set on zero, as before cutting.
    let mut here = job.home;
    let mut steps = Vec::with_capacity(marks.len());
    for (stop, turned) in tour(&stops, job.home, job.park) {
        let mut strokes = strokes[stop].clone();
        if turned {
            strokes.reverse();
            strokes.iter_mut().for_each(|stroke| stroke.reverse());
        }
        let [from, to] = [strokes[0][0], strokes[strokes.len() - 1][1]];
        let (part, mark) = marks[stop];
        let name = in_words(&mark.what);
        steps.push(MarkingStep {
            name: if several {
                format!("{}: {name}", part.name)
            } else {
                name
            },
            via: leg(here, from, job).map_or_else(Vec::new, |leg| leg.via),
            strokes,
        });
        here = to;
    }
    let park = job.park.and_then(|park| leg(here, park, job));
    Some(ToMark {
        steps,
        asked: marks.iter().map(|(_, mark)| asked(mark)).collect(),
        park,
    })
}

/// "bend b1, end 1", "the centre of pin".
fn in_words(what: &MarkFor) -> String {
    match what {
        MarkFor::Centre { hole } => format!("the centre of {hole}"),
        MarkFor::BendEnd { bend, end } => format!("bend {bend}, end {end}"),
    }
}

/// The lines of a mark. The strokes of a cross lie aslant, so that they are told from lines along x and y; the second begins
/// beside where the first ends.
fn strokes(mark: &Mark) -> Vec<[Point; 2]> {
    match mark.what {
        MarkFor::BendEnd { .. } => vec![[mark.from, mark.to]],
        MarkFor::Centre { .. } => {
            let half = mark.size_mm / 2.0 * FRAC_1_SQRT_2;
            let (rising, falling) = (Vector::new(half, half), Vector::new(-half, half));
            vec![
                [mark.from - rising, mark.from + rising],
                [mark.from + falling, mark.from - falling],
            ]
        }
    }
}

fn asked(mark: &Mark) -> AskedMark {
    match mark.what {
        MarkFor::BendEnd { .. } => AskedMark::Line {
            from: mark.from,
            to: mark.to,
        },
        MarkFor::Centre { .. } => AskedMark::Cross {
            at: mark.from,
            size_mm: mark.size_mm,
        },
    }
}

/// The way from one place to another on the whole sheet: straight, or round the clamps as travel to a cut goes round them.
/// None for no numbers; the straight move is then refused by whoever reads the program.
fn leg(from: Point, to: Point, job: &Job) -> Option<Leg> {
    let straight = Segment::line(from, to);
    let clear_mm = job.rules.clear_mm;
    let near = |clamp: &Outline| {
        let ((low, high), (a, b)) = (clamp.bounds(), straight.bounds());
        a.x <= high.x + clear_mm
            && low.x <= b.x + clear_mm
            && a.y <= high.y + clear_mm
            && low.y <= b.y + clear_mm
    };
    if !job.clamps.iter().any(near) {
        return Some(Leg {
            from,
            via: Vec::new(),
            to,
            lifted: false,
            time_s: job.rules.mover.straight_s((to - from).norm()),
        });
    }
    // The order of one contour that is nothing but the place: what is left is the travel to it.
    let about = Vector::new(clear_mm, clear_mm);
    let place = Job {
        contours: vec![Contour {
            of: Of::Outline { part: 0 },
            candidates: vec![Candidate {
                enter: to,
                leave: to,
                cut_s: 0.0,
            }],
            shape: Outline::rectangle(to - about, to + about).ok()?,
            after: After::Lies,
        }],
        before: Vec::new(),
        home: from,
        park: None,
        rules: job.rules,
        clamps: job.clamps.clone(),
    };
    let plan = order::plan(&place, Search::default()).ok()?;
    Some(plan.steps.into_iter().next()?.leg)
}
