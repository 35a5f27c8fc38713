//! Any bytes as a cutting program or as a drawing from elsewhere: read, or what is wrong is told.

use cut::import::{Answer, ImportOptions, import_dxf};
use cut::verify::{MachineWords, read_program};

/// A cutting program: every move is finite and within measure.
pub fn check_program(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    let words = MachineWords {
        kerf_slots: vec![(1, 1.5)],
        ..MachineWords::default()
    };
    match read_program(&text, &words) {
        Ok(program) => {
            for made in program.moves() {
                let (low, high) = made.path.bounds();
                for length in [low.x, low.y, high.x, high.y, made.path.length_mm()] {
                    assert!(length.is_finite(), "{made:?}");
                }
            }
        }
        Err(why) => assert!(!why.to_string().is_empty(), "{why:?}"),
    }
}

/// A drawing: whatever comes out is material by the rules of `plane`.
pub fn check_drawing(bytes: &[u8]) {
    match import_dxf(bytes, &ImportOptions::default()) {
        Ok(Answer::Outlines(imported)) => {
            assert!(!imported.regions.is_empty(), "an answer holds material");
            for region in imported.regions {
                assert!(region.area_mm2() > 0.0, "{region:?}");
                let again = plane::Region::new(region.outer.clone(), region.holes.clone());
                assert_eq!(again, Ok(region), "its holes lie within it and apart");
            }
            assert!(imported.notes.iter().all(|note| !note.to_string().is_empty()));
        }
        Ok(Answer::AskUnits {
            if_mm, if_inch_mm, ..
        }) => {
            assert!(if_mm.iter().chain(&if_inch_mm).all(|mm| mm.is_finite()));
        }
        Err(why) => assert!(!why.to_string().is_empty(), "{why:?}"),
    }
}
