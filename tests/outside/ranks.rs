//! Places against `scipy.stats.rankdata`.

use super::close::fixture;
use jobtorque::ranking::order::{Standing, order};
use serde::Deserialize;

#[derive(Deserialize)]
struct Fixture {
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    name: String,
    expected: Vec<u32>,
    #[serde(flatten)]
    field: Field,
}

#[derive(Deserialize)]
#[serde(tag = "by", rename_all = "lowercase")]
enum Field {
    Time {
        time_s: Vec<Option<f64>>,
        at_window_nm: Vec<f64>,
    },
    Score {
        score: Vec<f64>,
    },
}

impl Field {
    fn standings(&self) -> Vec<Standing> {
        match self {
            Self::Time {
                time_s,
                at_window_nm,
            } => time_s
                .iter()
                .zip(at_window_nm)
                .map(|(time_s, &end_nm)| time_s.map_or(Standing::Short(end_nm), Standing::Time))
                .collect(),
            Self::Score { score } => score.iter().copied().map(Standing::Score).collect(),
        }
    }
}

#[test]
fn places_are_one_more_than_the_number_strictly_better() {
    let fixture: Fixture = fixture("ranks.json");
    assert!(fixture.cases.len() >= 18);
    for case in fixture.cases {
        let order = order(&case.field.standings());
        let expected: Vec<Option<u32>> = case.expected.iter().copied().map(Some).collect();
        assert_eq!(order.ranks, expected, "{}", case.name);
        assert_eq!(order.of as usize, expected.len(), "{}", case.name);
        let best_first: Vec<u32> = order.best_first.iter().map(|&i| case.expected[i]).collect();
        assert!(best_first.is_sorted(), "{}: {best_first:?}", case.name);
    }
}
