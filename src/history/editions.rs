//! Which runs count in an edition, and what it corrects.

use crate::dataset::types::{Edition, Run};

/// What a run is to an edition.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// It counts.
    Counts,
    /// It is set aside.
    SetAside,
    /// It is a draft, comes later, or is a control run: the edition's results know nothing of it.
    None,
}

/// What `run` is to edition `edition`: it counts if it belongs to that edition or an earlier one,
/// is no control run and is not set aside by that edition or an earlier one.
pub fn part_of(run: &Run, edition: u32) -> Part {
    let published = run.edition.is_some_and(|first| first <= edition);
    let set_aside = run
        .excluded
        .as_ref()
        .and_then(|exclusion| exclusion.edition)
        .is_some_and(|since| since <= edition);
    match (published && !run.control.unwrap_or(false), set_aside) {
        (false, _) => Part::None,
        (true, true) => Part::SetAside,
        (true, false) => Part::Counts,
    }
}

/// The factor by which edition `edition` multiplies the torque of the runs of a day: the product
/// of the factors of all corrections up to it.
pub fn torque_factor(editions: &[Edition], day: &str, edition: u32) -> f64 {
    editions
        .iter()
        .filter(|other| other.edition <= edition)
        .flat_map(|other| &other.corrections)
        .filter(|correction| correction.days.iter().any(|other| other == day))
        .filter_map(|correction| correction.torque_factor)
        .product()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dataset::types::{Correction, Exclusion};

    fn run(edition: Option<u32>, excluded: Option<u32>) -> Run {
        let excluded = excluded.map(|edition| Exclusion {
            reason: "slipped".into(),
            edition: Some(edition),
        });
        Run {
            edition,
            excluded,
            ..Run::default()
        }
    }

    #[test]
    fn a_run_counts_from_its_edition_until_it_is_set_aside() {
        let run = run(Some(2), Some(4));
        let parts: Vec<Part> = (1..=5).map(|edition| part_of(&run, edition)).collect();
        assert_eq!(
            parts,
            [
                Part::None,
                Part::Counts,
                Part::Counts,
                Part::SetAside,
                Part::SetAside
            ]
        );
    }

    #[test]
    fn drafts_and_control_runs_never_count() {
        assert_eq!(part_of(&run(None, None), 9), Part::None);
        assert_eq!(
            part_of(
                &Run {
                    control: Some(true),
                    ..run(Some(1), None)
                },
                9
            ),
            Part::None
        );
    }

    #[test]
    fn factors_of_several_corrections_multiply() {
        let correction = |factor, day: &str| Correction {
            text: String::new(),
            tools: Vec::new(),
            days: vec![day.into()],
            torque_factor: factor,
        };
        let edition = |edition, corrections| Edition {
            edition,
            date: String::new(),
            note: None,
            corrections,
        };
        let editions = [
            edition(1, vec![]),
            edition(2, vec![correction(Some(0.5), "a"), correction(None, "a")]),
            edition(
                3,
                vec![correction(Some(3.0), "a"), correction(Some(7.0), "b")],
            ),
        ];
        let factors: Vec<f64> = (1..=3)
            .map(|edition| torque_factor(&editions, "a", edition))
            .collect();
        assert_eq!(factors, [1.0, 0.5, 1.5]);
    }
}
