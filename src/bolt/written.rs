//! A bolt as people write it: `M20 10.9`, `M22x1.5 8.8 oiled`, `M12 A2-70`, `1/2-13 grade 8`.

pub(super) mod pieces;

use super::class::{Class, stainless};
use super::friction::{FINISHES, Finish, Friction};
use super::thread::{INCH_SERIES, Size, Thread};
use super::{Bolt, Preload, System};
use crate::units::LONGEST_WRITTEN_TORQUE;
use pieces::{Piece, pieces};

/// Why a text is no bolt.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum ParseBoltError {
    /// It does not begin like a thread, or is longer than [`LONGEST_WRITTEN_TORQUE`].
    NotAThread,
    /// It begins like a thread of a size that is not in [`super::SIZES`].
    UnknownThread,
    /// The size has no such pitch.
    UnknownPitch(&'static Size),
    /// No class or grade is given.
    NoClass(Thread),
    /// There is no such class or grade for this size.
    UnknownClass(&'static Size),
    /// A number is beyond [`LIMITS`]; it is given as written.
    BeyondLimits(String),
    /// This piece, as written, says nothing about a bolt, or says again what was said.
    NotUnderstood(String),
}

/// What is taken, in thousandths.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Nut factor.
    pub nut_factor: [u32; 2],
    /// Coefficient of friction.
    pub coefficient: [u32; 2],
    /// Per cent of the proof load or of the yield strength.
    pub percent: [u32; 2],
}

/// The limits: wide about all that is in use, and so that every joint holds by itself.
pub const LIMITS: Limits = Limits {
    nut_factor: [80, 500],
    coefficient: [40, 400],
    percent: [10_000, 100_000],
};

/// Of the proof load, where nothing else is said.
const OF_PROOF: u32 = 75_000;

/// Of the yield strength, where nothing else is said.
const OF_YIELD: u32 = 90_000;

/// From here on what follows a `×` is a length, in thousandths of a millimetre; no pitch is as long.
const A_LENGTH: u32 = 5_000;

/// Words that say no more than what they stand beside.
const FILLERS: [&str; 18] = [
    "a", "an", "at", "bolt", "compound", "in", "inch", "load", "metric", "of", "plated",
    "property", "sae", "screw", "seize", "strength", "stud", "thread",
];

/// Words after which a number is a class or grade.
const NAMES_OF_CLASS: [&str; 4] = ["class", "cl", "grade", "gr"];

impl Bolt {
    /// Reads a thread, a class or grade, and, if wanted, a finish, `K 0.18` or `μ 0.12`, and a share of
    /// the proof load (`70 %`) or of the yield strength (`85 % yield`). Case, spaces and signs between
    /// them do not matter; a length and a fit (`M20×80`, `6g`, `2A`) are passed over.
    ///
    /// # Errors
    ///
    /// Says what is wrong; a class is never guessed. A thread without a pitch is the coarse one.
    pub fn parse(text: &str) -> Result<Self, ParseBoltError> {
        if text.chars().count() > LONGEST_WRITTEN_TORQUE {
            return Err(ParseBoltError::NotAThread);
        }
        let pieces = pieces(text);
        let begins = pieces
            .iter()
            .take_while(|piece| matches!(piece, Piece::Word(word) if is_one_of(word, &FILLERS)));
        let pieces = pieces.get(begins.count()..).unwrap_or_default();
        let (size, rest) = size(pieces)?;
        Reading::new(size).read(rest)
    }
}

fn is_one_of(word: &str, known: &[&str]) -> bool {
    known.iter().any(|known| known.eq_ignore_ascii_case(word))
}

/// The size that pieces begin with, and what follows it.
fn size<'p, 'a>(
    pieces: &'p [Piece<'a>],
) -> Result<(&'static Size, &'p [Piece<'a>]), ParseBoltError> {
    use Piece::{Number, Sign, Word};
    let (size, rest) = match pieces {
        [Word("m" | "M"), Number(diameter, _), rest @ ..] => {
            (in_units(System::Metric, *diameter, 1_000), rest)
        }
        [Number(part, _), Sign('/'), Number(whole, _), rest @ ..]
            if *part < 4 * whole && matches!(whole, 2_000 | 4_000 | 8_000 | 16_000) =>
        {
            (in_units(System::Inch, part * 16, *whole), rest)
        }
        // One and a fraction, such as 1-1/8: larger than any here.
        [Number(1_000, _), Sign('-'), Number(..), Sign('/'), ..] => (None, pieces),
        [Number(1_000, _), rest @ ..] if rest.first().is_some_and(marks_inches) => {
            (Size::of(System::Inch, 16), rest)
        }
        _ => return Err(ParseBoltError::NotAThread),
    };
    Ok((size.ok_or(ParseBoltError::UnknownThread)?, rest))
}

/// The size whose diameter is a quotient of two numbers, if that is whole.
fn in_units(system: System, part: u32, whole: u32) -> Option<&'static Size> {
    part.is_multiple_of(whole)
        .then(|| Size::of(system, part / whole))?
}

