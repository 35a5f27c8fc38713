//! What is worked out of the job: at once what an act is answered with, and behind it the proof. What a newer act makes
//! useless is broken off.

use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};

use job::revise::Stamp;
use job::{Folder, NotWanted, Stop};
use tokio::sync::watch;

use crate::came::{Came, Drawings, begun, held, proven, unbroken};
use crate::quiet::quiet;

/// A run, and the texts that it belongs to.
#[derive(Debug, Clone)]
struct Run {
    stamp: Stamp,
    came: Arc<Came>,
}

/// So many runs are kept: what is undone or done again soon after stands at once, its proof with it. Each takes some 4 MB on
/// push-hoe (docs/benchmarks.md).
const KEPT_RUNS: usize = 8;

#[derive(Debug, Default)]
struct State {
    /// As far as each has come, the newest first.
    runs: Vec<Run>,
    /// The texts that were asked about last.
    current: Option<Stamp>,
    /// The last that came to its end with all answers.
    whole: Option<Arc<Came>>,
    /// Of which texts a run is under way, and what ends it.
    under_way: Option<(Stamp, Stop)>,
    /// Of texts that may stand in the files next: worked out before they do.
    ahead: Option<(Stamp, Stop)>,
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

    /// Whether these texts were asked about last, and are worked out or being worked out.
    pub fn is_at(&self, stamp: &Stamp) -> bool {
        let state = self.shared.held();
        let is_there = state.whole_of(stamp).is_some() || state.is_under_way(stamp);
        is_there && state.current.as_ref() == Some(stamp)
    }

    /// These texts without waiting for their proof, which is begun beside. None when newer ones came between.
    pub fn first(&self, folder: &Folder, stamp: &Stamp) -> Option<Now> {
        let mut state = self.shared.held();
        if state.is_under_way(stamp) {
            return self.followed(state, stamp);
        }
        if state.current.as_ref() != Some(stamp) {
            // Whatever is under way is of older texts, and nobody waits for it any longer.
            state.current = Some(stamp.clone());
            let older = [state.under_way.take().map(|(_, stop)| stop), state.helping.take()];
            older.into_iter().flatten().for_each(|stop| stop.stop());
            self.shared.came.notify_all();
            // What is at work on these texts already goes on for them; what was begun for others is of no use.
            if let Some((of, own)) = state.ahead.take() {
                if of == *stamp {
                    state.under_way = Some((of, own));
                    return self.followed(state, stamp);
                }
                own.stop();
            }
        }
        if let Some(whole) = state.whole_of(stamp).map(|run| run.came.clone()) {
            state.keep(&whole);
            return Some(state.now(whole));
        }
        let stop = Stop::default();
        state.under_way = Some((stamp.clone(), stop.clone()));
        // Of one whose proof was broken off only that is missing.
        let begun_before = state.run_of(stamp).map(|run| run.came.clone());
        let before = state.before();
        drop(state);
        let came = match begun_before {
            Some(came) => came,
            None => match unbroken(|| begun(folder, &before, &stop)) {
                Ok(came) => Arc::new(came),
                // Whoever made it useless has put its own in its place.
                Err(NotWanted) => return None,
            },
        };
        if !self.shared.took(stamp, &came, &stop) {
            return None;
        }
        if !came.is_whole() {
            self.prove(came.clone(), folder.clone(), stamp.clone(), stop);
        }
        let now = self.shared.held().now(came);
        self.shared.tell();
        Some(now)
    }

    /// As far as someone else comes who is at it: when it is no longer under way it has come, or something newer has.
    fn followed(&self, mut state: MutexGuard<'_, State>, stamp: &Stamp) -> Option<Now> {
        while state.is_under_way(stamp) && state.run_of(stamp).is_none() {
            state = self.shared.wait(state);
        }
        let came = state.run_of(stamp)?.came.clone();
        Some(state.now(came))
    }

    /// Texts that may stand in the files next are worked out beside everything else, with their proof once no other is under
    /// way, so that they have come when they are asked about. Newer ones end it, and so do texts that are others.
    pub fn ahead(&self, folder: &Folder, stamp: &Stamp) {
        let mut state = self.shared.held();
        if state.is_worked_at(stamp) || state.whole_of(stamp).is_some() {
            return;
        }
        let stop = Stop::default();
        if let Some((_, older)) = state.ahead.replace((stamp.clone(), stop.clone())) {
            older.stop();
            self.shared.came.notify_all();
        }
        let before = state.before();
        drop(state);
        let shared = self.shared.clone();
        let (folder, stamp, own) = (folder.clone(), stamp.clone(), stop.clone());
        let work = move || shared.work_ahead(&folder, &stamp, &before, &own);
        // Where the system gives no more threads, they are worked out when they are asked about.
        if std::thread::Builder::new()
            .name("ahead".into())
            .spawn(work)
            .is_err()
        {
            let mut state = self.shared.held();
            state.ahead.take_if(|(_, of)| of.is(&stop));
            state.under_way.take_if(|(_, of)| of.is(&stop));
            drop(state);
            self.shared.came.notify_all();
        }
    }

