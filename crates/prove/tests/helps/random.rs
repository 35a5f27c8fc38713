//! Whatever a change gives develops, folds and keeps its openings.

use plane::{Outline, Point};
use proptest::prelude::*;
use prove::Bracket;
use prove::helps::{ExtraPlate, Shelf, Stock, apply, candidates};
use sheet::{Crease, Face, Mockup, Opening, OpeningShape, Relief, Way, develop, fold_blank};

use crate::hoe;

/// Positions in the folded part agree to this: rounding over half a metre.
const SAME_MM: f64 = 1e-7;

/// A strip of panels with creases across, holes and windows along its middle.
#[derive(Debug, Clone)]
struct Drawn {
    mockup: Mockup,
    thickness_mm: f64,
}

fn drawn() -> impl Strategy<Value = Drawn> {
    let panel = (
        60.0..140.0,
        0.2..2.0,
        any::<bool>(),
        -0.25..0.25,
        prop::option::of(8.0..16.0),
    );
    let face = prop_oneof![Just(Face::Marked), Just(Face::Middle), Just(Face::Far)];
    let root = prop_oneof![Just(None), Just(Some(Point::new(20.0, 6.0)))];
    (
        prop::collection::vec(panel, 1..4),
        40.0..90.0,
        1.0..6.0,
        face,
        root,
        -0.2..0.2,
    )
        .prop_map(|(panels, wide_mm, thickness_mm, lines_on, root, taper)| {
            let mut mockup = Mockup {
                outline: Outline::rectangle(Point::origin(), Point::new(1.0, 1.0)).expect("a square"),
                openings: Vec::new(),
                creases: Vec::new(),
                seams: Vec::new(),
                marks: Vec::new(),
                panel_names: Vec::new(),
                root,
                lines_on,
                card_mm: 0.0,
            };
            let mut at_mm = 0.0;
            let half_mm: f64 = wide_mm / 2.0;
            for (index, &(long_mm, bent_rad, up, slope, window)) in panels.iter().enumerate() {
                if index > 0 {
                    mockup.creases.push(Crease {
                        name: format!("b{index}"),
                        from: Point::new(at_mm - slope * 2.0 * half_mm, -2.0 * half_mm),
                        to: Point::new(at_mm + slope * 2.0 * half_mm, 2.0 * half_mm),
                        bent_rad,
                        way: if up { Way::Up } else { Way::Down },
                        radius_mm: thickness_mm,
                        neutral_share: 0.4,
                        relief: Relief::Auto { least_width_mm: 1.0 },
                    });
                }
                let middle = Point::new(at_mm + long_mm / 2.0, 0.0);
                let shape = match window {
                    None => OpeningShape::Round {
                        at: middle,
                        dia_mm: 6.0,
                    },
                    Some(half) => OpeningShape::Slot {
                        from: middle - plane::Vector::x() * 4.0,
                        to: middle + plane::Vector::x() * 4.0,
                        width_mm: half,
                    },
                };
                mockup.openings.push(Opening {
                    name: format!("o{index}"),
                    shape,
                });
                at_mm += long_mm;
            }
            let end_mm: f64 = half_mm * (1.0 + taper);
            let corners = [
                Point::new(0.0, -half_mm),
                Point::new(at_mm, -end_mm),
                Point::new(at_mm, end_mm),
                Point::new(0.0, half_mm),
            ];
            mockup.outline = Outline::polygon(&corners).expect("a tapered strip");
            Drawn { mockup, thickness_mm }
        })
}

fn shelf(thickness_mm: f64) -> Shelf {
    let stock = |factor: f64| Stock {
        name: format!("{factor} t"),
        thickness_mm: thickness_mm * factor,
        radius_mm: thickness_mm * factor,
        neutral_share: 0.4,
        least_leg_mm: 4.5 * thickness_mm * factor,
        welding: None,
    };
    Shelf {
        plates: [0.75, 1.0, 1.3].map(stock).to_vec(),
        window_corner_mm: 3.0,
        free_mounts: Vec::new(),
    }
}

fn flat(plate: &ExtraPlate) -> bool {
    let [a, b, c] = [0, 1, 2].map(|index| plate.corners[index]);
    let square = (b - a).cross(&(c - a)).normalize();
    plate
        .corners
        .iter()
        .all(|at| (at - a).dot(&square).abs() < SAME_MM)
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: std::env::var("GUSSET_CASES").ok().and_then(|cases| cases.parse().ok()).unwrap_or(24),
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn a_change_gives_a_part_that_folds_and_keeps_its_openings(drawn in drawn()) {
        let Ok(part) = develop(&drawn.mockup, drawn.thickness_mm) else { return Ok(()) };
        let template = hoe::part();
        let mut bracket: Bracket<'_> = hoe::bracket(&template);
        bracket.part = &part;
        bracket.mounts.truncate(1);
        bracket.support = None;
        let shelf = shelf(drawn.thickness_mm);
        let mut made = 0;
        for change in candidates(&drawn.mockup, &bracket, &shelf) {
            let Ok(changed) = apply(&change, &drawn.mockup, &bracket, &shelf) else { continue };
            made += 1;
            let folded = fold_blank(&changed.part.bends, changed.part.lines_on, changed.part.thickness_mm);
            for (place, panel) in folded.iter().zip(&changed.part.panels) {
                for corner in panel.flat.outer.vertices() {
                    let on_blank = corner.at + panel.to_blank;
                    let once = place * nalgebra::Point3::new(on_blank.x, on_blank.y, 0.0);
                    let other = panel.to_folded * nalgebra::Point3::new(corner.at.x, corner.at.y, 0.0);
                    prop_assert!((once - other).norm() < SAME_MM, "{change:?}");
                }
            }
            for (before, now) in changed.openings_now.iter().enumerate() {
                let Some(now) = now else { continue };
                prop_assert_eq!(&changed.part.openings[*now].name, &part.openings[before].name);
                let panel = part.panel_of_opening(before).map(|panel| &part.panels[panel].name);
                let panel_now = changed.part.panel_of_opening(*now).map(|panel| &changed.part.panels[panel].name);
                prop_assert_eq!(panel, panel_now, "{:?}", change);
            }
            for plate in &changed.extra {
                prop_assert!(flat(plate), "{change:?}");
                prop_assert!(plate.area_mm2() > 0.0);
                for weld in &plate.welds {
                    let panel = &changed.part.panels[weld.to_panel];
                    let back = panel.to_folded.inverse();
                    let [far_mm, marked_mm] = changed.part.z_range();
                    let middle_mm = (far_mm + marked_mm) / 2.0;
                    let off_mm = (changed.part.thickness_mm) / 2.0;
                    for end in plate.edge(weld.edge) {
                        let seen = back * end;
                        prop_assert!(((seen.z - middle_mm).abs() - off_mm).abs() < SAME_MM, "{change:?}");
                        prop_assert!(panel.flat.outer.contains(seen.xy()), "{change:?}");
                    }
                }
            }
        }
        prop_assert!(made > 10, "{made}");
    }
}
