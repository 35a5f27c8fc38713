//! A job folder on disk: which files it has, and their text.

use std::fs;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

use crate::files::{Source, drawings_of_shop, model::FileKind};

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
    /// The drawings of tools that shop.toml names.
    pub drawings: Vec<Drawing>,
}

/// A drawing beside shop.toml.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Drawing {
    /// Its name as shop.toml has it.
    pub name: String,
    /// What is in it.
    pub bytes: Result<Vec<u8>, DrawingFault>,
}

/// Why a drawing was not read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum DrawingFault {
    /// Not the plain name of a file.
    #[error("a drawing is named by its file name alone, and lies beside shop.toml")]
    NotBeside,
    /// There is none of this name.
    #[error("there is no such file beside shop.toml")]
    NotThere,
    /// More than a drawing of a plate or tool has.
    #[error("it is longer than {} MB, which no drawing of a tool is", most >> 20)]
    TooLong {
        /// The most that is read, bytes.
        most: usize,
    },
    /// The system gives it not.
    #[error("it cannot be read: {0}")]
    Unreadable(String),
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

/// A drawing of a tool is some kilobytes; what is longer is something else.
const LONGEST_DRAWING_BYTES: usize = 4 << 20;

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
            drawings: drawings(root, shop.as_ref()),
            root: root.to_owned(),
            design,
            fit,
            shop,
            fit_name,
            fit_names,
        })
    }

    /// The job with another text of one of its files. The drawings of tools are read again when it is shop.toml: it may name
    /// others now.
    #[must_use]
    pub fn revised(&self, source: Source) -> Self {
        let mut folder = self.clone();
        match source.kind {
            FileKind::Design => folder.design = source,
            FileKind::Fit => folder.fit = Some(source),
            FileKind::Shop => {
                folder.drawings = drawings(&self.root, Some(&source));
                folder.shop = Some(source);
            }
        }
        folder
    }

    /// The job with no shop.toml, and so with no drawings of tools.
    #[must_use]
    pub(crate) fn without_shop(&self) -> Self {
        Self {
            shop: None,
            drawings: Vec::new(),
            ..self.clone()
        }
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

/// The drawings that a shop names, each read.
fn drawings(root: &Path, shop: Option<&Source>) -> Vec<Drawing> {
    let named = shop.map_or_else(Vec::new, |shop| drawings_of_shop(&shop.text));
    named
        .into_iter()
        .map(|name| Drawing {
            bytes: drawing(root, &name),
            name,
        })
        .collect()
}

/// The bytes of a drawing in the job's folder. A name that leads elsewhere is not followed: a shop.toml may come from
/// anybody.
fn drawing(root: &Path, name: &str) -> Result<Vec<u8>, DrawingFault> {
    let plain = !name.is_empty() && name != ".." && name != "." && !name.contains(['/', '\\', ':', '\0']);
    if !plain {
        return Err(DrawingFault::NotBeside);
    }
    let path = root.join(name);
    let unreadable = |cause: io::Error| DrawingFault::Unreadable(cause.to_string());
    match fs::symlink_metadata(&path) {
        Err(cause) if cause.kind() == io::ErrorKind::NotFound => return Err(DrawingFault::NotThere),
        Err(cause) => return Err(unreadable(cause)),
        Ok(told) if told.is_symlink() => return Err(DrawingFault::NotBeside),
        // A pipe or a device would keep the reader waiting.
        Ok(told) if !told.is_file() => return Err(DrawingFault::NotThere),
        Ok(_) => {}
    }
    let file = fs::File::open(&path).map_err(unreadable)?;
    let mut bytes = Vec::new();
    file.take(LONGEST_DRAWING_BYTES as u64 + 1)
        .read_to_end(&mut bytes)
        .map_err(unreadable)?;
    if bytes.len() > LONGEST_DRAWING_BYTES {
        return Err(DrawingFault::TooLong {
            most: LONGEST_DRAWING_BYTES,
        });
    }
    Ok(bytes)
}

/// The text of a file; none where there is no file.
///
/// # Errors
/// [`FolderError::Unreadable`], [`FolderError::NotText`]
pub(crate) fn text_at(path: &Path) -> Result<Option<String>, FolderError> {
    match fs::symlink_metadata(path) {
        Err(cause) if cause.kind() == io::ErrorKind::NotFound => Ok(None),
        _ => read(path, FileKind::Fit).map(|source| Some(source.text)),
    }
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
