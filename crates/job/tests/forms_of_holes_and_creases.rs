//! A hole may say its own coordinates and a crease its two ends in one word: both come to what the longer form says.

use job::files::model::PointHow;
use job::files::read_design;

fn design(points: &str, rest: &str) -> String {
    format!(
        "gusset = 1\ntitle = \"Plate\"\nunits = \"mm\"\n[plate]\nstock = \"5052-H32 3 mm\"\n\
         [points]\nA = [\"0\", \"0\"]\nB = [\"90\", \"0\"]\nC = [\"90\", \"40\"]\nD = [\"0\", \"40\"]\n{points}\n\
         [outline]\nthrough = [\"A\", \"B\", \"C\", \"D\"]\n{rest}\n"
    )
}

#[test]
fn a_hole_at_coordinates_is_a_point_of_its_own_name() {
    let text = design("", "[holes.h1]\nat = [\"1 in\", \"20 mm\"]\ndia = \"8\"");
    let design = read_design(&text).expect("a sound design");
    assert_eq!(design.holes[0].at.value, "h1");
    let centre = design.points.last().expect("the hole's centre");
    assert_eq!(centre.name.value, "h1");
    assert!(matches!(centre.how, PointHow::At(_)));
    assert_eq!(
        &text[centre.name.at.span.clone()],
        "[\"1 in\", \"20 mm\"]",
        "a slip there is shown there"
    );
}

#[test]
fn a_hole_at_coordinates_cannot_take_the_name_of_another_point() {
    let text = design(
        "H = [\"20\", \"20\"]",
        "[holes.H]\nat = [\"30\", \"20\"]\ndia = \"8\"",
    );
    let wrongs = read_design(&text).expect_err("two points of one name");
    assert_eq!(wrongs.len(), 1, "{wrongs:?}");
    assert_eq!(wrongs[0].fix.as_deref(), Some("at = \"H\""));
}

#[test]
fn a_crease_may_be_written_with_a_dash() {
    let points = "E = [\"45\", \"0\"]\nF = [\"45\", \"40\"]";
    let bend = |line: &str| {
        let text = design(
            points,
            &format!("[bends.b1]\nline = {line}\nbent = \"90 deg\"\nway = \"up\""),
        );
        let design = read_design(&text).expect("a sound design");
        design.bends[0].line.clone().map(|end| end.value)
    };
    assert_eq!(bend("\"E-F\""), bend("[\"E\", \"F\"]"));
}

#[test]
fn coordinates_of_a_hole_need_both_numbers() {
    let text = design("", "[holes.h1]\nat = [\"20\"]\ndia = \"8\"");
    let wrongs = read_design(&text).expect_err("half a place");
    assert!(wrongs[0].says.contains("has 1 in its brackets"), "{wrongs:?}");
}
