//! A level told once at equal steps of its course.

/// Levels at equal steps of a course, straight between them and constant outside.
#[derive(Clone, Debug)]
pub struct Steps {
    from: f64,
    step: f64,
    levels: Vec<f64>,
}

impl Steps {
    /// Tells the levels at `count` steps, 1 or more, from one point of the course to a later one.
    pub fn of(from: f64, to: f64, count: u32, levels: impl FnOnce(&[f64]) -> Vec<f64>) -> Self {
        let step = (to - from) / f64::from(count);
        let at = |index: u32| from + step * f64::from(index);
        Self {
            from,
            step,
            levels: levels(&(0..=count).map(at).collect::<Vec<f64>>()),
        }
    }

    /// The level at a point of the course.
    pub fn at(&self, course: f64) -> f64 {
        let last = self.levels.len().saturating_sub(1);
        // Where all steps are at one point this is no number, which counts as 0, or beyond all.
        let steps = ((course - self.from) / self.step).max(0.0);
        let before = (steps as usize).min(last);
        let told = |index: usize| self.levels.get(index).copied();
        let level = told(before).unwrap_or_default();
        told(before + 1).map_or(level, |next| {
            level + (next - level) * (steps - before as f64)
        })
    }

    /// The first point of the course at which the level is at least `level`; the last one told if it
    /// is at none.
    pub fn comes_to(&self, level: f64) -> f64 {
        let reached = self.levels.partition_point(|&told| told < level);
        let Some(before) = reached.checked_sub(1) else {
            return self.from;
        };
        let told = |index: usize| self.levels.get(index).copied();
        let part = told(before).zip(told(reached));
        let part = part.map_or(0.0, |(a, b)| (level - a) / (b - a));
        self.from + self.step * (before as f64 + part)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn steps(from: f64, to: f64, count: u32, level: fn(f64) -> f64) -> Steps {
        Steps::of(from, to, count, |courses| {
            courses.iter().copied().map(level).collect()
        })
    }

    #[test]
    fn a_line_is_told_as_it_is_and_stays_as_it_ends() {
        let steps = steps(1.0, 3.0, 8, |course| 10.0 * course);
        for (course, level) in [
            (0.0, 10.0),
            (1.0, 10.0),
            (1.6, 16.0),
            (3.0, 30.0),
            (9.0, 30.0),
        ] {
            assert!((steps.at(course) - level).abs() < 1e-14, "{course}");
        }
        for (level, course) in [
            (9.0, 1.0),
            (10.0, 1.0),
            (16.0, 1.6),
            (30.0, 3.0),
            (31.0, 3.0),
        ] {
            assert!((steps.comes_to(level) - course).abs() < 1e-14, "{level}");
        }
    }

    #[test]
    fn between_steps_a_level_runs_straight() {
        let steps = steps(0.0, 2.0, 2, |course| course * course);
        assert_eq!((steps.at(0.5), steps.at(1.5)), (0.5, 2.5));
        assert_eq!((steps.comes_to(0.5), steps.comes_to(2.5)), (0.5, 1.5));
    }

    #[test]
    fn all_steps_may_be_at_one_point() {
        let steps = steps(2.0, 2.0, 4, |_| 7.0);
        assert_eq!([1.0, 2.0, 3.0].map(|course| steps.at(course)), [7.0; 3]);
        assert_eq!([6.0, 7.0, 8.0].map(|level| steps.comes_to(level)), [2.0; 3]);
    }
}
