//! What the files may hold: every key, and what it takes.

use std::sync::{Arc, OnceLock};

use axum::routing::get;
use axum::{Json, Router};
use serde_json::Value;

use crate::desk::Desk;

pub(super) fn routes() -> Router<Arc<Desk>> {
    Router::new().route("/api/keys", get(keys))
}

async fn keys() -> Json<&'static Value> {
    static KEYS: OnceLock<Value> = OnceLock::new();
    Json(KEYS.get_or_init(job::files::keys::keys_json))
}
