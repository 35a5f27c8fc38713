//! Files are written whole or not at all.

use std::fs::{self, File};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// A file could not be written.
#[derive(Debug, thiserror::Error)]
#[error("{path} cannot be written: {cause}")]
pub struct WriteError {
    /// The file.
    pub path: PathBuf,
    /// The system's reason.
    pub cause: io::Error,
}

/// Writes a file beside its place, flushes it to the disk, moves it into place, flushes the folder: after a crash the
/// old file is there, or the new one.
///
/// # Errors
/// The system's reason, with the path.
pub fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), WriteError> {
    let failed = |cause| WriteError {
        path: path.to_owned(),
        cause,
    };
    let folder = match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    fs::create_dir_all(folder).map_err(failed)?;
    let name = path
        .file_name()
        .map(|name| name.to_string_lossy().into_owned())
        .unwrap_or_default();
    let beside = folder.join(format!(".{name}.{}.part", std::process::id()));
    let written = (|| {
        let mut file = File::create(&beside)?;
        file.write_all(bytes)?;
        file.sync_all()?;
        fs::rename(&beside, path)?;
        // A folder cannot be opened for flushing on every system; the move itself has happened.
        if let Ok(folder) = File::open(folder) {
            folder.sync_all()?;
        }
        Ok(())
    })();
    if written.is_err() {
        // What is left over is only the part file; the reason that is told is the first one.
        let _ = fs::remove_file(&beside);
    }
    written.map_err(failed)
}

/// A file that is being written is in its place within seconds; one that is older was left when a program ended.
const LEFT_AFTER: Duration = Duration::from_secs(600);

/// Takes away what a program that ended while it wrote left beside the files of a folder. What cannot be taken away stays: it is
/// in nobody's way.
pub(crate) fn sweep(folder: &Path) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let name = entry.file_name();
        let name = name.to_string_lossy();
        let number = name
            .strip_prefix('.')
            .and_then(|name| name.strip_suffix(".part"))
            .and_then(|name| name.rsplit_once('.'))
            .is_some_and(|(_, number)| number.parse::<u32>().is_ok());
        let age = || entry.metadata().ok()?.modified().ok()?.elapsed().ok();
        if number && age().is_some_and(|age| age > LEFT_AFTER) {
            let _ = fs::remove_file(entry.path());
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_left_half_written_goes_when_it_is_old_and_nothing_else_does() {
        let folder = std::env::temp_dir().join(format!("gusset-sweep-{}", std::process::id()));
        fs::create_dir_all(&folder).expect("a temporary folder");
        let old = std::time::SystemTime::now() - 2 * LEFT_AFTER;
        for (name, age) in [
            (".design.toml.77.part", Some(old)),
            (".design.toml.78.part", None),
            (".notes.part", Some(old)),
            ("design.toml", Some(old)),
        ] {
            let file = File::create(folder.join(name)).expect("a file");
            if let Some(age) = age {
                file.set_modified(age).expect("its time can be set");
            }
        }
        sweep(&folder);
        let left = |name: &str| folder.join(name).exists();
        assert!(!left(".design.toml.77.part"));
        assert!(left(".design.toml.78.part") && left(".notes.part") && left("design.toml"));
        fs::remove_dir_all(&folder).expect("just made");
    }

    #[test]
    fn an_old_file_is_replaced_and_nothing_is_left_beside_it() {
        let folder = std::env::temp_dir().join(format!("gusset-write-{}", std::process::id()));
        let path = folder.join("a.txt");
        write_whole(&path, b"old").expect("a temporary folder can be written");
        write_whole(&path, b"new").expect("a temporary folder can be written");
        assert_eq!(fs::read(&path).expect("just written"), b"new");
        assert_eq!(fs::read_dir(&folder).expect("just made").count(), 1);
        fs::remove_dir_all(&folder).expect("just made");
    }
}
