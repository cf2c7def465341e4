//! Friction in the thread and below the head: a nut factor, or coefficients.

use super::thread::Thread;
use core::f64::consts::PI;

/// A state of the surface with its usual nut factor.
#[derive(Debug, PartialEq)]
pub struct Finish {
    /// Code; the texts of a language have its name.
    pub name: &'static str,
    /// Words that people use for it.
    words: &'static [&'static str],
    /// Nut factor K.
    pub nut_factor: f64,
    /// Whether there is a lubricant.
    lubricated: bool,
}

const fn finish(
    name: &'static str,
    words: &'static [&'static str],
    nut_factor: f64,
    lubricated: bool,
) -> Finish {
    Finish {
        name,
        words,
        nut_factor,
        lubricated,
    }
}

/// Sources: Shigley's Mechanical Engineering Design, 9th ed., Table 8-15 and the advice below it
/// (unknown, black, zinc, lubricated, cadmium, anti-seize); a public torque table (dry, oiled); an SAE
/// table as reprinted (waxed). K depends on handling: other tables differ by a tenth and more.
pub static FINISHES: [Finish; 9] = [
    finish("unknown", &[], 0.20, false),
    finish("dry", &["dry", "plain"], 0.20, false),
    finish("oiled", &["oiled", "oil"], 0.15, true),
    finish("zinc", &["zinc"], 0.20, false),
    finish("black", &["black"], 0.30, false),
    finish(
        "lubricated",
        &["lubricated", "greased", "grease"],
        0.18,
        true,
    ),
    finish("cadmium", &["cadmium"], 0.16, false),
    finish("anti_seize", &["anti", "antiseize"], 0.12, true),
    finish("waxed", &["waxed", "wax"], 0.10, true),
];

impl Finish {
    /// The finish that a word stands for, in any case of its letters.
    pub(super) fn of(word: &str) -> Option<&'static Self> {
        FINISHES.iter().find(|finish| {
            let mut words = finish.words.iter();
            words.any(|known| known.eq_ignore_ascii_case(word))
        })
    }
}

/// What resists turning.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Friction {
    /// The usual nut factor of a finish.
    Finish(&'static Finish),
    /// A nut factor K, which counts all: T = K·F·d.
    NutFactor(f64),
    /// Coefficients of friction.
    Coefficients {
        /// μ_G, in the thread.
        thread: f64,
        /// μ_K, below the head.
        head: f64,
    },
}

/// 1/(2·cos 30°), for the flanks of a 60° thread: 0.577.
const FLANK: f64 = 0.577_350_269_189_625_8;

impl Friction {
    /// Torque against friction alone, for each newton of preload, in mm: 0.577·μ_G·d₂ + μ_K·D_Km/2
    /// (ISO 16047; VDI 2230 prints 0.58). Of a nut factor what is left without the pitch, K·d − P/2π.
    fn arm_mm(self, thread: &Thread) -> f64 {
        match self {
            Self::Finish(finish) => Self::NutFactor(finish.nut_factor).arm_mm(thread),
            Self::NutFactor(factor) => factor * thread.diameter_mm() - pitch_arm_mm(thread),
            Self::Coefficients {
                thread: flank,
                head,
            } => {
                FLANK * flank * thread.pitch_diameter_mm()
                    + head * thread.bearing_diameter_mm() / 2.0
            }
        }
    }

    /// Torque in N·m that tightens a bolt to a preload in N: F·(P/2π + friction), which for a nut factor
    /// is K·F·d.
    pub fn tightening_torque_nm(self, thread: &Thread, preload_n: f64) -> f64 {
        preload_n * (self.arm_mm(thread) + pitch_arm_mm(thread)) / 1000.0
    }

    /// Torque in N·m that loosens the joint again while it is fresh, with the same friction: F·(−P/2π +
    /// friction). The thread's slope helps instead of resisting; the sign is the whole difference.
    pub fn loosening_torque_nm(self, thread: &Thread, preload_n: f64) -> f64 {
        preload_n * (self.arm_mm(thread) - pitch_arm_mm(thread)) / 1000.0
    }

    /// Nut factor K, torque over preload and diameter.
    pub fn nut_factor(self, thread: &Thread) -> f64 {
        nut_factor(
            self.tightening_torque_nm(thread, 1.0),
            1.0,
            thread.diameter_mm(),
        )
    }

    /// Coefficient of friction in the thread; where only a nut factor is known, the one coefficient that
    /// gives it in thread and head alike (total friction μ_tot, ISO 16047).
    pub fn thread_coefficient(self, thread: &Thread) -> f64 {
        match self {
            Self::Coefficients { thread: flank, .. } => flank,
            _ => {
                let unit = Self::Coefficients {
                    thread: 1.0,
                    head: 1.0,
                };
                self.arm_mm(thread) / unit.arm_mm(thread)
            }
        }
    }

    /// How far preload differs between bolts tightened to one torque, in per cent either way: 25
    /// lubricated, 35 not (Journal of Failure Analysis and Prevention 2019, doi
    /// 10.1007/s11668-019-00693-z, introduction). A number alone says nothing of a lubricant.
    pub fn preload_scatter_percent(self) -> f64 {
        match self {
            Self::Finish(finish) if finish.lubricated => 25.0,
            _ => 35.0,
        }
    }
}

/// The pitch's own part of the torque for each newton of preload, P/2π, in mm.
fn pitch_arm_mm(thread: &Thread) -> f64 {
    thread.pitch_mm() / (2.0 * PI)
}

/// Nut factor K = T/(F·d) of a torque in N·m, a preload in N and a diameter in mm.
pub fn nut_factor(torque_nm: f64, preload_n: f64, diameter_mm: f64) -> f64 {
    torque_nm * 1000.0 / (preload_n * diameter_mm)
}

/// Tightening factor α_A of a scatter in per cent either way: largest preload over smallest,
/// (1 + t)/(1 − t). Source: VDI 2230 Part 1.
pub fn tightening_factor(scatter_percent: f64) -> f64 {
    (100.0 + scatter_percent) / (100.0 - scatter_percent)
}
