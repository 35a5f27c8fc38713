//! Corners rounded, chamfered and notched; windows inset from panels; tangents.

use std::f64::consts::PI;

use plane::{
    Corner, CornerError, Material, Outline, Place, Point, Segment, Side, Vertex, WindowError,
    bulge_of_radius, bulge_through, inset_window, tangent_arcs, tangent_lines, tangent_points,
};

fn p(x: f64, y: f64) -> Point {
    Point::new(x, y)
}

fn close(a: f64, b: f64) {
    assert!((a - b).abs() <= 1e-6 * b.abs().max(1.0), "{a} is not {b}");
}

fn plate() -> Outline {
    Outline::rectangle(p(0.0, 0.0), p(40.0, 20.0)).unwrap()
}

/// Every treated joint of an outline must run on smoothly.
fn smooth_joints(outline: &Outline) -> usize {
    let edges: Vec<Segment> = outline.segments().collect();
    (0..edges.len())
        .filter(|&i| {
            let before = edges[(i + edges.len() - 1) % edges.len()];
            before.tangent_at(1.0).perp(&edges[i].tangent_at(0.0)).abs() < 1e-9
                && before.tangent_at(1.0).dot(&edges[i].tangent_at(0.0)) > 0.0
        })
        .count()
}

#[test]
fn a_plate_rounded_all_round() {
    let all: Vec<_> = (0..4).map(|i| (i, Corner::Round(5.0))).collect();
    let rounded = plate().with_corners(&all, Material::Inside).unwrap();
    close(rounded.area_mm2(), 800.0 - (4.0 - PI) * 25.0);
    assert_eq!(smooth_joints(&rounded), 8);
}

#[test]
fn rounds_that_use_up_the_short_edges_make_a_slot() {
    let all: Vec<_> = (0..4).map(|i| (i, Corner::Round(10.0))).collect();
    let slot = plate().with_corners(&all, Material::Inside).unwrap();
    assert_eq!(slot.len(), 6);
    assert_eq!(slot.simplified().len(), 4);
    close(slot.area_mm2(), 400.0 + 100.0 * PI);
}

#[test]
fn a_chamfer_and_a_notch_take_their_corners() {
    let cut = plate()
        .with_corners(
            &[(1, Corner::Chamfer(4.0)), (2, Corner::Notch(3.0))],
            Material::Inside,
        )
        .unwrap();
    close(cut.area_mm2(), 800.0 - 8.0 - PI * 9.0 / 4.0);
    // The way round does not matter to the plate.
    let back = plate().reversed();
    let cut = back
        .with_corners(&[(2, Corner::Notch(3.0))], Material::Inside)
        .unwrap();
    close(cut.area_mm2(), 800.0 - PI * 9.0 / 4.0);
}

#[test]
fn a_notch_in_a_window_bites_outward() {
    let window = plate()
        .with_corners(&[(0, Corner::Notch(3.0))], Material::Outside)
        .unwrap();
    close(window.area_mm2(), 800.0 + 0.75 * PI * 9.0);
}

#[test]
fn an_inside_corner_is_filled() {
    let angle = Outline::polygon(&[
        p(0.0, 0.0),
        p(30.0, 0.0),
        p(30.0, 10.0),
        p(10.0, 10.0),
        p(10.0, 30.0),
        p(0.0, 30.0),
    ])
    .unwrap();
    let filled = angle
        .with_corners(&[(3, Corner::Round(4.0))], Material::Inside)
        .unwrap();
    close(filled.area_mm2(), angle.area_mm2() + (1.0 - PI / 4.0) * 16.0);
}

