//! Folders and vices.

use brake::tooling::{Folder, Tooling, Vice, ViceBody};

use crate::files::keys::bender as keys;
use crate::files::model::{FolderDef, ViceDef};

use super::section::Seat;
use super::{Of, Said};

impl Said<'_> {
    pub(super) fn folder(&mut self, def: &FolderDef) -> Option<Folder> {
        let usual = Tooling::starter_folder().folders.remove(0);
        let of = Of::new("the folder", &def.name, keys::FOLDER, def.like.as_ref());
        let length = self.size(&of, "length", def.length.as_ref(), usual.length_mm);
        let fingers = self.pieces(&of, "fingers", &def.fingers);
        let fingers = self.or_usual(&of, "fingers", fingers, usual.fingers);
        let depth = self.size(
            &of,
            "finger_depth",
            def.finger_depth.as_ref(),
            usual.finger_depth_mm,
        );
        let finger = def.finger.as_ref().map(|section| {
            let outline = self.outline(section, depth)?;
            self.seated(&of, "finger", section, outline, Seat::Over)
        });
        let finger = self.or_usual(&of, "finger", finger, usual.finger);
        let beam = self.section_or(&of, "beam", def.beam.as_ref(), Seat::Free, usual.beam);
        let bed = self.section_or(&of, "bed", def.bed.as_ref(), Seat::Below, usual.bed);
        let apron = self.section_or(&of, "apron", def.apron.as_ref(), Seat::Below, usual.apron);
        let lift = self.size(&of, "lift", def.lift.as_ref(), usual.clamp_lift_mm);
        let nose = self.reach(&of, "nose", def.nose.as_ref(), usual.nose_mm);
        let swing = self.angle(&of, "swing", def.swing.as_ref(), usual.swing_rad);
        let capacity = self.capacity(&of, def.capacity.as_ref(), usual.capacity);
        let clamped = self.size(
            &of,
            "least_clamped",
            def.least_clamped.as_ref(),
            usual.least_clamped_mm,
        );
        let swung = self.size(&of, "least_swung", def.least_swung.as_ref(), usual.least_swung_mm);
        Some(Folder {
            name: def.name.value.clone(),
            length_mm: length?,
            fingers: fingers?,
            finger: finger?,
            finger_depth_mm: depth?,
            beam: beam?,
            bed: bed?,
            apron: apron?,
            clamp_lift_mm: lift?,
            nose_mm: nose?,
            swing_rad: swing?,
            capacity: capacity?,
            least_clamped_mm: clamped?,
            least_swung_mm: swung?,
        })
    }

    pub(super) fn vice(&mut self, def: &ViceDef) -> Option<Vice> {
        let usual = Tooling::starter_vice().vices.remove(0);
        let of = Of::new("the vice", &def.name, keys::VICE, def.like.as_ref());
        let jaws = self.pieces(&of, "jaws", &def.jaws);
        let jaws = self.or_usual(&of, "jaws", jaws, usual.jaws);
        let deep = self.size(&of, "deep", def.deep.as_ref(), usual.deep_mm);
        let body = self.vice_body(&of, def);
        let inner = self.section_or(&of, "inner", def.inner.as_ref(), Seat::Over, usual.inner);
        let outer = self.section_or(&of, "outer", def.outer.as_ref(), Seat::Below, usual.outer);
        let nose = self.reach(&of, "nose", def.nose.as_ref(), usual.nose_mm);
        let swing = self.angle(&of, "swing", def.swing.as_ref(), usual.swing_rad);
        let capacity = self.capacity(&of, def.capacity.as_ref(), usual.capacity);
        let drawn = self.size(&of, "drawn", def.drawn.as_ref(), usual.drawn_mm);
        let clamped = self.size(
            &of,
            "least_clamped",
            def.least_clamped.as_ref(),
            usual.least_clamped_mm,
        );
        let least_drawn = self.size(&of, "least_drawn", def.least_drawn.as_ref(), usual.least_drawn_mm);
        Some(Vice {
            name: def.name.value.clone(),
            jaws: jaws?,
            opens: usual.opens,
            deep_mm: deep?,
            body: body?,
            inner: inner?,
            outer: outer?,
            nose_mm: nose?,
            swing_rad: swing?,
            capacity: capacity?,
            drawn_mm: drawn?,
            least_clamped_mm: clamped?,
            least_drawn_mm: least_drawn?,
        })
    }

    /// What stands about the jaws: as a common vice has it where it is not said, whether the rest is said or not.
    fn vice_body(&mut self, of: &Of, def: &ViceDef) -> Option<Option<ViceBody>> {
        let usual = Tooling::vice_body();
        let mut told = |key, sum: &Option<_>, usual_mm| match sum {
            Some(_) => self.reach(of, key, sum.as_ref(), usual_mm),
            None => Some(usual_mm),
        };
        let wide = told("body", &def.body, usual.wide_mm);
        let out = told("body_out", &def.body_out, usual.out_mm);
        let under = told("body_under", &def.body_under, usual.under_mm);
        let screw = told("screw", &def.screw, usual.screw_mm);
        let body = ViceBody {
            wide_mm: wide?,
            out_mm: out?,
            under_mm: under?,
            screw_mm: screw?,
        };
        Some((body.wide_mm > 0.0).then_some(body))
    }
}
