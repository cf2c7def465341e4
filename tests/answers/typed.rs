//! What people type for a job: hundreds of ways of writing, each answered or met with what may be meant.

use super::demo::{ask, demo, question, read};
use jobtorque::bolt::{Bolt, SIZES, System};
use jobtorque::problem::Offer;
use jobtorque::results::Results;
use serde_json::{Value, json};

const POUND_FOOT_NM: f64 = 1.355_817_948_331_400_4;
const POUND_INCH_NM: f64 = POUND_FOOT_NM / 12.0;
const KILOGRAM_METRE_NM: f64 = 9.806_65;

/// What must come of a text.
#[derive(Clone, Debug)]
enum Comes {
    /// An answer for this torque in N·m.
    Answer(f64),
    /// Offers, among them one that is answered for this torque in N·m, of an aged joint or not.
    Offer(f64, bool),
}

fn near(one: f64, other: f64) -> bool {
    (one - other).abs() <= 1e-9 * other
}

/// The problem with a text, and what is offered in its place.
fn refused(results: &Results, asked: &Value) -> (String, Vec<Offer>) {
    let problem = results.ask(&question(asked.clone())).unwrap_err();
    assert_eq!(problem.pointer, "/job");
    (problem.message.clone(), problem.offers.clone())
}

/// Whether a question comes to what it must; what it came to if not.
fn comes(results: &Results, asked: &Value, wanted: &Comes) -> Result<(), String> {
    let answered = |asked: &Value| {
        let mut asked = asked.clone();
        asked["tool"] = json!("sorrel-18-medium");
        asked["pack"] = json!("two-row-8-0");
        results.ask(&question(asked))
    };
    match (answered(asked), wanted) {
        (Ok(answer), Comes::Answer(torque_nm)) => near(answer.job_torque_nm, *torque_nm)
            .then_some(())
            .ok_or_else(|| format!("{} N·m", answer.job_torque_nm)),
        (Ok(answer), Comes::Offer(..)) => {
            Err(format!("an answer for {} N·m", answer.job_torque_nm))
        }
        (Err(problem), Comes::Answer(_)) => Err(format!("refused: {problem}")),
        (Err(problem), Comes::Offer(torque_nm, is_aged)) => {
            let mut found = false;
            for offer in &problem.offers {
                // Each is answered as it is offered.
                let mut taken = asked.clone();
                taken["job"] = json!(offer.job);
                taken["condition"] = json!(offer.condition);
                let answer =
                    answered(&taken).map_err(|problem| format!("{}: {problem}", offer.job))?;
                let factor = offer.condition.unwrap_or(1.0);
                assert!(near(
                    answer.required_torque_nm,
                    answer.job_torque_nm * factor
                ));
                let is_meant = offer.condition.is_some() == *is_aged;
                found |= is_meant && near(answer.job_torque_nm, *torque_nm);
            }
            found
                .then_some(())
                .ok_or_else(|| format!("{}: {:?}", problem.message, problem.offers))
        }
    }
}

