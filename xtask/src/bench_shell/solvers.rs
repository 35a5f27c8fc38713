//! The general solvers that ours stands beside, each run as a process of its own.

use std::path::{Path, PathBuf};
use std::process::Command;

/// A peer.
#[derive(Debug, Clone)]
pub struct Solver {
    pub name: &'static str,
    /// The goal was not set against it: its triangle shears through its thickness, and is quicker to assemble.
    pub beside_the_goal: bool,
    /// It is not asked for finer cells than this: it would take minutes, or more memory than the machine has.
    pub least_cell_mm: f64,
    python: PathBuf,
    script: PathBuf,
    arguments: Vec<String>,
}

impl Solver {
    /// The command that reads the part and prints the answer.
    pub fn command(&self, part: &Path) -> Command {
        let mut command = Command::new(&self.python);
        command
            // The scripts import each other, and leave nothing behind.
            .env("PYTHONDONTWRITEBYTECODE", "1")
            // All cores for whoever can use them.
            .env("OMP_NUM_THREADS", cores())
            .arg(&self.script)
            .arg(part)
            .args(&self.arguments);
        command
    }
}

fn cores() -> String {
    std::thread::available_parallelism()
        .map_or(1, |cores| cores.get())
        .to_string()
}

/// Every peer; the first is the one whose element is nearest to ours.
pub fn solvers(root: &Path, python: &Path, work: &Path) -> Vec<Solver> {
    let folder = root.join("python").join("shell_peers");
    let opensees = |name, element: &str, system: &str, least_cell_mm| Solver {
        name,
        beside_the_goal: element == "ASDShellT3",
        least_cell_mm,
        python: python.to_owned(),
        script: folder.join("opensees.py"),
        arguments: vec![element.to_owned(), system.to_owned()],
    };
    vec![
        opensees("OpenSees, thin triangle, UmfPack", "ShellDKGT", "UmfPack", 0.3),
        opensees("OpenSees, thin triangle, SuperLU", "ShellDKGT", "SparseGEN", 0.75),
        opensees(
            "OpenSees, thin triangle, symmetric",
            "ShellDKGT",
            "SparseSYM",
            0.5,
        ),
        opensees(
            "OpenSees, shear-flexible triangle, UmfPack",
            "ASDShellT3",
            "UmfPack",
            0.3,
        ),
        Solver {
            name: "CalculiX, S6",
            beside_the_goal: false,
            least_cell_mm: 0.5,
            python: python.to_owned(),
            script: folder.join("calculix.py"),
            arguments: vec![work.join("calculix").to_string_lossy().into_owned()],
        },
    ]
}
