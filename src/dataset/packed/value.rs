//! Values in packed form: whole numbers, decimals, texts, words, lists and objects.

/// The columns: of fields, of the elements of lists of `u32`, and of lists of `i32`.
pub(super) const FIELDS: usize = 0;
pub(super) const STEPS: usize = 1;
pub(super) const RISES: usize = 2;
const COLUMNS: usize = 3;

/// The first byte from which on a whole number has a second one, and that from which on it says how
/// many follow. Most steps and rises of knots lie below the first, nearly all below the second.
const TWO_BYTES: u8 = 224;
const MORE_BYTES: u8 = 248;

/// The smallest whole number that has more than two bytes.
#[cfg(not(target_arch = "wasm32"))]
const LEAST_OF_MORE: u64 = TWO_BYTES as u64 + ((MORE_BYTES - TWO_BYTES) as u64) * 256;

/// The most decimals of a number written as a whole one and a power of ten, which are exact in an
/// `f64`, so that their quotient is the nearest to the decimal number. Any other number is written
/// bit by bit, behind one more than these.
pub(super) const MOST_DECIMALS: u64 = 15;
pub(super) const BITS: u64 = MOST_DECIMALS + 1;

/// What can be packed.
pub trait Packed: Sized {
    /// The fewest bytes that it takes in the column it is read from.
    const LEAST_BYTES: usize = 1;
    /// The column that the elements of a list of these stand in.
    const COLUMN: usize = FIELDS;

    /// Reads a value; any value, and a reader that does not fit, where there is none.
    fn unpack(reader: &mut Reader) -> Self;

    /// The same for an element of a list.
    fn unpack_element(reader: &mut Reader) -> Self {
        Self::unpack(reader)
    }

    /// Writes a value.
    #[cfg(not(target_arch = "wasm32"))]
    fn pack(&self, writer: &mut Writer);

    /// The same for an element of a list.
    #[cfg(not(target_arch = "wasm32"))]
    fn pack_element(&self, writer: &mut Writer) {
        self.pack(writer);
    }
}

/// What is left to be read. Once something does not fit, nothing is left.
#[derive(Debug)]
pub struct Reader<'a> {
    columns: [&'a [u8]; COLUMNS],
    pub(super) texts: Vec<&'a str>,
    fit: bool,
}

impl<'a> Reader<'a> {
    /// A reader of a body; `None` if its texts or columns are not all there.
    pub fn of(body: &'a [u8]) -> Option<Self> {
        let mut head = Self {
            columns: [body, &[], &[]],
            texts: Vec::new(),
            fit: true,
        };
        let count = head.count(FIELDS, 1);
        let lengths: Vec<usize> = (0..count).map(|_| head.length()).collect();
        let (fields, steps) = (head.length(), head.length());
        let [mut rest, ..] = head.columns;
        for length in lengths {
            let text = rest.split_off(..length)?;
            head.texts.push(str::from_utf8(text).ok()?);
        }
        let fields = rest.split_off(..fields)?;
        let steps = rest.split_off(..steps)?;
        head.columns = [fields, steps, rest];
        head.fit.then_some(head)
    }

    /// The first of the texts; empty if there is none.
    pub fn first_text(&self) -> &'a str {
        self.texts.first().copied().unwrap_or_default()
    }

    /// Whether everything that was read did fit and nothing is left.
    pub fn is_done(&self) -> bool {
        self.fit && self.columns.iter().all(|column| column.is_empty())
    }

    /// Notes that something does not fit.
    fn refuse(&mut self) {
        self.fit = false;
        self.columns = [&[]; COLUMNS];
    }

    pub(super) fn byte(&mut self, column: usize) -> u8 {
        let column = self.columns.get_mut(column);
        if let Some(byte) = column.and_then(|column| column.split_off_first()) {
            return *byte;
        }
        self.refuse();
        0
    }

    /// A whole number: itself in one byte below `TWO_BYTES`; from there on in two, the larger part
    /// first; from `MORE_BYTES` on the first byte says how many follow, one to eight, the smallest
    /// part first.
    pub fn whole(&mut self, column: usize) -> u64 {
        let first = self.byte(column);
        if first < TWO_BYTES {
            return first.into();
        }
        if first < MORE_BYTES {
            let above = u64::from(first - TWO_BYTES) * 256 + u64::from(self.byte(column));
            return u64::from(TWO_BYTES) + above;
        }
        self.bytes(column, u32::from(first - MORE_BYTES) + 1)
    }

    /// So many bytes, at most eight, as a number, the smallest part first.
    pub(super) fn bytes(&mut self, column: usize, count: u32) -> u64 {
        (0..count).fold(0, |number, at| {
            number | u64::from(self.byte(column)) << (8 * at)
        })
    }

    /// A whole number of either sign: the last bit says whether it is below zero.
    pub(super) fn signed(&mut self) -> i64 {
        let written = self.whole(FIELDS);
        (written >> 1) as i64 ^ -((written & 1) as i64)
    }

    /// A number as one of a type that may be too small for it.
    pub(super) fn held<T: Default>(&mut self, number: Option<T>) -> T {
        number.unwrap_or_else(|| {
            self.refuse();
            T::default()
        })
    }

    pub(super) fn length(&mut self) -> usize {
        let written = self.whole(FIELDS);
        self.held(written.try_into().ok())
    }

    /// How many elements of at least so many bytes follow in a column: no more than it can hold.
    pub(super) fn count(&mut self, column: usize, least_bytes: usize) -> usize {
        let count = self.length();
        let left = self.columns.get(column).map_or(0, |column| column.len());
        self.held((count <= left / least_bytes).then_some(count))
    }

    /// Which of some words it is; the first where it is none.
    pub fn word<T: Copy>(&mut self, words: &[T], first: T) -> T {
        let index = self.byte(FIELDS);
        words.get(usize::from(index)).copied().unwrap_or_else(|| {
            self.refuse();
            first
        })
    }
}

