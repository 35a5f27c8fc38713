//! How the controller is spoken to.

use cut::gcode::{
    ArcCentres, ArcPieces, Comments, Compensation, Dialect, EndWord, Heights, OnOff, PierceDelay, ProgramUnit,
};

use super::Said;
use crate::files::model::{CutterDef, Name, Place, ProgramDef};

impl Said<'_> {
    pub(super) fn dialect(&mut self, def: &ProgramDef) -> Dialect {
        let word = |name: &Option<Name>| name.as_ref().map(|name| name.value.clone());
        let pair =
            |pair: &Option<[Name; 2]>| pair.as_ref().map(|[on, off]| OnOff::new(&on.value, &off.value));
        let mut dialect = Dialect::default();
        match word(&def.comments).as_deref() {
            Some("semicolon") => dialect.comments = Comments::Semicolon,
            Some("none") => dialect.comments = Comments::None,
            _ => {}
        }
        if word(&def.units).as_deref() == Some("in") {
            dialect.unit = ProgramUnit::Inch;
            dialect.decimals_n = ProgramUnit::Inch.least_decimals_n();
        }
        if let Some(decimals) = self.number(def.decimals.as_ref(), "the number of decimals", 0.0, 20.0) {
            // Held to 0 to 20.
            dialect.decimals_n = decimals.round() as u8;
        }
        if word(&def.centres).as_deref() == Some("absolute") {
            dialect.arc_centres = ArcCentres::Absolute;
        }
        if def.quarter_arcs {
            dialect.arc_pieces = ArcPieces::QuarterTurns;
        }
        if let Some(torch) = pair(&def.torch) {
            dialect.torch = torch;
        }
        if word(&def.waits).as_deref() == Some("machine") {
            dialect.pierce_delay = PierceDelay::ByMachine;
        }
        if word(&def.heights).as_deref() == Some("machine") {
            dialect.heights = Heights::ByMachine;
        }
        dialect.height_control = pair(&def.height_control);
        if let Some(step) = self.number(
            def.line_numbers.as_ref(),
            "the step of the line numbers",
            1.0,
            1000.0,
        ) {
            dialect.line_numbers = Some(step.round() as u32);
        }
        let slot = self.number(
            def.kerf_row.as_ref(),
            "the row of the machine's table",
            1.0,
            999.0,
        );
        match word(&def.kerf_by).as_deref() {
            Some("machine table") => {
                dialect.compensation = Compensation::MachineTable {
                    slot: slot.unwrap_or(1.0).round() as u32,
                };
            }
            Some("machine width") => dialect.compensation = Compensation::MachineWidth,
            _ => {}
        }
        if word(&def.end).as_deref() == Some("M30") {
            dialect.end = EndWord::M30;
        }
        dialect
    }
}

/// Where to point for a controller that cannot be spoken to: the likeliest of its words.
pub(super) fn program_place(program: &ProgramDef, def: &CutterDef) -> Place {
    let torch = program.torch.as_ref().map(|[on, _]| &on.at);
    let control = program.height_control.as_ref().map(|[on, _]| &on.at);
    let decimals = program.decimals.as_ref().map(|told| &told.at);
    let step = program.line_numbers.as_ref().map(|told| &told.at);
    [decimals, torch, control, step]
        .into_iter()
        .flatten()
        .next()
        .unwrap_or(&def.process.at)
        .clone()
}