/// Whether what follows a number makes it inches.
fn marks_inches(piece: &Piece) -> bool {
    match piece {
        Piece::Sign(sign) => matches!(sign, '-' | '"' | '″' | '”'),
        Piece::Word(word) => is_one_of(word, &["in", "inch"]) || is_one_of(word, &INCH_SERIES),
        Piece::Number(..) => false,
    }
}

/// What a number stands for that a word before it has named.
#[derive(Clone, Copy, PartialEq)]
enum Named {
    Class,
    NutFactor,
    Coefficient,
    /// Behind a `×`.
    Pitch,
}

/// What was read so far.
struct Reading {
    size: &'static Size,
    thread: Option<Thread>,
    class: Option<&'static Class>,
    friction: Option<Friction>,
    share: Option<u32>,
    of_yield: Option<bool>,
}

impl Reading {
    fn new(size: &'static Size) -> Self {
        Self {
            size,
            thread: None,
            class: None,
            friction: None,
            share: None,
            of_yield: None,
        }
    }

    fn read(mut self, mut rest: &[Piece]) -> Result<Bolt, ParseBoltError> {
        // What the next number is, and the word or sign that says so.
        let mut named: Option<(Named, String)> = None;
        while let Some((piece, behind)) = rest.split_first() {
            rest = behind;
            match *piece {
                Piece::Number(number, written) => {
                    match (named.take(), behind.first()) {
                        (Some((named, _)), _) => self.named(named, number, written)?,
                        (None, Some(Piece::Sign('%'))) => {
                            let share = within(number, LIMITS.percent, written)?;
                            once(&mut self.share, share, written)?;
                            rest = behind.get(1..).unwrap_or_default();
                        }
                        // A fit, such as 6g or 2A.
                        (None, Some(Piece::Word("g" | "h" | "H" | "a" | "A" | "b" | "B")))
                            if behind.get(1..).is_none_or(|next| steel(next).is_none()) =>
                        {
                            rest = behind.get(1..).unwrap_or_default();
                        }
                        (None, _) => self.number(number, written)?,
                    }
                }
                Piece::Word("a" | "A") if let Some((number, written, after)) = steel(behind) => {
                    refuse_open(named.take_if(|(named, _)| *named != Named::Class))?;
                    named = None;
                    self.class(number, &written)?;
                    rest = after;
                }
                Piece::Word(word) => {
                    let naming = self.word(word)?;
                    let before = named.take_if(|_| !is_one_of(word, &FILLERS));
                    refuse_open(before)?;
                    named = naming.map(|naming| (naming, word.to_owned())).or(named);
                }
                Piece::Sign(sign @ ('×' | '*')) => {
                    refuse_open(named.replace((Named::Pitch, sign.to_string())))?;
                }
                Piece::Sign(
                    '-' | '–' | '‐' | '‑' | ',' | ';' | ':' | '=' | '.' | '"' | '″' | '”' | '('
                    | ')',
                ) => {}
                Piece::Sign(sign) => return Err(ParseBoltError::NotUnderstood(sign.to_string())),
            }
        }
        refuse_open(named)?;
        self.bolt()
    }

    /// A number behind a word or sign that says what it is.
    fn named(&mut self, named: Named, number: u32, written: &str) -> Result<(), ParseBoltError> {
        let value = f64::from(number) / 1000.0;
        match named {
            Named::Class => self.class(number, written),
            Named::NutFactor => {
                within(number, LIMITS.nut_factor, written)?;
                once(&mut self.friction, Friction::NutFactor(value), written)
            }
            Named::Coefficient => {
                within(number, LIMITS.coefficient, written)?;
                let coefficients = Friction::Coefficients {
                    thread: value,
                    head: value,
                };
                once(&mut self.friction, coefficients, written)
            }
            // A pitch is known: this is a length.
            Named::Pitch if self.thread.is_some() => Ok(()),
            Named::Pitch => match self.size.thread(number) {
                Some(thread) => once(&mut self.thread, thread, written),
                None if number >= A_LENGTH => Ok(()),
                None => Err(ParseBoltError::UnknownPitch(self.size)),
            },
        }
    }

    /// A number by itself: a pitch, if it is one of the size and none was given, or a class.
    fn number(&mut self, number: u32, written: &str) -> Result<(), ParseBoltError> {
        let open = self.thread.is_none() && self.class.is_none();
        match self.size.thread(number) {
            Some(thread) if open => once(&mut self.thread, thread, written),
            None if open && Class::of(self.size, number).is_none() => Err(match self.size.system {
                System::Metric if number >= A_LENGTH => ParseBoltError::UnknownClass(self.size),
                _ => ParseBoltError::UnknownPitch(self.size),
            }),
            _ => self.class(number, written),
        }
    }

