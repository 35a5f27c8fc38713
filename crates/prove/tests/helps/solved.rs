//! Changes solved in full: what lips do for a plain strip, and what passes for the forearm plate.

use plane::{Outline, Point};
use prove::helps::{
    Change, Changed, Dropped, Effort, Helps, Kind, Lip, Stands, Still, Welding, apply, candidates,
    solve_once, what_helps,
};
use prove::{Act, At, BesideWeld, Bracket, Load, Options, ProveError, analyse};
use sheet::{Face, Mockup, Opening, OpeningShape, develop};

use crate::hoe;

fn still(_: &Changed) -> Still {
    Still {
        fits: Stands::NotChecked,
        cuts: Stands::NotChecked,
        bends: Stands::NotChecked,
    }
}

/// Coarse, so that the tests are quick; every part is solved on meshes alike.
fn options() -> Options {
    Options {
        first_unknowns: 5000,
        meshes: 1,
        ..Options::default()
    }
}

/// A strip 260 mm long and 60 wide with two bolts at one end and the support at the other.
fn strip() -> Mockup {
    let hole = |name: &str, x: f64, y: f64, dia_mm: f64| Opening {
        name: name.to_owned(),
        shape: OpeningShape::Round {
            at: Point::new(x, y),
            dia_mm,
        },
    };
    Mockup {
        outline: Outline::rectangle(Point::new(0.0, -30.0), Point::new(260.0, 30.0)).expect("a strip"),
        openings: vec![
            hole("h1", 16.0, -14.0, 8.7),
            hole("h2", 16.0, 14.0, 8.7),
            hole("h3", 48.0, 0.0, 8.7),
            hole("p1", 246.0, -15.0, 6.6),
            hole("p2", 246.0, 15.0, 6.6),
        ],
        creases: Vec::new(),
        seams: Vec::new(),
        marks: Vec::new(),
        panel_names: Vec::new(),
        root: None,
        lines_on: Face::Far,
        card_mm: 0.0,
    }
}

/// Bent square to the plate, and twisted about the strip.
fn strip_loads() -> Vec<Load> {
    let load = |name: &str, force_n: [f64; 3], moment_n_mm: [f64; 3]| Load {
        name: name.to_owned(),
        at: At::Support,
        act: Act::Push {
            force_n: force_n.into(),
            moment_n_mm: moment_n_mm.into(),
        },
        factor: 1.0,
        sudden: false,
        per_day: None,
        both_ways: false,
    };
    vec![
        load("bent", [0.0, -40.0, 0.0], [0.0; 3]),
        load("twisted", [0.0; 3], [8000.0, 0.0, 0.0]),
    ]
}

#[test]
fn lips_cure_bending_and_a_closed_section_twist_as_well() {
    let (card, shelf) = (strip(), hoe::shelf());
    let part = develop(&card, shelf.plates[hoe::DRAWN].thickness_mm).expect("the strip is flat");
    let template = hoe::part();
    let mut bracket: Bracket<'_> = hoe::bracket(&template);
    bracket.part = &part;
    bracket.loads = strip_loads();
    let before = solve_once(&bracket, &[], &options())
        .expect("the strip is held")
        .held;
    let changes = candidates(&card, &bracket, &shelf);
    // What is left of the turn by bending under the one load, and by twist under the other.
    let left = |kind: Kind| {
        let change = changes
            .iter()
            .find(|change| change.kind() == kind)
            .expect("there is one of each");
        let changed = apply(change, &card, &bracket, &shelf).expect("the strip has room");
        let after = solve_once(&changed.bracket(&bracket), &changed.extra, &options())
            .expect("it is held")
            .held;
        let left = [
            after.cases[0].bend_rad / before.cases[0].bend_rad,
            (after.cases[1].twist_rad / before.cases[1].twist_rad).abs(),
        ];
        println!(
            "{kind:?} leaves {:.3} of bending and {:.3} of twist, {:.0} g more",
            left[0], left[1], changed.costs.grams
        );
        left
    };
    println!(
        "flat: bends {:.3} deg, twists {:.3} deg",
        before.cases[0].bend_rad.to_degrees(),
        before.cases[1].twist_rad.to_degrees()
    );
    let [lip, channel, closed] = [Kind::Lip, Kind::Channel, Kind::Closed].map(left);
    // Lips as long as the least leg leave little of the bending between them, and over half of the twist.
    assert!(channel[0] < 0.35, "{channel:?}");
    assert!(channel[1] > 1.5 * channel[0], "{channel:?}");
    assert!(lip[0] > channel[0] && lip[1] > channel[1], "{lip:?} {channel:?}");
    assert!(closed[1] < 0.7 * channel[1], "{closed:?} {channel:?}");
}

