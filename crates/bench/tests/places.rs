//! A job started from the page, its files made and given, its revisions kept; and that none of it leads anywhere else.

use std::fs;
use std::net::SocketAddr;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use axum::Router;
use axum::body::{Body, Bytes};
use axum::http::{HeaderMap, Request, StatusCode};
use bench::guard::Guard;
use bench::{Key, Place, routes};
use http_body_util::BodyExt as _;
use serde_json::{Value, json};
use tower::ServiceExt as _;

const HOST: &str = "127.0.0.1:4173";

struct Page {
    /// A folder of the test's own, which has the job's folder in it.
    here: PathBuf,
    router: Router,
    key: String,
}

impl Page {
    /// A page that is given no folder, and runs in an empty one.
    fn below(name: &str) -> Page {
        let here = empty(name);
        let place = Place::open(None, &here, None).unwrap_or_else(|error| panic!("{error}"));
        Page::at(here, place)
    }

    /// A page with a copy of a demo job.
    async fn with(name: &str, demo: &str) -> Page {
        let here = empty(name);
        let place =
            Place::open(Some(&here.join("job")), &here, None).unwrap_or_else(|error| panic!("{error}"));
        let page = Page::at(here, place);
        let (status, said) = page.ask("POST", "/api/start/demo", json!({ "demo": demo })).await;
        assert_eq!(status, StatusCode::OK, "{said}");
        page
    }

    /// The job once its proof has come.
    async fn proven(&self, mut job: Value) -> Value {
        while job["working"] != json!([]) {
            let stamp = job["stamp"].as_str().expect("a stamp");
            let path = format!("/api/changed?stamp={stamp}&worked={}", job["worked"]);
            self.get(&path).await;
            job = self.get("/api/job").await.1;
        }
        job
    }

    fn at(here: PathBuf, place: Place) -> Page {
        let key = Key::random().expect("random bytes");
        let at: SocketAddr = HOST.parse().expect("an address");
        let text = key.text().to_owned();
        Page {
            here,
            router: routes(Arc::new(place), Guard { key, at }),
            key: text,
        }
    }

    async fn send(&self, method: &str, path: &str, body: Value, key: &str) -> (StatusCode, HeaderMap, Bytes) {
        let request = Request::builder()
            .method(method)
            .uri(path)
            .header("host", HOST)
            .header("content-type", "application/json")
            .header("x-gusset-key", key)
            .body(if body.is_null() {
                Body::empty()
            } else {
                Body::from(body.to_string())
            })
            .expect("a request");
        let answer = self.router.clone().oneshot(request).await.expect("an answer");
        let (status, heads) = (answer.status(), answer.headers().clone());
        (
            status,
            heads,
            answer.into_body().collect().await.expect("a body").to_bytes(),
        )
    }

    async fn ask(&self, method: &str, path: &str, body: Value) -> (StatusCode, Value) {
        let (status, _, bytes) = self.send(method, path, body, &self.key).await;
        let said = serde_json::from_slice(&bytes)
            .unwrap_or_else(|_| Value::String(String::from_utf8_lossy(&bytes).into_owned()));
        (status, said)
    }

    async fn get(&self, path: &str) -> (StatusCode, Value) {
        self.ask("GET", path, Value::Null).await
    }

    fn job(&self) -> PathBuf {
        self.here.join("job")
    }
}

impl Drop for Page {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.here);
    }
}

fn empty(name: &str) -> PathBuf {
    let here = std::env::temp_dir().join(format!("gusset-places-{}-{name}", std::process::id()));
    let _ = fs::remove_dir_all(&here);
    fs::create_dir_all(&here).expect("a temporary folder");
    here
}

fn names(folder: &Path) -> Vec<String> {
    let entries = fs::read_dir(folder).expect("a folder");
    let mut names: Vec<String> = entries
        .map(|entry| {
            entry
                .expect("an entry")
                .file_name()
                .to_string_lossy()
                .into_owned()
        })
        .collect();
    names.sort();
    names
}