    fn class(&mut self, number: u32, written: &str) -> Result<(), ParseBoltError> {
        let class = Class::of(self.size, number);
        let class = class.ok_or(ParseBoltError::UnknownClass(self.size))?;
        once(&mut self.class, class, written)
    }

    /// A word; gives what it says about the number behind it.
    fn word(&mut self, word: &str) -> Result<Option<Named>, ParseBoltError> {
        if let Some(finish) = Finish::of(word) {
            once(&mut self.friction, Friction::Finish(finish), word)?;
        } else if is_one_of(word, &NAMES_OF_CLASS) {
            return Ok(Some(Named::Class));
        } else if is_one_of(word, &["k"]) {
            return Ok(Some(Named::NutFactor));
        } else if is_one_of(word, &["μ", "µ", "mu"]) {
            return Ok(Some(Named::Coefficient));
        } else if is_one_of(word, &["x"]) {
            return Ok(Some(Named::Pitch));
        } else if is_one_of(word, &["proof", "yield"]) {
            once(&mut self.of_yield, is_one_of(word, &["yield"]), word)?;
        } else if is_one_of(word, &INCH_SERIES) {
            self.series(word)?;
        } else if !is_one_of(word, &FILLERS) {
            return Err(ParseBoltError::NotUnderstood(word.to_owned()));
        }
        Ok(None)
    }

    /// The inch thread of the size in this series, which may have been given by its pitch before.
    fn series(&mut self, named: &str) -> Result<(), ParseBoltError> {
        let is_named = |series: &str| series.eq_ignore_ascii_case(named);
        let mut threads = self.size.threads();
        let thread = threads.find(|thread| thread.series().is_some_and(is_named));
        if thread.is_none() || self.thread.is_some() && self.thread != thread {
            return Err(ParseBoltError::UnknownPitch(self.size));
        }
        self.thread = thread;
        Ok(())
    }

    fn bolt(self) -> Result<Bolt, ParseBoltError> {
        let unknown = ParseBoltError::UnknownThread;
        let coarse = self.thread.or_else(|| self.size.threads().next());
        let thread = coarse.ok_or(unknown)?;
        let class = self.class.ok_or(ParseBoltError::NoClass(thread))?;
        let by_coefficients = matches!(self.friction, Some(Friction::Coefficients { .. }));
        let part = |usual| f64::from(self.share.unwrap_or(usual)) / 100_000.0;
        let [usual, ..] = &FINISHES;
        Ok(Bolt {
            thread,
            class,
            friction: self.friction.unwrap_or(Friction::Finish(usual)),
            preload: if self.of_yield.unwrap_or(by_coefficients) {
                Preload::OfYield(part(OF_YIELD))
            } else {
                Preload::OfProof(part(OF_PROOF))
            },
        })
    }
}

/// The number of a class of stainless steel whose `A` was read, as written, and what follows it.
fn steel<'p, 'a>(pieces: &'p [Piece<'a>]) -> Option<(u32, String, &'p [Piece<'a>])> {
    let (Piece::Number(steel @ (2_000 | 4_000), steel_written), rest) = pieces.split_first()?
    else {
        return None;
    };
    let (first, behind) = rest.split_first()?;
    let (strength, rest) = match first {
        Piece::Sign('-' | '–' | '‐' | '‑' | '/') => behind.split_first()?,
        strength => (strength, behind),
    };
    let Piece::Number(strength, strength_written) = strength else {
        return None;
    };
    let written = format!("A{steel_written}-{strength_written}");
    Some((stainless(*steel, *strength), written, rest))
}

fn within(number: u32, [low, high]: [u32; 2], written: &str) -> Result<u32, ParseBoltError> {
    if (low..=high).contains(&number) {
        Ok(number)
    } else {
        Err(ParseBoltError::BeyondLimits(written.to_owned()))
    }
}

/// Refuses a word or sign that names a number where none follows.
fn refuse_open(named: Option<(Named, String)>) -> Result<(), ParseBoltError> {
    named.map_or(Ok(()), |(_, said)| Err(ParseBoltError::NotUnderstood(said)))
}

/// Keeps what is said for the first time.
fn once<T>(slot: &mut Option<T>, value: T, written: &str) -> Result<(), ParseBoltError> {
    match slot.replace(value) {
        None => Ok(()),
        Some(_) => Err(ParseBoltError::NotUnderstood(written.to_owned())),
    }
}

#[cfg(test)]
mod tests;
