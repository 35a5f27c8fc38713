//! How soon work ends that nobody wants any longer, which a newer act waits for. The goal: within 20 ms, wherever in a run, a proof
//! or a search for what would help it is stopped.

use std::time::{Duration, Instant};

use job::files::{Source, model::FileKind};
use job::{DEMOS, Folder, Outcome, Stop, Wanted, begin, helps_until, prove};

/// So often each is stopped, at moments spread evenly over what it takes; once where it is only tried that it runs.
fn stops() -> u32 {
    if std::env::args().any(|word| word == "--bench") {
        40
    } else {
        1
    }
}

const GOAL: Duration = Duration::from_millis(20);

fn folder(demo: &str) -> Folder {
    let (_, files) = DEMOS
        .iter()
        .find(|(name, _)| *name == demo)
        .expect("the demo is part of the program");
    let source = |kind, path: &str| {
        let file = files.iter().find(|(name, _)| *name == path);
        let (_, text) = file.expect("a demo has its three files");
        Source {
            kind,
            path: path.to_owned(),
            text: (*text).to_owned(),
        }
    };
    Folder {
        root: demo.into(),
        design: source(FileKind::Design, "design.toml"),
        fit: Some(source(FileKind::Fit, "fits/own.toml")),
        shop: Some(source(FileKind::Shop, "shop.toml")),
        fit_name: Some("own".into()),
        fit_names: vec!["own".into()],
        drawings: Vec::new(),
    }
}

/// How long work goes on after it was stopped, each time at another moment; the shortest first. Work that had ended by itself before
/// is not counted.
fn after_stops(work: &(impl Fn(&Stop) + Sync)) -> (Duration, Vec<Duration>) {
    let begun = Instant::now();
    work(&Stop::default());
    let whole = begun.elapsed();
    let stops = stops();
    let mut ended: Vec<Duration> = (0..stops)
        .filter_map(|index| {
            let stop = Stop::default();
            std::thread::scope(|scope| {
                let own = stop.clone();
                let under_way = scope.spawn(move || {
                    work(&own);
                    Instant::now()
                });
                std::thread::sleep(whole.mul_f64((f64::from(index) + 0.5) / f64::from(stops)));
                let stopped = Instant::now();
                stop.stop();
                let end = under_way.join().expect("it does not panic");
                end.checked_duration_since(stopped)
            })
        })
        .collect();
    ended.sort();
    (whole, ended)
}

fn told(what: &str, (whole, ended): (Duration, Vec<Duration>)) {
    let ms = |time: &Duration| time.as_secs_f64() * 1e3;
    let at = |share: f64| ended.get(((ended.len() as f64 - 1.0) * share).round() as usize);
    let (Some(middle), Some(late), Some(last)) = (at(0.5), at(0.95), at(1.0)) else {
        println!("{what}: over before it could be stopped, in {:.1} ms", ms(&whole));
        return;
    };
    let over = ended.iter().filter(|time| **time > GOAL).count();
    println!(
        "{what}: takes {:.0} ms; stopped {} times it ended after {:.1} ms (median), {:.1} ms (95 of 100), {:.1} ms (last); {over} over \
         {} ms",
        ms(&whole),
        ended.len(),
        ms(middle),
        ms(late),
        ms(last),
        GOAL.as_millis()
    );
}

fn main() {
    for demo in ["one-bend", "push-hoe"] {
        let folder = folder(demo);
        let begun = |stop: &Stop| begin(&folder, &Wanted::default(), &[], stop);
        let first: Outcome = begun(&Stop::default())
            .expect("nobody stops it")
            .expect("a demo is a sound job");
        told(
            &format!("{demo}, to the bends and the cut"),
            after_stops(&|stop| {
                let _ = begun(stop);
            }),
        );
        told(
            &format!("{demo}, the proof"),
            after_stops(&|stop| {
                let _ = prove(&folder, &first, stop);
            }),
        );
        let whole = prove(&folder, &first, &Stop::default()).expect("nobody stops it");
        told(
            &format!("{demo}, what would help"),
            after_stops(&|stop| {
                let _ = helps_until(&whole, stop);
            }),
        );
    }
}
