//! The part while it is folded, step by step: its pieces with where they stand, how each hole meets its mount, and what it
//! must stay clear of.

mod wires;

use draw::{Beside, FoldingNotes, FoldingPieces, PieceOf, SolidError, View};
use nalgebra::{Isometry3, Point3};
use serde::Serialize;

use crate::judge::folding::{keep_out_row, mount_row, stands, step_words, support_row};
use crate::report;
use crate::run::{Outcome, Worked};
use crate::stages::bending::Found;
use crate::stages::standing::part_holes;

/// Facets of round edges stay within this of the true part: finer than a screen shows.
const FACET_MM: f64 = 0.1;
/// Into how many frames a step is cut: between two, a right angle turns through 11 degrees.
const FRAMES: usize = 8;
/// Places leave to a hundredth of what a caliper reads.
const DECIMALS: f64 = 1e4;

/// The folding of a part.
#[derive(Debug, Clone, Serialize)]
pub struct Folding {
    /// The folds in their order.
    pub steps: Vec<FoldStep>,
    /// Where that order comes from: "as the plan for bending has it" or "as drawn".
    pub order: &'static str,
    /// Whose axes all places are in: "equipment's" or "design's".
    pub axes: &'static str,
    /// Panels, then bends.
    pub pieces: Vec<Piece>,
    /// Where they stand: flat first; then for each step an eighth of it more at a time.
    pub frames: Vec<Frame>,
    /// The corners of a box that holds every frame.
    pub low_mm: [f64; 3],
    /// The other.
    pub high_mm: [f64; 3],
    /// Each hole against its mount.
    pub mounts: Vec<MountMet>,
    /// The support.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub support: Option<SupportMet>,
    /// What it must stay clear of.
    pub keep_outs: Vec<KeepOutMet>,
    /// Measures that were found so that it fits.
    pub solved: Vec<Solved>,
    /// Overall sizes of the folded part, in words; none without one.
    pub sizes: Vec<String>,
}

/// One fold: bends that are made in one stroke.
#[derive(Debug, Clone, Serialize)]
pub struct FoldStep {
    /// From 1.
    pub number: usize,
    /// The bends.
    pub bends: Vec<String>,
    /// "b2 up, through 45.0 deg (135.0 deg left between the legs)".
    pub says: String,
}

/// A piece of the plate.
#[derive(Debug, Clone, Serialize)]
pub struct Piece {
    /// Its panel or bend.
    pub name: String,
    /// "panel" or "bend".
    pub of: &'static str,
    /// Of a panel its points in its own axes, x, y, z one after another, mm; of a bend none.
    pub points_mm: Vec<f64>,
    /// Corners of its triangles, three after three, counter-clockwise from outside.
    pub triangles: Vec<u32>,
    /// Ends of its edges, two after two.
    pub edges: Vec<u32>,
}

/// Where the pieces stand.
#[derive(Debug, Clone, Serialize)]
pub struct Frame {
    /// Which step is under way, from 1; 0 when all is flat.
    pub step: usize,
    /// How much of it is done.
    pub share: f64,
    /// For each panel how it is turned (x, y, z, w of a unit quaternion) and then where its origin is, mm.
    pub panels: Vec<[f64; 7]>,
    /// For each bend its points, x, y, z one after another, mm.
    pub bends: Vec<Vec<f64>>,
}

/// A hole against its mount. Lengths in words, in both systems.
#[derive(Debug, Clone, Serialize)]
pub struct MountMet {
    /// The mount.
    pub name: String,
    /// The hole.
    pub hole: String,
    /// Where the mount is, mm.
    pub at_mm: [f64; 3],
    /// The way its bolt goes, a unit vector.
    pub axis: [f64; 3],
    /// From the mount's axis to the hole's middle, and how much it may be.
    pub off: [String; 2],
    /// Between plate and seat, and how much it may be.
    pub gap: [String; 2],
    /// Plate against seat, and how much it may be.
    pub tilt: [String; 2],
    /// Whether all three are within what they may be.
    pub meets: bool,
    /// All of it in a sentence.
    pub says: String,
}

