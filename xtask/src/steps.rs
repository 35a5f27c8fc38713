//! Steps that run one after another, with a tally of what passed, failed and could not run.

use std::collections::VecDeque;
use std::fs;
use std::io::{BufRead as _, BufReader, Read, Write as _};
use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode, ExitStatus, Stdio};
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::time::{Duration, Instant};

/// Says from where random parts are drawn.
const SEED: &str = "PROPTEST_RNG_SEED";

/// How much of what a failed step printed is said again at the end: where tools tell what failed, and in which test.
const LAST_LINES: usize = 60;

/// What the test runs of cargo say of themselves, added up.
#[derive(Debug, Clone, Copy, Default)]
struct Counts {
    passed: usize,
    failed: usize,
    skipped: usize,
}

impl Counts {
    /// Adds a line such as "test result: ok. 12 passed; 0 failed; 1 ignored; ..."; other lines say nothing.
    fn add(&mut self, line: &str) {
        let Some(result) = line.trim_start().strip_prefix("test result: ") else {
            return;
        };
        let words: Vec<&str> = result.split_whitespace().collect();
        for pair in words.windows(2) {
            let [number, what] = pair else { continue };
            let Ok(number) = number.parse::<usize>() else {
                continue;
            };
            match *what {
                "passed;" => self.passed += number,
                "failed;" => self.failed += number,
                "ignored;" => self.skipped += number,
                _ => {}
            }
        }
    }
}

/// A step that failed.
struct Failed {
    says: String,
    /// The last lines it printed, where it is a command.
    printed: VecDeque<String>,
}

/// The tally.
pub struct Steps {
    root: PathBuf,
    tests: Counts,
    passed: usize,
    failed: Vec<Failed>,
    skipped: Vec<String>,
    strict: bool,
}

impl Steps {
    /// Nothing run yet.
    pub fn new() -> Self {
        let manifest = Path::new(env!("CARGO_MANIFEST_DIR"));
        let root = manifest.parent().unwrap_or(manifest).to_owned();
        let strict = std::env::var("CI").is_ok_and(|ci| ci == "true");
        Self {
            root,
            tests: Counts::default(),
            passed: 0,
            failed: Vec::new(),
            skipped: Vec::new(),
            strict,
        }
    }

    /// The repository.
    pub fn root(&self) -> &Path {
        &self.root
    }

    /// A command that must succeed.
    pub fn run(&mut self, what: &str, command: &mut Command) -> bool {
        self.watched(what, command, Stdio::piped(), |status, _| status.success())
    }

    /// A run of the program, whose answers go to `told`; that a job does not hold as it stands is an answer too.
    pub fn gusset(&mut self, what: &str, command: &mut Command, told: Stdio) -> bool {
        let answered = |status: ExitStatus| matches!(status.code(), Some(0 | 1));
        self.watched(what, command, told, |status, _| answered(status))
    }

    /// Runs a command, shows what it prints as it comes, and holds it against `passes`.
    fn watched(
        &mut self,
        what: &str,
        command: &mut Command,
        out: Stdio,
        passes: impl FnOnce(ExitStatus, Counts) -> bool,
    ) -> bool {
        eprintln!("== {what}");
        let started = Instant::now();
        let ran = shown(command.current_dir(&self.root), out);
        let seconds = started.elapsed().as_secs_f64();
        match ran {
            Ok((status, printed)) => {
                self.tests.passed += printed.counts.passed;
                self.tests.failed += printed.counts.failed;
                self.tests.skipped += printed.counts.skipped;
                let passed = passes(status, printed.counts);
                if passed {
                    eprintln!("== {what}: passed in {seconds:.1} s");
                    self.passed += 1;
                } else {
                    eprintln!("== {what}: FAILED ({status}) after {seconds:.1} s");
                    self.failed.push(Failed {
                        says: what.to_owned(),
                        printed: printed.last,
                    });
                }
                passed
            }
            Err(error) => {
                self.skip(what, &format!("it cannot be started: {error}"));
                false
            }
        }
    }

    /// A cargo command that must succeed.
    pub fn cargo(&mut self, what: &str, arguments: &[&str]) -> bool {
        let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".into());
        self.run(what, Command::new(cargo).args(arguments))
    }

    /// A test run of cargo, of which at least one test must have run.
    ///
    /// It draws the same random parts each time, so that it answers the same for the same code; others where `PROPTEST_RNG_SEED`
    /// is set.
    pub fn cargo_tests(&mut self, what: &str, arguments: &[&str]) -> bool {
        let set = std::env::var(SEED).unwrap_or_else(|_| "1".into());
        self.cargo_tests_drawn_by(&set, what, arguments)
    }

    /// As [`Self::cargo_tests`], with random parts drawn by this seed.
    pub fn cargo_tests_drawn_by(&mut self, seed: &str, what: &str, arguments: &[&str]) -> bool {
        let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".into());
        let mut command = Command::new(cargo);
        // A snapshot that changed is a failure here, never a new file.
        command.args(arguments).env("INSTA_UPDATE", "no").env(SEED, seed);
        self.watched(what, &mut command, Stdio::piped(), |status, counts| {
            status.success() && counts.passed > 0
        })
    }

    /// A cargo command whose output becomes a file.
    pub fn cargo_to_file(&mut self, what: &str, arguments: &[&str], path: &Path) {
        let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".into());
        let output = Command::new(cargo)
            .args(arguments)
            .current_dir(&self.root)
            .output();
        let written = output.map_err(|error| error.to_string()).and_then(|output| {
            if !output.status.success() {
                return Err(String::from_utf8_lossy(&output.stderr).into_owned());
            }
            if let Some(folder) = path.parent() {
                fs::create_dir_all(folder).map_err(|error| error.to_string())?;
            }
            fs::write(path, output.stdout).map_err(|error| error.to_string())
        });
        match written {
            Ok(()) => self.passed += 1,
            Err(error) => {
                self.fail(what, &error);
            }
        }
    }

