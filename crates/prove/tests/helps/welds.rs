//! Welds of added plates: what is welded on counts as passing only when its welds hold too.

use prove::Options;
use prove::helps::{
    Foretold, Held, HeldWeld, Help, Kind, Shelf, Stands, Still, Welding, Welds, apply, candidates, solve_once,
};

use crate::hoe;

/// Coarse, so that the tests are quick.
fn options() -> Options {
    Options {
        first_unknowns: 5000,
        meshes: 1,
        ..Options::default()
    }
}

/// The shop's list, every plate welded so.
fn welded(welding: Option<Welding>) -> Shelf {
    let mut shelf = hoe::shelf();
    for plate in &mut shelf.plates {
        plate.welding = welding;
    }
    shelf
}

/// The first change of a kind, made with fillets of this leg and solved.
fn solved(kind: Kind, leg_mm: f64) -> Held {
    let (card, part) = (hoe::card(), hoe::part());
    let shelf = welded(Some(hoe::welding(leg_mm)));
    let bracket = hoe::bracket(&part);
    let made = candidates(&card, &bracket, &shelf)
        .into_iter()
        .filter(|change| change.kind() == kind)
        .find_map(|change| apply(&change, &card, &bracket, &shelf).ok());
    let made = made.expect("one of them can be made");
    assert!(!made.extra.is_empty());
    solve_once(&made.bracket(&bracket), &made.extra, &options())
        .expect("it is held")
        .held
}

/// The weld that decides.
fn tightest(held: &Held) -> &HeldWeld {
    held.tightest_weld().expect("its welds are checked").1
}

#[test]
fn a_gusset_with_a_tiny_weld_fails_by_its_weld() {
    let (usual, tiny) = (solved(Kind::Gussets, 3.5), solved(Kind::Gussets, 0.3));
    let (of_usual, of_tiny) = (tightest(&usual), tightest(&tiny));
    println!("{of_usual:?}\n{of_tiny:?}");
    // The force does not care about the fillet, only the stretch it is read over does; the throat does.
    assert!(of_tiny.line_n_mm > 0.9 * of_usual.line_n_mm);
    assert!(of_tiny.throat.mises_mpa() > 8.0 * of_usual.throat.mises_mpa());
    assert!(of_tiny.used > 1.0 && tiny.used >= of_tiny.used, "{of_tiny:?}");
    assert!(of_usual.used < of_tiny.used / 8.0);
    let stress = |held: &Held| held.cases[2].stress_used;
    assert!((stress(&usual) - stress(&tiny)).abs() < 1e-9);
}

#[test]
fn bars_and_strips_are_held_to_their_welds_too() {
    for kind in [Kind::Bar, Kind::Closed] {
        let held = solved(kind, 3.5);
        let weld = tightest(&held);
        println!("{kind:?} {weld:?}");
        assert!(weld.line_n_mm > 0.0 && weld.breaks_at > 0.0);
        assert_eq!(held.welds, Welds::Checked);
    }
}

/// A gusset made with what the shop welds like and solved under a seventh of the loads, as it is told.
fn help(welding: Option<Welding>) -> Help {
    let (card, part, shelf) = (hoe::card(), hoe::part(), welded(welding));
    let mut bracket = hoe::bracket(&part);
    for load in &mut bracket.loads {
        load.factor = 0.15;
    }
    let changes = candidates(&card, &bracket, &shelf);
    let change = changes.into_iter().find(|change| change.kind() == Kind::Gussets);
    let change = change.expect("the pad's bend has an inside");
    let changed = apply(&change, &card, &bracket, &shelf).expect("it can be made");
    let solved = solve_once(&changed.bracket(&bracket), &changed.extra, &options());
    Help {
        foretold: Foretold {
            change: 0,
            gain: 0.0,
            saved: None,
        },
        mass_g: 0.0,
        change,
        changed,
        still: Still {
            fits: Stands::Yes,
            cuts: Stands::Yes,
            bends: Stands::Yes,
        },
        held: solved.expect("it is held").held,
        gained: Vec::new(),
        refined: None,
    }
}

#[test]
fn what_is_welded_passes_only_with_welds_that_hold_and_are_known() {
    let usual = help(Some(hoe::welding(3.5)));
    assert!(
        usual.passes() && usual.held.welds == Welds::Checked,
        "{:?}",
        usual.held
    );
    let tiny = help(Some(hoe::welding(0.1)));
    assert!(!tiny.passes() && tiny.used() > 1.0, "{:?}", tiny.held);
    let unknown = help(None);
    assert!(unknown.used() <= 1.0, "{:?}", unknown.held);
    assert!(!unknown.passes() && unknown.held.welds == Welds::NotKnown);
}
