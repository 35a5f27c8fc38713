//! Threads as they are written on drawings and boxes.

use units::{Thread, ThreadProblem, ThreadSeries};

#[test]
fn each_way_of_writing_finds_its_thread() {
    for (text, name) in [
        ("M6", "M6"),
        ("m6", "M6"),
        ("M6x1", "M6"),
        ("M6 x 1.0", "M6"),
        ("M6\u{d7}1", "M6"),
        ("M8x1,25", "M8"),
        ("M8x1", "M8x1"),
        ("M2.5", "M2.5"),
        ("5/16-18", "5/16-18"),
        ("5/16 - 18", "5/16-18"),
        ("1/4-20 UNC", "1/4-20"),
        ("1/4\"-28 UNF", "1/4-28"),
        ("1/4 in-20", "1/4-20"),
        ("#10-24", "#10-24"),
        ("No. 10-32", "#10-32"),
        ("10-24", "#10-24"),
        ("1-8", "1-8"),
        ("1/4-20 UN", "1/4-20"),
    ] {
        let thread = Thread::parse(text).unwrap_or_else(|error| panic!("{text}: {error}"));
        assert_eq!(thread.designation(), name, "{text}");
    }
}

#[test]
fn every_thread_reads_back_by_its_designation() {
    for thread in Thread::all() {
        assert_eq!(Thread::parse(thread.designation()), Ok(thread));
        assert!(thread.pitch_mm() < thread.nominal_mm() / 2.0);
        assert!(!thread.source().is_empty());
    }
    let confirmed = Thread::all().filter(|thread| thread.is_confirmed()).count();
    assert!(
        confirmed > 60 && confirmed < Thread::all().count(),
        "rows from memory say so"
    );
}

#[test]
fn sizes_and_pitches_are_as_the_tables_print_them() {
    let five_sixteenths = Thread::parse("5/16-18").expect("a thread");
    assert_eq!(five_sixteenths.nominal_mm(), 7.9375);
    assert!((five_sixteenths.pitch_mm() - 25.4 / 18.0).abs() < 1e-12);
    assert_eq!(five_sixteenths.per_inch(), Some(18.0));
    assert_eq!(five_sixteenths.series(), ThreadSeries::UnifiedCoarse);
    assert_eq!(five_sixteenths.size(), "5/16");
    // A number 10 screw is 0.190 in.
    assert_eq!(Thread::parse("#10-24").expect("a thread").nominal_mm(), 4.826);
    let m8 = Thread::parse("M8").expect("a thread");
    assert_eq!((m8.nominal_mm(), m8.pitch_mm(), m8.size()), (8.0, 1.25, "M8"));
    assert_eq!(Thread::parse("M8x1").expect("a thread").size(), "M8");
}

#[test]
fn nonsense_is_refused_with_the_nearest_thread() {
    for (text, problem, nearest) in [
        ("M6x0.8", ThreadProblem::NotListed, Some("M6x0.75")),
        ("M7.5", ThreadProblem::NotListed, Some("M8")),
        ("5/16-20", ThreadProblem::NotListed, Some("5/16-18")),
        ("#9-24", ThreadProblem::NotListed, Some("#10-24")),
        ("5/16", ThreadProblem::NoPitch, Some("5/16-18")),
        ("1/4-28 UNC", ThreadProblem::OtherSeries, Some("1/4-28")),
        ("1/4-20 G", ThreadProblem::NotAThread, Some("1/4-20")),
        ("bolt", ThreadProblem::NotAThread, None),
        ("", ThreadProblem::NotAThread, None),
        ("M", ThreadProblem::NotAThread, None),
        ("M0", ThreadProblem::NotAThread, None),
        ("M-6", ThreadProblem::NotAThread, None),
        ("1/0-20", ThreadProblem::NotAThread, None),
    ] {
        let error = Thread::parse(text).expect_err(text);
        let found = error.nearest.map(Thread::designation);
        assert_eq!(error.problem, problem, "{text}");
        if nearest.is_some() {
            assert_eq!(found, nearest, "{text}");
        }
    }
}
