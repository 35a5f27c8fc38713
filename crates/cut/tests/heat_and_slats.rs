//! How hot a start is, what is done about it, and what lies still on its slats.

mod sheets;

use cut::Track;
use cut::order::{Burn, Cooling, Fate, HotPlate, Plate, Search, Slats, TabRule, cooled, plan, tabs_for};
use plane::{Outline, Point, Region, Vector, Vertex};
use sheets::sheet;

/// Mild steel of 3 mm, values of handbooks from memory.
fn steel() -> Plate {
    Plate {
        thickness_mm: 3.0,
        conductivity_w_mm_k: 0.045,
        diffusivity_mm2_s: 12.0,
        loss_per_s: 0.002,
        ambient_c: 20.0,
    }
}

/// K0 by its integral from 0 up of exp(-x cosh t), in small steps.
fn k0(x: f64) -> f64 {
    const STEP: f64 = 1e-3;
    (0..12_000)
        .map(|k| (-x * ((f64::from(k) + 0.5) * STEP).cosh()).exp() * STEP)
        .sum()
}

#[test]
fn a_source_from_far_gives_the_thin_plate_solution() {
    let (power_w, speed_mm_s) = (800.0, 10.0);
    let plate = steel();
    let mut hot = HotPlate::new(plate).expect("steel");
    // From 20 m away to the origin, in pieces as a cut would have.
    for k in 0..20 {
        let x = -20_000.0 + 1000.0 * f64::from(k);
        hot.burn(Burn {
            from: Point::new(x, 0.0),
            to: Point::new(x + 1000.0, 0.0),
            start_s: (x + 20_000.0) / speed_mm_s,
            end_s: (x + 21_000.0) / speed_mm_s,
            power_w,
        });
    }
    for (x, y) in [
        (-20.0, 4.0),
        (-100.0, 15.0),
        (-3.0, 3.0),
        (2.0, 2.0),
        (-300.0, 0.0),
    ] {
        // T - T0 = q / (2 pi k h) exp(-v x / 2a) K0(r sqrt((v / 2a)^2 + b / a)), x ahead of the source.
        let r = f64::hypot(x, y);
        let v2a = speed_mm_s / (2.0 * plate.diffusivity_mm2_s);
        let around = (v2a * v2a + plate.loss_per_s / plate.diffusivity_mm2_s).sqrt();
        let per = 2.0 * std::f64::consts::PI * plate.conductivity_w_mm_k * plate.thickness_mm;
        // exp and K0 taken together, for the one is huge where the other is tiny.
        let product = {
            const STEP: f64 = 1e-4;
            (0..80_000)
                .map(|k| (-v2a * x - r * around * ((f64::from(k) + 0.5) * STEP).cosh()).exp() * STEP)
                .sum::<f64>()
        };
        if v2a * x.abs() < 20.0 {
            assert!((product / ((-v2a * x).exp() * k0(r * around)) - 1.0).abs() < 1e-3);
        }
        let rosenthal_c = 20.0 + power_w / per * product;
        let said_c = hot.temperature_c(Point::new(x, y), 2000.0);
        let rise_k = rosenthal_c - 20.0;
        assert!(
            (said_c - rosenthal_c).abs() <= 2e-3 * rise_k + 0.01,
            "({x}, {y}): {said_c} against {rosenthal_c}"
        );
    }
}

#[test]
fn the_heat_in_the_plate_is_the_heat_that_was_given() {
    let plate = Plate {
        loss_per_s: 0.0,
        ..steel()
    };
    let mut hot = HotPlate::new(plate).expect("steel");
    let round = Track {
        vertices: vec![
            Vertex::arc(Point::new(15.0, 0.0), 1.0),
            Vertex::arc(Point::new(-15.0, 0.0), 1.0),
            Vertex::line(Point::new(15.0, 0.0)),
        ],
    };
    hot.burn_track(&round, 0.0, 5.0, 600.0);
    // Heat capacity is conductivity over diffusivity; 3 mm thick; squares of 4 mm.
    let per_mm3 = plate.conductivity_w_mm_k / plate.diffusivity_mm2_s;
    let mut heat_j = 0.0;
    for i in -60..60 {
        for j in -60..60 {
            let at = Point::new((f64::from(i) + 0.5) * 4.0, (f64::from(j) + 0.5) * 4.0);
            heat_j += (hot.temperature_c(at, 60.0) - 20.0) * per_mm3 * 3.0 * 16.0;
        }
    }
    assert!((heat_j - 3000.0).abs() < 10.0, "{heat_j} J of 3000");
    assert!(
        HotPlate::new(Plate {
            thickness_mm: 0.0,
            ..plate
        })
        .is_err()
    );
}

