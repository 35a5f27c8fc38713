//! How plate and tools move as the angle grows.

use nalgebra::{Isometry3, Translation3, UnitQuaternion, Vector3};

use crate::solid::Prism;

/// How the bend is made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Action {
    /// Air bending: both legs rise about the nose, and the die comes up under them.
    Rise {
        /// From the nose's plane to the middle of each shoulder, mm.
        half_opening_mm: f64,
        /// Radius of the shoulders, mm.
        shoulder_mm: f64,
    },
    /// Folding: the leg at the back stays clamped, the one in front swings up.
    Swing {
        /// The angle at the end of the swing, rad: there the bend's axis stands over the nose.
        last_rad: f64,
    },
}

/// What moves how.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Mover {
    /// Stands still.
    Still,
    /// The plate toward the back, x above 0.
    Ahead,
    /// The plate toward the person, x below 0.
    Behind,
    /// Die and bed.
    Lower,
    /// The apron of a folder.
    Apron,
}

/// A bend being made: the action and the bend's own measures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Motion {
    /// How.
    pub action: Action,
    /// Inside radius, mm.
    pub radius_mm: f64,
    /// r + K t, mm.
    pub neutral_mm: f64,
    /// Plate thickness, mm.
    pub thickness_mm: f64,
}

/// A turn in the plane across the bend and a slide: p goes to turn (p - from) + to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Planar {
    cos: f64,
    sin: f64,
    from: [f64; 2],
    to: [f64; 2],
}

impl Planar {
    const STILL: Planar = Planar {
        cos: 1.0,
        sin: 0.0,
        from: [0.0; 2],
        to: [0.0; 2],
    };

    fn new(turned_rad: f64, from: [f64; 2], to: [f64; 2]) -> Planar {
        let (sin, cos) = turned_rad.sin_cos();
        Planar { cos, sin, from, to }
    }

    /// The same in space.
    pub fn isometry(&self) -> Isometry3<f64> {
        let about = UnitQuaternion::from_axis_angle(&-Vector3::y_axis(), self.sin.atan2(self.cos));
        let at = |place: [f64; 2]| Translation3::new(place[0], 0.0, place[1]);
        at(self.to) * about * at(self.from).inverse()
    }

    fn turn(&self, v: &Vector3<f64>) -> Vector3<f64> {
        Vector3::new(
            v.x * self.cos - v.z * self.sin,
            v.y,
            v.x * self.sin + v.z * self.cos,
        )
    }

    fn place(&self, p: &Vector3<f64>) -> Vector3<f64> {
        let from = Vector3::new(p.x - self.from[0], p.y, p.z - self.from[1]);
        let turned = self.turn(&from);
        Vector3::new(turned.x + self.to[0], turned.y, turned.z + self.to[1])
    }

    /// The prism moved, into a prism of the same shape.
    pub fn apply(&self, prism: &Prism, into: &mut Prism) {
        let turn = |from: &[Vector3<f64>], into: &mut Vec<Vector3<f64>>| {
            into.clear();
            into.extend(from.iter().map(|v| self.turn(v)));
        };
        into.base.clear();
        into.base.extend(prism.base.iter().map(|p| self.place(p)));
        into.along = self.turn(&prism.along);
        turn(&prism.normals, &mut into.normals);
        turn(&prism.edges, &mut into.edges);
        into.centre = self.place(&prism.centre);
        into.reach_mm = prism.reach_mm;
    }

    /// The prism's polygon moved; its directions are left as they were.
    pub fn apply_base(&self, prism: &Prism, into: &mut Prism) {
        into.base.clear();
        into.base.extend(prism.base.iter().map(|p| self.place(p)));
        into.along = self.turn(&prism.along);
    }

    pub fn centre_of(&self, prism: &Prism) -> Vector3<f64> {
        self.place(&prism.centre)
    }

    /// How this one looks to something that moves like the other.
    pub fn seen_from(&self, other: &Planar) -> Planar {
        // p -> turn(-b) (turn(a) (p - from_a) + to_a - to_b) + from_b
        let (cos, sin) = (
            self.cos * other.cos + self.sin * other.sin,
            self.sin * other.cos - self.cos * other.sin,
        );
        let [x, z] = [self.to[0] - other.to[0], self.to[1] - other.to[1]];
        let to = [
            x * other.cos + z * other.sin + other.from[0],
            z * other.cos - x * other.sin + other.from[1],
        ];
        Planar {
            cos,
            sin,
            from: self.from,
            to,
        }
    }
}

impl Motion {
    /// How something stands when the bend has come so far.
    pub(crate) fn at(&self, mover: Mover, bent_rad: f64) -> Planar {
        let slide_mm = bent_rad * self.neutral_mm / 2.0;
        let axis = [0.0, self.radius_mm];
        match (self.action, mover) {
            (_, Mover::Still) => Planar::STILL,
            (Action::Rise { .. }, Mover::Ahead) => {
                Planar::new(bent_rad / 2.0, [slide_mm, self.radius_mm], axis)
            }
            (Action::Rise { .. }, Mover::Behind) => {
                Planar::new(-bent_rad / 2.0, [-slide_mm, self.radius_mm], axis)
            }
            (
                Action::Rise {
                    half_opening_mm,
                    shoulder_mm,
                },
                Mover::Lower,
            ) => {
                let up_mm = self.die_top_mm(half_opening_mm, shoulder_mm, bent_rad);
                Planar::new(0.0, [0.0; 2], [0.0, up_mm])
            }
            (Action::Swing { last_rad }, Mover::Ahead) => {
                Planar::new(0.0, [last_rad * self.neutral_mm / 2.0, 0.0], [0.0; 2])
            }
            (Action::Swing { last_rad }, Mover::Behind) => {
                let nose_mm = last_rad * self.neutral_mm / 2.0;
                Planar::new(
                    -bent_rad,
                    [-slide_mm, self.radius_mm],
                    [slide_mm - nose_mm, self.radius_mm],
                )
            }
            (Action::Swing { last_rad }, Mover::Apron) => {
                // It lies against the leg it swings, whose axis comes to the nose only at the end.
                let nose_mm = last_rad * self.neutral_mm / 2.0;
                Planar::new(-bent_rad, axis, [slide_mm - nose_mm, self.radius_mm])
            }
            (Action::Rise { .. }, Mover::Apron) | (Action::Swing { .. }, Mover::Lower) => Planar::STILL,
        }
    }

