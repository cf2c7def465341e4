//! The mark that every file of the site carries: the version that it was written by, and a hash
//! that shows whether the file was changed since.
//!
//! A mark reads `Jobtorque 0.1.0+0123456789abcdef sha256:…`. The part after the plus sign names the
//! build, see [`Version::of`]. The hash is the SHA-256 of the file with 64 zeros in place of the
//! hash. The first complete mark in a file is its own, so that a page may hold marked files.

use crate::problem::Problem;
use sha2::{Digest, Sha256};
use std::ops::Range;

const NAME: &str = crate::dataset::MARK_START;
const HASH: &str = " sha256:";
/// Length of a SHA-256 in hexadecimal.
const HASH_LENGTH: usize = 64;
/// Hexadecimal digits of a build's name.
const BUILD_LENGTH: usize = 16;

/// The name of the section of the module, and of the member of the JSON files, that holds the mark.
pub const MEMBER: &str = crate::dataset::MARK;

/// The version of the program and of the build: `0.1.0+0123456789abcdef`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Version(String);

/// Whose a file is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin {
    /// Written by this program, in any version, and not changed since.
    Own,
    /// Written by this program and changed since.
    Changed,
    /// Not written by this program.
    Foreign,
}

impl Version {
    /// The version of the build that `parts` (module, script and texts) make up.
    pub fn of(parts: &[&[u8]]) -> Self {
        let mut hash = Sha256::new();
        for part in parts {
            // With their lengths, so that bytes cannot move from one part to the next unnoticed.
            hash.update((part.len() as u64).to_le_bytes());
            hash.update(part);
        }
        let build: String = hex(&hash.finalize()).chars().take(BUILD_LENGTH).collect();
        Self(format!("{}+{build}", env!("CARGO_PKG_VERSION")))
    }

    /// The version of the program alone, for a file that no build of the site went into.
    pub fn of_program() -> Self {
        Self(env!("CARGO_PKG_VERSION").to_owned())
    }

    /// The version in the mark of a file; `None` for a file without a mark.
    pub fn in_file(file: &[u8]) -> Option<Self> {
        let (version, _) = find(file)?;
        std::str::from_utf8(file.get(version)?)
            .ok()
            .map(|version| Self(version.to_owned()))
    }

    /// The version as text.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// The mark to be put into a file before [`sealed`].
    pub fn mark(&self) -> String {
        format!("{NAME}{}{HASH}{}", self.0, "0".repeat(HASH_LENGTH))
    }
}

/// A file with the hash filled into its mark. A file without a mark stays as it is.
pub fn sealed(mut file: Vec<u8>) -> Vec<u8> {
    if let Some((_, hash)) = find(&file) {
        let digits = digest(&file, &hash);
        if let Some(zeros) = file.get_mut(hash) {
            zeros.copy_from_slice(digits.as_bytes());
        }
    }
    file
}

/// Whose a file is, by its mark.
pub fn origin(file: &[u8]) -> Origin {
    match find(file) {
        None => Origin::Foreign,
        Some((_, hash)) if file.get(hash.clone()) == Some(digest(file, &hash).as_bytes()) => {
            Origin::Own
        }
        Some(_) => Origin::Changed,
    }
}

/// That a dataset carries no mark of the program, or carries it as the program left it.
///
/// # Errors
///
/// A file that was changed since `page` wrote it, or whose mark is not whole.
pub fn unchanged(dataset: &[u8]) -> Result<(), Problem> {
    #[derive(serde::Deserialize)]
    struct Marked {
        jobtorque: Option<serde_json::Value>,
    }
    if origin(dataset) == Origin::Own {
        return Ok(());
    }
    // What is no JSON, or has the member twice, is told where it is read.
    let marked = serde_json::from_slice::<Marked>(dataset).ok();
    let mark = marked.and_then(|marked| marked.jobtorque);
    let Some(mark) = mark.as_ref().and_then(|mark| mark.as_str()) else {
        return Ok(());
    };
    if !mark.starts_with(NAME) {
        return Ok(());
    }
    let found = match find(mark.as_bytes()) {
        Some((version, hash)) if version.start == NAME.len() && hash.end == mark.len() => {
            "a file that was changed since `jobtorque page` wrote it"
        }
        _ => "a mark of `jobtorque page` that is not whole",
    };
    let wanted = "the file as it was written, or one without this mark";
    let hint = "publish anew from what the file was made of; without the member \"jobtorque\" it is a dataset of your own";
    Err(Problem::new(format!("/{MEMBER}"), found, wanted).hint(hint))
}

