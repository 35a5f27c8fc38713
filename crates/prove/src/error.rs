//! Why there is no answer.

use shell::{CouplingError, PrepareError, SolveError};

use crate::body::BodyError;
use crate::helps::WeldOnError;

/// What is free to move, by the ways and without the nodes of the mesh; else as the shell says it.
fn prepare_words(error: &PrepareError) -> String {
    let PrepareError::Free(free) = error else {
        return error.to_string();
    };
    let ways: Vec<String> = free.modes.iter().map(|mode| mode.motion.to_string()).collect();
    format!("the mounts leave it free to move {}", ways.join(", "))
}

/// Why the part is not proved.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ProveError {
    /// Nobody wanted it any longer: see [`crate::analyse_while`].
    #[error("nobody wanted it any longer")]
    NotWanted,
    /// There is nothing to hold the part.
    #[error("there are no mounts to hold the part")]
    NoMounts,
    /// There is nothing to carry.
    #[error("there are no loads")]
    NoLoads,
    /// A load comes in at the support, and there is none.
    #[error("load {load} comes in at the support, but there is no support")]
    NoSupport {
        /// The load.
        load: String,
    },
    /// A load comes in where there is no plate.
    #[error("load {load} comes in at openings that do not lie in a flat panel")]
    LoadNowhere {
        /// The load.
        load: String,
    },
    /// A mount's hole lies across a bend.
    #[error("opening {opening} lies across a bend and cannot be bolted down")]
    OpeningInBend {
        /// The opening.
        opening: String,
    },
    /// A hole of the support lies across a bend.
    #[error("a hole of the support lies across a bend")]
    SupportInBend,
    /// There is hardly any plate under a washer.
    #[error("there is too little plate under the washer at {opening}")]
    NothingUnderWasher {
        /// The opening.
        opening: String,
    },
    /// The part could not be meshed.
    #[error(transparent)]
    Body(#[from] BodyError),
    /// A plate could not be welded on.
    #[error(transparent)]
    WeldOn(#[from] WeldOnError),
    /// A coupling could not be made.
    #[error(transparent)]
    Coupling(#[from] CouplingError),
    /// The model could not be prepared.
    #[error("{}", prepare_words(_0))]
    Prepare(#[from] PrepareError),
    /// A load could not be solved.
    #[error("load {load}: {error}")]
    Solve {
        /// The load.
        load: String,
        /// What went wrong.
        error: SolveError,
    },
}
