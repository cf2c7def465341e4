//! Doubts about the papers: what stamps of logs say, what is listed, what stands alone.

use super::super::columns::RUNS;
use super::super::fingerprint::fingerprint;
use super::super::raw_logs::FOLDER;
use super::super::unbundled;
use super::doubt::{Doubt, Subject, UNNAMED_LOGS};
use super::evidence::{Evidence, RunEvidence, about};
use super::facts::{first_names, one_day_only, one_unit_only};
use super::log_names;
use super::stamps::{dates, day_number};
use crate::dataset::types::Specimen;
use std::collections::BTreeMap;
use std::io::Read;

/// How many bytes at the beginning of a log are searched for dates.
const SEARCHED: u64 = 16_384;

/// A price so many days after every edition and every run has a wrong date, most likely.
const FAR_DAYS: i64 = 92;

/// Fewest groups of runs among which a lone run is strange …
const LEAST_GROUPS: usize = 10;

/// … and the largest part of them that may be lone: beyond it, single runs are the bench's way.
const LONE_PART: f64 = 0.1;

/// Every such doubt.
pub fn doubts(evidence: &Evidence) -> Vec<Doubt> {
    let mut doubts = log_names::doubts(evidence);
    doubts.extend(stamps(evidence));
    doubts.extend(changed_logs(evidence));
    doubts.extend(lone_runs(evidence));
    doubts.extend(unlisted(evidence));
    doubts.extend(prices(evidence));
    doubts.extend(one_day_only(evidence));
    doubts.extend(one_unit_only(evidence));
    doubts.extend(unnamed_logs(evidence));
    doubts
}

/// Logs whose own stamps are of another day. A logger whose stamps mostly disagree stamps something
/// else, such as its own calibration.
fn stamps(evidence: &Evidence) -> Vec<Doubt> {
    let Some((folder, _)) = evidence.folder else {
        return Vec::new();
    };
    let mut stamped: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    let logs = evidence.runs.iter().filter_map(|run| run.log.as_ref());
    // To open a pipe is to wait for who writes to it.
    for log in logs.filter(|log| folder.join(FOLDER).join(log).is_file()) {
        stamped.entry(log).or_insert_with(|| {
            let mut bytes = Vec::new();
            let read = std::fs::File::open(folder.join(FOLDER).join(log))
                .and_then(|file| file.take(SEARCHED).read_to_end(&mut bytes));
            // A log that cannot be read is a problem already. UTF-16 has a zero in every ASCII character.
            bytes.retain(|byte| *byte != 0);
            match read {
                Ok(_) => dates(&String::from_utf8_lossy(&bytes)),
                Err(_) => Vec::new(),
            }
        });
    }
    let mut of_loggers: BTreeMap<Option<usize>, (usize, usize)> = BTreeMap::new();
    let mut differing = Vec::new();
    for (at, run) in evidence.runs.iter().enumerate() {
        let dates = run.log.as_ref().and_then(|log| stamped.get(log.as_str()));
        let (Some(dates), Some(day)) = (dates.filter(|dates| !dates.is_empty()), run.day) else {
            continue;
        };
        let (agreeing, all) = of_loggers.entry(run.logger).or_default();
        *all += 1;
        if dates.contains(&day.date) {
            *agreeing += 1;
        } else {
            differing.push((at, run, dates, day));
        }
    }
    let doubt = |(at, run, dates, day): (
        usize,
        &RunEvidence,
        &Vec<String>,
        &crate::dataset::types::Day,
    )| {
        let (agreeing, all) = of_loggers.get(&run.logger)?;
        (agreeing * 2 >= *all).then(|| {
            about("stamp-differs", run)
                .says(
                    format!(
                        "The date in the log is {}, its day in the notebook is {}",
                        dates.first().map_or("", String::as_str),
                        day.date
                    ),
                    "a stamp of the day in the notebook",
                    "the notebook names the wrong day, the clock of the logger was wrong, or the date of the day is",
                )
                .of_bytes(evidence.fingerprint([at], &[&day.date]))
        })
    };
    differing.into_iter().filter_map(doubt).collect()
}

