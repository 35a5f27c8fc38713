//! What became of the files of a run.

use std::path::PathBuf;

use crate::write::{WriteError, write_whole};

/// What was written, and what was taken away because it is no longer right.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Made {
    /// Written.
    pub written: Vec<PathBuf>,
    /// A file of an older run that this run refuses to write: it would cut or bend another part.
    pub taken_away: Vec<PathBuf>,
}

impl Made {
    /// Writes a file, whole or not at all; with nothing to write, takes one of an older run away.
    pub(super) fn put(&mut self, path: PathBuf, bytes: Option<&[u8]>) -> Result<(), WriteError> {
        if let Some(bytes) = bytes {
            write_whole(&path, bytes)?;
            self.written.push(path);
        } else if path.is_file() {
            std::fs::remove_file(&path).map_err(|cause| WriteError {
                path: path.clone(),
                cause,
            })?;
            self.taken_away.push(path);
        }
        Ok(())
    }
}
