//! From a meshed part and its mounts to a model: what is coupled to what, what pulls and what only pushes.
//!
//! At each mount the plate is pulled toward its seat by the bolt, through the nodes under the washer (a distributing
//! coupling to one node on the bolt's line in the plane of the seat), and rests on the flat of the seat, which only pushes.
//! The bolt itself only pulls; across its line and in tilt it gives as a spring does. Nothing carries tension through the
//! seat, and nothing carries compression through the bolt.

use nalgebra::{Matrix6, Point3, Rotation3, Unit, Vector3, Vector6};
use sheet::OpeningShape;
use shell::{Model, PointMass, Seat, Spring};

use crate::body::Body;
use crate::bracket::{Bracket, Mount, Support};
use crate::error::ProveError;
use crate::joint::Preload;
use crate::load::At;
use crate::seams::{self, Tied};

/// t in a kg.
const T_PER_KG: f64 = 1e-3;

/// The nodes and links of one mount in the model.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Bolted {
    /// The node on the bolt's line, in the plane of the seat.
    pub node: u32,
    /// The spring across the bolt and in tilt.
    pub spring: u32,
    /// The seat (of the model) that stands for the bolt's pull.
    pub pull: usize,
    /// The seats (of the model) on which the foot rests.
    pub foot: std::ops::Range<usize>,
    /// Nodes under the washer.
    pub under_washer: Vec<u32>,
}

/// A model and where everything of the bracket is in it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Mounted {
    pub model: Model,
    pub bolts: Vec<Bolted>,
    /// The node at the middle of the support's holes, which moves with the support.
    pub support: Option<u32>,
    /// For each load, the node where it comes in.
    pub load_nodes: Vec<u32>,
    /// Nodes that a coupling presses on: stress is not read there.
    pub coupled: Vec<u32>,
    /// The part's seams.
    pub seams: Vec<Tied>,
}

/// Puts a meshed part on its mounts.
pub(crate) fn mount(bracket: &Bracket<'_>, body: &Body) -> Result<Mounted, ProveError> {
    if bracket.mounts.is_empty() {
        return Err(ProveError::NoMounts);
    }
    let mut build = Build {
        bracket,
        body,
        areas_mm2: body.node_areas_mm2(),
        mounted: Mounted {
            model: Model {
                mesh: body.mesh.clone(),
                ..Model::default()
            },
            bolts: Vec::new(),
            support: None,
            load_nodes: Vec::new(),
            coupled: Vec::new(),
            seams: Vec::new(),
        },
    };
    for mount in &bracket.mounts {
        build.bolt(mount)?;
    }
    if let Some(support) = &bracket.support {
        build.support(support)?;
    }
    build.loads()?;
    build.seams()?;
    let mut mounted = build.mounted;
    mounted.coupled.sort_unstable();
    mounted.coupled.dedup();
    Ok(mounted)
}

struct Build<'a> {
    bracket: &'a Bracket<'a>,
    body: &'a Body,
    areas_mm2: Vec<f64>,
    mounted: Mounted,
}

