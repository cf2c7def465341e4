//! Where a value stands in a document.

/// The place of a value, part by part; a pointer only once there is something to say about it.
#[derive(Clone, Copy, Debug)]
pub enum Place<'a> {
    /// The whole document.
    Top,
    /// A member of an object.
    Member(&'a Place<'a>, &'a str),
    /// An element of a list that is a member of an object.
    Element(&'a Place<'a>, &'a str, usize),
    /// An element of a list.
    Nth(&'a Place<'a>, usize),
}

impl Place<'_> {
    /// The place of a member of the object here.
    pub fn member<'a>(&'a self, key: &'a str) -> Place<'a> {
        Place::Member(self, key)
    }

    /// The place of an element, from 0, of the list `key` of the object here.
    pub fn element<'a>(&'a self, key: &'a str, index: usize) -> Place<'a> {
        Place::Element(self, key, index)
    }

    /// The place of an element of the list here, from 0.
    pub fn nth(&self, index: usize) -> Place<'_> {
        Place::Nth(self, index)
    }

    /// JSON pointer (RFC 6901). The format's own keys need no escape.
    pub fn pointer(&self) -> String {
        match self {
            Self::Top => String::new(),
            Self::Member(outer, key) => format!("{}/{key}", outer.pointer()),
            Self::Element(outer, key, index) => format!("{}/{key}/{index}", outer.pointer()),
            Self::Nth(outer, index) => format!("{}/{index}", outer.pointer()),
        }
    }
}

impl From<Place<'_>> for String {
    fn from(place: Place<'_>) -> Self {
        place.pointer()
    }
}

impl From<&Place<'_>> for String {
    fn from(place: &Place<'_>) -> Self {
        place.pointer()
    }
}
