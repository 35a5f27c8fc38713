//! The bundled typeface: how wide words are, and how they are set.

use std::sync::LazyLock;

use ttf_parser::Face;

/// The regular weight of the bundled typeface (SIL Open Font License 1.1; the licence stands beside it in `fonts/`).
pub const FONT_REGULAR: &[u8] = include_bytes!("../fonts/AtkinsonHyperlegible-Regular.ttf");
/// The bold weight of the bundled typeface.
pub const FONT_BOLD: &[u8] = include_bytes!("../fonts/AtkinsonHyperlegible-Bold.ttf");
/// What the drawings ask for: the bundled typeface, then whatever plain face the viewer has.
pub const FONT_FAMILY: &str = "'Atkinson Hyperlegible', Helvetica, Arial, sans-serif";

/// The least height of lettering on any drawing, mm: 12 px on a screen of 96 px to the inch, over the 2.5 mm of a
/// printed page.
pub(crate) const LEAST_SIZE_MM: f64 = 3.2;

static REGULAR: LazyLock<Advances> = LazyLock::new(|| Advances::of(FONT_REGULAR));
static BOLD: LazyLock<Advances> = LazyLock::new(|| Advances::of(FONT_BOLD));

/// How far each letter moves the pen, in ems.
struct Advances {
    face: Face<'static>,
    /// The letters every drawing is made of, looked up once.
    ascii: [f64; 128],
}

impl Advances {
    fn of(bytes: &'static [u8]) -> Self {
        let face = Face::parse(bytes, 0).expect("the bundled typeface is a TrueType file");
        let ascii = std::array::from_fn(|code| advance(&face, char::from(code as u8)));
        Self { face, ascii }
    }

    fn of_letter(&self, letter: char) -> f64 {
        self.ascii
            .get(letter as usize)
            .copied()
            .unwrap_or_else(|| advance(&self.face, letter))
    }
}

/// In ems. A letter the face lacks is set by the viewer's own face: an em is as wide as letters get.
fn advance(face: &Face<'_>, letter: char) -> f64 {
    face.glyph_index(letter)
        .and_then(|glyph| face.glyph_hor_advance(glyph))
        .map_or(1.0, |units| f64::from(units) / f64::from(face.units_per_em()))
}

/// Where the given point of a line of words lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Anchor {
    Start,
    Middle,
    End,
}

/// How words are set.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Lettering {
    pub size_mm: f64,
    pub bold: bool,
    pub anchor: Anchor,
    pub colour: &'static str,
}

impl Lettering {
    /// Plain words of the least size, in ink, from the left.
    pub const SMALL: Self = Self {
        size_mm: LEAST_SIZE_MM,
        bold: false,
        anchor: Anchor::Start,
        colour: crate::ink::INK,
    };
    /// Bold words of the least size.
    pub const SMALL_BOLD: Self = Self {
        bold: true,
        ..Self::SMALL
    };

    pub const fn sized(self, size_mm: f64) -> Self {
        Self { size_mm, ..self }
    }

    pub const fn bold(self) -> Self {
        Self { bold: true, ..self }
    }

    pub const fn anchored(self, anchor: Anchor) -> Self {
        Self { anchor, ..self }
    }

    pub const fn coloured(self, colour: &'static str) -> Self {
        Self { colour, ..self }
    }

    /// From one baseline to the next, mm.
    pub fn line_mm(&self) -> f64 {
        self.size_mm * 1.25
    }

    /// How wide the words are, mm: the sum of the advances, kerning left out (it only makes words narrower).
    pub fn width_mm(&self, words: &str) -> f64 {
        let face: &Advances = if self.bold { &BOLD } else { &REGULAR };
        words.chars().map(|letter| face.of_letter(letter)).sum::<f64>() * self.size_mm
    }

    /// The words in lines no wider than `width_mm`, broken at spaces; a word wider than that stands alone.
    pub fn wrapped(&self, words: &str, width_mm: f64) -> Vec<String> {
        let mut lines = Vec::new();
        let mut line = String::new();
        for word in words.split_whitespace() {
            let longer = if line.is_empty() {
                word.to_owned()
            } else {
                format!("{line} {word}")
            };
            if !line.is_empty() && self.width_mm(&longer) > width_mm {
                lines.push(std::mem::replace(&mut line, word.to_owned()));
            } else {
                line = longer;
            }
        }
        if !line.is_empty() {
            lines.push(line);
        }
        lines
    }

    /// A word too long for `width_mm` in pieces no wider than that; words that fit as they are.
    pub fn chopped(&self, words: &str, width_mm: f64) -> Vec<String> {
        if self.width_mm(words) <= width_mm {
            return vec![words.to_owned()];
        }
        let mut pieces = Vec::new();
        let mut piece = String::new();
        for letter in words.chars() {
            piece.push(letter);
            if self.width_mm(&piece) > width_mm && piece.chars().count() > 1 {
                piece.pop();
                pieces.push(std::mem::replace(&mut piece, letter.to_string()));
            }
        }
        pieces.push(piece);
        pieces
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bold_words_are_wider_and_wrapping_keeps_every_word() {
        let words = "measure the check square before you cut anything";
        assert!(Lettering::SMALL_BOLD.width_mm(words) > Lettering::SMALL.width_mm(words));
        let lines = Lettering::SMALL.wrapped(words, 30.0);
        assert!(lines.len() > 1);
        assert!(lines.iter().all(|line| Lettering::SMALL.width_mm(line) <= 30.0));
        assert_eq!(lines.join(" "), words);
    }

    #[test]
    fn a_name_without_spaces_is_chopped_to_its_column_and_loses_no_letter() {
        let name = "left_outer_bracket_of_the_second_prototype";
        let pieces = Lettering::SMALL.chopped(name, 20.0);
        assert!(pieces.len() > 2);
        assert!(
            pieces
                .iter()
                .all(|piece| Lettering::SMALL.width_mm(piece) <= 20.0)
        );
        assert_eq!(pieces.concat(), name);
        assert_eq!(Lettering::SMALL.chopped("b1", 20.0), ["b1"]);
    }
}