impl Build<'_> {
    fn node(&mut self, at: Point3<f64>) -> u32 {
        let nodes = &mut self.mounted.model.mesh.nodes;
        nodes.push(at);
        (nodes.len() - 1) as u32
    }

    fn name_of(&self, opening: usize) -> String {
        self.bracket.part.openings[opening].name.clone()
    }

    /// Nodes within a radius of an opening's middle.
    fn about(&self, opening: usize, outside_mm: f64) -> Result<Vec<u32>, ProveError> {
        let part = self.bracket.part;
        let panel = part
            .panel_of_opening(opening)
            .ok_or_else(|| ProveError::OpeningInBend {
                opening: self.name_of(opening),
            })?;
        let middle = part.openings[opening].shape.middle() + part.panels[panel].to_blank;
        let nodes = self.body.within(panel, middle, outside_mm / 2.0);
        if nodes.len() < LEAST_COUPLED {
            return Err(ProveError::NothingUnderWasher {
                opening: self.name_of(opening),
            });
        }
        Ok(nodes)
    }

    /// Couples a new node to these, each with the share of its area.
    fn couple(&mut self, at: Point3<f64>, nodes: &[u32]) -> Result<u32, ProveError> {
        let reference = self.node(at);
        let weighted: Vec<(u32, f64)> = nodes
            .iter()
            .map(|&node| (node, self.areas_mm2[node as usize]))
            .collect();
        let ties = shell::ties_distributing(&self.mounted.model.mesh, reference, &weighted)?;
        self.mounted.model.ties.extend(ties);
        self.mounted.coupled.extend_from_slice(nodes);
        Ok(reference)
    }

    fn bolt(&mut self, mount: &Mount) -> Result<(), ProveError> {
        let middle = self
            .bracket
            .opening_at(mount.opening)
            .ok_or_else(|| ProveError::OpeningInBend {
                opening: self.name_of(mount.opening),
            })?;
        let t_mm = self.bracket.part.thickness_mm;
        let under_washer = self.about(mount.opening, mount.shape.face_mm)?;
        let node = self.couple(middle - mount.axis.into_inner() * (t_mm / 2.0), &under_washer)?;
        let axes = bolt_axes(mount);
        let gives = mount.gives;
        let torqued = mount.preload.is_some();
        let along_slot_n_mm = if mount.slides.is_some() && !torqued {
            0.0
        } else {
            gives.shear_n_mm
        };
        // A bolt that is not tightened lets the plate spin on it; a tightened one holds it by the ring it presses, at half its
        // radius in the mean.
        let spin_n_mm_rad = if torqued {
            gives.shear_n_mm * (mount.shape.face_mm / 4.0).powi(2)
        } else {
            0.0
        };
        let stiffness = Matrix6::from_diagonal(&Vector6::new(
            along_slot_n_mm,
            gives.shear_n_mm,
            0.0,
            gives.tilt_n_mm_rad,
            gives.tilt_n_mm_rad,
            spin_n_mm_rad,
        ));
        let model = &mut self.mounted.model;
        model.springs.push(Spring {
            from: node,
            to: None,
            axes,
            stiffness,
        });
        let spring = (model.springs.len() - 1) as u32;
        model.seats.push(Seat {
            node,
            push: -mount.axis.into_inner(),
            stiffness_n_mm: gives.axial_n_mm,
            gap_mm: 0.0,
        });
        let pull = model.seats.len() - 1;
        let foot = self.foot(mount)?;
        if let Some(Preload { usual_n, .. }) = mount.preload {
            // Strained until bolt and foot together hold the preload: both give.
            let foot_n_mm: f64 = self.mounted.model.seats[foot.clone()]
                .iter()
                .map(|seat| seat.stiffness_n_mm)
                .sum();
            let gives_mm_n = 1.0 / gives.axial_n_mm + 1.0 / foot_n_mm;
            self.mounted.model.seats[pull].gap_mm = -usual_n * gives_mm_n;
        }
        self.mounted.bolts.push(Bolted {
            node,
            spring,
            pull,
            foot,
            under_washer,
        });
        Ok(())
    }

    /// The plate over the flat of the seat may press on it. The seat gives as the plate's own thickness does: E / t for
    /// each mm2, half of it the plate's and half what it rests on.
    fn foot(&mut self, mount: &Mount) -> Result<std::ops::Range<usize>, ProveError> {
        let nodes = self.about(mount.opening, mount.seat_mm.max(mount.shape.face_mm))?;
        let per_mm2 = self.bracket.metal.elastic_mpa / self.bracket.part.thickness_mm;
        let at = |node: u32| self.body.mesh.nodes[node as usize];
        let chosen = spread(&nodes, &at);
        let mut areas_mm2 = vec![0.0; chosen.len()];
        for &node in &nodes {
            let nearest = (0..chosen.len()).min_by(|&a, &b| {
                let away = |place: usize| (at(chosen[place]) - at(node)).norm_squared();
                away(a).total_cmp(&away(b))
            });
            if let Some(nearest) = nearest {
                areas_mm2[nearest] += self.areas_mm2[node as usize];
            }
        }
        let seats = &mut self.mounted.model.seats;
        let first = seats.len();
        seats.extend(chosen.iter().zip(areas_mm2).map(|(&node, area_mm2)| Seat {
            node,
            push: mount.axis.into_inner(),
            stiffness_n_mm: per_mm2 * area_mm2,
            gap_mm: 0.0,
        }));
        Ok(first..seats.len())
    }

    fn support(&mut self, support: &Support) -> Result<(), ProveError> {
        let at = self.bracket.support_at().ok_or(ProveError::SupportInBend)?;
        let node = self.through(&support.openings, support.washer_mm, at)?;
        let node = match support.gives {
            None => node,
            Some([along_n_mm, about_n_mm_rad]) => {
                let carried = self.node(at);
                let stiffness = Matrix6::from_diagonal(&Vector6::new(
                    along_n_mm,
                    along_n_mm,
                    along_n_mm,
                    about_n_mm_rad,
                    about_n_mm_rad,
                    about_n_mm_rad,
                ));
                self.mounted.model.springs.push(Spring {
                    from: carried,
                    to: Some(node),
                    axes: Rotation3::identity(),
                    stiffness,
                });
                carried
            }
        };
        if support.mass_kg > 0.0 {
            self.mounted.model.masses.push(PointMass {
                node,
                mass_t: support.mass_kg * T_PER_KG,
            });
        }
        self.mounted.support = Some(node);
        Ok(())
    }

    /// A node coupled to the plate around these openings.
    fn through(&mut self, openings: &[usize], washer_mm: f64, at: Point3<f64>) -> Result<u32, ProveError> {
        let mut nodes = Vec::new();
        for &opening in openings {
            nodes.extend(self.about(opening, washer_mm)?);
        }
        nodes.sort_unstable();
        nodes.dedup();
        self.couple(at, &nodes)
    }

    /// The nodes about the place of the plate that is nearest to a point.
    fn nearest(&self, at: Point3<f64>) -> Vec<u32> {
        let nodes = &self.body.mesh.nodes;
        let apart = |a: &Point3<f64>, b: &Point3<f64>| (a - b).norm();
        let Some(spot) = nodes
            .iter()
            .min_by(|a, b| apart(a, &at).total_cmp(&apart(b, &at)))
        else {
            return Vec::new();
        };
        let mut near: Vec<(f64, u32)> = (0u32..)
            .zip(nodes)
            .map(|(index, node)| (apart(node, spot), index))
            .collect();
        near.sort_by(|a, b| a.0.total_cmp(&b.0));
        let reach_mm = PRESSED_PER_THICKNESS * self.bracket.part.thickness_mm;
        near.into_iter()
            .enumerate()
            .take_while(|(count, (mm, _))| *count < LEAST_COUPLED || *mm <= reach_mm)
            .map(|(_, (_, index))| index)
            .collect()
    }

    fn loads(&mut self) -> Result<(), ProveError> {
        for load in &self.bracket.loads {
            let node = match (&load.at, self.mounted.support) {
                (At::Support | At::Point(_), Some(node)) => node,
                (At::Support | At::Point(_), None) => {
                    return Err(ProveError::NoSupport {
                        load: load.name.clone(),
                    });
                }
                (At::Openings(openings), _) => {
                    let at = self
                        .bracket
                        .middle_of(openings)
                        .ok_or_else(|| ProveError::LoadNowhere {
                            load: load.name.clone(),
                        })?;
                    let across_mm = openings
                        .iter()
                        .map(|&opening| across_mm(&self.bracket.part.openings[opening].shape))
                        .fold(0.0, f64::max);
                    self.through(openings, WASHER_PER_HOLE * across_mm, at)?
                }
                (At::Plate(at), _) => {
                    let nodes = self.nearest(*at);
                    self.couple(*at, &nodes)?
                }
            };
            self.mounted.load_nodes.push(node);
        }
        Ok(())
    }

    fn seams(&mut self) -> Result<(), ProveError> {
        for seam in &self.body.seams {
            let tied = seams::tie(&mut self.mounted.model, seam)?;
            self.mounted.seams.push(tied);
        }
        Ok(())
    }
}

