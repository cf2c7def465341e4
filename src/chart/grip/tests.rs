use super::super::tests::{demo, question, view_in};
use super::*;
use crate::query::question::Question;

const PAIR: (&str, &str) = ("sorrel-18-medium", "two-row-8-0");

fn frame(height_px: f64) -> Viewport {
    Viewport {
        width_px: 640.0,
        height_px,
        text_px: 13.0,
        runs: None,
        top_nm: None,
    }
}

#[test]
fn a_line_dropped_where_it_lies_asks_for_the_same_torque() {
    let results = demo();
    for (job, condition, loss) in [
        ("650 N·m", None, None),
        ("85 N·m", None, Some(20.0)),
        ("310 lbf·ft", Some(1.5), None),
        ("95 lbf·ft", Some(1.3), Some(12.5)),
    ] {
        let question = Question {
            condition: condition.map(crate::query::condition::Condition::Factor),
            loss_percent: loss,
            ..question(job, Some(PAIR))
        };
        let curves = results.curves(&question).unwrap();
        let view = view_in(&results, &question, 640.0, 4000.0);
        let dropped = curves.job_at(frame(4000.0), results.catalogue(), view.needed_px);
        assert_eq!(dropped, job);
        // Taken as a job again, it needs what the line lay at.
        let again = Question {
            job: Some(dropped),
            ..question.clone()
        };
        let again = results.curves(&again).unwrap();
        let off = again.required_torque_nm / curves.required_torque_nm - 1.0;
        assert!(off.abs() < 1e-9, "{job} {off}");
    }
}

#[test]
fn a_line_dropped_anywhere_settles_on_a_whole_step() {
    let results = demo();
    let question = question("650 N·m", Some(PAIR));
    let curves = results.curves(&question).unwrap();
    let mut seen = [0; 3];
    for y in 0..=400 {
        let job = curves.job_at(frame(400.0), results.catalogue(), f64::from(y));
        let number: u32 = job.strip_suffix(" N·m").unwrap().parse().unwrap();
        let (at, step) = match number {
            0..100 => (0, 1),
            100..500 => (1, 5),
            _ => (2, 10),
        };
        seen[at] += 1;
        assert!(number >= 1 && number.is_multiple_of(step), "{job}");
    }
    assert!(seen.iter().all(|count| *count > 10), "{seen:?}");
    // Below the axis there is the least torque that is taken, above it the end of the axis.
    let at = |y| curves.job_at(frame(400.0), results.catalogue(), y);
    assert_eq!(at(1e9), "1 N·m");
    assert_eq!(at(-1e9), at(0.0));
}

#[test]
fn steps_go_to_the_next_whole_step_and_end_at_the_limits() {
    let results = demo();
    let stepped = |job: &str, steps| {
        let curves = results.curves(&question(job, Some(PAIR))).unwrap();
        curves.job_stepped(steps)
    };
    for (job, steps, expected) in [
        ("650 N·m", 1, "660 N·m"),
        ("650 N·m", -1, "640 N·m"),
        ("650 N·m", 10, "750 N·m"),
        ("653 N·m", 1, "660 N·m"),
        ("653 N·m", -1, "650 N·m"),
        ("500 N·m", -1, "495 N·m"),
        ("495 N·m", 2, "510 N·m"),
        ("100 N·m", -1, "99 N·m"),
        ("99.5 N·m", 1, "100 N·m"),
        ("405 lbf·ft", -2, "395 lbf·ft"),
        ("3 N·m", -10, "1 N·m"),
        ("19990 N·m", 10, "20000 N·m"),
        ("1 lbf·ft", -1, "1 lbf·ft"),
    ] {
        assert_eq!(stepped(job, steps), expected, "{job} {steps}");
    }
    // The needed torque has limits too.
    let aged = Question {
        condition: Some(crate::query::condition::Condition::Factor(2.0)),
        ..question("9990 N·m", Some(PAIR))
    };
    assert_eq!(results.curves(&aged).unwrap().job_stepped(10), "10000 N·m");
}

#[test]
fn the_axis_rests_while_the_line_is_dragged() {
    let results = demo();
    let view = |job: &str, top_nm| {
        let curves = results.curves(&question(job, Some(PAIR))).unwrap();
        let frame = Viewport {
            top_nm,
            ..frame(240.0)
        };
        super::super::view::View::new(&curves, frame, results.catalogue())
    };
    let high = view("3000 N·m", None);
    assert!(high.top_nm > 3000.0);
    let low = view("300 N·m", Some(high.top_nm));
    assert_eq!(low.top_nm, high.top_nm);
    // It grows for curves, never for what is needed.
    let grown = view("3000 N·m", Some(1.0));
    let own = view("1 N·m", None);
    assert_eq!(grown.top_nm, own.top_nm);
    assert_eq!(view("300 N·m", Some(f64::NAN)), view("300 N·m", None));
}
