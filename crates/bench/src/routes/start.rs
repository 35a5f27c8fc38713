//! A job that is not there yet: the questions, the demo jobs, a shared design; and where it is written.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use axum::extract::{Request, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum::routing::{any, get, post};
use axum::{Json, Router};
use job::{Answers, Asking, Beginning, DEMOS, Next, SharedError, StartError};
use serde::Deserialize;
use serde_json::{Value, json};
use tower::ServiceExt as _;

use super::{Asked, beside, body};
use crate::asked::NotDone;
use crate::place::{NoPlace, Place, Where};

/// What is asked before there is a job; everything else is for the job, once there is one.
pub(super) fn routes() -> Router<Arc<Place>> {
    Router::new()
        .route("/api/start", get(start))
        .route("/api/start/questions", post(questions))
        .route("/api/start/understood", post(understood))
        .route("/api/start/check", post(check))
        .route("/api/start/nothing", post(from_nothing))
        .route("/api/start/demo", post(from_demo))
        .route("/api/start/shared", post(from_shared))
        .route("/api/{*rest}", any(of_the_job))
}

async fn of_the_job(State(place): State<Arc<Place>>, mut request: Request) -> Response {
    // What this route took from the path is not the job's: its own routes take their names from it.
    request.extensions_mut().clear();
    match place.router() {
        Some(router) => match router.oneshot(request).await {
            Ok(answer) => answer,
            Err(never) => match never {},
        },
        None => NotDone::new(StatusCode::NOT_FOUND, "there is no job here yet; start one").into_response(),
    }
}

