//! The published dataset as bytes, which the visitor's module reads: fields in order, without names.
//!
//! The first line is the mark of who wrote the file. After it come a checksum and the body:
//!
//! 1. the number of texts and the length of each in bytes, then the lengths of the columns of fields
//!    and of steps, all as in [`value::Reader::whole`];
//! 2. every text once, one after the other; the first is the format;
//! 3. three columns: the fields of all objects; the elements of all lists of `u32`, which are the
//!    steps of knots and, in short, typical curves and scatters; those of all lists of `i32`, which are
//!    rises and turns of knots and, in short, measures of runs.
//!
//! Which fields an object has, in which order, is said by the one list that JSON is read by
//! ([`read::fields`](super::read)). A field that a dataset holds besides is not written. Column by
//! column the knots of the demo are a twentieth smaller in brotli than run by run.

mod plain;
pub mod value;

use super::summary::InShort;
use super::types::Dataset;
use super::{FORMAT, FORMAT_IN_SHORT, MARK, MARK_START};
use crate::problem::{Problem, quoted};
use value::{Packed, Reader, packed_objects};

packed_objects! {
    Dataset {
        format, title, summary, publisher, contact, license, invented, disclosure,
        match_margin_percent, least_trigger_s, editions, rigs, setups, tools, packs, specimens,
        days, runs, jobs, field_checks, scatter
    }
}

/// Bytes of the checksum.
const CHECKSUM_LENGTH: usize = 4;

/// The 32-bit FNV-1a hash of Fowler, Noll and Vo (RFC 9923). No single changed byte leaves it
/// as it was: each step maps the hashes one to one.
pub(crate) fn checksum(bytes: &[u8]) -> u32 {
    bytes.iter().fold(0x811c_9dc5, |hash, byte| {
        (hash ^ u32::from(*byte)).wrapping_mul(0x0100_0193)
    })
}

/// Reads what `jobtorque page` wrote. It checked the dataset by meaning before, which this does not.
///
/// # Errors
///
/// One problem: bytes without a mark, of another format, or changed since.
pub fn read(bytes: &[u8]) -> Result<Dataset, Problem> {
    unpacked(bytes, FORMAT)
}

/// Reads the same in short.
///
/// # Errors
///
/// As [`read`].
pub fn read_in_short(bytes: &[u8]) -> Result<InShort, Problem> {
    unpacked(bytes, FORMAT_IN_SHORT)
}

fn unpacked<T: Packed>(bytes: &[u8], wanted_format: &str) -> Result<T, Problem> {
    let wanted = "results as `jobtorque page` writes them";
    let hint = "publish the results with `jobtorque page`, and take its results.txt";
    if !bytes.starts_with(MARK_START.as_bytes()) {
        let pointer = format!("/{MARK}");
        return Err(Problem::new(pointer, "no mark of who wrote this", wanted).hint(hint));
    }
    let changed = || Problem::new("", "bytes that were changed, or are not all", wanted).hint(hint);
    let body = summed(bytes).ok_or_else(changed)?;
    let mut reader = Reader::of(body).ok_or_else(changed)?;
    let format = reader.first_text();
    if format != wanted_format {
        let problem = Problem::new("/format", quoted(format), quoted(wanted_format));
        return Err(problem.hint("this file has another format, or one newer than this program"));
    }
    let value = T::unpack(&mut reader);
    reader.is_done().then_some(value).ok_or_else(changed)
}

/// The body after the mark and its checksum; `None` if that is of other bytes.
fn summed(bytes: &[u8]) -> Option<&[u8]> {
    let line = bytes.iter().position(|byte| *byte == b'\n')?;
    let (sum, body) = bytes.get(line + 1..)?.split_at_checked(CHECKSUM_LENGTH)?;
    (sum == checksum(body).to_le_bytes()).then_some(body)
}

/// The bytes of a published dataset, or of one in short, which a mark on a line of its own must stand
/// before.
#[cfg(not(target_arch = "wasm32"))]
pub fn written<T: Packed>(value: &T) -> Vec<u8> {
    let mut writer = value::Writer::default();
    value.pack(&mut writer);
    let body = writer.body();
    [&checksum(&body).to_le_bytes()[..], &body].concat()
}

#[cfg(all(test, not(target_arch = "wasm32")))]
mod tests;
