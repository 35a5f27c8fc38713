//! What the repository does to itself: `cargo xtask test` runs every test and says plainly what it could not run.

mod bench_shell;
mod browser;
mod crosscheck;
mod cut_sets;
mod figures;
mod page;
mod python;
mod shell_cases;
mod soak;
mod steps;

use std::process::ExitCode;

use steps::Steps;

const HELP: &str = "\
Example: cargo xtask test

  test         every test: unit, property, published, whole jobs, documents; then the outputs by independent libraries
  bench        the benchmarks, and the figures for docs/benchmarks.md
  bench-shell  the shell solver and two general ones on the same triangles: seconds, memory, answer;
               bench-shell MM stops at cells of that size (the finest of all are of 0.3 mm and take minutes)
  shell-peer   of that, the one comparison that is a step of test
  page         of that, the unit tests of the page
  browser      of that, the page in a browser: the rules of access, our own, and whole jobs
  shell-cases  works out the published shell cases and writes their table in docs/shell.md again
  soak         every test 10 times with random parts that no run had before, random sheets cut and read back, 100,000 of
               each kind, 10,000 random parts bent in every order, which takes hours, and the page's server killed 1,000
               times while it saves; soak COUNT for another count of sheets, a tenth as many parts, at least 12, and every
               test once for each 10,000, at least once
  schema       writes docs/schema/*.json from the tables of keys

With CI=true nothing may be skipped: what cannot run is a failure.
";

fn main() -> ExitCode {
    let verb = std::env::args().nth(1).unwrap_or_default();
    match verb.as_str() {
        "test" => test(),
        "bench" => bench(),
        "bench-shell" => bench_shell(),
        "page" => {
            let mut steps = Steps::new();
            page::run(&mut steps);
            steps.close()
        }
        "browser" => {
            let mut steps = Steps::new();
            steps.cargo("the program itself", &["build", "--locked", "--bin", "gusset"]);
            browser::run(&mut steps);
            steps.close()
        }
        "shell-peer" => shell_peer(),
        "shell-cases" => shell_cases(),
        "soak" => soak(),
        "schema" => schema(),
        "" | "help" | "-h" | "--help" => {
            print!("{HELP}");
            ExitCode::SUCCESS
        }
        other => {
            eprint!("there is no \"cargo xtask {other}\"\n\n{HELP}");
            ExitCode::from(2)
        }
    }
}

fn test() -> ExitCode {
    let mut steps = Steps::new();
    // One way of running them everywhere: what CI runs is what a newcomer runs.
    steps.cargo_tests(
        "unit, property, published and whole-job tests",
        &[
            "test",
            "--workspace",
            "--locked",
            "--all-targets",
            "--no-fail-fast",
        ],
    );
    steps.cargo_tests(
        "examples in the documentation of the code",
        &["test", "--workspace", "--locked", "--doc"],
    );
    // With the features that the tests asked for: nothing heavy is built twice.
    steps.cargo(
        "the program itself, and the solver's part",
        &["build", "--workspace", "--locked", "--bins", "--examples"],
    );
    steps.cargo(
        "the program with no features but its own",
        &["check", "--locked", "--bin", "gusset"],
    );
    page::run(&mut steps);
    browser::run(&mut steps);
    crosscheck::run(&mut steps);
    bench_shell::cross_check(&mut steps);
    steps.close()
}

fn bench() -> ExitCode {
    let mut steps = Steps::new();
    steps.cargo(
        "the program, as released",
        &["build", "--release", "--locked", "--bin", "gusset"],
    );
    figures::print(&mut steps);
    for room in [
        "plane", "survey", "sheet", "fit", "shell", "prove", "cut", "brake", "job", "bench",
    ] {
        steps.cargo(
            &format!("benchmarks of {room}"),
            &["bench", "--locked", "-p", room, "--benches"],
        );
    }
    steps.close()
}

fn bench_shell() -> ExitCode {
    let mut steps = Steps::new();
    let finest_mm = std::env::args().nth(2).and_then(|word| word.parse().ok());
    bench_shell::run(&mut steps, finest_mm);
    steps.close()
}

fn shell_peer() -> ExitCode {
    let mut steps = Steps::new();
    steps.cargo(
        "the bracket of the cross-check",
        &["build", "--locked", "-p", "shell", "--example", "l_bracket"],
    );
    bench_shell::cross_check(&mut steps);
    steps.close()
}

fn shell_cases() -> ExitCode {
    let mut steps = Steps::new();
    shell_cases::run(&mut steps);
    steps.close()
}

fn soak() -> ExitCode {
    let count = match std::env::args().nth(2).map(|word| word.parse()) {
        None => soak::FULL_COUNT,
        Some(Ok(count)) => count,
        Some(Err(_)) => {
            eprintln!("soak takes a count of sheets, as in \"cargo xtask soak 5000\"");
            return ExitCode::from(2);
        }
    };
    let mut steps = Steps::new();
    soak::run(&mut steps, count);
    steps.close()
}

fn schema() -> ExitCode {
    let mut steps = Steps::new();
    for file in ["design", "fit", "shop"] {
        let out = steps.root().join(format!("docs/schema/{file}.schema.json"));
        steps.cargo_to_file(
            &format!("schema of {file}"),
            &["run", "-q", "--bin", "gusset", "--", "schema", file],
            &out,
        );
    }
    steps.close()
}
