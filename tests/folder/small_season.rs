//! An invented season without any doubt, as a bench folder: four tools with four packs, each pair run
//! on three of five days, two check runs a day.

use rand_pcg::Pcg32;
use rand_pcg::rand_core::{Rng, SeedableRng};
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};

/// Torque of a pair long after the onset, in N·m.
const TOOLS_NM: [f64; 4] = [300.0, 450.0, 700.0, 900.0];

/// What a pack makes of it. The first two differ by less than what sets a pair apart by itself.
const PACKS: [f64; 4] = [1.0, 1.035, 1.12, 1.2];

const DAYS: usize = 5;

/// Samples of a log, 125 a second.
pub const SAMPLES: usize = 750;

/// Samples before the torque rises.
pub const LEAD_IN: usize = 50;

/// Twelve uniform values less six: normal but for the farthest tails.
fn normal(random: &mut Pcg32) -> f64 {
    let sum: f64 = (0..12)
        .map(|_| f64::from(random.next_u32()) / 4_294_967_296.0)
        .sum();
    sum - 6.0
}

/// The text of a log: a line with its day, the header, the rows.
fn log(day: usize, level_nm: f64, random: &mut Pcg32) -> String {
    let mut text = format!("logged on 2026-03-0{day}\ntime [s],torque [N·m]\n");
    for at in 0..SAMPLES {
        let since_s = at.saturating_sub(LEAD_IN) as f64 / 125.0;
        let torque_nm = level_nm * (1.0 - libm::exp(-since_s / 0.8)) + 0.15 * normal(random);
        writeln!(text, "{:.3},{torque_nm:.2}", at as f64 / 125.0).unwrap();
    }
    text
}

/// Path of a pair's log of a day, from the folder; `nth` counts check runs.
pub fn path(tool: usize, pack: usize, day: usize, nth: usize) -> String {
    format!("logs/t{tool}-p{pack}-d{day}-{nth}.csv")
}

/// Whether a pair is that of the check runs.
fn is_check(tool: usize, pack: usize) -> bool {
    (tool, pack) == (0, 3)
}

/// Writes the folder.
pub fn write(around: &Path) -> PathBuf {
    let folder = around.join("season");
    fs::create_dir_all(folder.join("logs")).unwrap();
    let mut random = Pcg32::seed_from_u64(5);
    let mut notebook = "log,tool,pack,setup,day,control,edition,start_charge_percent\n".to_owned();
    for (tool, tool_nm) in TOOLS_NM.iter().enumerate() {
        for (pack, factor) in PACKS.iter().enumerate() {
            let check = is_check(tool, pack);
            for day in 1..=DAYS {
                let runs = match (day + tool + pack) % DAYS {
                    _ if check => 2,
                    0..3 => 1,
                    _ => 0,
                };
                for nth in 1..=runs {
                    let level_nm = tool_nm * factor * (1.0 + 0.004 * normal(&mut random));
                    let path = path(tool, pack, day, nth);
                    fs::write(folder.join(&path), log(day, level_nm, &mut random)).unwrap();
                    let (log, control) = (
                        path.trim_start_matches("logs/"),
                        if check { "yes" } else { "" },
                    );
                    writeln!(
                        notebook,
                        "{log},t{tool},p{pack},standard,d{day},{control},1,100"
                    )
                    .unwrap();
                }
            }
        }
    }
    let list = |head: &str, count: usize, row: &dyn Fn(usize) -> String| {
        let rows = (0..count).map(row).collect::<String>();
        format!("{head}\n{rows}")
    };
    for (file, text) in [
        ("runs.csv", notebook),
        ("tools.csv", list("id,name,pack_mount", 4, &|at| format!("t{at},Tool {at} (invented),rail\n"))),
        (
            "packs.csv",
            list("id,name,pack_mount,nominal_v,capacity_ah", 4, &|at| {
                format!("p{at},Pack {at} (invented),rail,18,{}\n", [2, 3, 5, 8][at])
            }),
        ),
        ("days.csv", list("id,date", DAYS, &|at| format!("d{0},2026-03-0{0}\n", at + 1))),
        (
            "bench.toml",
            "title = \"A small season, made up for a test\"\nlicense = \"CC0-1.0\"\ninvented = true\n\
             disclosure = \"nobody\"\n[[editions]]\nedition = 1\ndate = 2026-04-01\n\
             [[rigs]]\nid = \"r\"\ntorque_from = \"torque sensor\"\n\
             [[setups]]\nid = \"standard\"\nname = \"full pack\"\nstart_charge_percent = 100\n\
             [[loggers]]\nid = \"own\"\nfiles = \"*.csv\"\nheader_starts_with = \"time\"\nclips_at_nm = 2000\n"
                .into(),
        ),
    ] {
        fs::write(folder.join(file), text).unwrap();
    }
    folder
}
