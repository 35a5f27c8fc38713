//! Another fit of a job: with what a fit that is there says of the equipment, or with nothing but its care.

use std::fmt::Write as _;

use toml_edit::{DocumentMut, InlineTable, Item, Value, value};

use super::{AskedCare, fit_head, quoted};
use crate::device_names::is_device_name;
use crate::files::model::Design;
use crate::line_ends;

/// What is asked for another fit.
#[derive(Debug, Clone, PartialEq)]
pub struct AskedFit {
    /// Whom or what it is for, in a few words.
    pub title: String,
    /// The care that it needs.
    pub care: AskedCare,
}

/// A longer name is hard to read in a list.
const LONGEST_NAME: usize = 40;
/// The fit that a job without one begins with.
const FIRST_FIT: &str = "own";
/// What a fit says of one body, or of one part that was made for it: no other fit takes it over.
const OF_THE_BODY: [&str; 2] = ["measures", "proof"];

/// The name of the file of a fit that is called so: small letters of any script, digits and dashes; none that is taken.
pub(crate) fn fit_name_for(title: &str, taken: &[String]) -> String {
    if taken.is_empty() {
        return FIRST_FIT.into();
    }
    let mut name = String::new();
    for c in title.chars().flat_map(char::to_lowercase) {
        if name.chars().count() == LONGEST_NAME {
            break;
        }
        if c.is_alphanumeric() {
            name.push(c);
        } else if !name.is_empty() && !name.ends_with('-') {
            name.push('-');
        }
    }
    let name = name.trim_end_matches('-');
    let name = if name.is_empty() || is_device_name(name) {
        format!("fit-{name}").trim_end_matches('-').to_owned()
    } else {
        name.to_owned()
    };
    // Some systems take two spellings for one name.
    let is_taken = |name: &str| taken.iter().any(|other| other.to_lowercase() == name);
    if !is_taken(&name) {
        return name;
    }
    let mut number = 2_usize;
    while is_taken(&format!("{name}-{number}")) {
        number += 1;
    }
    format!("{name}-{number}")
}

/// A fit that says its care, and shows what else may be said.
pub(crate) fn empty_fit(design: &Design, title: &str, care: &AskedCare) -> String {
    let mut out = fit_head(title, care);
    out.push_str(&measures_to_say(design));
    out.push_str(
        "\n# Where it is fastened is not said yet, so \"Does it fit?\" is not answered: see Mounts in docs/files.md.\n\
         # What it carries is not said yet, so \"Will it hold?\" is not answered: see Loads in docs/files.md.\n",
    );
    out
}

/// The measures that the design leaves to a fit, as a table that is still to be filled in; empty where there are none.
fn measures_to_say(design: &Design) -> String {
    let mut out = String::new();
    for measure in design.measures.iter().filter(|measure| measure.fit) {
        if out.is_empty() {
            out.push_str(
                "\n[measures]             # of your body; take the # away, and type what you measured\n",
            );
        }
        let value = measure.value.as_ref().map_or("...", |sum| sum.value.text());
        let ask = measure.ask.as_ref().map_or("", |ask| ask.value.as_str());
        // A line of our own text: it cannot fail.
        let _ = writeln!(
            out,
            "# {} = {}     # {}",
            measure.name.value,
            quoted(value),
            quoted(ask).trim_matches('"')
        );
    }
    out
}

/// A fit with another title, hand and care than the fit `like`, which is called `name` and reads `text`: what that says of the
/// equipment and of what is carried stays as it was typed, and what it says of a body is to be said anew. Numbers keep its unit.
///
/// # Errors
/// Why `text` is none that can be read.
pub(crate) fn fit_like(
    design: &Design,
    asked: &AskedFit,
    name: &str,
    text: &str,
) -> Result<String, toml_edit::TomlError> {
    let mut document: DocumentMut = text.replace("\r\n", "\n").parse()?;
    let head: DocumentMut = fit_head(&asked.title, &asked.care).parse()?;
    for key in ["title", "hand"] {
        let said = head[key].as_str().unwrap_or_default();
        // A key that is there keeps its place and the room about it; what was noted beside its value was of the value.
        document[key] = value(said);
    }
    for key in OF_THE_BODY {
        document.remove(key);
    }
    answer_care(&mut document, &head["care"]);
    let first = format!(
        "# Begun from fits/{name}.toml. Where it is fastened, what is in its way and what it carries stand here as they did there:\n\
         # look at each number before you rely on it.\n"
    );
    let rest = document.to_string();
    let gap = if rest.starts_with(['#', '\n']) { "" } else { "\n" };
    let end = if rest.ends_with('\n') { "" } else { "\n" };
    let whole = format!("{first}{gap}{rest}{end}{}", measures_to_say(design));
    Ok(line_ends::like(text, &whole))
}