    /// The top of a die whose shoulders touch the outside of both legs. With a the half of the angle, and the shoulders'
    /// middles half the opening from the nose: (V/2) tan a - (r + t + s) / cos a + r + s.
    fn die_top_mm(&self, half_opening_mm: f64, shoulder_mm: f64, bent_rad: f64) -> f64 {
        let (sin, cos) = (bent_rad / 2.0).sin_cos();
        let outside_mm = self.radius_mm + self.thickness_mm + shoulder_mm;
        (half_opening_mm * sin - outside_mm) / cos + self.radius_mm + shoulder_mm
    }

    /// From where to where something turns about the bend's axis while the angle grows from one to the other, rad from +x
    /// toward +z; and how far it is from turning about that axis alone, mm. What comes up with the die does not turn.
    pub(crate) fn turns(&self, mover: Mover, from_rad: f64, to_rad: f64) -> ([f64; 2], f64) {
        // Half the neutral line slides in under the nose, and the nose itself may stand off by as much.
        let slack_mm = match self.action {
            Action::Rise { .. } => to_rad * self.neutral_mm / 2.0,
            Action::Swing { last_rad } => last_rad.max(to_rad) * self.neutral_mm,
        };
        match (self.action, mover) {
            (_, Mover::Still | Mover::Lower) | (Action::Rise { .. }, Mover::Apron) => ([0.0; 2], 0.0),
            (Action::Rise { .. }, Mover::Ahead) => ([from_rad / 2.0, to_rad / 2.0], slack_mm),
            (Action::Rise { .. }, Mover::Behind) => ([-to_rad / 2.0, -from_rad / 2.0], slack_mm),
            (Action::Swing { .. }, Mover::Ahead) => ([0.0; 2], slack_mm),
            (Action::Swing { .. }, Mover::Behind | Mover::Apron) => ([-to_rad, -from_rad], slack_mm),
        }
    }

    /// How the one looks to something that moves like the other.
    pub(crate) fn between(&self, a: Mover, b: Mover, bent_rad: f64) -> Planar {
        match (self.action, a, b) {
            // Both legs turn by half the angle: one from the other by all of it.
            (Action::Rise { .. }, Mover::Ahead, Mover::Behind) => {
                let slide_mm = bent_rad * self.neutral_mm / 2.0;
                Planar::new(bent_rad, [slide_mm, self.radius_mm], [-slide_mm, self.radius_mm])
            }
            (_, _, Mover::Still) => self.at(a, bent_rad),
            _ => self.at(a, bent_rad).seen_from(&self.at(b, bent_rad)),
        }
    }

    /// How far what comes up with the die has come, mm.
    pub(crate) fn lift_mm(&self, bent_rad: f64) -> f64 {
        match self.action {
            Action::Rise {
                half_opening_mm,
                shoulder_mm,
            } => self.die_top_mm(half_opening_mm, shoulder_mm, bent_rad),
            Action::Swing { .. } => 0.0,
        }
    }

    /// No point of this prism moves faster than this while the angle grows from one to the other, mm per rad; for what
    /// comes up with the die, what [`Motion::die_speed`] says comes on top.
    pub(crate) fn most_speed(&self, mover: Mover, prism: &Prism, from_rad: f64, to_rad: f64) -> f64 {
        let slide_mm = to_rad.abs().max(from_rad.abs()) * self.neutral_mm / 2.0;
        let lever_mm = |x_mm: f64| {
            let corner = |p: Vector3<f64>| {
                let (x, z) = (p.x.abs() + x_mm, p.z - self.radius_mm);
                x * x + z * z
            };
            prism.corners().map(corner).fold(0.0, f64::max).sqrt()
        };
        match (self.action, mover) {
            (_, Mover::Still | Mover::Lower) | (Action::Swing { .. }, Mover::Ahead) => 0.0,
            (Action::Rise { .. }, Mover::Ahead | Mover::Behind) => {
                lever_mm(slide_mm) / 2.0 + self.neutral_mm / 2.0
            }
            (Action::Rise { .. }, Mover::Apron) => 0.0,
            (Action::Swing { .. }, Mover::Behind) => lever_mm(slide_mm) + self.neutral_mm,
            (Action::Swing { .. }, Mover::Apron) => lever_mm(0.0) + self.neutral_mm / 2.0,
        }
    }

    /// Nothing comes up with the die faster than this before the angle is reached, mm per rad. The rise is half of (V/2 -
    /// (r + t + s) sin a) / cos2 a, with a half the angle.
    pub(crate) fn die_speed(&self, to_rad: f64) -> f64 {
        let Action::Rise {
            half_opening_mm,
            shoulder_mm,
        } = self.action
        else {
            return 0.0;
        };
        let (sin, cos) = (to_rad / 2.0).sin_cos();
        let outside_mm = self.radius_mm + self.thickness_mm + shoulder_mm;
        (half_opening_mm + outside_mm * sin) / (2.0 * cos * cos)
    }
}
