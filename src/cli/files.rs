//! Files by name.

use std::fs;
use std::path::Path;

/// Reads a file and hands it to its reader; what is wrong, as text.
pub(super) fn read_file<T, E: ToString>(
    path: &Path,
    reader: impl FnOnce(&[u8], &str) -> Result<T, E>,
) -> Result<T, String> {
    let name = path.display().to_string();
    let bytes = fetch(path).map_err(|why| format!("{name}: {why}"))?;
    reader(&bytes, &name).map_err(|faults| faults.to_string())
}

/// The bytes of a file, or why it cannot be read.
pub(super) fn fetch(path: &Path) -> Result<Vec<u8>, String> {
    if path.is_dir() {
        return Err("is a folder; give a file of readings".to_owned());
    }
    if is_device(path) {
        return Err("is a device; give a file of readings".to_owned());
    }
    fs::read(path).map_err(|error| match error.kind() {
        std::io::ErrorKind::NotFound => {
            "there is no such file; check its name and folder".to_owned()
        }
        std::io::ErrorKind::PermissionDenied => "may not be read; check its permissions".to_owned(),
        _ => format!("cannot be read: {error}"),
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
