//! The outcome as Markdown tables.

use crate::campaign::Runs;
use crate::likeness::{Between, Equivalence, MARGINS_PERCENT, of};
use crate::tally::{self, By, Claim, GUESSES, Guess, JUST, Job, LIMITS_S, Rate, Tally, rate};

/// Headings of [`by_kind`].
const KINDS: &str = "all fields | three tools in several specimens | one | none, scatter known";

/// Prints the outcome.
pub fn print(tallies: &[Tally]) {
    let pairs: usize = tallies.iter().map(|tally| tally.pairs).sum();
    println!("{} fields, {pairs} pairs\n", tallies.len());
    places(tallies);
    tenths(tallies);
    holds(tallies);
}

fn places(tallies: &[Tally]) {
    println!("| interval of a place | {KINDS} | places wide |");
    println!("| --- | --- | --- | --- | --- | --- |");
    for claim in tally::places() {
        let rate = rate(tallies.iter(), |other| other == claim);
        let (words, cells) = (place_words(claim), by_kind(tallies, claim));
        println!("| {words} | {cells} | {:.1} |", rate.stated);
    }
    println!();
}

fn place_words(claim: Claim) -> String {
    let Claim::Place(runs, by) = claim else {
        return String::new();
    };
    let runs = match runs {
        Runs::ThreeToFive => "3 to 5 runs",
        Runs::Two => "2 runs",
    };
    match by {
        By::Typical(job) => format!("{runs}, typical run, {}", job_words(job)),
        By::BestOfThree(job) => format!("{runs}, best of three, {}", job_words(job)),
        By::Mean => format!("{runs}, mean torque"),
        By::Early => format!("{runs}, early torque"),
    }
}

fn job_words(job: Job) -> &'static str {
    match job {
        Job::Light => "half of what the weakest pair reaches",
        Job::Easy => "19 in 20 pairs reach it",
        Job::Middle => "half of the pairs reach it",
        Job::Hard => "one pair in ten reaches it",
    }
}

fn tenths(tallies: &[Tally]) {
    println!("| within | stated | happened | tries | answers |");
    println!("| --- | --- | --- | --- | --- |");
    for (limit, limit_s) in LIMITS_S.iter().enumerate() {
        for tenth in 0..10 {
            let rate = rate(tallies.iter(), |claim| claim == Claim::Tenth(limit, tenth));
            let (stated, happened) = (100.0 * rate.stated, percent(&rate));
            let (tries, answers) = (rate.trials, rate.claims);
            println!("| {limit_s} s | {stated:.1} % | {happened} | {tries} | {answers} |");
        }
    }
    println!();
}

fn holds(tallies: &[Tally]) {
    println!("| claim | {KINDS} |");
    println!("| --- | --- | --- | --- | --- |");
    let row = |words: &str, claim| println!("| {words} | {} |", by_kind(tallies, claim));
    for (limit, limit_s) in LIMITS_S.iter().enumerate() {
        row(
            &format!("within reach in {limit_s} s"),
            Claim::WithinReach(limit),
        );
        row(
            &format!("within reach in {limit_s} s, stated below {JUST}"),
            Claim::JustWithinReach(limit),
        );
    }
    row("19-of-20 torque", Claim::NineteenOfTwenty);
}

/// Prints what was said of two that are alike or differ by a margin.
pub fn likeness(tallies: &[Tally]) {
    println!("| said of two | between | margin | share | pairs |");
    println!("| --- | --- | --- | --- | --- |");
    let said = [
        (
            "a match, differing by the margin",
            Equivalence::MatchAtMargin,
        ),
        (
            "one group, differing by the margin",
            Equivalence::GroupAtMargin,
        ),
        ("a match, alike", Equivalence::MatchOfAlike),
        ("one group, alike", Equivalence::GroupOfAlike),
        ("a difference, alike", Equivalence::DifferOfAlike),
        ("the interval holds the true ratio", Equivalence::Interval),
    ];
    for (words, likeness) in said {
        for (between, name) in [(Between::Packs, "packs"), (Between::Tools, "tools")] {
            for (place, margin) in MARGINS_PERCENT.iter().enumerate() {
                let claim = Claim::Alike(between, likeness, place);
                let rate = rate(tallies.iter(), |other| other == claim);
                if rate.trials > 0.0 {
                    let (share, pairs) = (percent(&rate), rate.trials);
                    println!("| {words} | {name} | {margin} % | {share} | {pairs} |");
                }
            }
        }
        let all = of(tallies, likeness, |_| true);
        println!(
            "| {words} | all | all | {} | {} |",
            percent(&all),
            all.trials
        );
    }
}

/// How often a claim came true over all fields, then by how many tools have several specimens.
fn by_kind(tallies: &[Tally], claim: Claim) -> String {
    let of = |replicated: Option<usize>| {
        let fields = tallies
            .iter()
            .filter(|tally| replicated.is_none_or(|wanted| wanted == tally.replicated));
        percent(&rate(fields, |other| other == claim))
    };
    [None, Some(3), Some(1), Some(0)].map(of).join(" | ")
}

/// Prints the outcome of estimates.
pub fn estimates(tallies: &[Tally]) {
    let of = |claim: Claim| rate(tallies.iter(), |other| other == claim);
    let estimates = of(Claim::Band(Guess::Estimate, 0)).claims;
    println!("{} fields, {estimates} pairs left out\n", tallies.len());
    println!("| guess | off, 5 s | 1 s | 0.4 s | band about it holds, 5 s | 1 s | 0.4 s |");
    println!("| --- | --- | --- | --- | --- | --- | --- |");
    for guess in GUESSES {
        let off = [0, 1, 2].map(|limit| of(Claim::Off(guess, limit)).stated.sqrt());
        let off = off.map(|off| format!("{:.2} %", 100.0 * off)).join(" | ");
        let held = [0, 1, 2].map(|limit| percent(&of(Claim::Band(guess, limit))));
        println!("| {guess:?} | {off} | {} |", held.join(" | "));
    }
    println!();
    println!("| within | stated | happened | tries | answers |");
    println!("| --- | --- | --- | --- | --- |");
    for (limit, limit_s) in LIMITS_S.iter().enumerate() {
        for tenth in 0..10 {
            let rate = of(Claim::EstimatedTenth(limit, tenth));
            let (stated, happened) = (100.0 * rate.stated, percent(&rate));
            let (tries, answers) = (rate.trials, rate.claims);
            println!("| {limit_s} s | {stated:.1} % | {happened} | {tries} | {answers} |");
        }
    }
    println!("\n| claim | {KINDS} |");
    println!("| --- | --- | --- | --- | --- |");
    let row = |words: &str, claim| println!("| {words} | {} |", by_kind(tallies, claim));
    for (limit, limit_s) in LIMITS_S.iter().enumerate() {
        let within = format!("estimated within reach in {limit_s} s");
        row(&within, Claim::EstimatedWithinReach(limit));
        row(
            &format!("{within}, stated below {JUST}"),
            Claim::EstimatedJustWithinReach(limit),
        );
        row(
            &format!("band at {limit_s} s"),
            Claim::Band(Guess::Estimate, limit),
        );
    }
    row("19-of-20 torque", Claim::EstimatedNineteenOfTwenty);
}

fn percent(rate: &Rate) -> String {
    format!("{:.1} ± {:.1} %", rate.percent, rate.se)
}
