//! What is shown while a job is still being written: the mark-out of what is sound, and what is measured.

#[expect(dead_code, reason = "the wrong files have their own tests")]
mod common;

use std::path::Path;

use common::{Texts, folder};
use job::revise::Step;
use job::{MarkOutShown, MeasureFile, MeasureItem, MeasureKind, SlipAsked, mark_out, measuring, slip};

fn hoe() -> Texts {
    let root = Path::new("../../examples/push-hoe");
    Texts {
        design: common::text(&root.join("design.toml")),
        fit: Some(common::text(&root.join("fits/own.toml"))),
        shop: Some(common::text(&root.join("shop.toml"))),
    }
}

fn changed(what: &str, into: &str) -> Texts {
    let mut texts = hoe();
    assert_eq!(
        texts.design.matches(what).count(),
        1,
        "this stands in the design once: {what}"
    );
    texts.design = texts.design.replace(what, into);
    texts
}

const DIAGONAL: &str = "read    = \"8-13/64\"";

fn shown(texts: &Texts) -> MarkOutShown {
    mark_out(&folder(texts)).expect("the hoe is no job to refuse")
}

fn points_in(svg: &str) -> usize {
    svg.matches("data-point=").count()
}

fn way(steps: &[&str]) -> Vec<Step> {
    let step = |step: &&str| step.parse().map_or_else(|_| Step::Key((*step).into()), Step::Row);
    steps.iter().map(step).collect()
}

fn find<'i>(items: &'i [MeasureItem], label: &str) -> &'i MeasureItem {
    items
        .iter()
        .find(|item| item.label == label)
        .unwrap_or_else(|| panic!("there is no {label}"))
}

#[test]
fn the_whole_mock_up_is_drawn_with_every_name() {
    let shown = shown(&hoe());
    assert!(shown.wrongs.is_empty(), "{:?}", shown.wrongs);
    assert_eq!(points_in(&shown.svg), 26);
    for group in [
        "data-hole=\"frame\"",
        "data-window=\"light\"",
        "data-bend=\"b3\"",
        "data-reading=\"2\"",
        "data-mm=\"",
    ] {
        assert!(shown.svg.contains(group), "{group}");
    }
    if let Some(out) = std::env::var_os("GUSSET_LOOK") {
        std::fs::write(Path::new(&out).join("push_hoe_mark_out.svg"), &shown.svg)
            .expect("a folder to look in");
    }
}

#[test]
fn an_outline_that_crosses_itself_still_shows_its_points_and_says_what_crosses() {
    let texts = changed(
        "\"R1\", \"K1\", \"Q1\", \"Q2\", \"K2\"",
        "\"R1\", \"Q2\", \"K2\", \"K1\", \"Q1\"",
    );
    let shown = shown(&texts);
    assert_eq!(points_in(&shown.svg), 26);
    assert!(shown.svg.contains("class=\"unsound\""));
    assert!(
        shown.wrongs.iter().any(|wrong| wrong.says.contains("cross")),
        "{:?}",
        shown.wrongs
    );
    assert!(shown.svg.contains("Not drawn yet") && shown.svg.contains("data-hole=\"frame\""));
}

#[test]
fn points_stand_without_a_plate_without_an_outline_and_beside_a_point_that_is_not_sound() {
    for (what, into, points, told) in [
        ("stock    = \"5052-H32 3/16 in\"\n", "", 26, "has no \"stock\""),
        (
            "angle = \"90 deg - slope\" }\nQ2",
            "angle = \"90 deg - slop\" }\nQ2",
            25,
            "slop",
        ),
        (
            "F  = { from = \"H1\", toward = \"H2\", along = \"8-3/64\", off = \"1-37/64\" }",
            "F = { from = \"H1\" }",
            25,
            "F",
        ),
        (
            "J2 = { at = [\"-100 mm\", \"-80 mm\"], exact = true }",
            "J2 = { foot = \"J2\", on = \"H1-H2\" }",
            25,
            "J2",
        ),
    ] {
        let shown = shown(&changed(what, into));
        assert_eq!(points_in(&shown.svg), points, "{into}: {:?}", shown.wrongs);
        assert!(
            shown.wrongs.iter().any(|wrong| wrong.says.contains(told)),
            "{told}: {:?}",
            shown.wrongs
        );
    }
    let mut first = hoe();
    first.design = "gusset = 1\nunits = \"mm\"\n[points]\nA = [\"0\", \"0\"]\n".into();
    let one = shown(&first);
    assert_eq!(points_in(&one.svg), 1);
    assert!(one.svg.contains("There is no outside edge yet"));
}

