//! Figures of the released program: how long a cold check takes, how much memory, how large it is. Measured from outside,
//! as a user meets it.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use crate::steps::Steps;

/// So many runs of which the middle one counts: one slow disk access changes nothing.
const RUNS: usize = 21;
/// So many runs of which the largest memory counts.
const RUNS_FOR_MEMORY: usize = 5;
/// Memory is looked at this often while the program runs.
const LOOK_EVERY: Duration = Duration::from_micros(200);

/// Prints the table, with the machine it was measured on.
pub fn print(steps: &mut Steps) {
    let root = steps.root().to_owned();
    let program = root.join("target").join("release").join("gusset");
    println!("machine: {}", machine());
    println!("| job | cold `gusset check`, median of {RUNS} | peak memory |");
    println!("|---|---|---|");
    for job in ["flat-plate", "one-bend", "push-hoe", "camera-cradle"] {
        let folder = root.join("examples").join(job);
        match (median(&program, &folder), peak(&program, &folder)) {
            (Some(time), Some(kib)) => println!(
                "| {job} | {:.0} ms | {:.1} MB |",
                1000.0 * time.as_secs_f64(),
                kib * 1024.0 / 1e6
            ),
            _ => steps.skip(job, "the program does not run, or this system tells no memory"),
        }
    }
    match fs::metadata(&program) {
        Ok(file) => println!("stripped program: {:.1} MB", file.len() as f64 / 1e6),
        Err(error) => steps.skip("size of the program", &error.to_string()),
    }
}

fn check(program: &Path, job: &Path) -> Command {
    let mut command = Command::new(program);
    command
        .arg("check")
        .arg(job)
        .arg("--json")
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    command
}

fn median(program: &Path, job: &Path) -> Option<Duration> {
    let mut times = Vec::new();
    for _ in 0..RUNS {
        let started = Instant::now();
        let status = check(program, job).status().ok()?;
        times.push(started.elapsed());
        // 1 is an answer too.
        if !matches!(status.code(), Some(0 | 1)) {
            return None;
        }
    }
    times.sort();
    times.get(RUNS / 2).copied()
}

/// The most memory the program ever held, KiB, as the kernel counts it.
fn peak(program: &Path, job: &Path) -> Option<f64> {
    let mut most: Option<f64> = None;
    for _ in 0..RUNS_FOR_MEMORY {
        let mut child = check(program, job).spawn().ok()?;
        let status = format!("/proc/{}/status", child.id());
        while child.try_wait().ok()?.is_none() {
            if let Some(kib) = fs::read_to_string(&status).ok().as_deref().and_then(high_water) {
                most = Some(most.map_or(kib, |before| before.max(kib)));
            }
            std::thread::sleep(LOOK_EVERY);
        }
    }
    most
}

fn high_water(status: &str) -> Option<f64> {
    let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?;
    line.split_whitespace().next()?.parse().ok()
}

/// The machine in a line.
pub fn machine() -> String {
    let word = |path: &str, key: &str| -> Option<String> {
        let text = fs::read_to_string(path).ok()?;
        let line = text.lines().find(|line| line.starts_with(key))?;
        Some(line.split_once(':')?.1.trim().to_owned())
    };
    let cores = std::thread::available_parallelism().map_or(1, |cores| cores.get());
    format!(
        "{}, {cores} cores, memory {}, {} {}",
        word("/proc/cpuinfo", "model name").unwrap_or_else(|| "unknown processor".into()),
        word("/proc/meminfo", "MemTotal").unwrap_or_else(|| "unknown".into()),
        std::env::consts::OS,
        fs::read_to_string("/proc/sys/kernel/osrelease")
            .map(|release| release.split('-').next().unwrap_or_default().trim().to_owned())
            .unwrap_or_default(),
    )
}

#[cfg(test)]
mod tests {
    use super::high_water;

    #[test]
    fn the_high_water_mark_is_read_from_the_kernel_s_words() {
        let status = "Name:\tgusset\nVmPeak:\t  20000 kB\nVmHWM:\t   12344 kB\nVmRSS:\t   11000 kB\n";
        assert_eq!(high_water(status), Some(12344.0));
        assert_eq!(high_water("Name:\tgusset\n"), None);
    }
}