/// What has been written.
#[cfg(not(target_arch = "wasm32"))]
#[derive(Debug, Default)]
pub struct Writer {
    columns: [Vec<u8>; COLUMNS],
    pub(super) texts: indexmap::IndexSet<String>,
}

#[cfg(not(target_arch = "wasm32"))]
impl Writer {
    /// Texts and columns with their lengths, as [`Reader::of`] takes them.
    pub fn body(self) -> Vec<u8> {
        let [fields, steps, rises] = self.columns;
        let mut head = Self::default();
        head.length(self.texts.len());
        for text in &self.texts {
            head.length(text.len());
        }
        head.length(fields.len());
        head.length(steps.len());
        let [mut body, ..] = head.columns;
        for text in &self.texts {
            body.extend_from_slice(text.as_bytes());
        }
        [body, fields, steps, rises].concat()
    }

    pub(super) fn byte(&mut self, byte: u8) {
        let [fields, ..] = &mut self.columns;
        fields.push(byte);
    }

    /// As [`Reader::whole`] reads it.
    pub(super) fn whole(&mut self, column: usize, number: u64) {
        let Some(column) = self.columns.get_mut(column) else {
            return;
        };
        if number < TWO_BYTES.into() {
            column.push(number as u8);
        } else if number < LEAST_OF_MORE {
            let above = number - u64::from(TWO_BYTES);
            column.extend([TWO_BYTES + (above >> 8) as u8, above as u8]);
        } else {
            let bytes = number.to_le_bytes();
            let count = 8 - number.leading_zeros() / 8;
            column.push(MORE_BYTES - 1 + count as u8);
            column.extend(bytes.iter().take(count as usize));
        }
    }

    pub(super) fn signed(&mut self, number: i64) {
        self.whole(FIELDS, ((number << 1) ^ (number >> 63)) as u64);
    }

    pub(super) fn length(&mut self, length: usize) {
        self.whole(FIELDS, length as u64);
    }

    /// The index of a word among all of its kind.
    pub fn word<T: PartialEq>(&mut self, words: &[T], word: &T) {
        let index = words.iter().position(|other| other == word);
        self.byte(index.unwrap_or(words.len()) as u8);
    }
}

/// Packs objects field by field, in the order of the list.
macro_rules! packed_objects {
    ($($object:ident { $($field:ident $(= $key:literal)?),+ })+) => { $(
        impl $crate::dataset::packed::value::Packed for $object {
            // A byte for each field, or more.
            const LEAST_BYTES: usize = [$(stringify!($field)),+].len();

            fn unpack(reader: &mut $crate::dataset::packed::value::Reader) -> Self {
                Self { $($field: $crate::dataset::packed::value::Packed::unpack(reader)),+ }
            }

            #[cfg(not(target_arch = "wasm32"))]
            fn pack(&self, writer: &mut $crate::dataset::packed::value::Writer) {
                let Self { $($field),+ } = self;
                $($crate::dataset::packed::value::Packed::pack($field, writer);)+
            }
        }
    )+ };
}
pub(crate) use packed_objects;

/// Packs words as their index in the list.
macro_rules! packed_words {
    ($($word:ident { $first:literal = $default:ident $(, $text:literal = $variant:ident)* })+) => { $(
        impl $crate::dataset::packed::value::Packed for $word {
            fn unpack(reader: &mut $crate::dataset::packed::value::Reader) -> Self {
                reader.word(&[Self::$default $(, Self::$variant)*], Self::$default)
            }

            #[cfg(not(target_arch = "wasm32"))]
            fn pack(&self, writer: &mut $crate::dataset::packed::value::Writer) {
                writer.word(&[Self::$default $(, Self::$variant)*], self);
            }
        }
    )+ };
}
pub(crate) use packed_words;
