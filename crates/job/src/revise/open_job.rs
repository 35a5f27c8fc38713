//! A job held open: its texts, what was done to them, and what another program does meanwhile.

use std::path::{Path, PathBuf};

use super::edit::{Act, EditError, edited};
use super::history::{Entry, History, file_word};
use super::rename::Renaming;
use crate::care::Refusal;
use crate::files::model::FileKind;
use crate::files::{Source, Wrong, read_design, read_fit, read_shop};
use crate::folder::{Folder, FolderError, text_at};
use crate::write::{WriteError, sweep, write_whole};

/// Which texts an answer belongs to: it changes when one of the three does, and when another fit is opened.
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
    /// What something is to be made from is wrong itself.
    #[error("{} is wrong as it stands; put it right first: {}", .source_text.path, .wrongs.first().map_or_else(String::new, |wrong| wrong.says.clone()))]
    NotSound {
        /// What is wrong with it.
        wrongs: Vec<Wrong>,
        /// The text.
        source_text: Source,
    },
    /// The job has no fit to write into, or to begin another from.
    #[error(
        "this job has no fit yet: begin one under Ask, or put a file of one into fits/, as fits/own.toml"
    )]
    NoFit,
    /// The program does not help with such a part.
    #[error("Gusset does not help with this part: {}. Ask {}. Nothing was written", .0.why, .0.ask)]
    Refused(Refusal),
    /// A revision has no such name.
    #[error("a revision is called by a letter, a number or a few words, at most {most} characters")]
    NoName {
        /// The most characters.
        most: usize,
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
    pub(super) folder: Folder,
    pub(super) history: History,
}