    /// Texts that someone is at, once they have come. None when newer ones came between.
    pub fn awaited(&self, stamp: &Stamp, with_proof: bool) -> Option<Now> {
        let mut state = self.shared.held();
        loop {
            let run = state.run_of(stamp);
            if let Some(run) = run.filter(|run| !with_proof || run.came.is_whole()) {
                return Some(state.now(run.came.clone()));
            }
            if !state.is_worked_at(stamp) {
                return None;
            }
            state = self.shared.wait(state);
        }
    }

    /// These texts with their proof. None when newer ones came between.
    pub fn whole(&self, folder: &Folder, stamp: &Stamp) -> Option<Arc<Came>> {
        self.first(folder, stamp)?;
        let mut state = self.shared.held();
        loop {
            let run = state.run_of(stamp)?;
            if run.came.is_whole() {
                return Some(run.came.clone());
            }
            if !state.is_under_way(stamp) {
                return None;
            }
            state = self.shared.wait(state);
        }
    }

    /// What other texts would come to; no file is changed. None when another question came between.
    pub fn tried(&self, folder: &Folder, stamp: &Stamp, with_proof: bool) -> Option<Arc<Came>> {
        let stop = Stop::default();
        let (known, before) = {
            let mut state = self.shared.held();
            if let Some(older) = state.tried.replace(stop.clone()) {
                older.stop();
            }
            (state.run_of(stamp).map(|run| run.came.clone()), state.before())
        };
        let mut came = match known {
            Some(came) => came,
            None => Arc::new(unbroken(|| begun(folder, &before, &stop)).ok()?),
        };
        if with_proof && let Some(whole) = proven(folder, &came, &stop) {
            came = Arc::new(whole.ok()?);
        }
        // It may be kept next.
        self.shared.held().put(stamp, &came);
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
                if let Some(Ok(whole)) = quiet(|| proven(&folder, &begun, &own)) {
                    shared.proven(&of, &own, whole);
                }
            }
        };
        let thread = std::thread::Builder::new().name("proof".into());
        // Where the system gives no more threads, all but the proof is told.
        if thread.spawn(beside).is_err()
            && let Some(outcome) = came.outcome()
        {
            let whole = Came::To(
                Box::new(job::proof_broke_off(&folder, outcome)),
                Drawings::default(),
            );
            self.shared.proven(&stamp, &stop, whole);
        }
    }
}

impl Drop for Working {
    fn drop(&mut self) {
        let state = self.shared.held();
        let working = state.under_way.iter().chain(&state.ahead).map(|(_, stop)| stop);
        working.chain(&state.tried).for_each(Stop::stop);
        self.shared.came.notify_all();
    }
}

