//! The folded part under the load that is tightest, as a body to be turned: levels in the bands of the drawing, how it
//! moves, what pushes, what decides.

use draw::{Arrow, Levels, Spot, StressPicture, StressPictureError};
use nalgebra::{Point3, Vector3};
use serde::Serialize;

use crate::make::holding::with_stress;
use crate::make::title_block;
use crate::report;
use crate::run::Outcome;

/// Places leave to a hundredth of what a caliper reads.
const DECIMALS: f64 = 1e4;

/// The part under its load, in the axes of the equipment.
#[derive(Debug, Clone, Serialize)]
pub struct HeldShape {
    /// Which load, in words.
    pub load: String,
    /// What a level is.
    pub level_is: String,
    /// Points of the middle of the plate, x, y, z one after another, mm.
    pub points_mm: Vec<f64>,
    /// Corners of triangles, three after three.
    pub triangles: Vec<u32>,
    /// For each corner, in the order of `triangles`: how far up the bands its level is, 0 to 1.
    pub shares: Vec<f64>,
    /// Ends of the edges that are drawn, two after two.
    pub edges: Vec<u32>,
    /// The bands, the lowest first.
    pub bands: Vec<BandRow>,
    /// How each point moves, x, y, z one after another, mm, true size; empty when it does not.
    pub moves_mm: Vec<f64>,
    /// How many times larger the movement is drawn.
    pub times: f64,
    /// The same in words.
    pub moves_say: String,
    /// What may be, in words.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub allowed: Option<String>,
    /// Where the level is highest.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub worst: Option<Pointed>,
    /// Bolts.
    pub bolts: Vec<Pointed>,
    /// What pushes.
    pub pushes: Vec<Pushes>,
    /// The highest level in each panel and bend, by name.
    pub panels: Vec<[String; 2]>,
    /// What is used most of its limit, in words; the tightest first.
    pub tightest: Vec<String>,
    /// How heavy it is and where it hangs.
    pub heavy: Vec<String>,
    /// Where its middle is, mm.
    pub hangs_mm: [f64; 3],
}

/// A band of levels.
#[derive(Debug, Clone, Serialize)]
pub struct BandRow {
    /// Its colour, as SVG writes it.
    pub colour: String,
    /// Its lower limit, in both systems.
    pub from: String,
    /// Its upper.
    pub to: String,
}

/// A place with words.
#[derive(Debug, Clone, Serialize)]
pub struct Pointed {
    /// Where, mm.
    pub at_mm: [f64; 3],
    /// What is called so.
    pub label: String,
    /// More of it.
    pub says: String,
}

/// A force on the part.
#[derive(Debug, Clone, Serialize)]
pub struct Pushes {
    /// Where, mm.
    pub at_mm: [f64; 3],
    /// Which way, a unit vector.
    pub toward: [f64; 3],
    /// How hard, in words.
    pub label: String,
}

/// How many of the checks are told as what breaks first.
const TIGHTEST: usize = 3;

/// The part under the load that is tightest; none when the proof was not asked.
///
/// # Errors
/// [`StressPictureError`]
pub fn held_shape(outcome: &Outcome) -> Option<Result<HeldShape, StressPictureError>> {
    with_stress(outcome, &title_block(outcome), |told| shape(outcome, told))
}

