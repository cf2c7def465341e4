//! The invented dataset that comes with the program: that its generator makes it, that it is as
//! dirty as it says, and that the reduction finds what the simulation knows.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing
)]

use jobtorque::dataset::types::{Dataset, Run};
use jobtorque::query::question::Question;
use jobtorque::results::Results;
use jobtorque::run::reduce::{Reduction, Settings, reduce};
use jobtorque::run::samples::Samples;
use serde::Deserialize;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;

#[derive(Deserialize)]
struct Truth {
    stated: Stated,
    runs: Vec<Fact>,
    nuts: Vec<Nut>,
}

/// What a nut broke away at, over what it was tightened to.
#[derive(Deserialize)]
struct Nut {
    factor: f64,
}

/// What nuts of one state have in common.
#[derive(Deserialize)]
struct StatedNuts {
    state: String,
    median_factor: f64,
    factor_scatter_percent: f64,
}

#[derive(Deserialize)]
struct Stated {
    samples_per_s: f64,
    noise_nm: f64,
    rounding_nm: f64,
    dip_depth_percent: [f64; 2],
    dip_share_percent: f64,
    specimen_scatter_percent: f64,
    tools: Vec<StatedTool>,
    nuts: Vec<StatedNuts>,
    drawn: Drawn,
}

#[derive(Deserialize)]
struct StatedTool {
    run_scatter_percent: f64,
    early_scatter_percent: f64,
}

/// The dirt counted in the samples as drawn.
#[derive(Deserialize)]
struct Drawn {
    noise_nm: f64,
    dip_depth_percent: f64,
    dip_loss_percent: f64,
    dip_share_percent: f64,
}

/// What the simulation knows of one run: read off its curve free of noise, on the rig's scale as it
/// was that day.
#[derive(Deserialize)]
struct Fact {
    run: usize,
    onset_s: f64,
    peak_nm: f64,
    time_to_80_s: f64,
    #[serde(default)]
    flags: Vec<String>,
}

impl Fact {
    fn is(&self, flag: &str) -> bool {
        self.flags.iter().any(|other| other == flag)
    }

    /// Whether the run went as runs should.
    fn is_sound(&self) -> bool {
        !self.is("excluded") && !self.is("short")
    }
}

fn data() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("data")
}

fn dataset() -> Dataset {
    let text = std::fs::read_to_string(data().join("demo.json")).unwrap();
    jobtorque::dataset::json::parse(&text).unwrap().dataset
}

fn truth() -> Truth {
    let text = std::fs::read_to_string(data().join("demo-truth.json")).unwrap();
    serde_json::from_str(&text).unwrap()
}

/// Every run with its reduction and the truth about it.
fn reduced() -> Vec<(Run, Reduction, Fact)> {
    let dataset = dataset();
    let truth = truth();
    assert_eq!(dataset.runs.len(), truth.runs.len());
    let settings = Settings::of(&dataset.rigs[0]);
    let runs = dataset.runs.into_iter().zip(truth.runs).enumerate();
    runs.map(|(place, (run, fact))| {
        assert_eq!(fact.run, place);
        let samples = Samples::of_run(&run).unwrap().merged();
        let reduction = reduce(&samples, &settings).unwrap();
        (run, reduction, fact)
    })
    .collect()
}

/// Every sound run.
fn sound() -> impl Iterator<Item = (Run, Reduction, Fact)> {
    let runs: Vec<_> = reduced()
        .into_iter()
        .filter(|run| run.2.is_sound())
        .collect();
    assert!(runs.len() > 150, "{} sound runs", runs.len());
    runs.into_iter()
}

#[test]
fn peaks_are_within_one_per_cent() {
    for (run, reduction, fact) in sound() {
        let off = reduction.curve().peak_nm() / fact.peak_nm - 1.0;
        let (tool, pack) = (&run.tool, &run.pack);
        assert!(off.abs() <= 0.01, "run {}, {tool}, {pack}: {off}", fact.run);
    }
}

#[test]
fn the_time_to_eighty_per_cent_of_the_peak_is_within_sixty_milliseconds() {
    for (run, reduction, fact) in sound() {
        let curve = reduction.curve();
        let time_s = curve.time_to(0.8 * curve.peak_nm(), 5.0).unwrap();
        let off_s = time_s - fact.time_to_80_s;
        let (tool, pack) = (&run.tool, &run.pack);
        assert!(
            off_s.abs() <= 0.060,
            "run {}, {tool}, {pack}: {off_s} s",
            fact.run
        );
    }
}