/// Script with its mark in a comment on the first line.
pub fn script(version: &Version, text: &str) -> String {
    format!("// {}\n{text}", version.mark())
}

/// The text of a JSON object with its mark as the first member.
pub fn json(version: &Version, text: &str) -> String {
    let rest = text.trim_start();
    let rest = rest.strip_prefix('{').unwrap_or(rest);
    let comma = if rest.trim_start().starts_with('}') {
        ""
    } else {
        ","
    };
    format!("{{\n\"{MEMBER}\": \"{}\"{comma}{rest}", version.mark())
}

/// Packed results, or the text that stands for them, with the mark on a line before.
pub fn results(version: &Version, packed: &[u8]) -> Vec<u8> {
    [version.mark().as_bytes(), b"\n", packed].concat()
}

/// A WebAssembly module with its mark in a custom section at the end.
pub fn module(version: &Version, module: &[u8]) -> Vec<u8> {
    let mark = version.mark();
    let length = 1 + MEMBER.len() + mark.len();
    let mut marked = module.to_vec();
    marked.push(0);
    // The length as LEB128, in two bytes: it lies between 128 and 16,383.
    marked.extend([length as u8 | 0x80, (length >> 7) as u8]);
    marked.push(MEMBER.len() as u8);
    marked.extend(MEMBER.as_bytes());
    marked.extend(mark.as_bytes());
    marked
}

/// A PNG picture with its mark after the end of the image, where decoders no longer read: in a chunk,
/// the mark's hash and the chunk's checksum would depend on each other.
pub fn png(version: &Version, picture: &[u8]) -> Vec<u8> {
    [picture, version.mark().as_bytes()].concat()
}

/// An SVG document with its mark in a comment before all that it shows.
pub fn svg(version: &Version, document: &str) -> String {
    let (start, rest) = document.split_once('>').unwrap_or((document, ""));
    format!("{start}>\n<!-- {} -->{rest}", version.mark())
}

/// Where the version and the hash of the first complete mark stand.
fn find(file: &[u8]) -> Option<(Range<usize>, Range<usize>)> {
    let starts = file.windows(NAME.len()).enumerate();
    let mut starts = starts.filter(|(_, window)| *window == NAME.as_bytes());
    starts.find_map(|(at, _)| {
        let start = at + NAME.len();
        let rest = file.get(start..)?;
        let of_version = |byte: &u8| byte.is_ascii_alphanumeric() || b".+-".contains(byte);
        let end = start + rest.iter().take_while(|byte| of_version(byte)).count();
        let hash = end + HASH.len();
        let is_hash = file.get(end..hash)? == HASH.as_bytes();
        let hash = hash..hash + HASH_LENGTH;
        let digits = file.get(hash.clone())?;
        let complete = is_hash && end > start && digits.iter().all(u8::is_ascii_hexdigit);
        complete.then_some((start..end, hash))
    })
}

/// The hash of a file, with zeros where the hash stands.
fn digest(file: &[u8], hash: &Range<usize>) -> String {
    let (before, after) = (file.get(..hash.start), file.get(hash.end..));
    let mut digest = Sha256::new();
    digest.update(before.unwrap_or_default());
    digest.update([b'0'; HASH_LENGTH]);
    digest.update(after.unwrap_or_default());
    hex(&digest.finalize())
}

