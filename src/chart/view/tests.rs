use super::super::label::Anchor;
use super::super::label_placement::Area;
use super::super::tests::{demo, question, view, view_in};
use super::axes::ticks;
use super::*;
use crate::query::question::Question;

const PAIR: (&str, &str) = ("sorrel-18-medium", "two-row-5-0");

fn labels(view: &View) -> Vec<&Label> {
    let ticks = view.time_ticks.iter().chain(&view.torque_ticks);
    let curves = view.curves.iter();
    ticks
        .map(|tick| &tick.label)
        .chain([&view.needed, &view.time_unit, &view.torque_unit])
        .chain(curves.clone().filter_map(|curve| curve.label.as_ref()))
        .chain(curves.filter_map(|curve| curve.crossing.as_ref()?.label.as_ref()))
        .chain(view.band.iter().filter_map(|band| band.label.as_ref()))
        .collect()
}

/// The height of a drawn line at `x`.
pub(super) fn on_line(points: &[(f64, f64)], x: f64) -> f64 {
    let right = points.iter().position(|point| point.0 >= x).unwrap();
    let (to, from) = (points[right], points[right.saturating_sub(1)]);
    if to.0 == from.0 {
        return to.1;
    }
    from.1 + (to.1 - from.1) * (x - from.0) / (to.0 - from.0)
}

#[test]
fn a_curve_rises_through_its_crossing_and_stays_within_the_axes() {
    let results = demo();
    for job in [
        "150 N·m",
        "200 lbf·ft",
        "heavy-truck-wheel-loosen",
        "9000 N·m",
    ] {
        for pair in [None, Some(PAIR)] {
            let view = view(&results, &question(job, pair), 640.0);
            assert!(!view.curves.is_empty());
            for curve in &view.curves {
                assert_eq!(curve.points.first().unwrap().0, view.left_px);
                assert!((curve.points.last().unwrap().0 - view.right_px).abs() < 1e-9);
                for step in curve.points.windows(2) {
                    assert!(step[0].0 <= step[1].0 && step[0].1 >= step[1].1 - 1e-9);
                }
                for &(_, y) in &curve.points {
                    assert!(view.top_px <= y && y <= view.bottom_px);
                }
                if let Some(crossing) = &curve.crossing {
                    assert_eq!(crossing.y_px, view.needed_px);
                    assert!(curve.points.contains(&(crossing.x_px, crossing.y_px)));
                }
            }
        }
    }
}

#[test]
fn the_crossing_is_the_answers_time_to_the_job() {
    let results = demo();
    let question = question("150 N·m", Some(PAIR));
    let time_s = results.ask(&question).unwrap().time_to_job_s.unwrap();
    let view = view(&results, &question, 640.0);
    let crossing = view.curves[0].crossing.as_ref().unwrap();
    let share = (crossing.x_px - view.left_px) / (view.right_px - view.left_px);
    assert!((share * results.curves(&question).unwrap().window_s - time_s).abs() < 1e-9);
}

/// Where a label stands, as wide as its letters may be.
fn area(label: &Label) -> Area {
    let width = label.text.chars().count() as f64 * LETTER * 13.0;
    let left = match label.anchor {
        Anchor::Start => label.x_px,
        Anchor::Middle => label.x_px - width / 2.0,
        Anchor::End => label.x_px - width,
    };
    Area {
        left,
        top: label.y_px,
        right: left + width,
        bottom: label.y_px + 13.0 * LINE,
    }
}

#[test]
fn words_stay_in_the_frame_and_apart() {
    let results = demo();
    let sizes = [
        (300.0, 240.0),
        (328.0, 120.0),
        (328.0, 240.0),
        (640.0, 240.0),
        (1100.0, 240.0),
    ];
    let jobs = [
        "20 N·m",
        "150 N·m",
        "650 N·m",
        "heavy-truck-wheel-loosen",
        "9000 N·m",
    ];
    for (width_px, height_px) in sizes {
        for (job, pair) in jobs
            .into_iter()
            .flat_map(|job| [(job, None), (job, Some(PAIR))])
        {
            let view = view_in(&results, &question(job, pair), width_px, height_px);
            let labels = labels(&view);
            for (i, one) in labels.iter().enumerate() {
                let (text, one) = (&one.text, area(one));
                assert!(one.left >= -1e-9 && one.right <= width_px + 1e-9, "{text}");
                assert!(one.top >= -1e-9 && one.bottom <= height_px, "{text}");
                for other in &labels[i + 1..] {
                    let name = format!("{width_px} × {height_px}, {job}: {text}, {}", other.text);
                    assert!(!one.meets(&area(other)), "{name}");
                }
            }
        }
    }
}

#[test]
fn the_words_of_the_needed_line_keep_clear_of_five_curves_on_a_phone() {
    let results = demo();
    let list = results
        .ask(&question("150 N·m", None))
        .unwrap()
        .list
        .unwrap();
    let pairs = list.into_iter().filter_map(|answer| {
        Some(PairIds {
            tool: answer.tool?,
            pack: answer.pack?,
        })
    });
    let beside: Vec<PairIds> = pairs
        .filter(|pair| (pair.tool.as_str(), pair.pack.as_str()) != PAIR)
        .step_by(9)
        .take(4)
        .collect();
    for job in ["150 N·m", "400 N·m", "650 N·m", "800 N·m"] {
        let question = Question {
            beside: beside.clone(),
            ..question(job, Some(PAIR))
        };
        let view = view_in(&results, &question, 334.0, 120.0);
        assert_eq!(view.curves.len(), 5);
        assert!(view.torque_ticks.len() >= 2 && view.torque_ticks.len() <= 4);
        let needed = area(&view.needed);
        for curve in &view.curves {
            let crossed = curve.points.windows(2).any(|step| {
                let reach = Area {
                    left: step[0].0,
                    right: step[1].0,
                    top: step[1].1,
                    bottom: step[0].1,
                };
                reach.meets(&needed)
            });
            assert!(!crossed, "{job}: {}", curve.pair.name);
        }
    }
}

