//! The job on the desk: held open, and worked out once for each state of its files.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;
use std::sync::{Arc, Mutex, MutexGuard};

use axum::http::StatusCode;
use job::files::model::FileKind;
use job::revise::{OpenJob, ReviseError, Stamp, stamp_of, typed_values};
use job::{Folder, Helps, Kept, MakeError, MakeOptions, Outcome, Picture, Question, Stop, Verdict};
use serde_json::{Value, json};
use tokio::sync::watch;

use crate::asked::{InSight, NotDone, Try, Upto};
use crate::came::{Came, held};
use crate::kept;
use crate::said::said;
use crate::working::{Now, Working};

/// A job that is worked on from the page.
#[derive(Debug)]
pub struct Desk {
    job: Mutex<OpenJob>,
    /// For which texts files were last made; one is made at a time.
    made: Mutex<Option<Stamp>>,
    working: Working,
}

/// What acts would come to.
pub(crate) enum Tried {
    To(Value),
    /// Another question came between.
    NotWanted,
}

impl Desk {
    /// Opens a job.
    ///
    /// # Errors
    /// [`ReviseError`]
    pub fn open(root: &Path, fit: Option<&str>) -> Result<Desk, ReviseError> {
        Ok(Desk {
            job: Mutex::new(OpenJob::open(root, fit)?),
            made: Mutex::new(None),
            working: Working::new(),
        })
    }

