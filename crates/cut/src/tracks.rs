//! From a blank on the table to what the torch may follow: for every contour a few tracks to choose from, a plan for
//! every hole, the marks, and what stands against it.

mod answer;
mod blank;
mod concern;
mod marks;
mod openings;
mod stretches;

use handbook::Handbook;
use nalgebra::Isometry2;
use plane::{Outline, Region};
use thiserror::Error;

pub use answer::{Answer, CanBeCut, Decides};
pub use blank::{BendLine, Blank, BlankOpening};
pub use concern::TrackConcern;
pub use marks::{Mark, MarkFor, MarkedBy};
pub use stretches::LeaveAlone;

use crate::gcode::Compensation;
use crate::holes::HolePlan;
use crate::kerf::{Edge, NoPath, paths};
use crate::lead::{Avoid, Conditions, Contour, starts};
use crate::profile::{Kerf, LeadKind, Leads, NoLine, Profile, Stock};
use crate::track::{Cut, Of};
use openings::{cut_first, drilled_instead, hole_plans};

/// A blank on the table, and what cuts it. Lengths mm.
#[derive(Debug, Clone, Copy)]
pub struct OnTable<'a> {
    /// The blank, in its own coordinates.
    pub blank: &'a Blank,
    /// Which part of the sheet it is.
    pub part: usize,
    /// From the blank's coordinates to the table's.
    pub placed: Isometry2<f64>,
    /// Stretches of its edge to leave alone, in the blank's coordinates.
    pub avoid: &'a [Avoid],
    /// Other parts on the sheet, clamps, and what else must not be touched, in table coordinates.
    pub others: &'a [Region],
}

/// One contour and the ways to cut it, best liked first.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidates {
    /// What people call it.
    pub name: String,
    /// What it is of.
    pub of: Of,
    /// The ways: at least one, the first liked best.
    pub cuts: Vec<Cut>,
    /// How little each is liked: 0 best, 1 a lot.
    pub costs: Vec<f64>,
}

/// What came of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Tracks {
    /// Openings in the order of the blank, the outside last. A contour that cannot be begun is missing here and told
    /// among the concerns.
    pub contours: Vec<Candidates>,
    /// A plan for every round hole, in the order of the blank's openings.
    pub holes: Vec<HolePlan>,
    /// Centres to be drilled, and ends of bends.
    pub marks: Vec<Mark>,
    /// What stands against it.
    pub concerns: Vec<TrackConcern>,
    /// Of every contour that is cut, how long its longest lead is and how long one must at least be, mm; in the order
    /// of the contours.
    pub leads_mm: Vec<[f64; 2]>,
    /// Width of the kerf, mm, its standard uncertainty and how it is known.
    pub kerf: Kerf,
    /// The part as it should come off the table, in table coordinates: holes that are drilled are not in it, those cut
    /// under size are smaller.
    pub as_cut: Region,
    /// Which opening of the blank each hole of [`Tracks::as_cut`] is.
    pub openings_cut: Vec<usize>,
}

/// Why there are no tracks at all.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum NoTracks {
    /// The cut chart has no line for the stock.
    #[error(transparent)]
    NoLine(#[from] NoLine),
    /// An edge could not be moved over by half the kerf.
    #[error(transparent)]
    NoPath(#[from] NoPath),
}

/// The tracks of one blank. Tracks are always the middle of the kerf, whoever compensates.
///
/// A round hole that no lead gets into, or that the kerf would fill, is planned to be drilled from its centre. Any other
/// contour that cannot be begun is left out and told with its ways out, and the part's answer is no.
pub fn tracks(
    on_table: &OnTable<'_>,
    profile: &Profile,
    stock: &Stock,
    book: &Handbook,
) -> Result<Tracks, NoTracks> {
    let line = profile.line_for(stock)?;
    let kerf = profile.kerf_in(stock);
    let mut unknown = Vec::new();
    let mut plans = hole_plans(on_table.blank, profile, stock, book, &mut unknown);
    let avoid: Vec<Avoid> = on_table
        .avoid
        .iter()
        .map(|avoid| Avoid {
            from: on_table.placed * avoid.from,
            to: on_table.placed * avoid.to,
            ..*avoid
        })
        .collect();
    let each = Each {
        on_table,
        profile,
        stock,
        kerf_mm: kerf.width_mm,
        avoid: &avoid,
    };
    // A round hole that cannot be begun is drilled, and all is looked at anew without it: each time around one less is cut.
    loop {
        let found = each.cut(&plans, line.feed_mm_min, unknown.clone())?;
        let instead = drilled_instead(on_table.blank, &plans, &found.concerns, kerf.width_mm, book);
        if instead.is_empty() {
            return Ok(Tracks {
                contours: found.contours,
                leads_mm: found.leads_mm,
                marks: marks::marks(on_table.blank, &plans, profile, &on_table.placed),
                holes: plans.into_iter().flatten().collect(),
                concerns: found.concerns,
                kerf: kerf.clone(),
                as_cut: found.region,
                openings_cut: found.openings,
            });
        }
        for (opening, plan) in instead {
            plans[opening] = Some(plan);
        }
    }
}

/// What is cut when the holes are made by these plans.
struct CutByPlans {
    contours: Vec<Candidates>,
    leads_mm: Vec<[f64; 2]>,
    concerns: Vec<TrackConcern>,
    region: Region,
    openings: Vec<usize>,
}

/// About how wide an opening is, mm: four times the area over the way round (the diameter of a circle), or its box's
/// shorter side when that is less.
fn width_mm(edge: &Outline) -> f64 {
    let (low, high) = edge.bounds();
    let by_area_mm = 4.0 * edge.area_mm2() / edge.length_mm();
    by_area_mm.min(high.x - low.x).min(high.y - low.y)
}

/// What all contours of a blank share.
struct Each<'a> {
    on_table: &'a OnTable<'a>,
    profile: &'a Profile,
    stock: &'a Stock,
    kerf_mm: f64,
    avoid: &'a [Avoid],
}

