use nalgebra::Isometry3;
use sheet::{Opening, OpeningShape, Part, Way};

use super::{FoldingNotes, FoldingPieces, PieceOf, View, folding_svg};
use crate::fixture;
use crate::look::{show, texts_stand_clear};

/// Four legs with a window, all of it clear of the bends.
fn bracket() -> Part {
    let window = Opening {
        name: "w1".to_owned(),
        shape: OpeningShape::Window(fixture::rounded([118.0, 22.0], [168.0, 58.0], 6.0)),
    };
    fixture::row(
        &[("foot", 85.0), ("web", 120.0), ("seat", 70.0), ("lip", 24.0)],
        &[(90.0, Way::Up), (62.0, Way::Down), (75.0, Way::Up)],
        80.0,
        vec![window],
    )
}

/// Pieces are at most this far from the part: what a screen shows is far coarser.
const PLACED_MM: f64 = 1e-6;

#[test]
fn flat_the_pieces_lie_on_the_blank_and_folded_they_are_the_part() {
    let part = bracket();
    let pieces = FoldingPieces::of(&part, 0.05).expect("a body");
    let solid = crate::mesh::mesh(&part, 0.05).expect("a body");
    let [far, marked] = part.z_range();
    for (share, flat) in [(0.0, true), (1.0, false)] {
        let frame = FoldingPieces::frame(&part, &vec![share; part.bends.len()], Isometry3::identity());
        for piece in &pieces.pieces {
            let at: Vec<_> = match piece.of {
                PieceOf::Panel(panel) => piece.points.iter().map(|at| frame.panels[panel] * at).collect(),
                PieceOf::Bend(bend) => frame.bends[bend].clone(),
            };
            let last = piece
                .triangles
                .iter()
                .flatten()
                .chain(piece.edges.iter().flatten())
                .max();
            assert_eq!(
                last.map(|last| *last as usize + 1),
                Some(at.len()),
                "{:?}",
                piece.of
            );
            for at in &at {
                if flat {
                    let off = (at.z - far).abs().min((at.z - marked).abs());
                    assert!(off < PLACED_MM, "{:?}: {at}", piece.of);
                } else if let PieceOf::Panel(_) = piece.of {
                    let off = solid.points.iter().map(|point| (point - at).norm());
                    assert!(
                        off.fold(f64::INFINITY, f64::min) < PLACED_MM,
                        "{:?}: {at}",
                        piece.of
                    );
                }
            }
        }
    }
}

/// The share of the volume that may be missing where the pieces are cut apart: the ends of a bend are not closed, and a sliver as
/// wide as the relief beside it is counted to neither side.
const LEFT_OUT: f64 = 0.02;

#[test]
fn the_pieces_of_a_folded_part_hold_its_volume() {
    let part = bracket();
    let pieces = FoldingPieces::of(&part, 0.01).expect("a body");
    let whole = crate::mesh::mesh(&part, 0.01).expect("a body").volume_mm3();
    for share in [0.0, 0.4, 1.0] {
        let frame = FoldingPieces::frame(&part, &vec![share; part.bends.len()], Isometry3::identity());
        let mut sum = 0.0;
        for piece in &pieces.pieces {
            let at: Vec<_> = match piece.of {
                PieceOf::Panel(panel) => piece.points.iter().map(|at| frame.panels[panel] * at).collect(),
                PieceOf::Bend(bend) => frame.bends[bend].clone(),
            };
            // Open where a bend begins, at most as a sliver: the triangles of the cut there are left out, so only faces are summed.
            for [a, b, c] in &piece.triangles {
                let [a, b, c] = [a, b, c].map(|corner| at[*corner as usize].coords);
                sum += a.dot(&b.cross(&c)) / 6.0;
            }
        }
        assert!((sum / whole - 1.0).abs() < LEFT_OUT, "{share}: {sum} of {whole}");
    }
}

#[test]
fn every_view_has_its_title_and_words_that_stand_clear() {
    let part = bracket();
    for (share, stands) in [(0.0, "flat"), (0.5, "half folded"), (1.0, "all folded")] {
        let stood = part.part_way(&vec![share; part.bends.len()]);
        for view in View::ALL {
            let notes = FoldingNotes {
                title: "Bracket".into(),
                stands: stands.into(),
                ..FoldingNotes::default()
            };
            let svg = folding_svg(&stood, view, &notes);
            assert_eq!(svg, folding_svg(&stood, view, &notes), "the same bytes");
            assert!(svg.contains("<title") && svg.contains("<desc"), "{view:?}");
            assert!(svg.contains(view.says()));
            texts_stand_clear(&svg);
            show(&format!("folding-{}-{stands}", view.word()), svg.as_bytes());
        }
    }
    assert_eq!(View::of_word("corner"), Some(View::Corner));
    assert_eq!(View::of_word("isometric"), None);
}