#[test]
fn a_start_beside_a_fresh_cut_waits_or_goes_elsewhere_first() {
    let mut went_elsewhere = 0;
    let mut waited = 0;
    for seed in 0..6 {
        let job = sheet(seed, 14, 4, 2);
        let tracks: Vec<Vec<Track>> = job
            .contours
            .iter()
            .map(|contour| {
                let mut vertices = contour.shape.vertices().to_vec();
                vertices.push(Vertex::line(vertices[0].at));
                vec![Track { vertices }; contour.candidates.len()]
            })
            .collect();
        let plan = plan(&job, Search::default()).expect("an order");
        let mut cooling = Cooling {
            plate: steel(),
            ceiling_c: 70.0,
            power_w: 900.0,
            pierce_s: 0.8,
            longest_wait_s: 300.0,
            tracks,
        };
        let cool = cooled(&job, &plan, &cooling).expect("steel");
        let mut order: Vec<usize> = cool.steps.iter().map(|step| step.contour).collect();
        for pair in &plan.before {
            let place = |contour| order.iter().position(|c| *c == contour);
            assert!(place(pair.first) < place(pair.then));
        }
        for start in &cool.starts {
            assert!(start.pierced_c <= 70.0 + 0.1, "{start:?}");
            assert_eq!(start.waits_s > 0.0, start.arrives_c > 70.0, "{start:?}");
        }
        order.sort_unstable();
        assert!(order.iter().copied().eq(0..job.contours.len()));
        went_elsewhere += cool.brought_forward.len();
        waited += cool.starts.iter().filter(|start| start.waits_s > 0.0).count();
        // Without a ceiling the plan stays as it was.
        cooling.ceiling_c = 5000.0;
        let free = cooled(&job, &plan, &cooling).expect("steel");
        assert_eq!(free.steps, plan.steps);
        assert_eq!((free.waits_s, free.park == plan.park), (0.0, true));
        assert!(free.takes_s <= cool.takes_s + 1e-9);
    }
    assert!(
        went_elsewhere > 0 && waited > 0,
        "{went_elsewhere} brought forward, {waited} waits"
    );
}

fn slats() -> Slats {
    Slats {
        pitch_mm: 50.0,
        along: Vector::x(),
        first_mm: Some(0.0),
        tooth_mm: None,
        margin_mm: 2.0,
    }
}

fn rectangle(x: f64, y: f64, w: f64, h: f64) -> Region {
    Region::solid(Outline::rectangle(Point::new(x, y), Point::new(x + w, y + h)).expect("a rectangle"))
}

#[test]
fn a_plate_over_two_slats_lies_and_one_over_a_single_slat_tips() {
    let over_two = slats().under(&rectangle(0.0, 40.0, 80.0, 70.0)).expect("slats");
    assert_eq!(over_two.fate, Fate::Lies);
    // Slats at 50 and 100, the centroid at 75: 25 mm inside.
    assert!((over_two.inside_mm.expect("it touches") - 25.0).abs() < 1e-9);
    assert_eq!(
        slats()
            .under(&rectangle(0.0, 60.0, 80.0, 70.0))
            .expect("slats")
            .fate,
        Fate::Tips
    );
    assert_eq!(
        slats()
            .under(&rectangle(0.0, 5.0, 80.0, 40.0))
            .expect("slats")
            .fate,
        Fate::Drops
    );
    // Where the slats stand is not known: even the first may find itself over one slat only.
    let anywhere = Slats {
        first_mm: None,
        ..slats()
    };
    assert_ne!(
        anywhere
            .under(&rectangle(0.0, 40.0, 80.0, 70.0))
            .expect("slats")
            .fate,
        Fate::Lies
    );
    assert_eq!(
        anywhere
            .under(&rectangle(0.0, 40.0, 80.0, 160.0))
            .expect("slats")
            .fate,
        Fate::Lies
    );
}

