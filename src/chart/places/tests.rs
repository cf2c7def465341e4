use super::super::tests::{demo, question};
use super::*;
use crate::query::question::{PairIds, Question};
use crate::results::Results;

const PAIR: (&str, &str) = ("sorrel-18-medium", "two-row-5-0");
const OTHER: (&str, &str) = ("sedge-18-small", "slim-4-0");

fn frame(width_px: f64) -> Viewport {
    Viewport {
        width_px,
        height_px: 74.0,
        text_px: 13.0,
        runs: None,
        top_nm: None,
    }
}

fn plot(results: &Results, question: &Question, frame: Viewport) -> Option<PlacePlot> {
    let study = results.study(question).unwrap();
    place_plot(&study, &study.chart().unwrap(), frame).unwrap()
}

fn of_pair(job: &str) -> Question {
    Question {
        beside: vec![PairIds {
            tool: OTHER.0.into(),
            pack: OTHER.1.into(),
        }],
        ..question(job, Some(PAIR))
    }
}

#[test]
fn a_line_goes_through_the_answers_place_and_ends_where_its_curve_does() {
    let results = demo();
    for (job, width_px) in [("150 N·m", 302.0), ("400 N·m", 640.0), ("650 N·m", 900.0)] {
        let asked = of_pair(job);
        let answer = results.ask(&asked).unwrap();
        let view = plot(&results, &asked, frame(width_px)).unwrap().view;
        assert!(view.upright && view.curves.len() == 2);
        // The place axis from its ticks: the first place is at the top.
        let (first, last) = (&view.torque_ticks[0], view.torque_ticks.last().unwrap());
        assert_eq!((first.label.text.as_str(), first.at_px), ("1", view.top_px));
        let down = last.label.text.parse::<f64>().unwrap() - 1.0;
        let step_px = (last.at_px - first.at_px) / down;
        let crossing = view.curves[0].crossing.clone().unwrap();
        let place = 1.0 + (crossing.y_px - view.top_px) / step_px;
        assert!(
            (place - f64::from(answer.rank.unwrap())).abs() < 1e-6,
            "{place}"
        );
        assert!((crossing.x_px - view.needed_px).abs() < 1e-9);
        // The torque axis from its ticks.
        let ticks = &view.time_ticks;
        let tick_nm: f64 = ticks[1].label.text.replace(',', "").parse().unwrap();
        let x = |nm: f64| ticks[0].at_px + nm / tick_nm * (ticks[1].at_px - ticks[0].at_px);
        assert!((x(answer.required_torque_nm) - view.needed_px).abs() < 1e-6);
        let curves = results.curves(&asked).unwrap();
        for (drawn, curve) in view.curves.iter().zip(&curves.curves) {
            let end = drawn.points.last().unwrap();
            assert!((end.0 - x(curve.end_nm(&curves))).abs() < 1e-6);
            for point in &drawn.points {
                assert!(view.left_px <= point.0 && point.0 <= view.right_px);
                assert!(view.top_px <= point.1 && point.1 <= view.bottom_px);
            }
        }
        // The weaker one ends first, and has no mark beyond its end.
        assert!(view.curves[1].points.last() < view.curves[0].points.last());
        let ends = view.curves[1].points.last().unwrap().0;
        assert_eq!(view.curves[1].crossing.is_some(), view.needed_px <= ends);
        // Its band is about the first line.
        let outline = view.band.unwrap().outline;
        let (upper, lower) = outline.split_at(outline.len() / 2);
        for (upper, lower) in upper.iter().zip(lower.iter().rev()) {
            assert_eq!(upper.0, lower.0);
            let on_line = view.curves[0]
                .points
                .iter()
                .find(|point| point.0 == upper.0);
            let y = on_line.unwrap().1;
            assert!(upper.1 <= y && y <= lower.1);
        }
        assert!(upper.len() > 8);
    }
}

#[test]
fn a_list_has_lines_and_no_band_and_says_so() {
    let results = demo();
    let list = plot(&results, &question("400 N·m", None), frame(302.0)).unwrap();
    assert_eq!(list.view.curves.len(), 3);
    assert!(list.view.band.is_none() && !list.text.contains("band"));
    let pair = plot(&results, &of_pair("400 N·m"), frame(302.0)).unwrap();
    assert!(pair.text.contains("band") && pair.text.contains("N·m"));
    assert!(pair.view.curves[0].name.contains("has place "));
}

#[test]
fn numbers_of_an_axis_keep_apart_however_narrow() {
    let results = demo();
    for width_px in [250.0, 302.0, 640.0, 1100.0] {
        for job in ["20 N·m", "650 N·m", "9000 N·m"] {
            let view = plot(&results, &of_pair(job), frame(width_px)).unwrap().view;
            for ticks in view.torque_ticks.windows(2) {
                assert!(ticks[1].at_px - ticks[0].at_px >= 1.2 * 13.0);
            }
            for ticks in view.time_ticks.windows(2) {
                assert!(ticks[1].at_px - ticks[0].at_px >= 3.0 * 13.0);
            }
            assert!(view.torque_ticks.len() >= 2, "{width_px} {job}");
        }
    }
}

#[test]
fn the_line_dropped_where_it_lies_asks_for_the_same_torque() {
    let results = demo();
    for job in ["150 N·m", "650 N·m", "3000 N·m"] {
        let asked = of_pair(job);
        let study = results.study(&asked).unwrap();
        let curves = study.chart().unwrap();
        let wide = frame(8000.0);
        let view = plot(&results, &asked, wide).unwrap().view;
        let dropped = job_across(&study, &curves, wide, view.needed_px);
        assert_eq!(dropped.as_deref(), Some(job));
    }
}
