use nalgebra::{Isometry3, Point3, Vector3};
use sheet::Way;

use super::fold::Fold;
use super::hidden::{Eye, Scene, Seen};
use super::shape::{EdgeKind, Shape};
use super::views::{FRONT, ISOMETRIC, TOP};
use super::{FoldedNotes, folded_svg};
use crate::fixture;
use crate::look::{show, texts_stand_clear};

fn shape(part: &sheet::Part) -> Shape<'_> {
    Shape::of(Fold {
        part,
        pose: Isometry3::identity(),
    })
}

fn length(seen: &[Seen], in_sight: bool) -> f64 {
    seen.iter()
        .filter(|seen| seen.in_sight == in_sight && seen.kind == EdgeKind::Sharp)
        .flat_map(|seen| seen.run.windows(2))
        .map(|ends| (ends[1] - ends[0]).norm())
        .sum()
}

#[test]
fn a_box_seen_from_its_corner_shows_nine_edges_and_hides_three() {
    let part = fixture::row(&[("plate", 90.0)], &[], 60.0, Vec::new());
    let mut square = part.clone();
    let corners =
        [[0.0, 0.0], [90.0, 0.0], [90.0, 60.0], [0.0, 60.0]].map(|at| plane::Point::new(at[0], at[1]));
    square.blank.region.outer = plane::Outline::polygon(&corners).expect("a rectangle");
    square.panels[0].flat.outer = square.blank.region.outer.clone();
    let shape = shape(&square);
    let seen = Scene::new(&shape.faces, ISOMETRIC).look(&shape.edges);
    // Every edge along an axis is foreshortened by sqrt(2/3) in a true isometric picture.
    let all = (90.0 + 60.0 + fixture::THICKNESS_MM) * (2.0_f64 / 3.0).sqrt();
    assert!(
        (length(&seen, true) - 3.0 * all).abs() < 1e-6,
        "{}",
        length(&seen, true)
    );
    assert!(
        (length(&seen, false) - all).abs() < 1e-6,
        "{}",
        length(&seen, false)
    );
}

#[test]
fn a_leg_hides_what_stands_behind_it_and_a_window_shows_it() {
    let part = fixture::bracket();
    let shape = shape(&part);
    // Looking along the foot from beyond it: the web stands between the eye and the seat.
    let eye = Eye {
        right: Vector3::y(),
        up: Vector3::z(),
        toward: -Vector3::x(),
    };
    let scene = Scene::new(&shape.faces, eye);
    let web = part.bends[0].axis_at.x + 2.0 * fixture::THICKNESS_MM;
    assert!(
        !scene.in_sight(&Point3::new(web + 40.0, 10.0, 60.0)),
        "the web hides it"
    );
    assert!(
        scene.in_sight(&Point3::new(web + 40.0, 40.0, 60.0)),
        "it is seen through the window"
    );
    assert!(
        scene.in_sight(&Point3::new(web + 40.0, 90.0, 60.0)),
        "it stands beside the web"
    );
}

/// The oracle: sight tested at many points along every piece instead of at its middle alone.
#[test]
fn no_piece_changes_from_seen_to_hidden_along_its_length() {
    for part in [
        fixture::bracket(),
        fixture::row(
            &[("a", 60.0), ("b", 60.0)],
            &[(135.0, Way::Down)],
            50.0,
            Vec::new(),
        ),
    ] {
        let shape = shape(&part);
        for eye in [ISOMETRIC, FRONT, TOP] {
            let scene = Scene::new(&shape.faces, eye);
            let mut edges = shape.edges.clone();
            edges.extend(shape.rims_seen_from(eye.toward));
            assert_eq!(scene.pieces_that_change(&edges), 0);
        }
    }
}

#[test]
fn words_of_the_folded_drawing_stand_clear() {
    for (name, part) in [
        ("bracket", fixture::bracket()),
        ("flat", fixture::flat()),
        ("crowded", fixture::crowded()),
    ] {
        let notes = FoldedNotes {
            block: fixture::words(),
            mounts: vec![("tube-a".to_owned(), Point3::new(14.0, 14.0, -8.0))],
            centre_of_mass: Some(Point3::new(90.0, 40.0, 40.0)),
            ..FoldedNotes::default()
        };
        let drawing = folded_svg(&part, &notes);
        show(&format!("folded-{name}.svg"), drawing.as_bytes());
        texts_stand_clear(&drawing);
        assert_eq!(drawing, folded_svg(&part, &notes));
    }
}
