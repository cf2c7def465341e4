//! The typical curves that belong to an answer, for drawing.

use crate::field::estimated::Estimated;
use crate::problem::Problem;
use crate::query::question::{MOST_BESIDE, PairIds, Question};
use crate::results::{Results, products};
use crate::study::Study;
use crate::text::RequiredTorque;
use crate::typical::Combination;

/// The typical curve of a combination, for drawing.
#[derive(Debug)]
pub struct NamedCurve {
    /// Identifiers of tool and pack.
    pub pair: PairIds,
    /// Name of tool and pack.
    pub label: String,
    /// Whether the question lays it over the answer's own.
    pub beside: bool,
    /// The runs behind the curve.
    pub combination: Combination,
    /// Typical time to the job in s.
    pub time_to_job_s: Option<f64>,
    /// The band that 90 of 100 tries stay in: time in s, lower and upper torque in N·m. Only for a
    /// single pair asked for, and only where there are enough runs to say.
    pub band: Vec<(f64, f64, f64)>,
    /// Whether nobody ran the pair, and the curve is an estimate.
    pub estimate: bool,
}

/// What a curve is of.
enum Drawn {
    /// A place in the field.
    Member(usize),
    Estimate(Estimated),
}

impl NamedCurve {
    /// Its torque at the window's end, in N·m.
    pub fn end_nm(&self, curves: &Curves) -> f64 {
        self.combination.torque_at(curves.window_s)
    }
}

/// The curves that belong to an answer.
#[derive(Debug)]
pub struct Curves {
    /// The pair asked for, or the first of the list; then those laid over it, in their order; then
    /// the others if they are few. At most [`MOST_CURVES`], each pair once.
    pub curves: Vec<NamedCurve>,
    /// Pairs to be laid over it that have no runs here, with their names.
    pub without_runs: Vec<(PairIds, String)>,
    /// Required torque in N·m.
    pub required_torque_nm: f64,
    /// The same as sentences show it.
    pub needed: RequiredTorque,
    /// Length of a run that counts, in s.
    pub window_s: f64,
}

/// How many curves there are at most.
pub const MOST_CURVES: usize = MOST_BESIDE + 1;

/// How many curves of a list are drawn, if there is room for them.
const CURVES_OF_A_LIST: usize = 3;

/// The curves that belong to the answer to a question.
pub(crate) fn curves(study: &Study) -> Result<Curves, Problem> {
    let answering = study.answering()?;
    let (results, asked, job) = (study.results, study.asked(), answering.job);
    let (field, window_s) = (study.field(), asked.window_s);
    let mut band = answering.band();
    let mut drawn: Vec<(Drawn, bool)> = Vec::new();
    let own = asked.tool.zip(asked.pack);
    if let Some(estimated) = own.and_then(|pair| study.estimate(pair)) {
        band = answering.band_of_estimate(&estimated);
        drawn.push((Drawn::Estimate(estimated), false));
    }
    let room = CURVES_OF_A_LIST.min(MOST_CURVES.saturating_sub(asked.beside.len()));
    let matching = answering.matching().take(room);
    drawn.extend(matching.map(|(place, _)| (Drawn::Member(place), false)));
    let mut without_runs = Vec::new();
    let ids = |(tool, pack)| {
        let (tool, pack) = products::ids(results, tool, pack);
        PairIds { tool, pack }
    };
    for &pair in &asked.beside {
        if let Some((place, _)) = study.member(pair) {
            let is_drawn = |other: &Drawn| matches!(other, Drawn::Member(own) if *own == place);
            if !drawn.iter().any(|(other, _)| is_drawn(other)) {
                drawn.push((Drawn::Member(place), true));
            }
        } else if own == Some(pair) && !drawn.is_empty() {
            // Its estimate is drawn.
        } else if let Some(estimated) = study.estimate(pair) {
            drawn.push((Drawn::Estimate(estimated), true));
        } else {
            without_runs.push((ids(pair), products::label(results, pair.0, pair.1)));
        }
    }
    // Of a few pairs all are drawn, if there is a curve of the one asked for.
    if !drawn.is_empty() && field.members.len() <= MOST_CURVES {
        for &place in &answering.places().best_first {
            let is_it = |other: &Drawn| matches!(other, Drawn::Member(own) if *own == place);
            if drawn.len() < MOST_CURVES && !drawn.iter().any(|(other, _)| is_it(other)) {
                drawn.push((Drawn::Member(place), false));
            }
        }
        // Where they are all drawn, one that is taken off would be drawn all the same.
        let members = drawn
            .iter_mut()
            .filter(|(one, _)| matches!(one, Drawn::Member(_)));
        let members: Vec<&mut bool> = members.map(|(_, beside)| beside).collect();
        if members.len() == field.members.len() {
            members.into_iter().for_each(|beside| *beside = false);
        }
    }
    let curve = |(drawn, beside): (Drawn, bool)| {
        let estimate = matches!(drawn, Drawn::Estimate(_));
        let (pair, combination) = match drawn {
            Drawn::Member(place) => {
                let member = field.members.get(place)?;
                ((member.tool, member.pack), member.combination.clone())
            }
            Drawn::Estimate(one) => ((one.tool, one.pack), one.combination),
        };
        let name = products::label(results, pair.0, pair.1);
        let label = match estimate {
            true => results.catalogue.fill("chart.estimate", &[("pair", &name)]),
            false => name,
        };
        Some(NamedCurve {
            pair: ids(pair),
            label,
            beside,
            time_to_job_s: combination.time_to(job.required_nm, window_s),
            band: std::mem::take(&mut band),
            combination,
            estimate,
        })
    };
    Ok(Curves {
        curves: drawn.into_iter().filter_map(curve).collect(),
        without_runs,
        required_torque_nm: job.required_nm,
        needed: job.needed,
        window_s,
    })
}

