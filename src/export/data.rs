//! What people take along of an answer.

use serde::Serialize;

/// An answer in the forms in which it leaves the page.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct Taken {
    /// Title of a page that shows it.
    pub title: String,
    /// Name of a file that holds it, without its ending.
    pub name: String,
    /// The plain answer and the whole table, as HTML in the form in which browsers write it.
    pub plain: String,
    /// The answer as text, with what it rests on.
    pub text: String,
    /// Whose the results are: title, edition, licence.
    pub credit: String,
    /// The field of the question as CSV (RFC 4180): exact figures in SI units.
    pub csv: String,
}