/// Bytes in hexadecimal.
pub fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn version() -> Version {
        Version::of(&[b"module", b"script"])
    }

    #[test]
    fn a_marked_file_is_own_until_one_byte_changes() {
        let files = [
            sealed(script(&version(), "f();\n").into_bytes()),
            sealed(json(&version(), "{\n\"a\": 1\n}\n").into_bytes()),
            sealed(module(&version(), b"\0asm\x01\0\0\0")),
            sealed(results(&version(), b"\x01\0\n\xff")),
            sealed(png(&version(), b"\x89PNG\r\n\x1a\n")),
            sealed(svg(&version(), "<svg xmlns=\"x\">\n<path/></svg>\n").into_bytes()),
        ];
        for file in files {
            assert_eq!(origin(&file), Origin::Own);
            assert_eq!(Version::in_file(&file), Some(version()));
            for at in 0..file.len() {
                let mut changed = file.clone();
                changed[at] ^= 0x01;
                assert_ne!(origin(&changed), Origin::Own, "byte {at}");
            }
        }
    }

    #[test]
    fn what_carries_no_complete_mark_is_foreign() {
        let cut = &version().mark()[..60];
        for file in ["", "<h1>Jobtorque 0.1.0</h1>", "Jobtorque ", cut] {
            assert_eq!(origin(file.as_bytes()), Origin::Foreign, "{file}");
        }
    }

    #[test]
    fn the_first_mark_is_the_file_s_own() {
        let inner = sealed(script(&version(), "f();\n").into_bytes());
        let mut page = format!("<p>Jobtorque </p><i>{}</i>", version().mark()).into_bytes();
        page.extend(&inner);
        assert_eq!(origin(&page), Origin::Changed, "not sealed yet");
        assert_eq!(origin(&sealed(page)), Origin::Own);
    }

    #[test]
    fn a_dataset_that_was_changed_or_whose_mark_is_cut_is_not_taken_for_a_published_one() {
        let published = sealed(json(&version(), "{\"title\": \"a\"}").into_bytes());
        let text = String::from_utf8(published).unwrap();
        let refused = |text: &str| unchanged(text.as_bytes()).unwrap_err().to_string();
        assert_eq!(unchanged(text.as_bytes()), Ok(()));
        let changed = refused(&text.replace("\"a\"", "\"b\""));
        assert!(
            changed.starts_with("/jobtorque: found a file that was changed since"),
            "{changed}"
        );
        // Members in another order, as tools sort them.
        let rest = text.replace("\"title\": \"a\"", "\"x\": 1");
        let sorted = rest.replacen('{', "{\"a\": {\"jobtorque\": \"Jobtorque 1\"},", 1);
        assert!(refused(&sorted).contains("changed since"), "{sorted}");
        let hash = text.split(HASH).nth(1).unwrap();
        let hash = &hash[..HASH_LENGTH];
        for wrong in [
            "",
            "sha256:",
            &hash[1..],
            &format!("{hash}0"),
            &"g".repeat(64),
        ] {
            let cut = text.replace(hash, wrong);
            assert!(refused(&cut).contains("not whole"), "{cut}");
        }
        // A field of somebody else, and a mark that a note quotes.
        for other in [
            "{}",
            "{\"jobtorque\": 5}",
            "{\"jobtorque\": \"x\"}",
            "no JSON",
        ] {
            assert_eq!(unchanged(other.as_bytes()), Ok(()), "{other}");
        }
        let quoted = format!("{{\"note\": \"{}\"}}", version().mark());
        assert_eq!(unchanged(quoted.as_bytes()), Ok(()));
    }

    #[test]
    fn a_version_differs_with_every_part() {
        assert_ne!(Version::of(&[b"a", b"b"]), Version::of(&[b"a", b"c"]));
        assert_ne!(Version::of(&[b"ab", b""]), Version::of(&[b"a", b"b"]));
        assert!(
            version()
                .as_str()
                .starts_with(concat!(env!("CARGO_PKG_VERSION"), "+"))
        );
    }

    #[test]
    fn a_marked_picture_is_the_same_document_with_a_comment() {
        let marked = svg(&version(), "<svg id=\"a\">\n<path/></svg>\n");
        let comment = format!("<!-- {} -->", version().mark());
        assert_eq!(
            marked,
            format!("<svg id=\"a\">\n{comment}\n<path/></svg>\n")
        );
    }

    #[test]
    fn marked_json_is_json() {
        let value: serde_json::Value =
            serde_json::from_str(&json(&version(), " {\"a\": 1}")).unwrap();
        assert_eq!(value[MEMBER], version().mark());
        assert_eq!(value["a"], 1);
        let empty: serde_json::Value = serde_json::from_str(&json(&version(), "{}")).unwrap();
        assert_eq!(empty[MEMBER], version().mark());
    }
}