#[test]
fn a_job_that_is_refused_is_not_marked_out() {
    let mut texts = hoe();
    texts.fit = texts
        .fit
        .map(|fit| fit.replace("weight  = false", "weight  = true"));
    assert!(mark_out(&folder(&texts)).is_none());
    assert!(measuring(&folder(&texts), None).items.is_empty());
    // Whatever else of the care answers is wrong.
    for (what, into) in [
        ("feels   = true", "feels   = \"maybe\""),
        ("feels   = true\n", ""),
    ] {
        let mut also = texts.clone();
        let fit = also.fit.take().expect("a fit");
        assert!(fit.contains(what), "{fit}");
        also.fit = Some(fit.replace(what, into));
        assert!(mark_out(&folder(&also)).is_none(), "{into}");
        assert!(measuring(&folder(&also), None).items.is_empty(), "{into}");
        also.fit = also
            .fit
            .map(|fit| fit.replace("weight  = true", "weight  = false"));
        assert!(mark_out(&folder(&also)).is_some(), "{into}");
    }
}

#[test]
fn every_fault_is_told_once_and_none_that_only_follows_from_another() {
    let told = |texts: &Texts| -> Vec<String> {
        let wrongs = shown(texts).wrongs;
        wrongs.into_iter().map(|wrong| wrong.says).collect()
    };
    // The outline names that point, which is there and has no place.
    let told_of_point = told(&changed(
        "angle = \"90 deg - slope\" }\nQ2",
        "angle = \"90 deg - slop\" }\nQ2",
    ));
    assert_eq!(told_of_point.len(), 1, "{told_of_point:?}");
    assert!(told_of_point[0].contains("slop"), "{told_of_point:?}");
    // A bend that is none, and an outline that crosses itself.
    let mut texts = changed(
        "\"R1\", \"K1\", \"Q1\", \"Q2\", \"K2\"",
        "\"R1\", \"Q2\", \"K2\", \"K1\", \"Q1\"",
    );
    texts.design = texts
        .design
        .replacen("bent = \"45 deg\"", "bent = \"190 deg\"", 1);
    let all = told(&texts);
    for what in ["cross", "is bent through 190"] {
        assert_eq!(
            all.iter().filter(|says| says.contains(what)).count(),
            1,
            "{what}: {all:?}"
        );
    }
    assert_eq!(all.len(), 2, "{all:?}");
}

#[test]
fn a_reading_is_counted_by_its_row_in_the_file_though_one_before_it_is_wrong() {
    let mut texts = hoe();
    let wrong = "[[readings]]\nbetween = [\"H1\"]\nread = \"1\"\n\n[[readings]]";
    texts.design = texts.design.replacen("[[readings]]", wrong, 1);
    let svg = shown(&texts).svg;
    assert!(svg.contains("data-reading=\"1\"") && !svg.contains("data-reading=\"0\""));
    let items = measuring(&folder(&texts), None).items;
    let diagonal = find(&items, "H1-F");
    assert_eq!(diagonal.index, Some(1));
    assert_eq!(diagonal.way, way(&["readings", "1", "read"]));
}

#[test]
fn a_reading_without_a_unit_is_shown_in_that_of_its_file() {
    assert!(shown(&hoe()).svg.contains("8-13/64 in"));
    let shown = shown(&changed(DIAGONAL, "read    = \"8.2\""));
    assert!(shown.svg.contains("8.2 in"));
}

#[test]
fn a_swapped_digit_stands_first_and_the_right_text_is_offered() {
    let good = measuring(&folder(&hoe()), None);
    let diagonal = find(&good.items, "H1-F");
    assert!(!diagonal.suspect && diagonal.did_you_mean.is_empty());
    assert_eq!(diagonal.way, way(&["readings", "0", "read"]));
    assert_eq!(
        (diagonal.kind, diagonal.file, diagonal.index),
        (MeasureKind::Reading, MeasureFile::Design, Some(0))
    );
    assert_eq!(diagonal.with.as_deref(), Some("tape"));
    assert_eq!(diagonal.points, ["H1", "F"]);
    let inside = |item: &MeasureItem| item.low_mm.zip(item.high_mm).expect("a band");
    let (low, high) = inside(diagonal);
    assert!(
        low < 208.36 && 208.36 < high && high - low < 8.0,
        "{low} to {high}"
    );

    let slipped = measuring(&folder(&changed(DIAGONAL, "read    = \"8-31/64\"")), None);
    let first = &slipped.items[0];
    assert!(first.suspect, "{first:?}");
    let diagonal = find(&slipped.items, "H1-F");
    assert!(diagonal.suspect);
    assert_eq!(diagonal.did_you_mean[0].text, "8-13/64", "{diagonal:?}");
    let (low, high) = inside(diagonal);
    assert!(
        low < 208.36 && 208.36 < high,
        "foretold without itself: {low} to {high}"
    );
}

