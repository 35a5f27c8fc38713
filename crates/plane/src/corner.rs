//! Corners rounded, chamfered or notched.

use thiserror::Error;

use crate::fillet::{Joint, Treated, joint, treat};
use crate::outline::{Outline, Segment, Vertex};
use crate::validity::OutlineError;
use crate::{Point, SAME_POINT_MM};

/// What is done to a corner. Sizes are mm, above 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Corner {
    /// An arc of this radius, tangent to both edges. Edges that already run on smoothly are left as they are.
    Round(f64),
    /// A straight cut between the points this far back along both edges.
    Chamfer(f64),
    /// A round bite of this radius, centred on the corner, out of the material.
    Notch(f64),
}

/// On which side of an outline the material lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Material {
    /// Inside: the outline of a plate.
    Inside,
    /// Outside: a window or hole.
    Outside,
}

/// Why a corner cannot be treated as asked. Corners count from 0 in the untreated outline.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum CornerError {
    /// The edges, less what the neighbouring corners take of them, are too short for it.
    #[error("corner {corner} has room for {room_mm:.3} mm, not {wanted_mm:.3} mm")]
    CornerTooLarge {
        /// Which corner.
        corner: usize,
        /// The size asked for.
        wanted_mm: f64,
        /// The largest that fits; 0 when none does.
        room_mm: f64,
    },
    /// The two edges leave the corner in one direction, so no arc fits between them.
    #[error("the edges at corner {corner} run back beside each other; nothing can be rounded there")]
    Cusp {
        /// Which corner.
        corner: usize,
    },
    /// The outline has no such corner.
    #[error("there is no corner {corner}; the outline has {corners}")]
    NoSuchCorner {
        /// Which corner was named.
        corner: usize,
        /// How many there are.
        corners: usize,
    },
    /// A corner is treated twice.
    #[error("corner {corner} is given two treatments")]
    Twice {
        /// Which corner.
        corner: usize,
    },
    /// The size is 0, below 0, or not a number.
    #[error("{size_mm} mm is no size for corner {corner}")]
    NoSize {
        /// Which corner.
        corner: usize,
        /// The size asked for.
        size_mm: f64,
    },
    /// The treated corner runs into another part of the outline.
    #[error("the treatment of corner {corner} runs into another edge at ({:.3}, {:.3})", at.x, at.y)]
    RunsInto {
        /// Which corner.
        corner: usize,
        /// Where.
        at: Point,
    },
    /// What is left is no outline, in a way no one corner answers for.
    #[error("the treated corners leave no outline: {0}")]
    LeavesNoOutline(OutlineError),
}

impl Corner {
    /// Its size: radius, or distance back, mm.
    pub fn size_mm(self) -> f64 {
        match self {
            Corner::Round(size) | Corner::Chamfer(size) | Corner::Notch(size) => size,
        }
    }

    fn with_size(self, size_mm: f64) -> Corner {
        match self {
            Corner::Round(_) => Corner::Round(size_mm),
            Corner::Chamfer(_) => Corner::Chamfer(size_mm),
            Corner::Notch(_) => Corner::Notch(size_mm),
        }
    }
}

impl Outline {
    /// The outline with some of its corners treated, each named by its index. `material` says which way a notch bites.
    ///
    /// ```
    /// use plane::{Corner, CornerError, Material, Outline, Point};
    ///
    /// let plate = Outline::rectangle(Point::new(0.0, 0.0), Point::new(40.0, 20.0))?;
    /// let rounded = plate.with_corners(&[(0, Corner::Round(5.0))], Material::Inside)?;
    /// assert_eq!(rounded.len(), 5);
    /// // 12 mm at each end of a 20 mm edge: the second has 8 mm left.
    /// let crowded = plate.with_corners(&[(1, Corner::Round(12.0)), (2, Corner::Round(12.0))], Material::Inside);
    /// assert!(matches!(crowded, Err(CornerError::CornerTooLarge { corner: 2, room_mm, .. }) if (room_mm - 8.0).abs() < 1e-6));
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn with_corners(
        &self,
        corners: &[(usize, Corner)],
        material: Material,
    ) -> Result<Outline, CornerError> {
        let count = self.len();
        let mut wanted: Vec<Option<Corner>> = vec![None; count];
        for &(corner, treatment) in corners {
            let size_mm = treatment.size_mm();
            if corner >= count {
                return Err(CornerError::NoSuchCorner {
                    corner,
                    corners: count,
                });
            }
            if !(size_mm.is_finite() && size_mm >= SAME_POINT_MM) {
                return Err(CornerError::NoSize { corner, size_mm });
            }
            if wanted[corner].replace(treatment).is_some() {
                return Err(CornerError::Twice { corner });
            }
        }
        let bench = Bench {
            edges: self.segments().collect(),
            bites_left: (material == Material::Inside) == self.is_counter_clockwise(),
        };
        let mut treated: Vec<Option<Treated>> = vec![None; count];
        for (corner, treatment) in wanted.iter().enumerate() {
            let Some(treatment) = *treatment else { continue };
            let (arriving, leaving) = bench.edges_at(corner);
            match (treatment, joint(arriving, leaving)) {
                (Corner::Round(_), Joint::Smooth) => continue,
                (Corner::Round(_) | Corner::Notch(_), Joint::Cusp) => {
                    return Err(CornerError::Cusp { corner });
                }
                _ => {}
            }
            let found = treat(arriving, leaving, treatment, bench.bites_left);
            let Some(found) = found else {
                let (whole_arriving_mm, whole_leaving_mm) = (arriving.length_mm(), leaving.length_mm());
                return Err(bench.too_large(corner, treatment, whole_arriving_mm, whole_leaving_mm));
            };
            treated[corner] = Some(found);
        }
        bench.check_claims(&wanted, &treated)?;
        bench.build(&treated)
    }
}

