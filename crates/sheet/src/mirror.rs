//! The same card for the other hand.

use plane::{Point, Vector};

use crate::part::{Crease, Mark, MarkKind, Mockup, Opening, OpeningShape, Seam};

impl Mockup {
    /// The same blank bent the other way: every bend's way turned over, and the lines on the other face. The folded part
    /// is the mirror image in z = 0, with what was marked side out now far side out. Twice gives the mock-up back.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        let creases = self.creases.iter().map(|crease| Crease {
            way: crease.way.other(),
            ..crease.clone()
        });
        Self {
            creases: creases.collect(),
            lines_on: self.lines_on.other(),
            ..self.clone()
        }
    }

    /// The card drawn over again in a mirror that stands on the line through a point along a direction (of some
    /// length): ways and faces kept, the marked face still toward the eye. The folded part is the mirror image in that
    /// line.
    #[must_use]
    pub fn reflected(&self, through: Point, along: Vector) -> Self {
        let unit = along.normalize();
        let image = |p: Point| {
            let arm = p - through;
            through + unit * (2.0 * unit.dot(&arm)) - arm
        };
        let opening = |opening: &Opening| Opening {
            name: opening.name.clone(),
            shape: match &opening.shape {
                OpeningShape::Round { at, dia_mm } => OpeningShape::Round {
                    at: image(*at),
                    dia_mm: *dia_mm,
                },
                OpeningShape::Slot { from, to, width_mm } => OpeningShape::Slot {
                    from: image(*from),
                    to: image(*to),
                    width_mm: *width_mm,
                },
                OpeningShape::Window(outline) => OpeningShape::Window(outline.mirrored(through, along)),
            },
        };
        let mark = |mark: &Mark| Mark {
            name: mark.name.clone(),
            kind: match &mark.kind {
                MarkKind::Text { at, text, height_mm } => MarkKind::Text {
                    at: image(*at),
                    text: text.clone(),
                    height_mm: *height_mm,
                },
                MarkKind::Line { from, to } => MarkKind::Line {
                    from: image(*from),
                    to: image(*to),
                },
            },
        };
        let crease = |crease: &Crease| Crease {
            from: image(crease.from),
            to: image(crease.to),
            ..crease.clone()
        };
        let seam = |seam: &Seam| Seam {
            name: seam.name.clone(),
            first: seam.first.map(image),
            second: seam.second.map(image),
        };
        Self {
            outline: self.outline.mirrored(through, along),
            openings: self.openings.iter().map(opening).collect(),
            creases: self.creases.iter().map(crease).collect(),
            seams: self.seams.iter().map(seam).collect(),
            marks: self.marks.iter().map(mark).collect(),
            panel_names: self
                .panel_names
                .iter()
                .map(|(name, at)| (name.clone(), image(*at)))
                .collect(),
            root: self.root.map(image),
            ..self.clone()
        }
    }
}
