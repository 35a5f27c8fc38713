//! How long it lasts: the range of stress of every load that comes again and again, at every kind of place.

use shell::{Face, InPlane, Recovered, Toe};

use crate::answer::{Detail, Lasts};
use crate::bracket::Bracket;
use crate::edge::{EdgeStress, of_face};
use crate::fatigue::{Block, Curve, Spread, life_band};
use crate::reading::Reader;
use crate::toes::range_mpa;

/// One load that comes again and again: its stresses.
pub(crate) struct Repeated<'a> {
    pub load: usize,
    pub per_day: f64,
    pub both_ways: bool,
    pub recovered: &'a Recovered,
    pub edges: &'a EdgeStress,
}

/// The part under its own weight: recovered stresses, and those along its edges.
type Rest<'a> = (&'a Recovered, &'a EdgeStress);

/// The worst place of each kind, the shortest life first. At each place the ranges of all loads are added up by Miner's
/// rule; the range of a load is the largest principal stress by which it differs from the part at rest under its own
/// weight (`rest`), twice that for a load that acts both ways. The local stress is held against the category of the detail
/// as it stands, which is on the short side at the rim of a hole, whose category has the notch in it already. At the toe of a
/// weld it is the structural stress, extrapolated, against a category meant for that.
pub(crate) fn lasts(reader: &Reader<'_>, rest: Rest<'_>, repeated: &[Repeated<'_>]) -> Vec<Lasts> {
    if repeated.is_empty() {
        return Vec::new();
    }
    let mut found: Vec<Lasts> = [Detail::Edge, Detail::Hole, Detail::Face, Detail::Toe]
        .into_iter()
        .filter_map(|detail| worst(reader, rest, repeated, detail, curve(reader.bracket, detail)?))
        .collect();
    found.sort_by(|a, b| a.life.short.days.total_cmp(&b.life.short.days));
    found
}

fn curve(bracket: &Bracket<'_>, detail: Detail) -> Option<Curve> {
    match detail {
        Detail::Edge => bracket.fatigue.edge,
        Detail::Hole => bracket.fatigue.hole,
        Detail::Face => bracket.fatigue.face,
        Detail::Toe => bracket.fatigue.toe,
    }
}

fn worst(
    reader: &Reader<'_>,
    rest: Rest<'_>,
    repeated: &[Repeated<'_>],
    detail: Detail,
    curve: Curve,
) -> Option<Lasts> {
    let damage = |blocks: &[Block]| -> f64 {
        let shares = blocks
            .iter()
            .map(|block| block.cycles / curve.cycles(block.range_mpa));
        shares.sum()
    };
    let mut worst: Option<(f64, u32, Vec<Block>)> = None;
    let mut keep = |node: u32, blocks: Vec<Block>| {
        let damage = damage(&blocks);
        if worst
            .as_ref()
            .is_none_or(|(most, ..)| damage.total_cmp(most).is_gt())
        {
            worst = Some((damage, node, blocks));
        }
    };
    if detail == Detail::Toe {
        for (node, toe) in reader
            .toes
            .toes
            .iter()
            .filter(|(node, _)| !reader.is_coupled(*node))
        {
            keep(*node, of_toe(toe, rest.0, repeated));
        }
    } else {
        for (index, at) in rest.0.nodes.iter().enumerate() {
            if !reader.passed_over[at.node as usize] && reader.detail(at.node) == detail {
                keep(at.node, blocks(rest, repeated, index).collect());
            }
        }
    }
    let (_, node, a_day) = worst?;
    let (hardest, block) = a_day
        .iter()
        .enumerate()
        .max_by(|a, b| a.1.range_mpa.total_cmp(&b.1.range_mpa))?;
    Some(Lasts {
        detail,
        at: reader.body.mesh.nodes[node as usize],
        range_mpa: block.range_mpa,
        load: repeated[hardest].load,
        life: life_band(curve, &a_day, &Spread::default()),
    })
}

/// At a toe the range is that of the structural stress, extrapolated.
fn of_toe(toe: &Toe, rest: &Recovered, repeated: &[Repeated<'_>]) -> Vec<Block> {
    let block = |load: &Repeated<'_>| {
        let range = |face| range_mpa(toe, face, rest, load.recovered);
        Block {
            range_mpa: load.ways() * range(Face::Upper).max(range(Face::Lower)),
            cycles: load.per_day,
        }
    };
    repeated.iter().map(block).collect()
}

impl Repeated<'_> {
    /// A load that acts both ways swings twice as far.
    fn ways(&self) -> f64 {
        if self.both_ways { 2.0 } else { 1.0 }
    }
}

fn blocks<'a>(
    rest: Rest<'a>,
    repeated: &'a [Repeated<'a>],
    index: usize,
) -> impl Iterator<Item = Block> + 'a {
    repeated.iter().map(move |load| {
        let of = |stresses: &Recovered, face| stresses.nodes[index].stress_mpa(face);
        let range = |face: Face| {
            let recovered = largest(of(load.recovered, face) - of(rest.0, face));
            match (&load.edges[index], &rest.1[index]) {
                (Some(edge), Some(rest)) => recovered.max((of_face(edge, face) - of_face(rest, face)).abs()),
                _ => recovered,
            }
        };
        Block {
            range_mpa: load.ways() * range(Face::Upper).max(range(Face::Lower)),
            cycles: load.per_day,
        }
    })
}

/// The principal value of largest size.
fn largest(stress: InPlane) -> f64 {
    let middle = (stress.xx + stress.yy) / 2.0;
    let radius = ((stress.xx - stress.yy) / 2.0).hypot(stress.xy);
    middle.abs() + radius
}
