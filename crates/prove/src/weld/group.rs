//! A group of weld lines in a plane, each taken as a line without width: area, middle, second moments, and the force per mm
//! that a load puts on every point of it.
//!
//! Shigley ch. 9: unit areas and unit second moments; throat = 0.707 leg turns a line force into a stress.

use nalgebra::{Point2, Vector2, Vector3};

use crate::weld::throat::LineForce;

/// One run of weld.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Run {
    /// Straight.
    Straight {
        /// From here, mm.
        from: Point2<f64>,
        /// To here, mm.
        to: Point2<f64>,
    },
    /// Along an arc.
    Arc {
        /// Centre, mm.
        centre: Point2<f64>,
        /// Radius, mm.
        radius_mm: f64,
        /// Where it begins, rad from the x axis.
        start_rad: f64,
        /// How far round it goes, rad, counter-clockwise above 0.
        sweep_rad: f64,
    },
}

/// Force and moment on the welded part, with the moment about the middle of the weld group; z is square to its plane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeldLoad {
    /// Force, N.
    pub force_n: Vector3<f64>,
    /// Moment about the group's middle, N mm.
    pub moment_n_mm: Vector3<f64>,
}

/// The line force at one point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OnWeld {
    /// Where, mm.
    pub at: Point2<f64>,
    /// Unit direction of the weld there.
    pub along: Vector2<f64>,
    /// Force per mm, N/mm, in the group's x, y, z.
    pub line_n_mm: Vector3<f64>,
}

impl OnWeld {
    /// As the throat sees it, when a plate stands on the plane of the group along the weld, on the left of its direction when
    /// it is welded on one side: z pulls it off.
    pub fn seen_by_throat(&self) -> LineForce {
        let left = Vector3::new(-self.along.y, self.along.x, 0.0);
        let along = Vector3::new(self.along.x, self.along.y, 0.0);
        LineForce {
            along_n_mm: self.line_n_mm.dot(&along),
            pull_n_mm: self.line_n_mm.z,
            across_n_mm: self.line_n_mm.dot(&left),
            bend_n: 0.0,
        }
    }
}

/// Runs that are no group.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum BadGroup {
    /// No weld has any length.
    #[error("the weld group has no length")]
    NoLength,
    /// A number that is none.
    #[error("a place or size in the weld group is not a number it can be")]
    NotANumber,
    /// A moment that the weld lines, all in one line, cannot take.
    #[error("a weld in one line cannot take a moment about itself")]
    InLine,
}

/// A group of weld runs with its unit properties (throat 1 mm).
#[derive(Debug, Clone, PartialEq)]
pub struct WeldGroup {
    runs: Vec<Run>,
    length_mm: f64,
    middle: Point2<f64>,
    xx_mm3: f64,
    yy_mm3: f64,
    xy_mm3: f64,
}

/// Second moment of a group about an axis below this share of its polar one: the group lies in one line along the axis.
const IN_LINE_SHARE: f64 = 1e-9;

/// Points at which a run is looked at beside its ends: the line force changes linearly along a straight run, so its ends
/// would do; an arc's worst lies within 1 % of the worst of these.
const STATIONS: usize = 32;

/// Moments of a run: its length, and the integrals of x, y, x2, y2, xy along it.
struct Moments {
    length: f64,
    x: f64,
    y: f64,
    xx: f64,
    yy: f64,
    xy: f64,
}

impl Run {
    /// Length, mm.
    pub fn length_mm(&self) -> f64 {
        match self {
            Run::Straight { from, to } => (to - from).norm(),
            Run::Arc {
                radius_mm, sweep_rad, ..
            } => radius_mm * sweep_rad.abs(),
        }
    }

    /// Place and direction at a share of its length, 0 to 1.
    fn at(&self, share: f64) -> (Point2<f64>, Vector2<f64>) {
        match *self {
            Run::Straight { from, to } => {
                let along = (to - from).try_normalize(0.0).unwrap_or_else(Vector2::zeros);
                (from + (to - from) * share, along)
            }
            Run::Arc {
                centre,
                radius_mm,
                start_rad,
                sweep_rad,
            } => {
                let (sin, cos) = (start_rad + sweep_rad * share).sin_cos();
                let way = sweep_rad.signum();
                (
                    centre + Vector2::new(cos, sin) * radius_mm,
                    Vector2::new(-sin, cos) * way,
                )
            }
        }
    }