/// Torques with units in many spellings, and units that are none.
fn torques() -> Vec<(String, Comes)> {
    let mut all = Vec::new();
    let numbers = [
        ("650", 650.0),
        ("97,5", 97.5),
        ("97.5", 97.5),
        ("1 200", 1200.0),
        ("+480", 480.0),
    ];
    let units = [
        ("N·m", 1.0),
        ("Nm", 1.0),
        ("nm", 1.0),
        ("N m", 1.0),
        ("N.m.", 1.0),
        ("newton metres", 1.0),
        ("newton-meter", 1.0),
        ("lbf·ft", POUND_FOOT_NM),
        ("ft-lb", POUND_FOOT_NM),
        ("ft lbs", POUND_FOOT_NM),
        ("ftlb", POUND_FOOT_NM),
        ("lb-ft", POUND_FOOT_NM),
        ("foot pounds", POUND_FOOT_NM),
        ("in-lb", POUND_INCH_NM),
        ("kgf·m", KILOGRAM_METRE_NM),
        ("kg m", KILOGRAM_METRE_NM),
        ("", 1.0),
    ];
    let beyond = [
        ("lbs", POUND_FOOT_NM),
        ("lb", POUND_FOOT_NM),
        ("pounds", POUND_FOOT_NM),
        ("lbs", POUND_INCH_NM),
        ("ft", POUND_FOOT_NM),
        ("feet", POUND_FOOT_NM),
        ("ft/lbs", POUND_FOOT_NM),
        ("inches", POUND_INCH_NM),
        ("newtons", 1.0),
        ("N", 1.0),
        ("Nm torque", 1.0),
        ("kg", KILOGRAM_METRE_NM),
        ("foo", 1.0),
    ];
    for (number, value) in numbers {
        for space in ["", " "] {
            for (unit, unit_nm) in units {
                let comes = Comes::Answer(value * unit_nm);
                all.push((format!("{number}{space}{unit}"), comes));
            }
        }
        for (unit, unit_nm) in beyond {
            all.push((
                format!("{number} {unit}"),
                Comes::Offer(value * unit_nm, false),
            ));
        }
    }
    for (text, torque_nm) in [
        ("-650 N·m", 650.0),
        ("−650", 650.0),
        ("1.234", 1234.0),
        ("1.234", 1.234),
        ("1,234 Nm", 1234.0),
        ("1,234 Nm", 1.234),
        ("1.234 lbs", 1234.0 * POUND_FOOT_NM),
        ("torque 650 Nm", 650.0),
        ("about 480 ft-lb", 480.0 * POUND_FOOT_NM),
        ("1,000-1,200 Nm", 1200.0),
        ("90-110 lbs", 110.0 * POUND_FOOT_NM),
    ] {
        all.push((text.into(), Comes::Offer(torque_nm, false)));
    }
    for between in ["-", " - ", "–", " – ", "—", " to ", "to", " TO "] {
        for (unit, unit_nm) in [
            ("", 1.0),
            ("Nm", 1.0),
            (" N·m", 1.0),
            (" lbf·ft", POUND_FOOT_NM),
        ] {
            let comes = Comes::Answer(110.0 * unit_nm);
            all.push((format!("90{between}110{unit}"), comes.clone()));
            all.push((format!("90{unit}{between}110{unit}"), comes));
        }
    }
    all
}

/// The torque of a bolt, in N·m.
fn bolt_nm(text: &str) -> f64 {
    Bolt::parse(text).unwrap().tightening_torque_nm()
}

/// Every thread without its class, aged or not, and sockets.
fn threads() -> Vec<(String, Comes)> {
    let mut all = Vec::new();
    for size in &SIZES {
        let (classes, inch) = match size.system {
            System::Metric => (["8.8", "10.9", "12.9"], ""),
            System::Inch => (["grade 2", "grade 5", "grade 8"], " in"),
        };
        for class in classes {
            for thread in size.threads() {
                let name = thread.name();
                let torque_nm = bolt_nm(&format!("{name} {class}"));
                all.push((name.clone(), Comes::Offer(torque_nm, false)));
                all.push((format!("rusty {name}"), Comes::Offer(torque_nm, true)));
            }
            let text = format!("{}{inch}", size.name);
            let torque_nm = bolt_nm(&format!("{text} {class}"));
            for (written, is_aged) in [
                ("{}", false),
                ("seized {}", true),
                ("{}, rusted", true),
                ("old {} bolt", true),
            ] {
                all.push((
                    written.replace("{}", &text),
                    Comes::Offer(torque_nm, is_aged),
                ));
            }
            for written in ["rusted {} CLASS", "{} CLASS corroded"] {
                let written = written.replace("{}", &text).replace("CLASS", class);
                all.push((written, Comes::Offer(torque_nm, true)));
            }
            let oiled = bolt_nm(&format!("{text} oiled {class}"));
            all.push((format!("{text} oiled"), Comes::Offer(oiled, false)));
        }
    }
    for (width, bolt) in [
        ("10", "M6"),
        ("13", "M8"),
        ("16", "M10"),
        ("17", "M10"),
        ("18", "M12"),
        ("19", "M12"),
        ("21", "M14"),
        ("22", "M14"),
        ("24", "M16"),
        ("27", "M18"),
        ("30", "M20"),
        ("32", "M22"),
        ("34", "M22"),
        ("36", "M24"),
        ("41", "M27"),
        ("46", "M30"),
    ] {
        let torque_nm = bolt_nm(&format!("{bolt} 10.9"));
        for written in [
            "{}mm socket",
            "{} mm",
            "size {}",
            "SW {}",
            "{} socket",
            "{} mm spanner",
            "{}mm hex",
        ] {
            all.push((written.replace("{}", width), Comes::Offer(torque_nm, false)));
        }
        all.push((
            format!("rusty {width} mm nut"),
            Comes::Offer(torque_nm, true),
        ));
    }
    for (width, bolt) in [
        ("7/16", "1/4"),
        ("1/2", "5/16"),
        ("9/16", "3/8"),
        ("5/8", "7/16"),
        ("11/16", "7/16"),
        ("3/4", "1/2"),
        ("13/16", "9/16"),
        ("7/8", "9/16"),
        ("15/16", "5/8"),
        ("1 1/8", "3/4"),
        ("1-5/16", "7/8"),
        ("1 1/2", "1"),
    ] {
        let torque_nm = bolt_nm(&format!("{bolt} in grade 5"));
        for written in ["{} in socket", "{}\" socket", "{} inch wrench", "AF {}"] {
            all.push((written.replace("{}", width), Comes::Offer(torque_nm, false)));
        }
    }
    all
}

