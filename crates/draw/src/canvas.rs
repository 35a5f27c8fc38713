//! The page an SVG is written on: mm, y downward, fixed decimals so that the same input gives the same bytes.

use std::fmt::Write as _;

use plane::Point;

use crate::frame::Frame;
use crate::ink::{INK, Ink, WHITE};
use crate::lettering::{Anchor, FONT_FAMILY, Lettering};

/// How words keep their room.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Setting {
    /// Each line says how long it is, so that a viewer without the bundled typeface squeezes its own to fit.
    AnyViewer,
    /// The bundled typeface is at hand.
    Bundled,
}

/// One page.
pub(crate) struct Canvas {
    pub size: Frame,
    setting: Setting,
    body: String,
}

/// A length as written in the file: three decimals (a thousandth of a millimetre), no minus zero.
pub(crate) fn fixed(length_mm: f64) -> String {
    let mut written = format!("{length_mm:.3}");
    if written.contains('.') {
        written.truncate(written.trim_end_matches('0').trim_end_matches('.').len());
    }
    if written == "-0" { "0".to_owned() } else { written }
}

fn escaped(words: &str) -> String {
    let mut out = String::with_capacity(words.len());
    for letter in words.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            // XML 1.0 has no place for other control characters.
            '\n' | '\r' | '\t' => out.push(' '),
            other if other.is_control() => {}
            other => out.push(other),
        }
    }
    out
}

impl Canvas {
    pub fn new(width_mm: f64, height_mm: f64, setting: Setting) -> Self {
        Self {
            size: Frame::new(0.0, 0.0, width_mm, height_mm),
            setting,
            body: String::new(),
        }
    }

    /// Opens a group with a class of its own; closed by [`Self::close`].
    pub fn open(&mut self, class: &str) {
        let _ = writeln!(self.body, "<g class=\"{}\">", escaped(class));
    }

    /// Opens a group for one thing that is known by a name: its class is the kind, and `data-KIND` holds the name.
    pub fn open_named(&mut self, kind: &str, name: &str) {
        let _ = writeln!(
            self.body,
            "<g class=\"{kind}\" data-{kind}=\"{}\">",
            escaped(name)
        );
    }

    /// Opens a group that is only drawn inside `frame`.
    pub fn open_clipped(&mut self, id: &str, frame: Frame) {
        let _ = writeln!(
            self.body,
            "<clipPath id=\"{id}\"><rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/></clipPath>\
             <g clip-path=\"url(#{id})\">",
            fixed(frame.left),
            fixed(frame.top),
            fixed(frame.width),
            fixed(frame.height)
        );
    }

    pub fn close(&mut self) {
        self.body.push_str("</g>\n");
    }

    fn stroke(ink: Ink) -> String {
        let pattern = ink
            .pattern()
            .map_or(String::new(), |dashes| format!(" stroke-dasharray=\"{dashes}\""));
        format!(
            "class=\"{}\" stroke=\"{}\" stroke-width=\"{}\"{pattern} stroke-linecap=\"round\" stroke-linejoin=\"round\"",
            ink.word(),
            ink.colour(),
            ink.width_mm()
        )
    }

    /// A path by its SVG commands, filled or not.
    pub fn path(&mut self, commands: &str, ink: Ink, fill: Option<&str>) {
        let _ = writeln!(
            self.body,
            "<path d=\"{commands}\" fill=\"{}\" fill-rule=\"evenodd\" {}/>",
            fill.unwrap_or("none"),
            Self::stroke(ink)
        );
    }

    /// A filled shape without an edge.
    pub fn filled(&mut self, commands: &str, fill: &str) {
        let _ = writeln!(
            self.body,
            "<path d=\"{commands}\" fill=\"{fill}\" fill-rule=\"evenodd\" stroke=\"none\"/>"
        );
    }

    /// A filled shape with a hair of its own colour round it, so that no ground shows between it and its neighbours.
    pub fn painted(&mut self, commands: &str, fill: &str) {
        let _ = writeln!(
            self.body,
            "<path d=\"{commands}\" fill=\"{fill}\" stroke=\"{fill}\" stroke-width=\"0.1\" stroke-linejoin=\"round\"/>"
        );
    }

    /// White under a line that is about to be drawn over a busy ground, `width_mm` wide.
    pub fn cased(&mut self, commands: &str, width_mm: f64) {
        let _ = writeln!(
            self.body,
            "<path d=\"{commands}\" fill=\"none\" stroke=\"{WHITE}\" stroke-width=\"{}\" stroke-linecap=\"round\" \
             stroke-linejoin=\"round\"/>",
            fixed(width_mm)
        );
    }

    pub fn line(&mut self, from: Point, to: Point, ink: Ink) {
        self.path(&run(&[from, to], false), ink, None);
    }

    pub fn rectangle(&mut self, frame: Frame, ink: Ink, fill: Option<&str>) {
        let commands = format!(
            "M{} {}h{}v{}h{}z",
            fixed(frame.left),
            fixed(frame.top),
            fixed(frame.width),
            fixed(frame.height),
            fixed(-frame.width)
        );
        self.path(&commands, ink, fill);
    }