    fn is_sound(&self) -> bool {
        match self {
            Run::Straight { from, to } => from.iter().chain(to.iter()).all(|x| x.is_finite()),
            Run::Arc {
                centre,
                radius_mm,
                start_rad,
                sweep_rad,
            } => {
                *radius_mm >= 0.0
                    && [centre.x, centre.y, *radius_mm, *start_rad, *sweep_rad]
                        .iter()
                        .all(|x| x.is_finite())
            }
        }
    }

    fn moments(&self) -> Moments {
        let length = self.length_mm();
        match *self {
            Run::Straight { from, to } => {
                let middle = nalgebra::center(&from, &to);
                let d = to - from;
                Moments {
                    length,
                    x: length * middle.x,
                    y: length * middle.y,
                    xx: length * (middle.x * middle.x + d.x * d.x / 12.0),
                    yy: length * (middle.y * middle.y + d.y * d.y / 12.0),
                    xy: length * (middle.x * middle.y + d.x * d.y / 12.0),
                }
            }
            Run::Arc {
                centre,
                radius_mm: r,
                start_rad,
                sweep_rad,
            } => {
                let (a, b) = if sweep_rad >= 0.0 {
                    (start_rad, start_rad + sweep_rad)
                } else {
                    (start_rad + sweep_rad, start_rad)
                };
                // Integrals of cos, sin, cos2, sin2 and cos sin over the arc.
                let (c, s) = (b.sin() - a.sin(), a.cos() - b.cos());
                let half = (b - a) / 2.0;
                let quarter = ((2.0 * b).sin() - (2.0 * a).sin()) / 4.0;
                let (cc, ss) = (half + quarter, half - quarter);
                let cs = (b.sin().powi(2) - a.sin().powi(2)) / 2.0;
                let (x0, y0) = (centre.x, centre.y);
                Moments {
                    length,
                    x: r * (x0 * (b - a) + r * c),
                    y: r * (y0 * (b - a) + r * s),
                    xx: r * (x0 * x0 * (b - a) + 2.0 * x0 * r * c + r * r * cc),
                    yy: r * (y0 * y0 * (b - a) + 2.0 * y0 * r * s + r * r * ss),
                    xy: r * (x0 * y0 * (b - a) + r * (x0 * s + y0 * c) + r * r * cs),
                }
            }
        }
    }
}

impl WeldGroup {
    /// A group of runs.
    pub fn new(runs: Vec<Run>) -> Result<Self, BadGroup> {
        if !runs.iter().all(Run::is_sound) {
            return Err(BadGroup::NotANumber);
        }
        let all: Vec<Moments> = runs.iter().map(Run::moments).collect();
        let sum = |of: fn(&Moments) -> f64| all.iter().map(of).sum::<f64>();
        let length_mm = sum(|m| m.length);
        if length_mm <= 0.0 {
            return Err(BadGroup::NoLength);
        }
        let middle = Point2::new(sum(|m| m.x) / length_mm, sum(|m| m.y) / length_mm);
        Ok(WeldGroup {
            // About the middle: Steiner.
            xx_mm3: sum(|m| m.yy) - length_mm * middle.y * middle.y,
            yy_mm3: sum(|m| m.xx) - length_mm * middle.x * middle.x,
            xy_mm3: sum(|m| m.xy) - length_mm * middle.x * middle.y,
            runs,
            length_mm,
            middle,
        })
    }

    /// Total length, mm: the unit area.
    pub fn length_mm(&self) -> f64 {
        self.length_mm
    }

    /// Middle of the group, mm.
    pub fn middle(&self) -> Point2<f64> {
        self.middle
    }

