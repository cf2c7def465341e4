//! The outcome of all scenarios as tables.

use super::scenario::{MARGIN_PERCENT, Scenario};
use crate::likeness::{Between, Equivalence};
use crate::tally::{By, Claim, Compared, Job, Rate, Tally, rate};

/// The fewest answers by which a tenth is judged.
pub const LEAST_ANSWERS: f64 = 200.0;

/// A scenario and its fields.
pub struct Outcome {
    /// The scenario.
    pub scenario: Scenario,
    /// Its fields.
    pub tallies: Vec<Tally>,
}

impl Outcome {
    /// How often a claim came true.
    pub fn of(&self, wanted: Claim) -> Rate {
        rate(self.tallies.iter(), |claim| claim == wanted)
    }

    /// Intervals of ranks for all jobs.
    pub fn jobs(&self) -> Rate {
        rate(self.tallies.iter(), |claim| {
            matches!(claim, Claim::Place(_, By::Typical(_)))
        })
    }

    /// Intervals of ranks by mean torque.
    pub fn by_mean(&self) -> Rate {
        rate(self.tallies.iter(), |claim| {
            matches!(claim, Claim::Place(_, By::Mean))
        })
    }

    /// Intervals of a ratio.
    pub fn ratio(&self, compared: Compared) -> Rate {
        self.of(Claim::Ratio(compared))
    }

    /// What was said and came true in every tenth that has answers enough.
    pub fn tenths(&self) -> impl Iterator<Item = Rate> {
        let all = (0..10).map(|tenth| self.of(Claim::Tenth(0, tenth)));
        all.filter(|rate| rate.claims >= LEAST_ANSWERS)
    }

    /// The tenth in which what came true is farthest from what was said.
    pub fn farthest(&self) -> Option<Rate> {
        let off = |rate: &Rate| off_points(rate).abs();
        self.tenths().max_by(|a, b| off(a).total_cmp(&off(b)))
    }

    /// Packs that differ by exactly the margin, called a match.
    pub fn matches(&self) -> Rate {
        let claim = Claim::Alike(Between::Packs, Equivalence::MatchAtMargin, 0);
        self.of(claim)
    }
}

/// By how many points what came true is above what was said.
fn off_points(rate: &Rate) -> f64 {
    rate.percent - 100.0 * rate.stated
}

/// Prints the outcome.
pub fn print(outcomes: &[Outcome]) {
    holds(outcomes);
    chances(outcomes);
    jobs(outcomes);
    matches(outcomes);
    rows_of_page(outcomes);
}

fn holds(outcomes: &[Outcome]) {
    println!(
        "In per cent: how often the 90 % interval holds the true value (half its width in per cent, or \
         the places it spans); how often a further try holds the 19-of-20 torque; the largest distance \
         of a chance from what came true, in points.\n"
    );
    println!(
        "| field | packs as tested | packs of their kinds | tools of their kinds | rank by mean \
         torque | rank for three jobs | 19 of 20 | off |"
    );
    println!("| --- | --- | --- | --- | --- | --- | --- | --- |");
    for outcome in outcomes {
        let ratio = |compared| wide(&outcome.ratio(compared));
        println!(
            "| {} | {} | {} | {} | {} | {} | {} | {} |",
            outcome.scenario.name,
            ratio(Compared::PacksAsTested),
            ratio(Compared::PacksOfKinds),
            ratio(Compared::ToolsOfKinds),
            wide(&outcome.by_mean()),
            wide(&outcome.jobs()),
            share(&outcome.of(Claim::NineteenOfTwenty)),
            off(outcome)
        );
    }
    println!();
}

fn off(outcome: &Outcome) -> String {
    outcome.farthest().map_or_else(String::new, |rate| {
        let (points, said) = (off_points(&rate), 100.0 * rate.stated);
        format!("{points:+.1} ± {:.1} at {said:.0}", rate.se)
    })
}

fn chances(outcomes: &[Outcome]) {
    println!("Chance of reach within the window, in per cent: said, and came true.\n");
    println!("| field | said | came true | answers |");
    println!("| --- | --- | --- | --- |");
    for outcome in outcomes {
        for rate in outcome.tenths() {
            let (said, name) = (100.0 * rate.stated, outcome.scenario.name);
            println!(
                "| {name} | {said:.1} | {} | {} |",
                share(&rate),
                rate.claims
            );
        }
    }
    println!();
}

fn jobs(outcomes: &[Outcome]) {
    println!("Rank intervals for each job, in per cent (places).\n");
    println!("| field | 19 in 20 pairs reach it | half of them | one in ten |");
    println!("| --- | --- | --- | --- |");
    for outcome in outcomes {
        let cells = [Job::Easy, Job::Middle, Job::Hard].map(|job| {
            let of_job = rate(
                outcome.tallies.iter(),
                |claim| matches!(claim, Claim::Place(_, By::Typical(own)) if own == job),
            );
            wide(&of_job)
        });
        println!("| {} | {} |", outcome.scenario.name, cells.join(" | "));
    }
    println!();
}

fn matches(outcomes: &[Outcome]) {
    println!("Packs that differ by exactly {MARGIN_PERCENT} %, called a match, in per cent.\n");
    println!("| field | called a match | comparisons |");
    println!("| --- | --- | --- |");
    for outcome in outcomes.iter().filter(|outcome| outcome.scenario.at_margin) {
        let called = outcome.matches();
        let (name, count) = (outcome.scenario.name, called.trials);
        println!("| {name} | {} | {count} |", share(&called));
    }
    println!();
}

/// The rows of the page on how it works.
fn rows_of_page(outcomes: &[Outcome]) {
    for outcome in outcomes {
        let ratio = |compared| wide(&outcome.ratio(compared));
        let farthest = outcome.farthest();
        let farthest = farthest.map_or(0.0, |rate| off_points(&rate).abs());
        let cells = [
            ratio(Compared::PacksAsTested),
            ratio(Compared::PacksOfKinds),
            ratio(Compared::ToolsOfKinds),
            wide(&outcome.by_mean()),
            wide(&outcome.jobs()),
            share(&outcome.of(Claim::NineteenOfTwenty)),
            format!("{farthest:.1}"),
        ];
        println!(
            "<tr><th scope=\"row\">{}</th><td>{}</td></tr>",
            outcome.scenario.name,
            cells.join("</td><td>")
        );
    }
    println!();
}

fn share(rate: &Rate) -> String {
    format!("{:.1} ± {:.1}", rate.percent, rate.se)
}

fn wide(rate: &Rate) -> String {
    format!("{} ({:.1})", share(rate), rate.stated)
}
