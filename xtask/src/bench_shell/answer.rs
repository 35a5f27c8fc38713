//! What a solver says of the bracket, as lines of `key=value`.

use std::process::{Command, Stdio};

/// One run of one solver.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    pub unknowns: usize,
    /// From the mesh in memory to movements.
    pub seconds_moves: f64,
    /// And to stresses.
    pub seconds: f64,
    /// Time on a processor for the whole, all threads: what other work on the machine hardly changes.
    pub processor_seconds: f64,
    pub peak_mb: f64,
    pub tip_mm: [f64; 3],
}

impl Answer {
    /// Runs the command and reads what it prints.
    pub fn of(command: &mut Command) -> Option<Self> {
        let output = command.stdin(Stdio::null()).stderr(Stdio::null()).output().ok()?;
        let text = String::from_utf8_lossy(&output.stdout);
        output.status.success().then(|| Self::read(&text))?
    }

    fn read(text: &str) -> Option<Self> {
        let number = |key: &str| -> Option<f64> {
            let line = text
                .lines()
                .find_map(|line| line.strip_prefix(key)?.strip_prefix('='))?;
            line.trim().parse().ok()
        };
        let seconds = number("seconds")?;
        Some(Self {
            unknowns: number("unknowns")? as usize,
            // Who does not tell them apart is asked for both at once.
            seconds_moves: number("seconds_moves").unwrap_or(seconds),
            seconds,
            processor_seconds: number("processor_seconds")?,
            peak_mb: number("peak_mb")?,
            tip_mm: [number("tip_x_mm")?, number("tip_y_mm")?, number("tip_z_mm")?],
        })
    }

    /// The lesser of each figure; the answer is the same.
    pub fn better(self, other: Self) -> Self {
        Self {
            seconds_moves: self.seconds_moves.min(other.seconds_moves),
            seconds: self.seconds.min(other.seconds),
            processor_seconds: self.processor_seconds.min(other.processor_seconds),
            peak_mb: self.peak_mb.min(other.peak_mb),
            ..self
        }
    }

    /// How far the two tips are apart, as a share of the other's movement.
    pub fn off(&self, other: &Self) -> f64 {
        let length = |v: [f64; 3]| v.iter().map(|x| x * x).sum::<f64>().sqrt();
        let apart = [0, 1, 2].map(|k| self.tip_mm[k] - other.tip_mm[k]);
        length(apart) / length(other.tip_mm)
    }

    /// Its line of the table.
    pub fn print(&self, name: &str) {
        let [x, y, z] = self.tip_mm;
        println!(
            "| {} | {name} | {:.3} | {:.3} | {:.3} | {:.0} | {x:.4}, {y:.4}, {z:.4} |",
            self.unknowns, self.seconds_moves, self.seconds, self.processor_seconds, self.peak_mb
        );
    }
}

#[cfg(test)]
mod tests {
    use super::Answer;

    #[test]
    fn lines_beside_the_answer_are_passed_over() {
        let text = "a banner = of the solver\nunknowns=60\nseconds_moves=1.5\nseconds=2\nprocessor_seconds=3\npeak_mb=33.5\n\
                    tip_x_mm=1\ntip_y_mm=2\ntip_z_mm=-2\n";
        let answer = Answer::read(text).expect("all keys are there");
        assert_eq!(
            (answer.unknowns, answer.seconds_moves, answer.seconds),
            (60, 1.5, 2.0)
        );
        let further = Answer {
            tip_mm: [1.0, 2.0, -2.3],
            ..answer.clone()
        };
        assert!((further.off(&answer) - 0.1).abs() < 1e-12);
        assert_eq!(Answer::read("unknowns=60\n"), None);
    }
}
