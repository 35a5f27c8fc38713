//! What can be asked, and where.

mod fits;
mod folding;
mod holding;
mod keys;
mod make;
mod measure;
mod picture;
mod revision;
mod start;

use std::sync::Arc;
use std::time::Duration;

use axum::extract::rejection::JsonRejection;
use axum::extract::{DefaultBodyLimit, Query, State};
use axum::http::StatusCode;
use axum::routing::{get, post};
use axum::{Json, Router, middleware};
use job::revise::{Done, ReviseError, Stamp};
use serde::Deserialize;
use serde_json::{Value, json};

use crate::asked::{Acts, Back, InSight, NotDone, Try, Typed, Upto};
use crate::desk::{Desk, Tried};
use crate::guard::{Guard, own_address, with_key};
use crate::page;
use crate::place::Place;

/// No act is longer than this, bytes: a whole design is some thousand.
const MOST_BODY: usize = 256 * 1024;
/// How often the files are looked at while a page waits for a change, and how long it waits at most.
const LOOK_EVERY: Duration = Duration::from_millis(250);
const LOOKS: usize = 80;

/// Everything that can be asked at a place: of its job, or how one is started there.
pub fn routes(place: Arc<Place>, guard: Guard) -> Router {
    let asked = start::routes()
        .layer(DefaultBodyLimit::max(MOST_BODY))
        .route_layer(middleware::from_fn_with_state(guard.clone(), with_key))
        .with_state(place);
    Router::new()
        .route("/", get(page::index))
        .route("/{name}", get(page::asset))
        .merge(asked)
        .layer(middleware::from_fn_with_state(guard, own_address))
}

/// What can be asked of a job on the desk, by whoever may ask.
pub(crate) fn of_job(desk: Arc<Desk>) -> Router {
    // Each subject has its own file, with the routes of it.
    Router::new()
        .route("/api/job", get(job))
        .route("/api/changed", get(changed))
        .route("/api/understood", post(understood))
        .route("/api/ahead", post(ahead))
        .route("/api/try", post(tried))
        .route("/api/act", post(act))
        .route("/api/undo", post(undo))
        .route("/api/redo", post(redo))
        .merge(fits::routes())
        .merge(folding::routes())
        .merge(holding::routes())
        .merge(keys::routes())
        .merge(measure::routes())
        .merge(make::routes())
        .merge(picture::routes())
        .merge(revision::routes())
        .layer(DefaultBodyLimit::max(MOST_BODY))
        .with_state(desk)
}

type Asked<T> = Result<Json<T>, JsonRejection>;

fn body<T>(asked: Asked<T>) -> Result<T, NotDone> {
    match asked {
        Ok(Json(asked)) => Ok(asked),
        Err(rejected) => Err(NotDone::new(rejected.status(), rejected.body_text())),
    }
}

/// Does what takes long beside the server, so that it goes on answering.
async fn beside<T: Send + 'static, Of: Send + Sync + 'static>(
    of: Arc<Of>,
    work: impl FnOnce(&Of) -> Result<T, NotDone> + Send + 'static,
) -> Result<T, NotDone> {
    let done = tokio::task::spawn_blocking(move || work(&of)).await;
    done.unwrap_or_else(|error| {
        Err(NotDone::new(
            StatusCode::INTERNAL_SERVER_ERROR,
            // How far it came is not known here.
            format!("this is our fault: {error}. Look at the job as it is now before you do anything again"),
        ))
    })
}

async fn job(State(desk): State<Arc<Desk>>, Query(sight): Query<InSight>) -> Result<Json<Value>, NotDone> {
    beside(desk, move |desk| Ok(Json(desk.state(&sight)?))).await
}

#[derive(Deserialize)]
struct Since {
    stamp: Stamp,
    /// How many proofs had come; not looked at where it is not said.
    worked: Option<u64>,
}

/// Answers when the files are no longer those of the stamp, when their proof has come, or after a while.
async fn changed(State(desk): State<Arc<Desk>>, Query(since): Query<Since>) -> Result<Json<Value>, NotDone> {
    let mut news = desk.news();
    let mut looks = 0;
    loop {
        news.mark_unchanged();
        let (stamp, worked) = beside(desk.clone(), |desk| Ok(desk.looked()?)).await?;
        let changed = stamp != since.stamp || since.worked.is_some_and(|then| then != worked);
        looks += 1;
        if changed || looks == LOOKS {
            return Ok(Json(
                json!({ "stamp": stamp, "worked": worked, "changed": changed }),
            ));
        }
        // Whichever is first: news, or the time to look at the files again.
        let _ = tokio::time::timeout(LOOK_EVERY, news.changed()).await;
    }
}

