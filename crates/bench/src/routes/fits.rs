//! The fits of the job: another one opened, another one begun, with its questions.

use std::sync::Arc;

use axum::extract::{Query, State};
use axum::routing::post;
use axum::{Json, Router};
use job::revise::Stamp;
use job::{Answers, Beginning};
use serde::Deserialize;
use serde_json::Value;

use super::start::{told, unfinished};
use super::{Asked, beside, body, revised};
use crate::asked::{InSight, NotDone};
use crate::desk::Desk;

pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new()
        .route("/api/fit/questions", post(questions))
        .route("/api/fit/begin", post(begin))
        .route("/api/fit/open", post(open))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SoFar {
    answers: Answers,
    /// Like the fit that is open, rather than empty.
    like: bool,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Begin {
    answers: Answers,
    like: bool,
    base: Stamp,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Open {
    name: String,
    base: Stamp,
}

fn from(like: bool) -> Beginning {
    if like {
        Beginning::FitLike
    } else {
        Beginning::EmptyFit
    }
}

/// The text of the design on the desk.
fn design_on(desk: &Desk) -> String {
    desk.job().folder().design.text.clone()
}

async fn questions(State(desk): State<Arc<Desk>>, asked: Asked<SoFar>) -> Result<Json<Value>, NotDone> {
    let SoFar { answers, like } = body(asked)?;
    beside(desk, move |desk| {
        let design = job::shared_design(&design_on(desk))?;
        Ok(Json(told(job::asking(from(like), &answers, Some(&design)))))
    })
    .await
}

async fn begin(
    State(desk): State<Arc<Desk>>,
    Query(sight): Query<InSight>,
    asked: Asked<Begin>,
) -> Result<Json<Value>, NotDone> {
    let Begin { answers, like, base } = body(asked)?;
    let text = design_on(&desk);
    let design = job::shared_design(&text)?;
    let asked = job::asked_fit_from(from(like), &answers, &design)
        .ok_or_else(|| unfinished(from(like), &answers, Some(&text)))?;
    revised(desk, sight, move |desk| desk.job().begin_fit(&asked, like, &base)).await
}

async fn open(
    State(desk): State<Arc<Desk>>,
    Query(sight): Query<InSight>,
    asked: Asked<Open>,
) -> Result<Json<Value>, NotDone> {
    let Open { name, base } = body(asked)?;
    revised(desk, sight, move |desk| desk.job().open_fit(&name, &base)).await
}
