//! Runs the command, and lays out job folders for it.

use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// How one run of the command ended.
pub struct Ran {
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl Ran {
    /// The standard output as JSON.
    pub fn json(&self) -> serde_json::Value {
        serde_json::from_str(&self.out)
            .unwrap_or_else(|error| panic!("stdout is not JSON: {error}\n{}\n{}", self.out, self.err))
    }
}

/// The command, not started yet.
pub fn command<S: AsRef<std::ffi::OsStr>>(arguments: &[S]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_gusset"));
    command
        .args(arguments)
        .env_remove("NO_COLOR")
        .stdin(Stdio::null());
    command
}

/// Runs the command to its end.
pub fn gusset<S: AsRef<std::ffi::OsStr>>(arguments: &[S]) -> Ran {
    ran(command(arguments).output().expect("the command starts"))
}

/// Runs the command with these lines typed.
pub fn gusset_told<S: AsRef<std::ffi::OsStr>>(arguments: &[S], typed: &[&str]) -> Ran {
    let mut child = command(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the command starts");
    let mut stdin = child.stdin.take().expect("stdin is piped");
    // The command may stop asking before the last line; that is for the test to judge.
    let _ = stdin.write_all((typed.join("\n") + "\n").as_bytes());
    drop(stdin);
    ran(child.wait_with_output().expect("the command ends"))
}

fn ran(output: std::process::Output) -> Ran {
    Ran {
        code: output.status.code().expect("the command was not killed"),
        out: String::from_utf8(output.stdout).expect("stdout is UTF-8"),
        err: String::from_utf8(output.stderr).expect("stderr is UTF-8"),
    }
}

/// A path as an argument.
pub fn text(path: &Path) -> &str {
    path.to_str().expect("the test folder has a plain name")
}

/// A place for one test, with nothing there.
pub fn place(name: &str) -> PathBuf {
    let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    if path.exists() {
        fs::remove_dir_all(&path).expect("the last run's folder can be removed");
    }
    path
}

/// A demo job of one's own.
pub fn job_from(demo: &str, name: &str) -> PathBuf {
    let job = place(name);
    let run = gusset(&["new", text(&job), "--from", demo]);
    assert_eq!(run.code, 0, "{}", run.err);
    job
}

/// Puts one text in the place of another in a file, which must have it.
pub fn edit(path: &Path, old: &str, new: &str) {
    let was = fs::read_to_string(path).expect("the file is there");
    assert!(was.contains(old), "{} has no {old:?}", path.display());
    fs::write(path, was.replacen(old, new, 1)).expect("the file can be written");
}

/// The demo jobs.
pub const DEMOS: [&str; 4] = ["flat-plate", "one-bend", "push-hoe", "camera-cradle"];
