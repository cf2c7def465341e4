//! A whole field at once: what everyone comes to at points of the course, counted once, whoever asks.

use super::course::{CERTAIN_Z, COUNTED_Z, course};
use super::level::{Entry, Shared, steepness};
use crate::special::normal;

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

impl Crowd {
    pub fn of(entries: &[Entry], factors: usize) -> Self {
        let course = course_of(entries);
        let last = course.len().saturating_sub(1);
        let coarse = course.iter().enumerate();
        let sums = coarse
            .filter(|(at, _)| at % SHARED_AT_EVERY == 0 || *at == last)
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
        for entry in entries {
            crowd.count(entry);
            crowd.share(entry);
        }
        for sums in &mut crowd.sums {
            sums.together += sums.of_factors.iter().map(|sum| sum * sum).sum::<f64>();
        }
        crowd
    }

    fn count(&mut self, entry: &Entry) {
        let (from, to) = uncertain(entry);
        let first = self.course.partition_point(|&course| course < from);
        let counted = self.course.iter().zip(&mut self.counted).skip(first);
        for (&course, (ahead, apart)) in counted {
            let p = if course > to {
                1.0
            } else {
                normal::distribution(entry.errors_at(course))
            };
            *ahead += p;
            *apart += p * (1.0 - p);
        }
    }

    fn share(&mut self, entry: &Entry) {
        let (from, to) = uncertain(entry);
        let first = self.sums.partition_point(|sums| sums.course < from);
        let squares: f64 = entry.loadings.iter().map(|(_, own)| own * own).sum();
        let mut steep = Vec::new();
        for sums in self.sums.iter_mut().skip(first) {
            if sums.course > to {
                break;
            }
            let own = steepness(entry.errors_at(sums.course), entry.doubt().se);
            for (factor, loading) in &entry.loadings {
                if let Some(sum) = sums.of_factors.get_mut(*factor) {
                    *sum += own * loading;
                }
            }
            sums.together -= own * own * squares;
            steep.push(own);
        }
        self.steep.push((first, steep));
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
        kin: &[(usize, f64)],
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
        kin: &[(usize, f64)],
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
        for (other, covariance) in kin {
            let part = self.steepness(*other, at) * covariance;
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

/// Between which points of the course it is not certain whether one has come to zero.
fn uncertain(entry: &Entry) -> (f64, f64) {
    let far = CERTAIN_Z * entry.doubt().se;
    (entry.level.comes_to(-far), entry.level.comes_to(far))
}

/// The points of the course at which the crowd is counted.
fn course_of(entries: &[Entry]) -> Vec<f64> {
    let comes_to = |entry: &Entry| COUNTED_Z.map(|z| entry.level.comes_to(z * entry.doubt().se));
    course(entries.len(), entries.iter().flat_map(comes_to))
}
