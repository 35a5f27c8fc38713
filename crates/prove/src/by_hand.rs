//! What a person would reckon: the plate between mounts and support as a strip, cut across and worked out as a beam.
//!
//! A straight line is drawn on the blank from the mount nearest the support to the middle of the support's holes. At
//! even steps along it the plate is cut square across; what the load puts on the cut is found by statics, and the cut is
//! taken as a flat bar of the width that is left: bending out of the plate M / (w t^2 / 6), bending in it by the second
//! moment of the pieces, pull F / (w t), and twist 3 T / (w t^2) with J = w t^3 / 3 (Timoshenko, Strength of Materials:
//! narrow rectangle). The movement is had by the unit-load method over the same cuts. Warping, shear and the give of the
//! mounts are left out: the estimate is to check the size of the shell's answer, not to replace it.

use nalgebra::{Point3, Vector3};
use plane::{Point, Vector};
use sheet::Part;

use crate::bracket::Bracket;

/// Cuts along the line.
const CUTS: usize = 48;

/// A cut across the strip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cut {
    /// Where, on the blank.
    pub blank_at: Point,
    /// Width of plate that is left in it, mm.
    pub width_mm: f64,
    /// Bending out of the plate, N mm.
    pub bending_n_mm: f64,
    /// Bending in the plane of the plate, N mm.
    pub edgewise_n_mm: f64,
    /// Twist along the strip, N mm.
    pub twist_n_mm: f64,
    /// Pull along the strip, N.
    pub pull_n: f64,
    /// All of it as one von Mises stress, MPa.
    pub mises_mpa: f64,
}

/// The strip's answer.
#[derive(Debug, Clone, PartialEq)]
pub struct ByHand {
    /// The cut with the highest stress.
    pub worst: Cut,
    /// From the mount to the support along the blank, mm.
    pub length_mm: f64,
    /// How far the point of the load moves along the force, mm.
    pub moves_mm: f64,
    /// Of that, by twist.
    pub by_twist_mm: f64,
    /// The movement is mainly by twist, and thin-plate theory tells it short; none where it does not matter.
    pub twist_short: Option<TwistShort>,
}

/// Twist that thin-plate theory tells short, this estimate and the shell alike: it leaves out the shear at free edges, so
/// that a strip of breadth b counts as b t^3/3 in torsion, where b t^3/3 (1 - 0.63 t/b) is right (Roark's Formulas, torsion
/// of a solid rectangle, from memory; docs/shell.md measures it).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TwistShort {
    /// The part of the load's work that goes into twist, 0 to 1.
    pub by_twist: f64,
    /// The share of the twist that is left out.
    pub left_out: f64,
    /// Breadth of an even strip of which as much is left out, mm.
    pub breadth_mm: f64,
}

/// Torsion constant that a strip loses for each t/b.
const LOST_PER_T_B: f64 = 0.63;
/// More than half of the work is what a movement is mainly by.
const MAINLY: f64 = 0.5;
/// Less than the error that is asked for of a movement is not told.
const FELT: f64 = 0.03;

/// The work of the load on the strip, up to a factor.
#[derive(Debug, Clone, Copy, Default)]
struct Work {
    twist: f64,
    /// What is left out of the twist.
    left_out: f64,
    other: f64,
}

impl Work {
    fn twist_short(&self, t_mm: f64) -> Option<TwistShort> {
        let (by_twist, left_out) = (self.twist / (self.twist + self.other), self.left_out / self.twist);
        (by_twist > MAINLY && left_out > FELT).then(|| TwistShort {
            by_twist,
            left_out,
            breadth_mm: LOST_PER_T_B * t_mm / left_out,
        })
    }
}

/// What a force and moment on a point do at a cut.
struct AtCut {
    bending_n_mm: f64,
    edgewise_n_mm: f64,
    twist_n_mm: f64,
    pull_n: f64,
}

