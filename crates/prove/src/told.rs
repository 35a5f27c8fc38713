//! The answer out of a solved mesh: cases, lives, checks, the test for the bench, the picture.

use nalgebra::Vector3;
use rayon::prelude::*;
use shell::{Face, PanelForces};

use crate::answer::{Answer, Case, Picture, Trust};
use crate::bracket::Bracket;
use crate::judge;
use crate::lasts::{self, Repeated};
use crate::load::Act;
use crate::proof::{ProofTest, STEPS, Step};
use crate::reading::Reader;
use crate::round::{Round, Solved, Whole};

/// The answer of one mesh, whose error nobody has asked for.
pub(crate) fn told_once(bracket: &Bracket<'_>, round: &Round) -> Answer {
    let trust = Trust {
        unknowns: round.unknowns,
        meshes: 1,
        movement: f64::INFINITY,
        stress: f64::INFINITY,
        reached: false,
    };
    told(bracket, round, &Whole::default(), trust)
}

/// The answer of a mesh.
pub(crate) fn told(bracket: &Bracket<'_>, round: &Round, whole: &Whole, trust: Trust) -> Answer {
    let reader = Reader::new(bracket, round);
    let cases: Vec<Case> = round
        .solved
        .par_iter()
        .enumerate()
        .map(|(index, solved)| reader.case(solved, whole.buckles_at.get(index).copied().flatten()))
        .collect();
    let repeated: Vec<Repeated<'_>> = round
        .solved
        .iter()
        .filter_map(|solved| {
            let [load] = solved.acting.loads[..] else {
                return None;
            };
            let said = &bracket.loads[load];
            Some(Repeated {
                load,
                per_day: said.per_day?,
                both_ways: said.both_ways,
                recovered: &solved.recovered,
                edges: &solved.edges,
            })
        })
        .collect();
    let lasts = lasts::lasts(&reader, (&round.rest, &round.rest_edges), &repeated);
    let checks = judge::checks(bracket, &cases, &lasts, whole.first_hz);
    let missing = judge::missing(bracket, &cases, &trust);
    Answer {
        proof: proof_test(bracket, round),
        checks,
        missing,
        first_hz: whole.first_hz,
        lasts,
        trust,
        picture: picture(&reader, round),
        cases,
    }
}

/// The test for the bench stands for the load that moves the support most among those that come on slowly: it is pulled
/// the same way.
fn proof_test(bracket: &Bracket<'_>, round: &Round) -> Option<ProofTest> {
    let moved = |solved: &Solved| -> Option<(usize, Vector3<f64>, f64)> {
        let [load] = solved.acting.loads[..] else {
            return None;
        };
        if solved.acting.sudden {
            return None;
        }
        let Act::Push { force_n, .. } = bracket.loads[load].act else {
            return None;
        };
        let toward = force_n.try_normalize(f64::EPSILON)?;
        let node = round.mounted.load_nodes[load];
        Some((
            load,
            toward,
            round.moved(solved, node).fixed_rows::<3>(0).dot(&toward),
        ))
    };
    let (load, toward, moved_mm) = round
        .solved
        .iter()
        .filter_map(moved)
        .max_by(|a, b| a.2.total_cmp(&b.2))?;
    let Act::Push { force_n, .. } = bracket.loads[load].act else {
        return None;
    };
    let factor = bracket.loads[load].factor;
    let size_n = force_n.norm();
    Some(ProofTest {
        load,
        toward,
        steps: STEPS
            .iter()
            .map(|share| Step::new(size_n * share, moved_mm * share / factor))
            .collect(),
    })
}

fn picture(reader: &Reader<'_>, round: &Round) -> Picture {
    let mesh = &round.body.mesh;
    let higher = |forces: &PanelForces| {
        let [upper, lower] = [Face::Upper, Face::Lower].map(|face| forces.stress_mpa(face));
        std::array::from_fn(|corner| upper[corner].von_mises().max(lower[corner].von_mises()))
    };
    let nodes = mesh.nodes.len();
    Picture {
        nodes: mesh.nodes.clone(),
        triangles: mesh.triangles.clone(),
        parts: mesh.patches.iter().map(|&patch| reader.part(patch)).collect(),
        mises_mpa: round
            .solved
            .iter()
            .map(|solved| solved.forces.iter().map(higher).collect())
            .collect(),
        moves_mm: round
            .solved
            .iter()
            .map(|solved| {
                (0..nodes as u32)
                    .map(|node| round.moved(solved, node).fixed_rows::<3>(0).into())
                    .collect()
            })
            .collect(),
    }
}
