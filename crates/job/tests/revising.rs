//! A job that is worked on: notes kept, undone and done again after a restart, and what another program does.

use std::fs;
use std::path::{Path, PathBuf};

use job::files::Named;
use job::files::model::FileKind;
use job::revise::{Act, OpenJob, ReviseError, Step};
use job::{AskedCare, AskedFit};
use serde_json::{Value, json};

fn job_at(name: &str) -> PathBuf {
    let root = std::env::temp_dir().join(format!("gusset-revise-{}-{name}", std::process::id()));
    let _ = fs::remove_dir_all(&root);
    fs::create_dir_all(root.join("fits")).expect("a temporary folder");
    let from = Path::new("../../examples/one-bend");
    for file in ["design.toml", "shop.toml", "fits/own.toml"] {
        fs::copy(from.join(file), root.join(file)).unwrap_or_else(|error| panic!("{file}: {error}"));
    }
    root
}

fn at(way: &[&str]) -> Vec<Step> {
    way.iter().map(|key| Step::Key((*key).to_owned())).collect()
}

fn set(way: &[&str], to: Value) -> [Act; 1] {
    [Act::Set { at: at(way), to }]
}

fn design(root: &Path) -> String {
    fs::read_to_string(root.join("design.toml")).expect("a design")
}

fn open(root: &Path) -> OpenJob {
    OpenJob::open(root, None).unwrap_or_else(|error| panic!("{error}"))
}

#[test]
fn acts_are_undone_and_done_again_without_end_also_after_a_restart() {
    let root = job_at("undo");
    let before = design(&root);
    let titles = ["First", "Second", "Third"];
    {
        let mut job = open(&root);
        for title in titles {
            let base = job.stamp();
            let says = format!("title {title}");
            job.act(FileKind::Design, &set(&["title"], json!(title)), &says, &base)
                .unwrap_or_else(|error| panic!("{error}"));
        }
        assert_eq!(job.to_undo().as_deref(), Some("title Third"));
    }
    let mut job = open(&root);
    for title in titles.iter().rev() {
        assert!(design(&root).contains(&format!("\"{title}\"")));
        let base = job.stamp();
        job.undo(&base).unwrap_or_else(|error| panic!("{error}"));
    }
    assert_eq!(design(&root), before, "not a byte is another");
    let base = job.stamp();
    assert!(matches!(job.undo(&base), Err(ReviseError::Nothing(_))));
    let mut job = open(&root);
    assert_eq!(job.to_redo().as_deref(), Some("title First"));
    for title in titles {
        let base = job.stamp();
        job.redo(&base).unwrap_or_else(|error| panic!("{error}"));
        assert!(design(&root).contains(&format!("\"{title}\"")));
    }
    let base = job.stamp();
    assert!(matches!(job.redo(&base), Err(ReviseError::Nothing(_))));
    fs::remove_dir_all(root).expect("just made");
}

#[test]
fn what_another_program_writes_is_seen_never_written_over_and_can_be_undone() {
    let root = job_at("outside");
    let mut job = open(&root);
    let base = job.stamp();
    let typed = format!("{}\n# a note from elsewhere\n", design(&root));
    let before = design(&root);
    fs::write(root.join("design.toml"), &typed).expect("it is written");
    let refused = job.act(FileKind::Design, &set(&["title"], json!("Mine")), "title", &base);
    assert!(matches!(refused, Err(ReviseError::Stale)), "{refused:?}");
    assert_eq!(design(&root), typed);
    // It was read, and the act goes through on what is there now.
    let base = job.stamp();
    job.act(FileKind::Design, &set(&["title"], json!("Mine")), "title", &base)
        .unwrap_or_else(|error| panic!("{error}"));
    assert!(design(&root).contains("# a note from elsewhere") && design(&root).contains("\"Mine\""));
    for _ in 0..2 {
        let base = job.stamp();
        job.undo(&base).unwrap_or_else(|error| panic!("{error}"));
    }
    assert_eq!(design(&root), before);
    assert!(!job.look().expect("it is read"), "nothing else has changed");
    fs::remove_dir_all(root).expect("just made");
}

