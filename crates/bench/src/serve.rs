//! Listening on loopback.

use std::net::{Ipv4Addr, SocketAddr, TcpListener};
use std::sync::Arc;

use job::revise::ReviseError;

use crate::guard::{Guard, Key, NoKey};
use crate::place::Place;
use crate::routes::routes;

/// Why the page is not served.
#[derive(Debug, thiserror::Error)]
pub enum ServeError {
    /// The job cannot be opened.
    #[error(transparent)]
    Job(#[from] ReviseError),
    /// No key can be made.
    #[error(transparent)]
    NoKey(#[from] NoKey),
    /// The port is taken, or nothing may listen.
    #[error(
        "nothing can listen at {at}: {cause}. Another `gusset bench` may run there; --port 0 takes any that is free"
    )]
    Listen {
        /// Where.
        at: SocketAddr,
        /// The system's reason.
        cause: std::io::Error,
    },
    /// It broke off.
    #[error("the server broke off: {0}")]
    BrokeOff(std::io::Error),
}

/// A server that listens and does not answer yet.
#[derive(Debug)]
pub struct Bound {
    listener: TcpListener,
    place: Arc<Place>,
    guard: Guard,
}

/// Listens on loopback for the page of a place; port 0 is any that is free.
///
/// # Errors
/// [`ServeError`]
pub fn bind(place: Place, port: u16) -> Result<Bound, ServeError> {
    let at = SocketAddr::from((Ipv4Addr::LOCALHOST, port));
    let listen = |at: SocketAddr| -> std::io::Result<(TcpListener, SocketAddr)> {
        let listener = TcpListener::bind(at)?;
        listener.set_nonblocking(true)?;
        let at = listener.local_addr()?;
        Ok((listener, at))
    };
    let (listener, at) = listen(at).map_err(|cause| ServeError::Listen { at, cause })?;
    let guard = Guard {
        key: Key::random()?,
        at,
    };
    Ok(Bound {
        listener,
        place: Arc::new(place),
        guard,
    })
}

impl Bound {
    /// What is opened in a browser: the key stands behind the `#`.
    pub fn address(&self) -> String {
        format!("http://{}/#{}", self.guard.at, self.guard.key.text())
    }

    /// The folder of the job; none where it is still to be started.
    pub fn folder(&self) -> Option<std::path::PathBuf> {
        let desk = self.place.desk()?;
        Some(desk.job().folder().root.clone())
    }

    /// Answers until `until` is done.
    ///
    /// # Errors
    /// [`ServeError::BrokeOff`]
    pub fn serve(self, until: impl Future<Output = ()> + Send + 'static) -> Result<(), ServeError> {
        let runtime = tokio::runtime::Builder::new_multi_thread()
            .worker_threads(2)
            .enable_all()
            .build()
            .map_err(ServeError::BrokeOff)?;
        runtime.block_on(async {
            let listener = tokio::net::TcpListener::from_std(self.listener).map_err(ServeError::BrokeOff)?;
            axum::serve(listener, routes(self.place, self.guard))
                .with_graceful_shutdown(until)
                .await
                .map_err(ServeError::BrokeOff)
        })
    }
}
