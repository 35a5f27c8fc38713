//! Files are written whole or not at all.

use std::fs::{self, File};
use std::io::{self, Write as _};
use std::path::{Path, PathBuf};

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

#[cfg(test)]
mod tests {
    use super::*;

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