/// The questions answered one after another, as a person does; what is not named takes what is usual.
async fn answered(page: &Page, from: &str, design: Option<&str>, said: &[(&str, &str)]) -> (Value, Value) {
    let mut answers = json!({});
    for _ in 0..40 {
        let mut body = json!({ "from": from, "answers": answers });
        if let Some(design) = design {
            body["design"] = design.into();
        }
        let (status, told) = page.ask("POST", "/api/start/questions", body).await;
        assert_eq!(status, StatusCode::OK, "{told}");
        let Some(key) = told["next"]["key"].as_str() else {
            return (answers, told);
        };
        assert!(told["not_understood"].is_null(), "{told}");
        let text = said
            .iter()
            .find(|(own, _)| *own == key)
            .map_or("", |(_, text)| text);
        answers[key] = text.into();
    }
    panic!("the questions never end: {answers}");
}

const CARE: [(&str, &str); 8] = [
    ("title", "Lamp arm"),
    ("purpose", "holds a lamp over the bench"),
    ("onto", "a bench"),
    ("weight", "no"),
    ("held", "no"),
    ("control", "no"),
    ("feels", "yes"),
    ("release", "yes"),
];

#[tokio::test]
async fn from_nothing_a_job_is_asked_for_written_and_shown() {
    let page = Page::below("nothing");
    let (_, start) = page.get("/api/start").await;
    assert_eq!((&start["open"], &start["named"]), (&json!(false), &json!(true)));
    assert!(
        start["says"]
            .as_str()
            .is_some_and(|says| says.contains(page.here.to_str().expect("a plain name")))
    );
    assert_eq!(page.get("/api/job").await.0, StatusCode::NOT_FOUND);
    let (answers, told) = answered(&page, "nothing", None, &CARE).await;
    assert_eq!(told["done"], true, "{told}");
    assert!(
        told["answered"]
            .as_array()
            .expect("answers")
            .iter()
            .any(|row| row["understood"] == "80.0 mm (3-5/32 in)"
                || row["understood"]
                    .as_str()
                    .is_some_and(|says| says.starts_with("80.0 mm"))),
        "lengths are echoed: {told}"
    );
    let (status, made) = page
        .ask(
            "POST",
            "/api/start/nothing",
            json!({ "answers": answers, "name": "Lamp arm" }),
        )
        .await;
    assert_eq!(status, StatusCode::OK, "{made}");
    assert_eq!(names(&page.here), ["Lamp arm"]);
    assert_eq!(
        names(&page.here.join("Lamp arm")),
        [".gitignore", "design.toml", "fits", "shop.toml"]
    );
    let (status, job) = page.get("/api/job").await;
    assert_eq!(status, StatusCode::OK, "{job}");
    assert_eq!(job["answers"]["job"]["title"], "Lamp arm");
    // Once, and never over it.
    let (status, _) = page
        .ask(
            "POST",
            "/api/start/demo",
            json!({ "demo": "one-bend", "name": "another" }),
        )
        .await;
    assert_eq!(status, StatusCode::CONFLICT);
    assert_eq!(names(&page.here), ["Lamp arm"]);
}

#[tokio::test]
async fn what_is_refused_is_told_with_whom_to_ask_and_writes_nothing() {
    let page = Page::below("refused");
    let mut care = CARE;
    care[3].1 = "yes";
    let (answers, told) = answered(&page, "nothing", None, &care).await;
    assert!(
        told["refused"]["why"].is_string() && told["refused"]["ask"].is_string(),
        "{told}"
    );
    let (status, said) = page
        .ask(
            "POST",
            "/api/start/nothing",
            json!({ "answers": answers, "name": "arm" }),
        )
        .await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{said}");
    assert!(
        said["error"]
            .as_str()
            .is_some_and(|says| says.contains("Nothing was written")),
        "{said}"
    );
    assert!(names(&page.here).is_empty());
}

#[tokio::test]
async fn a_shared_design_is_checked_taken_as_it_is_and_gets_a_fit_of_its_own() {
    let page = Page::below("shared");
    let design = fs::read_to_string("../../examples/push-hoe/design.toml").expect("a demo");
    let (status, wrong) = page
        .ask(
            "POST",
            "/api/start/check",
            json!({ "design": design.replace("[outline]", "[outlines]") }),
        )
        .await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(wrong["wrong"][0]["line"].is_number(), "{wrong}");
    let (status, looked) = page
        .ask("POST", "/api/start/check", json!({ "design": design }))
        .await;
    assert_eq!(status, StatusCode::OK, "{looked}");
    let (answers, told) = answered(&page, "shared-design", Some(&design), &CARE).await;
    assert_eq!(told["done"], true, "{told}");
    let asked = json!({ "design": design, "answers": answers, "name": "hoe" });
    let (status, made) = page.ask("POST", "/api/start/shared", asked).await;
    assert_eq!(status, StatusCode::OK, "{made}");
    let written = fs::read_to_string(page.here.join("hoe/design.toml")).expect("the design");
    assert_eq!(written, design, "byte for byte");
    let (_, job) = page.get("/api/job").await;
    assert_eq!(job["fit"], "own");
    let hold = &job["answers"]["verdicts"]["hold"]["answer"];
    assert!(
        hold == "not checked" || job["answers"]["wrong"].is_array(),
        "{}",
        job["answers"]
    );
}

