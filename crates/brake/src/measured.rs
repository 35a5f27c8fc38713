//! The real part: what was measured on the bends already made, and the remaining bends solved again so that the holes land.

use nalgebra::{DMatrix, DVector, Isometry3, Point3, Translation3, UnitQuaternion, Vector3};
use plane::Point;

use crate::work::Work;

/// What was measured on a finished bend.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeasuredBend {
    /// The line.
    pub line: usize,
    /// The angle bent through as measured, rad; as drawn where it was not measured.
    pub bent_rad: Option<f64>,
    /// By how much the leg on its moving side came out longer than drawn, mm: the bend then lies so much nearer to the
    /// fixed side. 0 where it was not measured.
    pub leg_over_mm: f64,
}

/// A hole that must land. Openings do not move on the blank, as it is cut.
#[derive(Debug, Clone, PartialEq)]
pub struct Landing {
    /// Its name.
    pub name: String,
    /// The panel it is in.
    pub panel: usize,
    /// Its centre on the blank.
    pub at: Point,
    /// How far off it may be, mm.
    pub allowed_mm: f64,
}

/// How far the remaining bends may be altered.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Freedom {
    /// From the angle as drawn, rad.
    pub angle_rad: f64,
    /// From the place as drawn, mm across the bend.
    pub place_mm: f64,
}

impl Default for Freedom {
    /// Five degrees and two millimetres: what does not show and does not weaken; common practice, no source.
    fn default() -> Self {
        Freedom {
            angle_rad: 5f64.to_radians(),
            place_mm: 2.0,
        }
    }
}

/// How the bends that are left hang together.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Left {
    /// Lines in one list are finished in one stroke: they get one change of angle and one of place. A line in none is by itself.
    pub together: Vec<Vec<usize>>,
    /// Lines that are begun and not finished: where they lie is settled, and only their angle can still be altered.
    pub begun: Vec<usize>,
}

/// A remaining bend as it should now be made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corrected {
    /// The line.
    pub line: usize,
    /// The angle to bend through, rad.
    pub bent_rad: f64,
    /// Toward the moving side from where it was drawn, mm.
    pub place_mm: f64,
}

/// Where a hole comes.
#[derive(Debug, Clone, PartialEq)]
pub struct Lands {
    /// Its name.
    pub name: String,
    /// Off its place when the remaining bends are made as drawn, the part laid on as well as it goes, mm.
    pub before_mm: f64,
    /// And as corrected.
    pub off_mm: f64,
    /// How far off it may be, mm.
    pub allowed_mm: f64,
}

/// The remaining bends, and whether the holes land.
#[derive(Debug, Clone, PartialEq)]
pub struct Resolved {
    /// In the order of the lines.
    pub bends: Vec<Corrected>,
    /// Hole by hole.
    pub lands: Vec<Lands>,
}

impl Resolved {
    /// Whether every hole lands within what it may be off.
    pub fn all_land(&self) -> bool {
        self.lands.iter().all(|lands| lands.off_mm <= lands.allowed_mm)
    }
}

/// Why nothing could be solved.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum MeasuredError {
    /// No such line.
    #[error("there is no bend number {0}")]
    NoLine(usize),
    /// No such panel.
    #[error("there is no panel number {0}")]
    NoPanel(usize),
    /// A number that is none.
    #[error("a measure of {0} is no number to reckon with")]
    NotANumber(f64),
}

/// Rounds of the fit; it is nearly linear over the few degrees that are free.
const ROUNDS: usize = 30;
/// A step is halved at most so often.
const SHORTEST: u32 = 12;
/// A difference for slopes, mm and rad: far over rounding, far under what matters.
const NUDGE: f64 = 1e-6;
/// A hole that may be off by nothing is held to this, mm: what no gauge tells.
const LEAST_ALLOWED_MM: f64 = 1e-3;
/// A combination of unknowns that moves the holes by less than this, mm for each mm or rad, is rounding, and is left alone.
const SINGULAR: f64 = 1e-9;
/// Altering a bend counts as an error of so much per share of its freedom, mm: without it, bends that move no hole would
/// wander.
const KEEP_MM: f64 = 1e-3;

/// Where least squares lands no setting, holes that are farther off count for more, so many times over: toward the setting whose worst
/// hole is the least off.
const WORST_ROUNDS: usize = 24;
/// A hole that is on its place keeps so much of its weight in a round.
const LEAST_WEIGHT: f64 = 1e-3;

