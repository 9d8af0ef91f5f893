//! How far the reading of a file is, on a terminal. Ctrl-C ends it as it ends any program: nothing was written yet.

use std::path::Path;
use std::time::Duration;

use super::teller::Teller;

/// Looks on while a file is read.
pub(super) struct ReadingWatch {
    teller: Teller,
    name: String,
    /// Bytes of the file.
    size: u64,
}

impl ReadingWatch {
    /// Of a file of so many bytes, from now on.
    pub(super) fn new(path: &Path, size: u64) -> Self {
        let name = path.file_name().unwrap_or(path.as_os_str());
        Self {
            teller: Teller::new(),
            name: name.to_string_lossy().into_owned(),
            size,
        }
    }

    /// So many bytes are read.
    pub(super) fn look(&mut self, read: u64) {
        if self.teller.is_due() {
            let line = line(&self.name, read, self.size, self.teller.elapsed());
            self.teller.tell(&line);
        }
    }
}

fn line(name: &str, read: u64, size: u64, spent: Duration) -> String {
    let mb = |bytes: f64| (bytes / 1e6).round();
    let (done, all) = (read as f64, size as f64);
    let rate = done / spent.as_secs_f64();
    let line = format!(
        "Reading {name}: {} of {} MB, {} MB/s",
        mb(done),
        mb(all),
        mb(rate)
    );
    if rate > 0.0 {
        let left = ((all - done) / rate).max(0.0).ceil();
        format!("{line}, about {left} s left")
    } else {
        line
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_left_goes_by_the_rate() {
        let spent = Duration::from_secs(4);
        assert_eq!(
            line("slab.csv", 80_000_000, 230_000_000, spent),
            "Reading slab.csv: 80 of 230 MB, 20 MB/s, about 8 s left"
        );
        assert_eq!(
            line("slab.csv", 0, 230_000_000, spent),
            "Reading slab.csv: 0 of 230 MB, 0 MB/s"
        );
    }
}
