//! Bend lines: where the tool stands, and how the plate turns about it.

use nalgebra::{Isometry3, Matrix3, Rotation3, Translation3, UnitQuaternion, Vector3};
use plane::{Point, SAME_POINT_MM, Vector};
use sheet::{Part, Way};

use super::WorkError;

/// A bend line. Its frame has x across the bend toward the moving panel, z away from the plate on the inside of the bend,
/// and its origin at the middle of the strip on the inside face.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// The bends it makes, as indices into [`Part::bends`]: more than one where a window parts a crease.
    pub bends: Vec<usize>,
    /// The bend's name; of the first where there are more.
    pub name: String,
    /// Index of the panel nearer the root.
    pub fixed: usize,
    /// Index of the panel that turns.
    pub moving: usize,
    /// Up or down.
    pub way: Way,
    /// The angle bent through, rad.
    pub bent_rad: f64,
    /// Inside radius, mm.
    pub radius_mm: f64,
    /// A (r + K t) is the strip's width; this is r + K t, mm.
    pub neutral_mm: f64,
    /// Under load it is bent past its angle by this at least, rad, where something tells that beside its metal; else 0.
    pub over_rad: f64,
    /// From the first end of its strips to the last, mm.
    pub length_mm: f64,
    /// Where there is metal along it, from and to, in y of its frame, mm, ascending.
    pub spans_mm: Vec<[f64; 2]>,
    /// From blank axes to its frame.
    pub frame: Isometry3<f64>,
    /// Unit direction across it toward the moving panel, on the blank.
    pub across: Vector,
    /// The middle of its strip on the blank.
    pub middle: Point,
}

/// A step of a line: most have one, from flat to all it is bent through.
#[derive(Debug, Clone, PartialEq)]
pub struct Stage {
    /// Index into [`super::Work::lines`].
    pub line: usize,
    /// The angle it starts from, rad.
    pub from_rad: f64,
    /// The angle it ends at, rad.
    pub to_rad: f64,
    /// Whether it is pressed shut between flat faces, past what a nose reaches.
    pub closing: bool,
}

impl Line {
    /// From blank axes of the moving panel to those of the fixed one, the line bent so far. At 0 nothing moves; at all it
    /// is bent through this is the finished bend. Between, the strip curves from its middle outward.
    pub fn turn(&self, bent_rad: f64) -> Isometry3<f64> {
        let slide_mm = bent_rad * self.neutral_mm / 2.0;
        let about = UnitQuaternion::from_axis_angle(&-Vector3::y_axis(), bent_rad);
        let axis = |x_mm: f64| Translation3::new(x_mm, 0.0, self.radius_mm);
        let turned = axis(-slide_mm) * about * axis(slide_mm).inverse();
        self.frame.inverse() * turned * self.frame
    }

    /// How far the inside face is bent through when the neutral line of the strip is all used up.
    pub fn strip_mm(&self) -> f64 {
        self.bent_rad * self.neutral_mm
    }
}

/// The bend lines of a part, in its order; twins between the same two panels together.
pub(super) fn of_part(part: &Part) -> Result<Vec<Line>, WorkError> {
    let mut lines: Vec<Line> = Vec::new();
    for (index, bend) in part.bends.iter().enumerate() {
        let twin = lines
            .iter_mut()
            .find(|line| line.fixed == bend.fixed && line.moving == bend.moving);
        match twin {
            Some(line) => line.bends.push(index),
            None => lines.push(Line {
                bends: vec![index],
                name: bend.name.clone(),
                fixed: bend.fixed,
                moving: bend.moving,
                way: bend.way,
                bent_rad: bend.bent_rad,
                radius_mm: bend.radius_mm,
                neutral_mm: bend.radius_mm + bend.neutral_share * part.thickness_mm,
                over_rad: 0.0,
                length_mm: 0.0,
                spans_mm: Vec::new(),
                frame: Isometry3::identity(),
                across: Vector::x(),
                middle: Point::origin(),
            }),
        }
    }
    let [far_mm, marked_mm] = part.lines_on.z_range(part.thickness_mm);
    for line in &mut lines {
        lay(line, part, far_mm, marked_mm)?;
    }
    Ok(lines)
}

