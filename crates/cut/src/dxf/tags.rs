//! The file's grain: pairs of a group code and a value, one to a line.

use std::fmt::Write;

/// A DXF text being written.
#[derive(Debug, Default)]
pub(super) struct Tags {
    text: String,
    /// The last handle given out; handles are positive.
    last_handle: u32,
}

impl Tags {
    pub(super) fn text(&mut self, code: u16, value: &str) -> &mut Self {
        // Writing into a String cannot fail.
        let _ = writeln!(self.text, "{code:>3}\n{value}");
        self
    }

    pub(super) fn whole(&mut self, code: u16, value: i64) -> &mut Self {
        let _ = writeln!(self.text, "{code:>3}\n{value}");
        self
    }

    /// A number as the shortest decimal that reads back as the same number: never an exponent, always with a point.
    pub(super) fn number(&mut self, code: u16, value: f64) -> &mut Self {
        let value = if value == 0.0 { 0.0 } else { value };
        let mut decimal = format!("{value}");
        if !decimal.contains('.') {
            decimal.push_str(".0");
        }
        self.text(code, &decimal)
    }

    /// A place as groups `code`, `code + 10` and, when there is a z, `code + 20`.
    pub(super) fn place(&mut self, code: u16, x: f64, y: f64, z: Option<f64>) -> &mut Self {
        self.number(code, x).number(code + 10, y);
        if let Some(z) = z {
            self.number(code + 20, z);
        }
        self
    }

    pub(super) fn new_handle(&mut self) -> Handle {
        self.last_handle += 1;
        Handle(self.last_handle)
    }

    pub(super) fn handle(&mut self, code: u16, handle: Handle) -> &mut Self {
        self.text(code, &format!("{:X}", handle.0))
    }

    pub(super) fn section(&mut self, name: &str, body: impl FnOnce(&mut Self)) {
        self.text(0, "SECTION").text(2, name);
        body(self);
        self.text(0, "ENDSEC");
    }

    /// What the next new handle will be.
    pub(super) fn next_handle(&self) -> Handle {
        Handle(self.last_handle + 1)
    }

    pub(super) fn finish(mut self) -> String {
        self.text(0, "EOF");
        self.text
    }

    pub(super) fn push(&mut self, other: &str) {
        self.text.push_str(other);
    }

    /// Takes what has been written so far, keeping count of the handles.
    pub(super) fn take(&mut self) -> String {
        std::mem::take(&mut self.text)
    }
}

/// The name of an object within the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Handle(u32);

impl Handle {
    /// "No owner".
    pub(super) const NONE: Handle = Handle(0);
}