/// Logs whose bytes are not those whose fingerprint the notebook holds (column `log.sha256`).
fn changed_logs(evidence: &Evidence) -> Vec<Doubt> {
    let Some((folder, bench)) = evidence.folder else {
        return Vec::new();
    };
    let table = bench.sources.tables.get(RUNS.list);
    if table.is_none_or(|table| table.column("log.sha256").is_none()) {
        return Vec::new();
    }
    let doubt = |(at, run): (usize, &RunEvidence)| {
        let log = run.log.as_ref()?;
        let logger = run.logger.and_then(|logger| evidence.loggers.get(logger));
        if logger.is_some_and(|logger| unbundled(&logger.id)) {
            return None;
        }
        let noted = table?.cell(run.row, "log.sha256").to_ascii_lowercase();
        let path = folder.join(FOLDER).join(log);
        let bytes = path.is_file().then(|| std::fs::read(path).ok())??;
        let now = fingerprint(&bytes);
        (!noted.is_empty() && noted != now).then(|| {
            about("log-changed", run)
                .says(
                    format!(
                        "The log has the fingerprint {}…, the notebook says {}…",
                        now.get(..12).unwrap_or_default(),
                        noted.get(..12).unwrap_or(&noted)
                    ),
                    "a log that is never changed",
                    "the log was edited or saved again since it was published",
                )
                .of_bytes(evidence.fingerprint([at], &[&now]))
        })
    };
    let runs = evidence.runs.iter().enumerate();
    runs.filter_map(doubt).collect()
}

/// Runs that stand alone with their tool, pack, setup and specimen, where nearly all others have
/// fellows. Runs set aside count as fellows.
fn lone_runs(evidence: &Evidence) -> Vec<Doubt> {
    let mut groups: BTreeMap<(&str, &str, &str, &str), Vec<usize>> = BTreeMap::new();
    for (at, run) in evidence.runs.iter().enumerate() {
        let specimen = run.run.specimen.as_deref().unwrap_or_default();
        let key = (
            run.run.tool.as_str(),
            run.run.pack.as_str(),
            run.setup,
            specimen,
        );
        groups.entry(key).or_default().push(at);
    }
    let lone = groups.values().filter(|runs| runs.len() == 1);
    let lone: Vec<usize> = lone.flatten().copied().collect();
    if groups.len() < LEAST_GROUPS || lone.len() as f64 > LONE_PART * groups.len() as f64 {
        return Vec::new();
    }
    let doubt = |at: usize| {
        let run = evidence.runs.get(at)?;
        let doubt = about("lone-run", run).says(
            format!(
                "This is the only run of {} with {} in the setup {} with this specimen",
                run.run.tool, run.run.pack, run.setup
            ),
            format!(
                "two runs or more, as in {} of {} such groups",
                groups.len() - lone.len(),
                groups.len()
            ),
            "the notebook names the wrong tool, the wrong pack (or packs were swapped), the wrong setup or specimen",
        );
        Some(doubt.of_bytes(evidence.fingerprint([at], &[])))
    };
    lone.iter().filter_map(|at| doubt(*at)).collect()
}

/// One line about all specimens of tools and units of packs that runs name and nobody listed, where
/// any of that kind are listed.
fn unlisted(evidence: &Evidence) -> Option<Doubt> {
    let specimens = &evidence.dataset.specimens;
    let (mut names, mut first) = (Vec::new(), None);
    for run in &evidence.runs {
        let named = [
            (true, "tool", &run.run.tool, &run.run.specimen),
            (false, "pack", &run.run.pack, &run.run.pack_specimen),
        ];
        for (of_tool, kind, id, specimen) in named {
            let Some(specimen) = specimen else { continue };
            let owner = |listed: &'_ Specimen| {
                let owner = if of_tool { &listed.tool } else { &listed.pack };
                owner.clone()
            };
            let any = specimens.iter().any(|listed| owner(listed).is_some());
            let listed = specimens
                .iter()
                .any(|listed| owner(listed).as_ref() == Some(id) && listed.specimen == *specimen);
            let name = format!("{specimen} of the {kind} {id}");
            if any && !listed && !names.contains(&name) {
                first.get_or_insert(run);
                names.push(name);
            }
        }
    }
    let figure = match names.len() {
        1 => "A specimen that runs name is not listed in specimens.csv".into(),
        count => format!("{count} specimens that runs name are not listed in specimens.csv"),
    };
    Some(
        Doubt::new("unlisted-specimen", Subject::File, "")
            .at(&first?.pointer)
            .says(
                format!("{figure}: {}", first_names(&names)),
                "a row for each, which says how it was got",
                "a row was forgotten, or a mark in the notebook is wrong",
            )
            .of_bytes(evidence.fingerprint([], &[&names.join("\n")])),
    )
}

