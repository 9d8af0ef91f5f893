//! Files by name.

use std::fs;
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use super::bounded::{self, Holds};

/// Reads a file that somebody typed and hands it to its reader; what is wrong, as text.
pub(super) fn read_file<T, E: ToString>(
    path: &Path,
    reader: impl FnOnce(&[u8], &str) -> Result<T, E>,
) -> Result<T, String> {
    read_whole(path, Holds::Sheet, reader)
}

/// Reads a file of what it holds and hands it to its reader; what is wrong, as text.
pub(super) fn read_whole<T, E: ToString>(
    path: &Path,
    holds: Holds,
    reader: impl FnOnce(&[u8], &str) -> Result<T, E>,
) -> Result<T, String> {
    let name = path.display().to_string();
    let bytes = fetch(path, holds).map_err(|why| format!("{name}: {why}"))?;
    reader(&bytes, &name).map_err(|faults| faults.to_string())
}

/// The bytes of a file, or why it cannot be read.
pub(super) fn fetch(path: &Path, holds: Holds) -> Result<Vec<u8>, String> {
    if path.is_dir() {
        return Err("is a folder; give a file of readings".to_owned());
    }
    if is_device(path) {
        return Err("is a device; give a file of readings".to_owned());
    }
    bounded::read(path, holds).map_err(|error| match error.kind() {
        io::ErrorKind::NotFound => "there is no such file; check its name and folder".to_owned(),
        io::ErrorKind::PermissionDenied => "may not be read; check its permissions".to_owned(),
        _ => format!("cannot be read: {error}"),
    })
}

/// Puts a new text in a file's place, so that at any moment, also after a kill or a power cut, the old text or the new one is
/// there as a whole: it is written beside the file, made safe on the disk and renamed.
pub(super) fn replace(path: &Path, text: &str) -> Result<(), String> {
    // A link stays a link.
    let path = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    let folder = match path.parent() {
        Some(folder) if folder != Path::new("") => folder.to_owned(),
        _ => PathBuf::from("."),
    };
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let beside = folder.join(format!(".{name}.new"));
    let replaced = || -> io::Result<()> {
        let mut file = fs::File::create(&beside)?;
        file.write_all(text.as_bytes())?;
        if let Ok(about) = fs::metadata(&path) {
            file.set_permissions(about.permissions())?;
        }
        file.sync_all()?;
        fs::rename(&beside, &path)?;
        // The name is safe when its folder is; not every file system can say so.
        let _ = fs::File::open(&folder).and_then(|folder| folder.sync_all());
        Ok(())
    };
    replaced().map_err(|error| {
        let _ = fs::remove_file(&beside);
        format!("{}: cannot be written: {error}", path.display())
    })
}

/// Whether a path names a board file.
pub(super) fn is_board_file(path: &Path) -> bool {
    path.extension()
        .is_some_and(|e| e.eq_ignore_ascii_case("toml"))
}

/// Whether the path names a device: some, such as `/dev/zero`, never come to an end.
#[cfg(unix)]
fn is_device(path: &Path) -> bool {
    use std::os::unix::fs::FileTypeExt;
    fs::metadata(path).is_ok_and(|about| {
        let kind = about.file_type();
        kind.is_char_device() || kind.is_block_device()
    })
}

#[cfg(not(unix))]
fn is_device(_: &Path) -> bool {
    false
}

/// What a file is called, without its folder and extension.
pub(super) fn stem(path: &Path) -> String {
    path.file_stem().map_or_else(
        || path.display().to_string(),
        |s| s.to_string_lossy().into_owned(),
    )
}