/// Words of people for jobs of the file.
fn words() -> Vec<(String, Comes)> {
    let heavy = Comes::Offer(678.0, false);
    let aged = Comes::Offer(678.0, true);
    let car = Comes::Answer(135.0);
    let texts = [
        ("truck wheel", &heavy),
        ("lorry", &heavy),
        ("lorry wheel", &heavy),
        ("truck tyres", &heavy),
        ("the wheel of my truck", &heavy),
        ("lug nut", &heavy),
        ("lug nuts", &heavy),
        ("Lug-Bolt", &heavy),
        ("wheel bolt", &heavy),
        ("wheel", &heavy),
        ("truck tire", &heavy),
        ("tractor wheel", &heavy),
        ("rusty lorry wheel", &aged),
        ("seized lug nut", &aged),
        ("seized", &aged),
        ("car", &car),
        ("car wheel", &car),
        ("car wheels", &car),
        ("a car tyre", &car),
        ("wheel bolt of my car", &car),
    ];
    let own = texts
        .iter()
        .map(|(text, comes)| ((*text).to_owned(), (*comes).clone()));
    own.collect()
}

#[test]
fn whatever_people_type_is_answered_or_met_with_what_may_be_meant() {
    let results = read(&demo());
    let all: Vec<_> = [torques(), threads(), words()].concat();
    assert!(all.len() >= 800, "{}", all.len());
    let mut wrong = Vec::new();
    for (text, wanted) in &all {
        if let Err(came) = comes(&results, &json!({"job": text}), wanted) {
            wrong.push(format!("{text:?}: {wanted:?}, came {came}"));
        }
    }
    assert!(
        wrong.is_empty(),
        "{} of {}: {wrong:#?}",
        wrong.len(),
        all.len()
    );
}

#[test]
fn who_is_typing_sees_what_a_problem_would_offer() {
    let results = read(&demo());
    let all = [torques(), threads(), words()].concat();
    let offered = all
        .iter()
        .filter(|(_, comes)| matches!(comes, Comes::Offer(..)));
    for (text, _) in offered {
        let asked = json!({"job": text, "units": "lbf-ft"});
        let (_, offers) = refused(&results, &asked);
        let mut found = results.found(text, &question(asked)).jobs;
        assert!(offers.len() <= 8 && found.len() >= offers.len(), "{text}");
        found.truncate(8);
        assert_eq!(found, offers, "{text}");
    }
}

#[test]
fn a_number_alone_is_in_the_unit_asked_for_and_the_answer_says_so() {
    let results = read(&demo());
    for (asked, line, torque_nm) in [
        (json!({"job": "650"}), "Read as 650 N·m.", 650.0),
        (
            json!({"job": "97,5", "units": "n-m"}),
            "Read as 97.5 N·m.",
            97.5,
        ),
        (
            json!({"job": "480", "units": "lbf-ft", "condition": 1.5}),
            "Read as 480 lbf·ft.",
            480.0 * POUND_FOOT_NM,
        ),
    ] {
        let mut asked = asked;
        asked["tool"] = json!("sorrel-18-medium");
        let answer = ask(&results, asked);
        assert!(
            answer.lines.iter().any(|said| said == line),
            "{:?}",
            answer.lines
        );
        assert!(near(answer.job_torque_nm, torque_nm));
    }
    let answer = ask(&results, json!({"job": "650 N·m"}));
    assert!(!answer.lines.iter().any(|said| said.starts_with("Read as")));
}

