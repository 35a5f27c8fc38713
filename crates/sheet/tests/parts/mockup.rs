//! What the mock-up brings: its card's thickness, its seams, its root.

use std::f64::consts::FRAC_PI_2;

use nalgebra::Point3;
use sheet::{Face, Mockup, Seam, Way, develop};

use crate::card::{angle, p};
use crate::reliefs::tray;

const T: f64 = 3.0;

#[test]
fn a_leg_measured_on_thick_card_comes_out_as_long_in_plate() {
    // Card 1 mm thick, folded to an angle whose lines are outside: each outside leg is longer than its flat panel by
    // c - (pi/2) c/4, so the plate's legs must be as long, though the panels on the card are 50 and 40.
    let card_mm = 1.0;
    let growth_mm = card_mm - FRAC_PI_2 * card_mm / 4.0;
    let mut mockup = Mockup {
        lines_on: Face::Far,
        card_mm,
        ..angle()
    };
    let part = develop(&mockup, T).expect("an angle develops");
    let leg = part.panel_at(p(30.0, 80.0)).expect("the leg is there");
    let tip = part.folded_point(leg, p(0.0, 90.0), 0.0);
    assert!(
        (tip - Point3::new(0.0, 50.0 + growth_mm, 40.0 + growth_mm)).norm() < 1e-9,
        "{tip}"
    );

    // The lines inside: the card took length from the inside legs instead.
    mockup.creases[0].way = Way::Down;
    let part = develop(&mockup, T).expect("an angle develops");
    let growth_mm = -FRAC_PI_2 * card_mm / 4.0;
    let tip = part.folded_point(leg, p(0.0, 90.0), 0.0);
    assert!(
        (tip - Point3::new(0.0, 50.0 + growth_mm, -(40.0 + growth_mm))).norm() < 1e-9,
        "{tip}"
    );
}

#[test]
fn plate_as_thick_as_the_card_and_bent_as_sharp_is_the_card_again() {
    for face in [Face::Marked, Face::Middle, Face::Far] {
        let mut mockup = Mockup {
            lines_on: face,
            card_mm: 0.8,
            ..angle()
        };
        mockup.creases[0].radius_mm = 0.0;
        mockup.creases[0].neutral_share = 0.5;
        let part = develop(&mockup, 0.8).expect("an angle develops");
        assert!(
            (part.blank.region.area_mm2() - 60.0 * 90.0).abs() < 1e-9,
            "{face:?}"
        );
    }
}

#[test]
fn a_trays_corners_close_where_the_card_says() {
    for face in [Face::Marked, Face::Middle, Face::Far] {
        let mut mockup = tray();
        mockup.lines_on = face;
        mockup.seams.push(Seam {
            name: "corner".to_owned(),
            first: [p(80.0, 0.0), p(80.0, -30.0)],
            second: [p(80.0, 0.0), p(110.0, 0.0)],
        });
        let part = develop(&mockup, T).expect("a tray develops");
        let seam = &part.seams[0];
        assert!(seam.gap_mm.iter().all(|gap| *gap < 1e-9), "{:?}", seam.gap_mm);
        assert!(seam.twist_rad < 1e-9);
        assert!((seam.edges[0][1] - Point3::new(80.0, 0.0, 30.0)).norm() < 1e-9);
    }
}

#[test]
fn a_flange_bent_short_leaves_its_seam_open_and_twisted() {
    let mut mockup = tray();
    mockup.seams.push(Seam {
        name: "corner".to_owned(),
        first: [p(80.0, 0.0), p(80.0, -30.0)],
        second: [p(80.0, 0.0), p(110.0, 0.0)],
    });
    mockup.creases[0].bent_rad = 80_f64.to_radians();
    let part = develop(&mockup, T).expect("a tray develops");
    let seam = &part.seams[0];
    assert!((seam.twist_rad - 10_f64.to_radians()).abs() < 1e-9);
    assert!(seam.gap_mm[0] < 1e-9);
    let open_mm = 2.0 * 30.0 * 5_f64.to_radians().sin();
    assert!(
        (seam.gap_mm[1] - open_mm).abs() < 1.0,
        "{} is not about {open_mm}",
        seam.gap_mm[1]
    );
}

#[test]
fn the_largest_panel_stays_still_unless_another_is_chosen() {
    let part = develop(&angle(), T).expect("an angle develops");
    assert!((part.panels[0].as_marked.area_mm2() - 3000.0).abs() < 1e-9);
    let part = develop(
        &Mockup {
            root: Some(p(10.0, 80.0)),
            ..angle()
        },
        T,
    )
    .expect("an angle develops");
    assert!((part.panels[0].as_marked.area_mm2() - 2400.0).abs() < 1e-9);
    let base = part.folded_point(1, p(0.0, 0.0), 0.0);
    assert!((base - Point3::new(0.0, 50.0, 50.0)).norm() < 1e-9, "{base}");
}
