//! What cannot be meshed.

use prove::body::{BodyError, BodyOptions, body, refined_body};

use crate::parts::one_bend;

#[test]
fn a_plate_without_thickness_is_refused() {
    for thickness_mm in [0.0, -1.0, f64::NAN] {
        let mut part = one_bend();
        part.thickness_mm = thickness_mm;
        assert!(matches!(
            body(&part, &BodyOptions::default()),
            Err(BodyError::Thickness { .. })
        ));
    }
}

#[test]
fn a_metal_that_cannot_be_is_refused() {
    let wrong = [
        (0.0, 0.3, 1e-9),
        (2e5, 0.5, 1e-9),
        (2e5, -0.1, 1e-9),
        (2e5, 0.3, -1.0),
        (f64::NAN, 0.3, 0.0),
    ];
    for (elastic_mpa, poisson, density_t_mm3) in wrong {
        let options = BodyOptions {
            elastic_mpa,
            poisson,
            density_t_mm3,
            ..BodyOptions::default()
        };
        assert!(matches!(
            body(&one_bend(), &options),
            Err(BodyError::Metal { .. })
        ));
    }
}

#[test]
fn a_panel_that_floats_is_named() {
    let mut part = one_bend();
    // Without its bend the second panel hangs on nothing.
    part.bends.clear();
    let told = body(&part, &BodyOptions::default());
    let Err(BodyError::InPieces { pieces }) = &told else {
        panic!("{told:?}")
    };
    let names: Vec<&str> = pieces.iter().flatten().map(String::as_str).collect();
    assert_eq!(
        names,
        part.panels
            .iter()
            .map(|panel| panel.name.as_str())
            .collect::<Vec<_>>()
    );
    assert!(told.expect_err("refused").to_string().contains("not joined"));
}

#[test]
fn a_million_elements_are_refused_with_their_number() {
    let told = refined_body(&one_bend(), &BodyOptions::default(), &|_| 0.05);
    let Err(BodyError::TooMany { estimated, most }) = told else {
        panic!("{told:?}")
    };
    assert_eq!(most, 199_998);
    assert!(estimated > 6_000_000, "{estimated}");
}
