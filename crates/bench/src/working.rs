//! What is worked out of the job: at once what an act is answered with, and behind it the proof. What a newer act makes
//! useless is broken off.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};

use job::revise::Stamp;
use job::{Folder, NotWanted, Outcome, Stop, Stopped, Wanted};
use serde_json::{Value, json};
use tokio::sync::watch;

/// What a run came to.
#[derive(Debug)]
pub(crate) enum Came {
    To(Box<Outcome>),
    Stopped(Value),
}

impl Came {
    /// Whether nothing of it is still to come.
    pub fn is_whole(&self) -> bool {
        match self {
            Came::To(outcome) => outcome.is_whole(),
            Came::Stopped(_) => true,
        }
    }

    pub fn outcome(&self) -> Option<&Outcome> {
        match self {
            Came::To(outcome) => Some(outcome),
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

#[derive(Debug, Default)]
struct State {
    /// Of the texts that were asked about last, as far as it has come.
    last: Option<Run>,
    /// The last that came to its end with all answers.
    whole: Option<Arc<Came>>,
    /// Of which texts a run is under way, and what ends it.
    under_way: Option<(Stamp, Stop)>,
    /// What would be if: a newer question ends it.
    tried: Option<Stop>,
    /// What would help: a newer question ends it, and so does a newer job.
    helping: Option<Stop>,
    /// How many proofs have come.
    worked: u64,
}

#[derive(Debug)]
struct Shared {
    state: Mutex<State>,
    came: Condvar,
    news: watch::Sender<()>,
}

/// The runs of one job.
#[derive(Debug)]
pub(crate) struct Working {
    shared: Arc<Shared>,
}

/// Texts as far as they are worked out.
#[derive(Debug, Clone)]
pub(crate) struct Now {
    pub came: Arc<Came>,
    /// The last proof that came, be it of older texts.
    pub known: Option<Arc<Came>>,
    /// How many proofs have come.
    pub worked: u64,
}

impl Working {
    pub fn new() -> Working {
        Working {
            shared: Arc::new(Shared {
                state: Mutex::default(),
                came: Condvar::new(),
                news: watch::Sender::new(()),
            }),
        }
    }

    /// Told when texts were worked out, and again when their proof has come.
    pub fn news(&self) -> watch::Receiver<()> {
        self.shared.news.subscribe()
    }

    /// How many proofs have come.
    pub fn worked(&self) -> u64 {
        self.shared.held().worked
    }

    /// Whether these texts are worked out or being worked out.
    pub fn is_at(&self, stamp: &Stamp) -> bool {
        let state = self.shared.held();
        state.whole_of(stamp).is_some() || state.is_under_way(stamp)
    }

    /// These texts without waiting for their proof, which is begun beside. None when newer ones came between.
    pub fn first(&self, folder: &Folder, stamp: &Stamp) -> Option<Now> {
        let mut state = self.shared.held();
        if state.is_under_way(stamp) {
            // Someone else is at it; when it is no longer under way it has come, or something newer has.
            while state.is_under_way(stamp) && !state.is_of(stamp) {
                state = self.shared.wait(state);
            }
            let now = state.last.as_ref().filter(|run| run.stamp == *stamp);
            return now.map(|run| state.now(run.came.clone()));
        }
        // One whose proof was broken off is begun again: what is left of it serves, and nobody is at the rest.
        if let Some(run) = state.whole_of(stamp) {
            return Some(state.now(run.came.clone()));
        }
        let stop = Stop::default();
        if let Some((_, older)) = state.under_way.replace((stamp.clone(), stop.clone())) {
            older.stop();
            self.shared.came.notify_all();
        }
        if let Some(older) = state.helping.take() {
            older.stop();
        }
        let before = state.before();
        drop(state);
        let came = unbroken(|| begun(folder, &before, &stop));
        let mut state = self.shared.held();
        let is_newest = state.under_way.as_ref().is_some_and(|(_, own)| own.is(&stop));
        let came = match came {
            Ok(came) if is_newest => Arc::new(came),
            // Whoever made it useless has put its own in its place.
            _ => {
                self.shared.came.notify_all();
                return None;
            }
        };
        state.last = Some(Run {
            stamp: stamp.clone(),
            came: came.clone(),
        });
        if came.is_whole() {
            state.under_way = None;
            state.keep(&came);
        } else {
            drop(state);
            self.prove(came.clone(), folder.clone(), stamp.clone(), stop);
            state = self.shared.held();
        }
        let now = state.now(came);
        drop(state);
        self.shared.tell();
        Some(now)
    }

    /// These texts with their proof. None when newer ones came between.
    pub fn whole(&self, folder: &Folder, stamp: &Stamp) -> Option<Arc<Came>> {
        self.first(folder, stamp)?;
        let mut state = self.shared.held();
        loop {
            let run = state.last.as_ref().filter(|run| run.stamp == *stamp)?;
            if run.came.is_whole() {
                return Some(run.came.clone());
            }
            if !state.is_under_way(stamp) {
                return None;
            }
            state = self.shared.wait(state);
        }
    }

    /// What other texts would come to; nothing is kept. None when another question came between.
    pub fn tried(&self, folder: &Folder, with_proof: bool) -> Option<Came> {
        let stop = Stop::default();
        let before = {
            let mut state = self.shared.held();
            if let Some(older) = state.tried.replace(stop.clone()) {
                older.stop();
            }
            state.before()
        };
        let came = unbroken(|| begun(folder, &before, &stop)).ok()?;
        if let Came::To(outcome) = &came
            && with_proof
            && !outcome.is_whole()
        {
            return proof_or_fault(folder, outcome, || proven(folder, outcome, &stop)).ok();
        }
        Some(came)
    }

    /// A search for what would help is begun, in place of any other.
    pub fn helping(&self, stop: Stop) {
        if let Some(older) = self.shared.held().helping.replace(stop) {
            older.stop();
        }
    }

    /// Works out the proof beside everything else.
    fn prove(&self, came: Arc<Came>, folder: Folder, stamp: Stamp, stop: Stop) {
        let (shared, begun) = (self.shared.clone(), came.clone());
        let (of, own) = (stamp.clone(), stop.clone());
        let beside = {
            let folder = folder.clone();
            move || {
                let Some(outcome) = begun.outcome() else { return };
                if let Ok(whole) = proof_or_fault(&folder, outcome, || proven(&folder, outcome, &own)) {
                    shared.proven(of, &own, whole);
                }
            }
        };
        let thread = std::thread::Builder::new().name("proof".into());
        // Where the system gives no more threads, all but the proof is told.
        if thread.spawn(beside).is_err()
            && let Some(outcome) = came.outcome()
        {
            let whole = Came::To(Box::new(job::proof_broke_off(&folder, outcome)));
            self.shared.proven(stamp, &stop, whole);
        }
    }
}

impl Drop for Working {
    fn drop(&mut self) {
        let state = self.shared.held();
        let stops = state.under_way.iter().map(|(_, stop)| stop).chain(&state.tried);
        stops.for_each(Stop::stop);
    }
}

impl Shared {
    fn held(&self) -> MutexGuard<'_, State> {
        // Whoever broke off left whole values behind: they are put in place in one move.
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn wait<'a>(&self, state: MutexGuard<'a, State>) -> MutexGuard<'a, State> {
        self.came.wait(state).unwrap_or_else(PoisonError::into_inner)
    }

    /// Takes a proof in that has come, where nothing newer was asked meanwhile.
    fn proven(&self, stamp: Stamp, stop: &Stop, whole: Came) {
        let mut state = self.held();
        if stop.is_stopped() {
            return;
        }
        let whole = Arc::new(whole);
        state.last = Some(Run {
            stamp,
            came: whole.clone(),
        });
        state.under_way = None;
        state.keep(&whole);
        state.worked += 1;
        drop(state);
        self.tell();
    }

    fn tell(&self) {
        self.came.notify_all();
        self.news.send_replace(());
    }
}

impl State {
    fn is_of(&self, stamp: &Stamp) -> bool {
        self.last.as_ref().is_some_and(|run| run.stamp == *stamp)
    }

