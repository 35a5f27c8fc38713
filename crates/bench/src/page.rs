//! The page and what belongs to it, as it was built into the program.

use axum::extract::Path;
use axum::http::{StatusCode, header};
use axum::response::{Html, IntoResponse, Response};

/// A file of the page: its name, its kind, its bytes.
type Asset = (&'static str, &'static str, &'static [u8]);

include!(concat!(env!("OUT_DIR"), "/assets.rs"));

/// What is shown when the page was not built.
const NOT_BUILT: &str = "<!doctype html><html lang=\"en\"><meta charset=\"utf-8\"><title>Gusset</title>\
<h1>The page is not built in</h1><p>This program was built on a machine without Node. Install Node 20.19, or 22.12 or later, \
with npm, and build again: <code>cargo build --release</code>. Everything else of Gusset runs without it.</p></html>";

const INDEX: &str = "index.html";

/// Whether the page is built in; where it is not, Node was not there when the program was built.
pub fn page_is_built() -> bool {
    ASSETS.iter().any(|(name, ..)| *name == INDEX)
}

pub(crate) async fn index() -> Response {
    if page_is_built() {
        given(INDEX)
    } else {
        Html(NOT_BUILT).into_response()
    }
}

pub(crate) async fn asset(Path(name): Path<String>) -> Response {
    given(&name)
}

fn given(name: &str) -> Response {
    match ASSETS.iter().find(|(own, ..)| *own == name) {
        Some((_, kind, bytes)) => ([(header::CONTENT_TYPE, *kind)], *bytes).into_response(),
        None => (StatusCode::NOT_FOUND, "there is nothing by this name").into_response(),
    }
}
