//! A checked dataset and a text catalogue, every run reduced once: the one door to all answers.
//!
//! [`Results::ask`], [`Results::table`], [`Results::contents`] and [`Results::curves`] are all
//! that the command line, the page and the tests use.

mod asked;
mod contents;
mod field;
mod figures;
mod stock;
mod warnings;

use crate::ask::answer::{Answer, Basis};
use crate::ask::contents::Contents;
use crate::ask::question::{Question, Score};
use crate::ask::table::{Row, Table, WordedTable};
use crate::dataset::check::check;
use crate::dataset::read::Reading;
use crate::dataset::types::{BuildUp, Dataset, Setup};
use crate::problem::Problem;
use crate::ranking::order::{Order, order};
use crate::run::curve::Curve;
use crate::run::measures::Measures;
use crate::run::reduce::{Settings, reduce};
use crate::run::samples::Samples;
use crate::typical::Combination;
use crate::words;
use crate::words::answer::{Wording, reaches};
use crate::words::catalogue::Catalogue;
use crate::words::table::TableWording;
use asked::{Asked, Job};
use field::{Field, Member};
use std::collections::BTreeSet;

/// A dataset ready to answer.
#[derive(Debug)]
pub struct Results {
    /// Checked; its runs without their sample series, which `runs` holds reduced.
    dataset: Dataset,
    catalogue: Catalogue,
    runs: Vec<Reduced>,
}

/// A run of the dataset, reduced and thinned, its references looked up.
#[derive(Debug)]
struct Reduced {
    tool: usize,
    pack: usize,
    setup: usize,
    rig: usize,
    buildup: BuildUp,
    curve: Curve,
    measures: Measures,
}

/// The typical curve of a combination, for drawing.
#[derive(Debug)]
pub struct NamedCurve<'a> {
    /// Name of tool and pack.
    pub label: String,
    /// The runs behind the curve.
    pub combination: Combination<'a>,
    /// Typical time to the job in s.
    pub time_to_job_s: Option<f64>,
}

/// The curves that belong to an answer.
#[derive(Debug)]
pub struct Curves<'a> {
    /// The pair asked for, or the first of the list.
    pub curves: Vec<NamedCurve<'a>>,
    /// Required torque in N·m.
    pub required_torque_nm: f64,
    /// The same as sentences show it.
    pub needed: words::Needed,
    /// Length of a run that counts, in s.
    pub window_s: f64,
}

/// How many curves of a list are drawn.
const CURVES_OF_A_LIST: usize = 3;

impl Results {
    /// Reduces what was read.
    ///
    /// # Errors
    ///
    /// Every problem: those of the reading, those of meaning, and runs whose torque never rises.
    pub fn new(reading: Reading, catalogue: Catalogue) -> Result<Self, Vec<Problem>> {
        let Reading {
            mut dataset,
            gaps,
            mut problems,
        } = reading;
        problems.extend(check(&dataset, &gaps));
        if dataset.setups.is_empty() && gaps.whole("setups") {
            dataset.setups.push(not_described());
        }
        let faulty: BTreeSet<String> = problems
            .iter()
            .map(|problem| element_of(&problem.pointer))
            .collect();
        let mut runs = Vec::with_capacity(dataset.runs.len());
        for place in 0..dataset.runs.len() {
            let pointer = gaps.pointer("runs", place);
            if faulty.contains(&pointer) {
                continue;
            }
            match reduced(&dataset, place) {
                Some(Ok(run)) => runs.push(run),
                Some(Err(())) => problems.push(
                    Problem::new(
                        format!("{pointer}/torque_dnm"),
                        "torque that never rises",
                        "a run",
                    )
                    .hint("set the run aside by leaving it out, or lower \"onset_nm\" of its rig"),
                ),
                // A reference into a list with gaps, whose problems are known.
                None => {}
            }
        }
        if !problems.is_empty() {
            return Err(problems);
        }
        for run in &mut dataset.runs {
            run.time_us = None;
            run.torque_dnm = None;
            run.voltage_mv = None;
            run.current_ma = None;
            run.angle_ddeg = None;
            run.buildup = None;
        }
        Ok(Self {
            dataset,
            catalogue,
            runs,
        })
    }

