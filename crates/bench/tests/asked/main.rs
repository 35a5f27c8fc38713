//! What the server answers, and whom it answers.

mod ahead;
mod page;

use std::fs;

use axum::body::Body;
use axum::http::{Request, StatusCode};
use page::{HOST, Page, title};
use serde_json::{Value, json};

#[tokio::test]
async fn the_job_is_told_as_typed_and_answered_and_an_act_goes_through_and_back() {
    let page = Page::open("acts");
    let before = page.design();
    let (status, job) = page.get("/api/job").await;
    assert_eq!(status, StatusCode::OK, "{job}");
    assert_eq!(job["answers"]["job"]["title"], "Mallet holder angle");
    assert_eq!(job["files"]["design"]["text"].as_str(), Some(before.as_str()));
    for question in ["fit", "cut", "bend", "hold"] {
        assert!(
            job["answers"]["verdicts"][question]["answer"].is_string(),
            "{question}"
        );
    }
    let (status, tried) = page.ask("POST", "/api/try", title("Tried", &job["stamp"])).await;
    assert_eq!(status, StatusCode::OK, "{tried}");
    assert_eq!(tried["answers"]["job"]["title"], "Tried");
    assert_eq!(page.design(), before, "a try writes nothing");
    let (status, done) = page.ask("POST", "/api/act", title("Done", &job["stamp"])).await;
    assert_eq!(status, StatusCode::OK, "{done}");
    assert_eq!(done["undo"], "title Done");
    assert_eq!(
        page.design(),
        before.replace("Mallet holder angle", "Done"),
        "notes and order stay"
    );
    let (status, undone) = page
        .ask("POST", "/api/undo", json!({ "base": done["stamp"] }))
        .await;
    assert_eq!(status, StatusCode::OK, "{undone}");
    assert_eq!((page.design(), &undone["redo"]), (before, &json!("title Done")));
    let (status, redone) = page
        .ask("POST", "/api/redo", json!({ "base": undone["stamp"] }))
        .await;
    assert_eq!((status, &redone["stamp"]), (StatusCode::OK, &done["stamp"]));
}

#[tokio::test]
async fn a_page_that_is_behind_writes_over_nothing() {
    let page = Page::open("stale");
    let (_, job) = page.get("/api/job").await;
    let typed = format!("{}# from the text editor\n", page.design());
    fs::write(page.root.join("design.toml"), &typed).expect("it is written");
    let (status, seen) = page
        .get(&format!(
            "/api/changed?stamp={}",
            job["stamp"].as_str().expect("a stamp")
        ))
        .await;
    assert_eq!((status, &seen["changed"]), (StatusCode::OK, &json!(true)));
    for path in ["/api/act", "/api/try"] {
        let (status, refused) = page.ask("POST", path, title("Late", &job["stamp"])).await;
        assert_eq!(status, StatusCode::CONFLICT, "{refused}");
    }
    let (status, _) = page
        .ask("POST", "/api/undo", json!({ "base": job["stamp"] }))
        .await;
    assert_eq!(status, StatusCode::CONFLICT);
    assert_eq!(page.design(), typed);
}

