//! A change as acts on design.toml, where the file has words for it.

use plane::Point;
use prove::helps::{Change, Changed, Lip, Shelf, WindowTo};
use serde_json::{Value, json};
use sheet::Way;

use crate::revise::{Act, Step};
use crate::run::Outcome;

/// Corners of the outline nearer to a lip's end than this are that end, mm: under what a scriber leaves.
const SAME_MM: f64 = 0.05;
/// A lip lies on an edge of the outline when it is no further off, mm.
const ON_EDGE_MM: f64 = 0.02;

/// What of the design is changed by it; none where that is more than the file has words for (plates that are welded on, an
/// edge moved out, a mount), or where the part is the mirror image of its design.
pub(super) fn acts(outcome: &Outcome, shelf: &Shelf, changed: &Changed, change: &Change) -> Option<Vec<Act>> {
    if outcome.summary.job.mirrored {
        return None;
    }
    let design = Design::of(outcome);
    let mut acts = Acts {
        through: design.through.clone(),
        acts: Vec::new(),
        lips: 0,
    };
    acts.add(outcome, &design, shelf, changed, change)?;
    if acts.through != design.through {
        acts.acts.push(set(&["outline", "through"], json!(acts.through)));
    }
    Some(acts.acts)
}

/// The outline's corners with where they are.
struct Design {
    through: Vec<String>,
    points: Vec<(String, Point)>,
}

impl Design {
    fn of(outcome: &Outcome) -> Design {
        let survey = outcome.summary.survey.iter().flat_map(|survey| &survey.points);
        let outline = &outcome.worked.files.design.outline;
        Design {
            through: outline.through.iter().map(|name| name.value.clone()).collect(),
            points: survey
                .map(|row| (row.name.clone(), Point::new(row.x_mm.0, row.y_mm.0)))
                .collect(),
        }
    }

    fn at(&self, name: &str) -> Option<Point> {
        let found = self.points.iter().find(|(own, _)| own == name);
        found.map(|(_, at)| *at)
    }

    fn named(&self, name: &str) -> bool {
        self.points.iter().any(|(own, _)| own == name)
    }
}

struct Acts {
    through: Vec<String>,
    acts: Vec<Act>,
    lips: usize,
}

fn set(way: &[&str], to: Value) -> Act {
    Act::Set {
        at: way.iter().map(|key| Step::Key((*key).to_owned())).collect(),
        to,
    }
}

impl Acts {
    fn add(
        &mut self,
        outcome: &Outcome,
        design: &Design,
        shelf: &Shelf,
        changed: &Changed,
        change: &Change,
    ) -> Option<()> {
        let file = &outcome.worked.files.design;
        match change {
            Change::Stock(plate) => {
                let stock = shelf.plates.get(*plate)?;
                let metal = &outcome.worked.setting.metal;
                let mm = format!("{:.4}", stock.thickness_mm);
                let mm = mm.trim_end_matches('0').trim_end_matches('.');
                self.acts
                    .push(set(&["plate", "stock"], json!(format!("{metal} {mm} mm"))));
            }
            Change::Window { opening, to } => {
                let name = &outcome.worked.part.openings.get(*opening)?.name;
                let window = file.windows.iter().find(|window| window.name.value == *name)?;
                match to {
                    WindowTo::Gone => self.acts.push(Act::Remove {
                        at: ["windows", name].map(|key| Step::Key(key.to_owned())).into(),
                    }),
                    // An inset that is said may be a sum of measures: it is not taken apart here.
                    WindowTo::Smaller(by_mm) if window.inset.is_none() => {
                        self.acts
                            .push(set(&["windows", name, "inset"], json!(format!("{by_mm:.1} mm"))));
                    }
                    WindowTo::Smaller(_) | WindowTo::Larger(_) => return None,
                }
            }
            Change::Lip(lip) => self.lip(design, outcome, changed, lip)?,
            Change::Channel(lips) => {
                for lip in lips {
                    self.lip(design, outcome, changed, lip)?;
                }
            }
            Change::Together(all) => {
                for one in all {
                    self.add(outcome, design, shelf, changed, one)?;
                }
            }
            Change::Closed(_)
            | Change::Wider { .. }
            | Change::Bar(_)
            | Change::Gussets(_)
            | Change::Bolt { .. }
            | Change::Mount(_) => return None,
        }
        Some(())
    }

