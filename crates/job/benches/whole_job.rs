//! Whole jobs from the text of their files to the summary. Goals: the cold check of push-hoe, which is this and the start
//! of the program, under 150 ms; with its measures known, so that nothing is searched for, under 5 ms from mark-out to
//! blank and fit, which is less than the whole that is timed here.

use divan::Bencher;
use job::files::{Source, model::FileKind};
use job::{DEMOS, Folder};

fn main() {
    divan::main();
}

/// The folder of a demo job, from the texts that are part of the program.
fn folder(demo: &str) -> Folder {
    let (_, files) = DEMOS
        .iter()
        .find(|(name, _)| *name == demo)
        .expect("the demo is part of the program");
    let source = |kind, path: &str| {
        let (_, text) = files
            .iter()
            .find(|(name, _)| *name == path)
            .expect("a demo has its three files");
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

/// The same job with every measure that is searched for written down as what the search finds.
fn known(demo: &str) -> Folder {
    let mut folder = folder(demo);
    let outcome = job::run(&folder).expect("a demo is a sound job");
    for measure in &outcome.summary.measures {
        if !measure.solved {
            continue;
        }
        let at = folder
            .design
            .text
            .lines()
            .position(|line| {
                line.split_once('=')
                    .is_some_and(|(name, rest)| name.trim() == measure.name && rest.contains("solve"))
            })
            .expect("the measure that was searched for stands on a line of its own");
        let line = format!("{} = \"{} {}\"", measure.name, measure.value.0, measure.unit);
        let lines: Vec<&str> = folder.design.text.lines().collect();
        let mut lines: Vec<String> = lines.into_iter().map(str::to_owned).collect();
        lines[at] = line;
        folder.design.text = lines.join("\n");
    }
    folder
}

#[divan::bench(args = ["flat-plate", "one-bend", "push-hoe", "camera-cradle"])]
fn whole_job(bencher: Bencher, demo: &str) {
    let folder = folder(demo);
    bencher.bench(|| job::run(&folder).expect("a demo is a sound job"));
}

#[divan::bench(args = ["push-hoe", "camera-cradle"])]
fn whole_job_with_its_measures_known(bencher: Bencher, demo: &str) {
    let folder = known(demo);
    bencher.bench(|| job::run(&folder).expect("a demo with its measures known is a sound job"));
}

/// What every run pays before it looks at the job.
#[divan::bench]
fn handbook() -> handbook::Handbook {
    handbook::Handbook::builtin()
}
