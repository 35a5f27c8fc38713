//! `gusset cut`, `gusset strip kerf`, and a job from a drawing.

use std::fs;

use serde_json::Value;

use crate::bench_of_work::{DEMOS, gusset, job_from, place, text};

const SET: [&str; 5] = [
    "blank.dxf",
    "cut-sheet.pdf",
    "cut.nc",
    "cut-dry-run.nc",
    "cut-tracks.dxf",
];

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

#[test]
fn the_cut_set_is_written_told_and_the_same_each_time() {
    for demo in DEMOS {
        let job = job_from(demo, &format!("cut_{demo}"));
        let read = |out: &str| -> Vec<Vec<u8>> {
            let out = job.join(out);
            let run = gusset(&["cut", text(&job), "-o", text(&out)]);
            assert!(run.code <= 1, "{demo}: {}{}", run.out, run.err);
            assert!(run.out.contains("Can it be cut?"), "{}", run.out);
            for name in SET {
                assert!(
                    run.err.contains(name),
                    "{demo}: {name} is not told of:\n{}",
                    run.err
                );
            }
            SET.iter()
                .map(|name| fs::read(out.join(name)).unwrap_or_else(|error| panic!("{demo}/{name}: {error}")))
                .collect()
        };
        assert!(read("once") == read("again"), "{demo}");
        // `make` writes the same set.
        let made = job.join("made");
        gusset(&["make", text(&job), "-o", text(&made)]);
        for (name, bytes) in SET.iter().zip(read("third")) {
            assert!(fs::read(made.join(name)).ok() == Some(bytes), "{demo}/{name}");
        }
    }
}

#[test]
fn the_plan_is_in_the_contract() {
    let job = job_from("camera-cradle", "cut_contract");
    let summary = gusset(&["check", text(&job), "--json"]).json();
    let cut = &summary["cut"];
    let order = cut["order"].as_array().expect("an order");
    assert_eq!(number(&cut["pierces"]) as usize, order.len());
    let sum: f64 = order.iter().map(|row| number(&row["length_mm"])).sum();
    assert!((sum - number(&cut["cut_length_mm"])).abs() < 1e-3);
    // The outside last: everything else is inside it.
    assert_eq!(order.last().map(|row| row["of"].clone()), Some("outside".into()));
    assert_eq!(cut["proven"], true);
    assert!(number(&cut["time_s"][0]) < number(&cut["time_s"][1]));
}

#[test]
fn what_was_cut_is_taken_off_the_sheet_and_the_shops_own_words_stay() {
    let job = job_from("flat-plate", "was_cut");
    let shop = job.join("shop.toml");
    let before = fs::read_to_string(&shop).expect("the demo has a shop") + "\n# do not lend the torch\n";
    fs::write(&shop, &before).expect("the shop can be written");
    let first = gusset(&["cut", text(&job), "--json"]).json();
    let run = gusset(&["cut", text(&job), "--was-cut"]);
    assert_eq!(run.code, 0, "{}", run.err);
    let after = fs::read_to_string(&shop).expect("it is there");
    let mut lines = after.lines();
    for line in before.lines() {
        assert!(lines.any(|kept| kept == line), "\"{line}\" is lost:\n{after}");
    }
    let second = gusset(&["cut", text(&job), "--json"]).json();
    assert_eq!(second["cut"]["sheet"], first["cut"]["sheet"]);
    assert_ne!(second["cut"]["placed"], first["cut"]["placed"]);
    assert_eq!(second["cut"]["program"], true);
}

#[test]
fn copies_and_the_sheet_may_be_chosen() {
    let job = job_from("one-bend", "copies");
    let three = gusset(&["cut", text(&job), "--copies", "3", "--sheet", "1", "--json"]).json();
    assert_eq!(number(&three["cut"]["parts"]), 3.0);
    assert_eq!(three["cut"]["program"], true);
    let none = gusset(&["cut", text(&job), "--sheet", "the large one"]);
    assert!(
        none.out.contains("no sheet of this plate is called"),
        "{}",
        none.out
    );
    assert_eq!(gusset(&["cut", text(&job), "--copies", "0"]).code, 2);
    let shop = job.join("shop.toml");
    let small = fs::read_to_string(&shop)
        .expect("the demo has a shop")
        .replace("[\"600\", \"600\"]", "[\"150\", \"200\"]");
    fs::write(&shop, small).expect("the shop can be written");
    let many = gusset(&["cut", text(&job), "--copies", "200", "--json"]).json();
    assert_eq!(many["verdicts"]["cut"]["answer"], "no");
    let says = many["verdicts"]["cut"]["says"].as_str().unwrap_or_default();
    assert!(says.contains("and no more"), "{says}");
}