async fn start(State(place): State<Arc<Place>>) -> Json<Value> {
    let demos = DEMOS.iter().filter_map(|(name, files)| {
        let (_, text) = files.iter().find(|(path, _)| *path == "design.toml")?;
        let design = job::shared_design(text).ok()?;
        Some(json!({ "name": name, "title": design.title.value, "about": design.about.map(|about| about.value) }))
    });
    let (path, named) = match &place.to {
        Where::Folder(folder) => (folder, false),
        Where::Below(here) => (here, true),
    };
    let shown = std::path::absolute(path).unwrap_or_else(|_| path.clone());
    let shown = shown.display();
    let says = if named {
        format!("It is written into a new folder in {shown}, by the name that you type here.")
    } else {
        format!("It is written into {shown}.")
    };
    Json(json!({
        "open": place.desk().is_some(),
        "named": named,
        "says": says,
        "demos": demos.collect::<Vec<_>>(),
        "care": job::care_questions(),
    }))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SoFar {
    from: Beginning,
    answers: Answers,
    /// The text of the shared design.
    #[serde(default)]
    design: Option<String>,
}

async fn questions(asked: Asked<SoFar>) -> Result<Json<Value>, NotDone> {
    let SoFar {
        from,
        answers,
        design,
    } = body(asked)?;
    let design = design.as_deref().map(job::shared_design).transpose()?;
    Ok(Json(told(job::asking(from, &answers, design.as_ref()))))
}

pub(super) fn told(asking: Asking) -> Value {
    let mut told = json!({ "answered": asking.answered });
    match asking.next {
        Next::Question(question) => told["next"] = json!(question),
        Next::NotUnderstood { question, says } => {
            told["next"] = json!(question);
            told["not_understood"] = json!(says);
        }
        Next::Refused(refusal) => told["refused"] = json!({ "why": refusal.why, "ask": refusal.ask }),
        Next::Done => told["done"] = json!(true),
    }
    told
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Typing {
    answers: Answers,
    key: String,
    text: String,
}

async fn understood(asked: Asked<Typing>) -> Result<Json<Value>, NotDone> {
    let Typing { answers, key, text } = body(asked)?;
    Ok(Json(match job::understood_answer(&answers, &key, &text) {
        Ok(Some(says)) => json!({ "understood": says }),
        Ok(None) => json!({}),
        Err(says) => json!({ "not_understood": says }),
    }))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Text {
    design: String,
}

/// Whether a text is a design that a job can be started from.
async fn check(asked: Asked<Text>) -> Result<Json<Value>, NotDone> {
    let design = job::shared_design(&body(asked)?.design)?;
    Ok(Json(json!({
        "title": design.title.value,
        "about": design.about.map(|about| about.value),
        "stock": design.plate.stock.text.value,
    })))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct OfAnswers {
    answers: Answers,
    #[serde(default)]
    name: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct OfDemo {
    demo: String,
    #[serde(default)]
    name: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct OfDesign {
    design: String,
    answers: Answers,
    #[serde(default)]
    name: Option<String>,
}

async fn from_nothing(
    State(place): State<Arc<Place>>,
    asked: Asked<OfAnswers>,
) -> Result<Json<Value>, NotDone> {
    let OfAnswers { answers, name } = body(asked)?;
    let asked = job::asked_from(&answers).ok_or_else(|| unfinished(Beginning::Nothing, &answers, None))?;
    started(place, name, move |folder| {
        Ok(job::start_from_answers(folder, &asked)?)
    })
    .await
}

async fn from_demo(State(place): State<Arc<Place>>, asked: Asked<OfDemo>) -> Result<Json<Value>, NotDone> {
    let OfDemo { demo, name } = body(asked)?;
    started(place, name, move |folder| {
        Ok(job::start_from_demo(folder, &demo)?)
    })
    .await
}

async fn from_shared(
    State(place): State<Arc<Place>>,
    asked: Asked<OfDesign>,
) -> Result<Json<Value>, NotDone> {
    let OfDesign {
        design,
        answers,
        name,
    } = body(asked)?;
    let read = job::shared_design(&design)?;
    let care = job::care_from(&answers, &read)
        .ok_or_else(|| unfinished(Beginning::SharedDesign, &answers, Some(&design)))?;
    started(place, name, move |folder| {
        Ok(job::start_from_shared(folder, &design, &care)?)
    })
    .await
}

/// Why answers make no job yet.
pub(super) fn unfinished(from: Beginning, answers: &Answers, design: Option<&str>) -> NotDone {
    let design = design.and_then(|text| job::shared_design(text).ok());
    let says = match job::asking(from, answers, design.as_ref()).next {
        Next::Refused(refusal) => format!(
            "Gusset does not help with this part: {}. Ask {}. Nothing was written",
            refusal.why, refusal.ask
        ),
        Next::NotUnderstood { question, says } => format!("{} {says}", question.asks),
        Next::Question(question) => format!("still to be answered: {}", question.asks),
        Next::Done => "the answers are not all there".into(),
    };
    NotDone::new(StatusCode::UNPROCESSABLE_ENTITY, says)
}

/// Writes a job where it belongs, and opens it.
async fn started(
    place: Arc<Place>,
    name: Option<String>,
    write: impl FnOnce(&Path) -> Result<Vec<PathBuf>, NotDone> + Send + 'static,
) -> Result<Json<Value>, NotDone> {
    beside(place, move |place| {
        let _one = place.starting();
        if place.desk().is_some() {
            return Err(NotDone::new(
                StatusCode::CONFLICT,
                "a job was started here meanwhile, and is left as it is; load the page again",
            ));
        }
        let folder = place.to.folder(name.as_deref())?;
        let is_new = std::fs::symlink_metadata(&folder).is_err();
        let written = write(&folder)?;
        if let Err(error) = place.started(&folder) {
            // Else its own files would be in the way of the next try.
            job::take_start_back(&folder, &written, is_new);
            return Err(error.into());
        }
        Ok(Json(json!({ "written": written })))
    })
    .await
}

impl From<NoPlace> for NotDone {
    fn from(error: NoPlace) -> NotDone {
        NotDone::new(StatusCode::UNPROCESSABLE_ENTITY, error.to_string())
    }
}

impl From<StartError> for NotDone {
    fn from(error: StartError) -> NotDone {
        let status = match &error {
            StartError::Occupied(_) => StatusCode::CONFLICT,
            StartError::NoDemo { .. } => StatusCode::UNPROCESSABLE_ENTITY,
            StartError::Write(_) => StatusCode::INTERNAL_SERVER_ERROR,
        };
        NotDone::new(status, error.to_string())
    }
}

impl From<SharedError> for NotDone {
    fn from(error: SharedError) -> NotDone {
        let says = error.to_string();
        match error {
            SharedError::Wrong { wrongs, source_text } => NotDone::wrong(says, &wrongs, &source_text),
            SharedError::Refused(_) => NotDone::new(StatusCode::UNPROCESSABLE_ENTITY, says),
            SharedError::Start(error) => error.into(),
        }
    }
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;

    #[tokio::test]
    async fn a_start_that_cannot_be_opened_is_taken_back_and_can_be_asked_for_again() {
        let here = std::env::temp_dir().join(format!("gusset-again-{}", std::process::id()));
        fs::create_dir_all(&here).expect("a temporary folder");
        let place = Arc::new(Place::open(None, &here, None).expect("an empty place"));
        let write = |design: &'static [u8]| {
            move |folder: &Path| {
                let written = vec![folder.join("design.toml")];
                fs::create_dir_all(folder).expect("a folder");
                fs::write(&written[0], design).expect("a design");
                Ok(written)
            }
        };
        let name = || Some("hook".to_owned());
        // No text at all.
        let failed = started(place.clone(), name(), write(&[0xff])).await;
        assert!(failed.is_err());
        assert!(!here.join("hook").exists(), "nothing is left of it");
        let begun = started(place.clone(), name(), write(b"gusset = 1\n")).await;
        assert!(begun.is_ok(), "{:?}", begun.err());
        assert!(place.desk().is_some());
        fs::remove_dir_all(here).expect("just made");
    }
}
