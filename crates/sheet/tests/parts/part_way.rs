//! A plate that is bent in part: flat it is its blank, bent through it is the part, and between it keeps its sizes.

use nalgebra::Point3;
use proptest::prelude::*;
use sheet::{Part, develop};

use crate::fold_again::{FOLDED_MM, config};
use crate::random_card::{random_card, thickness_mm};

/// What is drawn of it is not finer.
const PLACED_MM: f64 = 1e-6;

/// Where the middles of the openings come, with the part standing as it does.
fn holes(part: &Part) -> Vec<Option<Point3<f64>>> {
    (0..part.openings.len())
        .map(|index| Some(part.opening_in_space(index)?.at))
        .collect()
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn from_its_blank_to_its_shape_a_plate_stays_whole(mockup in random_card(), t_mm in thickness_mm(), share in 0.05..0.95) {
        let Ok(part) = develop(&mockup, t_mm) else { return Ok(()) };
        let bends = part.bends.len();
        // Flat, every hole lies where the blank has it.
        let flat = part.part_way(&vec![0.0; bends]);
        for (index, at) in holes(&flat).into_iter().enumerate() {
            let (Some(at), Some(shape)) = (at, &part.blank.openings[index]) else { continue };
            let on_blank = shape.middle();
            prop_assert!((at - Point3::new(on_blank.x, on_blank.y, 0.0)).norm() < PLACED_MM);
        }
        // Bent through, everything stands as in the part.
        let whole = part.part_way(&vec![1.0; bends]);
        for (one, other) in whole.panels.iter().zip(&part.panels) {
            prop_assert!((one.to_folded.to_homogeneous() - other.to_folded.to_homogeneous()).amax() < PLACED_MM);
        }
        for (one, other) in holes(&whole).into_iter().zip(holes(&part)) {
            if let (Some(one), Some(other)) = (one, other) {
                prop_assert!((one - other).norm() < PLACED_MM);
            }
        }
        for (one, other) in whole.bends.iter().zip(&part.bends) {
            prop_assert!((one.axis_at - other.axis_at).norm() < PLACED_MM);
            prop_assert_eq!(one.radius_mm, other.radius_mm);
        }
        // Between, each strip still joins its two panels, on both faces.
        let between = part.part_way(&vec![share; bends]);
        for (index, bend) in between.bends.iter().enumerate() {
            for (number, strip) in bend.strips.iter().enumerate() {
                for height_mm in between.z_range() {
                    for end in [0, 1] {
                        let on = |panel: usize, at: plane::Point| {
                            between.folded_point(panel, at - between.panels[panel].to_blank, height_mm)
                        };
                        let along = end as f64;
                        let fixed = between.bend_surface_point(index, number, along, 0.0, height_mm);
                        let moving = between.bend_surface_point(index, number, along, 1.0, height_mm);
                        prop_assert!((fixed - on(bend.fixed, strip.fixed[end])).norm() < 1e3 * FOLDED_MM);
                        prop_assert!((moving - on(bend.moving, strip.moving[end])).norm() < 1e3 * FOLDED_MM);
                    }
                }
            }
        }
    }
}