/// Prices dated long after every edition and every run.
fn prices(evidence: &Evidence) -> Vec<Doubt> {
    let dataset = evidence.dataset;
    let editions = dataset.editions.iter().map(|edition| edition.date.as_str());
    let days = dataset.days.iter().map(|day| day.date.as_str());
    let Some((last, last_day)) = editions
        .chain(days)
        .max()
        .and_then(|last| Some((last, day_number(last)?)))
    else {
        return Vec::new();
    };
    let tools = dataset.tools.iter().enumerate();
    let tools = tools.map(|(at, tool)| (format!("/tools/{at}"), &tool.id, &tool.prices));
    let packs = dataset.packs.iter().enumerate();
    let packs = packs.map(|(at, pack)| (format!("/packs/{at}"), &pack.id, &pack.prices));
    let mut doubts = Vec::new();
    for (pointer, id, prices) in tools.chain(packs) {
        for (at, price) in prices.iter().enumerate() {
            let late = day_number(&price.date).is_some_and(|day| day > last_day + FAR_DAYS);
            if !late {
                continue;
            }
            let bytes = format!("{id} {} {}", price.date, price.amount);
            doubts.push(
                Doubt::new("price-after-editions", Subject::File, id)
                    .at(format!("{pointer}/prices/{at}/date"))
                    .says(
                        format!("A price of {id} is dated {}", price.date),
                        format!("no price long after the last edition and run, {last}"),
                        "the date is wrong, such as a year late, and no edition uses the price",
                    )
                    .of_bytes(evidence.fingerprint([], &[&bytes])),
            );
        }
    }
    doubts
}

/// One line about all logs that no row names.
fn unnamed_logs(evidence: &Evidence) -> Option<Doubt> {
    let (_, bench) = evidence.folder?;
    let names = &bench.unnamed_logs;
    (!names.is_empty()).then(|| {
        let count = match names.len() {
            1 => format!("No row of {} names 1 log", RUNS.file),
            count => format!("No row of {} names {count} logs", RUNS.file),
        };
        Doubt::new(UNNAMED_LOGS, Subject::File, "")
            .says(
                format!(
                    "{count} below {FOLDER}/: {} (`jobtorque gather DIR` adds rows)",
                    first_names(names)
                ),
                "",
                "",
            )
            .of_bytes(evidence.fingerprint([], &[&names.join("\n")]))
            .fact()
    })
}

#[cfg(test)]
mod tests {
    use super::super::tests::Case;
    use crate::dataset::types::{Price, Specimen};

    #[test]
    fn a_specimen_that_nobody_listed_is_told_once() {
        let listed = |marks: &[&str]| {
            let mut case = Case::default();
            case.specimens = marks
                .iter()
                .map(|mark| Specimen {
                    tool: Some("t1".into()),
                    specimen: (*mark).into(),
                    ..Specimen::default()
                })
                .collect();
            for at in [case.all_of(1, 0), case.all_of(1, 1)].concat() {
                case.runs[at].specimen = Some("B".into());
            }
            case.names()
        };
        assert_eq!(listed(&["A", "B"]), [""; 0]);
        assert_eq!(listed(&["A"]), ["unlisted-specimen"]);
    }

    #[test]
    fn a_run_without_fellows_among_pairs_with_some_is_told() {
        let mut case = Case::default();
        let second: Vec<usize> = case.all_of(3, 3)[1..].to_vec();
        let mut at = 0;
        case.runs.retain(|_| {
            at += 1;
            !second.contains(&(at - 1))
        });
        assert_eq!(case.names(), ["lone-run"]);
        // Where all pairs have one run, none is strange.
        let mut case = Case::default();
        let mut seen = Vec::new();
        case.runs.retain(|run| {
            let pair = (run.tool.clone(), run.pack.clone());
            let new = !seen.contains(&pair);
            seen.push(pair);
            new || run.control == Some(true)
        });
        assert!(!case.names().contains(&"lone-run"));
    }

    #[test]
    fn a_price_long_after_everything_is_told() {
        let priced = |date: &str| {
            let mut case = Case::default();
            case.tools[0].prices = vec![Price {
                date: date.into(),
                ..Price::default()
            }];
            case.names()
        };
        assert_eq!(priced("2026-06-01"), [""; 0]);
        assert_eq!(priced("2027-03-01"), ["price-after-editions"]);
    }

    #[test]
    fn what_stands_alone_is_one_fact() {
        let doubts = Case::default().doubts();
        let facts: Vec<&str> = doubts.iter().filter(|d| d.fact).map(|d| d.name).collect();
        assert_eq!(facts, ["one-day-only"]);
        assert_eq!(
            doubts[0].figure.matches(" with ").count(),
            3,
            "{}",
            doubts[0].figure
        );
    }
}
