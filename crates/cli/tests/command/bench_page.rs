//! `gusset bench`.

use crate::bench_of_work::{gusset, job_from, place, text};
use crate::bench_served::{Served, is_page_there};

#[test]
fn it_prints_the_address_and_answers_there_until_it_is_stopped() {
    if !is_page_there("the address that is printed") {
        return;
    }
    let job = job_from("one-bend", "bench_page");
    let mut server = Served::start(&["bench", text(&job), "--no-browser"]);
    let page = server.ask("GET", "/", "");
    let told = server.ask("GET", "/api/job", "");
    server.key = "another".into();
    let answers = [page, told, server.ask("GET", "/api/job", "")];
    drop(server);
    assert!(answers[0].starts_with("HTTP/1.1 200") && answers[0].contains("id=\"sheet\""));
    assert!(answers[1].contains("Mallet holder angle"), "{}", answers[1]);
    assert!(answers[2].starts_with("HTTP/1.1 403"), "{}", answers[2]);
}

#[test]
fn a_folder_that_holds_something_else_is_told_at_once() {
    if !is_page_there("a folder that holds something else") {
        return;
    }
    let other = place("bench_other");
    std::fs::create_dir_all(&other).expect("a folder");
    std::fs::write(other.join("letter.txt"), "Dear aunt").expect("a letter");
    let run = gusset(&["bench", text(&other), "--no-browser", "--json"]);
    assert_eq!(run.code, 2, "{}", run.err);
    assert!(run.err.contains("no design.toml"), "{}", run.err);
    assert!(run.json()["error"].is_string());
    // A fit is asked for by name where there is no job to have it.
    let run = gusset(&[
        "bench",
        text(&place("bench_none")),
        "--fit",
        "own",
        "--no-browser",
    ]);
    assert_eq!(run.code, 2, "{}", run.err);
}

#[test]
fn a_folder_that_is_not_there_is_served_and_a_demo_is_started_in_it() {
    if !is_page_there("a demo started from the page") {
        return;
    }
    let job = place("bench_start");
    let server = Served::start(&["bench", text(&job), "--no-browser"]);
    let before = server.ask("GET", "/api/start", "");
    assert!(before.contains("\"open\":false"), "{before}");
    assert!(server.ask("GET", "/api/job", "").starts_with("HTTP/1.1 404"));
    assert!(!job.exists(), "nothing is written before it is asked for");
    let made = server.ask("POST", "/api/start/demo", "{\"demo\":\"flat-plate\"}");
    assert!(made.starts_with("HTTP/1.1 200"), "{made}");
    let told = server.ask("GET", "/api/job", "");
    drop(server);
    assert!(told.contains("\"verdicts\""), "{told}");
    let wrong = gusset(&["check", text(&job)]);
    assert_eq!(wrong.code, 0, "{}", wrong.err);
}