fn shape(outcome: &Outcome, told: &StressPicture<'_>) -> Result<HeldShape, StressPictureError> {
    let bands = draw::stress_bands(told)?;
    let (pose, _) = report::pose(&outcome.worked);
    let hangs = pose * outcome.worked.part.centre_of_mass();
    let words = |level: f64| units::stress(level);
    let (moves_mm, times) = told.moved.map_or((Vec::new(), 1.0), |moved| {
        let all = moved.moves_mm.iter().flat_map(|by| [by.x, by.y, by.z]);
        (all.map(finely).collect(), moved.times)
    });
    let most_mm = told.moved.map_or(0.0, |moved| {
        moved.moves_mm.iter().map(Vector3::norm).fold(0.0, f64::max)
    });
    debug_assert!(matches!(told.levels, Levels::AtCorners(_)));
    let checks = outcome.summary.prove.iter().flat_map(|prove| &prove.checks);
    Ok(HeldShape {
        load: told.load.clone(),
        level_is: told.level_is.clone(),
        points_mm: told
            .points_mm
            .iter()
            .flat_map(|at| [at.x, at.y, at.z])
            .map(rounded)
            .collect(),
        triangles: told.triangles.iter().flatten().copied().collect(),
        shares: bands.shares.iter().flatten().copied().map(rounded).collect(),
        edges: edges(told),
        bands: bands
            .colours
            .iter()
            .zip(bands.says.windows(2))
            .map(|(colour, says)| BandRow {
                colour: colour.clone(),
                from: says[0].clone(),
                to: says[1].clone(),
            })
            .collect(),
        moves_mm,
        times,
        moves_say: if times > 1.0 {
            format!(
                "It moves by {} at most; the moved shape shows that {times} times larger.",
                units::both(most_mm)
            )
        } else {
            format!(
                "It moves by {} at most; the moved shape is true to size.",
                units::both(most_mm)
            )
        },
        allowed: told
            .allowed
            .as_ref()
            .map(|allowed| format!("{}: {}", words(allowed.level), allowed.says)),
        worst: told.worst.as_ref().map(pointed),
        bolts: told.bolts.iter().map(pointed).collect(),
        pushes: told.loads.iter().filter_map(pushes).collect(),
        panels: told
            .panels
            .iter()
            .map(|(name, level)| [name.clone(), words(*level)])
            .collect(),
        tightest: checks
            .take(TIGHTEST)
            .map(|check| format!("{} ({:.0} % of its limit)", check.says, 100.0 * check.used.0))
            .collect(),
        heavy: heavy(outcome, hangs),
        hangs_mm: three(hangs),
    })
}

/// The rim of the plate, and where bends begin and end.
fn edges(told: &StressPicture<'_>) -> Vec<u32> {
    let mut sides: Vec<[u32; 2]> = told
        .triangles
        .iter()
        .flat_map(|&[a, b, c]| [[a, b], [b, c], [c, a]])
        .map(|[from, to]| [from.min(to), from.max(to)])
        .collect();
    sides.sort_unstable();
    let rim = sides
        .chunk_by(|one, other| one == other)
        .filter(|side| side.len() == 1)
        .map(|side| side[0]);
    rim.chain(told.creases.iter().copied()).flatten().collect()
}

/// "0.52 kg (1.15 lb)", and where that hangs.
fn heavy(outcome: &Outcome, hangs: Point3<f64>) -> Vec<String> {
    let mut says: Vec<String> = outcome
        .summary
        .folded
        .iter()
        .map(|folded| format!("It weighs {}.", units::mass(folded.mass_kg.0)))
        .collect();
    let [x, y, z] = [hangs.x, hangs.y, hangs.z].map(units::both);
    says.push(format!(
        "That hangs at x {x}, y {y}, z {z} in the axes of the equipment."
    ));
    let mounts = outcome
        .worked
        .standing
        .iter()
        .flat_map(|standing| &standing.mounts);
    let nearest = mounts
        .map(|mount| (&mount.name, (mount.at - hangs).norm()))
        .min_by(|one, other| one.1.total_cmp(&other.1));
    says.extend(
        nearest.map(|(name, mm)| format!("The nearest mount, {name}, is {} from there.", units::both(mm))),
    );
    says
}

fn pointed(spot: &Spot) -> Pointed {
    Pointed {
        at_mm: three(spot.at_mm),
        label: spot.label.clone(),
        says: spot.says.clone(),
    }
}

fn pushes(arrow: &Arrow) -> Option<Pushes> {
    let toward = arrow.toward.try_normalize(0.0)?;
    Some(Pushes {
        at_mm: three(arrow.at_mm),
        toward: [toward.x, toward.y, toward.z].map(rounded),
        label: arrow.label.clone(),
    })
}

fn rounded(value: f64) -> f64 {
    (value * DECIMALS).round() / DECIMALS + 0.0
}

/// Movements are small and are drawn many times larger.
fn finely(value: f64) -> f64 {
    (value * 1e7).round() / 1e7 + 0.0
}

fn three(at: Point3<f64>) -> [f64; 3] {
    [at.x, at.y, at.z].map(rounded)
}