impl Results {
    /// As [`Study::chart`], of a question.
    ///
    /// # Errors
    ///
    /// As [`Study::chart`].
    pub fn curves(&self, question: &Question) -> Result<Curves, Problem> {
        self.study(question)?.chart()
    }
}

impl Study<'_> {
    /// The typical curves that belong to the answer: that of the pair asked for, or of the first of
    /// the list, and of the pairs laid over it.
    ///
    /// # Errors
    ///
    /// Without a job.
    pub fn chart(&self) -> Result<Curves, Problem> {
        curves(self)
    }
}

#[cfg(all(test, not(target_arch = "wasm32")))]
mod tests {
    use super::*;
    use crate::answer::data::Answer;
    use crate::query::question::Question;
    use crate::query::verdict::Basis;
    use crate::results::Results;
    use crate::text::catalogue::Catalogue;

    fn demo() -> Results {
        let texts = include_str!("../../www/texts/en.json");
        let catalogue: Catalogue = serde_json::from_str(texts).unwrap();
        Results::read(include_bytes!("../../data/demo.json"), catalogue).unwrap()
    }

    const CHOSEN: (&str, &str) = ("sorrel-18-medium", "two-row-5-0");

    fn question(chosen: Option<(&str, &str)>, beside: &[(&str, &str)]) -> Question {
        let pair = |&(tool, pack): &(&str, &str)| PairIds {
            tool: tool.into(),
            pack: pack.into(),
        };
        Question {
            job: Some("150 N·m".into()),
            tool: chosen.map(|(tool, _)| tool.into()),
            pack: chosen.map(|(_, pack)| pack.into()),
            beside: beside.iter().map(pair).collect(),
            ..Question::default()
        }
    }

    fn drawn(results: &Results, question: &Question) -> Vec<(String, String, bool)> {
        let curves = results.curves(question).unwrap().curves;
        let parts = |curve: NamedCurve| (curve.pair.tool, curve.pair.pack, curve.beside);
        curves.into_iter().map(parts).collect()
    }

    /// Measured pairs of the demo data in the order of their times.
    fn measured(results: &Results) -> Vec<(String, String)> {
        let list = results.ask(&question(None, &[])).unwrap().list.unwrap();
        let measured = |answer: &Answer| answer.basis == Basis::Measured;
        let pair = |answer: Answer| Some((answer.tool?, answer.pack?));
        list.into_iter().filter(measured).filter_map(pair).collect()
    }

