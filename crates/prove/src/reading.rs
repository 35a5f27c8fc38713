//! What one solved case says: its peak, how the support moves, its bolts and welds.

use nalgebra::{Point3, Vector3};
use shell::{Face, Frame, InPlane, LoadCase, Near, NodeForces, Recovered, Singular, Why, Zones};

use crate::answer::{Case, Detail, Large, Part, Peak, PeakRule, Side};
use crate::body::{Body, Patch};
use crate::bracket::Bracket;
use crate::edge::{EdgeStress, of_face};
use crate::mounting::Mounted;
use crate::round::{Round, Solved};
use crate::toes::{self, NOT_READ, Toes};
use crate::{bolts, by_hand, joints, moves, seams, set};

/// What is needed to read any case of one mesh.
pub(crate) struct Reader<'a> {
    pub bracket: &'a Bracket<'a>,
    pub round: &'a Round,
    pub body: &'a Body,
    pub mounted: &'a Mounted,
    /// Nodes where stress is not read: under washers and within the reach of a coupling.
    pub passed_over: Vec<bool>,
    /// Nodes that something presses on.
    coupled: Vec<bool>,
    /// Nodes in the heat-affected zone of a weld.
    pub heated: Vec<bool>,
    /// What kind of place each node is, for fatigue.
    details: Vec<Detail>,
    /// Toes of the welds.
    pub toes: Toes,
    /// About places where stress has no bound.
    zones: Zones,
    /// How many of those are sharp corners; they come first.
    corners: usize,
}

/// At a sharp inside corner the stress beside it is taken this often: a cut corner has the radius of half a kerf, and the
/// notch factor of such a shoulder lies near two; common practice, no source.
const NOTCH: f64 = 2.0;

impl<'a> Reader<'a> {
    pub fn new(bracket: &'a Bracket<'a>, round: &'a Round) -> Self {
        let nodes = round.mounted.model.mesh.nodes.len();
        let mut passed_over = vec![false; nodes];
        for &node in &round.mounted.coupled {
            passed_over[node as usize] = true;
        }
        let coupled = passed_over.clone();
        // Where plates were welded on: on the face of the part, half a thickness off its middle.
        let added = round.welded.iter().flat_map(|welded| &welded.nodes);
        let added = added.map(|(node, _)| round.mounted.model.mesh.nodes[*node as usize]);
        let added: Vec<Point3<f64>> = added.collect();
        let mut heated = vec![false; nodes];
        if let Some(beside) = bracket.metal.beside_weld {
            let toes: Vec<Point3<f64>> = round
                .body
                .seams
                .iter()
                .flat_map(|seam| seam.first.iter().chain(&seam.second))
                .map(|&node| round.body.mesh.nodes[node as usize])
                .chain(added.iter().copied())
                .collect();
            let toes = Near::new(toes);
            for (&at, hot) in round.body.mesh.nodes.iter().zip(&mut heated) {
                *hot = toes.within(at, beside.width_mm).is_some();
            }
        }
        let mut details = vec![Detail::Face; nodes];
        for &node in round.body.edges.iter().flatten() {
            details[node as usize] = Detail::Edge;
        }
        for &node in round
            .body
            .rims
            .iter()
            .filter(|rim| rim.round.is_some())
            .flat_map(|rim| &rim.nodes)
        {
            details[node as usize] = Detail::Hole;
        }
        for &node in round
            .body
            .seams
            .iter()
            .flat_map(|seam| seam.first.iter().chain(&seam.second))
        {
            details[node as usize] = Detail::Toe;
        }
        let mesh = &round.body.mesh;
        let thickness_mm = bracket.part.thickness_mm;
        let mut singular = round.body.sharp_corners();
        let corners = singular.len();
        let sharp = singular.iter().flat_map(|corner| &corner.nodes);
        let sharp = Near::new(sharp.map(|&corner| mesh.nodes[corner as usize]));
        let toes = Toes::of(&round.body);
        let added = Near::new(added);
        let beside_added_mm = NOT_READ.hypot(0.5) * thickness_mm;
        for (&at, passed) in mesh.nodes.iter().zip(&mut passed_over) {
            let in_corner = sharp
                .within(at, thickness_mm)
                .is_some_and(|far| far < thickness_mm);
            let at_added = added.within(at, beside_added_mm).is_some();
            *passed |= in_corner || at_added || toes.covers(at, thickness_mm);
        }
        singular.push(Singular {
            nodes: round.mounted.coupled.clone(),
            why: Why::Coupled,
        });
        Reader {
            details,
            zones: Zones::new(mesh, &round.rest, &singular, thickness_mm),
            corners,
            toes,
            bracket,
            round,
            body: &round.body,
            mounted: &round.mounted,
            passed_over,
            coupled,
            heated,
        }
    }

