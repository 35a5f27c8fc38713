//! Answers that come before the proof, drawings that come with them, and what is worked out before it is asked for.

use axum::http::StatusCode;
use serde_json::{Value, json};

use crate::page::{Page, title};

#[tokio::test]
async fn an_act_is_answered_before_its_proof_and_the_proof_is_told_once_it_has_come() {
    let page = Page::open("proof");
    let (_, first) = page.get("/api/job").await;
    assert_eq!(
        first["working"],
        json!(["cut", "hold"]),
        "the cut is planned again with the proof"
    );
    let hold = |job: &Value| job["answers"]["verdicts"]["hold"].clone();
    for question in ["cut", "hold"] {
        let answer = &first["answers"]["verdicts"][question]["answer"];
        assert_eq!(answer, "not checked", "nothing is known yet of {question}");
    }
    let mut seen = json!({ "changed": false });
    while seen["changed"] == json!(false) {
        let stamp = first["stamp"].as_str().expect("a stamp");
        let path = format!("/api/changed?stamp={stamp}&worked={}", first["worked"]);
        seen = page.get(&path).await.1;
    }
    assert_eq!(seen["stamp"], first["stamp"], "the files are the same");
    let (_, whole) = page.get("/api/job").await;
    assert_eq!((&whole["working"], &whole["worked"]), (&json!([]), &json!(1)));
    assert!(whole["answers"]["prove"].is_object());
    // A title takes nothing from the proof.
    let (_, titled) = page
        .ask("POST", "/api/act", title("Another", &whole["stamp"]))
        .await;
    assert_eq!(
        (&titled["working"], hold(&titled)),
        (&json!([]), hold(&whole)),
        "it stands"
    );
    // A load does: till its proof has come, what is told is that of before, and told to be so.
    let harder = json!({
        "file": "fit", "acts": [{ "act": "set", "at": ["loads", "elbow", "force"], "to": "900 N" }],
        "says": "harder", "base": titled["stamp"],
    });
    let (_, loaded) = page.ask("POST", "/api/act", harder).await;
    assert_eq!(
        (&loaded["working"], hold(&loaded)),
        (&json!(["cut", "hold"]), hold(&titled))
    );
    let cut = |job: &Value| {
        [
            &job["answers"]["verdicts"]["cut"],
            &job["answers"]["cut"],
            &job["said"]["cuts"],
        ]
        .map(Value::clone)
    };
    assert_eq!(
        cut(&loaded),
        cut(&titled),
        "verdict, plan and what is printed of it"
    );
    let (status, pages) = page.get("/api/picture/stress").await;
    assert_eq!(status, StatusCode::OK, "{pages}");
    let (_, proven) = page.get("/api/job").await;
    assert_eq!(
        proven["working"],
        json!([]),
        "a drawing of stress waits for the proof"
    );
    assert_ne!(hold(&proven), hold(&titled));
    // What was tried as a whole, and what was there before, is there at once with its proof.
    let lighter = json!({
        "file": "fit", "acts": [{ "act": "set", "at": ["loads", "elbow", "force"], "to": "90 N" }],
        "says": "lighter", "base": proven["stamp"],
    });
    let (_, tried) = page.ask("POST", "/api/try", lighter.clone()).await;
    assert_eq!(
        tried["working"],
        json!([]),
        "a try is whole unless less is asked for"
    );
    let (_, kept) = page.ask("POST", "/api/act", lighter).await;
    assert_eq!(
        (&kept["working"], hold(&kept)),
        (&json!([]), tried["answers"]["verdicts"]["hold"].clone())
    );
    let undo = json!({ "base": kept["stamp"] });
    let (_, back) = page.ask("POST", "/api/undo", undo).await;
    assert_eq!((&back["working"], hold(&back)), (&json!([]), hold(&proven)));
}

/// Drawings come with the answers where they are asked for; one that rests on the proof does not come before it.
#[tokio::test]
async fn the_drawings_in_sight_come_with_the_answers() {
    let page = Page::open("in-sight");
    let (_, first) = page.get("/api/job?draw=mark-out,cut-sheet,nothing").await;
    let named = |job: &Value| -> Vec<String> {
        let pictures = job["pictures"].as_object().expect("drawings by name");
        pictures.keys().cloned().collect()
    };
    assert_eq!(named(&first), ["mark-out"]);
    let (_, alone) = page.get("/api/picture/mark-out").await;
    assert_eq!(first["pictures"]["mark-out"], alone["pages"]);
    page.get("/api/picture/stress").await;
    let (_, whole) = page.get("/api/job?draw=mark-out,cut-sheet").await;
    assert_eq!(named(&whole), ["cut-sheet", "mark-out"]);
    let act = title("Another", &whole["stamp"]);
    let (_, titled) = page.ask("POST", "/api/act?draw=blank", act).await;
    assert_eq!(named(&titled), ["blank"]);
    let (_, alone) = page.get("/api/picture/blank").await;
    assert_eq!(titled["pictures"]["blank"], alone["pages"]);
}

#[tokio::test]
async fn what_may_be_done_next_is_worked_out_and_nothing_is_written() {
    let page = Page::open("ahead");
    let (_, first) = page.get("/api/job").await;
    let acts = json!([{ "act": "set", "at": ["loads", "elbow", "force"], "to": "900 N" }]);
    let ahead = |base: &Value| json!({ "file": "fit", "acts": acts, "base": base });
    let (status, said) = page
        .ask("POST", "/api/ahead?draw=mark-out", ahead(&first["stamp"]))
        .await;
    assert_eq!((status, said), (StatusCode::OK, json!({})));
    let (_, same) = page.get("/api/job").await;
    assert_eq!(same["stamp"], first["stamp"], "the files are as they were");
    // What cannot be done, and what was meant for other texts, is passed over here.
    let wrong = json!({ "file": "fit", "acts": [{ "act": "set", "at": ["loads", "elbow", "force"], "to": "hard" }], "base": first["stamp"] });
    for asked in [wrong, ahead(&json!("of before"))] {
        let (status, said) = page.ask("POST", "/api/ahead", asked).await;
        assert_eq!((status, said), (StatusCode::OK, json!({})));
    }
    let act = json!({ "file": "fit", "acts": acts, "says": "harder", "base": first["stamp"] });
    let (status, done) = page.ask("POST", "/api/act", act).await;
    assert_eq!(status, StatusCode::OK, "{done}");
    assert_ne!(done["stamp"], first["stamp"]);
}
