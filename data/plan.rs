//! Which runs were made, in order of time.

use crate::blows::Mishap;

/// One run of the plan.
#[derive(Clone, Copy, Debug)]
pub struct Planned {
    /// Which of the days, from 0.
    pub day: usize,
    /// Id of the tool.
    pub tool: &'static str,
    /// Specimen of the tool.
    pub specimen: &'static str,
    /// Id of the pack.
    pub pack: &'static str,
    /// Id of the setup.
    pub setup: &'static str,
    /// What is odd about it.
    pub oddity: Oddity,
}

/// What is odd about a run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Oddity {
    /// Nothing.
    None,
    /// A control run.
    Control,
    /// Not published yet.
    Draft,
    /// The socket slips: the run was published in edition 1 and taken out in edition 2.
    SocketSlips,
    /// The trigger is not pulled through: the run was taken out at once, in edition 3.
    HalfTrigger,
    /// The trigger is let go too early; the run stays in.
    LetGoEarly,
    /// The logger stops too early; the run stays in.
    LogStops,
}

impl Oddity {
    /// Reason and edition of the exclusion, if the run is excluded.
    pub fn exclusion(self) -> Option<(&'static str, u32)> {
        match self {
            Oddity::SocketSlips => Some(("socket slipped after half a second", 2)),
            Oddity::HalfTrigger => Some(("trigger not pulled through", 3)),
            _ => None,
        }
    }

    /// What it does to the blows.
    pub fn mishap(self) -> Option<Mishap> {
        let (from_s, energy_left) = match self {
            Oddity::SocketSlips => (0.5, 0.25),
            Oddity::HalfTrigger => (0.0, 0.6),
            _ => return None,
        };
        Some(Mishap {
            from_s,
            energy_left,
        })
    }

    /// Whether the run ends before the rig's window is over.
    pub fn is_short(self) -> bool {
        matches!(self, Oddity::LetGoEarly | Oddity::LogStops)
    }
}

/// Editions of the days, in order.
const EDITIONS: [u32; 6] = [1, 1, 2, 2, 3, 3];

/// The tool and pack of the control runs: the steadiest tool and the pack lent most.
const CONTROL: (&str, &str) = ("burdock-18-medium", "two-row-5-0");

const SLIM: &[&str] = &["slim-2-5", "slim-4-0"];
const LIGHT: &[&str] = &["slim-2-5", "slim-4-0", "two-row-5-0"];
const MIDDLE: &[&str] = &["slim-2-5", "slim-4-0", "two-row-5-0", "two-row-8-0"];
const HEAVY: &[&str] = &["slim-4-0", "two-row-5-0", "two-row-8-0"];
const POUCH: &[&str] = &["pouch-5-0"];
const SLIM_2_5: &[&str] = &["slim-2-5"];
const SLIM_4: &[&str] = &["slim-4-0"];
const TWO_ROW_5: &[&str] = &["two-row-5-0"];
const TWO_ROW_8: &[&str] = &["two-row-8-0"];
const THREE_ROW: &[&str] = &["three-row-12"];
const THIRTY_SIX: &[&str] = &["ten-cell-4-0", "twenty-cell-8-0"];

/// Day, tool, its specimen, packs, setup, and how often each pack was run.
type Block = (
    usize,
    &'static str,
    &'static str,
    &'static [&'static str],
    &'static str,
    usize,
);