    pub(crate) fn job(&self) -> MutexGuard<'_, OpenJob> {
        held(&self.job)
    }

    /// Told when the job was worked out, and again when its proof has come.
    pub(crate) fn news(&self) -> watch::Receiver<()> {
        self.working.news()
    }

    /// Which texts stand in the files, and how many proofs have come. Sees to it that these texts are worked out.
    ///
    /// # Errors
    /// [`ReviseError`] when the files cannot be read.
    pub(crate) fn looked(&self) -> Result<(Stamp, u64), ReviseError> {
        let (folder, stamp) = self.texts()?;
        if !self.working.is_at(&stamp) {
            self.working.first(&folder, &stamp);
        }
        Ok((stamp, self.working.worked()))
    }

    /// The files as typed, what can be undone, the answers, and the drawings in sight: all of one state; nothing where that is
    /// shown already. The proof is not waited for: while it is under way `working` names what rests on it, those answers are
    /// those of before, and a drawing that rests on it is left out, as is one that cannot be made.
    ///
    /// # Errors
    /// [`ReviseError`] when the files cannot be read.
    pub(crate) fn state(&self, sight: &InSight) -> Result<Value, ReviseError> {
        loop {
            let texts = {
                let mut job = self.job();
                job.look()?;
                Texts {
                    folder: job.folder().clone(),
                    stamp: job.stamp(),
                    undo: job.to_undo(),
                    redo: job.to_redo(),
                    kept: job.kept(),
                }
            };
            // When something newer came between, that is what is told.
            if let Some(now) = self.working.first(&texts.folder, &texts.stamp) {
                return Ok(if sight.has(&texts.stamp, &to_come(&now.came)) {
                    Value::Null
                } else {
                    told(&texts, &now, &sight.pictures())
                });
            }
        }
    }

    /// What acts would come to; nothing is written. Without the proof, unless it is asked for: `working` tells.
    ///
    /// # Errors
    /// [`ReviseError`]
    pub(crate) fn tried(
        &self,
        kind: FileKind,
        acts: &[job::revise::Act],
        base: &Stamp,
        with_proof: bool,
    ) -> Result<Tried, ReviseError> {
        let folder = {
            let mut job = self.job();
            job.look()?;
            if job.stamp() != *base {
                return Err(ReviseError::Stale);
            }
            job.tried(kind, acts)?
        };
        Ok(
            match self.working.tried(&folder, &stamp_of(&folder), with_proof) {
                Some(came) => Tried::To(json!({ "answers": answers(&came), "working": to_come(&came) })),
                None => Tried::NotWanted,
            },
        )
    }

    /// Has worked out what acts would come to before they are done, so that it has come when they are: the job as
    /// [`Desk::state`] tells it then. Nothing is written. None where they cannot be done or change nothing, and where
    /// something newer came between; what is wrong with them is told when they are done.
    ///
    /// # Errors
    /// [`ReviseError`] when the files cannot be read.
    pub(crate) fn ahead(&self, asked: &Try, sight: &InSight) -> Result<Option<Value>, ReviseError> {
        let texts = {
            let mut job = self.job();
            job.look()?;
            if job.stamp() != asked.base {
                return Ok(None);
            }
            let Ok(folder) = job.tried(asked.file.into(), &asked.acts) else {
                return Ok(None);
            };
            Texts {
                stamp: stamp_of(&folder),
                folder,
                undo: Some(asked.says.clone()),
                redo: None,
                kept: job.kept(),
            }
        };
        if texts.stamp == asked.base {
            return Ok(None);
        }
        self.working.ahead(&texts.folder, &texts.stamp);
        let with_proof = asked.upto == Upto::Hold;
        let now = self.working.awaited(&texts.stamp, with_proof);
        Ok(now.map(|now| told(&texts, &now, &sight.pictures())))
    }

    /// The pages of a drawing of the job as it stands; none where there is nothing to show. A drawing that rests on the proof
    /// waits for it.
    ///
    /// # Errors
    /// [`ReviseError`] when the files cannot be read; then what the drawing says.
    pub(crate) fn picture(&self, what: Picture) -> Result<Result<Vec<String>, MakeError>, ReviseError> {
        let (folder, came) = match what {
            Picture::Stress => self.whole()?,
            _ => self.first()?,
        };
        Ok(pages(&folder, &came, what))
    }

    /// Something of the job as it stands and of what it came to with its proof, where it came to anything.
    ///
    /// # Errors
    /// [`ReviseError`] when the files cannot be read.
    pub(crate) fn with_outcome<T>(
        &self,
        say: impl FnOnce(&Folder, Option<&Outcome>) -> T,
    ) -> Result<T, ReviseError> {
        let (folder, came) = self.whole()?;
        Ok(say(&folder, came.outcome()))
    }

    /// What would help the job as it stands; none where nothing can be said, once it was stopped, and where something newer came
    /// between.
    ///
    /// # Errors
    /// [`ReviseError`] when the files cannot be read.
    pub(crate) fn helps(&self, stop: &Stop) -> Result<Option<Helps>, ReviseError> {
        let (folder, stamp) = self.texts()?;
        let Some(came) = self.working.whole(&folder, &stamp) else {
            return Ok(None);
        };
        // What is begun for a newer job ends this from here on.
        self.working.helping(stop.clone());
        if !self.working.is_at(&stamp) {
            return Ok(None);
        }
        Ok(came.outcome().and_then(|outcome| job::helps_until(outcome, stop)))
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
        let (folder, stamp) = self.texts()?;
        if stamp != *base {
            return Err(ReviseError::Stale.into());
        }
        // One that something newer came between was asked for texts that are no longer there.
        let came = self.working.whole(&folder, &stamp).ok_or(ReviseError::Stale)?;
        match &*came {
            Came::To(outcome, _) => with(&folder, outcome),
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

    /// As [`Desk::with_outcome`], without waiting for the proof: for what does not rest on it.
    ///
    /// # Errors
    /// [`ReviseError`] when the files cannot be read.
    pub(crate) fn with_first<T>(
        &self,
        say: impl FnOnce(&Folder, Option<&Outcome>) -> T,
    ) -> Result<T, ReviseError> {
        let (folder, came) = self.first()?;
        Ok(say(&folder, came.outcome()))
    }

    fn first(&self) -> Result<(Folder, Arc<Came>), ReviseError> {
        loop {
            let (folder, stamp) = self.texts()?;
            if let Some(now) = self.working.first(&folder, &stamp) {
                return Ok((folder, now.came));
            }
        }
    }

    fn whole(&self) -> Result<(Folder, Arc<Came>), ReviseError> {
        loop {
            let (folder, stamp) = self.texts()?;
            if let Some(came) = self.working.whole(&folder, &stamp) {
                return Ok((folder, came));
            }
        }
    }

    fn texts(&self) -> Result<(Folder, Stamp), ReviseError> {
        let mut job = self.job();
        job.look()?;
        Ok((job.folder().clone(), job.stamp()))
    }
}

/// The files of one state, and what can be undone there.
struct Texts {
    folder: Folder,
    stamp: Stamp,
    undo: Option<String>,
    redo: Option<String>,
    kept: Option<Kept>,
}

/// A state as the page is told it, with those of the drawings that can be made now.
fn told(texts: &Texts, now: &Now, pictures: &[Picture]) -> Value {
    let folder = &texts.folder;
    let file = |kind: FileKind| {
        let source = folder.source(kind)?;
        Some(json!({ "path": source.path, "text": source.text, "values": typed_values(&source.text) }))
    };
    let told = json!({
            "stamp": texts.stamp,
            "fit": folder.fit_name,
            "fits": folder.fit_names,
            "undo": texts.undo,
            "redo": texts.redo,
            "files": {
                "design": file(FileKind::Design),
                "fit": file(FileKind::Fit),
                "shop": file(FileKind::Shop),
            },
            "answers": answers(&now.came),
            "working": to_come(&now.came),
            "worked": now.worked,
            "kept": kept::told(
                texts.kept.as_ref(),
                now.came.outcome().map(|outcome| &outcome.summary),
                now.came.is_whole(),
            ),
            "said": match &*now.came {
                Came::To(outcome, _) => said(&outcome.summary),
                Came::Stopped(_) => Value::Null,
            },
    });
    with_pictures(with_known(told, now), drawn(folder, &now.came, pictures))
}

/// The pages of a drawing.
fn pages(folder: &Folder, came: &Came, what: Picture) -> Result<Vec<String>, MakeError> {
    match came {
        Came::To(outcome, made) => made.pages(what, || job::picture(outcome, what, &MakeOptions::default())),
        // What is sound of the mock-up is shown whatever stops the job later.
        Came::Stopped(_) if what == Picture::MarkOut => {
            Ok(job::mark_out(folder).map(|shown| shown.svg).into_iter().collect())
        }
        Came::Stopped(_) => Ok(Vec::new()),
    }
}

/// Those of the drawings that can be made now. What a fault of ours breaks off is left out: it is told where it is asked for by
/// itself, and takes no answer away.
fn drawn(folder: &Folder, came: &Came, pictures: &[Picture]) -> Vec<(Picture, Vec<String>)> {
    let can = |what: &Picture| came.is_whole() || !what.rests_on_proof();
    let asked = pictures.iter().copied().filter(can);
    asked
        .filter_map(|what| {
            let pages = catch_unwind(AssertUnwindSafe(|| pages(folder, came, what)));
            Some((what, pages.ok()?.ok()?))
        })
        .collect()
}

fn with_pictures(mut state: Value, pictures: Vec<(Picture, Vec<String>)>) -> Value {
    let named = pictures
        .into_iter()
        .map(|(what, pages)| (what.name().to_owned(), json!(pages)));
    state["pictures"] = Value::Object(named.collect());
    state
}

/// What is still being worked out.
fn to_come(came: &Came) -> Vec<&'static str> {
    let to_come = came.outcome().map(Outcome::to_come).unwrap_or_default();
    to_come.into_iter().filter_map(Question::word).collect()
}

