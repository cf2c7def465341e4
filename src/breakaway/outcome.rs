//! Where the factor of a tried nut lies, from whether and when it came loose.

/// Hands do not stop a clock closer than this, in s.
const CLOCK_S: f64 = 0.3;

/// Where a curve has stopped rising, the interval of a nut that came loose is still this wide: its
/// likelihood is then that of the factor itself.
const LEAST_WIDTH: f64 = 1e-3;

/// How a try to loosen a nut ended.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Outcome {
    /// It came loose, after this many s if they were taken.
    Loose {
        /// Time in s.
        time_s: Option<f64>,
    },
    /// It did not, for so many s.
    Held {
        /// Time in s.
        tried_s: f64,
    },
}

/// Where the logarithm of a factor lies: above `low`, up to `high`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Interval {
    /// Lower end; −∞ where there is none.
    pub low: f64,
    /// Upper end; ∞ where there is none.
    pub high: f64,
}

impl Interval {
    /// From how a try ended. `lead` is the logarithm of the typical curve's torque at a time in s less
    /// that of the torque the nut was tightened to; it is asked within the window.
    pub fn of(outcome: Outcome, window_s: f64, lead: impl Fn(f64) -> f64) -> Self {
        let held = |time_s: f64| Self {
            low: lead(time_s.min(window_s)),
            high: f64::INFINITY,
        };
        match outcome {
            Outcome::Held { tried_s } => held(tried_s),
            Outcome::Loose { time_s: None } => Self {
                low: f64::NEG_INFINITY,
                high: lead(window_s),
            },
            // It held all through the window.
            Outcome::Loose {
                time_s: Some(time_s),
            } if time_s - CLOCK_S >= window_s => held(window_s),
            Outcome::Loose {
                time_s: Some(time_s),
            } => {
                let high = lead(time_s.min(window_s));
                let low = if time_s <= CLOCK_S {
                    f64::NEG_INFINITY
                } else {
                    lead(time_s - CLOCK_S).min(high - LEAST_WIDTH)
                };
                Self { low, high }
            }
        }
    }

    /// Whether the nut came loose within the window.
    pub fn is_loose(&self) -> bool {
        self.high < f64::INFINITY
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Rises by 1 each second until 2 s.
    fn interval(outcome: Outcome) -> (f64, f64) {
        let interval = Interval::of(outcome, 5.0, |time_s| time_s.min(2.0));
        (interval.low, interval.high)
    }

    fn loose(time_s: f64) -> (f64, f64) {
        let time_s = Some(time_s);
        interval(Outcome::Loose { time_s })
    }

    #[test]
    fn a_nut_that_came_loose_lies_between_the_clock_s_ends() {
        assert_eq!(loose(1.0), (0.7, 1.0));
        assert_eq!(loose(0.3), (f64::NEG_INFINITY, 0.3));
        let unknown = interval(Outcome::Loose { time_s: None });
        assert_eq!(unknown, (f64::NEG_INFINITY, 2.0));
        // Late: the curve rises no more, and after the window it is not known.
        assert_eq!(loose(4.0), (2.0 - LEAST_WIDTH, 2.0));
        assert_eq!(loose(5.3), (2.0, f64::INFINITY));
    }

    #[test]
    fn a_nut_that_held_lies_above_what_was_built_up() {
        let held = |tried_s| interval(Outcome::Held { tried_s });
        assert_eq!(held(1.5), (1.5, f64::INFINITY));
        assert_eq!(held(60.0), (2.0, f64::INFINITY));
    }
}
