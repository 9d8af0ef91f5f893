//! The book's file before any database looks at it: what must not be touched, what cannot work.

use std::fs;
use std::io::Read;
use std::path::{Path, PathBuf};

use super::error::BookError;

/// The first bytes of every SQLite file (its file format document, section 1.3).
const MAGIC: &[u8; 16] = b"SQLite format 3\0";

/// File systems that lie on other computers, as Linux names them.
const NETWORKED: [&str; 11] = [
    "nfs",
    "nfs4",
    "cifs",
    "smb3",
    "smbfs",
    "9p",
    "afs",
    "ceph",
    "fuse.sshfs",
    "davfs",
    "ncpfs",
];

/// What there is under a book's name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Found {
    /// Nothing yet, or an empty file.
    Nothing,
    /// A database that may be written.
    Writable,
    /// A database that may only be read.
    ReadOnly,
}

/// Looks at the file without opening it as a database.
pub(super) fn look(path: &Path) -> Result<Found, BookError> {
    network(path)?;
    let Ok(about) = fs::metadata(path) else {
        let folder = folder(path);
        return if folder.is_dir() {
            Ok(Found::Nothing)
        } else {
            Err(BookError::NoFolder)
        };
    };
    if !about.is_file() {
        return Err(BookError::NoFile);
    }
    // What a killed program left beside it tells how to mend the file: only the database can read that.
    let left = log_left(path);
    if about.len() == 0 && !left {
        return Ok(Found::Nothing);
    }
    if !left {
        whole(path, about.len())?;
    }
    Ok(if about.permissions().readonly() {
        Found::ReadOnly
    } else {
        Found::Writable
    })
}

/// Whether a log lies beside the file that is to be brought into it.
pub(super) fn log_left(path: &Path) -> bool {
    let holds = |ending| fs::metadata(beside(path, ending)).is_ok_and(|left| left.len() > 0);
    ["-wal", "-journal"].into_iter().any(holds)
}

/// Whether the file begins as a database and is as long as its header says: page size at byte 16, pages at byte 28, which
/// count where the numbers at bytes 24 and 92 agree.
fn whole(path: &Path, length: u64) -> Result<(), BookError> {
    let mut header = [0; 100];
    let read = fs::File::open(path).and_then(|mut file| file.read_exact(&mut header));
    if let Err(error) = read {
        return Err(match error.kind() {
            std::io::ErrorKind::UnexpectedEof => BookError::Foreign,
            _ => BookError::Other(error.to_string()),
        });
    }
    if !header.starts_with(MAGIC) {
        return Err(BookError::Foreign);
    }
    let number = |at: usize| -> u64 {
        header[at..at + 4]
            .iter()
            .fold(0, |sum, byte| sum << 8 | u64::from(*byte))
    };
    let page = match number(16) >> 16 {
        1 => 65536,
        size => size,
    };
    let size = page * number(28);
    if number(24) == number(92) && length < size {
        return Err(BookError::CutOff {
            found: length,
            whole: size,
        });
    }
    Ok(())
}

fn network(path: &Path) -> Result<(), BookError> {
    let text = path.to_string_lossy();
    if text.contains("://") || text.starts_with(r"\\") {
        return Err(BookError::Network("its name is an address".to_owned()));
    }
    let mounts = fs::read_to_string("/proc/self/mounts").unwrap_or_default();
    let Ok(folder) = fs::canonicalize(folder(path)) else {
        return Ok(());
    };
    match networked(&folder, &mounts) {
        Some(kind) => Err(BookError::Network(kind)),
        None => Ok(()),
    }
}

/// The kind of network drive that a folder lies on, by a table of mounts as Linux gives it.
fn networked(folder: &Path, mounts: &str) -> Option<String> {
    let over = mounts.lines().filter_map(|line| {
        let mut fields = line.split(' ').skip(1);
        let at = PathBuf::from(fields.next()?.replace("\\040", " "));
        let kind = fields.next()?;
        folder.starts_with(&at).then_some((at, kind))
    });
    // The innermost counts; of two at one place the later hides the earlier.
    let (_, kind) = over.max_by_key(|(at, _)| at.components().count())?;
    NETWORKED.contains(&kind).then(|| kind.to_owned())
}

fn folder(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if folder != Path::new("") => folder,
        _ => Path::new("."),
    }
}

fn beside(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(ending);
    PathBuf::from(name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_network_drive_is_known_by_its_mount() {
        let mounts = "/dev/sda1 / ext4 rw 0 0\nserver:/shop /mnt/shop\\040nas nfs4 rw 0 0\n\
                      /dev/sdb1 /mnt/shop\\040nas/disk ext4 rw 0 0\n";
        let kind = |folder: &str| networked(Path::new(folder), mounts);
        assert_eq!(kind("/home/book"), None);
        assert_eq!(kind("/mnt/shop nas/2026").as_deref(), Some("nfs4"));
        assert_eq!(kind("/mnt/shop nas/disk"), None);
    }
}
