//! Where a job is served from: a folder that has one, or a place where one is to be started.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, OnceLock};

use axum::Router;
use job::revise::ReviseError;
use job::{FolderError, is_device_name};

use crate::came::held;
use crate::desk::Desk;
use crate::routes::of_job;

/// Where a job is written that is not there yet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Where {
    /// Into this folder, as it was given.
    Folder(PathBuf),
    /// Into a new folder right below this one, by a name that is still to be typed.
    Below(PathBuf),
}

/// Why a name is none for the folder of a job.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoPlace {
    /// No name was typed.
    #[error("type a name for the job's folder")]
    Nameless,
    /// It would lead elsewhere, or no system takes it.
    #[error("\"{0}\" is no plain name of a folder; take letters, numbers, - and _, at most {MOST_NAME}")]
    NotPlain(String),
    /// Something is there.
    #[error("{0} is there already and is left as it is; type another name")]
    Occupied(String),
}

/// A name that is longer is hard to read in a list of folders.
const MOST_NAME: usize = 64;

impl Where {
    /// The folder for a new job. A name is typed only where the folder was not given.
    pub(crate) fn folder(&self, name: Option<&str>) -> Result<PathBuf, NoPlace> {
        match self {
            Where::Folder(folder) => Ok(folder.clone()),
            Where::Below(here) => {
                let name = name.map_or("", str::trim);
                if name.is_empty() {
                    return Err(NoPlace::Nameless);
                }
                // Letters of any script, and nothing that any system reads as a way, a stream or a device.
                let plain = name.chars().count() <= MOST_NAME
                    && name
                        .chars()
                        .all(|c| c.is_alphanumeric() || matches!(c, '-' | '_' | ' '))
                    && !name.starts_with(['-', ' ']);
                if !plain || is_device_name(name) {
                    return Err(NoPlace::NotPlain(name.to_owned()));
                }
                let folder = here.join(name);
                // A link would lead out of here.
                if fs::symlink_metadata(&folder).is_ok() {
                    return Err(NoPlace::Occupied(name.to_owned()));
                }
                Ok(folder)
            }
        }
    }
}

/// A job that is served, and what answers for it.
#[derive(Debug)]
struct Opened {
    desk: Arc<Desk>,
    router: Router,
}

/// A place that a job is served from.
#[derive(Debug)]
pub struct Place {
    /// Where it is started, until it is.
    pub(crate) to: Where,
    opened: OnceLock<Opened>,
    /// One job is started at a time.
    starting: Mutex<()>,
}

impl Place {
    /// The job in a folder; an empty place where there is no such folder, or nothing is in it. With no folder, the one that
    /// the program runs in, where that has a design, else a place right below it.
    ///
    /// # Errors
    /// [`ReviseError`] where a job is there and cannot be opened, or something else is there, or a fit is asked for where there
    /// is no job.
    pub fn open(root: Option<&Path>, here: &Path, fit: Option<&str>) -> Result<Place, ReviseError> {
        let to = match root {
            Some(root) => Where::Folder(root.to_owned()),
            None if here.join("design.toml").is_file() => Where::Folder(here.to_owned()),
            None => Where::Below(here.to_owned()),
        };
        let place = Place {
            to,
            opened: OnceLock::new(),
            starting: Mutex::new(()),
        };
        let Where::Folder(root) = &place.to else {
            return match fit {
                Some(_) => Err(FolderError::NoDesign(here.to_owned()).into()),
                None => Ok(place),
            };
        };
        if fit.is_some() || !is_empty(root) {
            place.put(Desk::open(root, fit)?);
        }
        Ok(place)
    }

    /// A place with a job that is open.
    pub fn with(desk: Desk) -> Place {
        let place = Place {
            to: Where::Folder(desk.job().folder().root.clone()),
            opened: OnceLock::new(),
            starting: Mutex::new(()),
        };
        place.put(desk);
        place
    }

    fn put(&self, desk: Desk) {
        let desk = Arc::new(desk);
        let router = of_job(desk.clone());
        // Whoever came first stays: one job is served until the program ends.
        let _ = self.opened.set(Opened { desk, router });
    }

    /// The job; none until it is started.
    pub fn desk(&self) -> Option<&Arc<Desk>> {
        self.opened.get().map(|opened| &opened.desk)
    }

    /// What answers for the job.
    pub(crate) fn router(&self) -> Option<Router> {
        self.opened.get().map(|opened| opened.router.clone())
    }

    /// Holds off any other start.
    pub(crate) fn starting(&self) -> MutexGuard<'_, ()> {
        held(&self.starting)
    }

    /// Opens the job that was written.
    pub(crate) fn started(&self, folder: &Path) -> Result<(), ReviseError> {
        self.put(Desk::open(folder, None)?);
        Ok(())
    }
}

/// Is nothing there, or a folder with nothing in it?
fn is_empty(root: &Path) -> bool {
    match fs::read_dir(root) {
        Ok(mut entries) => entries.next().is_none(),
        Err(error) => error.kind() == std::io::ErrorKind::NotFound && fs::symlink_metadata(root).is_err(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_leads_one_level_below_and_nowhere_else() {
        let here = std::env::temp_dir();
        let below = Where::Below(here.clone());
        for name in [
            "..", ".", "", "  ", "a/b", "a\\b", "/etc", "c:", "..\\up", "a\0b", ".hidden", "-rf", "nul",
            "COM1", "a\nb", "a.toml", "~",
        ] {
            assert!(below.folder(Some(name)).is_err(), "{name:?}");
        }
        assert!(below.folder(Some(&"a".repeat(65))).is_err());
        assert!(below.folder(None).is_err());
        let name = format!("gusset-place-{}", std::process::id());
        assert_eq!(below.folder(Some(&name)), Ok(here.join(&name)));
        assert_eq!(
            below.folder(Some("Haken für Oma")),
            Ok(here.join("Haken für Oma"))
        );
        fs::create_dir(here.join(&name)).expect("a temporary folder");
        assert!(matches!(below.folder(Some(&name)), Err(NoPlace::Occupied(_))));
        fs::remove_dir(here.join(&name)).expect("just made");
    }
}
