//! Others that reach a job: which of them no other beats.

/// What a pair that reaches the job costs its user. Less is better, of each.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Merit {
    /// Mass of tool and pack in kg; absent if one was never weighed.
    pub mass_kg: Option<f64>,
    /// Price of tool and pack, of every pair in one currency; absent if there is none.
    pub price: Option<f64>,
    /// Typical time to the job in s.
    pub time_s: Option<f64>,
}

impl Merit {
    /// Whether this pair beats another: at least as good on mass, price and time, and better on
    /// one (Pareto dominance). A figure that is missing beats nothing: it counts as the worst, and
    /// two that are missing are equal.
    pub fn beats(&self, other: &Self) -> bool {
        let worst = |figure: Option<f64>| figure.unwrap_or(f64::INFINITY);
        let figures = |merit: &Self| [merit.mass_kg, merit.price, merit.time_s].map(worst);
        let (own, others) = (figures(self), figures(other));
        let pairs = || own.iter().zip(&others);
        pairs().all(|(own, other)| own <= other) && pairs().any(|(own, other)| own < other)
    }
}

/// Which of a field no other of it beats.
pub fn pareto_front(field: &[Merit]) -> Vec<bool> {
    let not_dominated = |one: &Merit| !field.iter().any(|other| other.beats(one));
    field.iter().map(not_dominated).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use rand_pcg::Pcg32;
    use rand_pcg::rand_core::Rng;

    fn merit(mass_kg: f64, price: f64, time_s: f64) -> Merit {
        let known = |figure: f64| Some(figure).filter(|figure| figure.is_finite());
        Merit {
            mass_kg: known(mass_kg),
            price: known(price),
            time_s: known(time_s),
        }
    }

    const NONE: f64 = f64::INFINITY;

    /// Worked by hand: a light slow one, a heavy quick one, one between that is dear, one that the
    /// first beats on time alone, and one that equals it.
    #[test]
    fn what_no_other_beats_by_hand() {
        let field = [
            merit(2.0, 200.0, 1.5),
            merit(3.5, 300.0, 0.5),
            merit(2.5, 400.0, 1.5),
            merit(2.0, 200.0, 1.6),
            merit(2.0, 200.0, 1.5),
        ];
        assert_eq!(pareto_front(&field), [true, true, false, false, true]);
    }

    /// Worked by hand: a missing figure does not save a pair from one that is as good on the rest,
    /// and never beats one that is known, but leaves the rest to compare.
    #[test]
    fn a_missing_mass_or_price_beats_nothing() {
        let field = [
            merit(2.0, NONE, 1.0),
            merit(2.5, 250.0, 1.2),
            merit(2.5, NONE, 1.2),
            merit(NONE, 100.0, 0.9),
        ];
        assert!(!field[0].beats(&field[1]) && !field[3].beats(&field[1]));
        assert!(field[1].beats(&field[2]) && field[0].beats(&field[2]));
        assert_eq!(pareto_front(&field), [true, true, false, true]);
    }

    /// Against another way to the same: a pair is beaten exactly if someone stands before it when
    /// all are ordered by mass, then price, then time, and is no worse on price and time.
    #[test]
    fn what_no_other_beats_is_what_a_sweep_finds() {
        let mut random = Pcg32::new(7, 11);
        // Few different values, so that there are ties and missing figures.
        let mut figure = || match random.next_u32() % 6 {
            0 => NONE,
            value => f64::from(value),
        };
        for size in (0..300).map(|round| round % 23) {
            let field: Vec<Merit> = (0..size)
                .map(|_| merit(figure(), figure(), figure()))
                .collect();
            let key = |merit: &Merit| {
                [merit.mass_kg, merit.price, merit.time_s].map(|figure| figure.unwrap_or(NONE))
            };
            let mut order: Vec<usize> = (0..field.len()).collect();
            order.sort_by(|&a, &b| key(&field[a]).partial_cmp(&key(&field[b])).unwrap());
            let mut swept = vec![true; field.len()];
            for (at, &one) in order.iter().enumerate() {
                let [_, price, time] = key(&field[one]);
                swept[one] = !order[..at].iter().any(|&before| {
                    let [_, other_price, other_time] = key(&field[before]);
                    other_price <= price
                        && other_time <= time
                        && key(&field[before]) != key(&field[one])
                });
            }
            assert_eq!(pareto_front(&field), swept, "{field:?}");
        }
    }
}