#[test]
fn on_the_forearm_plate_lips_cure_bending_but_not_twist() {
    let (card, part, shelf) = (hoe::card(), hoe::part(), hoe::shelf());
    let bracket = hoe::bracket(&part);
    let before = solve_once(&bracket, &[], &options())
        .expect("the plate is held")
        .held;
    // Along the two edges of the side plate between the handle and the pad.
    let beside_the_window = |lips: &[Lip; 2]| {
        lips.iter()
            .all(|lip| (20.0..100.0).contains(&nalgebra::center(&lip.edge[0], &lip.edge[1]).y))
    };
    let changes = candidates(&card, &bracket, &shelf);
    let open = changes
        .iter()
        .find(|change| matches!(change, Change::Channel(lips) if beside_the_window(lips)));
    let closed = changes
        .iter()
        .find(|change| matches!(change, Change::Closed(lips) if beside_the_window(lips)));
    let left = |change: Option<&Change>| {
        let change = change.expect("both edges have room for lips");
        let changed = apply(change, &card, &bracket, &shelf).expect("the lips can be made");
        let after = solve_once(&changed.bracket(&bracket), &changed.extra, &options())
            .expect("it is held")
            .held;
        // Under the push.
        let left = [
            after.cases[0].bend_rad / before.cases[0].bend_rad,
            after.cases[0].twist_rad / before.cases[0].twist_rad,
        ];
        println!(
            "{:?} leaves {:.2} of bending and {:.2} of twist, {:.0} g more",
            change.kind(),
            left[0],
            left[1],
            changed.costs.grams
        );
        left
    };
    let (open, closed) = (left(open), left(closed));
    assert!(open[0] < 0.75 && open[1] > 0.9, "{open:?}");
    assert!(closed[1] < 0.5, "{closed:?}");
}

fn told(helps: &Helps<ProveError>) {
    println!(
        "as it is: {:.0} g, {:.2} of its limits",
        helps.mass_g, helps.before.used
    );
    for case in &helps.before.cases {
        println!(
            "    {:8} {:.1} MPa ({:.2}), moves {:.3} mm ({:.2}), bends {:.3} deg, twists {:.3} deg",
            case.name,
            case.stress_mpa,
            case.stress_used,
            case.moves_mm,
            case.moves_used,
            case.bend_rad.to_degrees(),
            case.twist_rad.to_degrees()
        );
    }
    for help in &helps.solved {
        let passes = if help.passes() { "passes" } else { "fails" };
        let kinds: Vec<Kind> = help.change.single().iter().map(|change| change.kind()).collect();
        println!(
            "{kinds:?} {passes}: {:.0} g, {:.2} of its limits; {:?}",
            help.mass_g,
            help.held.used,
            help.costs()
        );
        let foretold = help.foretold.saved.iter().flatten();
        for ((gained, case), foretold) in help.gained.iter().zip(&help.held.cases).zip(foretold) {
            println!(
                "    {:8} stiffness {:4.0} % ({:.0} foretold), bending {:4.0} %, twist {:4.0} %, strength {:4.0} % ({:.0} foretold): {:.1} MPa",
                case.name,
                100.0 * gained.stiffness,
                100.0 * foretold.movement,
                100.0 * gained.bending,
                100.0 * gained.twist,
                100.0 * gained.strength,
                100.0 * foretold.stress,
                case.stress_mpa
            );
        }
    }
    for dropped in &helps.dropped {
        match dropped {
            Dropped::Cannot(change, why) => println!("cannot {:?}: {why}", change.kind()),
            Dropped::Unsolved(change, why) => println!("unsolved {change:?}: {why}"),
        }
    }
}

