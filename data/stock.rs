//! What the invented tools, packs, setups and days are made of: the numbers behind the bench folder `demo`.
//!
//! The facts of a bench (names, masses, prices …) stand in its tables; here stands only what the
//! simulation needs. Invented, within what is common: small tools settle at 200 to 500 N·m on a
//! stiff joint, medium ones at 600 to 900, large ones at 1,000 to 1,700. Small hammers are up to
//! speed at once and large ones are not, so a small tool may lead at little torque.

use crate::blows::random::{factor, stream};
use crate::blows::{Joint, Pack, Tool};

/// Scatter from specimen to specimen of a tool's torque (logarithm).
pub const SPECIMEN_SCATTER: f64 = 0.025;
/// Scatter from specimen to specimen of a pack's resistance (logarithm).
pub const PACK_SCATTER: f64 = 0.04;
/// A tool's torque scatters at the start by this much more from run to run than later: the further
/// scatter as a multiple of its run scatter.
const EARLY_TIMES: f64 = 2.8;
/// Open voltage of a full lithium-ion cell some minutes after charging, V.
const FULL_CELL_V: f64 = 4.10;
/// At −10 °C a cell's resistance is higher by this factor, ...
const COLD_RESISTANCE: f64 = 1.7;
/// ... and its open voltage lower by this much, V.
const COLD_CELL_V: f64 = 0.03;
/// Slope of the joint line in `demo/bench.toml` above 18°, N·m per radian (908 N·m in 40°).
const STIFFNESS_NM_PER_RAD: f64 = 1300.0;
/// Share of a blow's energy that gets through the extension.
const THROUGH_EXTENSION: f64 = 0.90;

/// The tools by id: stall torque N·m, energy of a full blow J, blows a second, spin-up s, winding
/// Ω, back voltage V, run scatter.
const TOOLS: [(&str, [f64; 7]); 10] = [
    (
        "sedge-18-small",
        [300.0, 3.3, 31.0, 0.03, 0.25, 10.5, 0.022],
    ),
    (
        "vetch-18-small",
        [225.0, 2.2, 32.0, 0.02, 0.28, 10.5, 0.030],
    ),
    (
        "tansy-18-small",
        [425.0, 5.4, 30.0, 0.05, 0.22, 10.5, 0.018],
    ),
    (
        "sorrel-18-medium",
        [840.0, 14.8, 28.0, 0.19, 0.12, 10.0, 0.020],
    ),
    (
        "burdock-18-medium",
        [690.0, 11.0, 27.0, 0.21, 0.14, 10.0, 0.015],
    ),
    (
        "bracken-18-medium",
        [830.0, 12.2, 29.0, 0.16, 0.12, 10.0, 0.032],
    ),
    (
        "teasel-18-large",
        [1250.0, 28.0, 25.0, 0.38, 0.09, 10.0, 0.025],
    ),
    (
        "yarrow-18-large",
        [1090.0, 26.0, 26.0, 0.28, 0.09, 10.0, 0.036],
    ),
    (
        "mullein-36-large",
        [1640.0, 47.0, 25.0, 0.42, 0.20, 20.0, 0.020],
    ),
    (
        "knapweed-36-large",
        [1290.0, 40.0, 26.0, 0.33, 0.20, 20.0, 0.028],
    ),
];

/// The packs by id: cells in series, resistance Ω (cells in series ÷ in parallel, straps and
/// contacts with it).
const PACKS: [(&str, [f64; 2]); 8] = [
    ("slim-2-5", [5.0, 0.125]),
    ("slim-4-0", [5.0, 0.092]),
    ("two-row-5-0", [5.0, 0.090]),
    ("two-row-8-0", [5.0, 0.066]),
    ("three-row-12", [5.0, 0.055]),
    ("pouch-5-0", [5.0, 0.064]),
    ("ten-cell-4-0", [10.0, 0.170]),
    ("twenty-cell-8-0", [10.0, 0.110]),
];

/// A day's zero: the day's id, what the rig shows without load N·m, what it shows against what is
/// there. The rig read 2.5 % high on 11 May.
pub const DAYS: [(&str, f64, f64); 6] = [
    ("2026-03-02", 3.4, 1.0),
    ("2026-03-09", -2.7, 1.0),
    ("2026-04-20", 6.1, 1.0),
    ("2026-05-11", 1.2, 1.025),
    ("2026-06-29", -4.3, 1.0),
    ("2026-07-06", 2.2, 1.0),
];

/// The tools with their ids.
pub fn tools() -> impl Iterator<Item = (&'static str, Tool)> {
    TOOLS.into_iter().map(|(id, numbers)| {
        let [
            stall_nm,
            blow_j,
            blows_per_s,
            spin_up_s,
            winding_ohm,
            back_v,
            run_scatter,
        ] = numbers;
        let early_scatter = EARLY_TIMES * run_scatter;
        let tool = Tool {
            stall_nm,
            blow_j,
            blows_per_s,
            spin_up_s,
            winding_ohm,
            back_v,
            run_scatter,
            early_scatter,
        };
        (id, tool)
    })
}

/// The tool `id`.
pub fn tool(id: &str) -> Option<Tool> {
    tools()
        .find(|(other, _)| *other == id)
        .map(|(_, tool)| tool)
}

/// The pack `id`, full, in the state `setup` asks for, not yet a specimen.
pub fn pack(id: &str, setup: &str) -> Option<Pack> {
    let (_, [series, resistance_ohm]) = PACKS.into_iter().find(|(other, _)| *other == id)?;
    let (cell_v, times) = match setup {
        "cold-packs" => (FULL_CELL_V - COLD_CELL_V, COLD_RESISTANCE),
        _ => (FULL_CELL_V, 1.0),
    };
    Some(Pack {
        series,
        open_v: series * cell_v,
        resistance_ohm: resistance_ohm * times,
    })
}

/// The joint as `setup` reaches it.
pub fn joint(setup: &str) -> Joint {
    let arrives = if setup == "extension" {
        THROUGH_EXTENSION
    } else {
        1.0
    };
    Joint {
        stiffness_nm_per_rad: STIFFNESS_NM_PER_RAD,
        arrives,
    }
}

/// The factor of one specimen about its kind, the same whenever it is asked for: its random
/// numbers are those of its name.
pub fn specimen(seed: u64, id: &str, specimen: &str, scatter: f64) -> f64 {
    let letters = id.bytes().chain(specimen.bytes());
    let number = letters.fold(0u64, |number, letter| {
        number.wrapping_mul(131).wrapping_add(u64::from(letter))
    });
    factor(&mut stream(seed, number), scatter)
}
