//! What was done, kept on the disk: for each act the text before and after, so that it can be undone after a restart.
//!
//! One small file an act in `.gusset/history` of the job's folder, numbered. The file is written before the act is; after a
//! crash between the two the act was not done, and its file is set aside.

use std::fs;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use crate::files::model::FileKind;
use crate::write::{WriteError, write_whole};

/// One act as it is kept.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(super) struct Entry {
    /// Which file: "design", "shop", or "fits/NAME".
    pub file: String,
    /// What was done, in a few words.
    pub says: String,
    /// The whole text before; none where there was no file.
    pub before: Option<String>,
    /// And after; none where it was taken away.
    pub after: Option<String>,
    /// It was done by another program.
    #[serde(default)]
    pub outside: bool,
    /// It is of one act with the entry before it: both are done or none.
    #[serde(default)]
    pub goes_on: bool,
}

/// All that was done, and how much of it stands.
#[derive(Debug, Clone)]
pub(super) struct History {
    folder: PathBuf,
    pub entries: Vec<Entry>,
    /// So many of the entries stand; the rest were undone.
    pub done: usize,
    /// What the disk says of that; nothing while it says nothing.
    counted: Option<usize>,
}

/// The name of a file in the history.
pub(super) fn file_word(kind: FileKind, fit: Option<&str>) -> String {
    match kind {
        FileKind::Design => "design".into(),
        FileKind::Shop => "shop".into(),
        FileKind::Fit => format!("fits/{}", fit.unwrap_or_default()),
    }
}

impl History {
    /// Reads what is kept. What cannot be read ends the history there: later acts rest on it.
    pub fn open(root: &Path) -> History {
        let folder = root.join(".gusset").join("history");
        let mut entries = Vec::new();
        while let Some(entry) = fs::read(path(&folder, entries.len()))
            .ok()
            .and_then(|bytes| serde_json::from_slice(&bytes).ok())
        {
            entries.push(entry);
        }
        let counted = fs::read_to_string(folder.join("done"))
            .ok()
            .and_then(|text| text.trim().parse::<usize>().ok());
        History {
            folder,
            done: counted.map_or(entries.len(), |done| done.min(entries.len())),
            entries,
            counted,
        }
    }

    /// Keeps an act that is about to be done. What was undone before it can no longer be done again.
    pub fn push(&mut self, entry: Entry) -> Result<(), WriteError> {
        let bytes = serde_json::to_vec(&entry).map_err(|error| WriteError {
            path: path(&self.folder, self.done),
            cause: error.into(),
        })?;
        // The count first: after a crash an undone act is then never taken for one that stands.
        self.set_done(self.done)?;
        for old in (self.done..self.entries.len()).rev() {
            // One that stays is written over or lies past the end of the count.
            let _ = fs::remove_file(path(&self.folder, old));
        }
        self.entries.truncate(self.done);
        write_whole(&path(&self.folder, self.done), &bytes)?;
        self.entries.push(entry);
        self.set_done(self.entries.len())
    }

    /// Says how many of the acts stand.
    pub fn set_done(&mut self, done: usize) -> Result<(), WriteError> {
        if self.counted != Some(done) {
            // Until it is written nothing is known of it.
            self.counted = None;
            write_whole(&self.folder.join("done"), done.to_string().as_bytes())?;
            self.counted = Some(done);
        }
        self.done = done;
        Ok(())
    }

    /// Takes the count of the last act back: it was kept, and its file could not be written.
    pub fn not_done(&mut self) {
        let done = self.done.saturating_sub(1);
        // Where not even the count can be written, the next start sees by the files that the act was not done.
        if self.set_done(done).is_err() {
            self.done = done;
        }
    }

    /// The entries of the act that was done last: none where nothing stands.
    pub fn last(&self) -> &[Entry] {
        let stands = &self.entries[..self.done];
        let from = stands.iter().rposition(|entry| !entry.goes_on).unwrap_or(0);
        &stands[from..]
    }

    /// The entries of the act that was undone last.
    pub fn next(&self) -> &[Entry] {
        let undone = &self.entries[self.done..];
        let more = undone.iter().skip(1).take_while(|entry| entry.goes_on).count();
        &undone[..undone.len().min(1 + more)]
    }

    /// The text of a file as the history leaves it; none where it never came by.
    pub fn known(&self, file: &str) -> Option<&Option<String>> {
        let of_file = self.entries[..self.done]
            .iter()
            .rev()
            .find(|entry| entry.file == file);
        of_file.map(|entry| &entry.after)
    }
}

fn path(folder: &Path, number: usize) -> PathBuf {
    folder.join(format!("{number:06}.json"))
}