impl Shared {
    fn held(&self) -> MutexGuard<'_, State> {
        held(&self.state)
    }

    fn wait<'a>(&self, state: MutexGuard<'a, State>) -> MutexGuard<'a, State> {
        self.came.wait(state).unwrap_or_else(PoisonError::into_inner)
    }

    /// Takes in what was begun, where nothing newer was asked meanwhile. Whether it did.
    fn took(&self, stamp: &Stamp, came: &Arc<Came>, stop: &Stop) -> bool {
        let mut state = self.held();
        let is_newest = state.under_way.as_ref().is_some_and(|(_, own)| own.is(stop));
        if is_newest {
            state.put(stamp, came);
            if came.is_whole() {
                state.under_way = None;
                state.keep(came);
            }
        }
        drop(state);
        self.came.notify_all();
        is_newest
    }

    /// Takes a proof in that has come, where nothing newer was asked meanwhile.
    fn proven(&self, stamp: &Stamp, stop: &Stop, whole: Came) {
        let mut state = self.held();
        if stop.is_stopped() {
            return;
        }
        let whole = Arc::new(whole);
        state.put(stamp, &whole);
        state.ahead.take_if(|(_, own)| own.is(stop));
        // Of texts that do not stand in the files yet nobody is told.
        if state.under_way.take_if(|(_, own)| own.is(stop)).is_some() {
            state.keep(&whole);
            state.worked += 1;
        }
        drop(state);
        self.tell();
    }

    /// Texts worked out before they stand in the files; from any moment on they may.
    fn work_ahead(&self, folder: &Folder, stamp: &Stamp, before: &[Arc<Came>], stop: &Stop) {
        let known = self.held().run_of(stamp).map(|run| run.came.clone());
        let came = match known {
            Some(came) => Ok(came),
            // Most of what is begun while someone types is of half a word: it gives way to what is told of it.
            None => unbroken(|| quiet(|| begun(folder, before, stop))).map(Arc::new),
        };
        if let Ok(came) = &came {
            let mut state = self.held();
            state.put(stamp, came);
            if came.is_whole() {
                state.ahead.take_if(|(_, own)| own.is(stop));
                if state.under_way.take_if(|(_, own)| own.is(stop)).is_some() {
                    state.keep(came);
                }
            }
            drop(state);
            self.tell();
            self.prove_ahead(folder, stamp, came, stop);
        }
        self.held().ahead.take_if(|(_, own)| own.is(stop));
        // Who waits for more than came waits no longer.
        self.came.notify_all();
    }

    /// The proof of what was worked out ahead. It waits for one that is of the files as they stand.
    fn prove_ahead(&self, folder: &Folder, stamp: &Stamp, came: &Came, stop: &Stop) {
        let is_others = |state: &State| state.under_way.as_ref().is_some_and(|(_, own)| !own.is(stop));
        let mut state = self.held();
        while is_others(&state) && !stop.is_stopped() {
            state = self.wait(state);
        }
        drop(state);
        if let Some(Ok(whole)) = quiet(|| proven(folder, came, stop)) {
            self.proven(stamp, stop, whole);
        }
    }

    fn tell(&self) {
        self.came.notify_all();
        self.news.send_replace(());
    }
}

impl State {
    fn run_of(&self, stamp: &Stamp) -> Option<&Run> {
        self.runs.iter().find(|run| run.stamp == *stamp)
    }

    fn whole_of(&self, stamp: &Stamp) -> Option<&Run> {
        self.run_of(stamp).filter(|run| run.came.is_whole())
    }

    /// Keeps what texts came to, and forgets what is old.
    fn put(&mut self, stamp: &Stamp, came: &Arc<Came>) {
        if !came.is_whole() && self.whole_of(stamp).is_some() {
            return;
        }
        self.runs.retain(|run| run.stamp != *stamp);
        self.runs.insert(
            0,
            Run {
                stamp: stamp.clone(),
                came: came.clone(),
            },
        );
        self.runs.truncate(KEPT_RUNS);
    }

    fn is_under_way(&self, stamp: &Stamp) -> bool {
        self.under_way.as_ref().is_some_and(|(of, _)| of == stamp)
    }

    /// Whether someone is at these texts, be it before they stand in the files.
    fn is_worked_at(&self, stamp: &Stamp) -> bool {
        let at = self.under_way.iter().chain(&self.ahead);
        at.into_iter().any(|(of, _)| of == stamp)
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
        let runs = self.runs.iter().map(|run| &run.came);
        runs.chain(&self.whole).cloned().collect()
    }

    fn keep(&mut self, whole: &Arc<Came>) {
        if matches!(**whole, Came::To(..)) {
            self.whole = Some(whole.clone());
        }
    }
}

#[cfg(test)]
mod tests {
    use job::{Outcome, Question};

    use super::*;
    use crate::came::tests::one_bend;

    #[test]
    fn a_run_whose_proof_was_broken_off_is_begun_again_when_its_texts_come_back() {
        let (folder, begun) = one_bend();
        let stamp = Stamp("as it was".into());
        let working = Working::new();
        let came = Arc::new(Came::To(Box::new(begun), Drawings::default()));
        working.shared.held().put(&stamp, &came);
        assert!(!working.is_at(&stamp), "nobody is at its proof");
        let whole = working.whole(&folder, &stamp).expect("nothing newer came");
        assert!(whole.is_whole());
        assert!(working.is_at(&stamp));
    }

    /// one-bend with another title, and its stamp.
    fn titled(folder: &Folder, title: &str) -> (Folder, Stamp) {
        let mut source = folder.design.clone();
        source.text = source.text.replacen("title", &format!("# {title}\ntitle"), 1);
        let folder = folder.revised(source);
        let stamp = job::revise::stamp_of(&folder);
        (folder, stamp)
    }