    fn whole_of(&self, stamp: &Stamp) -> Option<&Run> {
        let last = self.last.as_ref();
        last.filter(|run| run.stamp == *stamp && run.came.is_whole())
    }

    fn is_under_way(&self, stamp: &Stamp) -> bool {
        self.under_way.as_ref().is_some_and(|(of, _)| of == stamp)
    }

    fn now(&self, came: Arc<Came>) -> Now {
        Now {
            came,
            known: self.whole.clone(),
            worked: self.worked,
        }
    }

    /// Runs whose stages may serve again.
    fn before(&self) -> Vec<Arc<Came>> {
        let last = self.last.iter().map(|run| &run.came);
        let mut before: Vec<Arc<Came>> = last.chain(&self.whole).cloned().collect();
        before.dedup_by(|a, b| Arc::ptr_eq(a, b));
        before
    }

    fn keep(&mut self, whole: &Arc<Came>) {
        if matches!(**whole, Came::To(_)) {
            self.whole = Some(whole.clone());
        }
    }
}

fn begun(folder: &Folder, before: &[Arc<Came>], stop: &Stop) -> Result<Came, NotWanted> {
    let before: Vec<&Outcome> = before.iter().filter_map(|came| came.outcome()).collect();
    let begun = job::begin(folder, &Wanted::default(), &before, stop)?;
    Ok(match begun {
        Ok(outcome) => Came::To(Box::new(outcome)),
        Err(Stopped::Wrong(wrongs)) => Came::Stopped(job::wrongs_json(folder, &wrongs)),
        Err(Stopped::Refused(refusal)) => Came::Stopped(job::refusal_json(folder, &refusal)),
    })
}

fn proven(folder: &Folder, outcome: &Outcome, stop: &Stop) -> Result<Came, NotWanted> {
    job::prove(folder, outcome, stop).map(|outcome| Came::To(Box::new(outcome)))
}

/// Where the proof breaks off by a fault of ours, what was begun stands without it.
fn proof_or_fault(
    folder: &Folder,
    begun: &Outcome,
    proof: impl FnOnce() -> Result<Came, NotWanted>,
) -> Result<Came, NotWanted> {
    catch_unwind(AssertUnwindSafe(proof))
        .unwrap_or_else(|_| Ok(Came::To(Box::new(job::proof_broke_off(folder, begun)))))
}

/// A fault of ours is told as one: nobody waits for what will not come.
fn unbroken(work: impl FnOnce() -> Result<Came, NotWanted>) -> Result<Came, NotWanted> {
    catch_unwind(AssertUnwindSafe(work)).unwrap_or_else(|_| {
        let says =
            "this is our fault: the job could not be worked out as it stands. Its files are as they were";
        Ok(Came::Stopped(json!({ "wrong": [{ "says": says }] })))
    })
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use job::{Answer, Question};

    use super::*;

    fn one_bend() -> (Folder, Outcome) {
        let folder = Folder::open(Path::new("../../examples/one-bend"), None).expect("an example");
        let begun = job::begin(&folder, &Wanted::default(), &[], &Stop::default());
        let begun = begun.expect("nobody stops it").expect("it is sound");
        assert!(!begun.is_whole());
        (folder, begun)
    }

    #[test]
    fn a_run_whose_proof_was_broken_off_is_begun_again_when_its_texts_come_back() {
        let (folder, begun) = one_bend();
        let stamp = Stamp("as it was".into());
        let working = Working::new();
        working.shared.held().last = Some(Run {
            stamp: stamp.clone(),
            came: Arc::new(Came::To(Box::new(begun))),
        });
        assert!(!working.is_at(&stamp), "nobody is at its proof");
        let whole = working.whole(&folder, &stamp).expect("nothing newer came");
        assert!(whole.is_whole());
        assert!(working.is_at(&stamp));
    }

    #[test]
    fn a_proof_that_breaks_off_takes_no_other_answer_away() {
        let (folder, begun) = one_bend();
        let came = proof_or_fault(&folder, &begun, || panic!("a fault of ours")).expect("nobody stops it");
        let outcome = came.outcome().expect("what was begun");
        let verdicts = &outcome.summary.verdicts;
        assert!(outcome.is_whole(), "nobody waits for it");
        assert_eq!(verdicts.hold.answer, Answer::NotChecked);
        assert!(verdicts.hold.says.contains("our fault"), "{}", verdicts.hold.says);
        assert_eq!(verdicts.fit, begun.summary.verdicts.fit);
        assert_eq!(verdicts.bend, begun.summary.verdicts.bend);
    }

    #[test]
    fn the_cut_is_among_what_is_to_come_as_its_starts_rest_on_the_proof() {
        let (folder, begun) = one_bend();
        assert_eq!(begun.to_come(), [Question::Cut, Question::Hold]);
        let whole = job::prove(&folder, &begun, &Stop::default()).expect("nobody stops it");
        assert!(whole.to_come().is_empty());
    }
}
