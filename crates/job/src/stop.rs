//! Work that nobody wants any longer.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

/// Ends the work that it was given to, from another thread. Copies are one and the same.
#[derive(Debug, Clone, Default)]
pub struct Stop(Arc<AtomicBool>);

/// The work was ended before it came to anything: nobody wanted it any longer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("nobody wanted it any longer")]
pub struct NotWanted;

impl Stop {
    /// Ends the work.
    pub fn stop(&self) {
        self.0.store(true, Ordering::Relaxed);
    }

    /// Whether it was ended.
    pub fn is_stopped(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }

    /// Whether both are one.
    pub fn is(&self, other: &Stop) -> bool {
        Arc::ptr_eq(&self.0, &other.0)
    }

    /// To be passed on between stages.
    ///
    /// # Errors
    /// [`NotWanted`] once it was ended.
    pub fn pass(&self) -> Result<(), NotWanted> {
        if self.is_stopped() { Err(NotWanted) } else { Ok(()) }
    }

    /// As rooms take it that know no job.
    pub(crate) fn flag(&self) -> &Arc<AtomicBool> {
        &self.0
    }
}
