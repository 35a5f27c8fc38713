//! What is measured: every value with what the others say of it, and a text as it is typed held against them.

use std::sync::Arc;

use axum::extract::State;
use axum::http::StatusCode;
use axum::routing::{get, post};
use axum::{Json, Router};
use job::revise::Step;
use job::{MeasureFile, Measuring, SlipAsked, SlipTried};
use serde::Deserialize;

use super::{Asked, beside, body};
use crate::asked::{File, NotDone};
use crate::desk::Desk;

pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new()
        .route("/api/measure", get(measure))
        .route("/api/measure/slip", post(slip))
}

async fn measure(State(desk): State<Arc<Desk>>) -> Result<Json<Measuring>, NotDone> {
    beside(desk, |desk| Ok(Json(desk.with_first(job::measuring)?))).await
}

/// Something typed for a reading: at its place in a file, or between two points where it is not in the file yet.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
struct Typed {
    file: File,
    #[serde(default)]
    way: Vec<Step>,
    #[serde(default)]
    between: Option<[String; 2]>,
    text: String,
}

async fn slip(State(desk): State<Arc<Desk>>, asked: Asked<Typed>) -> Result<Json<SlipTried>, NotDone> {
    let typed = body(asked)?;
    let file = match typed.file {
        File::Design => MeasureFile::Design,
        File::Fit => MeasureFile::Fit,
        File::Shop => {
            return Err(NotDone::new(
                StatusCode::UNPROCESSABLE_ENTITY,
                "shop.toml holds no readings; they are in design.toml and in the fit",
            ));
        }
    };
    let asked = SlipAsked {
        file,
        way: typed.way,
        between: typed.between,
        text: typed.text,
    };
    beside(desk, move |desk| {
        Ok(Json(desk.with_first(|folder, outcome| {
            job::slip(folder, outcome, &asked)
        })?))
    })
    .await
}