    /// Reads, checks and reduces the bytes of a dataset.
    ///
    /// # Errors
    ///
    /// Every problem, each with its line and column.
    #[cfg(not(target_arch = "wasm32"))]
    pub fn read(bytes: &[u8], catalogue: Catalogue) -> Result<Self, Vec<Problem>> {
        use crate::dataset::json;
        let text = json::text(bytes)?;
        Self::new(json::parse(text)?, catalogue).map_err(|problems| json::located(text, problems))
    }

    /// The published form of every run, in the file's order.
    pub fn buildups(&self) -> impl Iterator<Item = &BuildUp> {
        self.runs.iter().map(|run| &run.buildup)
    }

    /// The dataset, its runs without series.
    pub fn dataset(&self) -> &Dataset {
        &self.dataset
    }

    /// The text catalogue.
    pub fn catalogue(&self) -> &Catalogue {
        &self.catalogue
    }

    /// What there is to choose from.
    pub fn contents(&self) -> Contents {
        contents::contents(self)
    }

    /// Answers a question about one pair, or lists the pairs that match.
    ///
    /// # Errors
    ///
    /// A problem that names the faulty part of the question, with a message for visitors.
    pub fn ask(&self, question: &Question) -> Result<Answer, Problem> {
        let asked = Asked::of(self, question)?;
        let job = asked
            .job
            .as_ref()
            .ok_or_else(|| asked::no_job(&self.catalogue))?;
        let field = Field::of(self, &asked);
        let places = self.places(&field, job, asked.score);
        let mut answer = match (asked.tool, asked.pack) {
            (Some(tool), Some(pack)) => {
                self.answer_pair(&asked, job, &field, &places, (tool, pack))
            }
            _ => self.answer_list(&asked, job, &field, &places),
        };
        answer.warnings.extend(warnings::of_field(self, &asked));
        Ok(answer)
    }

    fn places(&self, field: &Field, job: &Job, score: Score) -> Order {
        let standings: Vec<_> = field
            .members
            .iter()
            .map(|member| figures::standing(field, member, job, score))
            .collect();
        order(&standings)
    }

    fn answer_pair(
        &self,
        asked: &Asked,
        job: &Job,
        field: &Field,
        places: &Order,
        pair: (usize, usize),
    ) -> Answer {
        let place = field
            .members
            .iter()
            .position(|member| (member.tool, member.pack) == pair);
        match place.and_then(|place| Some((place, field.members.get(place)?))) {
            Some((place, member)) => {
                self.answer_measured(asked, job, field, places, (place, member))
            }
            None => {
                let mut answer = self.head(asked, job, Some(pair.0), Some(pair.1));
                answer.runs_used = Some(0);
                answer.runs_excluded = Some(field.set_aside(pair));
                answer.specimens = Some(0);
                answer.rank_of = Some(places.of);
                self.wording(asked, job).not_measured(&mut answer);
                answer
            }
        }
    }

    fn answer_measured(
        &self,
        asked: &Asked,
        job: &Job,
        field: &Field,
        places: &Order,
        (place, member): (usize, &Member),
    ) -> Answer {
        let mut answer = self.head(asked, job, Some(member.tool), Some(member.pack));
        figures::fill(&mut answer, field, member, self);
        answer.rank = places.ranks.get(place).copied().flatten();
        answer.rank_of = Some(places.of);
        answer.warnings = warnings::of_member(self, field, member, job);
        self.wording(asked, job).measured(&mut answer);
        answer
    }

    fn answer_list(&self, asked: &Asked, job: &Job, field: &Field, places: &Order) -> Answer {
        let mut answer = self.head(asked, job, asked.tool, asked.pack);
        let matching = places
            .best_first
            .iter()
            .filter_map(|&place| Some((place, field.members.get(place)?)));
        let matching = matching.filter(|(_, member)| asked.matches(member.tool, member.pack));
        let list: Vec<Answer> = matching
            .map(|numbered| self.answer_measured(asked, job, field, places, numbered))
            .collect();
        answer.of = u32::try_from(list.len()).ok();
        answer.reach_count =
            u32::try_from(list.iter().filter(|answer| reaches(answer)).count()).ok();
        answer.rank_of = Some(places.of);
        let lightest = list
            .iter()
            .filter(|answer| reaches(answer))
            .filter_map(|answer| Some((answer, stock::mass_kg_by_id(self, answer)?)))
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .map(|(answer, mass_kg)| (answer.label.clone(), mass_kg));
        self.wording(asked, job).list(&mut answer, &list, lightest);
        answer.list = Some(list);
        answer
    }

