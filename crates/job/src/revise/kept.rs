//! The answers of the last revision that was kept, one small file for each fit: `.gusset/revisions/FIT.json`.

use std::fs;
use std::path::PathBuf;

use super::{Act, Done, OpenJob, ReviseError, Stamp, Step};
use crate::files::model::FileKind;
use crate::since::Kept;
use crate::write::{WriteError, write_whole};

/// A revision is called by a letter, a number or a few words.
const LONGEST_NAME: usize = 24;
/// The file of a job that has no fit; a fit of that name has the same answers to be held to.
const WITHOUT_FIT: &str = "without-fit";

impl OpenJob {
    /// The revision that was kept last with the fit that is open; none where there is none, or none that can be read.
    pub fn kept(&self) -> Option<Kept> {
        let bytes = fs::read(self.kept_path()).ok()?;
        serde_json::from_slice(&bytes).ok()
    }

    /// Says in the design which revision it is. What its answers are is kept by [`OpenJob::remember`], once they are worked out.
    ///
    /// # Errors
    /// [`ReviseError`]; [`ReviseError::NoName`] where it is no name.
    pub fn name_revision(&mut self, name: &str, base: &Stamp) -> Result<Done, ReviseError> {
        let name = name.trim();
        let plain =
            !name.is_empty() && name.chars().count() <= LONGEST_NAME && !name.chars().any(char::is_control);
        if !plain {
            return Err(ReviseError::NoName { most: LONGEST_NAME });
        }
        let set = Act::Set {
            at: vec![Step::Key("revision".into())],
            to: name.into(),
        };
        self.act(
            FileKind::Design,
            &[set],
            &format!("kept as revision {name}"),
            base,
        )
    }

    /// Keeps the answers of a revision, in the place of those that were kept before.
    ///
    /// # Errors
    /// [`WriteError`]
    pub fn remember(&self, kept: &Kept) -> Result<(), WriteError> {
        let path = self.kept_path();
        let bytes = serde_json::to_vec_pretty(kept).map_err(|error| WriteError {
            path: path.clone(),
            cause: error.into(),
        })?;
        write_whole(&path, &bytes)
    }

    fn kept_path(&self) -> PathBuf {
        let fit = self.folder().fit_name.as_deref().unwrap_or(WITHOUT_FIT);
        let folder = self.folder().root.join(".gusset").join("revisions");
        folder.join(format!("{fit}.json"))
    }
}
