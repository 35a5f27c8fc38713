//! The part while it is folded: its pieces with where they stand, and the same as a drawing from one side.

use std::sync::Arc;

use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::routing::get;
use axum::{Json, Router};
use job::View;
use serde::Deserialize;
use serde_json::{Value, json};

use super::beside;
use crate::asked::NotDone;
use crate::desk::Desk;

pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new()
        .route("/api/folding", get(folding))
        .route("/api/picture/folding", get(picture))
}

async fn folding(State(desk): State<Arc<Desk>>) -> Result<Json<Value>, NotDone> {
    let told = beside(desk, |desk| {
        Ok(desk.with_first(|_, outcome| outcome.map(job::folding))?)
    })
    .await?;
    match told {
        None => Ok(Json(json!({ "folding": null }))),
        Some(Ok(folding)) => Ok(Json(json!({ "folding": folding }))),
        Some(Err(error)) => Err(NotDone::new(StatusCode::INTERNAL_SERVER_ERROR, error.to_string())),
    }
}

#[derive(Debug, Deserialize)]
struct At {
    /// 0 is flat; steps count from 1.
    step: usize,
    #[serde(default = "whole")]
    share: f64,
    view: String,
}

fn whole() -> f64 {
    1.0
}

async fn picture(State(desk): State<Arc<Desk>>, Query(at): Query<At>) -> Result<Json<Value>, NotDone> {
    let Some(view) = View::of_word(&at.view) else {
        let views: Vec<&str> = View::ALL.iter().map(|view| view.word()).collect();
        return Err(NotDone::new(
            StatusCode::NOT_FOUND,
            format!("there is no such view; there are {}", views.join(", ")),
        ));
    };
    let drawn = beside(desk, move |desk| {
        Ok(desk.with_first(|_, outcome| {
            outcome.map(|outcome| job::folding_picture(outcome, at.step, at.share, view))
        })?)
    })
    .await?;
    Ok(Json(
        json!({ "pages": drawn.into_iter().collect::<Vec<String>>() }),
    ))
}