    fn wording(&self, asked: &Asked, job: &Job) -> Wording<'_> {
        let setup = asked.setup;
        Wording {
            catalogue: &self.catalogue,
            needed: job.needed,
            range_nm: job.range_nm,
            extended: setup.extension_mm.is_some_and(|length| length > 0.0)
                || setup.adapters.is_some(),
        }
    }

    /// An answer with the question in it and no figures yet.
    fn head(&self, asked: &Asked, job: &Job, tool: Option<usize>, pack: Option<usize>) -> Answer {
        let dataset = &self.dataset;
        let tool = tool.and_then(|tool| dataset.tools.get(tool));
        let pack = pack.and_then(|pack| dataset.packs.get(pack));
        Answer {
            basis: Basis::None,
            verdict: None,
            tool: tool.map(|tool| tool.id.clone()),
            pack: pack.map(|pack| pack.id.clone()),
            rig: asked.rig.id.clone(),
            setup: asked.setup.id.clone(),
            edition: asked.edition,
            newest_edition: self.newest_edition(),
            invented: dataset.invented.unwrap_or(false),
            fits: tool
                .zip(pack)
                .map(|(tool, pack)| tool.pack_mount == pack.pack_mount),
            job: job.id.clone(),
            direction: job.direction,
            score: asked.score,
            job_torque_nm: job.torque_nm,
            condition_factor: job.condition,
            loss_percent: job.loss_percent,
            required_torque_nm: job.required_nm,
            window_s: asked.window_s,
            within_s: asked.within_s,
            peak_torque_nm: None,
            largest_sample_nm: None,
            mean_torque_nm: None,
            early_torque_nm: None,
            typical_end_nm: None,
            still_rising: None,
            time_to_job_s: None,
            work_j: None,
            average_power_w: None,
            rise_rate_nm_per_s: None,
            best_of_three_power_w: None,
            best_of_three_rise_rate_nm_per_s: None,
            torque_19_of_20_nm: None,
            reach_probability: None,
            time_nine_in_ten_s: None,
            rank: None,
            rank_low: None,
            rank_high: None,
            rank_of: None,
            runs_used: None,
            runs_excluded: None,
            specimens: None,
            run_scatter_percent: None,
            unit_scatter_percent: None,
            jobs_per_charge: None,
            warnings: Vec::new(),
            sentence: String::new(),
            label: words::pair(
                &self.catalogue,
                tool.map(|tool| tool.name.as_str()),
                pack.map(|pack| pack.name.as_str()),
            ),
            notice: words::notice(&self.catalogue, dataset),
            before: Vec::new(),
            headline: String::new(),
            lines: Vec::new(),
            cautions: Vec::new(),
            reminders: Vec::new(),
            caution: job.caution,
            list: None,
            of: None,
            reach_count: None,
        }
    }

    /// The number of the newest edition.
    fn newest_edition(&self) -> u32 {
        self.dataset
            .editions
            .last()
            .map_or(0, |edition| edition.edition)
    }

    /// Ranks a whole field.
    ///
    /// # Errors
    ///
    /// A problem that names the faulty part of the question, with a message for visitors.
    pub fn table(&self, question: &Question) -> Result<Table, Problem> {
        let asked = Asked::of(self, question)?;
        let field = Field::of(self, &asked);
        let by = asked.measure(question, &self.catalogue)?;
        let prices = stock::Prices::of(self, &field, &asked, question.currency.as_deref());
        if by
            .parts()
            .is_some_and(|(_, per)| per == crate::ask::question::Per::Price)
        {
            prices.one_currency(&self.catalogue)?;
        }
        let rows = field
            .members
            .iter()
            .map(|member| figures::row(self, &field, member, &asked, &prices, by))
            .collect::<Vec<Row>>();
        let standings: Vec<_> = field
            .members
            .iter()
            .zip(&rows)
            .map(|(member, row)| figures::standing_by(&field, member, row, &asked, by))
            .collect();
        let places = order(&standings);
        let mut rows: Vec<Option<Row>> = rows.into_iter().map(Some).collect();
        let mut ranked = Vec::with_capacity(rows.len());
        for &place in &places.best_first {
            let Some(mut row) = rows.get_mut(place).and_then(Option::take) else {
                continue;
            };
            row.rank = places.ranks.get(place).copied().flatten();
            row.rank_of = places.of;
            if asked.matches_ids(self, &row.tool, &row.pack) {
                ranked.push(row);
            }
        }
        Ok(Table {
            job_torque_nm: asked.job.as_ref().map(|job| job.torque_nm),
            required_torque_nm: asked.job.as_ref().map(|job| job.required_nm),
            by,
            score: asked.score,
            rows: ranked,
        })
    }

    /// A table in words, with the question it answers.
    ///
    /// # Errors
    ///
    /// As [`Results::table`].
    pub fn worded_table(&self, question: &Question) -> Result<WordedTable, Problem> {
        let table = self.table(question)?;
        let needed = Asked::of(self, question)?.job.map(|job| job.needed);
        let wording = TableWording {
            catalogue: &self.catalogue,
            unit: needed
                .map(|needed| needed.unit)
                .or(question.units)
                .unwrap_or_default(),
            notice: words::notice(&self.catalogue, &self.dataset),
            needed: needed.map(|needed| needed.words(&self.catalogue)),
            names: &|tool, pack| stock::label_by_ids(self, tool, pack),
        };
        Ok(wording.worded(&table))
    }

    /// The typical curves that belong to an answer: that of the pair asked for, or of the first
    /// of the list.
    ///
    /// # Errors
    ///
    /// As [`Results::ask`].
    pub fn curves(&self, question: &Question) -> Result<Curves<'_>, Problem> {
        let asked = Asked::of(self, question)?;
        let job = asked
            .job
            .as_ref()
            .ok_or_else(|| asked::no_job(&self.catalogue))?;
        let field = Field::of(self, &asked);
        let places = self.places(&field, job, asked.score);
        let window_s = field.window_s;
        let mut members: Vec<Option<Member>> = field.members.into_iter().map(Some).collect();
        let matching = places
            .best_first
            .iter()
            .filter_map(|&place| members.get_mut(place)?.take());
        let curves = matching
            .filter(|member| asked.matches(member.tool, member.pack))
            .take(CURVES_OF_A_LIST)
            .map(|member| NamedCurve {
                label: stock::label(self, member.tool, member.pack),
                time_to_job_s: member.combination.time_to(job.required_nm, window_s),
                combination: member.combination,
            })
            .collect();
        Ok(Curves {
            curves,
            required_torque_nm: job.required_nm,
            needed: job.needed,
            window_s,
        })
    }
}

