//! Values of a document as numbers, texts, words of the format and objects, and what is said of
//! those that do not fit.

use super::{Kind, Node};
use crate::dataset::limits;
use crate::dataset::pointer::Pointer;
use crate::problem::{Problem, Problems, quoted};
use std::collections::BTreeMap;

/// What a value of a document can be read as.
pub trait Value: Sized {
    /// Reads a value; nothing, and one problem more, if it does not fit.
    fn read<N: Node>(value: &N, pointer: &Pointer, problems: &mut Problems) -> Option<Self>;

    /// What it means that a field is not there; nothing if it must be.
    fn absent() -> Option<Self> {
        None
    }
}

/// The members of an object, read one after the other until one does not fit.
pub struct Members<'a, N> {
    object: &'a N,
    pointer: &'a Pointer<'a>,
    problems: &'a mut Problems,
    fit: bool,
}

impl<'a, N: Node> Members<'a, N> {
    /// The members of `object`; none, and one problem more, if it is no object.
    pub fn of(object: &'a N, pointer: &'a Pointer, problems: &'a mut Problems) -> Self {
        let fit = object.kind() == Kind::Object;
        if !fit {
            refuse(object, pointer, "an object", problems);
        }
        Self {
            object,
            pointer,
            problems,
            fit,
        }
    }

    /// Reads the member `key` into a field. If it does not fit or is missing, that is one problem
    /// more, and nothing further is read.
    pub fn read<T: Value>(&mut self, key: &str, field: &mut T) {
        let member = self.fit.then(|| self.object.member(key));
        let read = match member {
            None => return,
            Some(Some(value)) => T::read(&value, &self.pointer.member(key), self.problems),
            Some(None) => T::absent().or_else(|| self.missing(key)),
        };
        match read {
            Some(read) => *field = read,
            None => self.fit = false,
        }
    }

    fn missing<T>(&mut self, key: &str) -> Option<T> {
        self.problems.push(missing::<N>(self.pointer, key));
        None
    }

    /// Whether every member that was read fits.
    pub fn fit(&self) -> bool {
        self.fit
    }
}

/// Reads objects member by member. What must be there is said by the types of the fields.
macro_rules! objects {
    ($($object:ident { $($field:ident $(= $key:literal)?),+ })+) => { $(
        impl $crate::dataset::read::value::Value for $object {
            fn read<N: $crate::dataset::read::Node>(
                value: &N,
                pointer: &$crate::dataset::pointer::Pointer,
                problems: &mut $crate::problem::Problems,
            ) -> Option<Self> {
                let mut object = Self::default();
                let Self { $($field),+ } = &mut object;
                let mut members =
                    $crate::dataset::read::value::Members::of(value, pointer, problems);
                $(members.read(objects!(@key $field $($key)?), $field);)+
                members.fit().then_some(object)
            }
        }

        impl $crate::dataset::read::value::Listed for $object {}
    )+ };
    (@key $field:ident) => { stringify!($field) };
    (@key $field:ident $key:literal) => { $key };
}
pub(crate) use objects;

/// Reads words.
macro_rules! words {
    ($($word:ident { $($text:literal = $variant:ident),+ })+) => { $(
        impl $crate::dataset::read::value::Value for $word {
            fn read<N: $crate::dataset::read::Node>(
                value: &N,
                pointer: &$crate::dataset::pointer::Pointer,
                problems: &mut $crate::problem::Problems,
            ) -> Option<Self> {
                let texts = &[$($text),+];
                let known = $crate::dataset::read::value::word(value, pointer, texts, problems)?;
                [$(Self::$variant),+].get(known).copied()
            }
        }
    )+ };
}
pub(crate) use words;

/// The problem of an object without a field that it must have.
pub fn missing<N: Node>(object: &Pointer, key: &str) -> Problem {
    if !N::SAYS_WHAT_WAS_FOUND {
        return Problem::new(object.member(key), "nothing", "a required field");
    }
    Problem::new(
        object,
        format!("no \"{key}\""),
        format!("the required field \"{key}\""),
    )
}

