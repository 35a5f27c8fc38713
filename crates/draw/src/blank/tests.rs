use super::blank_svg;
use crate::fixture;
use crate::look::{show, texts_stand_clear};

#[test]
fn labels_of_the_bracket_stand_clear_of_each_other_and_on_the_page() {
    for (name, part) in [
        ("bracket", fixture::bracket()),
        ("flat", fixture::flat()),
        ("crowded", fixture::crowded()),
    ] {
        let drawing = blank_svg(&part, &fixture::words());
        show(&format!("blank-{name}.svg"), drawing.as_bytes());
        texts_stand_clear(&drawing);
    }
}

#[test]
fn every_opening_and_bend_is_named_with_both_systems() {
    let drawing = blank_svg(&fixture::bracket(), &fixture::words());
    for words in [
        "m1",
        "s1",
        "w1",
        "b1 up",
        "90.0 deg bent through",
        "b2 down",
        "118.0 deg between legs",
        "5/16-18 clear",
    ] {
        assert!(drawing.contains(words), "{words} is missing");
    }
    assert!(
        drawing.contains("(3-5/32 in - 0.007 in"),
        "80 mm is 3-5/32 in less 0.007 in"
    );
}

#[test]
fn the_same_part_gives_the_same_bytes() {
    assert_eq!(
        blank_svg(&fixture::bracket(), &fixture::words()),
        blank_svg(&fixture::bracket(), &fixture::words())
    );
}
