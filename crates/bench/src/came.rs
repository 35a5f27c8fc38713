//! What a run came to, with its drawings; and the two steps of one, of which a fault of ours breaks off no more than itself.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use job::{Folder, NotWanted, Outcome, Picture, Stop, Stopped, Wanted};
use serde_json::{Value, json};

/// What a run came to.
#[derive(Debug)]
pub(crate) enum Came {
    To(Box<Outcome>, Drawings),
    Stopped(Value),
}

/// The pages of a drawing once it was made; whoever asks meanwhile waits for it.
type Pages = Arc<Mutex<Option<Vec<String>>>>;

/// Drawings of an outcome that were made already, or are being made.
#[derive(Debug, Default)]
pub(crate) struct Drawings(Mutex<Vec<(Picture, Pages)>>);

impl Drawings {
    /// The pages of a drawing: those that were made, or else what `draw` makes now.
    pub fn pages<E>(
        &self,
        what: Picture,
        draw: impl FnOnce() -> Result<Vec<String>, E>,
    ) -> Result<Vec<String>, E> {
        let own = self.of(what);
        let mut made = held(&own);
        if let Some(pages) = &*made {
            return Ok(pages.clone());
        }
        let pages = draw()?;
        *made = Some(pages.clone());
        Ok(pages)
    }

    fn of(&self, what: Picture) -> Pages {
        let mut drawings = held(&self.0);
        if let Some((_, own)) = drawings.iter().find(|(made, _)| *made == what) {
            return own.clone();
        }
        let own = Pages::default();
        drawings.push((what, own.clone()));
        own
    }

    /// Those that stay as they are once the proof has come.
    fn without_proof(&self) -> Drawings {
        let drawings = held(&self.0);
        let stay = drawings.iter().filter(|(made, _)| !made.rests_on_proof());
        Drawings(Mutex::new(stay.cloned().collect()))
    }
}

/// What is kept, also after someone broke off: whole values are left behind, as they are put in place in one move.
pub(crate) fn held<T>(of: &Mutex<T>) -> MutexGuard<'_, T> {
    of.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Came {
    /// Whether nothing of it is still to come.
    pub fn is_whole(&self) -> bool {
        match self {
            Came::To(outcome, _) => outcome.is_whole(),
            Came::Stopped(_) => true,
        }
    }

    pub fn outcome(&self) -> Option<&Outcome> {
        match self {
            Came::To(outcome, _) => Some(outcome),
            Came::Stopped(_) => None,
        }
    }
}

/// A run as far as cut and bends; stages of the runs before serve again where they are the same.
pub(crate) fn begun(folder: &Folder, before: &[Arc<Came>], stop: &Stop) -> Result<Came, NotWanted> {
    let before: Vec<&Outcome> = before.iter().filter_map(|came| came.outcome()).collect();
    let begun = job::begin(folder, &Wanted::default(), &before, stop)?;
    Ok(match begun {
        Ok(outcome) => Came::To(Box::new(outcome), Drawings::default()),
        Err(Stopped::Wrong(wrongs)) => Came::Stopped(job::wrongs_json(folder, &wrongs)),
        Err(Stopped::Refused(refusal)) => Came::Stopped(job::refusal_json(folder, &refusal)),
    })
}

/// Its proof; where that breaks off by a fault of ours, what was begun stands without it. None where there is none to come.
pub(crate) fn proven(folder: &Folder, begun: &Came, stop: &Stop) -> Option<Result<Came, NotWanted>> {
    let Came::To(outcome, drawings) = begun else {
        return None;
    };
    if outcome.is_whole() {
        return None;
    }
    let proof = || job::prove(folder, outcome, stop);
    let whole = proof_or_fault(folder, outcome, proof);
    Some(whole.map(|whole| Came::To(Box::new(whole), drawings.without_proof())))
}

/// Where the proof breaks off by a fault of ours, what was begun stands without it.
fn proof_or_fault(
    folder: &Folder,
    begun: &Outcome,
    proof: impl FnOnce() -> Result<Outcome, NotWanted>,
) -> Result<Outcome, NotWanted> {
    catch_unwind(AssertUnwindSafe(proof)).unwrap_or_else(|_| Ok(job::proof_broke_off(folder, begun)))
}

/// A fault of ours is told as one: nobody waits for what will not come.
pub(crate) fn unbroken(work: impl FnOnce() -> Result<Came, NotWanted>) -> Result<Came, NotWanted> {
    catch_unwind(AssertUnwindSafe(work)).unwrap_or_else(|_| {
        let says =
            "this is our fault: the job could not be worked out as it stands. Its files are as they were";
        Ok(Came::Stopped(json!({ "wrong": [{ "says": says }] })))
    })
}

#[cfg(test)]
pub(crate) mod tests {
    use std::path::Path;

    use job::{Answer, Stop};

    use super::*;

    /// The example, worked out without its proof.
    pub(crate) fn one_bend() -> (Folder, Outcome) {
        let folder = Folder::open(Path::new("../../examples/one-bend"), None).expect("an example");
        let begun = job::begin(&folder, &Wanted::default(), &[], &Stop::default());
        let begun = begun.expect("nobody stops it").expect("it is sound");
        assert!(!begun.is_whole());
        (folder, begun)
    }

    #[test]
    fn a_proof_that_breaks_off_takes_no_other_answer_away() {
        let (folder, begun) = one_bend();
        let outcome = proof_or_fault(&folder, &begun, || panic!("a fault of ours")).expect("nobody stops it");
        let verdicts = &outcome.summary.verdicts;
        assert!(outcome.is_whole(), "nobody waits for it");
        assert_eq!(verdicts.hold.answer, Answer::NotChecked);
        assert!(verdicts.hold.says.contains("our fault"), "{}", verdicts.hold.says);
        assert_eq!(verdicts.fit, begun.summary.verdicts.fit);
        assert_eq!(verdicts.bend, begun.summary.verdicts.bend);
    }
}
