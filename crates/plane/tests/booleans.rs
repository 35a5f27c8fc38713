//! Regions joined, shared and cut away, against areas worked by hand.

use std::f64::consts::PI;

use plane::{Outline, Point, Region, difference, union, union_all};

fn p(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

fn plate(x: f64, y: f64, w: f64, h: f64) -> Region {
    Region::solid(Outline::rectangle(p(x, y), p(x + w, y + h)).unwrap())
}

fn disc(x: f64, y: f64, dia: f64) -> Region {
    Region::solid(Outline::circle(p(x, y), dia).unwrap())
}

fn close(a: f64, b: f64) {
    assert!((a - b).abs() <= 1e-6, "{a} is not {b}");
}

#[test]
fn panels_that_share_an_edge_join_without_a_trace_of_it() {
    let joined = plate(0.0, 0.0, 40.0, 20.0)
        .union(&plate(40.0, 0.0, 15.0, 20.0))
        .unwrap();
    assert_eq!(joined.len(), 1);
    assert_eq!(joined[0].outer.len(), 4);
    close(joined[0].area_mm2(), 55.0 * 20.0);
}

#[test]
fn a_panel_joins_along_part_of_an_edge() {
    let joined = plate(0.0, 0.0, 40.0, 20.0)
        .union(&plate(40.0, 5.0, 15.0, 10.0))
        .unwrap();
    assert_eq!(joined.len(), 1);
    assert_eq!(joined[0].outer.len(), 8);
    close(joined[0].area_mm2(), 800.0 + 150.0);
}

#[test]
fn a_disc_off_the_edge_leaves_a_bite_of_true_arc() {
    let left = plate(0.0, 0.0, 40.0, 20.0)
        .difference(&disc(40.0, 10.0, 10.0))
        .unwrap();
    close(left[0].area_mm2(), 800.0 - PI * 12.5);
    assert_eq!(left[0].outer.len(), 6);
    assert!(left[0].outer.is_counter_clockwise());
}

#[test]
fn a_disc_within_leaves_a_hole_and_a_bar_across_it_leaves_two() {
    let ring = plate(0.0, 0.0, 40.0, 20.0)
        .difference(&disc(20.0, 10.0, 10.0))
        .unwrap();
    assert_eq!(ring[0].holes.len(), 1);
    assert!(!ring[0].holes[0].is_counter_clockwise());
    let barred = union(&ring, &[plate(18.0, 0.0, 4.0, 20.0)]).unwrap();
    assert_eq!(barred[0].holes.len(), 2);
    let halves = difference(&ring, &[plate(18.0, -1.0, 4.0, 22.0)]).unwrap();
    assert_eq!(halves.len(), 2);
    close(halves[0].area_mm2(), halves[1].area_mm2());
}

#[test]
fn an_island_in_a_hole_is_a_region_of_its_own() {
    let ring = plate(0.0, 0.0, 40.0, 20.0)
        .difference(&disc(20.0, 10.0, 16.0))
        .unwrap();
    let both = union(&ring, &[disc(20.0, 10.0, 4.0)]).unwrap();
    assert_eq!(both.len(), 2);
    close(both[1].area_mm2(), PI * 4.0);
    assert_eq!(both[0].holes.len(), 1);
}

#[test]
fn plates_that_touch_at_a_corner_stay_two() {
    let two = plate(0.0, 0.0, 10.0, 10.0)
        .union(&plate(10.0, 10.0, 10.0, 10.0))
        .unwrap();
    assert_eq!(two.len(), 2);
}

#[test]
fn a_hole_that_touches_the_edge_stays_a_hole() {
    let left = plate(0.0, 0.0, 40.0, 20.0)
        .difference(&disc(20.0, 10.0, 20.0))
        .unwrap();
    close(left.iter().map(Region::area_mm2).sum(), 800.0 - PI * 100.0);
    // It touches above and below, so it parts the plate.
    assert_eq!(left.len(), 2);
    let once = plate(0.0, 0.0, 40.0, 21.0)
        .difference(&disc(20.0, 10.0, 20.0))
        .unwrap();
    close(once[0].area_mm2(), 840.0 - PI * 100.0);
    assert_eq!((once.len(), once[0].holes.len()), (1, 1));
}

#[test]
fn the_same_region_twice_is_itself_and_less_itself_nothing() {
    let slot = Region::solid(Outline::slot(p(0.0, 0.0), p(30.0, 7.0), 8.0).unwrap());
    for same in [slot.union(&slot).unwrap(), slot.intersection(&slot).unwrap()] {
        assert_eq!((same.len(), same[0].outer.len()), (1, 4));
        close(same[0].area_mm2(), slot.area_mm2());
    }
    assert!(slot.difference(&slot).unwrap().is_empty());
}

#[test]
fn four_panels_round_a_window_close_into_a_frame() {
    let frame = union_all(&[
        plate(0.0, 0.0, 40.0, 10.0),
        plate(0.0, 10.0, 10.0, 20.0),
        plate(30.0, 10.0, 10.0, 20.0),
        plate(0.0, 30.0, 40.0, 10.0),
    ])
    .unwrap();
    assert_eq!(frame.len(), 1);
    assert_eq!((frame[0].outer.len(), frame[0].holes.len()), (4, 1));
    close(frame[0].area_mm2(), 1600.0 - 400.0);
}

#[test]
fn apart_and_nested_regions_combine_as_they_should() {
    let (big, small, far) = (disc(0.0, 0.0, 20.0), disc(1.0, 0.0, 4.0), disc(50.0, 0.0, 4.0));
    assert_eq!(big.union(&small).unwrap().len(), 1);
    close(big.intersection(&small).unwrap()[0].area_mm2(), PI * 4.0);
    assert!(small.difference(&big).unwrap().is_empty());
    assert_eq!(big.union(&far).unwrap().len(), 2);
    assert!(big.intersection(&far).unwrap().is_empty());
    assert!(union_all(&[]).unwrap().is_empty());
}
