//! A job held open: its texts, what was done to them, and what another program does meanwhile.

use std::path::{Path, PathBuf};

use super::edit::{Act, EditError, edited};
use super::history::{Entry, History, file_word};
use crate::files::model::FileKind;
use crate::files::{Source, Wrong, read_design, read_fit, read_shop};
use crate::folder::{Folder, FolderError};
use crate::write::{WriteError, write_whole};

/// Which texts an answer belongs to: it changes when one of the three does.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub struct Stamp(pub String);

/// Why an act was not done.
#[derive(Debug, thiserror::Error)]
pub enum ReviseError {
    /// The job cannot be read.
    #[error(transparent)]
    Folder(#[from] FolderError),
    /// It was meant for texts that are no longer there.
    #[error(
        "the job has changed meanwhile, and nothing was written over it; look at it as it is now, and do it again"
    )]
    Stale,
    /// The act has no place in the file.
    #[error(transparent)]
    Edit(#[from] EditError),
    /// The file would be wrong after it.
    #[error("that would leave {} wrong: {}", .source_text.path, .wrongs.first().map_or_else(String::new, |wrong| wrong.says.clone()))]
    Wrong {
        /// What is wrong with it.
        wrongs: Vec<Wrong>,
        /// The text as it would be.
        source_text: Source,
    },
    /// There is nothing to undo, or to do again.
    #[error("there is nothing to {0}")]
    Nothing(&'static str),
    /// It cannot be written.
    #[error(transparent)]
    Write(#[from] WriteError),
}

/// What was done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Done {
    /// In a few words.
    pub says: String,
    /// The texts after it.
    pub stamp: Stamp,
}

/// A job held open.
#[derive(Debug)]
pub struct OpenJob {
    folder: Folder,
    history: History,
}

impl OpenJob {
    /// Opens a job, as [`Folder::open`] does, with what was done to it before.
    ///
    /// # Errors
    /// [`ReviseError::Folder`], and [`ReviseError::Write`] where what another program did meanwhile cannot be kept.
    pub fn open(root: &Path, fit: Option<&str>) -> Result<OpenJob, ReviseError> {
        let folder = Folder::open(root, fit)?;
        let history = History::open(root);
        let mut job = OpenJob { folder, history };
        job.reconcile()?;
        Ok(job)
    }

    /// The texts.
    pub fn folder(&self) -> &Folder {
        &self.folder
    }

    /// Which texts these are.
    pub fn stamp(&self) -> Stamp {
        stamp_of(&self.folder)
    }

    /// What [`OpenJob::undo`] would undo.
    pub fn to_undo(&self) -> Option<&str> {
        let entry = self.history.entries.get(self.history.done.checked_sub(1)?)?;
        Some(&entry.says)
    }

    /// What [`OpenJob::redo`] would do again.
    pub fn to_redo(&self) -> Option<&str> {
        let entry = self.history.entries.get(self.history.done)?;
        Some(&entry.says)
    }

    /// Reads the files again; whether another program changed one. That is then an act of its own, and can be undone.
    ///
    /// # Errors
    /// [`ReviseError`]
    pub fn look(&mut self) -> Result<bool, ReviseError> {
        let now = Folder::open(&self.folder.root, self.folder.fit_name.as_deref())?;
        if stamp_of(&now) == self.stamp() {
            return Ok(false);
        }
        for kind in KINDS {
            let (before, after) = (text_of(&self.folder, kind), text_of(&now, kind));
            if before != after {
                self.history.push(Entry {
                    file: file_word(kind, now.fit_name.as_deref()),
                    says: format!("{} changed outside", file_name(&now, kind)),
                    before,
                    after,
                    outside: true,
                })?;
            }
        }
        self.folder = now;
        Ok(true)
    }

    /// The job as it would be after these acts; nothing is written.
    ///
    /// # Errors
    /// [`ReviseError::Edit`], [`ReviseError::Wrong`]
    pub fn tried(&self, kind: FileKind, acts: &[Act]) -> Result<Folder, ReviseError> {
        let before = text_of(&self.folder, kind).unwrap_or_default();
        let source = Source {
            kind,
            path: path_of(&self.folder, kind).display().to_string(),
            text: edited(&before, acts)?,
        };
        let wrongs = wrongs_of(kind, &source.text);
        if wrongs.len() > wrongs_of(kind, &before).len() {
            return Err(ReviseError::Wrong {
                wrongs,
                source_text: source,
            });
        }
        let mut folder = self.folder.clone();
        match kind {
            FileKind::Design => folder.design = source,
            FileKind::Fit => folder.fit = Some(source),
            FileKind::Shop => folder.shop = Some(source),
        }
        Ok(folder)
    }

    /// Does acts on one file: all of them, or none.
    ///
    /// # Errors
    /// [`ReviseError::Stale`] when the job is no longer what `base` says; then what is new was read, and can be looked at.
    pub fn act(
        &mut self,
        kind: FileKind,
        acts: &[Act],
        says: &str,
        base: &Stamp,
    ) -> Result<Done, ReviseError> {
        self.look()?;
        if self.stamp() != *base {
            return Err(ReviseError::Stale);
        }
        let folder = self.tried(kind, acts)?;
        let (before, after) = (text_of(&self.folder, kind), text_of(&folder, kind));
        if before != after {
            self.history.push(Entry {
                file: file_word(kind, folder.fit_name.as_deref()),
                says: says.to_owned(),
                before,
                after: after.clone(),
                outside: false,
            })?;
            write_whole(&path_of(&folder, kind), after.unwrap_or_default().as_bytes())?;
            self.folder = folder;
        }
        Ok(self.done(says))
    }

    /// Undoes the last act that stands.
    ///
    /// # Errors
    /// [`ReviseError::Stale`] as [`OpenJob::act`]; [`ReviseError::Nothing`].
    pub fn undo(&mut self, base: &Stamp) -> Result<Done, ReviseError> {
        self.look()?;
        if self.stamp() != *base {
            return Err(ReviseError::Stale);
        }
        let at = self.history.done.checked_sub(1);
        let entry = at.and_then(|at| self.history.entries.get(at).cloned());
        let entry = entry.ok_or(ReviseError::Nothing("undo"))?;
        self.put(&entry.file, entry.before.as_deref())?;
        self.history.set_done(self.history.done - 1)?;
        self.reopen()?;
        Ok(self.done(&entry.says))
    }

    /// Does again what was undone last.
    ///
    /// # Errors
    /// As [`OpenJob::undo`].
    pub fn redo(&mut self, base: &Stamp) -> Result<Done, ReviseError> {
        self.look()?;
        if self.stamp() != *base {
            return Err(ReviseError::Stale);
        }
        let entry = self.history.entries.get(self.history.done).cloned();
        let entry = entry.ok_or(ReviseError::Nothing("do again"))?;
        self.put(&entry.file, entry.after.as_deref())?;
        self.history.set_done(self.history.done + 1)?;
        self.reopen()?;
        Ok(self.done(&entry.says))
    }

    fn done(&self, says: &str) -> Done {
        Done {
            says: says.to_owned(),
            stamp: self.stamp(),
        }
    }

    fn reopen(&mut self) -> Result<(), ReviseError> {
        self.folder = Folder::open(&self.folder.root, self.folder.fit_name.as_deref())?;
        Ok(())
    }

    /// Writes a file of the history as it was.
    fn put(&self, file: &str, text: Option<&str>) -> Result<(), ReviseError> {
        // What is kept on the disk may have been changed there: no way leads out of the folder.
        let name = file.strip_prefix("fits/").unwrap_or(file);
        if name.is_empty() || name.contains(['/', '\\']) || name.starts_with('.') {
            return Err(ReviseError::Nothing("undo"));
        }
        let path = self.folder.root.join(format!("{file}.toml"));
        match text {
            Some(text) => write_whole(&path, text.as_bytes())?,
            None => std::fs::remove_file(&path).map_err(|cause| WriteError { path, cause })?,
        }
        Ok(())
    }

    /// After a restart: an act that was kept and not done is one that was undone, one that was undone and not counted so is
    /// counted, and what else differs was done by another program.
    fn reconcile(&mut self) -> Result<(), ReviseError> {
        for kind in KINDS {
            let file = file_word(kind, self.folder.fit_name.as_deref());
            let now = text_of(&self.folder, kind);
            let (done, known) = (self.history.done, self.history.known(&file).cloned());
            if known.as_ref() == Some(&now) {
                continue;
            }
            let next = self.history.entries.get(done);
            if next.is_some_and(|entry| entry.file == file && entry.after == now) {
                self.history.set_done(done + 1)?;
                continue;
            }
            let last = done.checked_sub(1).and_then(|at| self.history.entries.get(at));
            if last.is_some_and(|entry| entry.file == file && entry.before == now) {
                self.history.set_done(done - 1)?;
                continue;
            }
            let Some(known) = known else { continue };
            let says = format!("{} changed outside", file_name(&self.folder, kind));
            self.history.push(Entry {
                file,
                says,
                before: known,
                after: now,
                outside: true,
            })?;
        }
        Ok(())
    }
}

const KINDS: [FileKind; 3] = [FileKind::Design, FileKind::Fit, FileKind::Shop];

fn text_of(folder: &Folder, kind: FileKind) -> Option<String> {
    folder.source(kind).map(|source| source.text.clone())
}

fn path_of(folder: &Folder, kind: FileKind) -> PathBuf {
    let word = file_word(kind, folder.fit_name.as_deref());
    folder.root.join(format!("{word}.toml"))
}

fn file_name(folder: &Folder, kind: FileKind) -> String {
    format!("{}.toml", file_word(kind, folder.fit_name.as_deref()))
}

fn wrongs_of(kind: FileKind, text: &str) -> Vec<Wrong> {
    let wrongs = match kind {
        FileKind::Design => read_design(text).err(),
        FileKind::Fit => read_fit(text).err(),
        FileKind::Shop => read_shop(text).err(),
    };
    wrongs.unwrap_or_default()
}

/// A sum over all texts (Fowler, Noll, Vo, 1991: FNV-1a, 64 bits), with what tells them apart.
fn stamp_of(folder: &Folder) -> Stamp {
    const START: u64 = 0xcbf2_9ce4_8422_2325;
    const PRIME: u64 = 0x0100_0000_01b3;
    let mut sum = START;
    let mut length = 0;
    for kind in KINDS {
        let text = folder.source(kind).map(|source| source.text.as_bytes());
        // A text that is there and empty is another than none.
        let mark = [0xff, u8::from(text.is_some())];
        for byte in mark.iter().chain(text.unwrap_or_default()) {
            sum = (sum ^ u64::from(*byte)).wrapping_mul(PRIME);
        }
        length += text.map_or(0, <[u8]>::len);
    }
    Stamp(format!("{sum:016x}-{length}"))
}
