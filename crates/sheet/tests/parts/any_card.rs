//! Whatever is drawn, it develops or is refused; and what develops folds up again.

use std::f64::consts::TAU;

use nalgebra::Point3;
use plane::{Outline, Point, Vertex};
use proptest::prelude::*;
use sheet::{Crease, Face, Mockup, Opening, OpeningShape, Relief, Way, develop, fold_blank};

use crate::card::card;
use crate::fold_again::{FOLDED_MM, config};

fn place() -> impl Strategy<Value = Point> {
    // Coordinates on a coarse grid as often as not, so that things touch, coincide and run along each other.
    let number = prop_oneof![(-12..=12).prop_map(|step| f64::from(step) * 10.0), -120.0..120.0];
    (number.clone(), number).prop_map(|(x, y)| Point::new(x, y))
}

fn outline() -> impl Strategy<Value = Option<Outline>> {
    let star = prop::collection::vec((40.0..120.0, prop_oneof![3 => Just(0.0), 1 => -0.5..0.8]), 3..10);
    let box_of = (place(), place()).prop_map(|(a, b)| Outline::rectangle(a, b).ok());
    let star = star.prop_map(|rays| {
        let step = TAU / rays.len() as f64;
        let corner = |(index, (out_mm, bulge)): (usize, &(f64, f64))| {
            let (sin, cos) = (index as f64 * step).sin_cos();
            Vertex {
                at: Point::new(out_mm * cos, out_mm * sin),
                bulge: *bulge,
            }
        };
        Outline::new(rays.iter().enumerate().map(corner).collect()).ok()
    });
    prop_oneof![box_of, star]
}

fn any_crease() -> impl Strategy<Value = Crease> {
    let relief = prop_oneof![
        Just(Relief::None),
        Just(Relief::Auto { least_width_mm: 1.0 }),
        (0.0..10.0, 0.0..10.0).prop_map(|(width_mm, past_mm)| Relief::Slot { width_mm, past_mm }),
    ];
    let figures = (0.1..3.0, any::<bool>(), 0.0..8.0, 0.0..1.0);
    (place(), place(), figures, relief).prop_map(|(from, to, (bent_rad, up, radius_mm, k), relief)| Crease {
        name: "b".to_owned(),
        from,
        to,
        bent_rad,
        way: if up { Way::Up } else { Way::Down },
        radius_mm,
        neutral_share: k,
        relief,
    })
}

fn any_opening() -> impl Strategy<Value = Opening> {
    let round = (place(), 1.0..40.0).prop_map(|(at, dia_mm)| OpeningShape::Round { at, dia_mm });
    let slot = (place(), place(), 1.0..20.0).prop_map(|(from, to, width_mm)| OpeningShape::Slot {
        from,
        to,
        width_mm,
    });
    let window = (place(), place()).prop_filter_map("no window", |(a, b)| {
        Outline::rectangle(a, b).ok().map(OpeningShape::Window)
    });
    prop_oneof![round, slot, window].prop_map(|shape| Opening {
        name: "w".to_owned(),
        shape,
    })
}

fn any_card() -> impl Strategy<Value = Mockup> {
    let creases = prop::collection::vec(any_crease(), 1..4);
    let openings = prop::collection::vec(any_opening(), 0..3);
    let face = prop_oneof![Just(Face::Marked), Just(Face::Middle), Just(Face::Far)];
    (outline(), creases, openings, face, 0.0..1.0).prop_filter_map(
        "no outline",
        |(outline, mut creases, openings, lines_on, card_mm)| {
            // Long enough to cross the plate, two times in three.
            for (index, crease) in creases.iter_mut().enumerate().filter(|(index, _)| index % 3 != 2) {
                let along = (crease.to - crease.from) * (3.0 + index as f64);
                crease.from -= along;
                crease.to += along;
            }
            let outline = outline?;
            Some(Mockup {
                outline,
                creases,
                openings,
                lines_on,
                card_mm,
                ..card(&[(0.0, 0.0), (1.0, 0.0), (0.0, 1.0)])
            })
        },
    )
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn any_card_develops_or_is_refused(mockup in any_card(), t in 0.5..6.0) {
        if let Ok(part) = develop(&mockup, t) {
            let places = fold_blank(&part.bends, part.lines_on, t);
            for (panel, place) in part.panels.iter().zip(&places) {
                for corner in panel.flat.outer.vertices() {
                    let plate = panel.to_folded * Point3::from(corner.at.coords.push(0.0));
                    let folded = place * Point3::from((corner.at + panel.to_blank).coords.push(0.0));
                    prop_assert!((plate - folded).norm() < FOLDED_MM);
                }
            }
            prop_assert!(part.volume_mm3() > 0.0);
        }
    }
}