impl OpenJob {
    /// Opens a job, as [`Folder::open`] does, with what was done to it before.
    ///
    /// # Errors
    /// [`ReviseError::Folder`], and [`ReviseError::Write`] where what another program did meanwhile cannot be kept.
    pub fn open(root: &Path, fit: Option<&str>) -> Result<OpenJob, ReviseError> {
        let folder = Folder::open(root, fit)?;
        // A link would lead what is written out of the job.
        for part in [".gusset", "fits"] {
            let path = root.join(part);
            if std::fs::symlink_metadata(&path).is_ok_and(|told| !told.is_dir()) {
                return Err(ReviseError::Write(WriteError {
                    path,
                    cause: std::io::Error::other(
                        "it is a link or a file, where a folder should be; take it away",
                    ),
                }));
            }
        }
        for part in [".", "fits", ".gusset/history", ".gusset/revisions"] {
            sweep(&root.join(part));
        }
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
    pub fn to_undo(&self) -> Option<String> {
        Some(self.told(self.history.last().last()?))
    }

    /// What [`OpenJob::redo`] would do again.
    pub fn to_redo(&self) -> Option<String> {
        Some(self.told(self.history.next().last()?))
    }

    /// What an act did; and to which fit, where that is not the one that is looked at.
    fn told(&self, entry: &Entry) -> String {
        match self.kind_of(&entry.file) {
            Some(_) => entry.says.clone(),
            // Its words name the file already.
            None if entry.outside || entry.before.is_none() => entry.says.clone(),
            None => format!("{} (in {}.toml, which is not open)", entry.says, entry.file),
        }
    }

    /// Reads the files again; whether another program changed one. A text is then an act of its own, and can be undone; a
    /// drawing of a tool is only read.
    ///
    /// # Errors
    /// [`ReviseError`]
    pub fn look(&mut self) -> Result<bool, ReviseError> {
        let now = Folder::open(&self.folder.root, self.folder.fit_name.as_deref())?;
        if stamp_of(&now) == self.stamp() {
            // Fits that are not open may have come or gone.
            self.folder = now;
            return Ok(false);
        }
        for kind in KINDS {
            let (before, after) = (text_of(&self.folder, kind), text_of(&now, kind));
            if before != after && !is_first_fit(kind, before.as_ref()) {
                self.history.push(Entry {
                    file: file_word(kind, now.fit_name.as_deref()),
                    says: format!("{} changed outside", file_name(&now, kind)),
                    before,
                    after,
                    outside: true,
                    goes_on: false,
                })?;
            }
        }
        self.folder = now;
        Ok(true)
    }

    /// The job as it would be after these acts; nothing is written.
    ///
    /// # Errors
    /// [`ReviseError::Edit`], [`ReviseError::Wrong`], [`ReviseError::NoFit`]
    pub fn tried(&self, kind: FileKind, acts: &[Act]) -> Result<Folder, ReviseError> {
        Ok(self.with(&self.changes(kind, acts)?))
    }

    fn with(&self, changes: &[Change]) -> Folder {
        let open = changes.iter().filter_map(|change| {
            Some(Source {
                kind: self.kind_of(&change.file)?,
                path: self.path(&change.file).display().to_string(),
                text: change.after.clone(),
            })
        });
        open.fold(self.folder.clone(), |folder, source| folder.revised(source))
    }

    /// What acts on one file come to: its own text, last; before it those of the fits, where something is called by another name.
    fn changes(&self, kind: FileKind, acts: &[Act]) -> Result<Vec<Change>, ReviseError> {
        if kind == FileKind::Fit && self.folder.fit.is_none() {
            return Err(ReviseError::NoFit);
        }
        let before = text_of(&self.folder, kind);
        let mut changes = self.renamed_in_fits(kind, acts)?;
        changes.push(Change {
            file: file_word(kind, self.folder.fit_name.as_deref()),
            after: edited(before.as_deref().unwrap_or_default(), acts)?,
            before,
        });
        for change in &changes {
            let kind = if change.file.starts_with("fits/") {
                FileKind::Fit
            } else {
                kind
            };
            let wrongs = wrongs_of(kind, &change.after);
            if wrongs.len() > wrongs_of(kind, change.before.as_deref().unwrap_or_default()).len() {
                return Err(ReviseError::Wrong {
                    wrongs,
                    source_text: Source {
                        kind,
                        path: self.path(&change.file).display().to_string(),
                        text: change.after.clone(),
                    },
                });
            }
        }
        Ok(changes)
    }

    /// The fits that name what is called by another name, open or not.
    fn renamed_in_fits(&self, kind: FileKind, acts: &[Act]) -> Result<Vec<Change>, ReviseError> {
        let is_rename = |act: &Act| matches!(act, Act::Rename { .. });
        if !acts.iter().any(is_rename) {
            return Ok(Vec::new());
        }
        if kind != FileKind::Design {
            return Err(EditError::NotOfTheDesign.into());
        }
        let mut fits = Vec::new();
        for name in &self.folder.fit_names {
            let file = file_word(FileKind::Fit, Some(name));
            let open = self
                .folder
                .fit
                .as_ref()
                .filter(|_| self.folder.fit_name.as_ref() == Some(name));
            let text = match open {
                Some(open) => Some(open.text.clone()),
                None => text_at(&self.path(&file))?,
            };
            if let Some(before) = text {
                fits.push((file, before.clone(), before));
            }
        }
        let mut design = self.folder.design.text.clone();
        for act in acts {
            if let Act::Rename { what, from, to } = act {
                let renaming = Renaming::of(&design, *what, from, to)?;
                for (_, _, text) in &mut fits {
                    *text = renaming.done(FileKind::Fit, text)?;
                }
            }
            design = edited(&design, std::slice::from_ref(act))?;
        }
        let changed = fits.into_iter().filter(|(_, before, after)| before != after);
        let changes = changed.map(|(file, before, after)| Change {
            file,
            before: Some(before),
            after,
        });
        Ok(changes.collect())
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
        self.not_stale(base)?;
        let mut changes = self.changes(kind, acts)?;
        changes.retain(|change| change.before.as_ref() != Some(&change.after));
        for (index, change) in changes.iter().enumerate() {
            self.history.push(Entry {
                file: change.file.clone(),
                says: says.to_owned(),
                before: change.before.clone(),
                after: Some(change.after.clone()),
                outside: false,
                goes_on: index > 0,
            })?;
            if let Err(error) = write_whole(&self.path(&change.file), change.after.as_bytes()) {
                self.history.not_done();
                // All of them or none: those before it go back.
                if index > 0 {
                    self.put_back()?;
                }
                return Err(error.into());
            }
        }
        self.folder = self.with(&changes);
        Ok(self.done(says))
    }

    /// Undoes the last act that stands.
    ///
    /// # Errors
    /// [`ReviseError::Stale`] as [`OpenJob::act`]; [`ReviseError::Nothing`].
    pub fn undo(&mut self, base: &Stamp) -> Result<Done, ReviseError> {
        self.not_stale(base)?;
        let says = self.to_undo().ok_or(ReviseError::Nothing("undo"))?;
        self.put_back()?;
        Ok(self.done(&says))
    }

    fn put_back(&mut self) -> Result<(), ReviseError> {
        let entries = self.history.last().to_vec();
        let fit = self.folder.fit_name.clone();
        for entry in &entries {
            self.may_put(&entry.file, &entry.after, &entry.before)?;
        }
        for entry in entries.iter().rev() {
            self.put(&entry.file, &entry.after, &entry.before)?;
            self.history.set_done(self.history.done - 1)?;
        }
        self.reconcile_if_other(fit.as_ref())
    }

    /// Does again what was undone last.
    ///
    /// # Errors
    /// As [`OpenJob::undo`].
    pub fn redo(&mut self, base: &Stamp) -> Result<Done, ReviseError> {
        self.not_stale(base)?;
        let says = self.to_redo().ok_or(ReviseError::Nothing("do again"))?;
        let entries = self.history.next().to_vec();
        let fit = self.folder.fit_name.clone();
        for entry in &entries {
            self.may_put(&entry.file, &entry.before, &entry.after)?;
        }
        for entry in &entries {
            self.put(&entry.file, &entry.before, &entry.after)?;
            self.history.set_done(self.history.done + 1)?;
        }
        self.reconcile_if_other(fit.as_ref())?;
        Ok(self.done(&says))
    }

    /// Whether what is done next was meant for the texts as they are.
    pub(super) fn not_stale(&mut self, base: &Stamp) -> Result<(), ReviseError> {
        self.look()?;
        if self.stamp() != *base {
            return Err(ReviseError::Stale);
        }
        Ok(())
    }

    pub(super) fn done(&self, says: &str) -> Done {
        Done {
            says: says.to_owned(),
            stamp: self.stamp(),
        }
    }

    /// Whether a file of the history may be written as it was, over what the history left there and over nothing else: a fit that
    /// is not open is looked at only here. What another program did to it is then an act of its own.
    fn may_put(
        &mut self,
        file: &str,
        left: &Option<String>,
        text: &Option<String>,
    ) -> Result<(), ReviseError> {
        let kind = self.kind_of(file);
        // What is kept on the disk may have been changed there: no way leads out of the folder, and no job loses its design.
        let name = file.strip_prefix("fits/").unwrap_or(file);
        let plain = !name.is_empty() && !name.contains(['/', '\\', ':', '\0']) && !name.starts_with('.');
        let known = kind.is_some() || file.starts_with("fits/");
        let stays = text.is_some() || kind != Some(FileKind::Design);
        if !(plain && known && stays) {
            return Err(ReviseError::Nothing("undo"));
        }
        let now = text_at(&self.path(file))?;
        // After a crash it may stand as wanted, and only not be counted so.
        if now != *text && now != *left {
            self.history.push(Entry {
                file: file.to_owned(),
                says: format!("{file}.toml changed outside"),
                before: left.clone(),
                after: now,
                outside: true,
                goes_on: false,
            })?;
            return Err(ReviseError::Stale);
        }
        Ok(())
    }

    pub(super) fn path(&self, file: &str) -> PathBuf {
        self.folder.root.join(format!("{file}.toml"))
    }

    fn put(&mut self, file: &str, left: &Option<String>, text: &Option<String>) -> Result<(), ReviseError> {
        self.may_put(file, left, text)?;
        let kind = self.kind_of(file);
        let path = self.path(file);
        if text_at(&path)? != *text {
            match text {
                Some(text) => write_whole(&path, text.as_bytes())?,
                None => std::fs::remove_file(&path).map_err(|cause| WriteError {
                    path: path.clone(),
                    cause,
                })?,
            }
        }
        match (kind, text) {
            (Some(kind), Some(text)) => {
                self.folder = self.folder.revised(Source {
                    kind,
                    path: path.display().to_string(),
                    text: text.clone(),
                });
            }
            (Some(FileKind::Shop), None) => self.folder = self.folder.without_shop(),
            // The one that was open is gone, and another is.
            (Some(FileKind::Fit), None) => self.folder = Folder::open(&self.folder.root, None)?,
            // One that comes is looked at.
            (None, Some(_)) if left.is_none() => {
                self.folder = Folder::open(&self.folder.root, file.strip_prefix("fits/"))?;
            }
            _ => {}
        }
        Ok(())
    }

    /// Which of the open files this is in the history; none when it is a fit that is not open.
    fn kind_of(&self, file: &str) -> Option<FileKind> {
        KINDS
            .into_iter()
            .find(|kind| file_word(*kind, self.folder.fit_name.as_deref()) == file)
    }

    /// What another program did to a fit that is open now and was not before is an act of its own.
    fn reconcile_if_other(&mut self, before: Option<&String>) -> Result<(), ReviseError> {
        if self.folder.fit_name.as_ref() == before {
            return Ok(());
        }
        self.reconcile()
    }

    /// After a restart: an act that was kept and not done is one that was undone, one that was undone and not counted so is
    /// counted, and what else differs was done by another program.
    pub(super) fn reconcile(&mut self) -> Result<(), ReviseError> {
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
            let Some(known) = known.filter(|known| !is_first_fit(kind, known.as_ref())) else {
                continue;
            };
            let says = format!("{} changed outside", file_name(&self.folder, kind));
            self.history.push(Entry {
                file,
                says,
                before: known,
                after: now,
                outside: true,
                goes_on: false,
            })?;
        }
        Ok(())
    }
}

