//! Outlines checked, measured, moved and asked where a point lies.

use std::f64::consts::PI;

use plane::{Outline, OutlineError, Place, Point, Region, RegionError, Segment, Vector, Vertex};

fn p(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

fn close(a: f64, b: f64) {
    assert!((a - b).abs() <= 1e-9 * b.abs().max(1.0), "{a} is not {b}");
}

#[test]
fn a_circle_has_its_area_length_and_centre() {
    let hole = Outline::circle(p(100.0, -40.0), 8.5).unwrap();
    close(hole.area_mm2(), PI * 8.5 * 8.5 / 4.0);
    close(hole.length_mm(), PI * 8.5);
    close(hole.centroid().x, 100.0);
    close(hole.moments().about_x_mm4, PI * 8.5f64.powi(4) / 64.0);
    let (at, dia_mm) = hole.as_circle().unwrap();
    close(at.y, -40.0);
    close(dia_mm, 8.5);
}

#[test]
fn a_slot_is_a_rectangle_and_two_half_circles() {
    let slot = Outline::slot(p(3.0, 4.0), p(15.0, 9.0), 6.0).unwrap();
    close(slot.area_mm2(), 13.0 * 6.0 + PI * 9.0);
    assert!(slot.is_counter_clockwise());
    let (low, high) = slot.bounds();
    close(low.x, 0.0);
    close(high.y, 12.0);
}

#[test]
fn a_rectangle_has_the_moments_of_the_book() {
    let bar = Outline::rectangle(p(1000.0, 1000.0), p(1012.0, 1040.0)).unwrap();
    let m = bar.moments();
    close(m.about_x_mm4, 12.0 * 40.0f64.powi(3) / 12.0);
    close(m.about_y_mm4, 40.0 * 12.0f64.powi(3) / 12.0);
    assert!(m.product_mm4.abs() < 1e-6);
}

#[test]
fn a_bow_tie_is_refused_with_the_place_it_crosses() {
    let tie = Outline::polygon(&[p(0.0, 0.0), p(10.0, 10.0), p(10.0, 0.0), p(0.0, 10.0)]);
    assert_eq!(
        tie,
        Err(OutlineError::Crosses {
            edge: 0,
            other: 2,
            at: p(5.0, 5.0)
        })
    );
}

#[test]
fn a_corner_that_touches_another_edge_is_refused() {
    let pinched = Outline::polygon(&[
        p(0.0, 0.0),
        p(10.0, 0.0),
        p(10.0, 10.0),
        p(5.0, 0.0),
        p(0.0, 10.0),
    ]);
    assert!(
        matches!(pinched, Err(OutlineError::Crosses { edge: 0, .. })),
        "{pinched:?}"
    );
}

#[test]
fn an_edge_that_runs_back_on_the_last_is_refused() {
    let spike = Outline::polygon(&[
        p(0.0, 0.0),
        p(10.0, 0.0),
        p(20.0, 0.0),
        p(10.0, 0.0),
        p(10.0, 10.0),
    ]);
    assert!(matches!(spike, Err(OutlineError::Crosses { .. })), "{spike:?}");
    let there_and_back = Outline::new(vec![
        Vertex::arc(p(0.0, 0.0), 0.5),
        Vertex::arc(p(10.0, 0.0), -0.5),
    ]);
    assert_eq!(there_and_back, Err(OutlineError::EnclosesNothing));
}

#[test]
fn repeated_far_and_unfinished_corners_are_named() {
    let twice = Outline::polygon(&[p(0.0, 0.0), p(10.0, 0.0), p(10.0, 0.0), p(0.0, 10.0)]);
    assert_eq!(
        twice,
        Err(OutlineError::ZeroLength {
            corner: 1,
            next: 2,
            at: p(10.0, 0.0)
        })
    );
    assert_eq!(
        Outline::polygon(&[p(0.0, 0.0), p(1.0, 0.0)]),
        Err(OutlineError::TooFew { corners: 2 })
    );
    let lost = Outline::polygon(&[p(0.0, 0.0), p(1.0, f64::NAN), p(1.0, 1.0)]);
    assert_eq!(lost, Err(OutlineError::NotFinite { corner: 1 }));
    let far = Outline::polygon(&[p(0.0, 0.0), p(1.0, 0.0), p(1.0, 1e9)]);
    assert!(matches!(far, Err(OutlineError::OutOfReach { corner: 2, .. })));
}

#[test]
fn points_inside_on_and_outside_a_half_moon() {
    // A half disc above the x axis, then the bite of a smaller one out of its straight side.
    let moon = Outline::new(vec![
        Vertex::arc(p(10.0, 0.0), 1.0),
        Vertex::line(p(-10.0, 0.0)),
        Vertex::arc(p(-4.0, 0.0), -1.0),
        Vertex::line(p(4.0, 0.0)),
    ])
    .unwrap();
    close(moon.area_mm2(), PI * (100.0 - 16.0) / 2.0);
    assert_eq!(moon.place_of(p(0.0, 6.0)), Place::Inside);
    assert_eq!(moon.place_of(p(0.0, 3.9)), Place::Outside);
    assert_eq!(moon.place_of(p(0.0, 4.0)), Place::On);
    assert_eq!(moon.place_of(p(7.0, 0.0)), Place::On);
    assert_eq!(moon.place_of(p(0.0, 0.0)), Place::Outside);
    assert_eq!(moon.place_of(p(0.0, -1.0)), Place::Outside);
    assert_eq!(moon.place_of(p(f64::NAN, 0.0)), Place::Outside);
}

#[test]
fn distance_between_two_slots_runs_between_their_arcs() {
    let a = Outline::slot(p(0.0, 0.0), p(20.0, 0.0), 6.0).unwrap();
    let b = Outline::slot(p(24.0, 3.0), p(40.0, 3.0), 2.0).unwrap();
    let (apart_mm, on_a, on_b) = a.distance_between(&b);
    close(apart_mm, 5.0 - 3.0 - 1.0);
    close((on_a - on_b).norm(), apart_mm);
    let inner = Outline::circle(p(10.0, 0.5), 2.0).unwrap();
    close(a.distance_between(&inner).0, 1.5);
}

#[test]
fn a_reversed_outline_keeps_its_edges() {
    let d = Outline::new(vec![
        Vertex::line(p(0.0, 0.0)),
        Vertex::arc(p(10.0, 0.0), 0.7),
        Vertex::line(p(10.0, 8.0)),
    ])
    .unwrap();
    let back = d.reversed();
    close(back.signed_area_mm2(), -d.signed_area_mm2());
    assert_eq!(back.reversed(), d);
    assert!(Outline::new(back.vertices().to_vec()).is_ok());
    let image = d.mirrored(p(3.0, 1.0), Vector::new(1.0, 2.0));
    close(image.signed_area_mm2(), d.signed_area_mm2());
}

#[test]
fn facets_keep_within_the_chord_error() {
    let circle = Outline::circle(p(0.0, 0.0), 100.0).unwrap();
    let facets = circle.flattened(0.05);
    for (i, a) in facets.iter().enumerate() {
        let b = facets[(i + 1) % facets.len()];
        let middle = a + (b - a) / 2.0;
        assert!(50.0 - middle.coords.norm() <= 0.05 + 1e-9);
    }
    assert!(facets.len() < 80, "{}", facets.len());
    assert!(!circle.flattened(f64::NAN).is_empty());
}

#[test]
fn needless_corners_are_merged_and_real_ones_kept() {
    let plate = Outline::new(vec![
        Vertex::line(p(5.0, 0.0)),
        Vertex::line(p(10.0, 0.0)),
        Vertex::arc(p(20.0, 0.0), (PI / 16.0).tan()),
        Vertex::arc(p(20.0 + 5.0 * 2f64.sqrt(), 5.0 * (2.0 - 2f64.sqrt())), 0.0),
        Vertex::line(p(0.0, 30.0)),
        Vertex::line(p(0.0, 0.0)),
    ])
    .unwrap();
    let fewer = plate.simplified();
    assert_eq!(fewer.len(), 4, "{fewer:?}");
    close(fewer.area_mm2(), plate.area_mm2());
}

#[test]
fn an_offset_plate_rounds_its_corners_and_keeps_its_arcs() {
    let plate = Outline::rectangle(p(0.0, 0.0), p(40.0, 20.0)).unwrap();
    let grown = plate.offset_to_one(3.0).unwrap();
    close(grown.area_mm2(), 40.0 * 20.0 + 120.0 * 3.0 + PI * 9.0);
    assert_eq!(
        grown
            .segments()
            .filter(|s| matches!(s, Segment::Arc { .. }))
            .count(),
        4
    );
    let shrunk = plate.offset_to_one(-3.0).unwrap();
    close(shrunk.area_mm2(), 34.0 * 14.0);
    assert!(plate.offset(-10.5).unwrap().is_empty());
    let hole = Outline::circle(p(0.0, 0.0), 10.0).unwrap().reversed();
    close(hole.offset_to_one(1.0).unwrap().as_circle().unwrap().1, 8.0);
}

#[test]
fn holes_off_the_plate_across_its_edge_and_over_each_other_are_named() {
    let plate = || Outline::rectangle(p(0.0, 0.0), p(40.0, 20.0)).unwrap();
    let hole = |x: f64| Outline::circle(p(x, 10.0), 8.0).unwrap();
    let region = Region::new(plate(), vec![hole(10.0), hole(30.0)]).unwrap();
    close(region.area_mm2(), 800.0 - 2.0 * PI * 16.0);
    assert_eq!(region.place_of(p(10.0, 10.0)), Place::Outside);
    assert_eq!(region.place_of(p(20.0, 10.0)), Place::Inside);
    close(region.centroid().x, 20.0);
    assert!(matches!(
        Region::new(plate(), vec![hole(50.0)]),
        Err(RegionError::HoleOutside { hole: 0, .. })
    ));
    assert!(matches!(
        Region::new(plate(), vec![hole(10.0), hole(39.0)]),
        Err(RegionError::HoleCrossesEdge { hole: 1, edge: 1, .. })
    ));
    assert!(matches!(
        Region::new(plate(), vec![hole(10.0), hole(17.0)]),
        Err(RegionError::HolesOverlap {
            first: 0,
            second: 1,
            ..
        })
    ));
    let within = Outline::circle(p(10.0, 10.0), 2.0).unwrap();
    assert!(matches!(
        Region::new(plate(), vec![hole(10.0), within]),
        Err(RegionError::HolesOverlap { .. })
    ));
}