#[test]
fn what_was_edited_while_the_job_was_closed_is_an_act_too() {
    let root = job_at("closed");
    let mut job = open(&root);
    let base = job.stamp();
    job.act(FileKind::Design, &set(&["title"], json!("Mine")), "title", &base)
        .unwrap_or_else(|error| panic!("{error}"));
    drop(job);
    let mine = design(&root);
    fs::write(root.join("design.toml"), mine.replace("Mine", "Theirs")).expect("it is written");
    let mut job = open(&root);
    assert_eq!(job.to_undo().as_deref(), Some("design.toml changed outside"));
    let base = job.stamp();
    job.undo(&base).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(design(&root), mine);
    fs::remove_dir_all(root).expect("just made");
}

#[test]
fn an_act_that_would_leave_the_file_wrong_is_not_done_and_says_what_is_wrong() {
    let root = job_at("wrong");
    let mut job = open(&root);
    let before = design(&root);
    let base = job.stamp();
    let act = set(&["bends", "b1", "bnt"], json!("90 deg"));
    let refused = job
        .act(FileKind::Design, &act, "bent", &base)
        .expect_err("no such key");
    assert!(
        matches!(&refused, ReviseError::Wrong { wrongs, .. } if !wrongs.is_empty()),
        "{refused}"
    );
    assert_eq!(design(&root), before);
    assert_eq!(job.to_undo(), None);
    // And a try writes nothing, whatever it comes to.
    let folder = job
        .tried(FileKind::Design, &set(&["bends", "b1", "bent"], json!("80 deg")))
        .unwrap_or_else(|error| panic!("{error}"));
    assert!(folder.design.text.contains("80 deg"));
    assert_eq!(design(&root), before);
    fs::remove_dir_all(root).expect("just made");
}

#[test]
fn a_crash_between_keeping_an_act_and_doing_it_leaves_the_old_file_and_the_act_to_be_done() {
    let root = job_at("crash");
    let before = design(&root);
    let mut job = open(&root);
    let base = job.stamp();
    job.act(FileKind::Design, &set(&["title"], json!("Mine")), "title", &base)
        .unwrap_or_else(|error| panic!("{error}"));
    let after = design(&root);
    drop(job);
    fs::write(root.join("design.toml"), &before).expect("as if it had not been written");
    let mut job = open(&root);
    assert_eq!(job.to_undo(), None);
    let base = job.stamp();
    job.redo(&base).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(design(&root), after);
    // The other way round: undone on the disk, and not counted.
    fs::write(root.join(".gusset/history/done"), "0").expect("as if it had not been counted");
    let job = open(&root);
    assert_eq!(job.to_undo().as_deref(), Some("title"));
    fs::remove_dir_all(root).expect("just made");
}

#[test]
fn a_reading_is_put_before_another_with_its_notes_and_back_again() {
    let root = job_at("rows");
    let text = design(&root);
    let rows = "\n# by the long tape\n[[readings]]\nbetween = [\"A\", \"B\"]\nread = \"45\" # once\n\n[[readings]]\nbetween = [\"B\", \"C\"]\nread = \"50\"\n";
    let before = format!("{text}{rows}");
    fs::write(root.join("design.toml"), &before).expect("it is written");
    let mut job = open(&root);
    let row = |row| vec![Step::Key("readings".into()), Step::Row(row)];
    let base = job.stamp();
    job.act(
        FileKind::Design,
        &[Act::Move { at: row(2), to: 1 }],
        "earlier",
        &base,
    )
    .unwrap_or_else(|error| panic!("{error}"));
    let moved = "\n[[readings]]\nbetween = [\"B\", \"C\"]\nread = \"50\"\n\n# by the long tape\n[[readings]]\nbetween = [\"A\", \"B\"]\nread = \"45\" # once\n";
    assert_eq!(design(&root), format!("{text}{moved}"));
    let base = job.stamp();
    job.undo(&base).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(design(&root), before);
    fs::remove_dir_all(root).expect("just made");
}