/// The strip for a force and moment at a point, in equipment axes; none when the line leaves the plate, or there is no
/// mount or support.
pub fn strip(
    bracket: &Bracket<'_>,
    at: Point3<f64>,
    force_n: Vector3<f64>,
    moment_n_mm: Vector3<f64>,
) -> Option<ByHand> {
    let part = bracket.part;
    let support = bracket.support.as_ref()?;
    let end = middle_on_blank(part, &support.openings)?;
    let start = bracket
        .mounts
        .iter()
        .filter_map(|mount| middle_on_blank(part, &[mount.opening]))
        .min_by(|a, b| (a - end).norm().total_cmp(&(b - end).norm()))?;
    let length_mm = (end - start).norm();
    let along = (end - start).try_normalize(plane::SAME_POINT_MM)?;
    let size_n = force_n.norm();
    let t_mm = part.thickness_mm;
    let (elastic, poisson) = (bracket.metal.elastic_mpa, bracket.metal.poisson);
    let shear = elastic / (2.0 * (1.0 + poisson));
    let step_mm = length_mm / CUTS as f64;
    let mut worst: Option<Cut> = None;
    let (mut moves_mm, mut by_twist_mm) = (0.0, 0.0);
    let mut work = Work::default();
    for index in 0..CUTS {
        let blank_at = start + along * (step_mm * (index as f64 + 0.5));
        let Some((centre, frame)) = in_space(bracket, blank_at, along) else {
            // In a bend, where the strip turns: the cuts to either side stand for it.
            continue;
        };
        let section = Section::across(part, blank_at, along)?;
        let on_cut = |force: Vector3<f64>, moment: Vector3<f64>| {
            let centre = centre + frame[1] * section.centre_off_mm;
            let moment = moment + (at - centre).cross(&force);
            AtCut {
                bending_n_mm: moment.dot(&frame[1]),
                edgewise_n_mm: moment.dot(&frame[2]),
                twist_n_mm: moment.dot(&frame[0]),
                pull_n: force.dot(&frame[0]),
            }
        };
        let acts = on_cut(force_n, moment_n_mm);
        let width_mm = section.width_mm;
        let bent = 6.0 * acts.bending_n_mm.abs() / (width_mm * t_mm * t_mm);
        let edge = acts.edgewise_n_mm.abs() * section.half_width_mm / (t_mm * section.second_mm3);
        let pulled = acts.pull_n.abs() / (width_mm * t_mm);
        let twisted = 3.0 * acts.twist_n_mm.abs() / (width_mm * t_mm * t_mm);
        let mises_mpa = ((bent + edge + pulled).powi(2) + 3.0 * twisted.powi(2)).sqrt();
        let cut = Cut {
            blank_at,
            width_mm,
            bending_n_mm: acts.bending_n_mm,
            edgewise_n_mm: acts.edgewise_n_mm,
            twist_n_mm: acts.twist_n_mm,
            pull_n: acts.pull_n,
            mises_mpa,
        };
        if worst.is_none_or(|worst| mises_mpa > worst.mises_mpa) {
            worst = Some(cut);
        }
        let bend_stiff = elastic * width_mm * t_mm.powi(3) / 12.0;
        let edge_stiff = elastic * t_mm * section.second_mm3;
        let twist_stiff = shear * width_mm * t_mm.powi(3) / 3.0;
        let twist = acts.twist_n_mm.powi(2) / twist_stiff;
        work.twist += twist;
        work.left_out += twist * LOST_PER_T_B * t_mm * section.pieces as f64 / width_mm;
        work.other += acts.bending_n_mm.powi(2) / bend_stiff
            + acts.edgewise_n_mm.powi(2) / edge_stiff
            + acts.pull_n.powi(2) / (elastic * width_mm * t_mm);
        if size_n > 0.0 {
            let unit = on_cut(force_n / size_n, Vector3::zeros());
            let twist_mm = step_mm * acts.twist_n_mm * unit.twist_n_mm / twist_stiff;
            by_twist_mm += twist_mm;
            moves_mm += twist_mm
                + step_mm
                    * (acts.bending_n_mm * unit.bending_n_mm / bend_stiff
                        + acts.edgewise_n_mm * unit.edgewise_n_mm / edge_stiff
                        + acts.pull_n * unit.pull_n / (elastic * width_mm * t_mm));
        }
    }
    Some(ByHand {
        worst: worst?,
        length_mm,
        moves_mm,
        by_twist_mm,
        twist_short: work.twist_short(t_mm),
    })
}

