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

/// What the page shows as soon as an act is done is what the act is then answered with, to the last number.
#[tokio::test]
async fn what_may_be_done_next_is_told_as_the_act_is_answered_and_nothing_is_written() {
    let page = Page::open("ahead");
    page.get("/api/picture/stress").await;
    let (_, first) = page.get("/api/job").await;
    assert_eq!(first["working"], json!([]));
    let acts = json!([{ "act": "set", "at": ["loads", "elbow", "force"], "to": "900 N" }]);
    let asked = |upto: &str| json!({ "file": "fit", "acts": acts, "says": "harder", "base": first["stamp"], "upto": upto });
    let path = "/api/ahead?draw=mark-out,stress";
    let (status, early) = page.ask("POST", path, asked("bend")).await;
    assert_eq!(status, StatusCode::OK, "{early}");
    let (_, whole) = page.ask("POST", path, asked("hold")).await;
    let (_, same) = page.get("/api/job").await;
    assert_eq!(same, first, "nothing is written");
    let act = json!({ "file": "fit", "acts": acts, "says": "harder", "base": first["stamp"] });
    let (status, done) = page.ask("POST", "/api/act?draw=mark-out,stress", act).await;
    assert_eq!(status, StatusCode::OK, "{done}");
    assert_eq!((&whole["job"], &done["working"]), (&done, &json!([])));
    assert_eq!(done["undo"], "harder");
    assert!(done["pictures"]["stress"][0].is_string());
    // Before the proof has come what rests on it is of before, and told to be so.
    for what in ["stamp", "undo", "files"] {
        assert_eq!(early["job"][what], done[what], "{what}");
    }
    for question in ["fit", "bend"] {
        let verdict = |job: &Value| job["answers"]["verdicts"][question].clone();
        assert_eq!(verdict(&early["job"]), verdict(&done), "{question}");
    }
    let (working, verdicts) = (&early["job"]["working"], &early["job"]["answers"]["verdicts"]);
    assert_eq!(working, &json!(["cut", "hold"]));
    assert_eq!(verdicts["hold"], first["answers"]["verdicts"]["hold"]);
}

#[tokio::test]
async fn an_act_tells_no_more_where_what_it_comes_to_is_shown_already() {
    let page = Page::open("shown");
    page.get("/api/picture/stress").await;
    let (_, first) = page.get("/api/job").await;
    let mut base = first["stamp"].clone();
    // What is shown is other texts, or was told before its proof had come; then it is the same.
    for (number, shown, working, is_told) in [
        (1, "other", "", true),
        (2, "own", "cut,hold", true),
        (3, "own", "", false),
    ] {
        let act = json!({ "act": "set", "at": ["title"], "to": format!("Angle {number}") });
        let asked =
            json!({ "file": "design", "acts": [act], "says": "titled", "base": base, "upto": "hold" });
        let (_, ahead) = page.ask("POST", "/api/ahead", asked.clone()).await;
        let own = ahead["job"]["stamp"].as_str().expect("a stamp");
        let shown = if shown == "own" { own } else { shown };
        let mut act = asked;
        act.as_object_mut().and_then(|act| act.remove("upto"));
        let (status, done) = page
            .ask("POST", &format!("/api/act?shown={shown}&working={working}"), act)
            .await;
        assert_eq!((status, done.is_object()), (StatusCode::OK, is_told), "{done}");
        let (_, now) = page.get("/api/job").await;
        assert_eq!(now["stamp"], ahead["job"]["stamp"], "it is done either way");
        base = now["stamp"].clone();
    }
}

#[tokio::test]
async fn there_is_nothing_to_tell_ahead_of_what_cannot_be_done_changes_nothing_or_was_meant_for_other_texts()
{
    let page = Page::open("ahead-of-nothing");
    let (_, first) = page.get("/api/job").await;
    let force = |to: &str| json!({ "act": "set", "at": ["loads", "elbow", "force"], "to": to });
    let nowhere = json!({ "act": "remove", "at": ["loads", "shin"] });
    let cases = [
        (nowhere, &first["stamp"]),
        (force("150 N"), &first["stamp"]),
        (force("900 N"), &json!("of before")),
    ];
    for (act, base) in cases {
        let asked = json!({ "file": "fit", "acts": [act], "says": "it", "base": base, "upto": "hold" });
        let (status, said) = page.ask("POST", "/api/ahead", asked).await;
        assert_eq!((status, said), (StatusCode::OK, json!({ "job": null })), "{act}");
    }
}

/// Of two askers the one for what was typed before is answered with nothing, and does not wait for its proof.
#[tokio::test]
async fn what_was_asked_ahead_ends_when_something_newer_is() {
    let page = Page::open("ahead-newer");
    let (_, first) = page.get("/api/job").await;
    let asked = |force: &str| {
        json!({
            "file": "fit", "acts": [{ "act": "set", "at": ["loads", "elbow", "force"], "to": force }],
            "says": "it", "base": first["stamp"], "upto": "hold",
        })
    };
    let older = page.ask("POST", "/api/ahead", asked("900 N"));
    let newer = async {
        tokio::time::sleep(std::time::Duration::from_millis(5)).await;
        page.ask("POST", "/api/ahead", asked("901 N")).await
    };
    let ((_, older), (_, newer)) = tokio::join!(older, newer);
    assert_eq!(older["job"], Value::Null);
    assert_eq!(newer["job"]["working"], json!([]));
}