    pub fn ground(&mut self, frame: Frame, fill: &str) {
        let _ = writeln!(
            self.body,
            "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\" fill=\"{fill}\"/>",
            fixed(frame.left),
            fixed(frame.top),
            fixed(frame.width),
            fixed(frame.height)
        );
    }

    pub fn circle(&mut self, centre: Point, radius_mm: f64, ink: Ink, fill: Option<&str>) {
        let _ = writeln!(
            self.body,
            "<circle cx=\"{}\" cy=\"{}\" r=\"{}\" fill=\"{}\" {}/>",
            fixed(centre.x),
            fixed(centre.y),
            fixed(radius_mm),
            fill.unwrap_or("none"),
            Self::stroke(ink)
        );
    }

    /// A small filled dot where a leader ends.
    pub fn dot(&mut self, at: Point) {
        let _ = writeln!(
            self.body,
            "<circle cx=\"{}\" cy=\"{}\" r=\"0.5\" fill=\"{INK}\"/>",
            fixed(at.x),
            fixed(at.y)
        );
    }

    /// A line with a filled arrow head at its end.
    pub fn arrow(&mut self, from: Point, to: Point, ink: Ink) {
        self.line(from, to, ink);
        let run_mm = (to - from).norm();
        if run_mm > 0.0 {
            let along = (to - from) / run_mm;
            let across = plane::Vector::new(-along.y, along.x);
            let head = [
                to,
                to - along * 2.4 + across * 0.8,
                to - along * 2.4 - across * 0.8,
            ];
            self.filled(&run(&head, true), ink.colour());
        }
    }

    /// One line of words; `at` is on the baseline.
    pub fn words(&mut self, at: Point, words: &str, set: Lettering) {
        if words.trim().is_empty() {
            return;
        }
        let anchor = match set.anchor {
            Anchor::Start => "",
            Anchor::Middle => " text-anchor=\"middle\"",
            Anchor::End => " text-anchor=\"end\"",
        };
        let weight = if set.bold { " font-weight=\"700\"" } else { "" };
        let length = match self.setting {
            Setting::AnyViewer => {
                format!(
                    " textLength=\"{}\" lengthAdjust=\"spacingAndGlyphs\"",
                    fixed(set.width_mm(words))
                )
            }
            Setting::Bundled => String::new(),
        };
        let _ = writeln!(
            self.body,
            "<text x=\"{}\" y=\"{}\" font-size=\"{}\" fill=\"{}\"{anchor}{weight}{length}>{}</text>",
            fixed(at.x),
            fixed(at.y),
            fixed(set.size_mm),
            set.colour,
            escaped(words)
        );
    }

    /// The finished file. `id` starts the ids of the title and description, so that several drawings can stand on one
    /// page.
    pub fn finish(self, id: &str, title: &str, description: &str) -> String {
        self.finish_with(id, title, description, "")
    }

    /// The same, with `more` among the attributes of the file's root.
    pub fn finish_with(self, id: &str, title: &str, description: &str, more: &str) -> String {
        let (width, height) = (fixed(self.size.width), fixed(self.size.height));
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width}mm\" height=\"{height}mm\" \
             viewBox=\"0 0 {width} {height}\" role=\"img\" aria-labelledby=\"{id}-title {id}-desc\"{more} \
             font-family=\"{FONT_FAMILY}\">\n<title id=\"{id}-title\">{}</title>\n<desc id=\"{id}-desc\">{}</desc>\n\
             <rect width=\"{width}\" height=\"{height}\" fill=\"{WHITE}\"/>\n{}</svg>\n",
            escaped(title),
            escaped(description),
            self.body
        )
    }
}

/// Path commands for a run of straight lines.
pub(crate) fn run(points: &[Point], closed: bool) -> String {
    let mut commands = String::new();
    for (index, at) in points.iter().enumerate() {
        let _ = write!(
            commands,
            "{}{} {}",
            if index == 0 { "M" } else { "L" },
            fixed(at.x),
            fixed(at.y)
        );
    }
    if closed {
        commands.push('Z');
    }
    commands
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_are_written_short_and_without_a_minus_zero() {
        assert_eq!(fixed(-0.0001), "0");
        assert_eq!(fixed(12.5), "12.5");
        assert_eq!(fixed(100.0), "100");
        assert_eq!(fixed(1.0 / 3.0), "0.333");
    }

    #[test]
    fn a_title_with_markup_in_it_stays_a_title() {
        let mut page = Canvas::new(10.0, 10.0, Setting::AnyViewer);
        page.words(Point::new(1.0, 5.0), "a < b & \"c\"\u{1}", Lettering::SMALL);
        let file = page.finish("t", "<b>", "&");
        assert!(file.contains("a &lt; b &amp; &quot;c&quot;</text>"));
        assert!(usvg::roxmltree::Document::parse(&file).is_ok());
    }
}