#[tokio::test]
async fn a_name_or_a_body_leads_nowhere_else() {
    let page = Page::below("names");
    for name in [
        "../up",
        "/tmp/gusset-elsewhere",
        "a/b",
        "..",
        ".",
        "",
        "a\\b",
        ".git",
        "c:x",
    ] {
        let (status, said) = page
            .ask(
                "POST",
                "/api/start/demo",
                json!({ "demo": "one-bend", "name": name }),
            )
            .await;
        assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{name}: {said}");
    }
    let demo = json!({ "demo": "../../etc", "name": "job" });
    assert_eq!(
        page.ask("POST", "/api/start/demo", demo).await.0,
        StatusCode::UNPROCESSABLE_ENTITY
    );
    // A link that stands there already leads out, and is not taken.
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink(std::env::temp_dir(), page.here.join("link")).expect("a link");
        let linked = json!({ "demo": "one-bend", "name": "link" });
        assert_eq!(
            page.ask("POST", "/api/start/demo", linked).await.0,
            StatusCode::UNPROCESSABLE_ENTITY
        );
        fs::remove_file(page.here.join("link")).expect("just made");
    }
    assert!(names(&page.here).is_empty());
    let long = json!({ "design": "#".repeat(300_000) });
    assert_eq!(
        page.ask("POST", "/api/start/check", long).await.0,
        StatusCode::PAYLOAD_TOO_LARGE
    );
    let (status, ..) = page
        .send(
            "POST",
            "/api/start/demo",
            json!({ "demo": "one-bend", "name": "job" }),
            "another",
        )
        .await;
    assert_eq!(status, StatusCode::FORBIDDEN);
    for path in ["/api/start", "/api/made", "/api/made/blank.dxf", "/api/job"] {
        assert_eq!(
            page.send("GET", path, Value::Null, "").await.0,
            StatusCode::FORBIDDEN,
            "{path}"
        );
    }
    assert!(names(&page.here).is_empty());
}

#[tokio::test]
async fn the_files_are_those_of_the_verb_and_are_given_by_their_names_alone() {
    let page = Page::with("make", "one-bend").await;
    let (_, job) = page.get("/api/job").await;
    assert_eq!(page.get("/api/made").await.1["files"], json!([]));
    let make = json!({ "paper": "letter", "base": job["stamp"] });
    let (status, made) = page.ask("POST", "/api/make", make.clone()).await;
    assert_eq!(status, StatusCode::OK, "{made}");
    assert_eq!(made["of_this_state"], true);
    let rows = made["files"].as_array().expect("files");
    let listed: Vec<&str> = rows.iter().filter_map(|row| row["name"].as_str()).collect();
    for name in [
        "template.pdf",
        "blank.dxf",
        "folded.step",
        "bend-cards.pdf",
        "summary.json",
    ] {
        assert!(listed.contains(&name), "{name}: {listed:?}");
    }
    assert_eq!(
        names(&page.job().join("out")).len(),
        listed.len(),
        "nothing is written that is not told"
    );
    for row in made["not"].as_array().expect("what was not") {
        assert!(row["why"].as_str().is_some_and(|why| !why.is_empty()), "{row}");
    }
    for name in &listed {
        let (status, heads, bytes) = page
            .send("GET", &format!("/api/made/{name}"), Value::Null, &page.key)
            .await;
        assert_eq!(status, StatusCode::OK, "{name}");
        assert_eq!(
            bytes,
            fs::read(page.job().join("out").join(name)).expect("the file"),
            "{name}"
        );
        let says = heads["content-disposition"].to_str().expect("text");
        assert_eq!(says, format!("attachment; filename=\"{name}\""));
        let kind = heads["content-type"].to_str().expect("text");
        assert_eq!(
            kind == "application/pdf",
            name.ends_with(".pdf"),
            "{name}: {kind}"
        );
    }
    for name in [
        "design.toml",
        "..%2fdesign.toml",
        "..",
        "%2e%2e%2fdesign.toml",
        "other.txt",
        "",
    ] {
        let (status, said) = page.get(&format!("/api/made/{name}")).await;
        assert_eq!(status, StatusCode::NOT_FOUND, "{name}: {said}");
    }
    // A page that is behind makes nothing.
    let design = page.job().join("design.toml");
    let text = fs::read_to_string(&design).expect("the design");
    fs::write(&design, format!("{text}# changed outside\n")).expect("it is written");
    assert_eq!(page.ask("POST", "/api/make", make).await.0, StatusCode::CONFLICT);
    assert_eq!(page.get("/api/made").await.1["of_this_state"], false);
}