    #[test]
    fn the_chosen_pair_comes_first_with_its_band_and_those_beside_it_in_their_order() {
        let results = demo();
        let others = measured(&results);
        let beside: Vec<(&str, &str)> = others
            .iter()
            .map(|(tool, pack)| (tool.as_str(), pack.as_str()))
            .filter(|pair| *pair != CHOSEN)
            .step_by(2)
            .take(MOST_BESIDE)
            .collect();
        assert_eq!(beside.len(), MOST_BESIDE);
        let asked = question(Some(CHOSEN), &beside);
        let mut expected = vec![(CHOSEN.0.to_owned(), CHOSEN.1.to_owned(), false)];
        expected.extend(
            beside
                .iter()
                .map(|&(tool, pack)| (tool.into(), pack.into(), true)),
        );
        assert_eq!(drawn(&results, &asked), expected);
        let curves = results.curves(&asked).unwrap().curves;
        let bands: Vec<bool> = curves.iter().map(|curve| !curve.band.is_empty()).collect();
        assert_eq!(bands, [true, false, false, false, false]);
        // The answer itself is the same with and without them.
        let alone = results.ask(&question(Some(CHOSEN), &[])).unwrap();
        assert_eq!(results.ask(&asked).unwrap(), alone);
    }

    #[test]
    fn a_pair_is_drawn_once_however_it_is_asked_for() {
        let results = demo();
        let own = drawn(&results, &question(Some(CHOSEN), &[CHOSEN]));
        assert_eq!(own, [(CHOSEN.0.into(), CHOSEN.1.into(), false)]);
        let others = measured(&results);
        let (first, last) = (&others[0], &others[others.len() - 1]);
        let beside = [first, last].map(|(tool, pack)| (tool.as_str(), pack.as_str()));
        let list = drawn(&results, &question(None, &beside));
        let expected: Vec<_> = others[..3].iter().chain([last]).collect();
        let pairs: Vec<(String, String)> = list
            .iter()
            .map(|(tool, pack, _)| (tool.clone(), pack.clone()))
            .collect();
        assert_eq!(pairs.iter().collect::<Vec<_>>(), expected);
        assert_eq!(
            list.iter().map(|curve| curve.2).collect::<Vec<_>>(),
            [false, false, false, true]
        );
    }

    #[test]
    fn of_a_few_pairs_all_are_drawn() {
        let mut document: serde_json::Value =
            serde_json::from_slice(include_bytes!("../../data/demo.json")).unwrap();
        let mut pairs = Vec::new();
        document["runs"].as_array_mut().unwrap().retain(|run| {
            let pair = (run["tool"].clone(), run["pack"].clone());
            if !pairs.contains(&pair) && pairs.len() < MOST_CURVES {
                pairs.push(pair.clone());
            }
            pairs.contains(&pair)
        });
        let texts = include_str!("../../www/texts/en.json");
        let catalogue: Catalogue = serde_json::from_str(texts).unwrap();
        let few = Results::read(document.to_string().as_bytes(), catalogue).unwrap();
        let all = measured(&few);
        assert_eq!(all.len(), MOST_CURVES);
        let last = all.last().unwrap();
        let last = (last.0.as_str(), last.1.as_str());
        assert_eq!(drawn(&few, &question(None, &[])).len(), MOST_CURVES);
        let of_one = drawn(&few, &question(Some(last), &[]));
        assert_eq!(of_one.len(), MOST_CURVES);
        assert_eq!((of_one[0].0.as_str(), of_one[0].1.as_str()), last);
        assert!(of_one.iter().all(|curve| !curve.2));
        // None is there to be taken off: it would be drawn all the same.
        let first = (all[0].0.as_str(), all[0].1.as_str());
        let beside = drawn(&few, &question(Some(last), &[first]));
        assert_eq!(beside.len(), MOST_CURVES);
        assert!(beside.iter().all(|curve| !curve.2));
    }

