//! The fields of a record as cells of a table, each under the name of its field.

/// What stands in a cell; nothing where the field has none.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cell<'a> {
    /// A text; empty where there is none.
    Text(&'a str),
    /// A whole number.
    Whole(Option<u64>),
    /// A number, in the unit that its field's name ends with.
    Number(Option<f64>),
    /// Whether something holds.
    Truth(Option<bool>),
}

/// A field that fills a cell, or a record whose fields fill one each.
pub trait Cells {
    /// Hands over the names of its cells in their order, as the field `name` of a record.
    fn names(name: &'static str, take: &mut dyn FnMut(&'static str)) {
        take(name);
    }

    /// Hands over its cells in the same order.
    fn cells<'a>(&'a self, take: &mut dyn FnMut(Cell<'a>));
}

/// Declares a type and its cells: those of its fields. A field that is such a record itself gives its
/// own in its place.
macro_rules! record {
    ($(#[$what:meta])* pub struct $record:ident {
        $($(#[$about:meta])+ pub $field:ident: $kind:ty,)*
    }) => {
        $(#[$what])*
        pub struct $record {
            $($(#[$about])+ pub $field: $kind,)*
        }

        impl $crate::cells::Cells for $record {
            fn names(_: &'static str, take: &mut dyn FnMut(&'static str)) {
                $(<$kind as $crate::cells::Cells>::names(stringify!($field), take);)*
            }

            fn cells<'a>(&'a self, take: &mut dyn FnMut($crate::cells::Cell<'a>)) {
                $($crate::cells::Cells::cells(&self.$field, take);)*
            }
        }
    };
}
pub(crate) use record;

/// Types that fill one cell.
macro_rules! cell {
    ($($kind:ty: |$field:ident| $cell:expr;)*) => {
        $(impl Cells for $kind {
            fn cells<'a>(&'a self, take: &mut dyn FnMut(Cell<'a>)) {
                let $field = self;
                take($cell);
            }
        })*
    };
}

cell! {
    String: |text| Cell::Text(text);
    Option<String>: |text| Cell::Text(text.as_deref().unwrap_or_default());
    u32: |count| Cell::Whole(Some((*count).into()));
    Option<u32>: |count| Cell::Whole(count.map(u64::from));
    f64: |number| Cell::Number(Some(*number));
    Option<f64>: |number| Cell::Number(*number);
    Option<bool>: |truth| Cell::Truth(*truth);
}

#[cfg(test)]
mod tests {
    use super::*;

    record! {
        /// Two cells.
        #[derive(Default)]
        pub struct Inner {
            /// A count.
            pub count: u32,
            /// A figure.
            pub mass_kg: Option<f64>,
        }
    }

    record! {
        /// Four.
        #[derive(Default)]
        pub struct Outer {
            /// A text.
            pub name: String,
            /// Two.
            pub inner: Inner,
            /// A truth.
            pub fits: Option<bool>,
        }
    }

    #[test]
    fn a_record_in_a_record_gives_its_cells_in_its_place() {
        let mut names = Vec::new();
        Outer::names("", &mut |name| names.push(name));
        assert_eq!(names, ["name", "count", "mass_kg", "fits"]);
        let outer = Outer {
            name: "a".into(),
            inner: Inner {
                count: 2,
                mass_kg: Some(1.5),
            },
            fits: None,
        };
        let mut cells = Vec::new();
        outer.cells(&mut |cell| cells.push(cell));
        let wanted = [
            Cell::Text("a"),
            Cell::Whole(Some(2)),
            Cell::Number(Some(1.5)),
            Cell::Truth(None),
        ];
        assert_eq!(cells, wanted);
    }
}