#[test]
fn every_curve_has_a_sentence_and_its_own_kind() {
    let results = demo();
    let view = view(&results, &question("150 N·m", None), 640.0);
    assert_eq!(view.curves.len(), 3);
    assert_eq!(
        view.curves
            .iter()
            .map(|curve| curve.kind)
            .collect::<Vec<_>>(),
        [Kind::Full, Kind::Dashed, Kind::Dotted]
    );
    for curve in &view.curves {
        assert!(
            curve.name.contains(" reaches 150 N·m at "),
            "{}",
            curve.name
        );
    }
    assert_eq!(view.needed.text, "needed: 150 N·m");
}

#[test]
fn the_runs_behind_a_pair_are_drawn_where_they_are_asked_for() {
    let results = demo();
    let question = question("150 N·m", Some(PAIR));
    let answer = results.ask(&question).unwrap();
    let curves = results.curves(&question).unwrap();
    let frame = |runs| Viewport {
        width_px: 640.0,
        height_px: 240.0,
        text_px: 13.0,
        runs,
        top_nm: None,
    };
    let view = |runs| View::new(&curves, frame(runs), results.catalogue());
    assert!(view(None).runs.is_empty() && view(Some(false)).runs.is_empty());
    let with_runs = view(Some(true));
    let counted = answer.runs_used.unwrap() as usize;
    assert!(counted > 2 && with_runs.runs.len() == counted);
    // The typical curve lies among its runs: at the end, and everywhere else.
    for &(x, y) in &with_runs.curves[0].points {
        let at = with_runs.runs.iter().map(|run| on_line(run, x));
        let (low, high) = at.fold((f64::INFINITY, 0.0_f64), |(low, high), y| {
            (low.min(y), high.max(y))
        });
        let off = thinned::OFF_PX;
        assert!(low - off <= y && y <= high + off, "{x}: {low} {y} {high}");
    }
    for run in &with_runs.runs {
        assert!(
            run.iter()
                .all(|&(_, y)| with_runs.top_px <= y && y <= with_runs.bottom_px)
        );
    }
}

#[test]
fn an_axis_begins_at_nothing_and_keeps_its_ticks_apart() {
    assert_eq!(ticks(5.0, 6.0), [0.0, 1.0, 2.0, 3.0, 4.0, 5.0]);
    assert_eq!(ticks(5.0, 3.0), [0.0, 2.0, 4.0]);
    assert_eq!(ticks(1650.0, 5.0), [0.0, 500.0, 1000.0, 1500.0]);
    assert_eq!(ticks(0.3, 3.0).len(), 4);
    assert_eq!(ticks(1e9, 3.0), [0.0, 1e9]);
    assert_eq!(ticks(5.0, f64::NAN).first(), Some(&0.0));
}

#[test]
fn a_frame_beyond_all_bounds_is_still_drawn() {
    let results = demo();
    let curves = results.curves(&question("150 N·m", None)).unwrap();
    for px in [f64::NAN, -5.0, 0.0, f64::INFINITY, 1.0] {
        let frame = Viewport {
            width_px: px,
            height_px: px,
            text_px: px,
            runs: None,
            top_nm: None,
        };
        let view = View::new(&curves, frame, results.catalogue());
        assert!(view.bottom_px > view.top_px && view.bottom_px.is_finite());
        assert!(view.curves[0].points.len() < 5000);
    }
}

#[test]
fn in_a_crowd_the_first_curve_is_drawn_thicker() {
    let results = demo();
    let curves = |count| {
        let one = || results.curves(&question("150 N·m", Some(PAIR))).unwrap();
        let mut all = one();
        (1..count).for_each(|_| all.curves.append(&mut one().curves));
        all
    };
    let view = |curves| {
        let frame = Viewport {
            width_px: 640.0,
            height_px: 240.0,
            text_px: 13.0,
            runs: None,
            top_nm: None,
        };
        View::new(&curves, frame, results.catalogue())
    };
    let width = |view: &View, index| crate::chart::draw::width(view, index);
    let few = view(curves(CROWD - 1));
    assert!(!few.crowded && width(&few, 0) == width(&few, 1));
    let crowd = view(curves(CROWD));
    assert!(crowd.crowded && width(&crowd, 0) > width(&few, 0));
    assert!(width(&crowd, 1) < width(&few, 1) && width(&crowd, 3) == width(&crowd, 1));
    // One that is apart at the end makes three of four.
    let mut apart = curves(CROWD);
    let other = question("150 N·m", Some(("sedge-18-small", "slim-4-0")));
    apart.curves.pop();
    apart
        .curves
        .append(&mut results.curves(&other).unwrap().curves);
    assert!(!view(apart).crowded);
}