    /// The highest stress for what the metal stands there: beside a weld less than elsewhere; at a sharp inside corner,
    /// where no mesh is fine enough, the stress beside it times a notch factor.
    pub fn peak(&self, solved: &Solved) -> Option<Peak> {
        self.peak_of(&solved.recovered, &solved.edges)
    }

    /// The same of any smoothed stresses of this mesh, with those along its free edges.
    pub fn peak_of(&self, recovered: &Recovered, edges: &EdgeStress) -> Option<Peak> {
        let weakened = match (self.bracket.metal.yield_mpa, self.bracket.metal.beside_weld) {
            (Some(away), Some(beside)) if beside.yield_mpa > 0.0 => away / beside.yield_mpa,
            _ => 1.0,
        };
        let mut worst: Option<(f64, Peak)> = None;
        let mut keep = |peak: Peak| {
            let weighed = peak.mises_mpa * if peak.beside_weld { weakened } else { 1.0 };
            if worst
                .as_ref()
                .is_none_or(|(most, _)| weighed.total_cmp(most).is_gt())
            {
                worst = Some((weighed, peak));
            }
        };
        let read = recovered.nodes.iter().zip(edges);
        for (at, edge) in read.filter(|(at, _)| !self.passed_over[at.node as usize]) {
            for face in [Face::Upper, Face::Lower] {
                let told = self.told(at, face);
                let along_mpa = edge.as_ref().map_or(0.0, |edge| of_face(edge, face));
                // A free edge carries stress along itself alone, and its stretch tells it better.
                keep(if along_mpa.abs() > told.mises_mpa {
                    Peak {
                        mises_mpa: along_mpa.abs(),
                        principal_mpa: along_mpa,
                        ..told
                    }
                } else {
                    told
                });
            }
        }
        let corners =
            (0..self.corners).filter_map(|corner| self.zones.nominal(corner, &self.body.mesh, recovered));
        for nominal in corners.filter(|nominal| !self.passed_over[nominal.node as usize]) {
            let beside = self.told(&recovered.nodes[nominal.slot], nominal.face);
            keep(Peak {
                mises_mpa: beside.mises_mpa * NOTCH,
                principal_mpa: beside.principal_mpa * NOTCH,
                rule: PeakRule::Notch { factor: NOTCH },
                ..beside
            });
        }
        for (node, toe) in self.toes.toes.iter().filter(|(node, _)| !self.is_coupled(*node)) {
            for face in [Face::Upper, Face::Lower] {
                let (stress, _) = toe.stress_mpa(recovered, face);
                keep(Peak {
                    rule: PeakRule::HotSpot,
                    ..self.told_of(stress, &toe.frame, face, *node, toe.patch)
                });
            }
        }
        worst.map(|(_, peak)| peak)
    }

    /// A stress at a node, told.
    fn told(&self, at: &NodeForces, face: Face) -> Peak {
        self.told_of(at.stress_mpa(face), &at.frame, face, at.node, at.patch)
    }

