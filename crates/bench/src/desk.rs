//! The job on the desk: held open, and worked out once for each state of its files.

use std::path::Path;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use axum::http::StatusCode;
use job::files::model::FileKind;
use job::revise::{OpenJob, ReviseError, Stamp, typed_values};
use job::{Folder, MakeError, MakeOptions, Outcome, Picture, Stopped, Summary};
use serde_json::{Value, json};

use crate::asked::NotDone;
use crate::kept;
use crate::said::said;

/// What a run came to.
#[derive(Debug)]
enum Came {
    To(Box<Outcome>),
    Stopped(Value),
}

impl Came {
    /// The answers; none where the job cannot be worked out.
    fn summary(&self) -> Option<&Summary> {
        match self {
            Came::To(outcome) => Some(&outcome.summary),
            Came::Stopped(_) => None,
        }
    }
}

/// A run, and the texts that it belongs to.
#[derive(Debug, Clone)]
struct Run {
    stamp: Stamp,
    came: Arc<Came>,
}

/// A job that is worked on from the page.
#[derive(Debug)]
pub struct Desk {
    job: Mutex<OpenJob>,
    last: Mutex<Option<Run>>,
    /// For which texts files were last made; one is made at a time.
    made: Mutex<Option<Stamp>>,
}

fn held<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    // Whoever broke off left whole values behind: they are put in place in one move.
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Desk {
    /// Opens a job.
    ///
    /// # Errors
    /// [`ReviseError`]
    pub fn open(root: &Path, fit: Option<&str>) -> Result<Desk, ReviseError> {
        Ok(Desk {
            job: Mutex::new(OpenJob::open(root, fit)?),
            last: Mutex::new(None),
            made: Mutex::new(None),
        })
    }

    pub(crate) fn job(&self) -> MutexGuard<'_, OpenJob> {
        held(&self.job)
    }

    /// The files as typed, what can be undone, and the answers: all of one state.
    ///
    /// # Errors
    /// [`ReviseError`] when the files cannot be read.
    pub(crate) fn state(&self) -> Result<Value, ReviseError> {
        let (folder, stamp, undo, redo, kept) = {
            let mut job = self.job();
            job.look()?;
            (
                job.folder().clone(),
                job.stamp(),
                job.to_undo(),
                job.to_redo(),
                job.kept(),
            )
        };
        let came = self.run(&folder, &stamp);
        let file = |kind: FileKind| {
            let source = folder.source(kind)?;
            Some(json!({ "path": source.path, "text": source.text, "values": typed_values(&source.text) }))
        };
        Ok(json!({
            "stamp": stamp,
            "fit": folder.fit_name,
            "fits": folder.fit_names,
            "undo": undo,
            "redo": redo,
            "files": {
                "design": file(FileKind::Design),
                "fit": file(FileKind::Fit),
                "shop": file(FileKind::Shop),
            },
            "answers": answers(&came),
            "kept": kept::told(kept.as_ref(), came.summary()),
            "said": match &*came {
                Came::To(outcome) => said(&outcome.summary),
                Came::Stopped(_) => Value::Null,
            },
        }))
    }

    /// What acts would come to; nothing is written.
    ///
    /// # Errors
    /// [`ReviseError`]
    pub(crate) fn tried(
        &self,
        kind: FileKind,
        acts: &[job::revise::Act],
        base: &Stamp,
    ) -> Result<Value, ReviseError> {
        let folder = {
            let mut job = self.job();
            job.look()?;
            if job.stamp() != *base {
                return Err(ReviseError::Stale);
            }
            job.tried(kind, acts)?
        };
        Ok(json!({ "answers": answers(&worked_out(&folder)) }))
    }

    /// The pages of a drawing of the job as it stands; none where there is nothing to show.
    ///
    /// # Errors
    /// [`ReviseError`] when the files cannot be read; then what the drawing says.
    pub(crate) fn picture(&self, what: Picture) -> Result<Result<Vec<String>, MakeError>, ReviseError> {
        let (folder, stamp) = {
            let mut job = self.job();
            job.look()?;
            (job.folder().clone(), job.stamp())
        };
        Ok(match &*self.run(&folder, &stamp) {
            Came::To(outcome) => job::picture(outcome, what, &MakeOptions::default()),
            // What is sound of the mock-up is shown whatever stops the job later.
            Came::Stopped(_) if what == Picture::MarkOut => Ok(job::mark_out(&folder)
                .map(|shown| shown.svg)
                .into_iter()
                .collect()),
            Came::Stopped(_) => Ok(Vec::new()),
        })
    }

    /// Something of the job as it stands and of what it came to, where it came to anything.
    ///
    /// # Errors
    /// [`ReviseError`] when the files cannot be read.
    pub(crate) fn with_outcome<T>(
        &self,
        say: impl FnOnce(&Folder, Option<&Outcome>) -> T,
    ) -> Result<T, ReviseError> {
        let (folder, stamp) = {
            let mut job = self.job();
            job.look()?;
            (job.folder().clone(), job.stamp())
        };
        Ok(match &*self.run(&folder, &stamp) {
            Came::To(outcome) => say(&folder, Some(outcome)),
            Came::Stopped(_) => say(&folder, None),
        })
    }

    /// Does something with the job as it is worked out in full, where it is still what `base` says.
    ///
    /// # Errors
    /// [`ReviseError::Stale`]; that it cannot be worked out; and what `with` says.
    pub(crate) fn worked<T>(
        &self,
        base: &Stamp,
        with: impl FnOnce(&Folder, &Outcome) -> Result<T, NotDone>,
    ) -> Result<T, NotDone> {
        let (folder, stamp) = {
            let mut job = self.job();
            job.look()?;
            (job.folder().clone(), job.stamp())
        };
        if stamp != *base {
            return Err(ReviseError::Stale.into());
        }
        match &*self.run(&folder, &stamp) {
            Came::To(outcome) => with(&folder, outcome),
            Came::Stopped(_) => Err(NotDone::new(
                StatusCode::UNPROCESSABLE_ENTITY,
                "the job cannot be worked out as it stands; put right what stands at the top of the page first",
            )),
        }
    }

    /// For which texts files were last made while this program ran.
    pub(crate) fn made(&self) -> MutexGuard<'_, Option<Stamp>> {
        held(&self.made)
    }

    /// The run of these texts; it is made once.
    fn run(&self, folder: &Folder, stamp: &Stamp) -> Arc<Came> {
        let mut last = held(&self.last);
        if let Some(run) = last.as_ref().filter(|run| run.stamp == *stamp) {
            return run.came.clone();
        }
        let came = Arc::new(worked_out(folder));
        *last = Some(Run {
            stamp: stamp.clone(),
            came: came.clone(),
        });
        came
    }
}

fn worked_out(folder: &Folder) -> Came {
    match job::run(folder) {
        Ok(outcome) => Came::To(Box::new(outcome)),
        Err(Stopped::Wrong(wrongs)) => Came::Stopped(job::wrongs_json(folder, &wrongs)),
        Err(Stopped::Refused(refusal)) => Came::Stopped(job::refusal_json(folder, &refusal)),
    }
}

fn answers(came: &Came) -> Value {
    match came {
        Came::To(outcome) => serde_json::to_value(&outcome.summary)
            .unwrap_or_else(|error| json!({ "error": error.to_string() })),
        Came::Stopped(says) => says.clone(),
    }
}