/// How the support sits.
#[derive(Debug, Clone, Serialize)]
pub struct SupportMet {
    /// Where it must sit, mm.
    pub at_mm: [f64; 3],
    /// From where it must sit, and how much it may be.
    pub off: [String; 2],
    /// From how it must face, and how much it may be.
    pub turn: [String; 2],
    /// Whether both are within what they may be, and so are its holes apart.
    pub meets: bool,
    /// In a sentence.
    pub says: String,
}

/// A keep-out.
#[derive(Debug, Clone, Serialize)]
pub struct KeepOutMet {
    /// Its name.
    pub name: String,
    /// The least distance to the part, and the least to keep.
    pub clear: [String; 2],
    /// Whether it is kept.
    pub meets: bool,
    /// In a sentence.
    pub says: String,
    /// The point of the part that is nearest, mm.
    pub nearest_mm: [f64; 3],
    /// Its edges as runs of points, x, y, z one after another, mm.
    pub lines_mm: Vec<Vec<f64>>,
}

/// A measure that was found.
#[derive(Debug, Clone, Serialize)]
pub struct Solved {
    /// Its name.
    pub name: String,
    /// What was found, in both systems.
    pub found: String,
    /// What the design asks with it; empty when it asks nothing.
    pub ask: String,
}

/// A fold as the program knows it: to which share each of its bends is made before and after.
struct Fold {
    bends: Vec<usize>,
    from: f64,
    to: f64,
}

/// The folding of the part of a run.
///
/// # Errors
/// [`SolidError`] when its panels and bends do not fit together.
pub fn folding(outcome: &Outcome) -> Result<Folding, SolidError> {
    let worked = &outcome.worked;
    let part = &worked.part;
    let (pose, axes) = report::pose(worked);
    let (folds, order) = folds(worked);
    let made = FoldingPieces::of(part, FACET_MM)?;
    let pieces = made.pieces.iter().map(|piece| {
        let (name, of) = match piece.of {
            PieceOf::Panel(panel) => (&part.panels[panel].name, "panel"),
            PieceOf::Bend(bend) => (&part.bends[bend].name, "bend"),
        };
        Piece {
            name: name.clone(),
            of,
            points_mm: flat(&piece.points),
            triangles: piece.triangles.iter().flatten().copied().collect(),
            edges: piece.edges.iter().flatten().copied().collect(),
        }
    });
    let pieces: Vec<Piece> = pieces.collect();
    let mut bounds = Bounds::default();
    let mut frames = vec![frame(worked, &made, &folds, pose, (0, 0.0), &mut bounds)];
    for step in 1..=folds.len() {
        for eighth in 1..=FRAMES {
            let share = eighth as f64 / FRAMES as f64;
            frames.push(frame(worked, &made, &folds, pose, (step, share), &mut bounds));
        }
    }
    let steps = folds.iter().enumerate().map(|(index, fold)| FoldStep {
        number: index + 1,
        bends: fold
            .bends
            .iter()
            .map(|bend| part.bends[*bend].name.clone())
            .collect(),
        says: step_words(part, &fold.bends, fold.to),
    });
    Ok(Folding {
        steps: steps.collect(),
        order,
        axes,
        pieces,
        frames,
        low_mm: bounds.low_mm.map(rounded),
        high_mm: bounds.high_mm.map(rounded),
        mounts: mounts(worked),
        support: support(worked),
        keep_outs: keep_outs(worked),
        solved: solved(outcome),
        sizes: outcome
            .summary
            .folded
            .iter()
            .flat_map(|folded| folded.bounds_mm)
            .map(|size| units::both(size.0))
            .collect(),
    })
}

