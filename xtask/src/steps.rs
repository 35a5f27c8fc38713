//! Steps that run one after another, with a tally of what passed, failed and could not run.

use std::fs;
use std::io::{BufRead as _, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode, Stdio};
use std::time::Instant;

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

/// The tally.
pub struct Steps {
    root: PathBuf,
    tests: Counts,
    passed: usize,
    failed: Vec<String>,
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
        self.run_closing(what, command, &[0])
    }

    /// A command that must close with one of these codes.
    pub fn run_closing(&mut self, what: &str, command: &mut Command, done: &[i32]) -> bool {
        eprintln!("== {what}");
        let started = Instant::now();
        let status = command.current_dir(&self.root).status();
        let seconds = started.elapsed().as_secs_f64();
        match status {
            Ok(status) if status.code().is_some_and(|code| done.contains(&code)) => {
                eprintln!("== {what}: passed in {seconds:.1} s");
                self.passed += 1;
                true
            }
            Ok(status) => {
                eprintln!("== {what}: FAILED ({status}) after {seconds:.1} s");
                self.failed.push(what.to_owned());
                false
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

    /// A test run of cargo, whose tests are counted one by one.
    pub fn cargo_tests(&mut self, what: &str, arguments: &[&str]) -> bool {
        eprintln!("== {what}");
        let started = Instant::now();
        let mut counts = Counts::default();
        let status = self.counted(arguments, &mut counts);
        let seconds = started.elapsed().as_secs_f64();
        self.tests.passed += counts.passed;
        self.tests.failed += counts.failed;
        self.tests.skipped += counts.skipped;
        match status {
            Ok(status) if status.success() && counts.passed > 0 => {
                eprintln!("== {what}: passed in {seconds:.1} s");
                self.passed += 1;
                true
            }
            Ok(status) => {
                eprintln!(
                    "== {what}: FAILED ({status}, {} passed) after {seconds:.1} s",
                    counts.passed
                );
                self.failed.push(what.to_owned());
                false
            }
            Err(error) => {
                self.skip(what, &format!("it cannot be started: {error}"));
                false
            }
        }
    }

    fn counted(&self, arguments: &[&str], counts: &mut Counts) -> std::io::Result<std::process::ExitStatus> {
        let cargo = std::env::var("CARGO").unwrap_or_else(|_| "cargo".into());
        let mut child = Command::new(cargo)
            .args(arguments)
            .current_dir(&self.root)
            // A snapshot that changed is a failure here, never a new file.
            .env("INSTA_UPDATE", "no")
            .stdout(Stdio::piped())
            .spawn()?;
        if let Some(stdout) = child.stdout.take() {
            for line in BufReader::new(stdout).split(b'\n') {
                let line = line?;
                let line = String::from_utf8_lossy(&line);
                println!("{line}");
                counts.add(&line);
            }
        }
        child.wait()
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
                eprintln!("== {what}: FAILED: {error}");
                self.failed.push(what.to_owned());
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
        self.failed.push(format!("{what}: {why}"));
    }

    /// Something that could not run: a failure in CI, said elsewhere.
    pub fn skip(&mut self, what: &str, why: &str) {
        eprintln!("== {what}: could not run: {why}");
        let entry = format!("{what}: {why}");
        if self.strict {
            self.failed.push(entry)
        } else {
            self.skipped.push(entry)
        }
    }

    /// The closing lines.
    pub fn close(self) -> ExitCode {
        for entry in &self.failed {
            println!("failed:  {entry}");
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

#[cfg(test)]
mod tests {
    use super::Counts;

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
