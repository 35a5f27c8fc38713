//! Who may ask.
//!
//! - The server listens on loopback alone.
//! - The `Host` of a request is the address that was printed. A name that someone else's server points at this machine is
//!   refused, so that no page from elsewhere can read the job by calling it its own.
//! - The `Origin`, where a browser sends one, is the same, and `Sec-Fetch-Site` says nothing else.
//! - Whatever reads or writes the job carries the key that was printed in the address, behind its `#`: browsers send that part
//!   nowhere, so that it stands in no log and in no other page's reach.

use std::fmt;
use std::net::SocketAddr;

use axum::extract::{Request, State};
use axum::http::header::{HOST, ORIGIN};
use axum::http::{HeaderMap, HeaderName, HeaderValue, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

/// Carries the key.
pub const KEY_HEADER: HeaderName = HeaderName::from_static("x-gusset-key");

const BYTES: usize = 24;

/// The key of one run of the server.
#[derive(Clone, PartialEq, Eq)]
pub struct Key(String);

/// The system gave no random bytes.
#[derive(Debug, thiserror::Error)]
#[error("the system gives no random numbers, and without a key nobody may ask: {0}")]
pub struct NoKey(String);

impl Key {
    /// A new one, from the system's own source of random bytes.
    ///
    /// # Errors
    /// [`NoKey`]
    pub fn random() -> Result<Key, NoKey> {
        let mut bytes = [0; BYTES];
        getrandom::fill(&mut bytes).map_err(|error| NoKey(error.to_string()))?;
        Ok(Key(bytes.iter().map(|byte| format!("{byte:02x}")).collect()))
    }

    /// As it stands in the address.
    pub fn text(&self) -> &str {
        &self.0
    }

    /// Whether this is it. It takes as long whatever of it is right.
    fn is(&self, said: &[u8]) -> bool {
        let own = self.0.as_bytes();
        let differs = own
            .iter()
            .zip(said)
            .fold(0, |differs, (own, said)| differs | (own ^ said));
        own.len() == said.len() && differs == 0
    }
}

impl fmt::Debug for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Key(..)")
    }
}

/// What is held to.
#[derive(Debug, Clone)]
pub struct Guard {
    /// The key.
    pub key: Key,
    /// Where the server listens.
    pub at: SocketAddr,
}

/// Why somebody may not ask.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum Refused {
    /// Another name for this machine, or none.
    #[error("this server is asked by its own address alone, as it was printed")]
    Host,
    /// Another page.
    #[error("another page may not ask here")]
    Origin,
    /// No key, or another.
    #[error("the key is missing or of another run; open the address that was printed last")]
    Key,
}

impl IntoResponse for Refused {
    fn into_response(self) -> Response {
        (StatusCode::FORBIDDEN, self.to_string()).into_response()
    }
}

impl Guard {
    /// The names that this server goes by.
    fn names(&self) -> [String; 2] {
        let port = self.at.port();
        [self.at.to_string(), format!("localhost:{port}")]
    }

    fn same_host(&self, headers: &HeaderMap) -> Result<(), Refused> {
        let mut hosts = headers.get_all(HOST).iter();
        let host = hosts.next().and_then(|host| host.to_str().ok());
        let own = host.is_some_and(|host| self.names().iter().any(|name| name.eq_ignore_ascii_case(host)));
        (own && hosts.next().is_none()).then_some(()).ok_or(Refused::Host)
    }

    fn same_origin(&self, headers: &HeaderMap) -> Result<(), Refused> {
        for origin in headers.get_all(ORIGIN) {
            let own = origin.to_str().is_ok_and(|origin| {
                self.names()
                    .iter()
                    .any(|name| origin.eq_ignore_ascii_case(&format!("http://{name}")))
            });
            if !own {
                return Err(Refused::Origin);
            }
        }
        match headers.get("sec-fetch-site").map(HeaderValue::as_bytes) {
            None | Some(b"same-origin" | b"none") => Ok(()),
            Some(_) => Err(Refused::Origin),
        }
    }

    fn has_key(&self, headers: &HeaderMap) -> Result<(), Refused> {
        let said = headers.get(KEY_HEADER).map(HeaderValue::as_bytes);
        let right = said.is_some_and(|said| self.key.is(said));
        right.then_some(()).ok_or(Refused::Key)
    }
}

/// Lets by only what is asked by this server's own address; to the page itself too.
pub(crate) async fn own_address(State(guard): State<Guard>, request: Request, next: Next) -> Response {
    if let Err(refused) = guard.same_host(request.headers()) {
        return with_heads(refused.into_response());
    }
    with_heads(next.run(request).await)
}

/// Lets by only what also carries the key and comes from no other page.
pub(crate) async fn with_key(State(guard): State<Guard>, request: Request, next: Next) -> Response {
    let allowed = guard
        .same_origin(request.headers())
        .and_then(|()| guard.has_key(request.headers()));
    match allowed {
        Ok(()) => next.run(request).await,
        Err(refused) => refused.into_response(),
    }
}

/// What the page may load: from here, and nothing else from anywhere.
const POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; \
                      connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

fn with_heads(mut response: Response) -> Response {
    let heads = response.headers_mut();
    for (name, value) in [
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "no-referrer"),
        (header::CACHE_CONTROL, "no-store"),
        (
            HeaderName::from_static("cross-origin-resource-policy"),
            "same-origin",
        ),
        (
            HeaderName::from_static("cross-origin-opener-policy"),
            "same-origin",
        ),
    ] {
        heads.insert(name, HeaderValue::from_static(value));
    }
    response
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_are_new_each_time_and_only_the_whole_key_is_it() {
        let [a, b] = [0, 1].map(|_| Key::random().expect("random bytes"));
        assert_ne!(a, b);
        assert_eq!(a.text().len(), 2 * BYTES);
        assert!(a.is(a.text().as_bytes()));
        for wrong in ["", &a.text()[1..], b.text(), &format!("{}0", a.text())] {
            assert!(!a.is(wrong.as_bytes()), "{wrong}");
        }
        assert_eq!(
            format!("{a:?}"),
            "Key(..)",
            "a key is printed nowhere by accident"
        );
    }
}
