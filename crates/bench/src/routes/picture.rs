//! The drawings of the job, as they are printed.

use std::sync::Arc;

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::routing::get;
use axum::{Json, Router};
use job::{MakeError, Picture};
use serde_json::{Value, json};

use super::beside;
use crate::asked::NotDone;
use crate::desk::Desk;

pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new().route("/api/picture/{name}", get(picture))
}

async fn picture(State(desk): State<Arc<Desk>>, Path(name): Path<String>) -> Result<Json<Value>, NotDone> {
    let what = match name.as_str() {
        "mark-out" => Picture::MarkOut,
        "blank" => Picture::Blank,
        "folded" => Picture::Folded,
        "stress" => Picture::Stress,
        "cut-sheet" => Picture::CutSheet,
        "bend-cards" => Picture::BendCards,
        _ => {
            return Err(NotDone::new(
                StatusCode::NOT_FOUND,
                "there is no such drawing; there are mark-out, blank, folded, stress, cut-sheet and bend-cards",
            ));
        }
    };
    let pages = beside(desk, move |desk| {
        let failed = |error: MakeError| NotDone::new(StatusCode::INTERNAL_SERVER_ERROR, error.to_string());
        desk.picture(what)?.map_err(failed)
    })
    .await?;
    Ok(Json(json!({ "pages": pages })))
}
