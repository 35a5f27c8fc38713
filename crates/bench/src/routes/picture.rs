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
    let what = Picture::named(&name).ok_or_else(|| {
        let names = Picture::ALL.map(Picture::name).join(", ");
        NotDone::new(
            StatusCode::NOT_FOUND,
            format!("there is no such drawing; there are {names}"),
        )
    })?;
    let pages = beside(desk, move |desk| {
        let failed = |error: MakeError| NotDone::new(StatusCode::INTERNAL_SERVER_ERROR, error.to_string());
        desk.picture(what)?.map_err(failed)
    })
    .await?;
    Ok(Json(json!({ "pages": pages })))
}