/// All runs but the odd ones.
const BLOCKS: [Block; 36] = [
    (0, "sedge-18-small", "A", LIGHT, "standard", 3),
    (0, "vetch-18-small", "A", SLIM, "standard", 3),
    (0, "tansy-18-small", "A", LIGHT, "standard", 3),
    (0, "sorrel-18-medium", "A", MIDDLE, "standard", 3),
    (1, "burdock-18-medium", "A", MIDDLE, "standard", 3),
    (1, "teasel-18-large", "A", HEAVY, "standard", 3),
    (1, "yarrow-18-large", "A", HEAVY, "standard", 3),
    (2, "bracken-18-medium", "A", MIDDLE, "standard", 3),
    (2, "mullein-36-large", "A", THIRTY_SIX, "standard", 3),
    (2, "knapweed-36-large", "A", THIRTY_SIX, "standard", 3),
    (3, "sedge-18-small", "A", POUCH, "standard", 3),
    (3, "vetch-18-small", "A", POUCH, "standard", 3),
    (3, "tansy-18-small", "A", POUCH, "standard", 3),
    (3, "sorrel-18-medium", "A", POUCH, "standard", 3),
    (3, "bracken-18-medium", "A", POUCH, "standard", 3),
    (3, "teasel-18-large", "A", POUCH, "standard", 3),
    (3, "yarrow-18-large", "A", POUCH, "standard", 3),
    (4, "sedge-18-small", "A", TWO_ROW_8, "standard", 3),
    (4, "tansy-18-small", "A", TWO_ROW_8, "standard", 3),
    (4, "sorrel-18-medium", "A", THREE_ROW, "standard", 3),
    (4, "burdock-18-medium", "A", THREE_ROW, "standard", 3),
    (4, "teasel-18-large", "A", THREE_ROW, "standard", 3),
    (4, "yarrow-18-large", "A", THREE_ROW, "standard", 3),
    (4, "sorrel-18-medium", "B", SLIM_4, "standard", 2),
    (4, "sorrel-18-medium", "B", TWO_ROW_8, "standard", 1),
    (4, "teasel-18-large", "B", TWO_ROW_8, "standard", 2),
    (4, "mullein-36-large", "B", THIRTY_SIX, "standard", 1),
    (5, "sorrel-18-medium", "C", TWO_ROW_8, "standard", 1),
    (5, "teasel-18-large", "B", TWO_ROW_5, "standard", 1),
    (5, "tansy-18-small", "B", SLIM_4, "standard", 2),
    (5, "tansy-18-small", "B", TWO_ROW_5, "standard", 1),
    // Re-tests of what edition 1 had.
    (5, "sorrel-18-medium", "A", SLIM_2_5, "standard", 2),
    (5, "yarrow-18-large", "A", SLIM_4, "standard", 2),
    (5, "sorrel-18-medium", "A", SLIM_4, "cold-packs", 3),
    (5, "teasel-18-large", "A", TWO_ROW_8, "cold-packs", 3),
    (5, "teasel-18-large", "A", TWO_ROW_8, "extension", 3),
];

/// The odd runs, standard setup and specimen A, but for the control runs: day, tool, pack.
const ODD: [(usize, &str, &str, Oddity); 5] = [
    (0, "sorrel-18-medium", "slim-4-0", Oddity::SocketSlips),
    (1, "yarrow-18-large", "two-row-5-0", Oddity::LetGoEarly),
    (2, "bracken-18-medium", "slim-2-5", Oddity::LogStops),
    (4, "teasel-18-large", "three-row-12", Oddity::HalfTrigger),
    (5, "bracken-18-medium", "three-row-12", Oddity::Draft),
];

impl Planned {
    /// The edition it was published in, none for a draft.
    pub fn edition(&self) -> Option<u32> {
        let edition = EDITIONS.get(self.day).copied();
        edition.filter(|_| self.oddity != Oddity::Draft)
    }
}

/// All runs in order of time: each day begins with a control run and goes round its tools and
/// packs, so that no pack always comes last.
pub fn runs() -> Vec<Planned> {
    (0..EDITIONS.len()).flat_map(day_runs).collect()
}

/// The runs of one day.
fn day_runs(day: usize) -> Vec<Planned> {
    let (tool, pack) = CONTROL;
    let mut runs = vec![odd_run(day, tool, pack, Oddity::Control)];
    for round in 0..3 {
        runs.extend(round_runs(day, round));
        if round == 0 {
            let odd = ODD.into_iter().filter(|odd| odd.0 == day);
            runs.extend(odd.map(|(day, tool, pack, oddity)| odd_run(day, tool, pack, oddity)));
        }
    }
    runs
}

/// One round of a day: every pack once, where it has runs left.
fn round_runs(day: usize, round: usize) -> impl Iterator<Item = Planned> {
    let blocks = BLOCKS.into_iter();
    let due = blocks.filter(move |&(on, .., times)| on == day && times > round);
    due.flat_map(|(day, tool, specimen, packs, setup, _)| {
        let oddity = Oddity::None;
        packs.iter().map(move |&pack| Planned {
            day,
            tool,
            specimen,
            pack,
            setup,
            oddity,
        })
    })
}

fn odd_run(day: usize, tool: &'static str, pack: &'static str, oddity: Oddity) -> Planned {
    Planned {
        day,
        tool,
        specimen: "A",
        pack,
        setup: "standard",
        oddity,
    }
}
