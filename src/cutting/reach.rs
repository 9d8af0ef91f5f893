//! Where on the boards each rough piece comes out as wanted.

use super::layout::Chances;
use super::pieces::Settled;
use super::stock::Stock;
use super::watch::{Progress, Stage};
use super::window::Window;

/// Rungs of the ladder of margins, as shares of the way from the chance asked for to certainty: chances from few draws are
/// not told apart more finely.
const RUNGS: [f64; 3] = [0.0, 0.5, 0.9];

impl Stock<'_> {
    /// The rungs that an item's windows reach, 0 of what is not likely enough, up to the last of `ladder`.
    fn table(&mut self, sheet: usize, item: usize, ladder: &[usize]) -> Vec<u8> {
        let places = self.sheets[sheet].length - self.items[item].length + 1;
        let starts = self.sheets[sheet].starts.clone();
        let mut table = vec![0; places as usize * starts.len()];
        // A piece that begins too far across to lie on the board is out of the question.
        let room = self.sheets[sheet].width.checked_sub(self.items[item].width);
        let fitting = room.map_or(0, |room| starts.partition_point(|s| *s <= room));
        if fitting > 0 {
            let asked = Asked {
                sheet,
                item,
                ladder,
            };
            let settled = Settled::new(self.pieces[sheet].draws().count());
            self.mark(
                &asked,
                (0, places - 1),
                (0, fitting - 1),
                settled,
                &mut table,
            );
        }
        for (k, rung) in table.iter_mut().enumerate() {
            let (from, start) = ((k / starts.len()) as u32, k % starts.len());
            if *rung > 0 {
                let (rough, finished) = self.windows(sheet, item, from, starts[start]);
                *rung *= u8::from(self.grounds[sheet].takes(&rough, &finished));
            }
        }
        table
    }

    /// Marks the rungs of a rectangle of places, `along` × `across`: all at once where a window around all of theirs and one
    /// within all of them tell it, else by halves. In a draw where the window around comes out, all do; where the one
    /// within does not, none does; both hold for the halves too.
    fn mark(
        &mut self,
        asked: &Asked<'_>,
        along: (u32, u32),
        across: (usize, usize),
        mut settled: Settled,
        table: &mut [u8],
    ) {
        let corner = |a: u32, s: usize, stock: &Self| {
            let near = stock.sheets[asked.sheet].starts[s];
            stock.windows(asked.sheet, asked.item, a, near).1
        };
        let first = corner(along.0, across.0, self);
        let last = corner(along.1, across.1, self);
        let around = Window {
            to: last.to,
            far: last.far,
            ..first
        };
        let within = Window {
            to: first.to,
            far: first.far,
            ..last
        };
        let thickness = self.roughs[asked.item].thickness;
        let pieces = &mut self.pieces[asked.sheet];
        let count = pieces.draws().count();
        let rungs = |s: &Settled| [s.reached, count - s.failed].map(|n| asked.rung(n));
        let enough = |s: &Settled| rungs(s)[0] == rungs(s)[1];
        let single = along.0 == along.1 && across.0 == across.1;
        pieces.settle(&around, thickness, &mut settled, [true, single], enough);
        if !single && within.length() > 0.0 && within.width() > 0.0 {
            pieces.settle(&within, thickness, &mut settled, [false, true], enough);
        }
        if enough(&settled) {
            let rung = rungs(&settled)[0];
            let starts = self.sheets[asked.sheet].starts.len();
            for a in along.0..=along.1 {
                let row = a as usize * starts;
                table[row + across.0..=row + across.1].fill(rung);
            }
            return;
        }
        // The side along which the windows differ more for their size.
        let spread = [
            (last.from - first.from) / first.length(),
            (last.near - first.near) / first.width(),
        ];
        if along.1 > along.0 && (spread[0] >= spread[1] || across.0 == across.1) {
            let middle = along.0.midpoint(along.1);
            self.mark(asked, (along.0, middle), across, settled.clone(), table);
            self.mark(asked, (middle + 1, along.1), across, settled, table);
        } else {
            let middle = across.0.midpoint(across.1);
            self.mark(asked, along, (across.0, middle), settled.clone(), table);
            self.mark(asked, along, (middle + 1, across.1), settled, table);
        }
    }
}

/// An item asked of a sheet, and the draws that each rung takes.
struct Asked<'a> {
    sheet: usize,
    item: usize,
    ladder: &'a [usize],
}

impl Asked<'_> {
    /// The rungs that so many draws climb.
    fn rung(&self, draws: usize) -> u8 {
        self.ladder.partition_point(|wanted| *wanted <= draws) as u8
    }
}

impl Chances for Stock<'_> {
    fn go_on(&mut self, progress: Progress) -> bool {
        self.watch.hear(progress);
        !self.watch.stopped()
    }

    fn rungs(&self) -> u8 {
        RUNGS.len() as u8
    }

    fn reach(&mut self, sheet: usize, item: usize, rung: u8) -> Vec<bool> {
        // The lowest rung is asked first, and often alone.
        let fine = rung > 0;
        if !self.known.contains_key(&(sheet, item, fine)) {
            if !fine {
                let done = self.known.keys().filter(|(_, _, fine)| !fine).count();
                self.watch.hear(Progress {
                    stage: Stage::Places,
                    done,
                    all: self.sheets.len() * self.items.len(),
                });
            }
            if self.watch.stopped() {
                // Nothing is cut where it was not looked.
                let places = self.sheets[sheet].length - self.items[item].length + 1;
                return vec![false; places as usize * self.sheets[sheet].starts.len()];
            }
            let count = self.pieces[sheet].draws().count() as f64;
            let least = self.roughs[item].certainty;
            let wanted =
                |share: &f64| ((least + (1.0 - least) * share) * count - 1e-9).ceil() as usize;
            let ladder: Vec<usize> = RUNGS.iter().map(wanted).collect();
            let table = self.table(sheet, item, if fine { &ladder } else { &ladder[..1] });
            self.known.insert((sheet, item, fine), table);
        }
        self.known[&(sheet, item, fine)]
            .iter()
            .map(|r| *r > rung)
            .collect()
    }
}