impl Each<'_> {
    fn cut(
        &self,
        plans: &[Option<HolePlan>],
        feed_mm_min: f64,
        mut concerns: Vec<TrackConcern>,
    ) -> Result<CutByPlans, NoPath> {
        let (on_table, profile) = (self.on_table, self.profile);
        let blank = on_table.blank;
        let cut = cut_first(blank, plans);
        let region = cut.region.transformed(&on_table.placed);
        let paths = paths(&region, self.kerf_mm, profile.square_side).map_err(|no| match no {
            NoPath::NotMoved { of, why } => NoPath::NotMoved {
                of: cut.in_blank(of),
                why,
            },
            no @ NoPath::NoKerf { .. } => no,
        })?;
        concerns.extend(paths.left.iter().map(|left| {
            let left = left.renumbered(|opening| cut.openings[opening]);
            TrackConcern::Left {
                name: blank.name_of(left.of()).to_owned(),
                left,
            }
        }));
        let mut found = Vec::new();
        for path in &paths.openings {
            let edge = &region.holes[path.opening];
            let opening = cut.openings[path.opening];
            let feed_mm_min =
                profile.feed_in_opening_mm_min(feed_mm_min, width_mm(edge), self.stock.thickness_mm);
            for (piece, outline) in path.loops.iter().enumerate() {
                let mut name = blank.name_of(Edge::Opening(opening)).to_owned();
                if path.loops.len() > 1 {
                    name = format!("{name} ({} of {})", piece + 1, path.loops.len());
                }
                let contour = Contour {
                    of: Edge::Opening(opening),
                    edge,
                    path: outline,
                };
                found.extend(self.candidates(&contour, name, feed_mm_min, &mut concerns));
            }
        }
        let outside = Contour {
            of: Edge::Outline,
            edge: &region.outer,
            path: &paths.outline,
        };
        found.extend(self.candidates(&outside, blank.name.clone(), feed_mm_min, &mut concerns));
        let (contours, leads_mm) = found.into_iter().unzip();
        Ok(CutByPlans {
            contours,
            leads_mm,
            concerns,
            region,
            openings: cut.openings,
        })
    }

    fn candidates(
        &self,
        contour: &Contour<'_>,
        name: String,
        feed_mm_min: f64,
        concerns: &mut Vec<TrackConcern>,
    ) -> Option<(Candidates, [f64; 2])> {
        let rules = &self.profile.leads;
        let part = self.on_table.part;
        let (leads, of): (&Leads, Of) = match contour.of {
            Edge::Outline => (&rules.outline, Of::Outline { part }),
            Edge::Opening(opening) => (&rules.opening, Of::Opening { part, opening }),
        };
        let conditions = Conditions {
            leads,
            t_mm: self.stock.thickness_mm,
            kerf_mm: self.kerf_mm,
            puddle_mm: rules.puddle.in_plate_mm(self.stock.thickness_mm),
            square: self.profile.square_side,
            avoid: self.avoid,
            others: self.on_table.others,
            most: rules.most_starts,
        };
        // A machine that shifts the path comes in over a straight line; another lead is better than none.
        let straight = Leads {
            kinds: vec![LeadKind::Line],
            ..leads.clone()
        };
        let shifted = self.profile.dialect.compensation != Compensation::Here;
        let begun = match shifted.then(|| {
            let conditions = Conditions {
                leads: &straight,
                ..conditions
            };
            starts(contour, &conditions)
        }) {
            Some(Ok(begun)) => Ok(begun),
            Some(Err(_)) | None => starts(contour, &conditions),
        };
        let starts = match begun {
            Ok(starts) => starts,
            Err(why) => {
                concerns.push(TrackConcern::NoLead { name, of, why });
                return None;
            }
        };
        let longest_mm = starts.iter().map(|start| start.length_mm).fold(0.0, f64::max);
        let wanted_mm = leads.length_mm(self.stock.thickness_mm);
        if longest_mm < wanted_mm {
            concerns.push(TrackConcern::ShorterLead {
                name: name.clone(),
                of,
                longest_mm,
                wanted_mm,
            });
        }
        let costs = starts.iter().map(|start| start.cost).collect();
        let cuts = starts.into_iter().map(|start| Cut {
            name: name.clone(),
            of,
            track: start.track,
            around: start.around,
            kerf_mm: self.kerf_mm,
            feed_mm_min,
        });
        let candidates = Candidates {
            cuts: cuts.collect(),
            name,
            of,
            costs,
        };
        Some((candidates, [longest_mm, leads.least_mm]))
    }
}
