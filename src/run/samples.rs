//! The samples of a log, in SI units, at strictly increasing times.

use crate::dataset::types::Run;

/// Samples of one run. All series have one length, times strictly increase.
#[derive(Clone, Debug, Default)]
pub struct Samples {
    /// Times on the log's own clock, in whole microseconds.
    pub time_us: Vec<i64>,
    /// Torque in N·m.
    pub torque_nm: Vec<f64>,
    /// Angle in degrees.
    pub angle_deg: Option<Vec<f64>>,
    /// Pack voltage in V.
    pub voltage_v: Option<Vec<f64>>,
    /// Pack current in A.
    pub current_a: Option<Vec<f64>>,
    /// How many samples were merged away because their time stamp was given before.
    pub repeated: usize,
}

impl Samples {
    /// The samples of a run of a dataset, if it has any.
    pub fn of_run(run: &Run) -> Option<Self> {
        let torque = run.torque_dnm.as_ref()?;
        let time_us = match (&run.time_us, run.interval_s) {
            (Some(times), _) => times.clone(),
            (None, interval) => {
                let (start_s, interval_s) = (run.start_s.unwrap_or(0.0), interval?);
                (0..torque.len())
                    .map(|i| microseconds(start_s + i as f64 * interval_s))
                    .collect()
            }
        };
        let scaled = |series: &Option<Vec<i32>>, unit: f64| {
            series.as_ref().map(|series| {
                series
                    .iter()
                    .map(|&value| f64::from(value) / unit)
                    .collect()
            })
        };
        Some(Self {
            time_us,
            torque_nm: torque
                .iter()
                .map(|&torque| f64::from(torque) / 10.0)
                .collect(),
            angle_deg: scaled(&run.angle_ddeg, 10.0),
            voltage_v: scaled(&run.voltage_mv, 1000.0),
            current_a: scaled(&run.current_ma, 1000.0),
            repeated: 0,
        })
    }

    /// The same samples with every repeated time stamp as one sample, the mean of those given.
    #[must_use]
    pub fn merged(self) -> Self {
        if self
            .time_us
            .windows(2)
            .all(|pair| matches!(pair, [a, b] if a < b))
        {
            return self;
        }
        let mut starts: Vec<usize> = (0..self.time_us.len())
            .filter(|&i| i == 0 || self.time_us.get(i) != self.time_us.get(i - 1))
            .collect();
        let kept = starts.len();
        starts.push(self.time_us.len());
        let mean = |series: &[f64]| -> Vec<f64> {
            let groups = starts.windows(2).filter_map(|pair| match pair {
                &[from, to] => series.get(from..to),
                _ => None,
            });
            groups
                .map(|group| group.iter().sum::<f64>() / group.len() as f64)
                .collect()
        };
        Self {
            torque_nm: mean(&self.torque_nm),
            angle_deg: self.angle_deg.as_deref().map(mean),
            voltage_v: self.voltage_v.as_deref().map(mean),
            current_a: self.current_a.as_deref().map(mean),
            repeated: self.time_us.len() - kept,
            time_us: starts
                .iter()
                .filter_map(|&start| self.time_us.get(start).copied())
                .collect(),
        }
    }

    /// Median interval between samples in microseconds; 0 with fewer than two samples.
    pub fn median_gap_us(&self) -> f64 {
        if let Some(tick) = self.tick_us() {
            return f64::from(tick);
        }
        let gaps = self.time_us.windows(2).map(|pair| match pair {
            [a, b] => (b - a) as f64,
            _ => 0.0,
        });
        super::running_median::median(gaps.collect())
    }

    /// The interval in microseconds that every sample keeps to, if there is one.
    pub fn tick_us(&self) -> Option<u32> {
        let gap = |pair: &[i64]| match pair {
            [a, b] => b - a,
            _ => 0,
        };
        let mut gaps = self.time_us.windows(2).map(gap);
        let first = gaps.next()?;
        gaps.all(|other| other == first).then_some(())?;
        u32::try_from(first).ok()
    }
}

/// Seconds as whole microseconds, rounded half away from zero.
pub fn microseconds(time_s: f64) -> i64 {
    (time_s * 1e6).round() as i64
}
