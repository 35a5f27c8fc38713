//! Steps that run one after another, with a tally of what passed, failed and could not run.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode};
use std::time::Instant;

/// The tally.
pub struct Steps {
    root: PathBuf,
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
        eprintln!("== {what}");
        let started = Instant::now();
        let status = command.current_dir(&self.root).status();
        let seconds = started.elapsed().as_secs_f64();
        match status {
            Ok(status) if status.success() => {
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
            "steps: {} passed, {} failed, {} skipped",
            self.passed,
            self.failed.len(),
            self.skipped.len()
        );
        if self.failed.is_empty() {
            ExitCode::SUCCESS
        } else {
            ExitCode::FAILURE
        }
    }
}
