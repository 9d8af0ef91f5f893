//! Why a book cannot be read or written.

use rusqlite::ErrorCode;

/// Why a book cannot be read or written; nothing in its file was changed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum BookError {
    /// There is no such file.
    #[error("there is no such book; check its name and folder, or begin one with outwind predict")]
    Missing,
    /// Its folder does not exist.
    #[error("its folder does not exist; make the folder first")]
    NoFolder,
    /// The path names a folder or device.
    #[error("is a folder or a device, not a file; give the book a file name, such as shop.sqlite")]
    NoFile,
    /// The file has nothing in it.
    #[error(
        "the file is empty, so it holds no book; check its name, or bring back a copy of the book"
    )]
    Empty,
    /// The file is no database.
    #[error("is another kind of file, not a book; it is left as it is: give another name")]
    Foreign,
    /// The database is another program's.
    #[error(
        "is the database of another program, not a book; it is left as it is: give another name"
    )]
    OtherProgram,
    /// The file is shorter than it says.
    #[error(
        "the book is cut off: {found} bytes of {whole} are there; it is left as it is: bring back a copy of it"
    )]
    CutOff {
        /// Bytes in the file.
        found: u64,
        /// Bytes that there should be.
        whole: u64,
    },
    /// The database is damaged.
    #[error("the book is damaged ({0}); it is left as it is: bring back a copy of it")]
    Damaged(String),
    /// It was written by a later version of the program.
    #[error(
        "the book was written by a later version of outwind (its form is {found}, this one knows {known}); it is left as it \
         is: use that version"
    )]
    Newer {
        /// The form of the file.
        found: i64,
        /// The latest form that is known here.
        known: i64,
    },
    /// The file, or its folder, may only be read.
    #[error(
        "the book may only be read, so nothing was noted; allow writing to the file and its folder, or use a copy"
    )]
    ReadOnly,
    /// The disk is full.
    #[error(
        "the disk is full, so nothing was noted; the book is as it was: make room and try again"
    )]
    Full,
    /// The disk could not be read or written.
    #[error(
        "the disk could not be read or written ({0}; it may be full), so nothing was noted; the book is as it was: make room, \
         or look after the disk"
    )]
    Disk(String),
    /// Another program held it too long.
    #[error(
        "another program is writing to the book, so nothing was noted; try again when it is done"
    )]
    Busy,
    /// It lies on a network drive.
    #[error(
        "the book would lie on a network drive ({0}), where two programs at once can spoil it; keep it on a disk of this \
         computer and copy the file for others"
    )]
    Network(String),
    /// Something else.
    #[error("the book cannot be used ({0}); what it held before is unchanged")]
    Other(String),
}

impl From<rusqlite::Error> for BookError {
    fn from(error: rusqlite::Error) -> Self {
        match error.sqlite_error_code() {
            Some(ErrorCode::NotADatabase) => Self::Foreign,
            Some(ErrorCode::DatabaseCorrupt) => Self::Damaged(error.to_string()),
            Some(ErrorCode::ReadOnly | ErrorCode::PermissionDenied) => Self::ReadOnly,
            Some(ErrorCode::CannotOpen) => Self::ReadOnly,
            Some(ErrorCode::DiskFull) => Self::Full,
            Some(ErrorCode::SystemIoFailure) => Self::Disk(error.to_string()),
            Some(ErrorCode::DatabaseBusy | ErrorCode::DatabaseLocked) => Self::Busy,
            _ => Self::Other(error.to_string()),
        }
    }
}
