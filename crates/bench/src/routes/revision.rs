//! A state of the job kept as a revision, to hold later changes against.

use std::sync::Arc;

use axum::extract::State;
use axum::routing::post;
use axum::{Json, Router};
use job::Kept;
use job::revise::Stamp;
use serde::Deserialize;
use serde_json::Value;

use super::{Asked, beside, body};
use crate::asked::NotDone;
use crate::desk::Desk;

pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new().route("/api/revision", post(keep))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Keep {
    name: String,
    base: Stamp,
}

async fn keep(State(desk): State<Arc<Desk>>, asked: Asked<Keep>) -> Result<Json<Value>, NotDone> {
    let Keep { name, base } = body(asked)?;
    beside(desk, move |desk| {
        // Answers of a job that cannot be worked out are none to hold anything against.
        desk.worked(&base, |_, _| Ok(()))?;
        let done = desk.job().name_revision(&name, &base)?;
        let remembered = desk.worked(&done.stamp, |_, outcome| {
            let kept = Kept::of(name.trim(), &outcome.summary);
            desk.job()
                .remember(&kept)
                .map_err(|error| NotDone::from(job::revise::ReviseError::from(error)))
        });
        let state = remembered.and_then(|()| Ok(desk.state()?));
        state.map(Json).map_err(|failed| NotDone::after(&done, &failed))
    })
    .await
}