async fn understood(State(desk): State<Arc<Desk>>, asked: Asked<Typed>) -> Result<Json<Value>, NotDone> {
    let typed = body(asked)?;
    let echo = job::understood_at(desk.job().folder(), typed.file.into(), &typed.way, &typed.text);
    Ok(Json(match echo {
        Some(Ok(says)) => json!({ "understood": says }),
        Some(Err(says)) => json!({ "not_understood": says }),
        None => json!({}),
    }))
}

async fn tried(State(desk): State<Arc<Desk>>, asked: Asked<Try>) -> Result<Json<Value>, NotDone> {
    let asked = body(asked)?;
    beside(desk, move |desk| {
        let with_proof = asked.upto == Upto::Hold;
        match desk.tried(asked.file.into(), &asked.acts, &asked.base, with_proof)? {
            Tried::To(said) => Ok(Json(said)),
            Tried::NotWanted => Err(NotDone::new(
                StatusCode::GONE,
                "something newer was asked before this came to anything",
            )),
        }
    })
    .await
}

/// Answers with the job as it will be told once the acts are done; with nothing where they come to nothing that is new.
async fn ahead(
    State(desk): State<Arc<Desk>>,
    Query(sight): Query<InSight>,
    asked: Asked<Try>,
) -> Result<Json<Value>, NotDone> {
    let asked = body(asked)?;
    beside(desk, move |desk| {
        let coming = desk.ahead(&asked, &sight)?;
        Ok(Json(json!({ "job": coming })))
    })
    .await
}

async fn act(
    State(desk): State<Arc<Desk>>,
    Query(sight): Query<InSight>,
    asked: Asked<Acts>,
) -> Result<Json<Value>, NotDone> {
    let asked = body(asked)?;
    revised(desk, sight, move |desk| {
        desk.job()
            .act(asked.file.into(), &asked.acts, &asked.says, &asked.base)
    })
    .await
}

async fn undo(
    State(desk): State<Arc<Desk>>,
    Query(sight): Query<InSight>,
    asked: Asked<Back>,
) -> Result<Json<Value>, NotDone> {
    let asked = body(asked)?;
    revised(desk, sight, move |desk| desk.job().undo(&asked.base)).await
}

async fn redo(
    State(desk): State<Arc<Desk>>,
    Query(sight): Query<InSight>,
    asked: Asked<Back>,
) -> Result<Json<Value>, NotDone> {
    let asked = body(asked)?;
    revised(desk, sight, move |desk| desk.job().redo(&asked.base)).await
}

/// Changes the files, and then tells the job as it is after it, unless that is shown already; where that fails, that the files
/// were changed is told.
async fn revised(
    desk: Arc<Desk>,
    sight: InSight,
    act: impl FnOnce(&Desk) -> Result<Done, ReviseError> + Send + 'static,
) -> Result<Json<Value>, NotDone> {
    let done = beside(desk.clone(), |desk| Ok(act(desk)?)).await?;
    beside(desk, move |desk| Ok(Json(desk.state(&sight)?)))
        .await
        .map_err(|failed| NotDone::after(&done, &failed))
}

#[cfg(test)]
mod tests {
    use std::fs;

    use job::files::model::FileKind;
    use job::revise::{Act, Step};

    use super::*;

    #[tokio::test]
    async fn what_fails_after_an_act_never_says_that_nothing_was_written() {
        let root = std::env::temp_dir().join(format!("gusset-after-{}", std::process::id()));
        fs::create_dir_all(&root).unwrap_or_else(|error| panic!("{error}"));
        fs::write(root.join("design.toml"), "gusset = 1\n").unwrap_or_else(|error| panic!("{error}"));
        let desk = Arc::new(Desk::open(&root, None).unwrap_or_else(|error| panic!("{error}")));
        // The act goes through, and then the job can no longer be read.
        let design = root.join("design.toml");
        let failed = revised(desk.clone(), InSight::default(), move |desk| {
            let mut job = desk.job();
            let base = job.stamp();
            let done = job.act(
                FileKind::Design,
                &[Act::Set {
                    at: vec![Step::Key("title".into())],
                    to: "Hoe".into(),
                }],
                "title Hoe",
                &base,
            )?;
            fs::write(&design, [0xff]).unwrap_or_else(|error| panic!("{error}"));
            Ok(done)
        })
        .await
        .expect_err("it is no text");
        let says = format!("{failed:?}");
        assert!(
            says.contains("was done") && says.contains("is not text"),
            "{says}"
        );
        let failed = beside(desk, |_| -> Result<(), NotDone> { panic!("broke off") })
            .await
            .expect_err("it broke off");
        let says = format!("{failed:?}");
        assert!(
            says.contains("our fault") && !says.contains("Nothing was written"),
            "{says}"
        );
        fs::remove_dir_all(root).unwrap_or_else(|error| panic!("{error}"));
    }
}