/// A shop with a punch out of a drawing beside it.
fn with_a_drawn_punch(root: &Path) -> String {
    let shop = fs::read_to_string(root.join("shop.toml")).expect("a shop");
    let punch = r#"
[[bender.punches]]
name    = "own"
angle   = "85 deg"
nose    = "1 mm"
profile = "nose.dxf"
lengths = ["100 mm", "200 mm"]
stands  = "1000 N/mm"
"#;
    format!("{shop}{punch}")
}

#[test]
fn a_drawing_of_a_tool_is_read_again_when_it_is_saved_and_when_the_shop_names_it() {
    let root = job_at("drawing");
    let shop = with_a_drawn_punch(&root);
    fs::write(root.join("shop.toml"), &shop).expect("it is written");
    fs::write(root.join("nose.dxf"), "first").expect("it is written");
    fs::write(root.join("other.dxf"), "another").expect("it is written");
    let mut job = open(&root);
    let drawn = |job: &OpenJob| job.folder().drawings[0].bytes.clone();
    assert_eq!(drawn(&job).as_deref(), Ok(b"first".as_slice()));
    let base = job.stamp();
    fs::write(root.join("nose.dxf"), "first and more").expect("it is written");
    assert!(job.look().expect("it is read"), "a drawing saved again is seen");
    assert_ne!(job.stamp(), base);
    assert_eq!(drawn(&job).as_deref(), Ok(b"first and more".as_slice()));
    // The shop names another one: the try and the act read that one.
    let other = [Act::Set {
        at: vec![
            Step::Key("bender".into()),
            Step::Key("punches".into()),
            Step::Row(0),
            Step::Key("profile".into()),
        ],
        to: json!("other.dxf"),
    }];
    let tried = job
        .tried(FileKind::Shop, &other)
        .unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(tried.drawings[0].bytes.as_deref(), Ok(b"another".as_slice()));
    let base = job.stamp();
    job.act(FileKind::Shop, &other, "drawing", &base)
        .unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(drawn(&job).as_deref(), Ok(b"another".as_slice()));
    let base = job.stamp();
    job.undo(&base).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(drawn(&job).as_deref(), Ok(b"first and more".as_slice()));
    let base = job.stamp();
    fs::remove_file(root.join("nose.dxf")).expect("it was there");
    assert!(job.look().expect("it is read"), "one that is gone is seen");
    assert_ne!(job.stamp(), base);
    fs::remove_dir_all(root).expect("just made");
}

#[test]
fn what_another_program_did_to_a_fit_that_is_not_open_is_not_undone_over() {
    let root = job_at("other-fit");
    fs::copy(root.join("fits/own.toml"), root.join("fits/aunt.toml")).expect("another fit");
    let of_aunt = |root: &Path| fs::read_to_string(root.join("fits/aunt.toml")).expect("a fit");
    let mut job = OpenJob::open(&root, Some("aunt")).unwrap_or_else(|error| panic!("{error}"));
    let base = job.stamp();
    job.act(FileKind::Fit, &set(&["title"], json!("Mine")), "title", &base)
        .unwrap_or_else(|error| panic!("{error}"));
    let mine = of_aunt(&root);
    drop(job);
    let theirs = format!("{mine}# by somebody else\n");
    fs::write(root.join("fits/aunt.toml"), &theirs).expect("it is written");
    // Another fit is open, and the history is one for all.
    let mut job = open(&root);
    let base = job.stamp();
    let refused = job.undo(&base);
    assert!(matches!(refused, Err(ReviseError::Stale)), "{refused:?}");
    assert_eq!(of_aunt(&root), theirs);
    assert_eq!(job.to_undo().as_deref(), Some("fits/aunt.toml changed outside"));
    job.undo(&base).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(of_aunt(&root), mine);
    // And before it is done again.
    fs::write(root.join("fits/aunt.toml"), format!("{mine}# once more\n")).expect("it is written");
    let refused = job.redo(&base);
    assert!(matches!(refused, Err(ReviseError::Stale)), "{refused:?}");
    assert!(of_aunt(&root).ends_with("# once more\n"));
    fs::remove_dir_all(root).expect("just made");
}