fn lay(line: &mut Line, part: &Part, far_mm: f64, marked_mm: f64) -> Result<(), WorkError> {
    let no_line = || WorkError::NoLine {
        bend: line.name.clone(),
    };
    let first = &part.bends[line.bends[0]];
    let along = first.along.try_normalize(SAME_POINT_MM).ok_or_else(no_line)?;
    let across = Vector::new(-along.y, along.x);
    let strips = || line.bends.iter().flat_map(|&bend| &part.bends[bend].strips);
    let start = strips().next().ok_or_else(no_line)?;
    // Along the bend from any point of it: a strip's sides may lean, so its longer edge counts.
    let reference = start.fixed[0];
    let mut spans: Vec<[f64; 2]> = strips()
        .map(|strip| {
            let at = |p: Point| (p - reference).dot(&along);
            [
                at(strip.fixed[0]).min(at(strip.moving[0])),
                at(strip.fixed[1]).max(at(strip.moving[1])),
            ]
        })
        .collect();
    spans.sort_by(|a, b| a[0].total_cmp(&b[0]));
    let (low, high) = (
        spans[0][0],
        spans.iter().map(|span| span[1]).fold(f64::NEG_INFINITY, f64::max),
    );
    let length_mm = high - low;
    let numbers = [length_mm, line.bent_rad, line.radius_mm, line.neutral_mm];
    if length_mm <= SAME_POINT_MM || numbers.iter().any(|number| !number.is_finite()) {
        return Err(no_line());
    }
    let half_strip_mm = line.bent_rad * line.neutral_mm / 2.0;
    let middle = reference + along * ((low + high) / 2.0) + across * half_strip_mm;
    // Bent up, the inside is the marked face; (across, -along, up) is right-handed, and (across, along, down) too.
    let (y, z, inside_mm) = match line.way {
        Way::Up => (-along, 1.0, marked_mm),
        Way::Down => (along, -1.0, far_mm),
    };
    let rows = Matrix3::new(across.x, across.y, 0.0, y.x, y.y, 0.0, 0.0, 0.0, z);
    let turned = UnitQuaternion::from_rotation_matrix(&Rotation3::from_matrix_unchecked(rows));
    let origin = Vector3::new(middle.x, middle.y, inside_mm);
    line.frame = Isometry3::from_parts(Translation3::from(-(turned * origin)), turned);
    let sign = along.dot(&y);
    let centre = (low + high) / 2.0;
    let mut spans: Vec<[f64; 2]> = spans
        .into_iter()
        .map(|[from, to]| [(from - centre) * sign, (to - centre) * sign])
        .map(|[a, b]| [a.min(b), a.max(b)])
        .collect();
    spans.sort_by(|a, b| a[0].total_cmp(&b[0]));
    line.spans_mm = spans;
    line.length_mm = length_mm;
    line.across = across;
    line.middle = middle;
    Ok(())
}

/// One step for each line; two where the bend closes past what a nose reaches.
pub(super) fn stages(lines: &[Line], closed_past_rad: f64) -> Vec<Stage> {
    /// Bent past by less than this is not past: a hundredth of a degree.
    const SAME_ANGLE_RAD: f64 = 1.7e-4;
    /// What is closed later is first bent to this share of what tools close to: the rest is room for springback.
    const FIRST_SHARE: f64 = 0.93;
    let mut stages = Vec::new();
    for (line, made) in lines.iter().enumerate() {
        let to_rad = made.bent_rad;
        if to_rad > closed_past_rad + SAME_ANGLE_RAD {
            // Tools that close so far under load leave less.
            let first_rad = FIRST_SHARE * closed_past_rad;
            stages.push(Stage {
                line,
                from_rad: 0.0,
                to_rad: first_rad,
                closing: false,
            });
            stages.push(Stage {
                line,
                from_rad: first_rad,
                to_rad,
                closing: true,
            });
        } else {
            stages.push(Stage {
                line,
                from_rad: 0.0,
                to_rad,
                closing: false,
            });
        }
    }
    stages
}