#[test]
fn rounds_between_lines_and_arcs_are_tangent_to_both() {
    // A half moon: a large arc back over a small one.
    let moon = Outline::new(vec![
        Vertex::arc(
            p(20.0, 0.0),
            bulge_through(p(20.0, 0.0), p(0.0, 18.0), p(-20.0, 0.0)).unwrap(),
        ),
        Vertex::arc(
            p(-20.0, 0.0),
            bulge_through(p(-20.0, 0.0), p(0.0, 6.0), p(20.0, 0.0)).unwrap(),
        ),
    ])
    .unwrap();
    let rounded = moon
        .with_corners(
            &[(0, Corner::Round(1.5)), (1, Corner::Round(1.0))],
            Material::Inside,
        )
        .unwrap();
    assert_eq!((rounded.len(), smooth_joints(&rounded)), (4, 4));
    assert!(rounded.area_mm2() < moon.area_mm2());
    // A tab on a disc: inside corners between arc and line.
    let tab = Outline::new(vec![
        Vertex::arc(
            p(8.0, 6.0),
            -bulge_through(p(8.0, 6.0), p(10.0, 0.0), p(8.0, -6.0))
                .unwrap()
                .recip(),
        ),
        Vertex::line(p(8.0, -6.0)),
        Vertex::line(p(25.0, -6.0)),
        Vertex::line(p(25.0, 6.0)),
    ])
    .unwrap();
    let filled = tab
        .with_corners(
            &[(0, Corner::Round(3.0)), (1, Corner::Round(3.0))],
            Material::Inside,
        )
        .unwrap();
    assert_eq!(smooth_joints(&filled), 4);
    assert!(filled.area_mm2() > tab.area_mm2());
}

#[test]
fn a_corner_too_large_says_how_much_room_there_is() {
    let too_large = |corners: &[(usize, Corner)]| match plate().with_corners(corners, Material::Inside) {
        Err(CornerError::CornerTooLarge { corner, room_mm, .. }) => (corner, room_mm),
        other => panic!("{other:?}"),
    };
    let (corner, room_mm) = too_large(&[(1, Corner::Round(25.0))]);
    assert_eq!(corner, 1);
    close(room_mm, 20.0);
    let (corner, room_mm) = too_large(&[(1, Corner::Chamfer(5.0)), (2, Corner::Round(18.0))]);
    assert_eq!(corner, 2);
    close(room_mm, 15.0);
    let (corner, room_mm) = too_large(&[(3, Corner::Notch(21.0))]);
    assert_eq!(corner, 3);
    close(room_mm, 20.0);
}

#[test]
fn corners_that_cannot_be_are_told_apart() {
    let corner = |corners: &[(usize, Corner)]| plate().with_corners(corners, Material::Inside);
    assert_eq!(
        corner(&[(4, Corner::Round(1.0))]),
        Err(CornerError::NoSuchCorner {
            corner: 4,
            corners: 4
        })
    );
    assert!(matches!(
        corner(&[(0, Corner::Round(f64::NAN))]),
        Err(CornerError::NoSize { corner: 0, .. })
    ));
    assert!(matches!(
        corner(&[(0, Corner::Chamfer(-1.0))]),
        Err(CornerError::NoSize { .. })
    ));
    let twice = corner(&[(0, Corner::Round(1.0)), (0, Corner::Notch(1.0))]);
    assert_eq!(twice, Err(CornerError::Twice { corner: 0 }));
    // Two bites out of neighbouring corners of a narrow plate, from both long sides.
    let strip =
        Outline::polygon(&[p(0.0, 0.0), p(40.0, 0.0), p(40.0, 6.0), p(20.0, 6.0), p(0.0, 6.0)]).unwrap();
    let bite = strip.with_corners(&[(3, Corner::Notch(8.0))], Material::Inside);
    assert!(
        matches!(bite, Err(CornerError::RunsInto { corner: 3, .. })),
        "{bite:?}"
    );
}

