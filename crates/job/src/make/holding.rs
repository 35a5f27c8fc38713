//! The picture of stress and the card of the test on the bench.

use draw::{
    Allowed, Arrow, LevelUnit, Levels, MovedShape, ProofCard, ProofStep, ProofView, Spot, StressPicture,
    StressPictureError, TitleBlock, WritingHand,
};
use nalgebra::{Isometry3, Point3, Vector3};
use prove::{Act, Answer, At, Bracket, Case, Part, What};
use units::NEWTON_PER_KGF;

use crate::files::model::Hand;
use crate::judge;
use crate::run::{Outcome, Worked};
use crate::stages::carrying;
use crate::summary::ProofPlan;

/// The largest movement is drawn about this share of the part's size: enough to be seen, too little to mistake the shape.
const SHOWN_SHARE: f64 = 0.08;
/// A bucket heavier than this is not lifted by one hand, N.
const BUCKET_N: f64 = 250.0;

/// The picture of the case whose plate is nearest to its limit; none when the proof was not asked.
pub(super) fn stress(outcome: &Outcome, block: &TitleBlock) -> Option<Result<String, StressPictureError>> {
    with_stress(outcome, block, draw::stress_svg)
}

/// What that picture is told, given to whoever shows it.
pub(crate) fn with_stress<T>(
    outcome: &Outcome,
    block: &TitleBlock,
    show: impl FnOnce(&StressPicture<'_>) -> T,
) -> Option<T> {
    let worked = &outcome.worked;
    let answer = worked.held.answer()?;
    let bracket = carrying::bracket(worked)?;
    let index = shown(answer)?;
    let case = &answer.cases[index];
    let picture = &answer.picture;
    let levels = picture.mises_mpa.get(index)?;
    let moves_mm = picture.moves_mm.get(index)?;
    let margins = &bracket.margins;
    let margin = if case.sudden {
        margins.sudden
    } else {
        margins.on_yield
    };
    let asked = format!("{margin:.1} asked for");
    let told = StressPicture {
        block: block.clone(),
        load: case_words(outcome, case),
        thickness_mm: bracket.part.thickness_mm,
        points_mm: &picture.nodes,
        triangles: &picture.triangles,
        levels: Levels::AtCorners(levels),
        level_is: "The larger of the two faces' von Mises stress".into(),
        unit: LevelUnit::Megapascal,
        limits: Vec::new(),
        allowed: bracket.metal.yield_mpa.map(|yields| Allowed {
            level: yields / margin,
            says: format!("yield {} over {margin:.1}", units::stress(yields)),
        }),
        moved: times(&picture.nodes, moves_mm).map(|times| MovedShape { moves_mm, times }),
        creases: &creases(answer),
        worst: case.peak.as_ref().map(|peak| Spot {
            at_mm: peak.at,
            label: format!(
                "{} in {}",
                units::stress(peak.mises_mpa),
                judge::part_name(worked, peak.in_)
            ),
            says: bracket.metal.yield_mpa.map_or(String::new(), |yields| {
                format!(
                    "{}; yields at {:.1} times the load, {asked}",
                    judge::face_words(peak.side),
                    yields / peak.mises_mpa
                )
            }),
        }),
        loads: case
            .loads
            .iter()
            .filter_map(|&load| arrow(&bracket, load))
            .collect(),
        bolts: bolts(&bracket, case),
        panels: panels(worked, &bracket, answer, levels),
        axes: Default::default(),
    };
    Some(show(&told))
}

/// The case whose plate is nearest to its limit; without limits the one with the highest stress.
fn shown(answer: &Answer) -> Option<usize> {
    let nearest = answer
        .checks
        .iter()
        .find(|check| matches!(check.what, What::Yield | What::Ultimate))
        .and_then(|check| check.case);
    nearest.or_else(|| {
        let peak = |case: usize| answer.cases[case].peak.map_or(0.0, |peak| peak.mises_mpa);
        (0..answer.cases.len()).max_by(|&a, &b| peak(a).total_cmp(&peak(b)))
    })
}

/// "push: push: 250 N ...", as the summary has it; for several at once their names.
fn case_words(outcome: &Outcome, case: &Case) -> String {
    let said = outcome.summary.carries.as_ref();
    let row = said.and_then(|said| said.loads.iter().find(|load| load.name == case.name));
    match row {
        Some(row) => format!("\"{}\": {}", row.name, row.says),
        None => format!("\"{}\"", case.name),
    }
}

/// How many times larger movement is drawn: 1, 2 or 5 of a power of ten, that it shows; none when nothing moves.
fn times(points: &[Point3<f64>], moves_mm: &[Vector3<f64>]) -> Option<f64> {
    let most_mm = moves_mm.iter().map(|moves| moves.norm()).fold(0.0, f64::max);
    let mut low = Vector3::repeat(f64::INFINITY);
    let mut high = Vector3::repeat(f64::NEG_INFINITY);
    for point in points {
        low = low.inf(&point.coords);
        high = high.sup(&point.coords);
    }
    let wanted = SHOWN_SHARE * (high - low).norm() / most_mm;
    if !wanted.is_finite() || wanted <= 0.0 {
        return None;
    }
    let power = 10f64.powf(wanted.log10().floor());
    let step = [5.0, 2.0, 1.0].into_iter().find(|step| step * power <= wanted);
    Some((step.unwrap_or(1.0) * power).max(1.0))
}

/// Edges of the mesh where one part meets another.
fn creases(answer: &Answer) -> Vec<[u32; 2]> {
    let picture = &answer.picture;
    let mut edges: Vec<([u32; 2], Part)> = picture
        .triangles
        .iter()
        .zip(&picture.parts)
        .flat_map(|(&[a, b, c], &part)| {
            [[a, b], [b, c], [c, a]].map(|[from, to]| ([from.min(to), from.max(to)], part))
        })
        .collect();
    edges.sort_by_key(|(edge, _)| *edge);
    edges
        .windows(2)
        .filter(|pair| pair[0].0 == pair[1].0 && pair[0].1 != pair[1].1)
        .map(|pair| pair[0].0)
        .collect()
}

/// Middle of some openings, where the part stands.
fn middle(bracket: &Bracket<'_>, openings: &[usize]) -> Option<Point3<f64>> {
    let mut sum = Vector3::zeros();
    for &opening in openings {
        sum += (bracket.pose * bracket.part.opening_in_space(opening)?.at).coords;
    }
    (!openings.is_empty()).then(|| Point3::from(sum / openings.len() as f64))
}

/// Where a load comes in.
fn place(bracket: &Bracket<'_>, load: usize) -> Option<Point3<f64>> {
    match &bracket.loads.get(load)?.at {
        At::Support => middle(bracket, &bracket.support.as_ref()?.openings),
        At::Openings(openings) => middle(bracket, openings),
        At::Point(point) | At::Plate(point) => Some(*point),
    }
}

fn arrow(bracket: &Bracket<'_>, load: usize) -> Option<Arrow> {
    let of = bracket.loads.get(load)?;
    let (toward, words) = match of.act {
        Act::Push { force_n, moment_n_mm } if force_n.norm() <= 0.0 => (
            moment_n_mm,
            format!(
                "{}: turn of {} about this",
                of.name,
                units::moment(moment_n_mm.norm())
            ),
        ),
        Act::Push { force_n, .. } => (force_n, format!("{} {}", of.name, units::force(force_n.norm()))),
        Act::Drop {
            mass_kg,
            height_mm,
            toward,
        } => (
            toward.into_inner(),
            format!(
                "{}: {} from {}",
                of.name,
                units::mass(mass_kg),
                units::both(height_mm)
            ),
        ),
    };
    (toward.norm() > 0.0).then_some(Arrow {
        at_mm: place(bracket, load)?,
        toward,
        label: words,
    })
}

fn bolts(bracket: &Bracket<'_>, case: &Case) -> Vec<Spot> {
    let spots = bracket.mounts.iter().enumerate().filter_map(|(index, mount)| {
        let says = case.bolts.get(index).map_or(String::new(), |bolt| {
            format!(
                "pull {}, across {}",
                units::force(bolt.tension_n),
                units::force(bolt.shear_n.norm())
            )
        });
        Some(Spot {
            at_mm: middle(bracket, &[mount.opening])?,
            label: mount.name.clone(),
            says,
        })
    });
    spots.collect()
}

/// The largest level in each panel and bend, away from what presses on the plate: under a washer and at its rim no stress
/// is read.
fn panels(
    worked: &Worked,
    bracket: &Bracket<'_>,
    answer: &Answer,
    levels: &[[f64; 3]],
) -> Vec<(String, f64)> {
    let t_mm = bracket.part.thickness_mm;
    let mut pressed: Vec<(Point3<f64>, f64)> = Vec::new();
    let mut press = |opening: usize, across_mm: f64| {
        pressed.extend(middle(bracket, &[opening]).map(|at| (at, across_mm / 2.0 + t_mm)));
    };
    for mount in &bracket.mounts {
        press(mount.opening, mount.shape.face_mm.max(mount.seat_mm));
    }
    if let Some(support) = &bracket.support {
        support
            .openings
            .iter()
            .for_each(|&opening| press(opening, support.washer_mm));
    }
    let points = &answer.picture.nodes;
    let free = |corners: &[u32; 3]| {
        corners.iter().all(|&corner| {
            let at = points[corner as usize];
            pressed
                .iter()
                .all(|(middle, reach_mm)| (at - middle).norm() > *reach_mm)
        })
    };
    let panels = (0..worked.part.panels.len()).map(Part::Panel);
    let bends = (0..worked.part.bends.len()).map(Part::Bend);
    panels
        .chain(bends)
        .filter_map(|part| {
            let most = answer
                .picture
                .parts
                .iter()
                .zip(&answer.picture.triangles)
                .zip(levels)
                .filter(|((of, corners), _)| **of == part && free(corners))
                .flat_map(|(_, levels)| levels)
                .copied()
                .reduce(f64::max)?;
            Some((judge::part_name(worked, part), most))
        })
        .collect()
}

/// The card of the test on the bench; none when there is no test.
pub(super) fn card(outcome: &Outcome, block: &TitleBlock) -> Option<ProofCard> {
    let worked = &outcome.worked;
    let plan = outcome.summary.prove.as_ref()?.proof.as_ref()?;
    let proof = worked.held.answer()?.proof.as_ref()?;
    let bracket = carrying::bracket(worked)?;
    let at = place(&bracket, proof.load)?;
    let toward = proof.toward;
    let way = way_words(toward);
    let mounts: Vec<&str> = bracket.mounts.iter().map(|mount| mount.name.as_str()).collect();
    let where_ = match bracket.loads.get(proof.load)?.at {
        At::Support => "at the middle of the support's holes".to_owned(),
        _ => format!(
            "at {:.0}, {:.0}, {:.0} mm in the axes of the equipment",
            at.x, at.y, at.z
        ),
    };
    let fit = outcome.summary.job.fit.clone().unwrap_or_else(|| "own".into());
    Some(ProofCard {
        title: block.title.clone(),
        made_from: block.made_from.clone(),
        stands_for: format!(
            "This test stands for the load \"{}\". It goes up to one and a quarter of that load, and is made on a bench, never on \
             a body.",
            plan.load
        ),
        hold: vec![
            format!("Bolt the part down as in use, by {}: same washers, same torque.", mounts.join(", ")),
            "Bolt it to the equipment itself, or to a block that does not give, clamped to the bench.".into(),
        ],
        pull: vec![
            format!("Pull {where_}, toward {way} of the equipment. Turn the whole so that this is down, and hang a bucket there; or pull with a luggage scale."),
            "Pull slowly and hold each step while you read.".into(),
        ],
        read: vec![
            "Stand a rule beside the place where it is pulled, along the pull. Read it before the pull and at every step, and take the difference.".into(),
        ],
        view: Some(ProofView {
            pose: Some(Isometry3::from(bracket.pose)),
            pull_at_mm: at,
            pull_toward: toward,
            read_at_mm: at,
            read_toward: toward,
            held_at_mm: bracket
                .mounts
                .iter()
                .filter_map(|mount| Some((mount.name.clone(), middle(&bracket, &[mount.opening])?)))
                .collect(),
        }),
        steps: proof
            .steps
            .iter()
            .map(|step| ProofStep {
                pull_n: step.force_n,
                water_l: (step.force_n <= BUCKET_N).then_some(step.force_n / NEWTON_PER_KGF),
                moves_mm: step.moves_mm,
                low_mm: step.band_mm[0],
                high_mm: step.band_mm[1],
            })
            .collect(),
        cautions: vec![
            "Test on a bench. Never on a body first.".into(),
            "Stand clear: the part or the strap may let go and spring. Wear eye protection, and keep feet from under what hangs.".into(),
        ],
        stop: plan.stop.clone(),
        type_into: format!("Then type the readings into fits/{fit}.toml, one block for each step:"),
        type_lines: type_lines(worked, proof.load, plan, toward),
        writes_with: match worked.hand {
            // The arm that wears the part is not the one that writes.
            Hand::Right => WritingHand::Left,
            Hand::Left => WritingHand::Right,
        },
    })
}

/// "+x", or three shares.
fn way_words(way: Vector3<f64>) -> String {
    /// Under what a person means by "straight along".
    const ALONG: f64 = 1e-9;
    let axes = [("x", way.x), ("y", way.y), ("z", way.z)];
    match axes.iter().find(|(_, share)| share.abs() > 1.0 - ALONG) {
        Some((axis, share)) => format!("{}{axis}", if *share < 0.0 { '-' } else { '+' }),
        None => format!("({:.2}, {:.2}, {:.2})", way.x + 0.0, way.y + 0.0, way.z + 0.0),
    }
}

/// The block to type, as it stands in the file.
fn type_lines(worked: &Worked, load: usize, plan: &ProofPlan, toward: Vector3<f64>) -> Vec<String> {
    let way = match way_words(toward) {
        shares if shares.starts_with('(') => shares.replace('(', "[").replace(')', "]"),
        word => format!("\"{}\"", word.trim_start_matches('+')),
    };
    let first_n = plan.steps.first().map_or(0.0, |step| step.force_n.0);
    let mut lines = vec![
        "[[proof]]".to_owned(),
        format!("force  = \"{first_n:.1} N\""),
        format!("toward = {way}"),
    ];
    if let Some(wish) = worked
        .equipment
        .as_ref()
        .and_then(|equipment| equipment.loads.loads.get(load))
        && let crate::stages::loads::AtWish::Point(at) | crate::stages::loads::AtWish::Plate(at) = &wish.at
    {
        lines.push(format!(
            "at     = [\"{:.1} mm\", \"{:.1} mm\", \"{:.1} mm\"]",
            at.x, at.y, at.z
        ));
    }
    lines.push("read   = \"____ mm\"".into());
    lines
}