#[test]
fn a_range_is_judged_by_its_larger_figure_and_shown_as_written() {
    let results = read(&demo());
    let answer = ask(&results, json!({"job": "97,5-110,5 Nm"}));
    assert_eq!(answer.required_torque_nm, 110.5);
    let line = "This job is 97.5 to 110.5 N·m. We judge by the larger figure.";
    assert!(
        answer.rests_on.iter().any(|said| said == line),
        "{:?}",
        answer.rests_on
    );
    let answer = ask(&results, json!({"job": "110-90", "units": "lbf-ft"}));
    let line = "This job is 90 to 110 lbf·ft. We judge by the larger figure.";
    assert!(
        answer.rests_on.iter().any(|said| said == line),
        "{:?}",
        answer.rests_on
    );
}

#[test]
fn what_is_offered_says_its_torque_and_its_factor() {
    let results = read(&demo());
    let told = |text: &str, more: Value| {
        let mut asked = more;
        asked["job"] = text.into();
        let (message, offers) = refused(&results, &asked);
        let told = offers
            .iter()
            .map(|offer| (offer.name.clone(), offer.torque.clone()));
        (message, told.collect::<Vec<_>>())
    };
    let pair = |name: &str, torque: &str| (name.to_owned(), torque.to_owned());
    let (message, offers) = told("rusty M22x1.5", json!({}));
    assert_eq!(
        message,
        "Aged: we would allow 1.5 times the torque. Which one is it?"
    );
    assert_eq!(offers[1], pair("M22x1.5 10.9", "913 N·m times 1.5"));
    // A factor is for loosening alone.
    let (message, offers) = told("rusty M22x1.5", json!({"direction": "tighten"}));
    assert!(
        message.starts_with("Which class or grade?") || !message.contains("1.5 times"),
        "{message}"
    );
    assert_eq!(offers[1], pair("M22x1.5 10.9", "913 N·m"));
    let (message, offers) = told("480 lbs", json!({}));
    assert_eq!(
        message,
        "\"480 lbs\" is no torque yet. Which one do you mean?"
    );
    assert_eq!(
        offers,
        [pair("480 lbf·ft", ""), pair("480 lbf·in", "40 lbf·ft")]
    );
    let (message, offers) = told("1.234 Nm", json!({}));
    assert_eq!(
        message,
        "Is that 1234 or 1.234? Write 1234 plain, or use one or two decimals."
    );
    assert_eq!(
        offers,
        [pair("1234 N·m", "1,234 N·m"), pair("1.2340 N·m", "")]
    );
    let (message, offers) = told("19mm socket", json!({}));
    assert_eq!(
        message,
        "That is the older width of M12. Which class is it?"
    );
    assert_eq!(offers[1], pair("M12 10.9", "126 N·m"));
    let (message, _) = told("size 18", json!({}));
    assert_eq!(message, "That width fits M12. Which class or grade is it?");
    let (message, offers) = told("16 mm", json!({}));
    assert!(
        message.starts_with("Is that the width of the nut or the thread?"),
        "{message}"
    );
    let names: Vec<&str> = offers.iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(
        names,
        [
            "M10 8.8", "M10 10.9", "M10 12.9", "M16 8.8", "M16 10.9", "M16 12.9"
        ]
    );
    let (_, offers) = told(
        "truck wheel",
        json!({"units": "lbf-ft", "direction": "tighten"}),
    );
    assert_eq!(
        offers[0],
        pair("Heavy-truck wheel nut, hub-piloted", "450 to 501 lbf·ft")
    );
}

#[test]
fn nothing_is_offered_that_would_be_another_torque() {
    let results = read(&demo());
    for text in [
        "650 kN·m",
        "650 N·cm",
        "650 kg·cm",
        "650 J",
        "tractor",
        "M64",
        "30000 N·m",
        "",
        " ",
    ] {
        let (message, offers) = refused(&results, &json!({"job": text}));
        assert!(
            offers.is_empty() && !message.is_empty(),
            "{text}: {offers:?}"
        );
    }
}
