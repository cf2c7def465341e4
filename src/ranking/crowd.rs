//! A whole field at once: what everyone comes to at points of the course, counted once, whoever asks.

use super::course::{CERTAIN_Z, COUNTED_Z, course};
use super::level::{Both, Entry, Shared};
use crate::special::normal_steps::NormalSteps;

/// What levels share is summed up at every so many of them.
const SHARED_AT_EVERY: usize = 4;

/// How many have come to zero at points of the course and the variance of that number, and what they
/// share: none of it depends on who asks.
pub(super) struct Crowd {
    course: Vec<f64>,
    /// Σ Φ and Σ Φ(1 − Φ) at each.
    counted: Vec<(f64, f64)>,
    /// Fewer points of the course, ...
    sums: Vec<Sums>,
    /// ... and a of each level at those where it is not nothing, after the first of them.
    steep: Vec<(usize, Vec<f64>)>,
}

/// What everyone shares at a point of the course.
struct Sums {
    course: f64,
    /// A of each factor.
    of_factors: Vec<f64>,
    /// Σ A², less what each level makes alone.
    together: f64,
}

impl Sums {
    /// Adds one whose a is `own`; `squares` is the sum of its squared loadings.
    fn add(&mut self, entry: &Entry, own: f64, squares: f64) {
        for (factor, loading) in &entry.loadings {
            if let Some(sum) = self.of_factors.get_mut(*factor) {
                *sum += own * loading;
            }
        }
        self.together -= own * own * squares;
    }
}

/// Whether what levels share is summed up at a point of the course, of which `last` is the last.
fn is_shared_at(at: usize, last: usize) -> bool {
    at.is_multiple_of(SHARED_AT_EVERY) || at == last
}

impl Crowd {
    pub fn of(entries: &[Entry], factors: usize, normal: &NormalSteps) -> Self {
        let course = course_of(entries);
        let last = course.len().saturating_sub(1);
        let coarse = course.iter().enumerate();
        let sums = coarse
            .filter(|(at, _)| is_shared_at(*at, last))
            .map(|(_, &course)| Sums {
                course,
                of_factors: vec![0.0; factors],
                together: 0.0,
            });
        let mut crowd = Self {
            counted: vec![(0.0, 0.0); course.len()],
            sums: sums.collect(),
            course,
            steep: Vec::new(),
        };
        // How many are certain to have come to zero from each point on, and not from the one before.
        let mut certain = vec![0.0; crowd.course.len()];
        for entry in entries {
            let from = crowd.count(entry, normal);
            if let Some(certain) = certain.get_mut(from) {
                *certain += 1.0;
            }
        }
        let mut so_far = 0.0;
        for ((ahead, _), certain) in crowd.counted.iter_mut().zip(certain) {
            so_far += certain;
            *ahead += so_far;
        }
        for sums in &mut crowd.sums {
            sums.together += sums.of_factors.iter().map(|sum| sum * sum).sum::<f64>();
        }
        crowd
    }

    /// Adds one where it is uncertain whether it has come to zero; the first point where that is
    /// certain.
    fn count(&mut self, entry: &Entry, normal: &NormalSteps) -> usize {
        let far = CERTAIN_Z * entry.doubt().se;
        let (from, to) = (entry.level.comes_to(-far), entry.level.comes_to(far));
        let first = self.course.partition_point(|&course| course < from);
        let certain = self
            .course
            .partition_point(|&course| course <= to)
            .max(first);
        let last = self.course.len().saturating_sub(1);
        let squares: f64 = entry.loadings.iter().map(|(_, own)| own * own).sum();
        let first_shared = first.div_ceil(SHARED_AT_EVERY).min(self.sums.len());
        let mut sums = self.sums.iter_mut().skip(first_shared);
        let mut steep = Vec::new();
        let counted = self.course.iter().zip(&mut self.counted).enumerate();
        for (at, (&course, (ahead, apart))) in counted.take(certain).skip(first) {
            let errors = entry.errors_at(course);
            let p = normal.distribution(errors);
            *ahead += p;
            *apart += p * (1.0 - p);
            if !is_shared_at(at, last) {
                continue;
            }
            let own = normal.density(errors) / entry.doubt().se;
            if let Some(sums) = sums.next() {
                sums.add(entry, own, squares);
            }
            steep.push(own);
        }
        self.steep.push((first_shared, steep));
        certain
    }

    /// Mean and variance of the number that has come to zero.
    pub fn at(&self, course: f64) -> (f64, f64) {
        let after = self.course.partition_point(|&counted| counted <= course);
        let point = |i: usize| Some((*self.course.get(i)?, *self.counted.get(i)?));
        match (after.checked_sub(1).and_then(point), point(after)) {
            (Some((a, (ahead, apart))), Some((b, (next_ahead, next_apart)))) => {
                let part = (course - a) / (b - a);
                (
                    ahead + part * (next_ahead - ahead),
                    apart + part * (next_apart - apart),
                )
            }
            (Some((_, counted)), None) | (None, Some((_, counted))) => counted,
            (None, None) => (0.0, 0.0),
        }
    }

    /// What all others share with one and with each other; `kin` are the others of its tool, each with
    /// the covariance of the two.
    pub fn shared(
        &self,
        entries: &[Entry],
        index: usize,
        kin: &[(usize, Both)],
        course: f64,
    ) -> Shared {
        let after = self.sums.partition_point(|sums| sums.course <= course);
        let told = |at: usize| {
            let sums = self.sums.get(at)?;
            Some((
                sums.course,
                self.shared_at(entries.get(index)?, index, kin, at)?,
            ))
        };
        match (after.checked_sub(1).and_then(told), told(after)) {
            (Some((a, one)), Some((b, other))) => {
                let part = (course - a) / (b - a);
                let between = |one: f64, other: f64| one + part * (other - one);
                Shared {
                    with_own: between(one.with_own, other.with_own),
                    with_each_other: between(one.with_each_other, other.with_each_other),
                }
            }
            (Some((_, shared)), None) | (None, Some((_, shared))) => shared,
            (None, None) => Shared::default(),
        }
    }

    /// The same at a point where sums are kept: one's own share is taken away.
    fn shared_at(
        &self,
        own: &Entry,
        index: usize,
        kin: &[(usize, Both)],
        at: usize,
    ) -> Option<Shared> {
        let sums = self.sums.get(at)?;
        let steep = self.steepness(index, at);
        let (mut own_sum, mut together) = (0.0, sums.together);
        for (factor, loading) in &own.loadings {
            let others = sums.of_factors.get(*factor)? - steep * loading;
            own_sum += loading * others;
            together -= 2.0 * steep * loading * others;
        }
        let mut of_kin = (0.0, 0.0);
        for (other, both) in kin {
            let part = self.steepness(*other, at) * both.covariance;
            of_kin.0 += part;
            of_kin.1 += part * part;
        }
        let se = own.doubt().se;
        Some(Shared {
            with_own: own_sum - of_kin.0,
            with_each_other: together - (own_sum * own_sum - of_kin.1) / (se * se),
        })
    }

    /// a of a level at a point where sums are kept.
    fn steepness(&self, index: usize, at: usize) -> f64 {
        let told = self
            .steep
            .get(index)
            .and_then(|(first, steep)| steep.get(at.checked_sub(*first)?));
        told.copied().unwrap_or_default()
    }
}

/// The points of the course at which the crowd is counted.
fn course_of(entries: &[Entry]) -> Vec<f64> {
    let comes_to = |entry: &Entry| COUNTED_Z.map(|z| entry.level.comes_to(z * entry.doubt().se));
    course(entries.len(), entries.iter().flat_map(comes_to))
}