#[tokio::test]
async fn nobody_else_is_answered() {
    let page = Page::open("guard");
    let asks = |change: &dyn Fn(axum::http::request::Builder) -> axum::http::request::Builder| {
        change(Request::builder().uri("/api/job"))
            .body(Body::empty())
            .expect("a request")
    };
    let key = page.key.as_str();
    type Heads<'a> = &'a [(&'a str, &'a str)];
    let cases: [(&str, Heads<'_>, StatusCode); 10] = [
        (
            "as printed",
            &[("host", HOST), ("x-gusset-key", key)],
            StatusCode::OK,
        ),
        (
            "by its other name",
            &[("host", "localhost:4173"), ("x-gusset-key", key)],
            StatusCode::OK,
        ),
        (
            "from its own page",
            &[
                ("host", HOST),
                ("x-gusset-key", key),
                ("origin", "http://127.0.0.1:4173"),
                ("sec-fetch-site", "same-origin"),
            ],
            StatusCode::OK,
        ),
        (
            "by a name that someone points here",
            &[("host", "job.example:4173"), ("x-gusset-key", key)],
            StatusCode::FORBIDDEN,
        ),
        (
            "by another port",
            &[("host", "127.0.0.1:80"), ("x-gusset-key", key)],
            StatusCode::FORBIDDEN,
        ),
        ("without a host", &[("x-gusset-key", key)], StatusCode::FORBIDDEN),
        (
            "from another page",
            &[
                ("host", HOST),
                ("x-gusset-key", key),
                ("origin", "http://job.example"),
            ],
            StatusCode::FORBIDDEN,
        ),
        (
            "from a page that hides its name",
            &[("host", HOST), ("x-gusset-key", key), ("origin", "null")],
            StatusCode::FORBIDDEN,
        ),
        (
            "across sites",
            &[
                ("host", HOST),
                ("x-gusset-key", key),
                ("sec-fetch-site", "cross-site"),
            ],
            StatusCode::FORBIDDEN,
        ),
        ("without the key", &[("host", HOST)], StatusCode::FORBIDDEN),
    ];
    for (who, heads, wanted) in cases {
        let request = asks(&|request| {
            heads
                .iter()
                .fold(request, |request, (name, value)| request.header(*name, *value))
        });
        let (status, said) = page.send(request).await;
        assert_eq!(status, wanted, "{who}: {said}");
    }
    let twice = asks(&|request| {
        request
            .header("host", HOST)
            .header("host", "job.example")
            .header("x-gusset-key", key)
    });
    assert_eq!(page.send(twice).await.0, StatusCode::FORBIDDEN, "two hosts");
}

#[tokio::test]
async fn no_path_leads_into_the_folder_or_out_of_it() {
    let page = Page::open("paths");
    let ask = |path: &str, host: &str| {
        Request::builder()
            .uri(path)
            .header("host", host)
            .body(Body::empty())
            .expect("a request")
    };
    // The page itself needs no key, which it has not read yet.
    assert_eq!(page.send(ask("/", HOST)).await.0, StatusCode::OK);
    assert_eq!(
        page.send(ask("/", "job.example:4173")).await.0,
        StatusCode::FORBIDDEN
    );
    for path in [
        "/design.toml",
        "/..%2fdesign.toml",
        "/%2e%2e/design.toml",
        "/fits/own.toml",
        "/.gusset",
        "//etc/passwd",
    ] {
        let (status, said) = page.send(ask(path, HOST)).await;
        assert_eq!(status, StatusCode::NOT_FOUND, "{path}: {said}");
    }
    let (status, _) = page.get("/api/picture/..%2f..%2fdesign.toml").await;
    assert_eq!(status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn bad_asks_are_told_what_is_wrong_and_do_nothing() {
    let page = Page::open("bad");
    let before = page.design();
    let (_, job) = page.get("/api/job").await;
    let act = |at: Value, to: Value| json!({ "file": "design", "acts": [{ "act": "set", "at": at, "to": to }], "base": job["stamp"] });
    let (status, said) = page
        .ask(
            "POST",
            "/api/act",
            act(json!(["bends", "b1", "bnt"]), json!("90 deg")),
        )
        .await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        said["wrong"][0]["line"].is_number() && said["wrong"][0]["says"].is_string(),
        "{said}"
    );
    let (status, _) = page
        .ask(
            "POST",
            "/api/act",
            act(json!(["bends", 7, "bent"]), json!("90 deg")),
        )
        .await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    let (status, _) = page
        .ask(
            "POST",
            "/api/act",
            json!({ "file": "../passwd", "acts": [], "base": job["stamp"] }),
        )
        .await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    let long = act(json!(["title"]), json!("x".repeat(300_000)));
    let (status, _) = page.ask("POST", "/api/act", long).await;
    assert_eq!(status, StatusCode::PAYLOAD_TOO_LARGE);
    assert_eq!(page.design(), before);
}

#[tokio::test]
async fn what_is_typed_is_echoed_in_both_systems() {
    let page = Page::open("echo");
    let (_, said) = page
        .ask(
            "POST",
            "/api/understood",
            json!({ "file": "design", "way": ["points", "A", 0], "text": "1-1/8 in" }),
        )
        .await;
    assert_eq!(said["understood"], "28.6 mm (1-1/8 in)");
    let (_, said) = page
        .ask(
            "POST",
            "/api/understood",
            json!({ "file": "design", "way": ["bends", "b1", "bent"], "text": "85 deg" }),
        )
        .await;
    assert!(
        said["understood"]
            .as_str()
            .is_some_and(|says| says.contains("95.0")),
        "{said}"
    );
    let (_, said) = page
        .ask(
            "POST",
            "/api/understood",
            json!({ "file": "design", "way": ["points", "A", 0], "text": "3 kg" }),
        )
        .await;
    assert!(said["not_understood"].is_string(), "{said}");
    let (_, said) = page
        .ask(
            "POST",
            "/api/understood",
            json!({ "file": "design", "way": ["title"], "text": "long" }),
        )
        .await;
    assert_eq!(said, json!({}), "words are words");
    let (_, job) = page.get("/api/job").await;
    for told in [
        &job["said"]["mass"],
        &job["said"]["bends"][0]["gauge_to_middle"],
        &job["said"]["cuts"][0],
    ] {
        assert!(
            told.as_str().is_some_and(|told| told.ends_with(')')),
            "in both systems: {told}"
        );
    }
}

#[tokio::test]
async fn drawings_are_given_as_they_are_printed() {
    let page = Page::open("pictures");
    for (name, pages) in [("blank", 1), ("folded", 1), ("bend-cards", 2)] {
        let (status, said) = page.get(&format!("/api/picture/{name}")).await;
        assert_eq!(status, StatusCode::OK, "{said}");
        let given = said["pages"].as_array().expect("pages");
        assert_eq!(given.len(), pages, "{name}");
        assert!(
            given[0]
                .as_str()
                .is_some_and(|svg| svg.contains("<svg") && svg.contains("<title")),
            "{name}"
        );
    }
}

#[tokio::test]
async fn the_keys_say_what_each_value_takes_and_what_a_name_names() {
    let page = Page::open("keys");
    let (status, keys) = page.get("/api/keys").await;
    assert_eq!(status, StatusCode::OK);
    let find = |file: &str, name: &str| -> Value {
        let keys = keys[file].as_array().expect("keys");
        let key = keys.iter().find(|key| key["name"] == name);
        key.unwrap_or_else(|| panic!("{file} has {name}")).clone()
    };
    assert_eq!(find("design", "title")["takes"], json!({ "is": "text" }));
    let panels = find("design", "panels");
    assert_eq!(panels["takes"]["is"], "named");
    assert_eq!(panels["takes"]["of"]["of"], "point");
    assert_eq!(
        panels["takes"]["of"]["under"],
        json!([{ "file": "design", "table": "points" }])
    );
    let survey = find("design", "survey");
    let with = &survey["takes"]["keys"][0]["takes"];
    assert_eq!(with["of"], "instrument");
    assert!(
        with["also"]
            .as_array()
            .is_some_and(|also| also.contains(&json!("tape")))
    );
    assert!(find("shop", "stock")["takes"]["of"]["keys"].is_array());
}

#[tokio::test]
async fn a_broken_outline_still_shows_its_points() {
    let page = Page::open("mark-out");
    let (_, said) = page.get("/api/picture/mark-out").await;
    let whole = said["pages"][0].as_str().expect("a page").to_owned();
    assert_eq!(whole.matches("data-point=").count(), 8);
    assert!(whole.contains("data-hole=\"h1\"") && whole.contains("data-reading=\"0\""));
    let crossed = page
        .design()
        .replace("[\"A\", \"B\", \"C\", \"D\"]", "[\"A\", \"C\", \"B\", \"D\"]");
    fs::write(page.root.join("design.toml"), crossed).expect("a design");
    let (_, said) = page.get("/api/picture/blank").await;
    assert_eq!(said["pages"], json!([]), "there is no blank of it");
    let (_, said) = page.get("/api/picture/mark-out").await;
    let broken = said["pages"][0].as_str().expect("a page");
    assert_eq!(broken.matches("data-point=").count(), 8);
    assert!(broken.contains("not sound yet") && broken.contains("cross"));
}

#[tokio::test]
async fn what_is_measured_is_told_with_what_is_expected_and_a_slip_as_it_is_typed() {
    let page = Page::open("measure");
    let (status, said) = page.get("/api/measure").await;
    assert_eq!(status, StatusCode::OK, "{said}");
    let items = said["items"].as_array().expect("items");
    let reading = items
        .iter()
        .find(|item| item["kind"] == "reading")
        .unwrap_or_else(|| panic!("{said}"));
    assert_eq!(reading["way"], json!(["readings", 0, "read"]));
    assert_eq!(reading["expected"], "45.0 mm (1-49/64 in + 0.006 in)");
    assert_eq!(reading["suspect"], false);
    assert!(
        items
            .iter()
            .any(|item| item["label"] == "rise" && item["file"] == "fit")
    );
    let slip = |text: &str| json!({ "file": "design", "way": ["readings", 0, "read"], "text": text });
    let (status, said) = page.ask("POST", "/api/measure/slip", slip("54.0")).await;
    assert_eq!(status, StatusCode::OK, "{said}");
    assert_eq!(said["outside"], true);
    assert_eq!(said["did_you_mean"][0]["text"], "45.0", "{said}");
    let (_, said) = page.ask("POST", "/api/measure/slip", slip("45.2")).await;
    assert_eq!(said["outside"], false, "{said}");
}

#[tokio::test]
async fn the_part_is_given_as_it_is_folded() {
    let page = Page::open("folding");
    let (status, said) = page.get("/api/folding").await;
    assert_eq!(status, StatusCode::OK, "{said}");
    let folding = &said["folding"];
    let (steps, frames) = (&folding["steps"], folding["frames"].as_array().expect("frames"));
    let steps = steps.as_array().expect("steps").len();
    assert_eq!(
        (steps, frames.len()),
        (1, 1 + 8 * steps),
        "flat, and eight for each fold"
    );
    assert_eq!(
        (&frames[0]["step"], &frames[8]["share"]),
        (&json!(0), &json!(1.0))
    );
    // The first panel stays, the other turns.
    assert_eq!(frames[0]["panels"][0], frames[8]["panels"][0]);
    assert_ne!(frames[0]["panels"][1], frames[8]["panels"][1]);
    for mount in folding["mounts"].as_array().expect("mounts") {
        assert!(
            mount["says"]
                .as_str()
                .is_some_and(|says| says.contains("allowed")),
            "{mount}"
        );
    }
    for view in ["front", "back", "left", "right", "above", "below", "corner"] {
        let (status, said) = page
            .get(&format!("/api/picture/folding?step=1&share=0.5&view={view}"))
            .await;
        assert_eq!(status, StatusCode::OK, "{said}");
        let svg = said["pages"][0].as_str().expect("a page");
        assert!(
            svg.contains("<title") && svg.contains("<desc") && svg.contains("50 %"),
            "{view}"
        );
    }
    let (status, said) = page.get("/api/picture/folding?step=1&view=inside").await;
    assert_eq!(status, StatusCode::NOT_FOUND, "{said}");
    let (status, _) = page.get("/api/picture/folding?step=-1&view=front").await;
    assert_eq!(status, StatusCode::BAD_REQUEST);
}

#[tokio::test]
async fn loads_are_offered_in_everyday_words() {
    let page = Page::open("kinds");
    let (status, said) = page.get("/api/load-kinds").await;
    assert_eq!(status, StatusCode::OK, "{said}");
    let kinds = said["kinds"].as_array().expect("kinds");
    let push = kinds.iter().find(|kind| kind["kind"] == "push").expect("a push");
    assert_eq!(push["usual"], json!(["250 N", "55 lbf"]));
    let (_, said) = page.get("/api/load-understood?kind=push&text=250%20N").await;
    assert_eq!(said["understood"], "250 N (56.2 lbf)");
    let (_, said) = page.get("/api/load-understood?kind=twist&text=250%20N").await;
    assert!(said["not_understood"].is_string(), "{said}");
}

#[tokio::test]
async fn the_part_under_its_loads_is_given_as_a_body_in_bands() {
    let page = Page::open("held");
    let (status, said) = page.get("/api/held").await;
    assert_eq!(status, StatusCode::OK, "{said}");
    let held = &said["held"];
    let count = |key: &str| held[key].as_array().map_or(0, Vec::len);
    assert!(
        count("triangles") > 0 && count("triangles") == count("shares"),
        "{}",
        count("triangles")
    );
    assert_eq!(count("points_mm"), count("moves_mm"));
    assert!(count("bands") > 1 && count("tightest") > 0 && count("heavy") > 1);
    let (low, high) = (held["bands"][0]["from"].as_str(), held["bands"][0]["to"].as_str());
    assert!(low.is_some() && low != high);
}
