//! What must hold for every outline, tried on many. `GUSSET_CASES` raises how many, `GUSSET_SEED` tries others.

use std::f64::consts::PI;

use nalgebra::Isometry2;
use plane::{
    Corner, CornerError, Material, Outline, Place, Point, Region, Segment, Vector, Vertex, difference,
    inset_window, intersection, union,
};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

fn settings(few: u32) -> ProptestConfig {
    let set = |name: &str| std::env::var(name).ok().and_then(|n| n.parse::<u64>().ok());
    ProptestConfig {
        cases: set("GUSSET_CASES").and_then(|n| n.try_into().ok()).unwrap_or(few),
        rng_seed: RngSeed::Fixed(set("GUSSET_SEED").unwrap_or(1)),
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

/// A star-shaped outline: never crossing itself by its corners, though an arc may.
fn maybe_blob() -> impl Strategy<Value = Option<Outline>> {
    (3usize..14, -200.0..200.0, -200.0..200.0)
        .prop_flat_map(|(count, x, y)| {
            let rays = prop::collection::vec(
                (8.0..60.0f64, prop_oneof![2 => Just(0.0), 1 => -0.9..1.4f64]),
                count,
            );
            (Just((x, y)), rays)
        })
        .prop_map(|((x, y), rays)| {
            let step = 2.0 * PI / rays.len() as f64;
            let corner = |(i, (out_mm, bulge)): (usize, &(f64, f64))| {
                let (sin, cos) = (i as f64 * step + 0.1).sin_cos();
                Vertex {
                    at: Point::new(x + out_mm * cos, y + out_mm * sin),
                    bulge: *bulge,
                }
            };
            Outline::new(rays.iter().enumerate().map(corner).collect()).ok()
        })
}

/// Either way round.
fn blob() -> impl Strategy<Value = Outline> {
    (maybe_blob(), any::<bool>()).prop_filter_map("an arc crosses", |(outline, back)| {
        outline.map(|o| if back { o.reversed() } else { o })
    })
}

/// A convex polygon: points in order round a circle.
fn convex() -> impl Strategy<Value = Outline> {
    (prop::collection::btree_set(0u32..360, 3..12), 10.0..80.0f64).prop_filter_map(
        "a sliver",
        |(angles, radius)| {
            let corners: Vec<Point> = angles
                .iter()
                .map(|a| f64::from(*a).to_radians())
                .map(|a| Point::new(radius * a.cos(), radius * a.sin()))
                .collect();
            Outline::polygon(&corners).ok().filter(|o| o.area_mm2() > 1.0)
        },
    )
}

fn motion() -> impl Strategy<Value = Isometry2<f64>> {
    (-300.0..300.0, -300.0..300.0, -PI..PI).prop_map(|(x, y, turn)| Isometry2::new(Vector::new(x, y), turn))
}

fn near(a: f64, b: f64, within: f64) -> Result<(), TestCaseError> {
    prop_assert!((a - b).abs() <= within, "{} is not {} within {}", a, b, within);
    Ok(())
}

proptest! {
    #![proptest_config(settings(200))]

    #[test]
    fn area_and_moments_follow_the_part(o in blob(), m in motion(), k in 0.2..5.0f64) {
        let area = o.area_mm2();
        near(o.reversed().signed_area_mm2(), -o.signed_area_mm2(), 1e-9 * area)?;
        near(o.transformed(&m).signed_area_mm2(), o.signed_area_mm2(), 1e-9 * area)?;
        near(o.mirrored(Point::new(3.0, 4.0), Vector::new(1.0, 3.0)).signed_area_mm2(), o.signed_area_mm2(), 1e-9 * area)?;
        near(o.scaled(k).unwrap().area_mm2(), k * k * area, 1e-9 * k * k * area)?;
        let (before, after) = (o.moments(), o.transformed(&m).moments());
        prop_assert!((m * before.centroid - after.centroid).norm() < 1e-7);
        near(after.about_x_mm4 + after.about_y_mm4, before.about_x_mm4 + before.about_y_mm4, 1e-7 * before.about_x_mm4)?;
        near(before.area_mm2, area, 1e-9 * area)?;
        near(o.transformed(&m).length_mm(), o.length_mm(), 1e-9 * o.length_mm())?;
    }

    #[test]
    fn facets_and_arcs_agree_on_area_and_inside(o in blob(), probes in prop::collection::vec((-280.0..280.0, -280.0..280.0), 30)) {
        let facets = Outline::polygon(&o.flattened(1e-3));
        prop_assume!(facets.is_ok());
        let facets = facets.unwrap();
        near(facets.area_mm2(), o.area_mm2(), 1e-3 * o.length_mm())?;
        for (x, y) in probes {
            let at = Point::new(x, y);
            if o.distance_to(at).0 > 2e-3 {
                prop_assert_eq!(o.place_of(at), facets.place_of(at));
            }
        }
        for corner in o.vertices() {
            prop_assert_eq!(o.place_of(corner.at), Place::On);
        }
    }

    #[test]
    fn inside_agrees_beside_every_edge(o in blob()) {
        let left_inside = o.is_counter_clockwise();
        for edge in o.segments() {
            for share in [0.2, 0.5, 0.77] {
                let (at, along) = (edge.point_at(share), edge.tangent_at(share));
                let left = Vector::new(-along.y, along.x) * 1e-4;
                let (l, r) = (o.place_of(at + left), o.place_of(at - left));
                // Two edges may pass nearer than that.
                if o.segments().filter(|e| e.nearest(at).0 < 3e-4).count() == 1 {
                    prop_assert_eq!((l == Place::Inside, r == Place::Inside), (left_inside, !left_inside));
                }
            }
        }
    }

    #[test]
    fn simplifying_keeps_the_shape(o in blob()) {
        let cut: Vec<Vertex> = o
            .segments()
            .flat_map(|edge| { let (a, b) = edge.split_at(0.37); [a, b] })
            .map(|edge| Vertex { at: edge.from(), bulge: edge.bulge() })
            .collect();
        let cut = Outline::new(cut).unwrap();
        let fewer = cut.simplified();
        prop_assert!(fewer.len() <= o.len());
        near(fewer.area_mm2(), o.area_mm2(), 1e-6 * o.length_mm())?;
    }

    #[test]
    fn nearest_points_are_nearest(o in blob(), q in blob(), x in -300.0..300.0, y in -300.0..300.0) {
        let at = Point::new(x, y);
        let (away, foot) = o.distance_to(at);
        near((foot - at).norm(), away, 1e-9)?;
        for sample in o.flattened(0.01) {
            prop_assert!((sample - at).norm() >= away - 1e-9);
        }
        let (apart, on_o, on_q) = o.distance_between(&q);
        near((on_o - on_q).norm(), apart, 1e-9)?;
        for sample in o.flattened(0.1) {
            prop_assert!(q.distance_to(sample).0 >= apart - 1e-9);
        }
    }

    #[test]
    fn meetings_lie_on_both_edges_and_none_is_missed(a in segment(), b in segment()) {
        let found = a.meetings(&b);
        for meeting in &found {
            prop_assert!(a.holds(meeting.at) && b.holds(meeting.at));
        }
        // A change of side of b seen along a is a crossing.
        let steps = 100;
        for i in 0..steps {
            let part = a.between(f64::from(i) / f64::from(steps), f64::from(i + 1) / f64::from(steps));
            let (p, q) = (part.from(), part.to());
            let chord = Segment::line(p, q);
            let crosses = b.flattened(1e-2).iter().copied().chain([b.to()]).collect::<Vec<_>>().windows(2).any(|w| {
                let (u, v) = (w[0], w[1]);
                let left = |o: Point, d: Point, at: Point| (d - o).perp(&(at - o));
                left(p, q, u) * left(p, q, v) < 0.0 && left(u, v, p) * left(u, v, q) < 0.0
            });
            if crosses && a.from() != b.from() {
                prop_assert!(found.iter().any(|m| chord.nearest(m.at).0 < 0.6), "missed near {}", p);
            }
        }
    }

    #[test]
    fn convex_plates_offset_out_and_in_come_back(o in convex(), d in 0.05..20.0f64) {
        let out = o.offset_to_one(d).unwrap();
        near(out.area_mm2(), o.area_mm2() + o.length_mm() * d + PI * d * d, 1e-6 * out.area_mm2())?;
        let back = out.offset_to_one(-d).unwrap();
        near(back.area_mm2(), o.area_mm2(), 1e-5 * (1.0 + o.area_mm2()))?;
    }

    #[test]
    fn an_offset_keeps_its_distance(o in blob(), d in -12.0..12.0f64, probes in prop::collection::vec((-280.0..280.0, -280.0..280.0), 30)) {
        prop_assume!(d.abs() > 0.01);
        let results = o.offset(d).unwrap();
        for result in &results {
            for edge in result.segments() {
                for share in [0.0, 0.3, 0.8] {
                    near(o.distance_to(edge.point_at(share)).0, d.abs(), 1e-3)?;
                }
            }
        }
        // And it keeps all that it should: every point is in or out by its own distance from the edge.
        let grows = if o.is_counter_clockwise() { d } else { -d };
        for (x, y) in probes {
            let at = Point::new(x, y);
            let into_mm = o.distance_to(at).0 * if o.place_of(at) == Place::Inside { 1.0 } else { -1.0 } + grows;
            if into_mm.abs() > 1e-3 {
                let pockets = |pocket: bool| {
                    let ring = |r: &&Outline| (r.is_counter_clockwise() != o.is_counter_clockwise()) == pocket;
                    results.iter().filter(ring).any(|r| r.contains(at))
                };
                prop_assert_eq!(pockets(false) && !pockets(true), into_mm > 0.0, "{} at {}", into_mm, at);
            }
        }
    }

    #[test]
    fn rounds_are_tangent_and_fit_the_room_they_name(o in blob(), pick in 0usize..14, r in 0.2..30.0f64) {
        let corner = pick % o.len();
        match o.with_corners(&[(corner, Corner::Round(r))], Material::Inside) {
            Ok(rounded) => {
                let edges: Vec<Segment> = rounded.segments().collect();
                let arc = edges.iter().position(|e| matches!(e, Segment::Arc { radius_mm, .. } if (radius_mm - r).abs() < 1e-7));
                prop_assume!(arc.is_some());
                let i = arc.unwrap();
                let (before, after) = (edges[(i + edges.len() - 1) % edges.len()], edges[(i + 1) % edges.len()]);
                if before.length_mm() > 1e-3 && after.length_mm() > 1e-3 {
                    prop_assert!(before.tangent_at(1.0).perp(&edges[i].tangent_at(0.0)).abs() < 1e-6);
                    prop_assert!(after.tangent_at(0.0).perp(&edges[i].tangent_at(1.0)).abs() < 1e-6);
                }
            }
            Err(CornerError::CornerTooLarge { corner: named, wanted_mm, room_mm }) => {
                prop_assert_eq!((named, wanted_mm), (corner, r));
                prop_assert!(room_mm < r);
                if room_mm > 0.01 {
                    let again = o.with_corners(&[(corner, Corner::Round(room_mm * 0.999))], Material::Inside);
                    prop_assert!(!matches!(again, Err(CornerError::CornerTooLarge { .. })), "{again:?}");
                }
            }
            Err(CornerError::RunsInto { .. } | CornerError::Cusp { .. }) => {}
            Err(other) => prop_assert!(false, "{}", other),
        }
    }

    #[test]
    fn joined_and_shared_area_make_the_sum(a in blob(), b in blob()) {
        let (ra, rb) = (Region::solid(a), Region::solid(b.translated(Vector::new(1.0, 2.0))));
        check_books(&[ra], &[rb])?;
    }

    #[test]
    fn plates_on_a_grid_share_edges_and_still_add_up(a in squares(), b in squares()) {
        let (Ok(a), Ok(b)) = (plane::union_all(&a), plane::union_all(&b)) else {
            return Err(TestCaseError::fail("squares on a grid did not join"));
        };
        check_books(&a, &b)?;
    }

    #[test]
    fn a_region_and_one_almost_the_same_combine(o in blob(), digits in 3i32..10, turn in -1.0..1.0f64, x in -1.0..1.0f64, y in -1.0..1.0f64) {
        let off_mm = 10f64.powi(-digits);
        let a = Region::solid(o.clone());
        let b = Region::solid(o.transformed(&Isometry2::new(Vector::new(x, y) * off_mm, turn * off_mm / 100.0)));
        let area = |found: Result<Vec<Region>, plane::BooleanFailed>| {
            found.map(|set| set.iter().map(Region::area_mm2).sum::<f64>()).map_err(|e| TestCaseError::fail(e.to_string()))
        };
        let slack = 5.0 * off_mm.max(1e-4) * o.length_mm();
        near(area(a.union(&b))?, o.area_mm2(), slack)?;
        near(area(a.intersection(&b))?, o.area_mm2(), slack)?;
        near(area(a.difference(&b))?, 0.0, slack)?;
    }

    #[test]
    fn windows_keep_their_margin(o in blob(), inset in 0.5..15.0f64, r in 0.0..12.0f64) {
        if let Ok(windows) = inset_window(&o, inset, r) {
            for window in windows {
                prop_assert!(window.distance_between(&o).0 >= inset - 1e-3);
                prop_assert_eq!(o.place_of(window.vertices()[0].at), Place::Inside);
            }
        }
    }
}

fn segment() -> impl Strategy<Value = Segment> {
    let place = || (-20.0..20.0, -20.0..20.0).prop_map(|(x, y)| Point::new(x, y));
    (place(), place(), prop_oneof![Just(0.0), -3.0..3.0f64])
        .prop_map(|(a, b, bulge)| Segment::new(a, b, bulge))
}

/// Some unit squares and round-ended slots on a coarse grid.
fn squares() -> impl Strategy<Value = Vec<Region>> {
    prop::collection::vec((0i32..5, 0i32..5, 1i32..4, 1i32..4, any::<bool>()), 1..6).prop_map(|plates| {
        plates
            .into_iter()
            .map(|(x, y, w, h, round)| {
                let at = |x: i32, y: i32| Point::new(f64::from(x) * 7.3, f64::from(y) * 7.3);
                Region::solid(if round {
                    Outline::slot(at(x, y), at(x + w, y), 7.3 * 2.0).unwrap()
                } else {
                    Outline::rectangle(at(x, y), at(x + w, y + h)).unwrap()
                })
            })
            .collect()
    })
}

fn check_books(a: &[Region], b: &[Region]) -> Result<(), TestCaseError> {
    let area = |set: &[Region]| set.iter().map(Region::area_mm2).sum::<f64>();
    let all = union(a, b).map_err(|e| TestCaseError::fail(e.to_string()))?;
    let both = intersection(a, b).map_err(|e| TestCaseError::fail(e.to_string()))?;
    let less = difference(a, b).map_err(|e| TestCaseError::fail(e.to_string()))?;
    let slack = 1e-4 * (1.0 + area(a) + area(b)).sqrt();
    near(area(&all) + area(&both), area(a) + area(b), slack)?;
    near(area(&less), area(a) - area(&both), slack)?;
    for region in all.iter().chain(&both).chain(&less) {
        prop_assert!(region.outer.is_counter_clockwise());
        prop_assert!(region.holes.iter().all(|hole| !hole.is_counter_clockwise()));
        // Every result is an outline that would pass the door.
        for outline in region.outlines() {
            prop_assert!(
                Outline::new(outline.vertices().to_vec()).is_ok(),
                "{:?}",
                Outline::new(outline.vertices().to_vec())
            );
        }
    }
    // Membership at a spread of points, judged by the inputs.
    for i in 0..40 {
        let at = Point::new(
            -230.0 + 11.57 * f64::from(i),
            -210.0 + 10.31 * f64::from((i * 17) % 40),
        );
        let small = Point::new(f64::from(i) * 1.37, f64::from((i * 17) % 40) * 1.41);
        for at in [at, small] {
            let on = |set: &[Region]| set.iter().any(|r| r.distance_to(at).0 < 1e-4);
            if on(a) || on(b) {
                continue;
            }
            let inside = |set: &[Region]| set.iter().any(|r| r.place_of(at) == Place::Inside);
            prop_assert_eq!(inside(&all), inside(a) || inside(b));
            prop_assert_eq!(inside(&both), inside(a) && inside(b));
            prop_assert_eq!(inside(&less), inside(a) && !inside(b));
        }
    }
    Ok(())
}

/// Numbers as a broken file or a slip of the finger would give them.
fn hostile_number() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => -50.0..50.0f64,
        4 => (-3i32..4).prop_map(f64::from),
        1 => (-3i32..4).prop_map(|i| f64::from(i) * 1e-6),
        1 => (-3i32..4).prop_map(|i| f64::from(i) + 1e-7),
        1 => prop::sample::select(vec![0.0, -0.0, 1e-300, 5e-324, 1e6, -1e6, 1e18, f64::MAX, f64::NAN, f64::INFINITY]),
    ]
}