#[test]
fn a_window_leaves_its_margin_and_rounds_its_corners() {
    let windows = inset_window(&plate(), 4.0, 3.0).unwrap();
    assert_eq!(windows.len(), 1);
    close(windows[0].area_mm2(), 32.0 * 12.0 - (4.0 - PI) * 9.0);
    assert_eq!(smooth_joints(&windows[0]), 8);
    assert_eq!(inset_window(&plate(), 4.0, 0.0).unwrap()[0].len(), 4);
    match inset_window(&plate(), 4.0, 7.0) {
        Err(WindowError::RadiusTooLarge { largest_mm, .. }) => {
            assert!((largest_mm - 6.0).abs() < 1e-3, "{largest_mm}")
        }
        other => panic!("{other:?}"),
    }
    match inset_window(&plate(), 12.0, 1.0) {
        Err(WindowError::Collapsed { most_mm, .. }) => assert!((most_mm - 10.0).abs() < 1e-3, "{most_mm}"),
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_radius_that_would_lose_a_leg_of_the_window_is_too_large() {
    let angle = Outline::polygon(&[
        p(0.0, 0.0),
        p(60.0, 0.0),
        p(60.0, 16.0),
        p(40.0, 16.0),
        p(40.0, 40.0),
        p(0.0, 40.0),
    ])
    .unwrap();
    assert!(inset_window(&angle, 3.0, 4.5).is_ok());
    match inset_window(&angle, 3.0, 6.0) {
        Err(WindowError::RadiusTooLarge { largest_mm, .. }) => {
            assert!((largest_mm - 5.0).abs() < 1e-2, "{largest_mm}")
        }
        other => panic!("{other:?}"),
    }
}

#[test]
fn margins_that_meet_part_the_window() {
    let waisted = Outline::polygon(&[
        p(0.0, 0.0),
        p(20.0, 0.0),
        p(20.0, 8.0),
        p(24.0, 8.0),
        p(24.0, 0.0),
        p(50.0, 0.0),
        p(50.0, 20.0),
        p(24.0, 20.0),
        p(24.0, 12.0),
        p(20.0, 12.0),
        p(20.0, 20.0),
        p(0.0, 20.0),
    ])
    .unwrap();
    let windows = inset_window(&waisted, 3.0, 2.0).unwrap();
    assert_eq!(windows.len(), 2);
    assert!(windows[0].area_mm2() > windows[1].area_mm2());
    assert_eq!(waisted.place_of(windows[0].centroid()), Place::Inside);
}

#[test]
fn tangents_to_circles_touch_them() {
    let [right, left] = tangent_points(p(-10.0, 0.0), p(0.0, 0.0), 6.0).unwrap();
    close(right.coords.norm(), 6.0);
    close((right - p(-10.0, 0.0)).norm(), 8.0);
    assert!(right.y > 0.0 && left.y < 0.0);
    assert!(tangent_points(p(1.0, 0.0), p(0.0, 0.0), 6.0).is_none());

    let lines = tangent_lines(p(0.0, 0.0), 5.0, p(20.0, 0.0), 3.0);
    assert_eq!(lines.len(), 4);
    for line in &lines {
        let along = (line.to - line.from).normalize();
        let side_of = |centre: Point| along.perp(&(centre - line.from));
        close(side_of(p(0.0, 0.0)).abs(), 5.0);
        close(side_of(p(20.0, 0.0)).abs(), 3.0);
        assert_eq!(line.first_on == Side::Left, side_of(p(0.0, 0.0)) > 0.0);
        assert_eq!(line.second_on == Side::Left, side_of(p(20.0, 0.0)) > 0.0);
    }
    assert_eq!(tangent_lines(p(0.0, 0.0), 5.0, p(1.0, 0.0), 3.0).len(), 0);
}

#[test]
fn tangent_arcs_leave_one_edge_and_join_the_other() {
    let floor = Segment::line(p(-30.0, 0.0), p(30.0, 0.0));
    let ring = Segment::arc_about(p(0.0, 25.0), p(15.0, 25.0), -3.0);
    let arcs = tangent_arcs(&floor, &ring, 8.0);
    assert!(!arcs.is_empty());
    for found in arcs {
        let (a, b) = (
            floor.tangent_at(found.leaves_first_at),
            ring.tangent_at(found.joins_second_at),
        );
        close(a.dot(&found.arc.tangent_at(0.0)), 1.0);
        close(b.dot(&found.arc.tangent_at(1.0)), 1.0);
    }
}

#[test]
fn an_arc_by_radius_stands_out_on_its_side() {
    let bulge = bulge_of_radius(p(0.0, 0.0), p(10.0, 0.0), 6.25, Side::Left).unwrap();
    close(bulge, -0.5);
    assert!(Segment::new(p(0.0, 0.0), p(10.0, 0.0), bulge).point_at(0.5).y > 0.0);
    assert!(bulge_of_radius(p(0.0, 0.0), p(10.0, 0.0), 4.0, Side::Left).is_err());
}
