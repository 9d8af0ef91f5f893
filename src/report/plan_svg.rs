//! The cut plan as a drawing to print: each board from end A at the left, near edge below, its pieces and cuts.

use super::cut_drawing::{BoardDrawing, CutLine, PieceBox, PlanDrawing};
use super::plan_distances::draw_distances;
use super::sheet::{Anchor, Look, SMALLEST, Sheet, fitted, width};

/// A sheet of A4 laid across, mm.
pub(super) const PAGE: f64 = 297.0;
pub(super) const MARGIN: f64 = 12.0;
pub(super) const ROOM: f64 = PAGE - 2.0 * MARGIN;

/// Sizes of type, mm.
const NAME: f64 = 7.0;
pub(super) const LABEL: f64 = 5.5;
pub(super) const REMARK: f64 = 4.0;

/// From baseline to baseline, over the size of type.
pub(super) const LEADING: f64 = 1.25;

/// A board is drawn between these high, and its smallest piece at least so high that a number stands in it, mm.
const BOARD_HEIGHT: [f64; 2] = [36.0, 150.0];
const PIECE_HEIGHT: f64 = 6.0;

/// A cut is drawn at least so wide, mm.
const FINEST_KERF: f64 = 0.6;

/// The drawing as an SVG file to print on A4 laid across: black on white, lengths to one scale, each board's width enlarged
/// where its labels need it, which the drawing says.
///
/// # Example
///
/// ```
/// use outwind::report::{BoardDrawing, PlanDrawing, plan_svg};
///
/// let board = BoardDrawing {
///     name: "rack 3".to_owned(),
///     outline: vec![[0.0, 0.0], [1800.0, 0.0], [1800.0, 190.0], [0.0, 190.0]],
///     ..BoardDrawing::default()
/// };
/// assert!(plan_svg(&PlanDrawing { boards: vec![board] }).contains(">rack 3<"));
/// ```
#[must_use]
pub fn plan_svg(plan: &PlanDrawing) -> String {
    let longest = plan
        .boards
        .iter()
        .map(|board| extent(board)[0])
        .fold(1.0, |longest, [low, high]| f64::max(longest, high - low));
    let mut page = Sheet::new(PAGE);
    let mut y = MARGIN;
    for board in &plan.boards {
        y = draw(&mut page, board, ROOM / longest, y) + MARGIN;
    }
    page.high(y.max(2.0 * MARGIN).ceil()).svg()
}

/// From where to where a board reaches, along and across.
fn extent(board: &BoardDrawing) -> [[f64; 2]; 2] {
    [0, 1].map(|axis| {
        let reach = board.outline.iter().map(|corner| corner[axis]);
        let [low, high] = reach.fold([f64::INFINITY, f64::NEG_INFINITY], |[low, high], at| {
            [low.min(at), high.max(at)]
        });
        if low < high { [low, high] } else { [0.0, 1.0] }
    })
}

/// How a board's places become the page's.
pub(super) struct Frame {
    start: f64,
    near: f64,
    along: f64,
    across: f64,
    /// Where the near edge lies on the page.
    pub(super) bottom: f64,
}

impl Frame {
    pub(super) fn at(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        [
            MARGIN + (x - self.start) * self.along,
            self.bottom - (y - self.near) * self.across,
        ]
    }

    fn corners(&self, from: [f64; 2], to: [f64; 2]) -> [[f64; 2]; 4] {
        [from, [to[0], from[1]], to, [from[0], to[1]]].map(|corner| self.at(corner))
    }
}