#[test]
fn an_act_on_the_fit_of_a_job_without_one_writes_no_file_without_a_name() {
    let root = job_at("no-fit");
    fs::remove_file(root.join("fits/own.toml")).expect("it was there");
    let mut job = open(&root);
    let base = job.stamp();
    let refused = job.act(FileKind::Fit, &set(&["title"], json!("Mine")), "title", &base);
    assert!(matches!(refused, Err(ReviseError::NoFit)), "{refused:?}");
    assert_eq!(job.to_undo(), None);
    assert_eq!(fs::read_dir(root.join("fits")).expect("the folder").count(), 0);
    fs::remove_dir_all(root).expect("just made");
}

#[test]
fn the_first_fit_of_a_job_leaves_what_was_done_before_it_to_be_undone() {
    let root = job_at("first-fit");
    let fit = fs::read_to_string(root.join("fits/own.toml")).expect("a fit");
    fs::remove_file(root.join("fits/own.toml")).expect("it was there");
    let before = design(&root);
    let mut job = open(&root);
    let base = job.stamp();
    job.act(FileKind::Design, &set(&["title"], json!("Mine")), "title", &base)
        .unwrap_or_else(|error| panic!("{error}"));
    fs::write(root.join("fits/own.toml"), &fit).expect("it is written");
    assert!(job.look().expect("it is read"), "the fit is seen");
    let undone = |mut job: OpenJob| {
        assert_eq!(job.to_undo().as_deref(), Some("title"));
        let base = job.stamp();
        job.undo(&base).unwrap_or_else(|error| panic!("{error}"));
        assert_eq!(design(&root), before);
        let base = job.stamp();
        job.redo(&base).unwrap_or_else(|error| panic!("{error}"));
        job
    };
    drop(undone(job));
    // And after a restart.
    let mut job = undone(open(&root));
    // What is done to it from then on is an act as any other.
    fs::write(root.join("fits/own.toml"), format!("{fit}# by somebody else\n")).expect("it is written");
    assert!(job.look().expect("it is read"));
    let base = job.stamp();
    job.undo(&base).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(
        fs::read_to_string(root.join("fits/own.toml")).expect("a fit"),
        fit
    );
    fs::remove_dir_all(root).expect("just made");
}

#[test]
fn a_hole_is_renamed_in_the_design_and_in_every_fit_and_all_of_it_is_one_act() {
    let root = job_at("rename");
    let files = ["design.toml", "shop.toml", "fits/own.toml", "fits/left-arm.toml"];
    let from = Path::new("../../examples/push-hoe");
    for file in files {
        fs::copy(from.join(file), root.join(file)).unwrap_or_else(|error| panic!("{file}: {error}"));
    }
    let texts = || files.map(|file| fs::read_to_string(root.join(file)).expect("it is there"));
    let rename = |from: &str, to: &str| {
        [Act::Rename {
            what: Named::Hole,
            from: from.into(),
            to: to.into(),
        }]
    };
    let before = texts();
    let mut job = open(&root);
    let base = job.stamp();
    let says = "frame is called mast";
    job.act(FileKind::Design, &rename("frame", "mast"), says, &base)
        .unwrap_or_else(|error| panic!("{error}"));
    let after = texts();
    assert!(after[0].contains("[holes.mast]") && !after[0].contains("[holes.frame]"));
    for (was, is) in before.iter().zip(&after).skip(2) {
        assert!(is.contains("\"mast\"") && !is.contains("= \"frame\""), "{is}");
        assert_eq!(is.lines().count(), was.lines().count());
    }
    assert_eq!(before[1], after[1], "the shop names no hole");
    assert_eq!(job.to_undo().as_deref(), Some(says));
    // One step, also after a restart.
    drop(job);
    let mut job = open(&root);
    for _ in 0..2 {
        let base = job.stamp();
        assert_eq!(
            job.undo(&base).unwrap_or_else(|error| panic!("{error}")).says,
            says
        );
        assert_eq!(texts(), before);
        assert_eq!(job.to_undo(), None);
        assert_eq!(job.to_redo().as_deref(), Some(says));
        let base = job.stamp();
        job.redo(&base).unwrap_or_else(|error| panic!("{error}"));
        assert_eq!(texts(), after);
    }
    // Where another program changed one of them meanwhile, none goes back.
    fs::write(root.join("fits/left-arm.toml"), format!("{}# mine\n", after[3])).expect("it is written");
    let base = job.stamp();
    assert!(matches!(job.undo(&base), Err(ReviseError::Stale)));
    assert_eq!(texts()[..3], after[..3]);
    for (from, to, says) in [
        ("mast", "h1", "called h1 already"),
        ("frame", "gone", "there is no hole called frame"),
        ("mast", "1", "is no name"),
    ] {
        let base = job.stamp();
        let error = job
            .act(FileKind::Design, &rename(from, to), "", &base)
            .expect_err(says);
        assert!(error.to_string().contains(says), "{error}");
    }
    assert_eq!(texts()[..3], after[..3]);
    fs::remove_dir_all(root).expect("just made");
}