#[test]
fn a_heavy_arm_beyond_the_last_slat_tips_the_part() {
    // A tee: a thin stem over the slats at 0 and 50, and a broad head beyond the second.
    let tee = Outline::polygon(&[
        Point::new(40.0, -5.0),
        Point::new(60.0, -5.0),
        Point::new(60.0, 55.0),
        Point::new(100.0, 55.0),
        Point::new(100.0, 95.0),
        Point::new(0.0, 95.0),
        Point::new(0.0, 55.0),
        Point::new(40.0, 55.0),
    ])
    .expect("a tee");
    let lies = slats().under(&Region::solid(tee.clone())).expect("slats");
    assert_eq!(lies.fate, Fate::Tips);
    // Area 1200 at 25 and 4000 at 75 from zero: the centroid is 63.46 up, 13.46 beyond the slat at 50.
    let beyond_mm = (1200.0 * 25.0 + 4000.0 * 75.0) / 5200.0 - 50.0;
    assert!((lies.inside_mm.expect("it touches") + beyond_mm).abs() < 1e-9);
    let rule = TabRule {
        width_mm: 3.0,
        from_corner_mm: 5.0,
        keep_off: vec![(Point::new(50.0, 95.0), 20.0)],
    };
    let tabs = tabs_for(&Region::solid(tee.clone()), &slats(), &rule)
        .expect("slats")
        .expect("tabs hold it");
    assert!(!tabs.is_empty());
    for tab in &tabs {
        assert!(tee.distance_to(tab.at).0 < 1e-9 && (tab.at - Point::new(50.0, 95.0)).norm() >= 20.0);
    }
    let held: Vec<Point> = tabs.iter().map(|tab| tab.at).collect();
    assert_eq!(
        slats()
            .under_held(&Region::solid(tee), &held)
            .expect("slats")
            .fate,
        Fate::Lies
    );
}

#[test]
fn a_window_over_a_slat_takes_its_support_away_and_teeth_carry_less_than_edges() {
    let plate = Outline::rectangle(Point::new(0.0, 40.0), Point::new(80.0, 110.0)).expect("a plate");
    let window = Outline::rectangle(Point::new(1.0, 90.0), Point::new(79.0, 105.0)).expect("a window");
    let windowed = Region::new(plate, vec![window]).expect("a frame");
    let lies = slats().under(&windowed).expect("slats");
    assert!(
        lies.inside_mm.expect("it touches") > 0.0,
        "its rails still touch: {lies:?}"
    );
    let teeth = Slats {
        tooth_mm: Some(12.0),
        ..slats()
    };
    assert_eq!(teeth.under(&windowed).expect("slats").fate, Fate::Tips);
    assert!(
        Slats {
            pitch_mm: 0.0,
            ..slats()
        }
        .under(&windowed)
        .is_err()
    );
}

#[test]
fn a_part_that_lies_needs_no_tabs_and_one_that_drops_gets_three() {
    let rule = TabRule {
        width_mm: 2.0,
        from_corner_mm: 4.0,
        keep_off: Vec::new(),
    };
    let lies = rectangle(0.0, 40.0, 80.0, 70.0);
    assert_eq!(tabs_for(&lies, &slats(), &rule), Ok(Some(Vec::new())));
    let drops = rectangle(0.0, 5.0, 80.0, 40.0);
    let tabs = tabs_for(&drops, &slats(), &rule)
        .expect("slats")
        .expect("three points hold it");
    assert_eq!(tabs.len(), 3);
    assert!(tabs.iter().all(|tab| tab.inside_mm >= 2.0));
}
