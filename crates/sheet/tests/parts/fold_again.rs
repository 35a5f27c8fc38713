//! What must hold for every part: the blank folds up to the plate, keeps its area, and mirrors.

use nalgebra::Point3;
use plane::Point;
use proptest::prelude::*;
use proptest::test_runner::{Config, FileFailurePersistence};
use sheet::{Part, SheetError, Strip, develop, fold_blank};

use crate::random_card::{random_card, thickness_mm};

/// The promise: the folded blank lies on the plate within this.
pub const FOLDED_MM: f64 = 1e-9;

/// Areas of some 1e4 mm2 add up to rounding.
const AREA_MM2: f64 = 1e-6;

/// Cases of each property: a few hundred to pass the time of a test run; GUSSET_CASES asks for more.
pub fn config() -> Config {
    let cases = std::env::var("GUSSET_CASES")
        .ok()
        .and_then(|cases| cases.parse().ok())
        .unwrap_or(256);
    Config {
        cases,
        max_global_rejects: 100 * cases,
        failure_persistence: Some(Box::new(FileFailurePersistence::Direct(
            "tests/parts/proptest-regressions/fold_again.txt",
        ))),
        ..Config::default()
    }
}

/// A part, unless the random figures leave no room for the bends, which is refused by name and is not the question here.
fn part(mockup: &sheet::Mockup, thickness_mm: f64) -> Result<Part, TestCaseError> {
    develop(mockup, thickness_mm).map_err(|refused| match refused {
        SheetError::LegVanishes { .. }
        | SheetError::BendVanishes { .. }
        | SheetError::CardTooThick { .. }
        | SheetError::OpeningInBend { .. }
        | SheetError::OpeningWithinBend { .. }
        | SheetError::OpeningsOverlap { .. }
        | SheetError::OpeningOverEdge { .. }
        | SheetError::OpeningOutside { .. }
        | SheetError::OpeningMeetsRelief { .. }
        | SheetError::ReliefMeetsEdge { .. }
        | SheetError::EdgeInBend { .. }
        | SheetError::NoRoomForRelief { .. }
        | SheetError::CreasesCross { .. }
        | SheetError::BlankOverlaps { .. } => {
            if std::env::var("SHOW").is_ok() {
                eprintln!("REFUSED {refused}");
            }
            TestCaseError::reject("no room")
        }
        other => TestCaseError::fail(format!("{other}")),
    })
}

fn corners(panel: &sheet::Panel) -> impl Iterator<Item = Point> + '_ {
    let holes = panel.flat.holes.iter().flat_map(|hole| hole.vertices());
    panel
        .flat
        .outer
        .vertices()
        .iter()
        .chain(holes)
        .map(|corner| corner.at)
}

/// The blank leaves out corners that lie on a line to within the size of a point.
fn blank_within_mm2(part: &Part) -> f64 {
    AREA_MM2 + plane::SAME_POINT_MM * part.blank.region.length_mm()
}

