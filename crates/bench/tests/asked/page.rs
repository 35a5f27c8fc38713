//! A page that asks the routes without a socket, on a copy of a demo job.

use std::fs;
use std::net::SocketAddr;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use axum::Router;
use axum::body::Body;
use axum::http::{Request, StatusCode};
use bench::guard::Guard;
use bench::{Desk, Key, Place, routes};
use http_body_util::BodyExt as _;
use serde_json::{Value, json};
use tower::ServiceExt as _;

pub struct Page {
    pub root: PathBuf,
    pub router: Router,
    pub key: String,
}

pub const HOST: &str = "127.0.0.1:4173";

impl Page {
    pub fn open(name: &str) -> Page {
        let root = std::env::temp_dir().join(format!("gusset-bench-{}-{name}", std::process::id()));
        let _ = fs::remove_dir_all(&root);
        fs::create_dir_all(root.join("fits")).expect("a temporary folder");
        let from = Path::new("../../examples/one-bend");
        for file in ["design.toml", "shop.toml", "fits/own.toml"] {
            fs::copy(from.join(file), root.join(file)).unwrap_or_else(|error| panic!("{file}: {error}"));
        }
        let desk = Desk::open(&root, None).unwrap_or_else(|error| panic!("{error}"));
        let key = Key::random().expect("random bytes");
        let at: SocketAddr = HOST.parse().expect("an address");
        let text = key.text().to_owned();
        Page {
            root,
            router: routes(Arc::new(Place::with(desk)), Guard { key, at }),
            key: text,
        }
    }

    pub fn request(&self, method: &str, path: &str) -> axum::http::request::Builder {
        Request::builder()
            .method(method)
            .uri(path)
            .header("host", HOST)
            .header("content-type", "application/json")
            .header("x-gusset-key", &self.key)
    }

    pub async fn send(&self, request: Request<Body>) -> (StatusCode, Value) {
        let response = self.router.clone().oneshot(request).await.expect("an answer");
        let status = response.status();
        for head in [
            "content-security-policy",
            "x-content-type-options",
            "referrer-policy",
        ] {
            assert!(response.headers().contains_key(head), "{head}");
        }
        let bytes = response.into_body().collect().await.expect("a body").to_bytes();
        let said = serde_json::from_slice(&bytes)
            .unwrap_or_else(|_| Value::String(String::from_utf8_lossy(&bytes).into_owned()));
        (status, said)
    }

    pub async fn ask(&self, method: &str, path: &str, body: Value) -> (StatusCode, Value) {
        let request = self
            .request(method, path)
            .body(if body.is_null() {
                Body::empty()
            } else {
                Body::from(body.to_string())
            })
            .expect("a request");
        self.send(request).await
    }

    pub async fn get(&self, path: &str) -> (StatusCode, Value) {
        self.ask("GET", path, Value::Null).await
    }

    pub fn design(&self) -> String {
        fs::read_to_string(self.root.join("design.toml")).expect("a design")
    }
}

impl Drop for Page {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.root);
    }
}

/// The act that gives the design a title.
pub fn title(to: &str, base: &Value) -> Value {
    json!({ "file": "design", "acts": [{ "act": "set", "at": ["title"], "to": to }], "says": format!("title {to}"), "base": base })
}
