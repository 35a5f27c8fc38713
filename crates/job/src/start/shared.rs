//! A job from a design that another person drew, with an empty fit of one's own.

use std::path::{Path, PathBuf};

use super::{AskedCare, StartError, empty_fit, own_title, shop_text, write_all};
use crate::care::Refusal;
use crate::files::model::{Design, FileKind};
use crate::files::{Source, Wrong, read_design};

/// Why a shared design became no job.
#[derive(Debug, thiserror::Error)]
pub enum SharedError {
    /// The text is no design.
    #[error("this is no design that can be taken as it stands: {}", .wrongs.first().map_or_else(String::new, |wrong| wrong.says.clone()))]
    Wrong {
        /// What is wrong with it.
        wrongs: Vec<Wrong>,
        /// The text.
        source_text: Source,
    },
    /// The program does not help with such a part.
    #[error("Gusset does not help with this part: {}. Ask {}", .0.why, .0.ask)]
    Refused(Refusal),
    /// The job could not be written.
    #[error(transparent)]
    Start(#[from] StartError),
}

/// The design that a text is.
///
/// # Errors
/// [`SharedError::Wrong`]
pub fn shared_design(text: &str) -> Result<Design, SharedError> {
    read_design(text).map_err(|wrongs| SharedError::Wrong {
        wrongs,
        source_text: Source {
            kind: FileKind::Design,
            path: "design.toml".into(),
            text: text.to_owned(),
        },
    })
}

/// Writes a job from the text of a shared design, byte for byte, with an empty fit for its care and a shop to begin with.
///
/// # Errors
/// [`SharedError`]; then nothing was written, but for what [`StartError::Write`] tells.
pub fn start_from_shared(folder: &Path, text: &str, care: &AskedCare) -> Result<Vec<PathBuf>, SharedError> {
    let design = shared_design(text)?;
    if let Some(refusal) = crate::asked::refusal_of_care(&design, care) {
        return Err(SharedError::Refused(refusal));
    }
    let fit = empty_fit(&design, &own_title(&design.title.value), care);
    let shop = shop_text(care.inch, &design.plate.stock.text.value);
    let files = [
        ("design.toml", text.to_owned()),
        ("fits/own.toml", fit),
        ("shop.toml", shop),
    ];
    Ok(write_all(folder, &files)?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::files::read_fit;
    use crate::start::DEMOS;

    fn care() -> AskedCare {
        AskedCare {
            purpose: "holds a lamp".into(),
            onto: "a bench".into(),
            weight: false,
            held: false,
            control: "no",
            feels: true,
            release: true,
            left: true,
            inch: true,
        }
    }

    #[test]
    fn every_design_that_is_shared_gets_a_fit_that_reads() {
        for (name, files) in DEMOS {
            let (_, text) = files
                .iter()
                .find(|(path, _)| *path == "design.toml")
                .expect("a design");
            let design = shared_design(text).unwrap_or_else(|error| panic!("{name}: {error}"));
            let fit = empty_fit(&design, "Mine", &care());
            let read = read_fit(&fit).unwrap_or_else(|wrongs| panic!("{name}: {wrongs:?}\n{fit}"));
            assert!(read.mounts.is_empty() && read.measures.is_empty(), "{name}");
            for measure in design.measures.iter().filter(|measure| measure.fit) {
                assert!(
                    fit.contains(&format!("# {} = ", measure.name.value)),
                    "{name}: {fit}"
                );
            }
        }
    }

    #[test]
    fn what_is_no_design_or_is_refused_writes_nothing() {
        let folder = std::env::temp_dir().join(format!("gusset-shared-{}", std::process::id()));
        let wrong = start_from_shared(&folder, "gusset = 1\ntitel = \"Hoe\"\n", &care());
        assert!(matches!(wrong, Err(SharedError::Wrong { .. })), "{wrong:?}");
        let text = DEMOS[0].1[0].1;
        let hangs = AskedCare {
            weight: true,
            ..care()
        };
        let refused = start_from_shared(&folder, text, &hangs);
        assert!(matches!(refused, Err(SharedError::Refused(_))), "{refused:?}");
        assert!(!folder.exists());
    }
}