/// Middle of some openings on the blank.
fn middle_on_blank(part: &Part, openings: &[usize]) -> Option<Point> {
    let mut sum = Vector::zeros();
    for &opening in openings {
        let panel = part.panel_of_opening(opening)?;
        sum += part.openings[opening].shape.middle().coords + part.panels[panel].to_blank;
    }
    (!openings.is_empty()).then(|| Point::from(sum / openings.len() as f64))
}

/// A point of the blank in space, and the directions along the strip, across it and out of the plate there; none in a
/// bend.
fn in_space(bracket: &Bracket<'_>, at: Point, along: Vector) -> Option<(Point3<f64>, [Vector3<f64>; 3])> {
    let part = bracket.part;
    let index = part.panels.iter().position(|panel| {
        // Openings are no matter here: the cut may run through a window.
        panel.flat.outer.contains(at - panel.to_blank)
    })?;
    let panel = &part.panels[index];
    let [far_mm, marked_mm] = part.z_range();
    let flat = at - panel.to_blank;
    let place = panel.to_folded * Point3::new(flat.x, flat.y, (far_mm + marked_mm) / 2.0);
    let turn = bracket.pose.rotation * panel.to_folded.rotation;
    let along = turn * Vector3::new(along.x, along.y, 0.0);
    let out = turn * Vector3::z();
    Some((bracket.pose * place, [along, out.cross(&along), out]))
}

/// What is left of the plate in a cut.
struct Section {
    width_mm: f64,
    /// How many strips it is parted into.
    pieces: usize,
    /// Of the material's middle from the line, to the left.
    centre_off_mm: f64,
    /// From that middle to the farther edge.
    half_width_mm: f64,
    /// Second moment of the width about the middle, mm3: times t it is that of the section.
    second_mm3: f64,
}

impl Section {
    fn across(part: &Part, at: Point, along: Vector) -> Option<Section> {
        let left = Vector::new(-along.y, along.x);
        let off = |point: Point| (point - at).dot(&left);
        let spans = |outline: &plane::Outline| -> Vec<[f64; 2]> {
            outline
                .chords_along(at, left)
                .into_iter()
                .map(|(from, to)| {
                    let (a, b) = (off(from), off(to));
                    [a.min(b), a.max(b)]
                })
                .collect()
        };
        // What lies beyond a gap of the outside edge is another leg.
        let whole = spans(&part.blank.region.outer)
            .into_iter()
            .find(|[low, high]| *low <= 0.0 && *high >= 0.0)?;
        let holes = part.blank.region.holes.iter().flat_map(spans);
        let pieces = holes.fold(vec![whole], without);
        let width_mm: f64 = pieces.iter().map(|[a, b]| b - a).sum();
        if width_mm <= plane::SAME_POINT_MM {
            return None;
        }
        let centre = pieces.iter().map(|[a, b]| (b - a) * (a + b) / 2.0).sum::<f64>() / width_mm;
        let second_mm3 = pieces
            .iter()
            .map(|[a, b]| {
                let (width, off) = (b - a, (a + b) / 2.0 - centre);
                width.powi(3) / 12.0 + width * off * off
            })
            .sum();
        let half_width_mm = pieces
            .iter()
            .flatten()
            .map(|edge| (edge - centre).abs())
            .fold(0.0, f64::max);
        Some(Section {
            width_mm,
            pieces: pieces.len(),
            centre_off_mm: centre,
            half_width_mm,
            second_mm3,
        })
    }
}

/// What is left of some spans when one is taken out.
fn without(spans: Vec<[f64; 2]>, [from, to]: [f64; 2]) -> Vec<[f64; 2]> {
    spans
        .into_iter()
        .flat_map(|[low, high]| [[low, high.min(from)], [low.max(to), high]])
        .filter(|[low, high]| high - low > plane::SAME_POINT_MM)
        .collect()
}