impl<T: Value> Value for Option<T> {
    fn read<N: Node>(value: &N, pointer: &Pointer, problems: &mut Problems) -> Option<Self> {
        if value.kind() == Kind::Null {
            return Some(None);
        }
        T::read(value, pointer, problems).map(Some)
    }

    fn absent() -> Option<Self> {
        Some(None)
    }
}

impl Value for String {
    fn read<N: Node>(value: &N, pointer: &Pointer, problems: &mut Problems) -> Option<Self> {
        fitting(value.text(), value, pointer, "a text", problems)
    }
}

impl Value for bool {
    fn read<N: Node>(value: &N, pointer: &Pointer, problems: &mut Problems) -> Option<Self> {
        fitting(value.truth(), value, pointer, "true or false", problems)
    }
}

impl Value for f64 {
    fn read<N: Node>(value: &N, pointer: &Pointer, problems: &mut Problems) -> Option<Self> {
        number(value, pointer, "a number", problems)
    }
}

/// A number that can be held.
pub(super) fn number<N: Node>(
    value: &N,
    pointer: &Pointer,
    wanted: &str,
    problems: &mut Problems,
) -> Option<f64> {
    match value.number() {
        Some(number) if number.is_finite() => Some(number),
        Some(_) => {
            let found = "a number too large to be read";
            problems.push(Problem::new(pointer, found, "a smaller one"));
            None
        }
        None => fitting(None, value, pointer, wanted, problems),
    }
}

/// A type of whole numbers.
trait Whole: TryFrom<i64> {
    /// What it takes, in words, for one who wrote what was found.
    fn wanted(found: &str) -> String;
}

impl Whole for i32 {
    fn wanted(found: &str) -> String {
        if is_whole(found) {
            return format!("a whole number from {} to {}", Self::MIN, Self::MAX);
        }
        "a whole number".into()
    }
}

impl Whole for u32 {
    fn wanted(found: &str) -> String {
        if is_whole(found) && !found.starts_with('-') {
            return format!("a whole number from 0 to {}", Self::MAX);
        }
        "a whole number, 0 or more".into()
    }
}

impl Whole for i64 {
    fn wanted(found: &str) -> String {
        if is_whole(found) {
            return "a whole number of at most 18 digits".into();
        }
        "a whole number".into()
    }
}

fn is_whole(found: &str) -> bool {
    found
        .bytes()
        .all(|byte| byte.is_ascii_digit() || byte == b'-')
}

fn whole<T: Whole, N: Node>(value: &N, pointer: &Pointer, problems: &mut Problems) -> Option<T> {
    let whole = value.whole().and_then(|whole| T::try_from(whole).ok());
    if whole.is_none() && N::SAYS_WHAT_WAS_FOUND {
        refuse(value, pointer, &T::wanted(&in_words(value)), problems);
    } else if whole.is_none() {
        refuse(value, pointer, "a whole number within its limits", problems);
    }
    whole
}

fn wholes<T: Whole, N: Node>(value: &N, at: &Pointer, problems: &mut Problems) -> Option<Vec<T>> {
    let written = value.wholes().unwrap_or_default();
    let mut read = Vec::with_capacity(written.len());
    for number in &written {
        let Ok(number) = T::try_from(*number) else {
            break;
        };
        read.push(number);
    }
    if read.is_empty() || read.len() < written.len() {
        // Element by element, for the problem of the first that does not fit.
        return list(value, at, problems, whole);
    }
    Some(read)
}

/// An array, element by element up to the first that does not fit.
pub(super) fn list<T, N: Node>(
    value: &N,
    pointer: &Pointer,
    problems: &mut Problems,
    read: impl Fn(&N, &Pointer, &mut Problems) -> Option<T>,
) -> Option<Vec<T>> {
    if value.kind() != Kind::Array {
        refuse(value, pointer, "an array", problems);
        return None;
    }
    let elements = value.elements();
    let mut list = Vec::with_capacity(elements.len());
    for (i, element) in elements.iter().enumerate() {
        list.push(read(element, &pointer.nth(i), problems)?);
    }
    Some(list)
}

