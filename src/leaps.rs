//! Where rounds over variances come to rest, with leaps.
//!
//! Each round of a restricted likelihood multiplies a variance by the ratio that is 1 where the
//! likelihood is largest, and comes near slowly. After two rounds the logarithms leap ahead by what
//! the two have in common (Varadhan and Roland 2008, "Simple and globally convergent methods for
//! accelerating the convergence of any EM algorithm", Scandinavian Journal of Statistics 35, 335–353,
//! third step length).

/// Variances are sought until their logarithms change by less than this, ...
const SETTLED: f64 = 1e-10;

/// ... or so many times.
const MOST_LEAPS: u32 = 80;

/// Between which limits variances are sought.
#[derive(Clone, Copy, Debug)]
pub struct Bounds {
    /// Smallest, above 0.
    pub least: f64,
    /// Largest.
    pub most: f64,
}

/// The variances that a round leaves as they are, sought from these on; `None` where a round fails.
pub fn settle<const N: usize>(
    from: [f64; N],
    bounds: Bounds,
    mut round: impl FnMut([f64; N]) -> Option<[f64; N]>,
) -> Option<[f64; N]> {
    let mut round = |from: [f64; N]| Some(bounds.logarithms(round(from.map(libm::exp))?));
    let mut from = bounds.logarithms(from);
    for _ in 0..MOST_LEAPS {
        let once = round(from)?;
        let twice = round(once)?;
        let (first, second) = (less(once, from), less(twice, once));
        if length(second) <= SETTLED {
            from = twice;
            break;
        }
        let leap = (length(first) / length(less(second, first))).max(1.0);
        // Two steps that are the same to the last bit do not say how far to leap.
        let leap = if leap.is_finite() { leap } else { 1.0 };
        let mut ahead = from;
        for ((index, first), second) in ahead.iter_mut().zip(first).zip(second) {
            // The first step by twice the leap, the change from it to the second by its square.
            *index = libm::exp(*index + 2.0 * leap * first + leap * leap * (second - first));
        }
        let ahead = bounds.logarithms(ahead);
        let landed = round(ahead)?;
        // A leap that leads further away is taken back.
        let is_nearer = length(less(landed, ahead)) <= length(second);
        from = if is_nearer { landed } else { twice };
    }
    Some(from.map(libm::exp))
}

impl Bounds {
    fn logarithms<const N: usize>(&self, variances: [f64; N]) -> [f64; N] {
        variances.map(|variance| {
            // A comparison with what is no number keeps the bound.
            let at_least = variance.max(self.least);
            libm::log(at_least.min(self.most))
        })
    }
}

fn less<const N: usize>(mut one: [f64; N], other: [f64; N]) -> [f64; N] {
    for (one, other) in one.iter_mut().zip(other) {
        *one -= other;
    }
    one
}

fn length<const N: usize>(of: [f64; N]) -> f64 {
    of.iter().map(|part| part * part).sum::<f64>().sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    const WIDE: Bounds = Bounds {
        least: 1e-9,
        most: 1e9,
    };

    #[test]
    fn slow_rounds_come_to_rest_in_few_leaps() {
        // Each round goes a tenth of the way, in logarithms: 200 rounds without leaps.
        let mut rounds = 0;
        let settled = settle([1.0, 1.0], WIDE, |[a, b]| {
            rounds += 1;
            let nearer = |from: f64, to: f64| from * libm::pow(to / from, 0.1);
            Some([nearer(a, 7.0), nearer(b, 0.03)])
        });
        let [a, b] = settled.unwrap();
        assert!((a / 7.0 - 1.0).abs() < 1e-9 && (b / 0.03 - 1.0).abs() < 1e-9);
        assert!(rounds < 12, "{rounds}");
    }

    #[test]
    fn equal_steps_come_to_rest_too() {
        // Doubled each round, exactly, until 64.
        let settled = settle([1.0], WIDE, |[a]| Some([(2.0 * a).min(64.0)]));
        assert!((settled.unwrap()[0] / 64.0 - 1.0).abs() < 1e-9);
    }

    #[test]
    fn a_leap_that_leads_further_away_is_taken_back() {
        // Slow towards 8 from below; from beyond 100 thrown back to where it began.
        let settled = settle([1.0], WIDE, |[a]| {
            let nearer = a * libm::pow(8.0 / a, 0.02) * if a < 2.0 { 1.3 } else { 1.0 };
            Some([if a > 100.0 { 1.0 } else { nearer }])
        });
        assert!((settled.unwrap()[0] / 8.0 - 1.0).abs() < 1e-6);
    }

    #[test]
    fn bounds_hold_and_a_round_that_fails_ends_it() {
        let bounds = Bounds {
            least: 0.5,
            most: 2.0,
        };
        assert_eq!(settle([1.0], bounds, |[a]| Some([a * 9.0])), Some([2.0]));
        let low = settle([1.0], bounds, |_| Some([f64::NAN])).unwrap();
        assert!((low[0] - 0.5).abs() < 1e-15);
        assert_eq!(settle([1.0], bounds, |_| None), None);
    }
}
