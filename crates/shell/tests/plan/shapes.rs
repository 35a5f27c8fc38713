//! Plain shapes.

use shell::plan::{Beside, Line, Plan};

use crate::drawn::{At, area, check, least_angle, plate_with_hole, rectangle, round, run};

#[test]
fn a_plate_with_a_hole_is_filled_to_its_area() {
    let plan = plate_with_hole();
    let filled = plan.fill(&|_| 2.0, 100_000).expect("the plate fills");
    check(&plan, &filled);
    let hole = 16.0 / 2.0 * 16.0 * (std::f64::consts::TAU / 16.0).sin();
    assert!((area(&filled) - (2400.0 - hole)).abs() < 1e-9);
    assert!(filled.slivers.is_empty(), "{:?}", filled.slivers.first());
    assert!(filled.regions.iter().all(|&region| region == 0));
}

#[test]
fn the_number_of_nodes_is_that_of_even_triangles_of_the_size_wanted() {
    let mut plan = Plan::default();
    run(
        &mut plan,
        &rectangle(100.0, 100.0),
        Beside::Region(0),
        Beside::Nothing,
    );
    for size in [10.0, 5.0, 2.0] {
        let filled = plan.fill(&|_| size, 100_000).expect("the square fills");
        check(&plan, &filled);
        let even = 1e4 * 2.0 / 3.0_f64.sqrt() / (size * size);
        let share = filled.nodes.len() as f64 / even;
        println!(
            "size {size}: {} nodes, {share:.2} of even triangles",
            filled.nodes.len()
        );
        assert!((0.85..1.3).contains(&share), "size {size}: {share}");
        assert!(filled.slivers.is_empty());
    }
}

#[test]
fn triangles_grow_from_a_fine_place_to_a_coarse_one() {
    let plan = plate_with_hole();
    let size = |at: At| 0.5 + 0.2 * at.x;
    let filled = plan.fill(&size, 100_000).expect("the plate fills");
    check(&plan, &filled);
    assert!(filled.slivers.is_empty(), "{:?}", filled.slivers.first());
    let mean = |from: f64, to: f64| {
        let lengths: Vec<f64> = filled
            .triangles
            .iter()
            .map(|t| t.map(|node| filled.nodes[node as usize]))
            .filter(|[a, ..]| (from..to).contains(&a.x))
            .map(|[a, b, _]| (b - a).norm())
            .collect();
        lengths.iter().sum::<f64>() / lengths.len() as f64
    };
    let (fine, coarse) = (mean(0.0, 3.0), mean(50.0, 60.0));
    assert!(fine < 1.2 && coarse > 5.0, "{fine} then {coarse}");
}

#[test]
fn regions_keep_to_their_own_side_and_share_the_nodes_between() {
    let points = [
        (0.0, 0.0),
        (30.0, 0.0),
        (60.0, 0.0),
        (60.0, 20.0),
        (30.0, 20.0),
        (0.0, 20.0),
    ]
    .map(|(x, y)| At::new(x, y))
    .to_vec();
    let line = |from, to, left, right| Line {
        from,
        to,
        left,
        right,
        is_cut: false,
    };
    let (a, b, no) = (Beside::Region(7), Beside::Region(3), Beside::Nothing);
    let lines = vec![
        line(0, 1, a, no),
        line(1, 2, b, no),
        line(2, 3, b, no),
        line(3, 4, b, no),
        line(4, 5, a, no),
        line(5, 0, a, no),
        line(1, 4, a, b),
    ];
    let plan = Plan { points, lines };
    let filled = plan.fill(&|_| 3.0, 10_000).expect("two regions fill");
    check(&plan, &filled);
    for (t, region) in filled.triangles.iter().zip(&filled.regions) {
        let x = t.iter().map(|&node| filled.nodes[node as usize].x).sum::<f64>() / 3.0;
        assert_eq!(*region, if x < 30.0 { 7 } else { 3 });
    }
    assert_eq!(filled.chains[6].left, filled.chains[6].right);
    assert!(filled.chains[6].left.len() >= 6);
}

