//! Rounded corners, fillets and bites beside bends.

use plane::{Corner, Material, Outline, Vertex};
use sheet::{ReliefCut, develop};

use crate::card::{angle, card, crease, p};
use crate::reliefs::tray;

const T: f64 = 3.0;
const R: f64 = 3.0;

/// What the panel's outline holds, by Green's theorem on its own edges.
fn flat_mm2(part: &sheet::Part, panel: usize) -> f64 {
    part.panels[panel].flat.area_mm2()
}

#[test]
fn a_tab_with_fillets_at_its_foot_is_bent_along_the_line_of_the_edge() {
    // Fillets of 10 mm run from the plate's edge, tangent to the crease, up into the tab.
    let mut mockup = card(&[(0.0, 0.0), (100.0, 0.0), (100.0, 60.0), (0.0, 60.0)]);
    mockup.outline = Outline::new(vec![
        Vertex::line(p(0.0, 0.0)),
        Vertex::line(p(100.0, 0.0)),
        Vertex::line(p(100.0, 60.0)),
        Vertex::arc(p(80.0, 60.0), -(std::f64::consts::PI / 8.0).tan()),
        Vertex::line(p(70.0, 70.0)),
        Vertex::line(p(70.0, 100.0)),
        Vertex::line(p(30.0, 100.0)),
        Vertex::arc(p(30.0, 70.0), -(std::f64::consts::PI / 8.0).tan()),
        Vertex::line(p(20.0, 60.0)),
        Vertex::line(p(0.0, 60.0)),
    ])
    .expect("a filleted tab is an outline");
    mockup.creases.push(crease("b1", (20.0, 60.0), (80.0, 60.0)));
    let part = develop(&mockup, T).expect("a filleted tab develops");
    assert_eq!(part.panels.len(), 2);
    let bend = &part.bends[0];
    let s = bend.set_back_mm;
    // On the tab the tangent line ends on the fillets, s up from their foot.
    let in_mm = 10.0 - (100.0 - (10.0 - s) * (10.0 - s)).sqrt();
    let length_mm = (bend.strips[0].moving[1] - bend.strips[0].moving[0]).norm();
    assert!((length_mm - (40.0 + 2.0 * in_mm)).abs() < 1e-9, "{length_mm}");
    let slots = part
        .reliefs
        .iter()
        .filter(|relief| matches!(relief, ReliefCut::Slot { panel: 0, .. }))
        .count();
    assert_eq!(slots, 2, "the plate goes on past both ends");
}

#[test]
fn a_leg_with_rounded_corners_keeps_them_as_arcs() {
    let mut mockup = angle();
    let rounded = mockup
        .outline
        .with_corners(
            &[(2, Corner::Round(12.0)), (3, Corner::Round(12.0))],
            Material::Inside,
        )
        .expect("there is room for the rounds");
    mockup.outline = rounded;
    let part = develop(&mockup, T).expect("a rounded leg develops");
    let arcs = part
        .blank
        .region
        .outer
        .vertices()
        .iter()
        .filter(|corner| corner.bulge != 0.0)
        .count();
    assert_eq!(arcs, 2);
    let cut_mm2 = 2.0 * (1.0 - std::f64::consts::FRAC_PI_4) * 144.0;
    let wanted = 60.0 * (40.0 - part.bends[0].set_back_mm) - cut_mm2;
    assert!((flat_mm2(&part, 1) - wanted).abs() < 1e-9);
}

#[test]
fn a_round_that_reaches_into_the_bend_shortens_it_on_that_side() {
    // Rounds of 12 mm that start 2 mm above the crease: the tangent line, 3 mm up, ends on them.
    let mut mockup = card(&[(0.0, 0.0), (60.0, 0.0), (60.0, 64.0), (0.0, 64.0)]);
    mockup.outline = mockup
        .outline
        .with_corners(
            &[(2, Corner::Round(12.0)), (3, Corner::Round(12.0))],
            Material::Inside,
        )
        .expect("there is room for the rounds");
    mockup.creases.push(crease("b1", (0.0, 50.0), (60.0, 50.0)));
    let part = develop(&mockup, T).expect("a short round leg develops");
    let strip = part.bends[0].strips[0];
    let in_mm = 12.0 - (144.0_f64 - 1.0).sqrt();
    assert!(((strip.moving[1] - strip.moving[0]).norm() - (60.0 - 2.0 * in_mm)).abs() < 1e-9);
    assert!(((strip.fixed[1] - strip.fixed[0]).norm() - 60.0).abs() < 1e-9);
}

#[test]
fn a_tray_with_a_round_bite_at_each_corner_needs_no_relief_of_its_own() {
    // The inside corners of the cross are corners 2, 5, 8 and 11.
    for (bite_mm, is_free) in [(12.0, true), (2.0, false)] {
        let mut mockup = tray();
        let bites: Vec<(usize, Corner)> = [2, 5, 8, 11]
            .into_iter()
            .map(|corner| (corner, Corner::Notch(bite_mm)))
            .collect();
        mockup.outline = mockup
            .outline
            .with_corners(&bites, Material::Inside)
            .expect("there is room for the bites");
        let part = develop(&mockup, T).expect("a tray with bites develops");
        let s = part.bends[0].set_back_mm;
        let corners = part
            .reliefs
            .iter()
            .filter(|relief| matches!(relief, ReliefCut::Corner { .. }))
            .count();
        assert_eq!(corners, if is_free { 0 } else { 4 }, "a bite of {bite_mm} mm");
        if !is_free {
            let side_mm = 80.0 - 2.0 * s;
            let wanted = side_mm * side_mm - std::f64::consts::PI * R * R;
            assert!((flat_mm2(&part, 0) - wanted).abs() < 1e-9);
        }
    }
}
