//! The runs behind a pair in words.

mod places;
mod products;

use super::data::{CheckBehind, DayBehind, RunBehind, RunGroup, RunsBehind, WordedRuns};
use crate::contents::words::{calibration, factor, noted};
use crate::dataset::types::{Dataset, Edition};
use crate::text::catalogue::Catalogue;
use crate::text::number::{self, Figure};
use crate::text::passage::Passage;
use crate::text::specimen::{self, Kind};
use crate::text::{given_time, percent, time, torque, warning, whole_torque};
use crate::units::{Duration, Torque, TorqueUnit};

/// What the words of a pair's runs need beside their figures.
#[derive(Clone, Copy, Debug)]
pub struct RunsWording<'a> {
    /// The language.
    pub catalogue: &'a Catalogue,
    /// The unit of every torque.
    pub unit: TorqueUnit,
    /// Where the runs stand.
    pub dataset: &'a Dataset,
}

/// The columns: key of the heading, and whether they are there without a job.
const COLUMNS: [(&str, bool); 5] = [
    ("runs.run", true),
    ("runs.time", false),
    ("runs.peak", true),
    ("runs.mean", true),
    ("runs.largest", true),
];

impl RunsWording<'_> {
    /// The runs in words.
    pub fn worded(&self, behind: &RunsBehind) -> WordedRuns {
        let job = behind.required_torque_nm.is_some();
        let columns = COLUMNS.iter().filter(|(_, always)| *always || job);
        let none = behind.runs.iter().all(|run| run.set_aside.is_some());
        let (counted, set_aside) = self.groups(behind, job);
        let passages = [
            ("runs.section.days", self.days(behind)),
            ("runs.section.corrections", self.corrections(behind)),
            ("runs.section.places", self.places(behind)),
            ("runs.section.checks", self.checks(behind)),
            ("runs.section.products", self.products(behind)),
        ];
        WordedRuns {
            notice: crate::text::notice(self.catalogue, self.dataset),
            none: none.then(|| {
                let edition = behind.edition.to_string();
                self.fill("runs.none", &[("edition", &edition)])
            }),
            headings: columns.map(|(key, _)| self.fill(key, &[])).collect(),
            counted,
            set_aside,
            passages: passages
                .into_iter()
                .filter_map(|(heading, lines)| self.passage(heading, lines))
                .collect(),
            stated: self.passage("runs.section.stated", self.stated(behind)),
        }
    }

    fn fill(&self, key: &str, values: &[(&str, &str)]) -> String {
        self.catalogue.fill(key, values)
    }

    fn torque(&self, torque_nm: f64) -> String {
        torque(self.catalogue, torque_nm, self.unit)
    }

    /// Lines under a heading, if there are any.
    fn passage(&self, heading: &str, lines: Vec<String>) -> Option<Passage> {
        (!lines.is_empty()).then(|| Passage {
            heading: self.fill(heading, &[]),
            lines,
        })
    }

    /// Runs that count and runs that are set aside, each by day, tool and pack.
    fn groups(&self, behind: &RunsBehind, job: bool) -> (Vec<RunGroup>, Vec<RunGroup>) {
        let mut groups = (Vec::new(), Vec::new());
        let numbered: Vec<(usize, &RunBehind)> = (1..).zip(&behind.runs).collect();
        for together in numbered.chunk_by(|(_, a), (_, b)| are_together(a, b)) {
            let Some((_, first)) = together.first() else {
                continue;
            };
            let rows = together
                .iter()
                .map(|(n, run)| self.row(*n, run, job))
                .collect();
            let group = RunGroup {
                title: self.title(behind, first),
                rows,
                lines: together
                    .iter()
                    .flat_map(|(n, run)| self.remarks(*n, run))
                    .collect(),
            };
            if first.set_aside.is_none() {
                groups.0.push(group);
            } else {
                groups.1.push(group);
            }
        }
        groups
    }

    /// Which day, which tool, which pack, since which edition.
    fn title(&self, behind: &RunsBehind, run: &RunBehind) -> String {
        let marked = |kind, id: &str, mark: &Option<String>| {
            specimen::marked(
                self.catalogue,
                &self.dataset.specimens,
                kind,
                id,
                mark.as_deref(),
            )
        };
        let mut parts = vec![self.catalogue.date(&run.date)];
        parts.extend(marked(Kind::Tool, &behind.tool, &run.specimen));
        parts.extend(marked(Kind::Pack, &behind.pack, &run.pack_specimen));
        let draft = self.edition(run.edition).is_some_and(Edition::is_draft);
        parts.push(if draft {
            self.fill("draft.run", &[])
        } else {
            let edition = run.edition.to_string();
            self.fill("runs.since", &[("edition", &edition)])
        });
        parts.join("; ")
    }

    /// An edition of the dataset by its number.
    fn edition(&self, number: u32) -> Option<&Edition> {
        let mut editions = self.dataset.editions.iter();
        editions.find(|edition| edition.edition == number)
    }

    fn row(&self, number: usize, run: &RunBehind, job: bool) -> Vec<String> {
        let style = &self.catalogue.number;
        let largest = Torque::from_newton_metres(run.largest_sample_nm);
        let largest = number::largest_sample(largest, self.unit, style);
        let mut cells = vec![number::count(number as u64, style)];
        if job {
            cells.push(match run.time_to_job_s {
                Some(time_s) => self.catalogue.quantity(
                    &number::time_table(Duration::from_seconds(time_s), style),
                    &self.catalogue.units.second,
                ),
                None => self.fill("table.not_reached", &[]),
            });
        }
        cells.push(self.torque(run.peak_torque_nm));
        cells.push(self.torque(run.mean_torque_nm));
        cells.push(crate::text::with_unit(self.catalogue, &largest, self.unit));
        cells
    }

    /// What is to be said of a run.
    fn remarks(&self, number: usize, run: &RunBehind) -> Vec<String> {
        let number = number::count(number as u64, &self.catalogue.number);
        let mut remarks = Vec::new();
        if let Some(aside) = &run.set_aside {
            let edition = aside.edition.to_string();
            let values = [
                ("n", number.as_str()),
                ("edition", &edition),
                ("reason", &aside.reason),
            ];
            remarks.push(self.fill("runs.set_aside", &values));
        }
        if run.short {
            remarks.push(self.fill("runs.short", &[("n", &number)]));
        }
        if run.no_quiet {
            remarks.push(self.fill("runs.no_quiet", &[("n", &number)]));
        }
        let log = run.log_file.iter().chain(&run.log_sha256);
        let log: Vec<&str> = log.map(String::as_str).collect();
        if !log.is_empty() {
            remarks.push(self.fill("runs.log", &[("n", &number), ("file", &log.join(", "))]));
        }
        remarks
    }

    fn days(&self, behind: &RunsBehind) -> Vec<String> {
        behind.days.iter().map(|day| self.day(day)).collect()
    }

    fn day(&self, day: &DayBehind) -> String {
        let date = self.catalogue.date(&day.date);
        let mut said = vec![match day.ambient_c {
            Some(ambient_c) => {
                let temperature = number::given(ambient_c, &self.catalogue.number);
                let values = [("date", date.as_str()), ("temperature", &temperature)];
                self.fill("runs.day_ambient", &values)
            }
            None => self.fill("runs.day", &[("date", &date)]),
        }];
        said.push(match &day.calibrated {
            Some(calibrated) => calibration(
                self.catalogue,
                calibrated,
                day.expanded_uncertainty_percent,
                day.coverage_factor.unwrap_or_default(),
            ),
            None => self.fill("warning.no_calibration", &[]),
        });
        for correction in &day.corrections {
            let edition = correction.edition.to_string();
            said.extend(factor(
                self.catalogue,
                correction.torque_factor,
                ["runs.lowered", "runs.raised"],
                ("edition", &edition),
            ));
        }
        if day.suspect == Some(true) {
            said.push(warning::suspect_day(self.catalogue, &day.date));
        }
        if let Some(note) = &day.note {
            said.push(noted(self.catalogue, note));
        }
        if let Some(operator) = &day.operator {
            said.push(self.fill("runs.operator", &[("operator", operator)]));
        }
        said.join(" ")
    }

    /// Corrections up to the edition shown that name the tool or a day of the pair.
    fn corrections(&self, behind: &RunsBehind) -> Vec<String> {
        let editions = self.dataset.editions.iter();
        let until = editions.filter(|edition| edition.edition <= behind.edition);
        let all = until.flat_map(|edition| {
            let corrections = edition.corrections.iter();
            corrections.map(|correction| (edition.edition, correction))
        });
        let days = |id: &String| behind.days.iter().any(|day| &day.day == id);
        all.filter(|(_, correction)| {
            correction.tools.contains(&behind.tool) || correction.days.iter().any(days)
        })
        .map(|(edition, correction)| {
            let edition = edition.to_string();
            let values = [("edition", edition.as_str()), ("text", &correction.text)];
            self.fill("runs.correction", &values)
        })
        .collect()
    }

    /// Real fasteners beside what the runs say of them.
    fn checks(&self, behind: &RunsBehind) -> Vec<String> {
        let mut lines: Vec<String> = behind
            .field_checks
            .iter()
            .map(|check| self.check(check))
            .collect();
        if !lines.is_empty() {
            lines.push(self.fill("runs.checks_help", &[]));
        }
        lines
    }

    fn check(&self, check: &CheckBehind) -> String {
        let installed = check
            .installed_nm
            .map(|torque_nm| whole_torque(self.catalogue, torque_nm, self.unit));
        let mut what = Vec::new();
        what.extend(check.date.as_ref().map(|date| self.catalogue.date(date)));
        what.extend(check.fastener.clone());
        what.extend(check.state.clone());
        what.extend(
            installed
                .as_ref()
                .map(|torque| self.fill("runs.check_installed", &[("torque", torque)])),
        );
        let tried = check
            .tried_s
            .map(|tried_s| given_time(self.catalogue, tried_s));
        let key = match (check.came_loose, &tried) {
            (Some(true), Some(_)) => Some("runs.check_loose_in"),
            (Some(true), None) => Some("runs.check_loose"),
            (Some(false), Some(_)) => Some("runs.check_fast_in"),
            (Some(false), None) => Some("runs.check_fast"),
            (None, _) => None,
        };
        let mut said = vec![self.fill("runs.check", &[("what", &what.join(", "))])];
        let tried = tried.unwrap_or_default();
        said.extend(key.map(|key| self.fill(key, &[("time", &tried)])));
        if let (Some(torque), Some(end_nm)) = (&installed, check.typical_end_nm) {
            said.push(match check.typical_time_s {
                Some(time_s) => {
                    let time = time(self.catalogue, time_s);
                    self.fill("runs.check_typical", &[("torque", torque), ("time", &time)])
                }
                None => {
                    let end = self.torque(end_nm);
                    self.fill("runs.check_short", &[("torque", torque), ("end", &end)])
                }
            });
        }
        said.join(" ")
    }

    /// The maker's figures beside ours.
    fn stated(&self, behind: &RunsBehind) -> Vec<String> {
        let Some(peak_nm) = behind.peak_torque_nm else {
            return Vec::new();
        };
        let peak = Torque::from_newton_metres(peak_nm);
        let peak = Figure::torque(peak, self.unit, number::RoundingDirection::Nearest);
        let line = |key: &str, stated_nm: Option<f64>| {
            let stated_nm = stated_nm?;
            let stated = Torque::from_newton_metres(stated_nm);
            let stated = Figure::needed_torque(stated, self.unit);
            let (peak, stated) = number::told_apart(&peak, &stated, &self.catalogue.number);
            let unit = |number: &str| crate::text::with_unit(self.catalogue, number, self.unit);
            let values = [
                ("torque", unit(&stated)),
                ("peak", unit(&peak)),
                (
                    "percent",
                    percent(self.catalogue, 100.0 * peak_nm / stated_nm),
                ),
            ];
            let values = values.each_ref().map(|(name, text)| (*name, text.as_str()));
            Some(self.fill(key, &values))
        };
        let mut lines = Vec::new();
        lines.extend(line("stated.tightening", behind.stated_tightening_nm));
        lines.extend(line("stated.loosening", behind.stated_loosening_nm));
        if !lines.is_empty() {
            lines.push(self.fill("stated.makers", &[]));
        }
        lines
    }
}

/// Whether two runs have day, tool, pack and edition in common, and both count or do not.
fn are_together(a: &RunBehind, b: &RunBehind) -> bool {
    (
        a.set_aside.is_some(),
        &a.day,
        &a.specimen,
        &a.pack_specimen,
        a.edition,
    ) == (
        b.set_aside.is_some(),
        &b.day,
        &b.specimen,
        &b.pack_specimen,
        b.edition,
    )
}
