//! The stress to report: the highest away from places where it has no bound, and the rules that stand in for it there.

use crate::stress::{Face, InPlane, Principal};
use crate::{Frame, Mesh, Point, Vector};

use super::recover::Recovered;
use super::singular::Singular;

/// A point is on a triangle when it is within this share of the triangle's size outside of it, seen from above.
const ON_TRIANGLE: f64 = 1e-6;

/// A point belongs to a triangle when it is no higher over it than this many thicknesses: facets of a bend stand off its
/// cylinder by less.
const OVER_TRIANGLE: f64 = 0.5;

/// A stress at a node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Peak {
    /// The node.
    pub node: u32,
    /// As seen by this patch.
    pub patch: u32,
    /// At this face.
    pub face: Face,
    /// Where.
    pub at: Point,
    /// By von Mises, MPa.
    pub von_mises_mpa: f64,
    /// Its principal stresses and the direction of the first.
    pub principal: Principal,
}

/// About a singular place: what lies within is not reported as it was worked out.
#[derive(Debug, Clone, PartialEq)]
pub struct Zone {
    /// The place.
    pub singular: Singular,
    /// What lies nearer to its nodes than this is left out, mm.
    pub radius_mm: f64,
    /// The nominal stress: the highest between one and two radii from its nodes and outside all other zones. The stress at the
    /// place is this times a notch factor, or follows from the forces of the joint; at a weld toe [`hot_spot`] is
    /// the rule. None when no node lies there.
    pub nominal: Option<Peak>,
}

/// What to report of a solution's stresses.
#[derive(Debug, Clone, PartialEq)]
pub struct Peaks {
    /// The highest outside all zones; none when they cover the part.
    pub highest: Option<Peak>,
    /// The zones that were left out.
    pub zones: Vec<Zone>,
}

/// The highest recovered stress outside the zones of `radius_mm` about singular places, and the nominal stress beside
/// each. A radius of one thickness leaves out what the plate, which is no ideal surface, does not show.
#[must_use]
pub fn peaks(mesh: &Mesh, recovered: &Recovered, singular: &[Singular], radius_mm: f64) -> Peaks {
    let place = |node: u32| mesh.nodes[node as usize];
    let far = |zone: &Singular, at: Point| {
        zone.nodes
            .iter()
            .map(|&node| (place(node) - at).norm())
            .fold(f64::INFINITY, f64::min)
    };
    let mut highest: Option<Peak> = None;
    let mut nominal: Vec<Option<Peak>> = vec![None; singular.len()];
    for forces in &recovered.nodes {
        let at = place(forces.node);
        let distances: Vec<f64> = singular.iter().map(|zone| far(zone, at)).collect();
        if distances.iter().any(|&far| far < radius_mm) {
            continue;
        }
        for face in [Face::Upper, Face::Lower] {
            let stress = forces.stress_mpa(face);
            let von_mises_mpa = stress.von_mises();
            let higher = |than: &Option<Peak>| than.is_none_or(|peak| von_mises_mpa > peak.von_mises_mpa);
            let peak = || Peak {
                node: forces.node,
                patch: forces.patch,
                face,
                at,
                von_mises_mpa,
                principal: stress.principal(&forces.frame),
            };
            if higher(&highest) {
                highest = Some(peak());
            }
            for (zone, &far) in nominal.iter_mut().zip(&distances) {
                if far <= 2.0 * radius_mm && higher(zone) {
                    *zone = Some(peak());
                }
            }
        }
    }
    Peaks {
        highest,
        zones: singular
            .iter()
            .zip(nominal)
            .map(|(singular, nominal)| Zone {
                singular: singular.clone(),
                radius_mm,
                nominal,
            })
            .collect(),
    }
}

/// The structural stress at the toe of a weld, and what it was extrapolated from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HotSpot {
    /// Square to the toe, MPa: 1.67 times what is 0.4 thicknesses away less 0.67 times what is 1.0 thickness away.
    pub stress_mpa: f64,
    /// Square to the toe at 0.4 and 1.0 thicknesses from it, MPa.
    pub read_mpa: [f64; 2],
}

/// Structural stress at a weld toe by linear extrapolation from 0.4 and 1.0 thicknesses (International Institute of
/// Welding, recommendations for fatigue design, type a, fine mesh; factors from memory). `away` leads along the plate
/// from the toe, square to it. None when the plate ends before that.
#[must_use]
pub fn hot_spot(
    mesh: &Mesh,
    recovered: &Recovered,
    patch: u32,
    toe: Point,
    away: Vector,
    face: Face,
) -> Option<HotSpot> {
    const AT: [f64; 2] = [0.4, 1.0];
    const FACTORS: [f64; 2] = [1.67, -0.67];
    let away = away.try_normalize(0.0)?;
    let thickness_mm = recovered
        .nodes
        .iter()
        .find(|forces| forces.patch == patch)?
        .thickness_mm;
    let mut read_mpa = [0.0; 2];
    for (read, share) in read_mpa.iter_mut().zip(AT) {
        let (stress, frame) = stress_at(mesh, recovered, patch, toe + away * (share * thickness_mm), face)?;
        let (c, s) = (away.dot(&frame.x), away.dot(&frame.y));
        let square = c * c + s * s;
        *read = (stress.xx * c * c + stress.yy * s * s + 2.0 * stress.xy * c * s) / square;
    }
    Some(HotSpot {
        stress_mpa: FACTORS[0] * read_mpa[0] + FACTORS[1] * read_mpa[1],
        read_mpa,
    })
}

/// The recovered stress at a place of a patch, linear between nodes, and its axes.
fn stress_at(
    mesh: &Mesh,
    recovered: &Recovered,
    patch: u32,
    at: Point,
    face: Face,
) -> Option<(InPlane, Frame)> {
    for t in (0..mesh.triangles.len()).filter(|&t| mesh.patches[t] == patch) {
        let corners = mesh.corners(t);
        let frame = Frame::along_edge(&corners);
        let [a, b, c] = corners;
        let whole = (b - a).cross(&(c - a)).dot(&frame.normal);
        let shares =
            [(b, c), (c, a), (a, b)].map(|(p, q)| (p - at).cross(&(q - at)).dot(&frame.normal) / whole);
        let high = (at - a).dot(&frame.normal).abs();
        let nodes = recovered.of_triangle[t].map(|slot| &recovered.nodes[slot as usize]);
        if shares.iter().all(|&share| share >= -ON_TRIANGLE) && high <= OVER_TRIANGLE * nodes[0].thickness_mm
        {
            let mut stress = InPlane::default();
            for (forces, share) in nodes.into_iter().zip(shares) {
                let seen = super::recover::turned(&forces.frame, &frame, forces.stress_mpa(face));
                stress = stress + seen * share;
            }
            return Some((stress, frame));
        }
    }
    None
}