    /// Its corners go into the outline between those of its edge, measured from that edge, so that it moves with it; and a
    /// bend is drawn along it.
    fn lip(&mut self, design: &Design, outcome: &Outcome, changed: &Changed, lip: &Lip) -> Option<()> {
        let before = outcome.worked.mockup.creases.len();
        let crease = changed.mockup.creases.get(before + self.lips)?;
        self.lips += 1;
        let count = self.through.len();
        let edges = (0..count).map(|index| (index, (index + 1) % count));
        let mut found = None;
        for (from, to) in edges {
            let (Some(a), Some(b)) = (design.at(&self.through[from]), design.at(&self.through[to])) else {
                continue;
            };
            let along = (b - a).try_normalize(SAME_MM);
            let Some(along) = along else { continue };
            let left = plane::Vector::new(-along.y, along.x);
            let on_it = |at: &Point| {
                let run = (at - a).dot(&along);
                (at - a).dot(&left).abs() < ON_EDGE_MM && (-SAME_MM..=(b - a).norm() + SAME_MM).contains(&run)
            };
            if lip.edge.iter().all(on_it) {
                found = Some((from, to, a, b, along, left));
                break;
            }
        }
        let (from, to, a, b, along, left) = found?;
        let mut ends = lip.edge;
        if (ends[1] - ends[0]).dot(&along) < 0.0 {
            ends.reverse();
        }
        // Outward is to the right of the edge as the card is gone round counter-clockwise.
        let round = (lip.edge[1] - lip.edge[0]).normalize();
        let outward = plane::Vector::new(round.y, -round.x);
        let middle = nalgebra::center(&lip.edge[0], &lip.edge[1]);
        let half_mm = (lip.edge[1] - lip.edge[0]).norm() / 2.0;
        let out_mm = changed
            .mockup
            .outline
            .vertices()
            .iter()
            .map(|corner| corner.at - middle);
        let out_mm = out_mm
            .filter(|off| off.dot(&round).abs() <= half_mm + SAME_MM)
            .map(|off| off.dot(&outward))
            // What stands elsewhere on the card beyond the edge's line is none of the lip.
            .filter(|off| *off < 4.0 * lip.leg_mm)
            .fold(0.0, f64::max);
        let crease_mm = (crease.from - middle).dot(&outward);
        if out_mm <= crease_mm {
            return None;
        }
        let side = outward.dot(&left).signum();
        let names = self.names(design, outcome)?;
        let [name_from, name_to] = [self.through[from].clone(), self.through[to].clone()];
        let mut put = |name: &str, along_mm: f64, off_mm: f64| {
            let at = json!({
                "from": name_from,
                "toward": name_to,
                "along": format!("{along_mm:.2} mm"),
                "off": format!("{off_mm:.2} mm"),
                "exact": true,
            });
            self.acts.push(set(&["points", name], at));
        };
        // Inward to a hundredth, so that a rounded corner beside it keeps its room.
        let runs = [
            ((ends[0] - a).dot(&along) * 100.0 - 1e-6).ceil() / 100.0,
            ((ends[1] - a).dot(&along) * 100.0 + 1e-6).floor() / 100.0,
        ];
        let mut between = Vec::new();
        let [root, tip, line] = [0, 1, 2].map(|which| [0, 1].map(|end| names.point(which, end)));
        if runs[0] > SAME_MM {
            put(&root[0], runs[0], 0.0);
            between.push(root[0].clone());
        }
        put(&tip[0], runs[0], side * out_mm);
        put(&tip[1], runs[1], side * out_mm);
        between.extend(tip);
        if runs[1] < (b - a).norm() - SAME_MM {
            put(&root[1], runs[1], 0.0);
            between.push(root[1].clone());
        }
        put(&line[0], runs[0], side * crease_mm);
        put(&line[1], runs[1], side * crease_mm);
        let way = match crease.way {
            Way::Up => "up",
            Way::Down => "down",
        };
        self.acts.push(set(
            &["bends", &names.bend],
            json!({ "line": line, "bent": "90 deg", "way": way }),
        ));
        let at = from + 1;
        self.through.splice(at..at, between);
        Some(())
    }

    /// Names that the design does not have.
    fn names(&self, design: &Design, outcome: &Outcome) -> Option<Names> {
        let bends = &outcome.worked.part.bends;
        (1..=bends.len() + self.lips + 1)
            .map(|number| Names {
                bend: format!("lip{number}"),
            })
            .filter(|names| {
                !self
                    .through
                    .iter()
                    .any(|own| own.starts_with(&format!("{}_", names.bend)))
            })
            .find(|names| {
                let points = (0..6).map(|point| names.point(point / 2, point % 2));
                bends.iter().all(|bend| bend.name != names.bend)
                    && points.into_iter().all(|point| !design.named(&point))
            })
    }
}

struct Names {
    bend: String,
}

impl Names {
    /// At the root of the lip, at its tip, or on the line of its bend; at its start or its end.
    fn point(&self, which: usize, end: usize) -> String {
        let place = ["root", "tip", "line"][which.min(2)];
        format!("{}_{place}{}", self.bend, end + 1)
    }
}