macro_rules! wholes {
    ($($whole:ident)*) => { $(
        impl Value for $whole {
            fn read<N: Node>(
                value: &N,
                pointer: &Pointer,
                problems: &mut Problems,
            ) -> Option<Self> {
                whole(value, pointer, problems)
            }
        }

        impl Value for Vec<$whole> {
            fn read<N: Node>(
                value: &N,
                pointer: &Pointer,
                problems: &mut Problems,
            ) -> Option<Self> {
                wholes(value, pointer, problems)
            }
        }
    )* };
}
wholes!(i32 u32 i64);

impl Value for Vec<f64> {
    fn read<N: Node>(value: &N, pointer: &Pointer, problems: &mut Problems) -> Option<Self> {
        list(value, pointer, problems, f64::read)
    }
}

/// A catalogue of texts by their keys.
impl Value for BTreeMap<String, String> {
    fn read<N: Node>(value: &N, pointer: &Pointer, problems: &mut Problems) -> Option<Self> {
        let mut texts = Self::new();
        let mut members = Members::of(value, pointer, problems);
        for key in value.keys() {
            let mut text = String::new();
            members.read(&key, &mut text);
            texts.insert(key, text);
        }
        members.fit().then_some(texts)
    }
}

/// What may stand in a list that means the same empty and absent.
pub trait Listed: Value {}

impl Listed for String {}

impl<T: Listed> Value for Vec<T> {
    fn read<N: Node>(value: &N, pointer: &Pointer, problems: &mut Problems) -> Option<Self> {
        if value.kind() == Kind::Null {
            return Self::absent();
        }
        list(value, pointer, problems, T::read)
    }

    fn absent() -> Option<Self> {
        Some(Vec::new())
    }
}

/// The index of a text among a few words.
pub(crate) fn word<N: Node>(
    value: &N,
    pointer: &Pointer,
    words: &[&str],
    problems: &mut Problems,
) -> Option<usize> {
    let text = value.text();
    let known = words.iter().position(|word| text.as_deref() == Some(word));
    if known.is_none() && !N::SAYS_WHAT_WAS_FOUND {
        refuse(value, pointer, "a word of the format", problems);
    } else if known.is_none() {
        let found = text.map_or_else(|| in_words(value), |text| quoted(&text));
        problems.push(Problem::new(pointer, found, one_of(words)));
    }
    known
}

fn one_of(words: &[&str]) -> String {
    let list = |between: &str| format!("\"{}\"", words.join(&format!("\"{between}\"")));
    match words.len() {
        0..=2 => list(" or "),
        _ => format!("one of {}", list(", ")),
    }
}

/// What stands there, in words.
fn in_words<N: Node>(value: &N) -> String {
    match value.kind() {
        Kind::Text => format!("the text {}", quoted(&value.text().unwrap_or_default())),
        Kind::Number => value.digits(),
        Kind::Bool => value.truth().unwrap_or_default().to_string(),
        other => other.words().to_owned(),
    }
}

/// What was read of a value; if nothing, it does not fit, which is noted.
fn fitting<T, N: Node>(
    read: Option<T>,
    value: &N,
    pointer: &Pointer,
    wanted: &str,
    problems: &mut Problems,
) -> Option<T> {
    if read.is_none() {
        refuse(value, pointer, wanted, problems);
    }
    read
}

/// Notes that a value does not fit.
fn refuse<N: Node>(value: &N, pointer: &Pointer, wanted: &str, problems: &mut Problems) {
    if problems.is_full() {
        return problems.count_one_more();
    }
    if !N::SAYS_WHAT_WAS_FOUND {
        return problems.push(Problem::new(pointer, "something else", wanted));
    }
    let problem = Problem::new(pointer, in_words(value), wanted);
    let fraction = value.kind() == Kind::Number && problem.found.contains('.');
    let counted = counted(&problem.pointer).filter(|_| fraction);
    problems.push(match counted {
        Some(unit) => problem.hint(format!("this field counts {unit}")),
        None => problem,
    });
}

/// What a whole-numbered field counts, by the ending of its name.
fn counted(pointer: &str) -> Option<&'static str> {
    let mut names = pointer
        .rsplit('/')
        .filter(|part| !part.bytes().all(|byte| byte.is_ascii_digit()));
    limits::unit(names.next()?)
}

#[cfg(all(test, not(target_arch = "wasm32")))]
mod tests;