#[test]
fn onsets_are_within_five_milliseconds_for_nineteen_in_twenty() {
    let offs: Vec<f64> = sound()
        .map(|(_, reduction, fact)| (reduction.onset_us / 1e6 - fact.onset_s).abs())
        .collect();
    let near = offs.iter().filter(|&&off_s| off_s <= 0.005).count();
    assert!(20 * near >= 19 * offs.len(), "{near} of {}", offs.len());
}

#[test]
fn short_runs_and_no_others_are_marked_short() {
    let runs = reduced();
    for (_, reduction, fact) in &runs {
        assert_eq!(reduction.short, fact.is("short"), "run {}", fact.run);
        assert!(!reduction.no_quiet, "run {}", fact.run);
    }
    assert_eq!(runs.iter().filter(|run| run.2.is("short")).count(), 2);
}

#[test]
fn the_truth_flags_what_the_dataset_flags() {
    for (run, _, fact) in reduced() {
        assert_eq!(run.excluded.is_some(), fact.is("excluded"));
        assert_eq!(run.control.unwrap_or(false), fact.is("control"));
        assert_eq!(run.edition.is_none(), fact.is("draft"));
    }
}

#[test]
fn the_data_are_stated_to_be_dirty() {
    let stated = truth().stated;
    assert!(stated.samples_per_s <= 200.0);
    assert!(stated.noise_nm >= 2.0);
    assert!(stated.rounding_nm >= 0.1);
    let [least, most] = stated.dip_depth_percent;
    assert!(least >= 2.0 && most >= 10.0);
    assert!(stated.dip_share_percent >= 40.0);
    assert!(stated.specimen_scatter_percent >= 2.5);
    let scatters = stated.tools.iter().map(|tool| tool.run_scatter_percent);
    assert!(scatters.fold(f64::INFINITY, f64::min) >= 1.5);
    for tool in &stated.tools {
        assert!(tool.early_scatter_percent >= 2.0 * tool.run_scatter_percent);
    }
}

#[test]
fn the_dirt_was_drawn_as_stated() {
    let drawn = truth().stated.drawn;
    assert!(drawn.noise_nm >= 2.0, "{}", drawn.noise_nm);
    // Uniform from 2 to 10 %: 6 % on average; half a sine wave loses 2/π of that on average.
    assert!(
        drawn.dip_depth_percent >= 5.8,
        "{}",
        drawn.dip_depth_percent
    );
    assert!(drawn.dip_loss_percent >= 3.7, "{}", drawn.dip_loss_percent);
    assert!(
        drawn.dip_share_percent >= 39.0,
        "{}",
        drawn.dip_share_percent
    );
}

#[test]
fn the_samples_themselves_are_noisy() {
    // From sample to sample before the onset, bumps left aside by taking the median: √2 times the
    // noise, of which half lies within 0.6745 standard deviations.
    let mut steps = Vec::new();
    for (run, reduction, _) in reduced() {
        let before = (reduction.onset_us / 5000.0) as usize;
        let torque = &run.torque_dnm.unwrap()[..before];
        steps.extend(
            torque
                .windows(2)
                .map(|pair| f64::from((pair[1] - pair[0]).abs()) / 10.0),
        );
    }
    steps.sort_by(f64::total_cmp);
    let noise_nm = steps[steps.len() / 2] / 0.6745 / 2.0_f64.sqrt();
    assert!(noise_nm >= 2.0, "{noise_nm}");
}

#[test]
fn the_samples_themselves_dip_between_blows() {
    // Late in a run, where the torque hardly rises: two fifths of the samples lie in dips that take
    // 3.8 % on average, 1.5 % over all.
    let (mut lost, mut count) = (0.0, 0);
    for (run, reduction, _) in sound() {
        let curve = reduction.curve();
        for (k, &torque) in run.torque_dnm.unwrap().iter().enumerate() {
            let time_s = k as f64 * 0.005 - reduction.onset_us / 1e6;
            if (3.0..5.0).contains(&time_s) {
                let torque_nm = f64::from(torque) / 10.0 - reduction.zero_nm;
                lost += 1.0 - torque_nm / curve.torque_at(time_s);
                count += 1;
            }
        }
    }
    let percent = 100.0 * lost / f64::from(count);
    assert!(percent >= 1.2, "{percent}");
}

#[test]
fn runs_themselves_scatter() {
    let mut peaks: BTreeMap<(String, String, String, String, String), Vec<f64>> = BTreeMap::new();
    for (run, _, fact) in sound() {
        let specimen = run.specimen.unwrap_or_default();
        let key = (
            run.tool,
            run.pack,
            run.setup.unwrap_or_default(),
            specimen,
            run.day,
        );
        peaks.entry(key).or_default().push(libm::log(fact.peak_nm));
    }
    let (mut squares, mut freedom) = (0.0, 0);
    for logs in peaks.values() {
        let mean = logs.iter().sum::<f64>() / logs.len() as f64;
        squares += logs
            .iter()
            .map(|log| (log - mean) * (log - mean))
            .sum::<f64>();
        freedom += logs.len() - 1;
    }
    let percent = 100.0 * (squares / freedom as f64).sqrt();
    assert!(freedom > 80 && percent >= 2.0, "{percent}, {freedom}");
}