#[cfg(unix)]
#[tokio::test]
async fn no_link_in_the_job_leads_files_out_of_it() {
    let page = Page::with("links", "flat-plate").await;
    let outside = page.here.join("outside");
    fs::create_dir_all(&outside).expect("a folder");
    fs::write(outside.join("secret"), "not yours").expect("a file");
    let (_, job) = page.get("/api/job").await;
    let make = json!({ "paper": "a4", "base": job["stamp"] });
    std::os::unix::fs::symlink(&outside, page.job().join("out")).expect("a link");
    let (status, said) = page.ask("POST", "/api/make", make.clone()).await;
    assert_ne!(status, StatusCode::OK, "{said}");
    assert_eq!(names(&outside), ["secret"]);
    fs::remove_file(page.job().join("out")).expect("just made");
    assert_eq!(page.ask("POST", "/api/make", make).await.0, StatusCode::OK);
    let file = page.job().join("out/summary.txt");
    fs::remove_file(&file).expect("just made");
    std::os::unix::fs::symlink(outside.join("secret"), &file).expect("a link");
    assert_eq!(page.get("/api/made/summary.txt").await.0, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn a_revision_is_kept_and_later_changes_are_held_against_it() {
    let page = Page::with("kept", "one-bend").await;
    let (_, job) = page.get("/api/job").await;
    assert_eq!(job["kept"]["since"], Value::Null);
    let next = job["kept"]["next"].as_str().expect("a name").to_owned();
    let keep = json!({ "name": next, "base": job["stamp"] });
    let (status, kept) = page.ask("POST", "/api/revision", keep.clone()).await;
    assert_eq!(status, StatusCode::OK, "{kept}");
    let kept = page.proven(kept).await;
    assert_eq!(kept["kept"]["revision"], json!(next));
    assert_ne!(kept["kept"]["next"], json!(next));
    for row in kept["kept"]["since"]["rows"].as_array().expect("rows") {
        assert_eq!(row["same"], true, "{row}");
    }
    // Thicker plate: heavier, and told against the revision, also after the page is opened anew.
    let act = json!({
        "file": "design",
        "acts": [{ "act": "set", "at": ["plate", "stock"], "to": "A36 5 mm" }],
        "base": kept["stamp"],
    });
    let (status, done) = page.ask("POST", "/api/act", act).await;
    assert_eq!(status, StatusCode::OK, "{done}");
    assert_eq!(
        done["kept"]["since"],
        Value::Null,
        "a proof that is still to come is no change"
    );
    let done = page.proven(done).await;
    let rows = done["kept"]["since"]["rows"].as_array().expect("rows").clone();
    let mass = rows.iter().find(|row| row["what"] == "mass").expect("the mass");
    assert!(
        mass["says"]
            .as_str()
            .is_some_and(|says| says.starts_with("It is heavier by")),
        "{mass}"
    );
    let place = Place::open(Some(&page.job()), &page.here, None).unwrap_or_else(|error| panic!("{error}"));
    let again = Page::at(PathBuf::from("/nonexistent"), place);
    let (_, job) = again.get("/api/job").await;
    let job = again.proven(job).await;
    assert_eq!(job["kept"]["since"]["rows"], json!(rows));
    // A page that is behind keeps nothing, and a name is a name.
    assert_eq!(
        page.ask("POST", "/api/revision", keep).await.0,
        StatusCode::CONFLICT
    );
    for name in ["", "  ", "a\nb", "a name that is far too long for a title block"] {
        let (status, _) = page
            .ask(
                "POST",
                "/api/revision",
                json!({ "name": name, "base": done["stamp"] }),
            )
            .await;
        assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY, "{name:?}");
    }
}
