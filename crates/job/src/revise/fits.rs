//! The fits of a job: another one opened, another one begun.

use super::edit::EditError;
use super::history::{Entry, file_word};
use super::open_job::wrongs_of;
use super::{Done, OpenJob, ReviseError, Stamp};
use crate::care;
use crate::files::model::FileKind;
use crate::files::{Source, read_design, read_fit};
use crate::folder::Folder;
use crate::start::{AskedFit, empty_fit, fit_like, fit_name_for};
use crate::write::write_whole;

impl OpenJob {
    /// Opens another fit of the job. Nothing is written, and nothing of it is undone.
    ///
    /// # Errors
    /// [`ReviseError::Stale`] as [`OpenJob::act`]; [`ReviseError::Folder`] where there is no such fit.
    pub fn open_fit(&mut self, name: &str, base: &Stamp) -> Result<Done, ReviseError> {
        self.not_stale(base)?;
        self.turn_to(Some(name))?;
        Ok(self.done(&format!("fit {name} opened")))
    }

    /// Writes another fit of the job, and opens it: like the one that is open, or with nothing in it but its care. Its file is named
    /// by its title.
    ///
    /// # Errors
    /// [`ReviseError::Stale`] as [`OpenJob::act`]; [`ReviseError::NotSound`] where the design, or the fit that it is to be like,
    /// cannot be read; [`ReviseError::NoFit`] where none is open; [`ReviseError::Refused`].
    pub fn begin_fit(&mut self, asked: &AskedFit, like: bool, base: &Stamp) -> Result<Done, ReviseError> {
        self.not_stale(base)?;
        let folder = self.folder();
        let design = read_design(&folder.design.text).map_err(|wrongs| ReviseError::NotSound {
            wrongs,
            source_text: folder.design.clone(),
        })?;
        let text = if like {
            let (Some(other), Some(name)) = (&folder.fit, &folder.fit_name) else {
                return Err(ReviseError::NoFit);
            };
            let wrongs = wrongs_of(FileKind::Fit, &other.text);
            if !wrongs.is_empty() {
                return Err(ReviseError::NotSound {
                    wrongs,
                    source_text: other.clone(),
                });
            }
            fit_like(&design, asked, name, &other.text)
                .map_err(|error| EditError::NotToml(error.to_string()))?
        } else {
            empty_fit(&design, &asked.title, &asked.care)
        };
        let name = fit_name_for(&asked.title, &folder.fit_names);
        let file = file_word(FileKind::Fit, Some(&name));
        let path = self.path(&file);
        let fit = read_fit(&text).map_err(|wrongs| ReviseError::Wrong {
            wrongs,
            source_text: Source {
                kind: FileKind::Fit,
                path: path.display().to_string(),
                text: text.clone(),
            },
        })?;
        if let Some(refusal) = care::refusal(&design, &fit) {
            return Err(ReviseError::Refused(refusal));
        }
        let says = format!("fit {name} begun");
        self.history.push(Entry {
            file,
            says: says.clone(),
            before: None,
            after: Some(text.clone()),
            outside: false,
            goes_on: false,
        })?;
        if let Err(error) = write_whole(&path, text.as_bytes()) {
            self.history.not_done();
            return Err(error.into());
        }
        self.turn_to(Some(&name))?;
        Ok(self.done(&says))
    }

    /// Opens a fit: the one named, or else the one that is opened where none is named. What another program did to it while it was
    /// not open is an act of its own.
    pub(super) fn turn_to(&mut self, name: Option<&str>) -> Result<(), ReviseError> {
        self.folder = Folder::open(&self.folder.root, name)?;
        self.reconcile()
    }
}
