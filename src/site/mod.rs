//! The site: the module compiled and bound, the script bundled, the page filled in.
//!
//! [`compile`] and [`bind`] make the module, [`bundle`] makes one script of the modules of `www/`,
//! [`code`] holds the two, [`page`] fills in the page, with the module as text (`byte_text`), [`baked`] makes the finished answer of an article with the
//! part of the style sheet that is [`needed_style`], [`publish`] proves that what is published answers like the file it
//! was made from, [`files`] is the result, each file with its [`mark`]. [`guard`] says what must not be replaced,
//! [`put`] writes the files to a folder, [`preview`] serves what is [`shown`] on this machine alone.

pub mod baked;
pub mod bind;
pub mod bundle;
pub mod citation;
pub mod code;
pub mod compile;
pub mod files;
pub mod guard;
pub mod mark;
pub mod byte_text;
pub mod needed_style;
pub mod page;
pub mod preview;
pub mod publish;
pub mod put;
mod request;
pub mod shown;
pub mod texts;
pub mod tool;

/// Why a site could not be made: what went wrong, and what to do.
#[derive(Debug)]
pub struct SiteError(pub String);

impl std::fmt::Display for SiteError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for SiteError {}

impl SiteError {
    /// What could not be done to a file, and why.
    pub fn file(doing: &str, path: &std::path::Path, error: &std::io::Error) -> Self {
        Self(format!("cannot {doing} {}: {error}", path.display()))
    }
}
