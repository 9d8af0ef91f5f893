//! Faults of a file tell where they are and what to do.

use outwind::readings::{Fault, Faults};

/// The faults are of `file`, stand within `bytes` and say what is wrong, what would be right.
pub(crate) fn are_told(faults: &Faults, file: &str, bytes: &[u8]) {
    assert_eq!(faults.file, file);
    assert!((1..=20).contains(&faults.faults.len()), "{faults}");
    assert!(
        faults.more == 0 || faults.faults.len() == 20,
        "none is held back before twenty are told: {faults}"
    );
    // Of UTF-16 a line end has two bytes, one of which counts here as well.
    let lines = 1 + bytes.iter().filter(|b| matches!(b, b'\n' | b'\r')).count() as u64;
    for fault in &faults.faults {
        is_told(fault, lines);
    }
    let message = faults.to_string();
    let torn = |sign: char| sign.is_control() && sign != '\n';
    assert!(!message.contains(torn), "{message:?}");
}

fn is_told(fault: &Fault, lines: u64) {
    assert!(
        fault.line.is_none_or(|line| (1..=lines).contains(&line)),
        "{fault} of {lines} lines"
    );
    assert!(
        fault.cell.is_none() || fault.line.is_some(),
        "a cell stands on a line: {fault}"
    );
    assert!(!fault.wrong.trim().is_empty() && !fault.fix.trim().is_empty());
    if let Some(shown) = &fault.shown {
        let width = shown.text.chars().count();
        // What is missing is missing behind the line, or one place further.
        let within = shown.column + shown.width <= width.max(shown.column + 1);
        assert!(
            shown.width >= 1 && shown.column <= width + 1 && within,
            "{fault}"
        );
    }
}