/// The part at a step and a share of it (step 0 is flat; steps count from 1) as a drawing from one side.
pub fn folding_picture(outcome: &Outcome, step: usize, share: f64, view: View) -> String {
    let worked = &outcome.worked;
    let (pose, _) = report::pose(worked);
    let (folds, _) = folds(worked);
    let step = step.min(folds.len());
    let share = if share.is_finite() {
        share.clamp(0.0, 1.0)
    } else {
        1.0
    };
    let all = step == folds.len() && share >= 1.0;
    let part = if all {
        worked.part.clone()
    } else {
        worked.part.part_way(&shares(worked, &folds, (step, share)))
    };
    let notes = FoldingNotes {
        title: outcome.summary.job.title.clone(),
        stands: stands(
            &worked.part,
            folds.get(step.wrapping_sub(1)).map(|fold| &*fold.bends),
            step,
            folds.len(),
            share,
        ),
        pose: Some(pose),
        mounts: mounts(worked)
            .into_iter()
            .map(|mount| (mount.name, Point3::from(mount.at_mm)))
            .collect(),
        spots: support(worked)
            .map(|support| ("support sits here".to_owned(), Point3::from(support.at_mm)))
            .into_iter()
            .collect(),
        beside: keep_out_lines(worked)
            .map(|(name, lines)| Beside { name, lines })
            .collect(),
    };
    draw::folding_svg(&part, view, &notes)
}

fn folds(worked: &Worked) -> (Vec<Fold>, &'static str) {
    let part = &worked.part;
    if let Ok(bending) = &worked.bent
        && let Found::Order(plan) = &bending.found
    {
        let folds = plan.steps.iter().map(|step| {
            let bends: Vec<usize> = step
                .lines
                .iter()
                .flat_map(|line| bending.work.lines[*line].bends.iter().copied())
                .collect();
            let all_rad = bends.first().map_or(1.0, |bend| part.bends[*bend].bent_rad);
            let share = |rad: f64| (rad / all_rad).clamp(0.0, 1.0);
            Fold {
                from: share(step.from_rad),
                to: share(step.to_rad),
                bends,
            }
        });
        return (folds.collect(), "as the plan for bending has it");
    }
    // Creases that a window parts fold as one.
    let mut folds: Vec<Fold> = Vec::new();
    for (index, bend) in part.bends.iter().enumerate() {
        let twin = folds.iter_mut().find(|fold| {
            let first = &part.bends[fold.bends[0]];
            (first.fixed, first.moving) == (bend.fixed, bend.moving)
        });
        match twin {
            Some(fold) => fold.bends.push(index),
            None => folds.push(Fold {
                bends: vec![index],
                from: 0.0,
                to: 1.0,
            }),
        }
    }
    (folds, "as drawn, as there is no plan for bending")
}

fn shares(worked: &Worked, folds: &[Fold], (step, share): (usize, f64)) -> Vec<f64> {
    let mut shares = vec![0.0; worked.part.bends.len()];
    for (index, fold) in folds.iter().enumerate().take(step) {
        let done = if index + 1 == step { share } else { 1.0 };
        for bend in &fold.bends {
            // To one step's end as to the next one's beginning, to the last bit.
            shares[*bend] = if done >= 1.0 {
                fold.to
            } else {
                fold.from + (fold.to - fold.from) * done
            };
        }
    }
    shares
}

/// The least box about what was put in.
struct Bounds {
    low_mm: [f64; 3],
    high_mm: [f64; 3],
}

impl Default for Bounds {
    fn default() -> Self {
        Self {
            low_mm: [f64::INFINITY; 3],
            high_mm: [f64::NEG_INFINITY; 3],
        }
    }
}

impl Bounds {
    fn take(&mut self, at: &Point3<f64>) {
        for way in 0..3 {
            self.low_mm[way] = self.low_mm[way].min(at[way]);
            self.high_mm[way] = self.high_mm[way].max(at[way]);
        }
    }
}