    fn settled(working: &Working, stamp: &Stamp) {
        let mut state = working.shared.held();
        while state.whole_of(stamp).is_none() {
            state = working.shared.wait(state);
        }
    }

    #[test]
    fn what_was_worked_out_ahead_is_there_when_it_is_asked_about_and_is_what_a_run_gives() {
        let (folder, _) = one_bend();
        let (next, stamp) = titled(&folder, "next");
        let working = Working::new();
        working.ahead(&next, &stamp);
        settled(&working, &stamp);
        assert!(!working.is_at(&stamp), "nobody asked about it");
        assert_eq!(working.worked(), 0, "of what is in no file nobody is told");
        let ahead = working.shared.held().run_of(&stamp).map(|run| run.came.clone());
        let now = working.first(&next, &stamp).expect("nothing newer came");
        assert!(ahead.is_some_and(|ahead| Arc::ptr_eq(&ahead, &now.came)));
        assert!(now.came.is_whole() && working.is_at(&stamp));
        let run = job::run(&next).expect("it is sound");
        let summary = |outcome: &Outcome| serde_json::to_string(&outcome.summary).expect("it is plain");
        assert_eq!(now.came.outcome().map(summary), Some(summary(&run)));
    }

    #[test]
    fn what_is_asked_about_while_it_is_worked_out_ahead_goes_on_with_its_proof() {
        let (folder, _) = one_bend();
        let (next, stamp) = titled(&folder, "next");
        let working = Working::new();
        working.ahead(&next, &stamp);
        let whole = working.whole(&next, &stamp).expect("nothing newer came");
        assert!(whole.is_whole());
        assert_eq!(working.worked(), 1, "it is told like any other");
        let state = working.shared.held();
        assert!(state.ahead.is_none() && state.under_way.is_none());
    }

    #[test]
    fn asking_about_the_texts_as_they_stand_ends_nothing_that_is_worked_out_ahead() {
        let (folder, _) = one_bend();
        let working = Working::new();
        let (now, stamp) = titled(&folder, "now");
        working.whole(&now, &stamp).expect("nothing newer came");
        let (next, of_next) = titled(&folder, "next");
        working.ahead(&next, &of_next);
        let stop = working.shared.held().ahead.as_ref().map(|(_, stop)| stop.clone());
        working.whole(&now, &stamp).expect("nothing newer came");
        assert!(stop.is_none_or(|stop| !stop.is_stopped()));
        settled(&working, &of_next);
    }

    #[test]
    fn what_was_worked_out_ahead_of_other_texts_is_ended() {
        let (folder, _) = one_bend();
        let (working, (other, stamp)) = (Working::new(), titled(&folder, "other"));
        working.ahead(&other, &stamp);
        let stop = working.shared.held().ahead.as_ref().map(|(_, stop)| stop.clone());
        let (next, stamp) = titled(&folder, "next");
        working.first(&next, &stamp).expect("nothing newer came");
        // It is stopped, unless it was done before.
        assert!(stop.is_none_or(|stop| stop.is_stopped()));
        assert!(working.shared.held().ahead.is_none());
    }

    #[test]
    fn runs_of_before_stand_with_their_proof_until_there_are_many_newer_ones() {
        let (folder, _) = one_bend();
        let working = Working::new();
        let (first, stamp) = titled(&folder, "0");
        let was = working.whole(&first, &stamp).expect("nothing newer came");
        let others = (1..KEPT_RUNS).map(|number| titled(&folder, &number.to_string()));
        for (other, stamp) in others {
            working.whole(&other, &stamp).expect("nothing newer came");
        }
        let again = working.first(&first, &stamp).expect("nothing newer came");
        assert!(Arc::ptr_eq(&again.came, &was));
        assert!(
            again.known.is_some_and(|known| Arc::ptr_eq(&known, &was)),
            "it is what is known now"
        );
        let (more, of_more) = titled(&folder, "more");
        working.whole(&more, &of_more).expect("nothing newer came");
        assert!(working.shared.held().run_of(&stamp).is_none(), "it is the oldest");
    }

    #[test]
    fn the_cut_is_among_what_is_to_come_as_its_starts_rest_on_the_proof() {
        let (folder, begun) = one_bend();
        assert_eq!(begun.to_come(), [Question::Cut, Question::Hold]);
        let whole = job::prove(&folder, &begun, &Stop::default()).expect("nobody stops it");
        assert!(whole.to_come().is_empty());
    }
}
