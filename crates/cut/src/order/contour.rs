//! A contour with the pierces it may be cut from.

use plane::{Outline, OutlineError, Point, Vertex};
use thiserror::Error;

use crate::{Cut, Of};

/// One way to cut a contour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Candidate {
    /// Where it is pierced.
    pub enter: Point,
    /// Where the torch goes off.
    pub leave: Point,
    /// How long it takes from the one to the other, s; only differences between the candidates of a contour count.
    pub cut_s: f64,
}

/// What lies inside a contour once it is cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum After {
    /// It lies as before: a part on its slats or held by tabs.
    Lies,
    /// It may have tipped or dropped: nothing travels over it.
    KeepOff,
}

/// A contour to be cut.
#[derive(Debug, Clone, PartialEq)]
pub struct Contour {
    /// What it is of.
    pub of: Of,
    /// The ways to cut it, at least one.
    pub candidates: Vec<Candidate>,
    /// What is inside it: once around the middle of the kerf.
    pub shape: Outline,
    /// What becomes of it.
    pub after: After,
}

/// Why cuts are no contour.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum NoContour {
    /// There is no cut at all.
    #[error("a contour was given without a single pierce")]
    NoCandidate,
    /// The cuts given as ways to cut one contour are of different ones.
    #[error("\"{first}\" and \"{other}\" were given as pierces of one contour")]
    NotTheSame {
        /// Name of the first.
        first: String,
        /// Name of the one that differs.
        other: String,
    },
    /// A track has no place to start, or no turn around.
    #[error("the track of \"{name}\" does not go around anything")]
    NoTrack {
        /// Its name.
        name: String,
    },
    /// Once around is no outline.
    #[error("the track of \"{name}\" does not go around cleanly: {why}")]
    NoOutline {
        /// Its name.
        name: String,
        /// Why.
        why: OutlineError,
    },
}

impl Contour {
    /// The contour that these cuts are each a way of cutting; `cut_s` says how long each takes, s. The shape is that of
    /// the first.
    pub fn of(cuts: &[Cut], after: After, cut_s: impl Fn(&Cut) -> f64) -> Result<Contour, NoContour> {
        let first = cuts.first().ok_or(NoContour::NoCandidate)?;
        let mut candidates = Vec::with_capacity(cuts.len());
        for cut in cuts {
            if cut.of != first.of {
                return Err(NoContour::NotTheSame {
                    first: first.name.clone(),
                    other: cut.name.clone(),
                });
            }
            let (Some(enter), Some(leave)) = (cut.track.start(), cut.track.end()) else {
                return Err(NoContour::NoTrack {
                    name: cut.name.clone(),
                });
            };
            candidates.push(Candidate {
                enter,
                leave,
                cut_s: cut_s(cut),
            });
        }
        Ok(Contour {
            of: first.of,
            candidates,
            shape: once_around(first)?,
            after,
        })
    }
}

/// The closed outline that a track goes around.
fn once_around(cut: &Cut) -> Result<Outline, NoContour> {
    let [from, to] = cut.around;
    let mut vertices: Vec<Vertex> = match cut.track.vertices.get(from..=to) {
        Some(vertices) if to > from + 1 => vertices.to_vec(),
        _ => {
            return Err(NoContour::NoTrack {
                name: cut.name.clone(),
            });
        }
    };
    // The last is the first again.
    vertices.pop();
    Outline::new(vertices).map_err(|why| NoContour::NoOutline {
        name: cut.name.clone(),
        why,
    })
}
