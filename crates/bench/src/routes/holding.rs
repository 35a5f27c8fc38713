//! What the part carries: the kinds of load with their usual sizes, the part under its loads, and what would help.

use std::sync::Arc;

use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::routing::get;
use axum::{Json, Router};
use job::Stop;
use job::files::model::LoadKind;
use serde::Deserialize;
use serde_json::{Value, json};

use super::beside;
use crate::asked::NotDone;
use crate::desk::Desk;

pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new()
        .route("/api/load-kinds", get(load_kinds))
        .route("/api/load-understood", get(load_understood))
        .route("/api/held", get(held))
        .route("/api/helps", get(helps))
}

async fn load_kinds() -> Json<Value> {
    let kinds = job::kinds_offered().into_iter().map(|kind| {
        json!({
            "kind": kind.kind.word(),
            "says": kind.says,
            "size_key": kind.size_key,
            "way_key": kind.way_key,
            "usual": kind.usual,
            "per_day": kind.per_day,
        })
    });
    Json(json!({ "kinds": kinds.collect::<Vec<Value>>() }))
}

#[derive(Debug, Deserialize)]
struct Typed {
    kind: String,
    text: String,
}

/// What a size is understood as for a load of this kind, or as the height of a fall (`height`).
async fn load_understood(Query(typed): Query<Typed>) -> Result<Json<Value>, NotDone> {
    if typed.kind == "height" {
        return Ok(Json(echo(job::understood_length(&typed.text, false))));
    }
    let Some(kind) = LoadKind::of_word(&typed.kind) else {
        return Err(NotDone::new(
            StatusCode::NOT_FOUND,
            "there is no such kind of load",
        ));
    };
    Ok(Json(echo(job::understood_load(&typed.text, kind))))
}

fn echo(understood: Result<String, String>) -> Value {
    match understood {
        Ok(says) => json!({ "understood": says }),
        Err(says) => json!({ "not_understood": says }),
    }
}

async fn held(State(desk): State<Arc<Desk>>) -> Result<Json<Value>, NotDone> {
    let told = beside(desk, |desk| {
        Ok(desk.with_outcome(|_, outcome| outcome.map(job::held_shape))?)
    })
    .await?;
    match told.flatten() {
        None => Ok(Json(json!({ "held": null }))),
        Some(Ok(held)) => Ok(Json(json!({ "held": held }))),
        Some(Err(error)) => Err(NotDone::new(StatusCode::INTERNAL_SERVER_ERROR, error.to_string())),
    }
}

/// Stops when whoever asked has gone: the request is dropped then, and this with it.
struct Asking(Stop);

impl Drop for Asking {
    fn drop(&mut self) {
        self.0.stop();
    }
}

/// What would help: seconds of work, which ends when nobody waits for it any more, when it is asked anew, and when the job is no
/// longer the one that it was asked of.
async fn helps(State(desk): State<Arc<Desk>>) -> Result<Json<Value>, NotDone> {
    let asking = Asking(Stop::default());
    let stop = asking.0.clone();
    let told = beside(desk, move |desk| Ok(desk.helps(&stop)?)).await;
    drop(asking);
    let helps = told?;
    let said = helps.iter().flat_map(|helps| &helps.changes);
    let said: Vec<Vec<String>> = said.map(job::help_lines).collect();
    Ok(Json(json!({ "helps": helps, "said": said })))
}
