//! A job folder on disk: which files it has, and their text.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use crate::files::{Source, model::FileKind};

/// The texts of one job: a design, one of its fits, the shop's file.
#[derive(Debug, Clone)]
pub struct Folder {
    /// The folder.
    pub root: PathBuf,
    /// design.toml
    pub design: Source,
    /// The chosen fit; none when the folder has none.
    pub fit: Option<Source>,
    /// shop.toml; none when the folder has none.
    pub shop: Option<Source>,
    /// Name of the chosen fit.
    pub fit_name: Option<String>,
    /// Names of all fits, in order.
    pub fit_names: Vec<String>,
}

/// Why a folder cannot be opened as a job.
#[derive(Debug, thiserror::Error)]
pub enum FolderError {
    /// No such folder.
    #[error("there is no folder {0}. Name the folder that holds design.toml")]
    NoFolder(PathBuf),
    /// No design in it.
    #[error("{0} has no design.toml. `gusset new {0}` starts one")]
    NoDesign(PathBuf),
    /// The fit that was asked for is not there.
    #[error("there is no fit \"{wanted}\"{}", or_known(.known))]
    NoFit {
        /// As asked.
        wanted: String,
        /// Those that are there.
        known: Vec<String>,
    },
    /// A file cannot be read.
    #[error("{path} cannot be read: {cause}")]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// The system's reason.
        cause: io::Error,
    },
    /// A file is not text.
    #[error("{path} is not text: byte {byte} is not UTF-8. Save it again as UTF-8")]
    NotText {
        /// The file.
        path: PathBuf,
        /// Of the first byte that is wrong.
        byte: usize,
    },
}

fn or_known(names: &[String]) -> String {
    match names {
        [] => "; the folder fits/ is empty".into(),
        names => format!("; there are: {}", names.join(", ")),
    }
}

/// The fit used when none is asked for.
const FIRST_FIT: &str = "own";

impl Folder {
    /// Opens a job. With no fit named, `fits/own.toml` is taken, or else the first by name.
    ///
    /// # Errors
    /// [`FolderError`]: whatever is missing or unreadable.
    pub fn open(root: &Path, fit: Option<&str>) -> Result<Self, FolderError> {
        if !root.is_dir() {
            return Err(FolderError::NoFolder(root.to_owned()));
        }
        let design_path = root.join("design.toml");
        if !design_path.is_file() {
            return Err(FolderError::NoDesign(root.to_owned()));
        }
        let design = read(&design_path, FileKind::Design)?;
        let fit_names = fit_names(&root.join("fits"))?;
        let fit_name = match fit {
            Some(wanted) => {
                let wanted = wanted.strip_suffix(".toml").unwrap_or(wanted);
                let Some(name) = fit_names.iter().find(|name| *name == wanted) else {
                    return Err(FolderError::NoFit {
                        wanted: wanted.to_owned(),
                        known: fit_names,
                    });
                };
                Some(name.clone())
            }
            None => fit_names
                .iter()
                .find(|name| *name == FIRST_FIT)
                .or(fit_names.first())
                .cloned(),
        };
        let fit = match &fit_name {
            Some(name) => Some(read(
                &root.join("fits").join(format!("{name}.toml")),
                FileKind::Fit,
            )?),
            None => None,
        };
        let shop_path = root.join("shop.toml");
        let shop = if shop_path.is_file() {
            Some(read(&shop_path, FileKind::Shop)?)
        } else {
            None
        };
        Ok(Self {
            root: root.to_owned(),
            design,
            fit,
            shop,
            fit_name,
            fit_names,
        })
    }

    /// The text that a place is in.
    pub fn source(&self, kind: FileKind) -> Option<&Source> {
        match kind {
            FileKind::Design => Some(&self.design),
            FileKind::Fit => self.fit.as_ref(),
            FileKind::Shop => self.shop.as_ref(),
        }
    }
}

fn fit_names(folder: &Path) -> Result<Vec<String>, FolderError> {
    if !folder.is_dir() {
        return Ok(Vec::new());
    }
    let unreadable = |cause| FolderError::Unreadable {
        path: folder.to_owned(),
        cause,
    };
    let mut names = Vec::new();
    for entry in fs::read_dir(folder).map_err(unreadable)? {
        let path = entry.map_err(unreadable)?.path();
        if path.extension().is_some_and(|end| end == "toml")
            && let Some(name) = path.file_stem().and_then(|name| name.to_str())
        {
            names.push(name.to_owned());
        }
    }
    names.sort();
    Ok(names)
}

fn read(path: &Path, kind: FileKind) -> Result<Source, FolderError> {
    let bytes = fs::read(path).map_err(|cause| FolderError::Unreadable {
        path: path.to_owned(),
        cause,
    })?;
    let text = String::from_utf8(bytes).map_err(|error| FolderError::NotText {
        path: path.to_owned(),
        byte: error.utf8_error().valid_up_to(),
    })?;
    Ok(Source {
        kind,
        path: path.display().to_string(),
        text,
    })
}