/// Solves the remaining bends around the real part. The part as a whole may lie on its mounts as it likes; what counts is
/// where the holes come to each other. The strokes of `left` say what is finished in one.
///
/// What lands by least squares is taken; else the largest share that a hole uses of what it may be off is made smaller. A setting
/// that lands is not proven to be missing where none is found.
///
/// # Errors
/// [`MeasuredError`]
pub fn resolve(
    work: &Work,
    measured: &[MeasuredBend],
    holes: &[Landing],
    freedom: &Freedom,
    left: &Left,
) -> Result<Resolved, MeasuredError> {
    let named = left.together.iter().flatten().chain(&left.begun);
    if let Some(line) = named.copied().find(|line| *line >= work.lines.len()) {
        return Err(MeasuredError::NoLine(line));
    }
    for bend in measured {
        if bend.line >= work.lines.len() {
            return Err(MeasuredError::NoLine(bend.line));
        }
        for number in [bend.leg_over_mm].into_iter().chain(bend.bent_rad) {
            if !number.is_finite() {
                return Err(MeasuredError::NotANumber(number));
            }
        }
    }
    if let Some(hole) = holes.iter().find(|hole| hole.panel >= work.panels.len()) {
        return Err(MeasuredError::NoPanel(hole.panel));
    }
    let drawn: Vec<Bent> = work
        .lines
        .iter()
        .map(|line| Bent {
            bent_rad: line.bent_rad,
            place_mm: 0.0,
        })
        .collect();
    let mut real = drawn.clone();
    for bend in measured {
        real[bend.line].bent_rad = bend.bent_rad.unwrap_or(drawn[bend.line].bent_rad);
        real[bend.line].place_mm = -bend.leg_over_mm;
    }
    let free = free(work, measured, left, freedom);
    let wanted = places(work, &drawn, holes);
    let fit = Fit {
        work,
        holes,
        wanted,
        real,
        free,
    };
    let nothing = DVector::zeros(6 + 2 * fit.free.len());
    let laid_on = fit.best(nothing, true);
    let solved = fit.best(laid_on.clone(), false);
    let before = fit.off_mm(&laid_on);
    let after = fit.off_mm(&solved);
    let lands = holes
        .iter()
        .zip(before.iter().zip(&after))
        .map(|(hole, (before, off))| Lands {
            name: hole.name.clone(),
            before_mm: *before,
            off_mm: *off,
            allowed_mm: hole.allowed_mm,
        })
        .collect();
    let bends = fit.bent(&solved);
    let mut bends: Vec<Corrected> = fit
        .free
        .iter()
        .flat_map(|stroke| &stroke.lines)
        .map(|&(line, _)| Corrected {
            line,
            bent_rad: bends[line].bent_rad,
            place_mm: bends[line].place_mm,
        })
        .collect();
    bends.sort_by_key(|bend| bend.line);
    Ok(Resolved { bends, lands })
}

/// A stroke that is left to make.
#[derive(Debug, Clone, PartialEq)]
struct Free {
    /// Each line with 1 where its moving side is that of the first, and -1 where it is the other.
    lines: Vec<(usize, f64)>,
    /// How far it may be altered.
    by: Freedom,
}

/// The bends that are left, stroke by stroke. What is begun lies where it lies, and what is pressed flat comes to where it is flat.
fn free(work: &Work, measured: &[MeasuredBend], left: &Left, freedom: &Freedom) -> Vec<Free> {
    let mut strokes: Vec<Free> = Vec::new();
    let mut seen: Vec<usize> = measured.iter().map(|bend| bend.line).collect();
    for line in 0..work.lines.len() {
        if seen.contains(&line) {
            continue;
        }
        let alone = vec![line];
        let group = left
            .together
            .iter()
            .find(|group| group.contains(&line))
            .unwrap_or(&alone);
        let mut stroke = Free {
            lines: Vec::new(),
            by: *freedom,
        };
        for &other in group {
            if seen.contains(&other) {
                continue;
            }
            seen.push(other);
            let same = work.lines[line].across.dot(&work.lines[other].across) >= 0.0;
            stroke.lines.push((other, if same { 1.0 } else { -1.0 }));
            if left.begun.contains(&other) {
                stroke.by.place_mm = 0.0;
            }
            if work.lines[other].bent_rad + freedom.angle_rad > std::f64::consts::PI {
                stroke.by.angle_rad = 0.0;
            }
        }
        strokes.push(stroke);
    }
    strokes
}

/// A bend as made: its angle, and where across its line.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Bent {
    bent_rad: f64,
    place_mm: f64,
}

struct Fit<'a> {
    work: &'a Work,
    holes: &'a [Landing],
    wanted: Vec<Point3<f64>>,
    real: Vec<Bent>,
    free: Vec<Free>,
}

