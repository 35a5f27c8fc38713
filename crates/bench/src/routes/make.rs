//! The files of the job: written into its folder out/ as `gusset make` writes them, and given out again.

use std::fs;
use std::io::Read as _;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use axum::extract::{Path as Named, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use axum::{Json, Router};
use job::revise::{ReviseError, Stamp};
use job::{MADE_FILES, MakeOptions};
use serde::Deserialize;
use serde_json::{Value, json};

use super::{Asked, beside, body};
use crate::asked::NotDone;
use crate::desk::Desk;

/// A file of a job is some megabytes; what is longer is something else.
const LONGEST_FILE_BYTES: u64 = 64 << 20;

pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new()
        .route("/api/make", post(make))
        .route("/api/made", get(made))
        .route("/api/made/{name}", get(one))
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "lowercase")]
enum Paper {
    A4,
    Letter,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Make {
    paper: Paper,
    base: Stamp,
}

async fn make(State(desk): State<Arc<Desk>>, asked: Asked<Make>) -> Result<Json<Value>, NotDone> {
    let Make { paper, base } = body(asked)?;
    beside(desk, move |desk| {
        // Held until all is written: two at once would mix their files.
        let mut last = desk.made();
        let not = desk.worked(&base, |folder, outcome| {
            let out = out_of(&folder.root)?;
            let options = MakeOptions {
                letter: paper == Paper::Letter,
                ..MakeOptions::default()
            };
            // What is half made is of no state.
            *last = None;
            let made = job::make(outcome, &out, &options).map_err(|error| {
                NotDone::new(
                    StatusCode::INTERNAL_SERVER_ERROR,
                    format!("{error}. Files written before it stay in {}", out.display()),
                )
            })?;
            Ok(job::not_made(outcome, &made))
        })?;
        *last = Some(base.clone());
        drop(last);
        let mut told = listed(desk, &base)?;
        told["not"] = json!(not);
        Ok(Json(told))
    })
    .await
}

async fn made(State(desk): State<Arc<Desk>>) -> Result<Json<Value>, NotDone> {
    beside(desk, |desk| {
        let stamp = {
            let mut job = desk.job();
            job.look()?;
            job.stamp()
        };
        Ok(Json(listed(desk, &stamp)?))
    })
    .await
}

/// The files that are there, and whether they are of these texts.
fn listed(desk: &Desk, stamp: &Stamp) -> Result<Value, NotDone> {
    let root = desk.job().folder().root.clone();
    let out = out_of(&root)?;
    let rows = MADE_FILES.iter().filter_map(|file| {
        let bytes = plain_file(&out.join(file.name))?;
        Some(json!({ "name": file.name, "is_for": file.is_for, "size": size_words(bytes) }))
    });
    let rows: Vec<Value> = rows.collect();
    Ok(json!({
        "folder": out.display().to_string(),
        "files": rows,
        "of_this_state": desk.made().as_ref() == Some(stamp),
    }))
}

async fn one(State(desk): State<Arc<Desk>>, Named(name): Named<String>) -> Result<Response, NotDone> {
    let nothing = || {
        NotDone::new(
            StatusCode::NOT_FOUND,
            "there is no such file; make the files first",
        )
    };
    // The name is one of the list, so that no path is ever made of what was asked.
    let file = job::made_file(&name).ok_or_else(nothing)?;
    let bytes = beside(desk, move |desk| {
        let path = out_of(&desk.job().folder().root)?.join(file.name);
        let long = plain_file(&path).ok_or_else(nothing)?;
        if long > LONGEST_FILE_BYTES {
            return Err(NotDone::new(
                StatusCode::UNPROCESSABLE_ENTITY,
                "this file is none of ours: it is too long",
            ));
        }
        let mut bytes = Vec::new();
        fs::File::open(&path)
            .and_then(|file| file.take(LONGEST_FILE_BYTES).read_to_end(&mut bytes))
            .map_err(|error| NotDone::new(StatusCode::INTERNAL_SERVER_ERROR, error.to_string()))?;
        Ok(bytes)
    })
    .await?;
    let heads = [
        (header::CONTENT_TYPE, file.kind.to_owned()),
        (
            header::CONTENT_DISPOSITION,
            format!("attachment; filename=\"{}\"", file.name),
        ),
    ];
    Ok((heads, bytes).into_response())
}

/// The folder for files. A link would lead out of the job, and is not followed.
fn out_of(root: &Path) -> Result<PathBuf, NotDone> {
    let out = root.join("out");
    match fs::symlink_metadata(&out) {
        Ok(told) if !told.is_dir() => Err(ReviseError::from(job::WriteError {
            path: out,
            cause: std::io::Error::other("it is a link or a file, where a folder should be; take it away"),
        })
        .into()),
        _ => Ok(out),
    }
}

/// Bytes of a file that is no link; none where there is none.
fn plain_file(path: &Path) -> Option<u64> {
    let told = fs::symlink_metadata(path).ok()?;
    told.is_file().then_some(told.len())
}

/// "12 kB"
fn size_words(bytes: u64) -> String {
    const KILO: u64 = 1000;
    const MEGA: u64 = KILO * KILO;
    match bytes {
        0..KILO => format!("{bytes} bytes"),
        KILO..MEGA => format!("{} kB", bytes.div_ceil(KILO)),
        _ => format!("{:.1} MB", bytes as f64 / MEGA as f64),
    }
}
