//! How far wood has come to rest in the air of a shop.

/// What a moisture meter showed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MeterReading {
    /// Days since any one moment.
    pub day: f64,
    /// Percent.
    pub moisture: f64,
}

/// How far a board has come, as its meter readings tell.
///
/// The distance to the moisture at rest is taken to fall by the same share each day: our own assumption, which holds for the
/// later part of drying. A meter is good for about a percent, so wood within one percent counts as settled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Acclimation {
    /// The moisture at which the wood comes to rest, percent.
    pub rest: f64,
    /// How far the last reading still is from it, percent of moisture; positive where wood is wetter.
    pub away: f64,
    /// The share of the way gone between the first and the last reading; negative where it went the wrong way, `None` where
    /// the first was settled already.
    pub gone: Option<f64>,
    /// Days until it is settled, from the last reading on: 0 where it is; `None` where the readings do not come nearer.
    pub days_left: Option<f64>,
}

/// As near as a meter tells, percent.
pub(crate) const SETTLED: f64 = 1.0;

impl Acclimation {
    /// From two or more readings in any order; `None` of fewer, or where all are of one day.
    #[must_use]
    pub fn new(readings: &[MeterReading], rest: f64) -> Option<Self> {
        let mut readings = readings.to_vec();
        readings.sort_by(|a, b| a.day.total_cmp(&b.day));
        let (first, last) = (readings.first()?, readings.last()?);
        if last.day <= first.day {
            return None;
        }
        let (start, away) = (first.moisture - rest, last.moisture - rest);
        let gone = (start.abs() > SETTLED).then(|| 1.0 - away / start);
        let days_left = if away.abs() <= SETTLED {
            Some(0.0)
        } else {
            let rate = rate(&readings, rest, away.signum());
            (rate > 0.0).then(|| (away.abs() / SETTLED).ln() / rate)
        };
        Some(Self {
            rest,
            away,
            gone,
            days_left,
        })
    }
}

/// By how much the logarithm of the distance to rest falls a day: the least-squares line through the readings on one side.
fn rate(readings: &[MeterReading], rest: f64, side: f64) -> f64 {
    let logs: Vec<[f64; 2]> = readings
        .iter()
        .map(|r| (r.day, side * (r.moisture - rest)))
        .filter(|(_, distance)| *distance > 0.0)
        .map(|(day, distance)| [day, distance.ln()])
        .collect();
    let count = logs.len() as f64;
    let mean = |axis: usize| logs.iter().map(|l| l[axis]).sum::<f64>() / count;
    let middle = [mean(0), mean(1)];
    let (across, along) = logs.iter().fold((0.0, 0.0), |(across, along), l| {
        let day = l[0] - middle[0];
        (across + day * (l[1] - middle[1]), along + day * day)
    });
    if along > 0.0 { -across / along } else { 0.0 }
}
