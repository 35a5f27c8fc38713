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
use crate::asked::{InSight, NotDone};
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
        // Answers of a job that cannot be worked out are none to hold anything against. A name changes none of them: they are
        // taken before it is given, and nothing that comes between parts the two.
        let kept = desk.worked(&base, |_, outcome| Ok(Kept::of(name.trim(), &outcome.summary)))?;
        let done = {
            let mut job = desk.job();
            let done = job.name_revision(&name, &base)?;
            let remembered = job.remember(&kept).map_err(job::revise::ReviseError::from);
            remembered
                .map(|()| done.clone())
                .map_err(|failed| NotDone::after(&done, &failed.into()))?
        };
        let state = desk.state(&InSight::default()).map_err(NotDone::from);
        state.map(Json).map_err(|failed| NotDone::after(&done, &failed))
    })
    .await
}