fn frame(
    worked: &Worked,
    made: &FoldingPieces,
    folds: &[Fold],
    pose: Isometry3<f64>,
    at: (usize, f64),
    bounds: &mut Bounds,
) -> Frame {
    let stands = FoldingPieces::frame(&worked.part, &shares(worked, folds, at), pose);
    // A bend bulges past its panels.
    stands.bends.iter().flatten().for_each(|point| bounds.take(point));
    for piece in &made.pieces {
        if let PieceOf::Panel(panel) = piece.of {
            piece
                .points
                .iter()
                .for_each(|point| bounds.take(&(stands.panels[panel] * point)));
        }
    }
    Frame {
        step: at.0,
        share: at.1,
        panels: stands
            .panels
            .iter()
            .map(|place| {
                let turn = place.rotation.coords;
                let to = place.translation.vector;
                // A turn wants more digits than a place: over a metre of plate they count a thousandfold.
                let turn = turn.map(|part| (part * 1e9).round() / 1e9);
                [
                    turn.x,
                    turn.y,
                    turn.z,
                    turn.w,
                    rounded(to.x),
                    rounded(to.y),
                    rounded(to.z),
                ]
            })
            .collect(),
        bends: stands.bends.iter().map(|points| flat(points)).collect(),
    }
}

fn mounts(worked: &Worked) -> Vec<MountMet> {
    let Some(standing) = &worked.standing else {
        return Vec::new();
    };
    let Some(placement) = &standing.placement else {
        return Vec::new();
    };
    let holes = part_holes(&worked.part);
    let rows = standing.mounts.iter().zip(&placement.mounts);
    rows.map(|(mount, state)| mount_row(mount, state, &holes[mount.hole].name))
        .collect()
}

fn support(worked: &Worked) -> Option<SupportMet> {
    let wish = worked.equipment.as_ref()?.support.as_ref()?;
    let state = worked.standing.as_ref()?.support.as_ref()?;
    Some(support_row(&wish.want, state))
}

fn keep_outs(worked: &Worked) -> Vec<KeepOutMet> {
    let Some(standing) = &worked.standing else {
        return Vec::new();
    };
    let lines = keep_out_lines(worked);
    let rows = standing.keep_outs.iter().zip(lines);
    rows.map(|((keep_out, clear_mm, nearest), (_, lines))| {
        keep_out_row(
            keep_out,
            *clear_mm,
            *nearest,
            lines.iter().map(|run| flat(run)).collect(),
        )
    })
    .collect()
}

/// Keep-outs as lines, by name.
fn keep_out_lines(worked: &Worked) -> impl Iterator<Item = (String, Vec<Vec<Point3<f64>>>)> {
    let standing = worked.standing.as_ref();
    let middle = standing.map_or(Point3::origin(), |standing| {
        standing.pose * worked.part.centre_of_mass()
    });
    let keep_outs = standing.map_or(&[][..], |standing| &standing.keep_outs);
    keep_outs
        .iter()
        .map(move |(keep_out, ..)| (keep_out.name.value.clone(), wires::of(&keep_out.shape, middle)))
}

fn solved(outcome: &Outcome) -> Vec<Solved> {
    let asks = |name: &str| {
        let measures = outcome.worked.files.design.measures.iter();
        let mut asked = measures.filter(|measure| measure.name.value == name);
        asked
            .next()
            .and_then(|measure| Some(measure.ask.as_ref()?.value.clone()))
    };
    let rows = outcome.summary.measures.iter().filter(|row| row.solved);
    rows.map(|row| Solved {
        name: row.name.clone(),
        found: row.shown.clone(),
        ask: asks(&row.name).unwrap_or_default(),
    })
    .collect()
}

pub(crate) fn rounded(value: f64) -> f64 {
    // No "-0".
    (value * DECIMALS).round() / DECIMALS + 0.0
}

fn flat(points: &[Point3<f64>]) -> Vec<f64> {
    points
        .iter()
        .flat_map(|at| [at.x, at.y, at.z])
        .map(rounded)
        .collect()
}

pub(crate) fn three(at: Point3<f64>) -> [f64; 3] {
    [at.x, at.y, at.z].map(rounded)
}
