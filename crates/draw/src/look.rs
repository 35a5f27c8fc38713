//! What tests do with a finished drawing: show it, and check how its words stand.

use crate::frame::Frame;
use crate::lettering::{Anchor, LEAST_SIZE_MM, Lettering};

/// Writes a drawing into the folder named by `GUSSET_LOOK`, to be looked at; does nothing without it.
pub(crate) fn show(name: &str, bytes: &[u8]) {
    if let Some(folder) = std::env::var_os("GUSSET_LOOK") {
        std::fs::write(std::path::Path::new(&folder).join(name), bytes).expect("GUSSET_LOOK is a folder");
    }
}

/// The words of a drawing with the room they take, read back from the file.
pub(crate) fn words_of(drawing: &str) -> (Frame, Vec<(String, Frame)>) {
    let file = usvg::roxmltree::Document::parse(drawing).expect("a drawing is XML");
    let root = file.root_element();
    let page: Vec<f64> = root
        .attribute("viewBox")
        .expect("a drawing has a view box")
        .split(' ')
        .map(|word| word.parse().expect("a number"))
        .collect();
    let number = |node: &usvg::roxmltree::Node<'_, '_>, name: &str| -> f64 {
        node.attribute(name)
            .and_then(|word| word.parse().ok())
            .expect("text has a place and a size")
    };
    let words = file
        .descendants()
        .filter(|node| node.has_tag_name("text"))
        .map(|node| {
            let size_mm = number(&node, "font-size");
            let set = Lettering {
                size_mm,
                bold: node.attribute("font-weight").is_some(),
                anchor: Anchor::Start,
                colour: "",
            };
            let words = node.text().unwrap_or_default().to_owned();
            let width = set.width_mm(&words);
            let x = number(&node, "x");
            let left = match node.attribute("text-anchor") {
                Some("middle") => x - width / 2.0,
                Some("end") => x - width,
                _ => x,
            };
            // Capitals reach 0.67 of the size above the base line, tails about 0.22 below it.
            let frame = Frame::new(left, number(&node, "y") - 0.67 * size_mm, width, 0.89 * size_mm);
            (words, frame)
        })
        .collect();
    (Frame::new(page[0], page[1], page[2], page[3]), words)
}

/// Fails when two texts overlap, one runs off the page, or one is too small to read.
pub(crate) fn texts_stand_clear(drawing: &str) {
    let (page, words) = words_of(drawing);
    assert!(!words.is_empty());
    for (index, (one, frame)) in words.iter().enumerate() {
        assert!(
            page.grown(-2.0).holds(frame),
            "\"{one}\" runs off the page: {frame:?}"
        );
        assert!(
            frame.height >= 0.89 * LEAST_SIZE_MM - 1e-9,
            "\"{one}\" is too small"
        );
        for (other, taken) in &words[..index] {
            assert!(
                !frame.grown(-0.05).overlaps(taken),
                "\"{one}\" {frame:?} overlaps \"{other}\" {taken:?}"
            );
        }
    }
}