#[cfg(unix)]
#[test]
fn an_act_whose_file_cannot_be_written_is_not_counted_as_done() {
    let root = job_at("unwritten");
    // Writing goes by a new file beside the old one, which a folder of that name hinders.
    let fit = root.join("fits");
    let mut job = open(&root);
    let base = job.stamp();
    job.act(FileKind::Design, &set(&["title"], json!("First")), "first", &base)
        .unwrap_or_else(|error| panic!("{error}"));
    let part = fit.join(format!(".own.toml.{}.part", std::process::id()));
    fs::create_dir(&part).expect("a folder in the way");
    let base = job.stamp();
    let refused = job.act(FileKind::Fit, &set(&["title"], json!("Mine")), "title", &base);
    assert!(matches!(refused, Err(ReviseError::Write(_))), "{refused:?}");
    assert_eq!(job.to_undo().as_deref(), Some("first"));
    assert_eq!(
        open(&root).to_undo().as_deref(),
        Some("first"),
        "nor after a restart"
    );
    assert!(fit.join("own.toml").is_file());
    fs::remove_dir_all(root).expect("just made");
}

fn asked_fit(title: &str) -> AskedFit {
    AskedFit {
        title: title.into(),
        care: AskedCare {
            purpose: "holds a mallet".into(),
            onto: "a bench".into(),
            weight: false,
            held: false,
            control: "no",
            feels: true,
            release: true,
            left: false,
            inch: false,
        },
    }
}

fn begin(job: &mut OpenJob, title: &str, like: bool) {
    let base = job.stamp();
    job.begin_fit(&asked_fit(title), like, &base)
        .unwrap_or_else(|error| panic!("{error}"));
}

fn turn_to(job: &mut OpenJob, name: &str) {
    let base = job.stamp();
    job.open_fit(name, &base)
        .unwrap_or_else(|error| panic!("{error}"));
}

fn call_the_fit_mine(job: &mut OpenJob) {
    let base = job.stamp();
    job.act(
        FileKind::Fit,
        &set(&["title"], json!("Mine")),
        "title Mine",
        &base,
    )
    .unwrap_or_else(|error| panic!("{error}"));
}

fn undo(job: &mut OpenJob) {
    let base = job.stamp();
    job.undo(&base).unwrap_or_else(|error| panic!("{error}"));
}

fn fits(root: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(root.join("fits"))
        .expect("the folder")
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .collect();
    names.sort();
    names
}