const KINDS: [FileKind; 3] = [FileKind::Design, FileKind::Fit, FileKind::Shop];

/// The first fit of a job is no act to be undone: a job keeps the fit that it is opened by, and all that was done before would
/// stand behind it.
fn is_first_fit(kind: FileKind, before: Option<&String>) -> bool {
    kind == FileKind::Fit && before.is_none()
}

fn text_of(folder: &Folder, kind: FileKind) -> Option<String> {
    folder.source(kind).map(|source| source.text.clone())
}

/// The text of a file before and after.
struct Change {
    /// As the history names it.
    file: String,
    before: Option<String>,
    after: String,
}

fn file_name(folder: &Folder, kind: FileKind) -> String {
    format!("{}.toml", file_word(kind, folder.fit_name.as_deref()))
}

pub(super) fn wrongs_of(kind: FileKind, text: &str) -> Vec<Wrong> {
    let wrongs = match kind {
        FileKind::Design => read_design(text).err(),
        FileKind::Fit => read_fit(text).err(),
        FileKind::Shop => read_shop(text).err(),
    };
    wrongs.unwrap_or_default()
}

/// A sum over all texts and drawings (Fowler, Noll, Vo, 1991: FNV-1a, 64 bits), with what tells them apart.
/// Which texts these are.
pub fn stamp_of(folder: &Folder) -> Stamp {
    let mut sum = Sum::default();
    // Two fits may say the same.
    sum.part(folder.fit_name.as_deref().map(str::as_bytes));
    for kind in KINDS {
        sum.part(folder.source(kind).map(|source| source.text.as_bytes()));
    }
    for drawing in &folder.drawings {
        sum.part(Some(drawing.name.as_bytes()));
        match &drawing.bytes {
            Ok(bytes) => sum.part(Some(bytes)),
            Err(fault) => {
                sum.part(None);
                sum.part(Some(fault.to_string().as_bytes()));
            }
        }
    }
    Stamp(format!("{:016x}-{}", sum.sum, sum.length))
}

struct Sum {
    sum: u64,
    length: usize,
}

impl Default for Sum {
    fn default() -> Sum {
        Sum {
            sum: 0xcbf2_9ce4_8422_2325,
            length: 0,
        }
    }
}

impl Sum {
    /// Takes one text or drawing in. One that is there and empty is another than none.
    fn part(&mut self, bytes: Option<&[u8]>) {
        const PRIME: u64 = 0x0100_0000_01b3;
        let mark = [0xff, u8::from(bytes.is_some())];
        let bytes = bytes.unwrap_or_default();
        for byte in mark.iter().chain(bytes).chain(&bytes.len().to_le_bytes()) {
            self.sum = (self.sum ^ u64::from(*byte)).wrapping_mul(PRIME);
        }
        self.length += bytes.len();
    }
}
