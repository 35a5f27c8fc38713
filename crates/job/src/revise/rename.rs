//! Something of the design called by another name: in the text of a file, wherever it stands there. Every other byte stays.

use toml::de::DeTable;

use super::edit::EditError;
use crate::files::model::FileKind;
use crate::files::{Named, is_name, is_taken, mentions, said};

/// Something is to be called by another name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Renaming<'a> {
    what: Named,
    from: &'a str,
    to: &'a str,
    /// It is a hole that names a point too.
    is_point_too: bool,
}

/// A key that is written in several places is renamed in one of them at a time; nobody writes one so often.
const MOST_ROUNDS: usize = 100;

impl<'a> Renaming<'a> {
    /// In a job of this design.
    ///
    /// # Errors
    /// [`EditError`]: the design has no such thing, or the new name is none, or is taken.
    pub fn of(design: &str, what: Named, from: &'a str, to: &'a str) -> Result<Self, EditError> {
        let table = parsed(design)?;
        let own = said(table.get_ref(), what, from);
        if !own.is_there {
            return Err(EditError::NoSuch {
                what,
                name: from.to_owned(),
            });
        }
        if !is_name(to) {
            return Err(EditError::NotAName(to.to_owned()));
        }
        if from != to && is_taken(table.get_ref(), what, own.is_point_too, to) {
            return Err(EditError::Taken(to.to_owned()));
        }
        Ok(Renaming {
            what,
            from,
            to,
            is_point_too: own.is_point_too,
        })
    }

    /// The text of a file after it.
    ///
    /// # Errors
    /// [`EditError`]: the text is no TOML, or the name is written so that it cannot be changed.
    pub fn done(&self, kind: FileKind, text: &str) -> Result<String, EditError> {
        let mut text = text.to_owned();
        if self.from == self.to {
            return Ok(text);
        }
        for _ in 0..MOST_ROUNDS {
            let found = {
                let table = parsed(&text)?;
                let file = (kind, text.as_str());
                mentions(file, table.get_ref(), self.what, self.is_point_too, self.from)
            };
            if found.is_empty() {
                return Ok(text);
            }
            for span in found.into_iter().rev() {
                text.replace_range(span, self.to);
            }
        }
        Err(EditError::NotRenamed(self.from.to_owned()))
    }
}

fn parsed(text: &str) -> Result<toml::Spanned<DeTable<'_>>, EditError> {
    DeTable::parse(text).map_err(|error| EditError::NotToml(error.message().to_owned()))
}

#[cfg(test)]
mod tests {
    use super::*;

    const DESIGN: &str = "gusset = 1
[points]   # by tape
A = [\"0\", \"0\"]
B = [\"100\", \"0\"] # A is left of it
C = { from = \"A\", toward = \"B\", along = \"1 in\" }
D = { swing = [[\"A\", \"3 in\"], [\"B\", \"5 in\"]], side = \"left\" }
E = { where = [\"A-C\", \"D - A\"] }
[outline]
through = [\"A\", \"B\", \"C\"]
corners = { A = \"round 1/2 in\" }
arcs = { \"B-A\" = { via = \"D\" } }
[panels]
A = \"A\"
[bends.A]
line = [\"A\", \"D\"]
[holes.h1]
at = [\"10\", \"A\"]
dia = \"8\"
[holes]
h2.at = \"A\"
h2.dia = \"8\"
[[readings]]
between = [\"h1\", \"A\"]
[[readings]]
edges = [\"h1\", \"h2\"]
across = \"far\"
";

    fn renamed(what: Named, from: &str, to: &str) -> Result<String, EditError> {
        Renaming::of(DESIGN, what, from, to)?.done(FileKind::Design, DESIGN)
    }

    #[test]
    fn a_point_is_renamed_wherever_it_is_named_and_nothing_else_by_its_letter() {
        let new = renamed(Named::Point, "A", "heel").expect("it is there");
        let at = |text: &str| new.contains(text);
        for text in [
            "heel = [\"0\", \"0\"]",
            "# A is left of it",
            "from = \"heel\"",
            "[[\"heel\", \"3 in\"]",
            "[\"heel-C\", \"D - heel\"]",
            "through = [\"heel\", \"B\", \"C\"]",
            "corners = { heel = ",
            "\"B-heel\" = {",
            "A = \"heel\"",
            "[bends.A]\nline = [\"heel\", \"D\"]",
            // A measure of that name.
            "at = [\"10\", \"A\"]",
            "h2.at = \"heel\"",
            "between = [\"h1\", \"heel\"]",
        ] {
            assert!(at(text), "{text}: {new}");
        }
        let back = Renaming::of(&new, Named::Point, "heel", "A").expect("it is there");
        assert_eq!(back.done(FileKind::Design, &new).expect("and back"), DESIGN);
    }

    #[test]
    fn a_hole_takes_the_point_that_it_names_along_and_a_key_in_parts_is_renamed_in_each() {
        let new = renamed(Named::Hole, "h1", "top").expect("it is there");
        for text in ["[holes.top]", "between = [\"top\", ", "edges = [\"top\", \"h2\"]"] {
            assert!(new.contains(text), "{text}: {new}");
        }
        let new = renamed(Named::Hole, "h2", "top").expect("it is there");
        for text in ["top.at = ", "top.dia = ", "edges = [\"h1\", \"top\"]"] {
            assert!(new.contains(text), "{text}: {new}");
        }
        let fit = "[mounts.m1]\nhole = \"h2\" # h2\n[support]\nholes = [\"h1\", \"h2\"]\n";
        let renaming = Renaming::of(DESIGN, Named::Hole, "h2", "top").expect("it is there");
        assert_eq!(
            renaming.done(FileKind::Fit, fit).expect("a fit"),
            "[mounts.m1]\nhole = \"top\" # h2\n[support]\nholes = [\"h1\", \"top\"]\n"
        );
    }

    #[test]
    fn a_panel_and_a_bend_are_renamed_beside_a_point_of_their_name() {
        let new = renamed(Named::Panel, "A", "base").expect("it is there");
        assert_eq!(new, DESIGN.replace("A = \"A\"", "base = \"A\""));
        let new = renamed(Named::Bend, "A", "b1").expect("it is there");
        assert_eq!(new, DESIGN.replace("[bends.A]", "[bends.b1]"));
    }

    #[test]
    fn what_is_not_there_and_names_that_are_taken_or_none_are_told() {
        for (what, from, to, says) in [
            (Named::Point, "Z", "Y", "there is no point called Z"),
            (Named::Point, "h1", "Y", "there is no point called h1"),
            (Named::Point, "A", "B", "something is called B already"),
            // The hole names a point too.
            (Named::Point, "A", "h1", "something is called h1 already"),
            (Named::Hole, "h1", "B", "something is called B already"),
            (Named::Hole, "h2", "h1", "something is called h1 already"),
            (Named::Point, "A", "1st", "\"1st\" is no name"),
            (Named::Point, "A", "a b", "\"a b\" is no name"),
        ] {
            let error = renamed(what, from, to).expect_err(says).to_string();
            assert!(error.starts_with(says), "{error}");
        }
        // That names no point, and may have a point's name.
        assert!(renamed(Named::Hole, "h2", "B").is_ok());
    }
}