/// The edges of an outline whose corners are being worked.
struct Bench {
    edges: Vec<Segment>,
    bites_left: bool,
}

impl Bench {
    fn edges_at(&self, corner: usize) -> (&Segment, &Segment) {
        let count = self.edges.len();
        (&self.edges[(corner + count - 1) % count], &self.edges[corner])
    }

    /// No edge is claimed for more than its length by the corners at its two ends. The larger claim answers for it.
    fn check_claims(
        &self,
        wanted: &[Option<Corner>],
        treated: &[Option<Treated>],
    ) -> Result<(), CornerError> {
        let count = self.edges.len();
        let at_start_mm = |corner: usize| treated[corner].map_or(0.0, |t| t.off_leaving_mm);
        let at_end_mm = |corner: usize| treated[corner].map_or(0.0, |t| t.off_arriving_mm);
        for (start, edge) in self.edges.iter().enumerate() {
            let end = (start + 1) % count;
            if at_start_mm(start) + at_end_mm(end) <= edge.length_mm() + SAME_POINT_MM {
                continue;
            }
            let corner = if at_start_mm(start) > at_end_mm(end) {
                start
            } else {
                end
            };
            let Some(treatment) = wanted[corner] else { continue };
            let before = (corner + count - 1) % count;
            let after = (corner + 1) % count;
            let left_arriving_mm = self.edges[before].length_mm() - at_start_mm(before);
            let left_leaving_mm = self.edges[corner].length_mm() - at_end_mm(after);
            return Err(self.too_large(corner, treatment, left_arriving_mm, left_leaving_mm));
        }
        Ok(())
    }

    /// The error for a corner that must make do with these lengths of its edges, and the room it has: by halving, since
    /// a larger treatment always takes more of both edges.
    fn too_large(&self, corner: usize, treatment: Corner, arriving_mm: f64, leaving_mm: f64) -> CornerError {
        let wanted_mm = treatment.size_mm();
        let (arriving, leaving) = self.edges_at(corner);
        let fits = |size_mm: f64| {
            treat(arriving, leaving, treatment.with_size(size_mm), self.bites_left).is_some_and(|t| {
                t.off_arriving_mm <= arriving_mm + SAME_POINT_MM / 2.0
                    && t.off_leaving_mm <= leaving_mm + SAME_POINT_MM / 2.0
            })
        };
        let (mut room_mm, mut over_mm) = (0.0, wanted_mm);
        while over_mm - room_mm > SAME_POINT_MM / 4.0 + over_mm * f64::EPSILON * 4.0 {
            let middle_mm = (room_mm + over_mm) / 2.0;
            if fits(middle_mm) {
                room_mm = middle_mm;
            } else {
                over_mm = middle_mm;
            }
        }
        CornerError::CornerTooLarge {
            corner,
            wanted_mm,
            room_mm,
        }
    }

    fn build(&self, treated: &[Option<Treated>]) -> Result<Outline, CornerError> {
        let count = self.edges.len();
        // Each piece with the corner that put it there.
        let mut pieces: Vec<(Segment, Option<usize>)> = Vec::with_capacity(2 * count);
        for (corner, edge) in self.edges.iter().enumerate() {
            let length_mm = edge.length_mm();
            let start = treated[corner].map_or(0.0, |t| t.off_leaving_mm / length_mm);
            let end = treated[(corner + 1) % count].map_or(1.0, |t| 1.0 - t.off_arriving_mm / length_mm);
            if let Some(treated) = treated[corner] {
                pieces.push((treated.joins_by, Some(corner)));
            }
            if (end - start) * length_mm > SAME_POINT_MM {
                pieces.push((edge.between(start, end), None));
            }
        }
        let vertices = pieces
            .iter()
            .map(|(piece, _)| Vertex {
                at: piece.from(),
                bulge: piece.bulge(),
            })
            .collect();
        Outline::new(vertices).map_err(|error| match error {
            OutlineError::Crosses { edge, other, at } => {
                match pieces[edge]
                    .1
                    .or(pieces[other].1)
                    .or_else(|| self.nearest_treated(treated, at))
                {
                    Some(corner) => CornerError::RunsInto { corner, at },
                    None => CornerError::LeavesNoOutline(error),
                }
            }
            _ => CornerError::LeavesNoOutline(error),
        })
    }

    fn nearest_treated(&self, treated: &[Option<Treated>], at: Point) -> Option<usize> {
        let away_mm = |corner: &usize| (self.edges[*corner].from() - at).norm();
        (0..treated.len())
            .filter(|&corner| treated[corner].is_some())
            .min_by(|a, b| away_mm(a).total_cmp(&away_mm(b)))
    }
}