#[test]
fn a_program_of_an_older_run_does_not_stay_beside_an_answer_of_no() {
    let job = job_from("flat-plate", "stale");
    assert!(gusset(&["cut", text(&job)]).code <= 1);
    let program = job.join("out/cut.nc");
    assert!(program.is_file());
    let shop = job.join("shop.toml");
    let small = fs::read_to_string(&shop)
        .expect("the demo has a shop")
        .replace("size     = [\"600\", \"1200\"]", "size = [\"60 mm\", \"20 mm\"]");
    fs::write(&shop, small).expect("the shop can be written");
    let run = gusset(&["cut", text(&job)]);
    assert_eq!(run.code, 1, "{}{}", run.out, run.err);
    assert!(!program.exists(), "{}", run.err);
    assert!(run.err.contains("taken away"), "{}", run.err);
}

#[test]
fn a_kerf_test_is_made_read_and_kept() {
    let job = job_from("push-hoe", "kerf_test");
    let out = job.join("strip");
    let made = gusset(&["strip", "kerf", text(&job), "-o", text(&out), "--json"]).json();
    for name in [
        "kerf-test.nc",
        "kerf-test-dry-run.nc",
        "kerf-test.dxf",
        "kerf-test.pdf",
    ] {
        assert!(out.join(name).is_file(), "{name}");
    }
    let pitch = number(&made["pitch_mm"]);
    let tooth = |kerf: f64| format!("{:.2} mm", pitch - kerf);
    let teeth = [tooth(1.58), tooth(1.60), tooth(1.62)].join(", ");
    let read = gusset(&[
        "strip",
        "kerf",
        text(&job),
        "--read",
        &teeth,
        "--date",
        "2026-05-04",
        "--json",
    ])
    .json();
    assert!((number(&read["kerf_mm"]) - 1.60).abs() < 1e-6, "{read}");
    let cut = gusset(&["cut", text(&job), "--json"]).json();
    assert!((number(&cut["cut"]["kerf_mm"]) - 1.60).abs() < 1e-6);
    let swapped = gusset(&["strip", "kerf", text(&job), "--read", "9.2, 9.9, 9.2"]);
    assert_eq!(swapped.code, 2);
    assert!(swapped.err.contains("tooth 2 stands out"), "{}", swapped.err);
    assert_eq!(
        gusset(&["strip", "kerf", text(&job), "--read", "9.2, 9.3"]).code,
        2
    );
}

#[test]
fn a_drawing_becomes_a_job_with_the_same_plate() {
    let demo = job_from("camera-cradle", "drawn_from");
    let out = demo.join("out");
    gusset(&["make", text(&demo), "-o", text(&out)]);
    let drawing = out.join("blank.dxf");
    let job = place("from_drawing");
    let run = gusset(&[
        "new",
        text(&job),
        "--drawing",
        text(&drawing),
        "--plate",
        "5052-H32 3 mm",
    ]);
    assert_eq!(run.code, 0, "{}", run.err);
    let area = |job: &std::path::Path| {
        let summary = gusset(&["check", text(job), "--json"]).json();
        let part = summary["blank"]["parts"][0].clone();
        let holes = part["holes"].as_array().map_or(0, Vec::len);
        (number(&part["area_mm2"]), holes)
    };
    let ((drawn, drawn_holes), (again, again_holes)) = (area(&demo), area(&job));
    assert!((drawn - again).abs() < 1e-3 * drawn, "{drawn} {again}");
    assert_eq!(drawn_holes, again_holes);
    // The creases of the drawing are offered.
    let design = fs::read_to_string(job.join("design.toml")).expect("it was written");
    assert!(design.contains("# [bends.b1]"), "{design}");
    // The job is not written over.
    assert_eq!(gusset(&["new", text(&job), "--drawing", text(&drawing)]).code, 2);
}

#[test]
fn a_drawing_that_cannot_be_one_is_told_and_nothing_is_written() {
    let folder = place("bad_drawing");
    fs::create_dir_all(&folder).expect("a folder");
    let job = folder.join("job");
    let file = folder.join("old.dxf");
    for (bytes, wanted, code) in [
        (&b"\xff\xfe\x00"[..], "not text", 3),
        (b"0\nSECTION\n2\nENTITIES\n0\nENDSEC\n0\nEOF\n", "", 3),
        (
            b"0\nSECTION\n2\nENTITIES\n0\nCIRCLE\n10\n0\n20\n0\n40\n3\n0\nENDSEC\n0\nEOF\n",
            "--drawing-units",
            2,
        ),
    ] {
        fs::write(&file, bytes).expect("a file");
        let run = gusset(&["new", text(&job), "--drawing", text(&file)]);
        assert_eq!(run.code, code, "{}{}", run.out, run.err);
        assert!(run.err.contains(wanted), "{}", run.err);
        assert!(!job.exists());
    }
    let run = gusset(&[
        "new",
        text(&job),
        "--drawing",
        text(&file),
        "--drawing-units",
        "in",
    ]);
    assert_eq!(run.code, 0, "{}", run.err);
    let missing = gusset(&["new", text(&job), "--drawing", text(&folder.join("none.dxf"))]);
    assert_eq!(missing.code, 2);
    assert!(missing.err.contains("none.dxf"), "{}", missing.err);
}