#[test]
fn the_flat_plate_fails_and_a_lighter_one_than_thicker_plate_passes() {
    let (card, part, shelf) = (hoe::card(), hoe::part(), hoe::shelf());
    let bracket = hoe::bracket(&part);
    let helps = what_helps(&bracket, &card, &shelf, &options(), Effort::default(), &still)
        .expect("the plate is held");
    told(&helps);
    assert!(
        helps.before.used > 1.5,
        "as drawn it does not hold: {}",
        helps.before.used
    );
    assert!(helps.solved.len() >= 10, "{}", helps.solved.len());
    let by_plate = helps.by_plate().expect("some plate of the list is thick enough");
    let otherwise = helps.otherwise().expect("something else passes");
    println!(
        "by plate {:.0} g, otherwise {:.0} g",
        by_plate.mass_g, otherwise.mass_g
    );
    assert!(otherwise.mass_g < by_plate.mass_g);
    // What passes comes first, the lightest first.
    let masses: Vec<f64> = helps
        .solved
        .iter()
        .take_while(|help| help.passes())
        .map(|help| help.mass_g)
        .collect();
    assert!(masses.is_sorted(), "{masses:?}");
    assert!(helps.solved.iter().skip(masses.len()).all(|help| !help.passes()));
    // What is told as passing passes as finely as the part itself is solved, and comes out as it does when drawn.
    for help in helps.solved.iter().filter(|help| help.passes()) {
        assert!(
            help.refined.as_ref().is_some_and(|held| held.used <= 1.0),
            "{:?}",
            help.refined
        );
    }
    let drawn = helps
        .solved
        .iter()
        .find(|help| help.passes() && help.changed.extra.is_empty());
    let drawn = drawn.expect("something that passes needs no weld");
    let answer = analyse(&drawn.changed.bracket(&bracket), &options()).expect("it is held");
    let used = answer.checks.iter().map(|check| check.used).fold(0.0, f64::max);
    assert!((drawn.used() - used).abs() < 1e-9, "{} {used}", drawn.used());
}

#[test]
fn a_gusset_counts_with_what_its_weld_takes_of_the_plate() {
    let (card, part, shelf) = (hoe::card(), hoe::part(), hoe::shelf());
    let bracket = hoe::bracket(&part);
    let changes = candidates(&card, &bracket, &shelf);
    let gusset = changes
        .iter()
        .find(|change| change.kind() == Kind::Gussets)
        .expect("the pad's bend has an inside");
    let used = |beside: Option<BesideWeld>| {
        let mut changed = apply(gusset, &card, &bracket, &shelf).expect("there is room");
        for plate in &mut changed.extra {
            plate.welding = plate.welding.map(|welding| Welding { beside, ..welding });
        }
        let held = solve_once(&changed.bracket(&bracket), &changed.extra, &options())
            .expect("it is held")
            .held;
        held.cases[2].stress_used
    };
    let as_rolled = used(None);
    let as_welded = used(Some(BesideWeld {
        yield_mpa: 65.0,
        ultimate_mpa: 170.0,
        width_mm: 25.0,
    }));
    println!("of the limit: {as_rolled:.2} as rolled, {as_welded:.2} as welded");
    assert!(as_welded > as_rolled, "{as_rolled} {as_welded}");
}

#[test]
fn the_same_is_found_again() {
    let (card, part, shelf) = (hoe::card(), hoe::part(), hoe::shelf());
    let bracket = hoe::bracket(&part);
    let options = Options {
        first_unknowns: 2500,
        ..options()
    };
    let effort = Effort {
        alone: 4,
        rounds: 1,
        further: 2,
    };
    let find = || what_helps(&bracket, &card, &shelf, &options, effort, &still).expect("the plate is held");
    assert_eq!(find(), find());
}

#[test]
fn a_change_that_cannot_be_solved_is_told_and_the_rest_goes_on() {
    let (card, part, shelf) = (hoe::card(), hoe::part(), hoe::shelf());
    let bracket = hoe::bracket(&part);
    let options = Options {
        first_unknowns: 2500,
        ..options()
    };
    let before = solve_once(&bracket, &[], &options).expect("the plate is held");
    let asked = prove::helps::Asked {
        mockup: &card,
        bracket: &bracket,
        shelf: &shelf,
        before: before.clone(),
    };
    let effort = Effort {
        alone: 6,
        rounds: 0,
        further: 0,
    };
    // Whatever is of another thickness "cannot" be solved.
    let solve = |now: &Bracket<'_>, _: &[prove::helps::ExtraPlate]| {
        if now.part.thickness_mm == part.thickness_mm {
            Ok(before.clone())
        } else {
            Err("too busy")
        }
    };
    let helps = prove::helps::helps(asked, effort, &still, &solve);
    let unsolved = helps
        .dropped
        .iter()
        .filter(|dropped| matches!(dropped, Dropped::Unsolved(Change::Stock(_), _)));
    assert!(unsolved.count() >= 1);
    assert!(!helps.solved.is_empty());
}