impl Fit<'_> {
    /// The unknowns: how the part lies (a turn and a slide), then angle and place of each stroke that is left as shares
    /// of their freedom, held within it.
    fn bent(&self, unknown: &DVector<f64>) -> Vec<Bent> {
        let mut bent = self.real.clone();
        for (index, stroke) in self.free.iter().enumerate() {
            let [angle, place] = [6, 7].map(|first| unknown[first + 2 * index].clamp(-1.0, 1.0));
            for &(line, side) in &stroke.lines {
                bent[line].bent_rad += stroke.by.angle_rad * angle;
                bent[line].place_mm += stroke.by.place_mm * place * side;
            }
        }
        bent
    }

    fn offs(&self, unknown: &DVector<f64>) -> Vec<Vector3<f64>> {
        let turn = UnitQuaternion::from_scaled_axis(Vector3::new(unknown[0], unknown[1], unknown[2]));
        let lie = Isometry3::from_parts(Translation3::new(unknown[3], unknown[4], unknown[5]), turn);
        let come = places(self.work, &self.bent(unknown), self.holes);
        come.iter()
            .zip(&self.wanted)
            .map(|(come, wanted)| lie * come - wanted)
            .collect()
    }

    fn off_mm(&self, unknown: &DVector<f64>) -> Vec<f64> {
        self.offs(unknown).iter().map(Vector3::norm).collect()
    }

    /// By how many times what it may be off each hole is off.
    fn shares(&self, unknown: &DVector<f64>) -> Vec<f64> {
        let off = self.off_mm(unknown).into_iter().zip(self.holes);
        off.map(|(off_mm, hole)| off_mm / hole.allowed_mm.max(LEAST_ALLOWED_MM))
            .collect()
    }

    /// By least squares; where not every hole lands so, by the least worst.
    fn best(&self, from: DVector<f64>, kept: bool) -> DVector<f64> {
        let worst = |unknown: &DVector<f64>| self.shares(unknown).into_iter().fold(0.0, f64::max);
        let mut weights = vec![1.0; self.holes.len()];
        let mut unknown = self.solve(from.clone(), kept, &weights);
        let (mut best, mut least) = (unknown.clone(), worst(&unknown));
        // What was there before is not given up for something worse.
        if least > 1.0 && worst(&from) < least {
            least = worst(&from);
            best = from;
        }
        for _ in 0..WORST_ROUNDS {
            if least <= 1.0 {
                break;
            }
            let largest = worst(&unknown);
            for (weight, share) in weights.iter_mut().zip(self.shares(&unknown)) {
                // Squares are weighed, so that the root of a share is what each round adds.
                *weight *= (share / largest).max(LEAST_WEIGHT).sqrt();
            }
            let most = weights.iter().copied().fold(0.0, f64::max);
            weights.iter_mut().for_each(|weight| *weight /= most);
            unknown = self.solve(unknown, kept, &weights);
            let now = worst(&unknown);
            if now < least {
                (best, least) = (unknown.clone(), now);
            }
        }
        best
    }

    /// Off its place, a hole with little play counts for more: each as a share of what it may be off, in mm of the least, and by its
    /// weight.
    fn residuals(&self, unknown: &DVector<f64>, weights: &[f64]) -> DVector<f64> {
        let offs = self.offs(unknown);
        let least_mm = self
            .holes
            .iter()
            .map(|hole| hole.allowed_mm)
            .fold(f64::INFINITY, f64::min);
        let holes = offs.iter().zip(self.holes).zip(weights);
        let holes = holes.flat_map(|((off, hole), by)| {
            let weight = if hole.allowed_mm > 0.0 {
                least_mm / hole.allowed_mm
            } else {
                1.0
            };
            [off.x, off.y, off.z].map(|mm| mm * weight * by)
        });
        let kept = unknown.iter().skip(6).map(|share| share * KEEP_MM);
        DVector::from_iterator(3 * offs.len() + 2 * self.free.len(), holes.chain(kept))
    }

    /// How the residuals change with each of the first `count` unknowns.
    fn slopes(
        &self,
        unknown: &DVector<f64>,
        now: &DVector<f64>,
        weights: &[f64],
        count: usize,
    ) -> DMatrix<f64> {
        let mut slopes = DMatrix::zeros(now.len(), count);
        for column in 0..count {
            // Past the end of its freedom nothing changes: from there toward the middle.
            let nudge = if column >= 6 && unknown[column] > 0.0 {
                -NUDGE
            } else {
                NUDGE
            };
            let mut nudged = unknown.clone();
            nudged[column] += nudge;
            slopes.set_column(column, &((self.residuals(&nudged, weights) - now) / nudge));
        }
        slopes
    }

    /// Least squares by linear steps; with the bends kept as drawn, only how the part lies.
    fn solve(&self, mut unknown: DVector<f64>, kept: bool, weights: &[f64]) -> DVector<f64> {
        let count = if kept { 6 } else { unknown.len() };
        for _ in 0..ROUNDS {
            let now = self.residuals(&unknown, weights);
            let slopes = self.slopes(&unknown, &now, weights, count);
            let Some(step) = within(&slopes, &now, &unknown) else {
                break;
            };
            // Held within its freedom a whole step may be too far: then a part of it.
            let shorter = (0..SHORTEST).map(|halved| {
                let mut next = unknown.clone();
                for column in 0..count {
                    next[column] += step[column] / f64::from(1 << halved);
                    if column >= 6 {
                        next[column] = next[column].clamp(-1.0, 1.0);
                    }
                }
                next
            });
            let better = shorter
                .into_iter()
                .find(|next| self.residuals(next, weights).norm_squared() < now.norm_squared());
            // No better: there it stays.
            let Some(next) = better else { break };
            unknown = next;
        }
        unknown
    }
}