#[test]
fn another_fit_is_begun_opened_undone_and_done_again_and_the_first_stays_as_it_is() {
    let root = job_at("another-fit");
    let own = fs::read_to_string(root.join("fits/own.toml")).expect("a fit");
    let mut job = open(&root);
    let own_stamp = job.stamp();
    begin(&mut job, "Other hand", true);
    assert_eq!(job.folder().fit_name.as_deref(), Some("other-hand"));
    assert_eq!(fits(&root), ["other-hand.toml", "own.toml"]);
    assert!(
        job.begin_fit(&asked_fit("Late"), true, &own_stamp).is_err(),
        "it was meant for another fit"
    );
    call_the_fit_mine(&mut job);
    turn_to(&mut job, "own");
    assert_eq!(job.stamp(), own_stamp, "the job is as it was before");
    let missing = job.open_fit("../design", &own_stamp);
    assert!(matches!(missing, Err(ReviseError::Folder(_))), "{missing:?}");
    // What was done to the fit that is not open is undone from here too; and then the fit itself, also after a restart.
    undo(&mut job);
    let begun = fs::read_to_string(root.join("fits/other-hand.toml")).expect("a fit");
    assert!(begun.contains("\"Other hand\""), "{begun}");
    drop(job);
    let mut job = OpenJob::open(&root, Some("other-hand")).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(job.to_undo().as_deref(), Some("fit other-hand begun"));
    undo(&mut job);
    assert_eq!(fits(&root), ["own.toml"]);
    assert_eq!(job.folder().fit_name.as_deref(), Some("own"));
    assert_eq!((job.stamp(), job.to_undo()), (own_stamp, None));
    for says in ["fit other-hand begun", "title Mine"] {
        assert_eq!(job.to_redo().as_deref(), Some(says));
        let base = job.stamp();
        job.redo(&base).unwrap_or_else(|error| panic!("{error}"));
        assert_eq!(job.folder().fit_name.as_deref(), Some("other-hand"));
    }
    assert_eq!(job.to_redo(), None);
    let begun = fs::read_to_string(root.join("fits/other-hand.toml")).expect("a fit");
    assert!(begun.contains("\"Mine\""), "{begun}");
    assert_eq!(
        fs::read_to_string(root.join("fits/own.toml")).expect("a fit"),
        own
    );
    fs::remove_dir_all(root).expect("just made");
}

#[test]
fn what_another_program_did_to_a_fit_while_another_was_open_is_an_act_once_it_is_opened() {
    let root = job_at("fit-outside");
    let mut job = open(&root);
    begin(&mut job, "Second", false);
    call_the_fit_mine(&mut job);
    turn_to(&mut job, "own");
    let second = root.join("fits/second.toml");
    let text = fs::read_to_string(&second).expect("a fit");
    fs::write(&second, format!("{text}# by somebody else\n")).expect("it is written");
    turn_to(&mut job, "second");
    assert_eq!(job.to_undo().as_deref(), Some("fits/second.toml changed outside"));
    undo(&mut job);
    assert_eq!(fs::read_to_string(&second).expect("a fit"), text);
    fs::remove_dir_all(root).expect("just made");
}

#[test]
fn a_job_without_a_fit_begins_its_own_and_what_is_refused_or_wrong_begins_none() {
    let root = job_at("own-fit");
    fs::remove_file(root.join("fits/own.toml")).expect("it was there");
    let mut job = open(&root);
    let base = job.stamp();
    let like = job.begin_fit(&asked_fit("Mine"), true, &base);
    assert!(matches!(like, Err(ReviseError::NoFit)), "{like:?}");
    let mut hangs = asked_fit("Mine");
    hangs.care.weight = true;
    let refused = job.begin_fit(&hangs, false, &base);
    assert!(matches!(refused, Err(ReviseError::Refused(_))), "{refused:?}");
    assert!(fits(&root).is_empty());
    begin(&mut job, "Mine", false);
    assert_eq!(fits(&root), ["own.toml"]);
    fs::write(root.join("fits/own.toml"), "gusset = 1\ntitel = \"Mine\"\n").expect("it is written");
    job.look().expect("it is read");
    let base = job.stamp();
    let wrong = job.begin_fit(&asked_fit("Second"), true, &base);
    assert!(matches!(wrong, Err(ReviseError::NotSound { .. })), "{wrong:?}");
    assert_eq!(fits(&root), ["own.toml"]);
    fs::remove_dir_all(root).expect("just made");
}

#[cfg(unix)]
#[test]
fn fits_that_lie_elsewhere_are_not_worked_on() {
    let root = job_at("linked-fits");
    let elsewhere = job_at("linked-fits-to");
    fs::remove_dir_all(root.join("fits")).expect("it was there");
    std::os::unix::fs::symlink(elsewhere.join("fits"), root.join("fits")).expect("a link");
    let refused = OpenJob::open(&root, None);
    assert!(matches!(refused, Err(ReviseError::Write(_))), "{refused:?}");
    for made in [root, elsewhere] {
        fs::remove_dir_all(made).expect("just made");
    }
}