fn answers(came: &Came) -> Value {
    match came {
        Came::To(outcome, _) => serde_json::to_value(&outcome.summary)
            .unwrap_or_else(|error| json!({ "error": error.to_string() })),
        Came::Stopped(says) => says.clone(),
    }
}

/// What is told of a cut whose plan rests on a proof that is still to come, where there is none of before.
const CUT_TO_COME: &str =
    "it is being worked out: where the cuts start rests on where the loads stress the plate";

/// While the proof is under way, what the last one said stands in its place, and so does the cut that was planned with it;
/// `working` tells that they are of before.
fn with_known(mut state: Value, now: &Now) -> Value {
    let to_come = now.came.outcome().map(Outcome::to_come).unwrap_or_default();
    let known = now.known.as_ref().and_then(|known| known.outcome());
    let old = known.map(|known| &known.summary);
    let answers = &mut state["answers"];
    if to_come.contains(&Question::Hold)
        && let Some(old) = old
    {
        answers["verdicts"]["hold"] = json!(old.verdicts.hold);
        if let Some(prove) = &old.prove {
            answers["prove"] = json!(prove);
        }
    }
    if to_come.contains(&Question::Cut) {
        let not_yet = || Verdict::not_checked(CUT_TO_COME);
        answers["verdicts"]["cut"] = json!(old.map_or_else(not_yet, |old| old.verdicts.cut.clone()));
        if let Some(old) = old.filter(|old| old.cut.is_some()) {
            answers["cut"] = json!(old.cut);
            // Row by row of the same plan.
            state["said"]["cuts"] = said(old)["cuts"].take();
        }
    }
    state
}