/// A load on the bare plate is spread over this many thicknesses about the place: nearer than that a plate is no plate, and
/// what happens there is not told; common practice, no source.
const PRESSED_PER_THICKNESS: f64 = 2.0;
/// Places at which a foot may rest, however fine the mesh: enough for two rings of sixteen, and few enough that which of
/// them carry is soon decided.
const MOST_ON_FOOT: usize = 32;

/// At most [`MOST_ON_FOOT`] of the nodes, spread as far from each other as they go: each next one is the farthest from all
/// before it.
fn spread(nodes: &[u32], at: &dyn Fn(u32) -> Point3<f64>) -> Vec<u32> {
    let mut chosen: Vec<u32> = nodes.first().copied().into_iter().collect();
    let mut away_mm = vec![f64::INFINITY; nodes.len()];
    while chosen.len() < MOST_ON_FOOT.min(nodes.len()) {
        let last = chosen[chosen.len() - 1];
        for (away, &node) in away_mm.iter_mut().zip(nodes) {
            *away = away.min((at(node) - at(last)).norm());
        }
        let farthest = (0..nodes.len()).max_by(|&a, &b| away_mm[a].total_cmp(&away_mm[b]).then(b.cmp(&a)));
        chosen.extend(farthest.map(|farthest| nodes[farthest]));
    }
    chosen
}

/// Fewer nodes than this under a washer cannot carry its load.
const LEAST_COUPLED: usize = 6;
/// Across the head or washer of a screw whose size is not known, for each mm across its hole; common practice, no source.
const WASHER_PER_HOLE: f64 = 2.0;

/// Two directions across the bolt, then out of the seat. The first is along the slot where there is one.
pub(crate) fn bolt_axes(mount: &Mount) -> Rotation3<f64> {
    let out = mount.axis.into_inner();
    let first = mount.slides.map_or_else(
        || {
            // The global axis least along the bolt, so that the pair does not flip with small changes.
            let smallest = out.iamin();
            Vector3::ith(smallest, 1.0)
        },
        Unit::into_inner,
    );
    let first = (first - out * first.dot(&out)).normalize();
    Rotation3::from_basis_unchecked(&[first, out.cross(&first), out])
}

/// Across an opening, mm: what a screw of it passes.
pub(crate) fn across_mm(shape: &OpeningShape) -> f64 {
    match shape {
        OpeningShape::Round { dia_mm, .. } => *dia_mm,
        OpeningShape::Slot { width_mm, .. } => *width_mm,
        OpeningShape::Window(_) => 0.0,
    }
}