fn strip_area_mm2(strip: &Strip) -> f64 {
    let quad = [strip.fixed[0], strip.fixed[1], strip.moving[1], strip.moving[0]];
    let twice: f64 = (0..4)
        .map(|i| quad[i].coords.perp(&quad[(i + 1) % 4].coords))
        .sum();
    twice / 2.0
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn the_blank_folds_up_to_the_plate(mockup in random_card(), t in thickness_mm()) {
        let part = part(&mockup, t)?;
        let places = fold_blank(&part.bends, part.lines_on, t);
        prop_assert_eq!(places.len(), part.panels.len());
        for (panel, place) in part.panels.iter().zip(&places) {
            for height_mm in part.z_range() {
                for corner in corners(panel) {
                    let plate = panel.to_folded * Point3::from(corner.coords.push(height_mm));
                    let folded = place * Point3::from((corner + panel.to_blank).coords.push(height_mm));
                    prop_assert!((plate - folded).norm() < FOLDED_MM, "{} off {}", panel.name, plate - folded);
                }
            }
        }
        for (index, on_blank) in part.blank.openings.iter().enumerate() {
            let placed = part.opening_in_space(index);
            prop_assert_eq!(on_blank.is_some(), placed.is_some());
            if let (Some(shape), Some(placed)) = (on_blank, placed) {
                let folded = places[placed.panel] * Point3::from(shape.middle().coords.push(0.0));
                prop_assert!((folded - placed.at).norm() < FOLDED_MM);
            }
        }
        for (index, bend) in part.bends.iter().enumerate() {
            for (number, strip) in bend.strips.iter().enumerate() {
                for (end, along) in [(0, 0.0), (1, 1.0)] {
                    for height_mm in part.z_range() {
                        let near = part.bend_surface_point(index, number, along, 0.0, height_mm);
                        let far = part.bend_surface_point(index, number, along, 1.0, height_mm);
                        let fixed = places[bend.fixed] * Point3::from(strip.fixed[end].coords.push(height_mm));
                        let moving = places[bend.moving] * Point3::from(strip.moving[end].coords.push(height_mm));
                        prop_assert!((near - fixed).norm() < FOLDED_MM, "{} {}", bend.name, near - fixed);
                        prop_assert!((far - moving).norm() < FOLDED_MM, "{} {}", bend.name, far - moving);
                    }
                }
            }
        }
    }

    #[test]
    fn the_blank_is_the_panels_and_the_strips(mockup in random_card(), t in thickness_mm()) {
        let part = part(&mockup, t)?;
        let panels: f64 = part.panels.iter().map(|panel| panel.flat.area_mm2()).sum();
        let strips: f64 = part.bends.iter().flat_map(|bend| &bend.strips).map(strip_area_mm2).sum();
        let blank = part.blank.region.area_mm2();
        prop_assert!((panels + strips - blank).abs() < blank_within_mm2(&part), "{panels} + {strips} is not {blank}");
    }

    #[test]
    fn the_other_hand_is_the_mirror_image_from_the_same_blank(mockup in random_card(), t in thickness_mm()) {
        let mirrored = mockup.mirrored();
        prop_assert_eq!(&mirrored.mirrored(), &mockup);
        let (one, other) = (part(&mockup, t)?, part(&mirrored, t)?);
        prop_assert_eq!(&one.blank, &other.blank);
        for index in 0..one.panels.len() {
            for corner in corners(&one.panels[index]) {
                for height_mm in one.z_range() {
                    let at = one.folded_point(index, corner, height_mm);
                    let image = other.folded_point(index, corner, -height_mm);
                    prop_assert!((Point3::new(at.x, at.y, -at.z) - image).norm() < FOLDED_MM);
                }
            }
        }
        let (here, there) = (one.centre_of_mass(), other.centre_of_mass());
        prop_assert!((Point3::new(here.x, here.y, -here.z) - there).norm() < 1e-8);
    }

    #[test]
    fn drawn_over_in_a_mirror_it_is_the_mirror_image_too(mockup in random_card(), t in thickness_mm()) {
        let through = Point::new(3.0, 4.0);
        let along = plane::Vector::new(1.0, 0.4);
        let reflected = mockup.reflected(through, along);
        let (one, other) = (part(&mockup, t)?, part(&reflected, t)?);
        let areas = [&one, &other].map(|part| part.blank.region.area_mm2());
        prop_assert!((areas[0] - areas[1]).abs() < blank_within_mm2(&one), "{} or {}", areas[0], areas[1]);
        prop_assert!((one.volume_mm3() - other.volume_mm3()).abs() < AREA_MM2);
        let across = plane::Vector::new(-along.y, along.x).normalize();
        let (here, there) = (one.centre_of_mass(), other.centre_of_mass());
        // Each part stands still on its own largest panel, which is the same one unless two are equally large.
        if one.panels[0].name == other.panels[0].name {
            let off = across.dot(&(here.xy() - through));
            let image = here.xy() - across * (2.0 * off);
            prop_assert!((image - there.xy()).norm() < 1e-6 && (here.z - there.z).abs() < 1e-6);
        }
    }
}