/// Puts other answers in the place of those that are there, and of what was noted beside them.
fn answer_care(document: &mut DocumentMut, care: &Item) {
    let Some(answers) = care.as_table() else {
        return;
    };
    match document.get_mut("care") {
        Some(Item::Table(old)) => {
            old.clear();
            for (key, answer) in answers.iter() {
                let key = answers.key(key).map_or_else(|| key.into(), Clone::clone);
                old.insert_formatted(&key, answer.clone());
            }
        }
        // In one line there is no room for what each question asks.
        Some(old @ Item::Value(_)) => {
            let mut line = InlineTable::new();
            for (key, answer) in answers.iter() {
                let said = match answer.as_value() {
                    Some(Value::Boolean(yes)) => Value::from(*yes.value()),
                    Some(said) => Value::from(said.as_str().unwrap_or_default()),
                    None => continue,
                };
                line.insert(key, said);
            }
            *old = value(line);
        }
        _ => {
            document.insert("care", care.clone());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::files::{read_design, read_fit};
    use crate::start::DEMOS;

    fn asked() -> AskedFit {
        AskedFit {
            title: "Left arm, \"wide\" tube".into(),
            care: AskedCare {
                purpose: "pushes a hoe".into(),
                onto: "a hoe".into(),
                weight: false,
                held: true,
                control: "no",
                feels: true,
                release: true,
                left: true,
                inch: true,
            },
        }
    }

    fn demo(name: &str, path: &str) -> &'static str {
        let (_, files) = DEMOS.iter().find(|(demo, _)| *demo == name).expect("a demo");
        let (_, text) = files.iter().find(|(file, _)| *file == path).expect("a file");
        text
    }

    #[test]
    fn a_fit_like_another_keeps_the_equipment_and_asks_the_body_anew() {
        let design = read_design(demo("push-hoe", "design.toml")).expect("a design");
        let other = demo("push-hoe", "fits/left-arm.toml");
        let before = read_fit(other).expect("a fit");
        let proof = "\n[proof.push]\nload = \"50 N\"\nmoved = \"1 mm\"\n";
        for text in [
            other.to_owned(),
            format!("{other}{proof}"),
            other.replace('\n', "\r\n"),
            other.trim_end().to_owned(),
        ] {
            let like = fit_like(&design, &asked(), "left-arm", &text).expect("it reads");
            let fit = read_fit(&like).unwrap_or_else(|wrongs| panic!("{wrongs:?}\n{like}"));
            assert_eq!(fit.title.value, "Left arm, \"wide\" tube");
            assert!(fit.measures.is_empty() && fit.proof.is_empty(), "{like}");
            assert!(
                like.contains("# drop = "),
                "what is to be measured is shown: {like}"
            );
            assert!(fit.care.feels.value && !before.care.feels.value);
            assert!(
                !like.contains("after every use"),
                "a note on another's answer: {like}"
            );
            assert!(like.contains("hand   = \"left\""), "keys stay in line: {like}");
            assert!(
                like.contains("units  = \"mm\""),
                "numbers keep their unit: {like}"
            );
            assert!(like.contains("more than this is felt as wobble"), "{like}");
            assert_eq!(fit.mounts.len(), before.mounts.len());
            assert_eq!(fit.loads.len(), before.loads.len());
            assert_eq!(like.contains("\r\n"), text.contains("\r\n"));
            assert!(like.starts_with("# Begun from fits/left-arm.toml."));
        }
    }

    #[test]
    fn answers_in_one_line_and_a_missing_hand_are_put_right_too() {
        let design = read_design(demo("one-bend", "design.toml")).expect("a design");
        let text = "gusset = 1\ntitle = \"A\"\nunits = \"in\"\ncare = { purpose = \"p\", onto = \"o\", weight = false, \
                    held = false, control = \"only\", feels = false, release = true }\n";
        let like = fit_like(&design, &asked(), "own", text).expect("it reads");
        let fit = read_fit(&like).unwrap_or_else(|wrongs| panic!("{wrongs:?}\n{like}"));
        assert!(
            fit.hand.is_some() && fit.care.held.value && fit.care.feels.value,
            "{like}"
        );
        assert!(fit_like(&design, &asked(), "own", "[[").is_err());
    }

    #[test]
    fn a_fit_is_named_by_its_title_and_no_name_leads_elsewhere_or_is_taken() {
        let taken = ["own".to_owned(), "Left-arm".to_owned(), "left-arm-2".to_owned()];
        for (title, name) in [
            ("Left arm", "left-arm-3"),
            ("Right arm, 31.8 mm handle", "right-arm-31-8-mm-handle"),
            ("../../etc/passwd", "etc-passwd"),
            ("  ", "fit"),
            ("CON", "fit-con"),
            ("Für Oma", "für-oma"),
            (".toml", "toml"),
        ] {
            assert_eq!(fit_name_for(title, &taken), name, "{title}");
        }
        assert_eq!(fit_name_for(&"a".repeat(99), &taken).len(), LONGEST_NAME);
        assert_eq!(fit_name_for("Left arm", &[]), "own");
    }
}