    fn told_of(&self, stress: InPlane, frame: &Frame, face: Face, node: u32, patch: u32) -> Peak {
        let (principal_mpa, direction) = toes::larger(stress.principal(frame), &frame.normal);
        Peak {
            mises_mpa: stress.von_mises(),
            principal_mpa,
            direction,
            side: match face {
                Face::Upper => Side::Marked,
                Face::Lower => Side::Far,
            },
            in_: self.part(patch),
            at: self.body.mesh.nodes[node as usize],
            blank_at: self.body.blank_at[node as usize],
            beside_weld: self.heated[node as usize],
            rule: PeakRule::Recovered,
        }
    }

    /// Does something press on the plate at a node?
    pub fn is_coupled(&self, node: u32) -> bool {
        self.coupled[node as usize]
    }

    /// What kind of place a node is.
    pub fn detail(&self, node: u32) -> Detail {
        self.details[node as usize]
    }

    pub fn part(&self, patch: u32) -> Part {
        match self.body.patches[patch as usize] {
            Patch::Panel(panel) => Part::Panel(panel),
            Patch::Bend(bend) => Part::Bend(bend),
        }
    }

    /// A case, told.
    pub fn case(&self, solved: &Solved, buckles_at: Option<f64>) -> Case {
        let peak = self.peak(solved);
        let (force_n, moment_n_mm, at) = self.resultant(&solved.case);
        let bolts = bolts::bolts(self.mounted, &solved.solution);
        let moved = |node: u32| self.round.moved(solved, node);
        let arm = self
            .bracket
            .support_at()
            .and_then(|at| moves::arm(self.bracket, at));
        let set = peak.zip(self.bracket.metal.yield_mpa).map(|(peak, yield_mpa)| {
            let outside = solved.forces.iter().zip(&self.body.mesh.triangles);
            let outside = outside
                .filter(|(_, triangle)| triangle.iter().all(|&node| !self.passed_over[node as usize]))
                .map(|(force, _)| force);
            set::set(peak.mises_mpa, yield_mpa, outside)
        });
        Case {
            name: solved.acting.name.clone(),
            loads: solved.acting.loads.clone(),
            sudden: solved.acting.sudden,
            force_n,
            peak,
            moves: self.mounted.support.map(|node| moves::moves(&moved(node), arm)),
            load_moves_mm: solved
                .acting
                .loads
                .iter()
                .map(|&load| moved(self.mounted.load_nodes[load]).fixed_rows::<3>(0).into())
                .collect(),
            bolts_judged: bolts
                .iter()
                .map(|forces| joints::judge(self.bracket, forces))
                .collect(),
            bolts,
            welds: seams::forces(
                self.bracket,
                &self.mounted.model.mesh,
                &self.mounted.seams,
                &solved.solution,
            ),
            by_hand: by_hand::strip(self.bracket, at, force_n, moment_n_mm),
            buckles_at,
            set,
            large: self.large(solved),
        }
    }

    /// Does the part move too far for the linear answer?
    fn large(&self, solved: &Solved) -> Option<Large> {
        let believable = shell::believable(&self.mounted.model.mesh, &solved.solution);
        (!believable.is_small()).then(|| Large {
            in_thicknesses: believable.over_thickness,
            linear_mm: self.round.watched_mm(solved),
            followed: None,
        })
    }

    /// All that comes on the part from outside as one force and moment, at the first place where a load comes in; own
    /// weight left out.
    fn resultant(&self, case: &LoadCase) -> (Vector3<f64>, Vector3<f64>, Point3<f64>) {
        let nodes = &self.mounted.model.mesh.nodes;
        let at = case
            .at_nodes
            .first()
            .map_or_else(Point3::origin, |(node, _)| nodes[*node as usize]);
        let mut force_n = Vector3::zeros();
        let mut moment_n_mm = Vector3::zeros();
        for (node, both) in &case.at_nodes {
            let force: Vector3<f64> = both.fixed_rows::<3>(0).into();
            let moment: Vector3<f64> = both.fixed_rows::<3>(3).into();
            force_n += force;
            moment_n_mm += moment + (nodes[*node as usize] - at).cross(&force);
        }
        (force_n, moment_n_mm, at)
    }
}
