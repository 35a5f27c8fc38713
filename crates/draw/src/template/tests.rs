use super::*;
use crate::fixture;
use crate::look::{show, texts_stand_clear};

#[test]
fn the_template_of_the_bracket_is_the_same_bytes_every_time() {
    let make = || {
        template_pdf(
            &fixture::bracket(),
            &fixture::words(),
            PaperSize::A4,
            Printer::TRUE,
            OVERLAP_MM,
        )
    };
    let file = make().expect("a template");
    show("template.pdf", &file);
    assert!(file.starts_with(b"%PDF-"));
    assert_eq!(file, make().expect("a template"));
}

#[test]
fn words_of_every_tile_stand_clear_on_both_papers() {
    for (name, part) in [
        ("bracket", fixture::bracket()),
        ("flat", fixture::flat()),
        ("crowded", fixture::crowded()),
    ] {
        for paper in [PaperSize::A4, PaperSize::Letter] {
            let pages = template_pages(&part, &fixture::words(), paper, Printer::TRUE, OVERLAP_MM)
                .expect("a template");
            for (index, page) in pages.iter().enumerate() {
                show(
                    &format!("tile-{name}-{}-{index}.svg", paper.word()),
                    page.as_bytes(),
                );
                texts_stand_clear(page);
            }
        }
    }
}

#[test]
fn neighbouring_tiles_carry_the_same_diamond_at_the_same_place_of_the_plate() {
    let part = fixture::bracket();
    let tiling = tiles::Tiling::of(&part, PaperSize::A4, Printer::TRUE, OVERLAP_MM);
    assert!(tiling.count() > 1);
    for diamond in &tiling.diamonds {
        for tile in diamond.joins {
            let on_paper = tiling.view(tile).at(diamond.at);
            assert!(
                tiling.window.grown(-3.9).holds_point(on_paper),
                "{} is cut off on tile {tile}",
                diamond.letter
            );
        }
    }
}

#[test]
fn a_printer_that_shrinks_is_paid_back_each_way_on_its_own() {
    let printer = Printer::measured(99.2, 99.6).expect("a fair reading");
    let tiling = tiles::Tiling::of(&fixture::flat(), PaperSize::A4, printer, OVERLAP_MM);
    let view = tiling.view(0);
    let (from, to) = (
        view.at(plane::Point::new(0.0, 0.0)),
        view.at(plane::Point::new(100.0, 100.0)),
    );
    assert!(((to.x - from.x) * 0.992 - 100.0).abs() < 1e-9);
    assert!(((from.y - to.y) * 0.996 - 100.0).abs() < 1e-9);
}

#[test]
fn a_square_measured_in_the_wrong_unit_is_refused() {
    assert!(Printer::measured(101.6, 100.0).is_ok());
    assert!(Printer::measured(3.94, 3.94).is_err());
    assert!(Printer::measured(f64::NAN, 100.0).is_err());
}

#[test]
fn an_overlap_without_room_for_the_diamonds_is_refused() {
    let made = template_pdf(
        &fixture::flat(),
        &fixture::words(),
        PaperSize::A4,
        Printer::TRUE,
        3.0,
    );
    assert_eq!(made, Err(TemplateError::Overlap { overlap_mm: 3.0 }));
}
