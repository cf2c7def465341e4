//! What is true of a field, by fresh runs through the same sensor and the same reduction.

use crate::bench::{Bench, luck};
use crate::blows::random::factor;
use crate::field::Field;
use jobtorque::run::curve::Curve;
use rand_pcg::Pcg32;

/// Length of a run that counts, s.
pub const WINDOW_S: f64 = 5.0;

/// What is true of a pair.
pub struct Pair {
    /// Many runs of the expected specimen on a rig that reads right.
    typical: Vec<Curve>,
    /// Further tries, each on a fresh specimen, on a rig that reads right.
    pub tries: Vec<Curve>,
}

/// What is true of every pair of a field, in the field's order.
pub fn of(field: &Field, runs: usize, tries: usize) -> Vec<Pair> {
    let mut rng = luck(0x10, field.index);
    let pairs = field.pairs.iter().zip(&field.interaction);
    pairs
        .map(|(&(tool, pack), &interaction)| {
            let curve = |specimen: f64, rng: &mut Pcg32| {
                let bench = Bench {
                    tool: &field.tools[tool],
                    specimen: specimen * interaction,
                    pack: &field.packs[pack],
                    gain: 1.0,
                };
                bench.run(rng).curve()
            };
            Pair {
                typical: (0..runs).map(|_| curve(1.0, &mut rng)).collect(),
                tries: (0..tries)
                    .map(|_| curve(factor(&mut rng, field.specimen_scatter), &mut rng))
                    .collect(),
            }
        })
        .collect()
}

/// Place in a ranking: class, then what is smaller for the better.
type Key = (u8, f64);

impl Pair {
    /// The true typical curve, N·m: exp(mean of ln H(t)).
    pub fn torque_at(&self, time_s: f64) -> f64 {
        let logs = self.typical.iter().map(|run| run.log_torque_at(time_s));
        libm::exp(logs.sum::<f64>() / self.typical.len() as f64)
    }

    /// Mean over the typical runs of the logarithm of a torque.
    pub fn log_mean(&self, torque_nm: impl Fn(&Curve) -> f64) -> f64 {
        let logs = self.typical.iter().map(|run| libm::log(torque_nm(run)));
        logs.sum::<f64>() / self.typical.len() as f64
    }

    /// Key by the typical run's time to a torque.
    pub fn by_time(&self, torque_nm: f64) -> Key {
        if self.torque_at(WINDOW_S) < torque_nm {
            return self.short();
        }
        let (mut low_s, mut high_s) = (0.0, WINDOW_S);
        while high_s - low_s > 1e-6 {
            let middle_s = 0.5 * (low_s + high_s);
            if self.torque_at(middle_s) < torque_nm {
                low_s = middle_s;
            } else {
                high_s = middle_s;
            }
        }
        (0, high_s)
    }

    /// Key by the expected best of three rise rates to a torque.
    pub fn by_best_of_three(&self, torque_nm: f64) -> Key {
        let rate = |run: &Curve| {
            let time_s = run.time_to(torque_nm, WINDOW_S);
            time_s.map_or(0.0, |time_s| torque_nm / time_s.max(1e-3))
        };
        let mut rates: Vec<f64> = self.typical.iter().map(rate).collect();
        rates.sort_by(f64::total_cmp);
        // The run with `slower` slower ones is the best of `slower` choose two threes.
        let (mut sum, mut threes) = (0.0, 0.0);
        for (slower, rate) in rates.iter().enumerate() {
            let best_of = (slower * slower.saturating_sub(1)) as f64;
            sum += best_of * rate;
            threes += best_of;
        }
        match sum > 0.0 {
            true => (0, -sum / threes),
            false => self.short(),
        }
    }

    /// Those that do not reach follow, by their torque at the window's end.
    fn short(&self) -> Key {
        (1, -self.torque_at(WINDOW_S))
    }
}

/// True ranks: one more than the number strictly better.
pub fn ranks(keys: &[Key]) -> Vec<u32> {
    let better = |own: &Key| keys.iter().filter(|other| *other < own).count();
    keys.iter().map(|own| 1 + better(own) as u32).collect()
}
