//! Whatever is done to a dataset, reading and asking come back: with answers, or with problems that
//! have a place in the text.

#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)]

mod mutate;
mod sane;

use jobtorque::problem::Problems;
use jobtorque::results::Results;
use jobtorque::text::catalogue::Catalogue;
use rand_pcg::Pcg32;
use rand_pcg::rand_core::Rng;
use serde_json::Value;

const HEALTHY: &str = include_str!("../cases/healthy.json");

fn read(bytes: &[u8]) -> Result<Results, Problems> {
    thread_local! {
        static ENGLISH: Catalogue =
            serde_json::from_str(include_str!("../../www/texts/en.json")).unwrap();
    }
    Results::read(bytes, ENGLISH.with(Clone::clone))
}

/// Reads a changed text. If it is read, every answer must be sane; if not, every problem must have a
/// place within the text, in rising order.
fn survives(text: &[u8]) -> bool {
    match read(text) {
        Ok(results) => {
            let text = str::from_utf8(text).unwrap();
            if let Err(fault) = sane::faults(text.trim_start_matches('\u{feff}'), &results) {
                panic!("{fault}\n{text}");
            }
            true
        }
        Err(problems) => {
            let shown = || String::from_utf8_lossy(text).into_owned();
            assert!(!problems.is_empty(), "{}", shown());
            let ends = text.iter().filter(|byte| matches!(byte, b'\n' | b'\r'));
            let lines = ends.count() as u32 + 1;
            for problem in problems.iter() {
                assert!(
                    problem.line.is_some_and(|line| (1..=lines).contains(&line)),
                    "{problem}\n{}",
                    shown()
                );
                assert!(
                    problem.column.is_some_and(|column| column >= 1),
                    "{problem}\n{}",
                    shown()
                );
            }
            assert!(
                problems.is_sorted_by_key(|problem| (problem.line, problem.column)),
                "{}",
                shown()
            );
            false
        }
    }
}

/// A number from 0 to below `end`.
pub fn below(rng: &mut Pcg32, end: usize) -> usize {
    rng.next_u32() as usize % end
}

#[test]
fn a_walk_of_random_changes_never_panics() {
    const STEPS: usize = 8_000;
    const MOST_CHANGES: usize = 6;
    const SIGNS: &[u8] = b"{}[]\",:.-+eE0123456789 ntfu\\\n\x00\x7f\xc3\xff";
    let mut rng = Pcg32::new(0x6a6f_6274, 1);
    let mut text = HEALTHY.as_bytes().to_vec();
    let mut healthy = 0;
    for step in 0..STEPS {
        if step % MOST_CHANGES == 0 {
            text = HEALTHY.as_bytes().to_vec();
        }
        let at = below(&mut rng, text.len() + 1);
        let to = text.len().min(at + below(&mut rng, 40));
        match below(&mut rng, 8) {
            0 => text.truncate(at),
            1 => drop(text.drain(at..to)),
            2 => {
                let copied = text[at..to].to_vec();
                let into = below(&mut rng, text.len() + 1);
                text.splice(into..into, copied);
            }
            3 => text.insert(at, SIGNS[below(&mut rng, SIGNS.len())]),
            4 => text.insert(at, rng.next_u32() as u8),
            _ if at < text.len() => text[at] = SIGNS[below(&mut rng, SIGNS.len())],
            _ => {}
        }
        healthy += usize::from(survives(&text));
    }
    assert!(
        healthy > STEPS / 100,
        "{healthy} of {STEPS} were read: the walk leaves the format at once"
    );
}

/// Where the numbers of a text stand.
fn numbers(text: &str) -> Vec<std::ops::Range<usize>> {
    let mut found = Vec::new();
    let mut quoted = false;
    let mut start = None;
    for (at, byte) in text.bytes().enumerate() {
        quoted ^= byte == b'"';
        let of_number = !quoted && (byte.is_ascii_digit() || b".-+eE".contains(&byte));
        match (of_number && byte != b'e', start) {
            (true, None) => start = Some(at),
            (false, Some(from)) => {
                found.push(from..at);
                start = None;
            }
            _ => {}
        }
    }
    found
}