/// Whether two factors are this near, as logarithms.
fn is_near(one: f64, other: f64, off: f64) -> bool {
    libm::log(one / other).abs() < off
}

#[test]
fn the_nuts_say_what_their_truth_is() {
    let truth = truth();
    let texts = include_str!("../www/texts/en.json");
    let file = std::fs::read(data().join("demo.json")).unwrap();
    let results = Results::read(&file, serde_json::from_str(texts).unwrap()).unwrap();
    let question = Question {
        job: Some("400 N·m".into()),
        ..Question::default()
    };
    let told = results.ask(&question).unwrap().nuts_tried;
    let [aged, fresh] = told.as_slice() else {
        panic!("{told:?}");
    };
    let [of_fresh, of_aged] = truth.stated.nuts.as_slice() else {
        panic!("not two states");
    };
    assert_eq!(
        (of_fresh.state.as_str(), of_aged.state.as_str()),
        ("fresh", "aged")
    );
    // Six groups, whose means differ by √½ of the scatter and more: the median is known to 8 %.
    let half = aged.factor.unwrap();
    let scatter = of_aged.factor_scatter_percent / 100.0;
    assert!(is_near(half, of_aged.median_factor, 0.13), "{half}");
    let most = aged.factor_19_of_20.unwrap();
    let stated = of_aged.median_factor * libm::exp(1.645 * scatter);
    assert!(is_near(most, stated, 0.2), "{most} {stated}");
    // The nuts as drawn: about half below the one, nearly all below the other.
    let factors = truth.nuts.iter().map(|nut| nut.factor);
    let checks = dataset().field_checks;
    let aged_factors = factors
        .zip(&checks)
        .filter(|(_, check)| check.state.as_deref() != Some("fresh"));
    let factors: Vec<f64> = aged_factors.map(|(factor, _)| factor).collect();
    let below = |most: f64| factors.iter().filter(|factor| **factor < most).count();
    assert_eq!((factors.len(), aged.checks), (18, 18));
    assert!((6..=12).contains(&below(half)) && below(most) >= 16);
    // Too few of the others.
    assert_eq!((fresh.checks, fresh.factor), (6, None));
}

#[test]
fn nuts_came_loose_where_their_truth_says() {
    // By the typical curve: tools in use differ from it, and hands stop the clock late.
    for (nut, check) in truth().nuts.iter().zip(dataset().field_checks) {
        let needed_nm = nut.factor * check.installed_nm.unwrap();
        assert!(needed_nm > 50.0 && nut.factor > 0.4 && nut.factor < 3.0);
        assert_eq!(check.came_loose == Some(false), check.tried_s == Some(5.0));
    }
    assert_eq!(truth().nuts.len(), 24);
}

#[test]
fn the_generator_makes_the_same_bytes() {
    let made = tempfile::tempdir().unwrap();
    // Cargo's own place for the files of tests is below the target directory of this build.
    let target = Path::new(env!("CARGO_TARGET_TMPDIR")).parent().unwrap();
    let mut cargo = Command::new(env!("CARGO"));
    cargo
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .args(["run", "--quiet", "--locked", "--example", "demo-data"])
        .arg("--target-dir")
        .arg(target);
    if !cfg!(debug_assertions) {
        cargo.arg("--release");
    }
    let output = cargo.arg("--").arg(made.path()).output().unwrap();
    let complaint = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{complaint}");
    let names = files(made.path());
    assert_eq!(names.len(), truth().runs.len() + 3);
    for name in &names {
        let same = std::fs::read(made.path().join(name)).unwrap()
            == std::fs::read(data().join(name)).unwrap();
        assert!(
            same,
            "{} is not what `cargo run --release --example demo-data` writes",
            name.display()
        );
    }
    // No log is left over from what it wrote before.
    let logs = |folder: &Path| files(&folder.join("demo/logs"));
    assert_eq!(logs(made.path()), logs(&data()));
}

/// Paths of all files in a folder and those below it, sorted.
fn files(folder: &Path) -> Vec<PathBuf> {
    let (mut found, mut folders) = (Vec::new(), vec![folder.to_owned()]);
    while let Some(next) = folders.pop() {
        for entry in std::fs::read_dir(next).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else {
                found.push(path.strip_prefix(folder).unwrap().to_owned());
            }
        }
    }
    found.sort();
    found
}