    /// Unit second moments about axes through the middle, mm3: about x, about y, and the product.
    pub fn unit_second_moments_mm3(&self) -> [f64; 3] {
        [self.xx_mm3, self.yy_mm3, self.xy_mm3]
    }

    /// Unit polar second moment about the middle, mm3: J_u.
    pub fn unit_polar_mm3(&self) -> f64 {
        self.xx_mm3 + self.yy_mm3
    }

    /// The load as a force at a point and a moment beside it, brought to the group's middle. `at` is in the group's axes,
    /// z from its plane, mm.
    pub fn load_at(&self, at: Vector3<f64>, force_n: Vector3<f64>, moment_n_mm: Vector3<f64>) -> WeldLoad {
        let arm = at - Vector3::new(self.middle.x, self.middle.y, 0.0);
        WeldLoad {
            force_n,
            moment_n_mm: moment_n_mm + arm.cross(&force_n),
        }
    }

    /// Force per mm at a point, N/mm: the force spread evenly, F/L; the twist M_z r/J_u square to the arm; the bending
    /// moments as M y/I over the line, skew bending included.
    pub fn line_force_n_mm(&self, at: Point2<f64>, load: &WeldLoad) -> Result<Vector3<f64>, BadGroup> {
        let arm = at - self.middle;
        let even = load.force_n / self.length_mm;
        let twist = load.moment_n_mm.z;
        let polar = self.unit_polar_mm3();
        let turning = if twist == 0.0 {
            Vector3::zeros()
        } else {
            Vector3::new(-arm.y, arm.x, 0.0) * (twist / polar)
        };
        Ok(even + turning + Vector3::new(0.0, 0.0, self.bending_n_mm(&arm, load)?))
    }

    fn bending_n_mm(&self, arm: &Vector2<f64>, load: &WeldLoad) -> Result<f64, BadGroup> {
        let (mx, my) = (load.moment_n_mm.x, load.moment_n_mm.y);
        if mx == 0.0 && my == 0.0 {
            return Ok(0.0);
        }
        // f = p x + q y with M_x = int y f and M_y = -int x f.
        let (xx, yy, xy) = (self.xx_mm3, self.yy_mm3, self.xy_mm3);
        let determinant = xx * yy - xy * xy;
        let polar = self.unit_polar_mm3();
        if determinant > IN_LINE_SHARE * polar * polar {
            let p = (-my * xx - mx * xy) / determinant;
            let q = (mx * yy + my * xy) / determinant;
            return Ok(p * arm.x + q * arm.y);
        }
        // All in one line: only a moment across it can be taken.
        let along = if xx >= yy {
            Vector2::new(xy, xx)
        } else {
            Vector2::new(yy, xy)
        };
        let Some(along) = along.try_normalize(0.0) else {
            return Err(BadGroup::InLine);
        };
        let about_line = mx * along.x + my * along.y;
        if about_line.abs() > 1e-9 * mx.hypot(my) {
            return Err(BadGroup::InLine);
        }
        let across = -my * along.x + mx * along.y;
        Ok(across * arm.dot(&along) / polar)
    }

    /// The points that may be the worst, with their line forces: both ends of every run, and stations along it.
    pub fn stations(&self, load: &WeldLoad) -> Result<Vec<OnWeld>, BadGroup> {
        let shares = (0..=STATIONS).map(|i| i as f64 / STATIONS as f64);
        self.runs
            .iter()
            .filter(|run| run.length_mm() > 0.0)
            .flat_map(|run| shares.clone().map(|share| run.at(share)))
            .map(|(at, along)| {
                Ok(OnWeld {
                    at,
                    along,
                    line_n_mm: self.line_force_n_mm(at, load)?,
                })
            })
            .collect()
    }

    /// The point with the largest line force.
    pub fn worst(&self, load: &WeldLoad) -> Result<OnWeld, BadGroup> {
        let all = self.stations(load)?;
        all.into_iter()
            .max_by(|a, b| a.line_n_mm.norm().total_cmp(&b.line_n_mm.norm()))
            .ok_or(BadGroup::NoLength)
    }
}