#[test]
fn every_number_may_be_any_number() {
    const NASTY: [&str; 28] = [
        "0.9",
        "10",
        "50",
        "100",
        "0",
        "-0",
        "-1",
        "1",
        "2",
        "0.5",
        "1e-320",
        "1e-9",
        "1e9",
        "1e300",
        "-1e300",
        "1e999",
        "65535",
        "1000000",
        "-1000000",
        "2147483647",
        "-2147483648",
        "4294967295",
        "1000000000000000",
        "-1000000000000000",
        "9223372036854775807",
        "-9223372036854775808",
        "18446744073709551615",
        "99999999999999999999",
    ];
    let places = numbers(HEALTHY);
    assert!(places.len() > 80, "{}", places.len());
    let mut healthy = 0;
    for place in &places {
        for number in NASTY {
            let mut text = HEALTHY.to_owned();
            text.replace_range(place.clone(), number);
            healthy += usize::from(survives(text.as_bytes()));
        }
    }
    // Two at a time meet in sums and differences.
    let mut rng = Pcg32::new(0x6a6f_6274, 2);
    for _ in 0..3_000 {
        let mut text = HEALTHY.to_owned();
        let mut pair = [below(&mut rng, places.len()), below(&mut rng, places.len())];
        pair.sort_unstable();
        for place in pair.iter().rev() {
            text.replace_range(places[*place].clone(), NASTY[below(&mut rng, NASTY.len())]);
        }
        healthy += usize::from(survives(text.as_bytes()));
    }
    assert!(healthy > 500, "{healthy} were read: too few reach the sums");
}

#[test]
fn every_value_may_be_of_any_kind() {
    for value in [
        "null",
        "true",
        "\"\"",
        "[]",
        "{}",
        "[null]",
        "[[]]",
        "[{}]",
        "{\"id\": \"alder\"}",
    ] {
        let document: Value = serde_json::from_str(HEALTHY).unwrap();
        let replacement: Value = serde_json::from_str(value).unwrap();
        for pointer in pointers(&document, String::new()) {
            let mut changed = document.clone();
            *changed.pointer_mut(&pointer).unwrap() = replacement.clone();
            survives(serde_json::to_string_pretty(&changed).unwrap().as_bytes());
        }
    }
}

/// Pointers to every value in a document.
pub fn pointers(value: &Value, at: String) -> Vec<String> {
    let inner: Vec<String> = match value {
        Value::Object(members) => members
            .iter()
            .flat_map(|(key, value)| pointers(value, format!("{at}/{key}")))
            .collect(),
        Value::Array(elements) => elements
            .iter()
            .enumerate()
            .flat_map(|(i, value)| pointers(value, format!("{at}/{i}")))
            .collect(),
        _ => Vec::new(),
    };
    std::iter::once(at).chain(inner).collect()
}

/// Changes small datasets in `count` ways, a few changes at a time, from a given beginning; how many
/// of them are read, and what is not sane of those that are.
fn walk(beginning: u64, count: usize) -> (usize, Vec<String>) {
    let bases = mutate::bases();
    let mut rng = Pcg32::new(beginning, 3);
    let (mut accepted, mut faults) = (0, Vec::new());
    for _ in 0..count {
        let mut document = bases[below(&mut rng, bases.len())].clone();
        for _ in 0..=below(&mut rng, 3) {
            mutate::change(&mut document, &mut rng);
        }
        let text = document.to_string();
        let Ok(results) = read(text.as_bytes()) else {
            continue;
        };
        accepted += 1;
        if let Err(fault) = sane::faults(&text, &results) {
            faults.push(format!("{fault}\n{text}"));
        }
    }
    (accepted, faults)
}

#[test]
fn the_bases_are_read_and_sane() {
    for base in mutate::bases() {
        assert!(survives(base.to_string().as_bytes()), "{base}");
    }
}

#[test]
fn whatever_is_accepted_of_changed_datasets_answers_sanely_and_is_published() {
    let (accepted, faults) = walk(1, 1_500);
    assert!(
        faults.is_empty(),
        "{} faults, first: {}",
        faults.len(),
        faults[0]
    );
    assert!(accepted > 400, "{accepted}");
}

/// The same of 100,000 changed datasets, on two threads.
#[test]
#[ignore = "takes minutes"]
fn whatever_is_accepted_of_100_000_changed_datasets_answers_sanely_and_is_published() {
    let walks = [11, 12].map(|beginning| std::thread::spawn(move || walk(beginning, 50_000)));
    let (mut accepted, mut faults) = (0, Vec::new());
    for done in walks {
        let (read, found) = done.join().unwrap();
        accepted += read;
        faults.extend(found);
    }
    println!("{accepted} of 100,000 accepted, {} not sane", faults.len());
    for fault in faults.iter().take(20) {
        println!("{}\n", fault.chars().take(3_000).collect::<String>());
    }
    assert!(faults.is_empty());
    assert!(accepted > 20_000, "{accepted}");
}