#[test]
fn a_line_drawn_within_a_region_is_kept_and_parts_nothing() {
    let mut plan = plate_with_hole();
    run(
        &mut plan,
        &round(At::new(20.0, 20.0), 9.0, 24),
        Beside::Any,
        Beside::Any,
    );
    let filled = plan.fill(&|_| 3.0, 10_000).expect("a ring within fills");
    check(&plan, &filled);
    assert!(filled.slivers.is_empty(), "{:?}", filled.slivers.first());
    assert!(
        filled
            .chains
            .iter()
            .all(|chain| chain.left.len() >= 2 || chain.right.len() >= 2)
    );
}

#[test]
fn a_cut_from_the_rim_parts_its_two_sides_but_not_round_its_end() {
    let mut plan = Plan::default();
    run(
        &mut plan,
        &rectangle(40.0, 20.0),
        Beside::Region(0),
        Beside::Nothing,
    );
    // The cut starts on the lower edge, which is drawn in two.
    plan.points.extend([At::new(20.0, 0.0), At::new(20.0, 12.0)]);
    plan.lines[0].to = 4;
    let lower = plan.lines[0];
    plan.lines.push(Line {
        from: 4,
        to: 1,
        ..lower
    });
    plan.lines.push(Line {
        from: 4,
        to: 5,
        left: Beside::Any,
        right: Beside::Any,
        is_cut: true,
    });
    let filled = plan.fill(&|_| 2.5, 10_000).expect("a cut plate fills");
    check(&plan, &filled);
    let cut = &filled.chains[5];
    assert_eq!(cut.left.len(), cut.right.len());
    let shared: Vec<u32> = cut
        .left
        .iter()
        .filter(|node| cut.right.contains(node))
        .copied()
        .collect();
    assert_eq!(shared, vec![5], "only the end within the plate is shared");
    for (&left, &right) in cut.left.iter().zip(&cut.right) {
        assert_eq!(filled.nodes[left as usize], filled.nodes[right as usize]);
    }
}

#[test]
fn a_sharp_corner_is_said_and_the_rest_is_sound() {
    let mut plan = Plan::default();
    let wedge = [(0.0, 0.0), (60.0, 0.0), (60.0, 12.0)].map(|(x, y)| At::new(x, y));
    run(&mut plan, &wedge, Beside::Region(0), Beside::Nothing);
    let filled = plan.fill(&|_| 3.0, 10_000).expect("a wedge fills");
    check(&plan, &filled);
    assert_eq!(
        filled.slivers.len(),
        1,
        "only the corner of 11 degrees: {:?}",
        filled.slivers
    );
    assert!((filled.slivers[0].angle_rad - 0.2_f64.atan()).abs() < 1e-6);
    assert!(filled.nodes.len() < 400, "{}", filled.nodes.len());
}

#[test]
fn a_narrow_neck_and_a_short_edge_make_small_triangles_only_there() {
    let mut plan = Plan::default();
    run(
        &mut plan,
        &rectangle(100.0, 60.0),
        Beside::Region(0),
        Beside::Nothing,
    );
    // 0.8 mm from the edge.
    run(
        &mut plan,
        &round(At::new(50.0, 6.8), 6.0, 24),
        Beside::Region(0),
        Beside::Nothing,
    );
    let filled = plan.fill(&|_| 6.0, 10_000).expect("a neck fills");
    check(&plan, &filled);
    assert!(filled.slivers.is_empty(), "{:?}", filled.slivers.first());
    println!("neck: {} nodes", filled.nodes.len());
    assert!(filled.nodes.len() < 900, "{}", filled.nodes.len());
    let worst = filled
        .triangles
        .iter()
        .map(|&t| least_angle(&filled, t))
        .fold(9.0, f64::min);
    println!("least angle {:.1} degrees", worst.to_degrees());
}

#[test]
fn the_same_plan_gives_the_same_mesh() {
    let size = |at: At| 1.0 + 0.05 * at.y;
    let plan = plate_with_hole();
    let first = plan.fill(&size, 100_000).expect("the plate fills");
    assert_eq!(first, plan.fill(&size, 100_000).expect("the plate fills"));
}
