//! What a process allows, gathered before a part is looked at.

use handbook::{Handbook, Limit, Process, Sourced, UnknownProcess};

/// The process that drills its round holes: no other way of making them is proposed for it.
const DRILLS: &str = "saw and drill";

/// What a process allows. Factors are of the thickness.
#[derive(Debug, Clone, PartialEq)]
pub struct Limits {
    /// The process.
    pub process: String,
    /// Width of the cut, mm.
    pub kerf_mm: Sourced<f64>,
    /// Least hole.
    pub least_hole_x_t: Sourced<f64>,
    /// Least web between two openings.
    pub least_web_x_t: Sourced<f64>,
    /// Least distance of an opening from the outside edge.
    pub edge_x_t: Sourced<f64>,
    /// Left free all round a sheet, mm.
    pub sheet_margin_mm: Sourced<f64>,
    /// The other processes of the handbook, as ways out.
    pub others: Vec<OtherProcess>,
    /// Round holes are drilled as a matter of course.
    pub drills: bool,
}

/// What another process would allow.
#[derive(Debug, Clone, PartialEq)]
pub struct OtherProcess {
    /// Its name.
    pub name: String,
    /// Width of its cut, mm.
    pub kerf_mm: f64,
    /// Its least hole, x t.
    pub least_hole_x_t: f64,
    /// Its least web, x t.
    pub least_web_x_t: f64,
    /// Its least distance from the edge, x t.
    pub edge_x_t: f64,
}

impl Limits {
    /// The handbook's limits for this process. A shop's own kerf and least hole are set in the fields afterwards.
    pub fn of(book: &Handbook, process: &str) -> Result<Limits, UnknownProcess> {
        let own = book.process(process)?;
        let others = book.processes().iter().filter(|other| other.name != own.name);
        Ok(Limits {
            process: own.name.clone(),
            kerf_mm: own.kerf_mm.clone(),
            least_hole_x_t: own.least_hole_x_t.clone(),
            least_web_x_t: own.least_web_x_t.clone(),
            edge_x_t: own.edge_x_t.clone(),
            sheet_margin_mm: book.limit(Limit::SheetMargin),
            others: others.map(OtherProcess::of).collect(),
            drills: own.name == DRILLS,
        })
    }

    /// Least width of an opening, mm: the least hole or the kerf, whichever is more, and its row.
    pub(super) fn least_width_mm(&self, t_mm: f64) -> (f64, &Sourced<f64>) {
        let by_thickness = self.least_hole_x_t.value * t_mm;
        if by_thickness >= self.kerf_mm.value {
            (by_thickness, &self.least_hole_x_t)
        } else {
            (self.kerf_mm.value, &self.kerf_mm)
        }
    }

    /// The first other process whose limit is no more than what there is.
    pub(super) fn other(&self, found_mm: f64, limit_mm: impl Fn(&OtherProcess) -> f64) -> Option<super::Fix> {
        let other = self.others.iter().find(|other| limit_mm(other) <= found_mm)?;
        Some(super::Fix::OtherProcess {
            name: other.name.clone(),
            limit_mm: limit_mm(other),
        })
    }
}

impl OtherProcess {
    fn of(process: &Process) -> Self {
        OtherProcess {
            name: process.name.clone(),
            kerf_mm: process.kerf_mm.value,
            least_hole_x_t: process.least_hole_x_t.value,
            least_web_x_t: process.least_web_x_t.value,
            edge_x_t: process.edge_x_t.value,
        }
    }

    pub(super) fn least_width_mm(&self, t_mm: f64) -> f64 {
        self.kerf_mm.max(self.least_hole_x_t * t_mm)
    }
}