#[test]
fn a_reading_from_edge_to_edge_is_foretold_from_edge_to_edge() {
    let found = measuring(&folder(&hoe()), None);
    let edges = find(&found.items, "far edges of h1 and h2");
    let (low, high) = edges.low_mm.zip(edges.high_mm).expect("a band");
    // 2-27/32 in over the edges of two 8.8 mm holes 63.5 mm apart.
    assert!(low > 66.0 && low < 72.2 && high > 72.2, "{low} to {high}");
    assert_eq!(edges.with.as_deref(), Some("caliper"));
    assert_eq!(edges.points, ["H1", "H2"]);
}

#[test]
fn a_slip_is_seen_as_it_is_typed() {
    let folder = folder(&hoe());
    let typed = |text: &str| {
        slip(
            &folder,
            None,
            &SlipAsked {
                file: MeasureFile::Design,
                way: way(&["readings", "0", "read"]),
                between: None,
                text: text.into(),
            },
        )
    };
    assert!(!typed("8-13/64").outside && !typed("208 mm").outside);
    let wrong = typed("8-31/64");
    assert!(wrong.outside);
    assert_eq!(wrong.did_you_mean[0].text, "8-13/64", "{wrong:?}");
    assert!(
        wrong
            .says
            .as_deref()
            .is_some_and(|says| says.contains("H1-F") && says.contains(" mm (")),
        "{wrong:?}"
    );
    let dropped = typed("198.4 mm");
    assert!(
        dropped.outside && dropped.did_you_mean.iter().any(|meant| meant.text == "208.4 mm"),
        "{dropped:?}"
    );
    for nothing in ["", "drop + 5 mm", "3 kg", "8-"] {
        assert_eq!(typed(nothing).says, None, "{nothing}");
    }
    let further = slip(
        &folder,
        None,
        &SlipAsked {
            file: MeasureFile::Design,
            way: vec![],
            between: Some(["F".into(), "H2".into()]),
            text: "20 mm".into(),
        },
    );
    assert!(further.outside, "{further:?}");
}

#[test]
fn what_is_not_said_comes_before_all_and_further_readings_say_why() {
    let texts = changed(
        "drop     = { value = \"35 mm\", fit = true,",
        "drop     = { fit = true,",
    );
    let found = measuring(&folder(&texts), None);
    let first = &found.items[0];
    assert_eq!(
        (first.label.as_str(), first.file, first.kind),
        ("drop", MeasureFile::Fit, MeasureKind::Measure)
    );
    assert_eq!(first.typed, None);
    assert_eq!(first.way, way(&["measures", "drop"]));
    assert!(
        first
            .ask
            .as_deref()
            .is_some_and(|ask| ask.contains("set in from the handle"))
    );

    let found = measuring(&folder(&hoe()), None);
    assert_eq!(found.told, None);
    let next = found.next.first().expect("there is something left to measure");
    assert!(
        next.why.contains("takes the doubt of") && next.band.is_some(),
        "{next:?}"
    );
    let shares: f64 = found.items.iter().filter_map(|item| item.decides).sum();
    assert!((shares - 1.0).abs() < 1e-6, "{shares}");
    let known = find(&found.items, "drop");
    assert_eq!(known.expected.as_deref(), Some("35.0 mm (1-3/8 in + 0.003 in)"));
}

#[test]
fn distances_between_places_are_foretold_too() {
    let mut texts = hoe();
    texts.fit = texts.fit.map(|fit| {
        fit + "\n[places]\nP = [\"0\", \"0\", \"0\"]\nQ = [\"200\", \"0\", \"0\"]\nR = [\"0\", \"150\", \"0\"]\nS = { rough = [\"100\", \"90\", \"40\"] }\n\
            [[place_readings]]\nbetween = [\"P\", \"S\"]\nread = \"141.4\"\n[[place_readings]]\nbetween = [\"Q\", \"S\"]\nread = \"141.4\"\n\
            [[place_readings]]\nbetween = [\"R\", \"S\"]\nread = \"123.3\"\n[[place_readings]]\nbetween = [\"P\", \"Q\"]\nread = \"200\"\n"
    });
    let found = measuring(&folder(&texts), None);
    let rows: Vec<&MeasureItem> = found
        .items
        .iter()
        .filter(|item| item.kind == MeasureKind::Place)
        .collect();
    assert_eq!(rows.len(), 4);
    assert!(
        rows.iter()
            .all(|row| row.file == MeasureFile::Fit && row.points.len() == 2)
    );
    let fixed = rows.iter().find(|row| row.label == "P-Q").expect("P-Q");
    assert_eq!(fixed.way, way(&["place_readings", "3", "read"]));
    assert_eq!(fixed.expected.as_deref(), Some("200.0 mm (7-7/8 in - 0.001 in)"));
}