/// Draws a board below `y` and gives where it ends.
fn draw(page: &mut Sheet, board: &BoardDrawing, along: f64, y: f64) -> f64 {
    let [[start, end], [near, far]] = extent(board);
    let narrowest = board
        .pieces
        .iter()
        .map(|piece| piece.far - piece.near)
        .fold(far - near, f64::min);
    let [least, most] = BOARD_HEIGHT;
    let across = along
        .max(least / (far - near))
        .max(PIECE_HEIGHT / narrowest.max(1e-9))
        .min(along.max(most / (far - near)));
    let title = match board.length.as_str() {
        "" => board.name.clone(),
        length => format!("{}, {length}", board.name),
    };
    let mut y = y + NAME;
    page.text(
        [MARGIN, y],
        NAME,
        Anchor::Start,
        &fitted(&title, NAME, ROOM),
    );
    let times = across / along;
    let scale = match times {
        times if times < 1.05 => "drawn to scale".to_owned(),
        times => format!("width drawn {times:.1} times as large as length"),
    };
    let scale = match board.distances.is_empty() {
        true => scale,
        false => format!("{scale}; figures below: from end A"),
    };
    y += REMARK * 1.6;
    let right = MARGIN + (end - start) * along;
    page.text([MARGIN, y], REMARK, Anchor::Start, "end A");
    let remark = width("end A", REMARK) * 1.5;
    let sides = width("end B", REMARK) + remark;
    // A board much shorter than the longest has no room for the scale between its ends.
    if width(&scale, REMARK) + remark + sides <= right - MARGIN {
        page.text([right, y], REMARK, Anchor::End, "end B");
        page.text([MARGIN + remark, y], REMARK, Anchor::Start, &scale);
    } else {
        let at = [(right).max(MARGIN + remark + width("end B", REMARK)), y];
        page.text(at, REMARK, Anchor::End, "end B");
        page.text(
            [at[0] + REMARK * 3.0, y],
            REMARK,
            Anchor::Start,
            &fitted(&scale, REMARK, PAGE - MARGIN - at[0] - REMARK * 3.0),
        );
    }
    let frame = Frame {
        start,
        near,
        along,
        across,
        bottom: y + 2.0 + (far - near) * across,
    };
    let outline: Vec<[f64; 2]> = board
        .outline
        .iter()
        .map(|corner| frame.at(*corner))
        .collect();
    page.path(&outline, true, 0.35, Look::Plain);
    for avoid in &board.avoid {
        let corners = frame.corners(avoid.from, avoid.to);
        page.path(&corners, true, 0.25, Look::Hatched);
    }
    for cut in &board.cuts {
        draw_cut(page, &frame, cut);
    }
    let legend: Vec<String> = board
        .pieces
        .iter()
        .enumerate()
        .filter_map(|(at, piece)| draw_piece(page, &frame, piece, at + 1))
        .collect();
    let mut y = draw_distances(page, &frame, &board.distances) + 1.5;
    let mut what: Vec<&str> = board
        .avoid
        .iter()
        .map(|avoid| avoid.what.as_str())
        .collect();
    what.sort_unstable();
    what.dedup();
    let hatched = (!what.is_empty()).then(|| format!("hatched, to avoid: {}", what.join(", ")));
    for line in legend.into_iter().chain(hatched) {
        y += REMARK * LEADING;
        page.text(
            [MARGIN, y],
            REMARK,
            Anchor::Start,
            &fitted(&line, REMARK, ROOM),
        );
    }
    y
}

fn draw_cut(page: &mut Sheet, frame: &Frame, cut: &CutLine) {
    let crosscut = (cut.to[0] - cut.from[0]).abs() < (cut.to[1] - cut.from[1]).abs();
    let scale = if crosscut { frame.along } else { frame.across };
    let kerf = cut.kerf.max(FINEST_KERF / scale);
    let beyond = |[x, y]: [f64; 2]| {
        if crosscut {
            [x + kerf, y]
        } else {
            [x, y + kerf]
        }
    };
    let corners = [cut.from, cut.to, beyond(cut.to), beyond(cut.from)].map(|at| frame.at(at));
    page.path(&corners, true, 0.0, Look::Black);
}

/// Draws a piece with its lines in it; where they do not fit, with its number, and gives its entry for the list below.
fn draw_piece(page: &mut Sheet, frame: &Frame, piece: &PieceBox, number: usize) -> Option<String> {
    let corners = frame.corners([piece.from, piece.near], [piece.to, piece.far]);
    page.path(&corners, true, 0.5, Look::White);
    let [[left, bottom], _, [right, top], _] = corners;
    let (wide, high) = (right - left - 2.0, bottom - top - 1.0);
    let fits = |lines: &[String], size: f64| {
        let widest = lines
            .iter()
            .map(|line| width(line, size))
            .fold(0.0, f64::max);
        widest <= wide && lines.len() as f64 * size * LEADING <= high
    };
    let largest = |lines: &[String]| {
        let steps = (0..=10).map(|step| LABEL + (SMALLEST - LABEL) * f64::from(step) / 10.0);
        steps.into_iter().find(|size| fits(lines, *size))
    };
    let mark = [number.to_string()];
    let (lines, entry) = match largest(&piece.lines) {
        Some(_) => (&piece.lines[..], None),
        None => (
            &mark[..],
            Some(format!("{number}: {}", piece.lines.join(", "))),
        ),
    };
    if let Some(size) = largest(lines) {
        let middle = (left + right) / 2.0;
        let first = (top + bottom) / 2.0 - (lines.len() as f64 - 1.0) / 2.0 * size * LEADING;
        for (at, line) in lines.iter().enumerate() {
            // The middle of a capital letter lies a third of its size over the baseline.
            let y = first + at as f64 * size * LEADING + 0.35 * size;
            page.text([middle, y], size, Anchor::Middle, line);
        }
    }
    entry
}
