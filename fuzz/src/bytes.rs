//! Numbers out of arbitrary bytes.

/// Takes values off the front of some bytes; zeros where they have come to an end.
pub(crate) struct Bytes<'b>(pub(crate) &'b [u8]);

impl Bytes<'_> {
    pub(crate) fn byte(&mut self) -> u8 {
        self.take::<1>()[0]
    }

    fn take<const N: usize>(&mut self) -> [u8; N] {
        let (taken, rest) = self.0.split_at(self.0.len().min(N));
        self.0 = rest;
        let mut bytes = [0; N];
        bytes[..taken.len()].copy_from_slice(taken);
        bytes
    }

    /// Any finite number: often a small whole one, so that points coincide and faces are flat.
    pub(crate) fn number(&mut self) -> f64 {
        let number = match self.byte() % 8 {
            0 | 1 => f64::from(self.byte() as i8),
            2 | 3 => f64::from(i16::from_le_bytes(self.take())) / 16.0,
            4 => f64::from(i16::from_le_bytes(self.take())),
            5 => f64::from(f32::from_le_bytes(self.take())),
            _ => f64::from_le_bytes(self.take()),
        };
        if number.is_finite() { number } else { 0.0 }
    }

    /// From `low` to `high`.
    pub(crate) fn within(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * f64::from(u16::from_le_bytes(self.take())) / f64::from(u16::MAX)
    }

    /// Up to `most` points.
    pub(crate) fn points(&mut self, most: u8) -> Vec<[f64; 3]> {
        let count = self.byte() % (most + 1);
        (0..count).map(|_| [0; 3].map(|_| self.number())).collect()
    }
}
