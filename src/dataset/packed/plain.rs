//! Numbers, texts, what may be absent, and lists in packed form.

#[cfg(not(target_arch = "wasm32"))]
use super::value::Writer;
use super::value::{BITS, FIELDS, MOST_DECIMALS, Packed, RISES, Reader, STEPS};

impl Packed for bool {
    fn unpack(reader: &mut Reader) -> Self {
        reader.word(&[false, true], false)
    }

    #[cfg(not(target_arch = "wasm32"))]
    fn pack(&self, writer: &mut Writer) {
        writer.byte((*self).into());
    }
}

impl Packed for u32 {
    const COLUMN: usize = STEPS;

    fn unpack(reader: &mut Reader) -> Self {
        let number = reader.whole(FIELDS);
        reader.held(number.try_into().ok())
    }

    fn unpack_element(reader: &mut Reader) -> Self {
        let number = reader.whole(STEPS);
        reader.held(number.try_into().ok())
    }

    #[cfg(not(target_arch = "wasm32"))]
    fn pack(&self, writer: &mut Writer) {
        writer.whole(FIELDS, (*self).into());
    }

    #[cfg(not(target_arch = "wasm32"))]
    fn pack_element(&self, writer: &mut Writer) {
        writer.whole(STEPS, (*self).into());
    }
}

impl Packed for i32 {
    const COLUMN: usize = RISES;

    fn unpack(reader: &mut Reader) -> Self {
        let number = reader.signed();
        reader.held(number.try_into().ok())
    }

    /// Its 32 bits as a number without a sign: hardly any rise is below zero.
    fn unpack_element(reader: &mut Reader) -> Self {
        let number = reader.whole(RISES);
        reader.held(u32::try_from(number).ok()).cast_signed()
    }

    #[cfg(not(target_arch = "wasm32"))]
    fn pack(&self, writer: &mut Writer) {
        writer.signed((*self).into());
    }

    #[cfg(not(target_arch = "wasm32"))]
    fn pack_element(&self, writer: &mut Writer) {
        writer.whole(RISES, self.cast_unsigned().into());
    }
}

impl Packed for i64 {
    fn unpack(reader: &mut Reader) -> Self {
        reader.signed()
    }

    #[cfg(not(target_arch = "wasm32"))]
    fn pack(&self, writer: &mut Writer) {
        writer.signed(*self);
    }
}

impl Packed for f64 {
    fn unpack(reader: &mut Reader) -> Self {
        let decimals = reader.whole(FIELDS);
        if decimals <= MOST_DECIMALS {
            return reader.signed() as f64 / (0..decimals).fold(1.0, |power, _| power * 10.0);
        }
        let number = Self::from_bits(reader.bytes(FIELDS, 8));
        reader.held((decimals == BITS && number.is_finite()).then_some(number))
    }

    #[cfg(not(target_arch = "wasm32"))]
    fn pack(&self, writer: &mut Writer) {
        /// Whole numbers up to this are exact in an `f64`.
        const LARGEST: f64 = 9_007_199_254_740_992.0;
        let mut power = 1.0;
        for decimals in 0..=MOST_DECIMALS {
            let whole = (self * power).round();
            if whole.abs() <= LARGEST && (whole as i64 as f64 / power).to_bits() == self.to_bits() {
                writer.whole(FIELDS, decimals);
                return writer.signed(whole as i64);
            }
            power *= 10.0;
        }
        writer.whole(FIELDS, BITS);
        self.to_bits()
            .to_le_bytes()
            .iter()
            .for_each(|byte| writer.byte(*byte));
    }
}

impl Packed for String {
    fn unpack(reader: &mut Reader) -> Self {
        let index = reader.length();
        let text = reader.texts.get(index).copied();
        reader.held(text).to_owned()
    }

    #[cfg(not(target_arch = "wasm32"))]
    fn pack(&self, writer: &mut Writer) {
        let (index, _) = writer.texts.insert_full(self.clone());
        writer.length(index);
    }
}

impl<T: Packed> Packed for Option<T> {
    fn unpack(reader: &mut Reader) -> Self {
        bool::unpack(reader).then(|| T::unpack(reader))
    }

    #[cfg(not(target_arch = "wasm32"))]
    fn pack(&self, writer: &mut Writer) {
        self.is_some().pack(writer);
        if let Some(value) = self {
            value.pack(writer);
        }
    }
}

impl<T: Packed> Packed for Vec<T> {
    fn unpack(reader: &mut Reader) -> Self {
        let count = reader.count(T::COLUMN, T::LEAST_BYTES);
        (0..count).map(|_| T::unpack_element(reader)).collect()
    }

    #[cfg(not(target_arch = "wasm32"))]
    fn pack(&self, writer: &mut Writer) {
        writer.length(self.len());
        for element in self {
            element.pack_element(writer);
        }
    }
}
