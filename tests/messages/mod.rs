//! Files that are not in order, each with its whole message, held in a page beside them.

use std::fmt::Write as _;
use std::fs;

use outwind::readings::Faults;

/// Set to write the messages anew; then read every one of them.
const RENEW: &str = "RENEW_MESSAGES";

/// Holds that `read` refuses every file of `folder/bad`, `fewest` of them or more, with the messages of
/// `folder/bad.md`, in the order of their names.
pub(crate) fn hold(folder: &str, fewest: usize, read: impl Fn(&[u8], &str) -> Option<Faults>) {
    let bad = format!("{folder}/bad");
    let mut files: Vec<_> = fs::read_dir(&bad)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    files.sort();
    assert!(files.len() >= fewest, "{} files", files.len());
    let mut found = String::from("Every malformed file in `bad`, with the whole message.\n");
    for file in files {
        let bytes = fs::read(format!("{bad}/{file}")).unwrap();
        let Some(faults) = read(&bytes, &file) else {
            panic!("{file} is read")
        };
        let _ = write!(found, "\n```\n{faults}\n```\n");
    }
    let page = format!("{folder}/bad.md");
    if std::env::var_os(RENEW).is_some() {
        fs::write(&page, &found).unwrap();
    }
    let wanted = fs::read_to_string(&page).unwrap();
    for (found, wanted) in found.lines().zip(wanted.lines()) {
        assert_eq!(found, wanted);
    }
    assert_eq!(found, wanted, "set {RENEW} to write {page} anew");
    for line in found.lines() {
        assert!(line.chars().count() <= 100, "{line}");
    }
}