proptest! {
    #![proptest_config(settings(400))]

    #[test]
    fn nothing_panics_on_hostile_corners(
        corners in prop::collection::vec((hostile_number(), hostile_number(), hostile_number()), 0..9),
        more in prop::collection::vec((hostile_number(), hostile_number(), Just(0.0)), 3..6),
        size in hostile_number(),
        x in hostile_number(),
    ) {
        let make = |from: &[(f64, f64, f64)]| {
            Outline::new(from.iter().map(|&(x, y, bulge)| Vertex { at: Point::new(x, y), bulge }).collect())
        };
        let _ = Outline::circle(Point::new(x, size), size);
        let _ = Outline::slot(Point::new(x, size), Point::new(size, x), x);
        let _ = Outline::rectangle(Point::new(x, size), Point::new(size, x));
        let Ok(o) = make(&corners) else { return Ok(()) };
        let at = Point::new(x, size);
        let _ = (o.place_of(at), o.distance_to(at), o.moments(), o.simplified(), o.bounds());
        let _ = o.segments().map(|e| e.meetings_with_line(at, Vector::new(size, x)).len()).sum::<usize>();
        let _ = o.chords_along(at, Vector::new(size, x));
        let _ = o.scaled(size);
        let _ = o.inset(size);
        let _ = inset_window(&o, x.abs(), size);
        for treat in [Corner::Round(size), Corner::Chamfer(size), Corner::Notch(size)] {
            let _ = o.with_corners(&[(0, treat), (1, treat)], Material::Inside);
        }
        prop_assert!(o.area_mm2() > 0.0);
        if o.length_mm() < 1e4 {
            let _ = o.flattened(size);
        }
        if let Ok(other) = make(&more) {
            let _ = Region::new(o.clone(), vec![other.clone()]);
            let _ = o.distance_between(&other);
            let (a, b) = (Region::solid(o), Region::solid(other));
            let _ = (a.union(&b), a.intersection(&b), a.difference(&b));
        }
    }
}
