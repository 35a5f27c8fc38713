//! The contours with their ways, ready to be put in order: tabs where a part would tip, pierces on the sheet.

use plane::{Place, Point, Region};

use super::parts::others;
use super::tabbed::{Tabbed, tabbed};
use super::{Asked, NoPlan, PlacedPart, SheetConcern};
use crate::Track;
use crate::lead::{Avoid, Conditions};
use crate::motion::Mover;
use crate::order::{After, Candidate, Contour, Fate, TabRule};
use crate::track::{Cut, Of};
use crate::tracks::Tracks;

/// A contour and the cuts of each of its candidates: one, or the pieces between tabs.
pub(super) struct Ways {
    pub contour: Contour,
    pub cuts: Vec<Vec<Cut>>,
}

impl Ways {
    /// One track for each candidate; pieces end to end.
    pub fn tracks(&self) -> Vec<Track> {
        let joined = |cuts: &Vec<Cut>| Track {
            vertices: cuts.iter().flat_map(|cut| cut.track.vertices.clone()).collect(),
        };
        self.cuts.iter().map(joined).collect()
    }
}

pub(super) fn ways(
    asked: &Asked<'_>,
    placed: &mut [PlacedPart],
    tracks: &[Tracks],
    mover: &Mover,
    concerns: &mut Vec<SheetConcern>,
) -> Result<Vec<Ways>, NoPlan> {
    let mut all = Vec::new();
    let regions: Vec<Region> = placed.iter().map(|part| part.as_cut.clone()).collect();
    for (part, found) in tracks.iter().enumerate() {
        for contour in &found.contours {
            let mut cuts = contour.cuts.clone();
            let mut after = After::KeepOff;
            if matches!(contour.of, Of::Outline { .. }) {
                cuts.retain(|cut| {
                    cut.track
                        .start()
                        .is_some_and(|at| on_sheet(at, cut.kerf_mm, asked.sheet))
                });
                let Some(round) = cuts.first() else {
                    concerns.push(SheetConcern::PierceOffSheet { placed: part });
                    continue;
                };
                match held(asked, placed, &regions, part, round)? {
                    Held::Lies => after = After::Lies,
                    Held::CanTip => concerns.push(SheetConcern::CanTip { placed: part }),
                    Held::By(Tabbed { tabs, pieces }) => {
                        placed[part].tabs = tabs;
                        all.push(in_pieces(round, pieces, mover, asked)?);
                        continue;
                    }
                }
            }
            let contour = Contour::of(&cuts, after, |cut| takes_s(cut, mover))?;
            all.push(Ways {
                contour,
                cuts: cuts.into_iter().map(|cut| vec![cut]).collect(),
            });
        }
    }
    Ok(all)
}

/// Places along a stretch that tabs keep off, at the most.
const MOST_PLACES: f64 = 1000.0;

/// How long a cut takes, s. One at no feed is refused when the work is reckoned.
fn takes_s(cut: &Cut, mover: &Mover) -> f64 {
    mover
        .track_time(&cut.track, cut.feed_mm_min)
        .map_or(0.0, |track| track.time_s)
}

/// Whether the torch is lit over the sheet, its kerf within it: beside it no arc strikes, and no jet has anything under it.
fn on_sheet(at: Point, kerf_mm: f64, sheet: &Region) -> bool {
    sheet.place_of(at) == Place::Inside && sheet.distance_to(at).0 >= kerf_mm / 2.0
}

enum Held {
    Lies,
    By(Tabbed),
    CanTip,
}

fn held(
    asked: &Asked<'_>,
    placed: &[PlacedPart],
    regions: &[Region],
    part: usize,
    round: &Cut,
) -> Result<Held, NoPlan> {
    let Some(slats) = &asked.running.slats else {
        return Ok(Held::Lies);
    };
    let region = &regions[part];
    if slats.under(region)?.fate == Fate::Lies {
        return Ok(Held::Lies);
    }
    let (profile, t_mm) = (asked.profile, asked.stock.thickness_mm);
    let isometry = &placed[part].placed;
    let avoid: Vec<Avoid> = asked.parts[placed[part].part].avoid.to_vec();
    let tab_mm = asked.running.tab_mm;
    // A tab's stub is as little wanted as a start's scar where an edge is to be left alone.
    let keep_off = avoid.iter().flat_map(|avoid| {
        let far_mm = avoid.within_mm + tab_mm / 2.0 + round.kerf_mm;
        // Places so near to each other along the stretch that their circles hold all of it but slivers.
        let steps = ((avoid.to - avoid.from).norm() / far_mm)
            .ceil()
            .clamp(1.0, MOST_PLACES);
        (0..=steps as u32).map(move |step| {
            let at = avoid.from + (avoid.to - avoid.from) * (f64::from(step) / steps);
            (isometry * at, far_mm)
        })
    });
    let rule = TabRule {
        width_mm: tab_mm,
        from_corner_mm: round.kerf_mm,
        keep_off: keep_off.collect(),
    };
    let others = others(regions.iter(), part, profile);
    let conditions = Conditions {
        leads: &profile.leads.outline,
        t_mm,
        kerf_mm: round.kerf_mm,
        puddle_mm: profile.leads.puddle.in_plate_mm(t_mm),
        square: profile.square_side,
        avoid: &[],
        others: &others,
        most: 1,
    };
    Ok(
        match tabbed(region, round, slats, rule, &conditions, |at| {
            on_sheet(at, round.kerf_mm, asked.sheet)
        })? {
            Some(tabbed) if !tabbed.tabs.is_empty() => Held::By(tabbed),
            Some(_) => Held::Lies,
            None => Held::CanTip,
        },
    )
}

/// The pieces of an outside, beginning with each of them in turn.
fn in_pieces(round: &Cut, pieces: Vec<Cut>, mover: &Mover, asked: &Asked<'_>) -> Result<Ways, NoPlan> {
    let count = pieces.len();
    let mut contour = Contour::of(std::slice::from_ref(round), After::Lies, |_| 0.0)?;
    let pierce_s = asked.running.pierce.each_s.low;
    let turned: Vec<Vec<Cut>> = (0..count)
        .map(|first| {
            let mut turned = pieces.clone();
            turned.rotate_left(first);
            turned
        })
        .collect();
    let candidates = turned.iter().filter_map(|cuts| {
        let hops = cuts.windows(2).filter_map(|pair| {
            let (from, to) = (pair[0].track.end()?, pair[1].track.start()?);
            Some(mover.straight_s((to - from).norm()) + pierce_s)
        });
        Some(Candidate {
            enter: cuts.first()?.track.start()?,
            leave: cuts.last()?.track.end()?,
            cut_s: hops.sum::<f64>() + cuts.iter().map(|cut| takes_s(cut, mover)).sum::<f64>(),
        })
    });
    contour.candidates = candidates.collect();
    Ok(Ways {
        contour,
        cuts: turned,
    })
}