    /// A check of our own that held.
    pub fn pass(&mut self, what: &str) {
        eprintln!("== {what}: passed");
        self.passed += 1;
    }

    /// A check of our own that did not hold.
    pub fn fail(&mut self, what: &str, why: &str) {
        eprintln!("== {what}: FAILED: {why}");
        self.failed.push(Failed {
            says: format!("{what}: {why}"),
            printed: VecDeque::new(),
        });
    }

    /// Something that could not run: a failure in CI, said elsewhere.
    pub fn skip(&mut self, what: &str, why: &str) {
        eprintln!("== {what}: could not run: {why}");
        let says = format!("{what}: {why}");
        if self.strict {
            self.failed.push(Failed {
                says,
                printed: VecDeque::new(),
            });
        } else {
            self.skipped.push(says);
        }
    }

    /// The closing lines: what the failed steps printed last, then which they are, then the tally.
    pub fn close(self) -> ExitCode {
        for Failed { says, printed } in &self.failed {
            if printed.is_empty() {
                continue;
            }
            println!("-- the last lines of: {says}");
            for line in printed {
                println!("{line}");
            }
        }
        for Failed { says, .. } in &self.failed {
            println!("failed:  {says}");
        }
        for entry in &self.skipped {
            println!("not run: {entry}");
        }
        println!(
            "steps: {} passed, {} failed, {} not run",
            self.passed,
            self.failed.len(),
            self.skipped.len()
        );
        if self.tests.passed + self.tests.failed > 0 {
            println!(
                "tests: {} passed, {} failed, {} skipped",
                self.tests.passed, self.tests.failed, self.tests.skipped
            );
        }
        if self.failed.is_empty() {
            ExitCode::SUCCESS
        } else {
            ExitCode::FAILURE
        }
    }
}

/// What a command printed.
#[derive(Default)]
struct Printed {
    counts: Counts,
    last: VecDeque<String>,
}

impl Printed {
    fn add(&mut self, line: String) {
        self.counts.add(&line);
        if self.last.len() == LAST_LINES {
            self.last.pop_front();
        }
        self.last.push_back(line);
    }
}

/// How long a command that ended may still be printed for by what it left running.
const LEFT_RUNNING: Duration = Duration::from_secs(5);

/// Runs a command and passes on what it prints, line by line as it comes, by either way out; what it
/// prints to `out` other than a pipe goes there alone.
fn shown(command: &mut Command, out: Stdio) -> std::io::Result<(ExitStatus, Printed)> {
    let mut child = command.stdout(out).stderr(Stdio::piped()).spawn()?;
    let (told, lines) = channel();
    let listen = |from: Option<Box<dyn Read + Send>>, aside: bool| {
        let (told, Some(from)) = (told.clone(), from) else {
            return;
        };
        std::thread::spawn(move || {
            for line in BufReader::new(from).split(b'\n').map_while(Result::ok) {
                let line = String::from_utf8_lossy(&line).into_owned();
                if told.send((aside, line)).is_err() {
                    return;
                }
            }
        });
    };
    listen(child.stdout.take().map(|out| Box::new(out) as _), false);
    listen(child.stderr.take().map(|err| Box::new(err) as _), true);
    drop(told);

    let mut printed = Printed::default();
    loop {
        match lines.recv_timeout(LEFT_RUNNING) {
            Ok((aside, line)) => {
                // Where nobody reads any more, the command still runs to its end.
                let _ = if aside {
                    writeln!(std::io::stderr(), "{line}")
                } else {
                    writeln!(std::io::stdout(), "{line}")
                };
                printed.add(line);
            }
            Err(RecvTimeoutError::Disconnected) => return Ok((child.wait()?, printed)),
            Err(RecvTimeoutError::Timeout) => {
                if let Some(status) = child.try_wait()? {
                    return Ok((status, printed));
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use std::process::{Command, Stdio};

    use super::{Counts, LAST_LINES, shown};

    #[cfg(unix)]
    fn printed_by(script: &str) -> (Option<i32>, Vec<String>) {
        let (status, printed) = shown(Command::new("sh").args(["-c", script]), Stdio::piped()).unwrap();
        (status.code(), printed.last.into())
    }

    #[cfg(unix)]
    #[test]
    fn the_last_lines_of_a_command_are_kept() {
        let (code, lines) = printed_by("for i in $(seq 100); do echo out $i; done; exit 3");
        assert_eq!((code, lines.len()), (Some(3), LAST_LINES));
        assert_eq!(lines.last().map(String::as_str), Some("out 100"));
        // Of its two ways out neither is known to be read first.
        let (code, mut lines) = printed_by("echo one; echo two >&2");
        lines.sort();
        assert_eq!((code, lines), (Some(0), vec!["one".to_owned(), "two".to_owned()]));
    }

    #[test]
    fn the_results_of_several_test_binaries_add_up() {
        let mut counts = Counts::default();
        counts.add("running 3 tests");
        counts.add(
            "test result: ok. 3 passed; 0 failed; 1 ignored; 0 measured; 0 filtered out; finished in 0.01s",
        );
        counts.add(
            "test result: FAILED. 2 passed; 4 failed; 0 ignored; 0 measured; 5 filtered out; finished in 1s",
        );
        assert_eq!((counts.passed, counts.failed, counts.skipped), (5, 4, 1));
    }
}