/// The list element that a pointer leads into: its first two parts.
fn element_of(pointer: &str) -> String {
    pointer.split('/').take(3).collect::<Vec<_>>().join("/")
}

/// The one setup of a file that describes none.
fn not_described() -> Setup {
    Setup {
        id: "standard".into(),
        name: "not described".into(),
        rotation: None,
        tool_mode: None,
        joint: None,
        extension_mm: None,
        adapters: None,
        start_charge_percent: None,
        pack_start_c: None,
    }
}

/// The run at `place`: `None` if it refers to what is not there, an error if its torque never rises.
fn reduced(dataset: &Dataset, place: usize) -> Option<Result<Reduced, ()>> {
    let run = dataset.runs.get(place)?;
    let tool = dataset.tools.iter().position(|tool| tool.id == run.tool)?;
    let pack = dataset.packs.iter().position(|pack| pack.id == run.pack)?;
    let setup = match &run.setup {
        Some(id) => dataset.setups.iter().position(|setup| &setup.id == id)?,
        None => 0,
    };
    let day = dataset.days.iter().find(|day| day.id == run.day)?;
    let rig_place = match &day.rig {
        Some(id) => dataset.rigs.iter().position(|rig| &rig.id == id)?,
        None => 0,
    };
    let rig = dataset.rigs.get(rig_place)?;
    let buildup = match &run.buildup {
        Some(buildup) => buildup.clone(),
        None => match reduce(&Samples::of_run(run)?.merged(), &Settings::of(rig)) {
            Some(reduction) => BuildUp::of(&reduction),
            None => return Some(Err(())),
        },
    };
    let curve = buildup.curve();
    let measures = Measures::of(&curve, rig.window_s());
    Some(Ok(Reduced {
        tool,
        pack,
        setup,
        rig: rig_place,
        buildup,
        curve,
        measures,
    }))
}