    #[test]
    fn a_list_leaves_room_for_those_beside_it() {
        let results = demo();
        let others = measured(&results);
        let last: Vec<(&str, &str)> = others
            .iter()
            .rev()
            .map(|(tool, pack)| (tool.as_str(), pack.as_str()))
            .take(MOST_BESIDE)
            .collect();
        for (beside, of_the_list) in [(0, 3), (1, 3), (2, 3), (3, 2), (4, 1)] {
            let list = drawn(&results, &question(None, &last[..beside]));
            assert_eq!(list.iter().filter(|curve| !curve.2).count(), of_the_list);
            assert_eq!(list.len(), of_the_list + beside);
        }
    }

    #[test]
    fn a_pair_nobody_ran_is_drawn_as_an_estimate() {
        let results = demo();
        let list = results.ask(&question(None, &[])).unwrap().list.unwrap();
        let listed = list.into_iter().find(|one| one.basis == Basis::Estimate);
        let listed = listed.unwrap();
        let pair = (listed.tool.unwrap(), listed.pack.unwrap());
        let pair = (pair.0.as_str(), pair.1.as_str());
        for asked in [
            question(Some(pair), &[pair, CHOSEN]),
            question(Some(CHOSEN), &[pair]),
        ] {
            let curves = results.curves(&asked).unwrap();
            assert!(curves.without_runs.is_empty());
            assert_eq!(curves.curves.len(), 2);
            for curve in &curves.curves {
                let is_it = (curve.pair.tool.as_str(), curve.pair.pack.as_str()) == pair;
                assert_eq!(curve.estimate, is_it);
                if is_it {
                    let end_nm = curve.combination.torque_at(curves.window_s);
                    assert_eq!(Some(end_nm), listed.typical_end_nm);
                    assert_eq!(curve.time_to_job_s, listed.time_to_job_s);
                    assert!(curve.label.contains("(estimate)"), "{}", curve.label);
                }
            }
            assert!(!curves.curves[0].band.is_empty() && curves.curves[1].band.is_empty());
        }
    }

    #[test]
    fn a_pair_without_runs_or_estimate_is_named_and_not_drawn() {
        let results = demo();
        // Too few pairs were run like this to estimate others.
        let mut asked = question(None, &[]);
        asked.setup = Some("extension".into());
        let list = results.ask(&asked).unwrap().list.unwrap();
        let beside = CHOSEN;
        let chosen = list.into_iter().next().unwrap();
        assert_ne!(chosen.pack.as_deref(), Some(beside.1));
        asked = question(
            chosen.tool.as_deref().zip(chosen.pack.as_deref()),
            &[beside],
        );
        asked.setup = Some("extension".into());
        let curves = results.curves(&asked).unwrap();
        assert_eq!((curves.curves.len(), curves.without_runs.len()), (1, 1));
        let (tool, pack) = (beside.0.into(), beside.1.into());
        assert_eq!(curves.without_runs[0].0, PairIds { tool, pack });
    }

    #[test]
    fn a_pair_that_cannot_be_laid_over_is_a_problem_of_that_part_alone() {
        let results = demo();
        let others = measured(&results);
        let five: Vec<(&str, &str)> = others
            .iter()
            .map(|(tool, pack)| (tool.as_str(), pack.as_str()))
            .take(MOST_BESIDE + 1)
            .collect();
        let unfit = results.dataset().packs.iter();
        let mount = &results
            .dataset()
            .tools
            .iter()
            .find(|tool| tool.id == CHOSEN.0)
            .unwrap();
        let unfit = unfit
            .map(|pack| (pack.id.as_str(), &pack.pack_mount))
            .find(|(_, pack)| **pack != mount.pack_mount);
        let cases: [(&[(&str, &str)], &str); 5] = [
            (&five, "at most four"),
            (&[("nobody's", CHOSEN.1)], "no tool \"nobody's\""),
            (&[(CHOSEN.0, "<b>")], "no pack \"<b>\""),
            (&[(CHOSEN.0, unfit.unwrap().0)], "does not fit"),
            (&[five[0], five[1], five[0]], "twice"),
        ];
        for (beside, words) in cases {
            let asked = question(Some(CHOSEN), beside);
            for problem in [
                results.ask(&asked).unwrap_err(),
                results.curves(&asked).unwrap_err(),
            ] {
                assert_eq!(problem.pointer, "/beside");
                assert!(problem.message.contains(words), "{}", problem.message);
            }
        }
    }
}
