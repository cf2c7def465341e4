//! Who leads when.

/// A lead that is lost again counts if it lasts this long, in s.
const LEAST_LEAD_S: f64 = 0.1;

/// Leads are looked for at steps of this length, in s.
const LEAD_STEP_S: f64 = 0.01;

/// From when on which of two curves leads.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lead {
    /// When the lead begins, in s.
    pub from_s: f64,
    /// Whether the first curve has it.
    pub first: bool,
}

/// Who leads when: every lead that lasts at least 0.1 s, or to the window's end. A crossing is
/// where one follows another. `ahead` is positive where the first curve is the higher one, at a
/// time in s.
pub fn leads(window_s: f64, ahead: impl Fn(f64) -> f64) -> Vec<Lead> {
    let steps = (window_s / LEAD_STEP_S).ceil() as u32;
    let micro = |step: u32| (window_s * 1e6 * f64::from(step) / f64::from(steps)).round() as u64;
    let sign = |micro: u64| {
        let ahead = ahead(micro as f64 / 1e6);
        (ahead != 0.0).then_some(ahead > 0.0)
    };
    let mut stretches: Vec<(u64, bool)> = Vec::new();
    for step in 0..=steps {
        let Some(first) = sign(micro(step)) else {
            continue;
        };
        match stretches.last() {
            Some((_, leader)) if *leader == first => {}
            Some(_) => {
                let before = micro(step.saturating_sub(1));
                stretches.push((
                    begin(before, micro(step), |at| sign(at) == Some(first)),
                    first,
                ));
            }
            None => stretches.push((0, first)),
        }
    }
    let ends = stretches.iter().skip(1).map(|(from, _)| *from);
    let least = (LEAST_LEAD_S * 1e6) as u64;
    let lasting: Vec<(u64, bool)> = stretches
        .iter()
        .zip(ends.chain([u64::MAX]))
        .filter(|((from, _), end)| end - from >= least)
        .map(|(stretch, _)| *stretch)
        .collect();
    let mut leads: Vec<Lead> = Vec::new();
    for (from, first) in lasting {
        if leads.last().is_none_or(|last| last.first != first) {
            leads.push(Lead {
                from_s: from as f64 / 1e6,
                first,
            });
        }
    }
    leads
}

/// The first whole microsecond after `before` at which `holds`, which it does at `after`.
fn begin(mut before: u64, mut after: u64, holds: impl Fn(u64) -> bool) -> u64 {
    while after - before > 1 {
        let middle = before.midpoint(after);
        if holds(middle) {
            after = middle;
        } else {
            before = middle;
        }
    }
    after
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn leads_that_last() {
        let at = |from_s: f64, first| Lead { from_s, first };
        assert_eq!(
            leads(5.0, |t| 1.8 - t),
            [at(0.0, true), at(1.800_001, false)]
        );
        // Lost for 60 ms only; then for 160 ms.
        let dip =
            |from: f64, to: f64| move |t: f64| if (from..to).contains(&t) { -1.0 } else { 1.0 };
        assert_eq!(leads(5.0, dip(1.0, 1.06)), [at(0.0, true)]);
        let lost = leads(5.0, dip(1.0, 1.16));
        assert_eq!(lost, [at(0.0, true), at(1.0, false), at(1.16, true)]);
        // To the end is for good, however late.
        assert_eq!(leads(5.0, dip(4.97, 6.0)), [at(0.0, true), at(4.97, false)]);
        assert!(leads(5.0, |_| 0.0).is_empty());
        // Level at first.
        assert_eq!(leads(5.0, |t| (t - 0.5).max(0.0)), [at(0.0, true)]);
    }
}
