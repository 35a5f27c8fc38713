//! Every thread that can be written has a hole in the handbook, but for the sizes named here.

use handbook::{Clearance, Handbook};
use units::Thread;

/// No standard clearance hole is tabled for these two sizes.
const WITHOUT_A_HOLE: [&str; 2] = ["#12", "9/16"];

#[test]
fn every_thread_has_its_clearance_holes_and_its_tap_drill() {
    let book = Handbook::builtin();
    for thread in Thread::all() {
        for clearance in [
            Clearance::Close,
            Clearance::Normal,
            Clearance::Loose,
            Clearance::Tapped,
        ] {
            let hole = book.clearance_dia_mm(thread.designation(), thread.nominal_mm(), clearance);
            if WITHOUT_A_HOLE.contains(&thread.size()) && clearance != Clearance::Tapped {
                assert!(hole.is_err_and(|error| error.nearest.is_some()), "{thread}");
                continue;
            }
            let hole = hole.unwrap_or_else(|error| panic!("{thread}: {error}"));
            let wider = hole.value > thread.nominal_mm();
            assert_eq!(
                wider,
                clearance != Clearance::Tapped,
                "{thread} {clearance:?}: {}",
                hole.value
            );
        }
    }
}

#[test]
fn bolts_of_both_books_are_the_same_bolts() {
    let book = Handbook::builtin();
    let mut known = 0;
    for thread in Thread::all() {
        if let Ok(bolt) = book.bolt(thread.designation()) {
            known += 1;
            assert!((bolt.diameter_mm - thread.nominal_mm()).abs() < 1e-9, "{thread}");
            assert!((bolt.pitch_mm - thread.pitch_mm()).abs() < 1e-9, "{thread}");
        }
    }
    assert!(known >= 40, "{known}");
}
