//! Where a value stands in a document.

/// The place of a value, part by part; a pointer only once there is something to say about it.
#[derive(Clone, Copy, Debug)]
pub enum Pointer<'a> {
    /// The whole document.
    Top,
    /// A member of an object.
    Member(&'a Pointer<'a>, &'a str),
    /// An element of a list that is a member of an object.
    Element(&'a Pointer<'a>, &'a str, usize),
    /// An element of a list.
    Nth(&'a Pointer<'a>, usize),
}

impl Pointer<'_> {
    /// The pointer of a member of the object here.
    pub fn member<'a>(&'a self, key: &'a str) -> Pointer<'a> {
        Pointer::Member(self, key)
    }

    /// The pointer of an element, from 0, of the list `key` of the object here.
    pub fn element<'a>(&'a self, key: &'a str, index: usize) -> Pointer<'a> {
        Pointer::Element(self, key, index)
    }

    /// The pointer of an element of the list here, from 0.
    pub fn nth(&self, index: usize) -> Pointer<'_> {
        Pointer::Nth(self, index)
    }

    /// JSON pointer (RFC 6901). The format's own keys need no escape.
    pub fn text(&self) -> String {
        match self {
            Self::Top => String::new(),
            Self::Member(outer, key) => format!("{}/{key}", outer.text()),
            Self::Element(outer, key, index) => format!("{}/{key}/{index}", outer.text()),
            Self::Nth(outer, index) => format!("{}/{index}", outer.text()),
        }
    }
}

impl From<Pointer<'_>> for String {
    fn from(pointer: Pointer<'_>) -> Self {
        pointer.text()
    }
}

impl From<&Pointer<'_>> for String {
    fn from(pointer: &Pointer<'_>) -> Self {
        pointer.text()
    }
}