/// The step that takes the residuals down the most, but for bends that are at the end of their freedom and would be taken past it: with
/// these held, the others are solved as though they were not free.
fn within(slopes: &DMatrix<f64>, now: &DVector<f64>, unknown: &DVector<f64>) -> Option<DVector<f64>> {
    let mut slopes = slopes.clone();
    loop {
        let step = slopes.clone().svd(true, true).solve(&-now, SINGULAR).ok()?;
        let past = (6..step.len()).filter(|&column| {
            unknown[column].abs() >= 1.0
                && step[column] * unknown[column] > 0.0
                && slopes.column(column).amax() > 0.0
        });
        let past: Vec<usize> = past.collect();
        if past.is_empty() {
            return Some(step);
        }
        for column in past {
            slopes.column_mut(column).fill(0.0);
        }
    }
}

/// Where the holes come, in the axes of the root panel.
fn places(work: &Work, bent: &[Bent], holes: &[Landing]) -> Vec<Point3<f64>> {
    let ways = work.tree.ways(&[0], &[]);
    let turn = |line: usize| {
        let (made, bent) = (&work.lines[line], bent[line]);
        let aside = made.across * bent.place_mm;
        let aside = Translation3::new(aside.x, aside.y, 0.0);
        aside * made.turn(bent.bent_rad) * aside.inverse()
    };
    holes
        .iter()
        .map(|hole| {
            let over = ways[hole.panel]
                .as_ref()
                .map(|(_, over)| over.as_slice())
                .unwrap_or_default();
            let place = over
                .iter()
                .fold(Isometry3::identity(), |place, (line, to_moving)| {
                    place
                        * if *to_moving {
                            turn(*line)
                        } else {
                            turn(*line).inverse()
                        }
                });
            place * Point3::new(hole.at.x, hole.at.y, 0.0)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use plane::Outline;
    use sheet::{Crease, Face, Mockup, Relief, Way, develop};

    #[test]
    fn a_bend_at_either_end_of_its_freedom_still_moves_the_holes() {
        let corners = [(0.0, 0.0), (90.0, 0.0), (90.0, 50.0), (0.0, 50.0)].map(|(x, y)| Point::new(x, y));
        let card = Mockup {
            outline: Outline::polygon(&corners).expect("a rectangle"),
            openings: Vec::new(),
            creases: vec![Crease {
                name: "b1".into(),
                from: Point::new(40.0, -1.0),
                to: Point::new(40.0, 51.0),
                bent_rad: std::f64::consts::FRAC_PI_2,
                way: Way::Up,
                radius_mm: 3.0,
                neutral_share: 0.4,
                relief: Relief::None,
            }],
            seams: Vec::new(),
            marks: Vec::new(),
            panel_names: Vec::new(),
            root: None,
            lines_on: Face::Far,
            card_mm: 0.0,
        };
        let part = develop(&card, 3.0).expect("it develops");
        let work = Work::of(&part, None, 2.6).expect("work");
        let line = &work.lines[0];
        let holes = [Landing {
            name: "h1".into(),
            panel: line.moving,
            at: line.middle + line.across * 30.0,
            allowed_mm: 0.3,
        }];
        let drawn = Bent {
            bent_rad: line.bent_rad,
            place_mm: 0.0,
        };
        let fit = Fit {
            work: &work,
            holes: &holes,
            wanted: places(&work, &[drawn], &holes),
            real: vec![drawn],
            free: free(&work, &[], &Left::default(), &Freedom::default()),
        };
        for end in [-1.0, 0.0, 1.0] {
            let unknown = DVector::from_iterator(8, [0.0; 6].into_iter().chain([end; 2]));
            let now = fit.residuals(&unknown, &[1.0]);
            let slopes = fit.slopes(&unknown, &now, &[1.0], 8);
            for column in [6, 7] {
                // The first rows are the hole's; five degrees and two millimetres move it by more than one.
                let moves_mm = slopes.column(column).rows(0, 3).norm();
                assert!(moves_mm > 1.0, "{end}, {column}: {moves_mm} mm");
            }
        }
    }
}
