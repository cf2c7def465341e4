use super::value::Writer;
use super::*;
use proptest::prelude::*;

/// A body of one value, as a reader takes it.
fn body<T: Packed>(value: &T) -> Vec<u8> {
    let mut writer = Writer::default();
    value.pack(&mut writer);
    writer.body()
}

/// What is read of a value that was written, if that is all there is.
fn again<T: Packed>(value: &T) -> Option<T> {
    let body = body(value);
    let mut reader = Reader::of(&body)?;
    let read = T::unpack(&mut reader);
    reader.is_done().then_some(read)
}

/// A small dataset, packed and marked.
fn small() -> Vec<u8> {
    let dataset = Dataset {
        format: FORMAT.into(),
        title: "Größe".into(),
        match_margin_percent: Some(2.5),
        ..Dataset::default()
    };
    [&b"Jobtorque 0.1.0\n"[..], &written(&dataset)].concat()
}

#[test]
fn the_checksum_is_that_of_others() {
    // Test vectors of RFC 9923.
    let sums = ["", "a", "foobar"].map(|text| checksum(text.as_bytes()));
    assert_eq!(sums, [0x811c_9dc5, 0xe40c_292c, 0xbf9c_f968]);
}

#[test]
fn whole_numbers_take_few_bytes() {
    for (number, bytes) in [
        (0, 1),
        (223, 1),
        (224, 2),
        (6_367, 2),
        (6_368, 3),
        (65_535, 3),
        (65_536, 4),
        (u32::MAX, 5),
    ] {
        // Behind three bytes for no texts and the lengths of two columns.
        assert_eq!(body(&number).len(), 3 + bytes, "{number}");
        assert_eq!(again(&number), Some(number));
    }
}

#[test]
fn numbers_as_people_write_them_take_no_eight_bytes() {
    for (number, bytes) in [(0.0, 2), (18.0, 2), (-0.5, 2), (1.62, 3), (20_000.0, 4)] {
        assert_eq!(body(&number).len(), 3 + bytes, "{number}");
    }
    for number in [-0.0, 1e300, 5e-324, 0.1 + 0.2, 9_007_199_254_740_993.0] {
        assert_eq!(again(&number).map(f64::to_bits), Some(number.to_bits()));
    }
    assert_eq!(again(&f64::NAN).map(f64::to_bits), None);
    assert_eq!(again(&f64::INFINITY), None);
}

#[test]
fn every_byte_that_is_changed_or_missing_is_noticed() {
    let whole = small();
    assert_eq!(read(&whole).unwrap().title, "Größe");
    for at in 0..whole.len() {
        assert!(read(&whole[..at]).is_err(), "the first {at} bytes");
        // The mark says who wrote the rest and is no part of it.
        let of_rest = whole[..at].contains(&b'\n');
        for bit in 0..8 {
            let mut changed = whole.clone();
            changed[at] ^= 1 << bit;
            assert!(!of_rest || read(&changed).is_err(), "byte {at}, bit {bit}");
        }
    }
    assert!(read(&[&whole[..], &[0]].concat()).is_err(), "a byte more");
}

#[test]
fn bytes_of_something_else_are_one_problem_that_says_what_to_do() {
    for (bytes, pointer) in [
        (&b""[..], "/jobtorque"),
        (b"{\"jobtorque\": \"Jobtorque 0.1.0\"}", "/jobtorque"),
        (b"Jobtorque 0.1.0", ""),
        (b"Jobtorque 0.1.0\n", ""),
        (b"Jobtorque 0.1.0\nabcdefgh", ""),
    ] {
        let problem = read(bytes).unwrap_err();
        assert_eq!(problem.pointer, pointer, "{problem}");
        assert!(
            problem.message.contains("take its results.txt"),
            "{problem}"
        );
    }
}

#[test]
fn a_count_that_the_bytes_cannot_hold_is_refused_before_anything_is_set_aside() {
    // A whole number of eight bytes, and the largest that they hold.
    let most = [0xff; 9];
    assert!(Reader::of(&most).is_none(), "texts");
    let list = [&[0, 9, 0][..], &most].concat();
    let mut reader = Reader::of(&list).unwrap();
    assert!(Vec::<i64>::unpack(&mut reader).is_empty());
    assert!(!reader.is_done());
    // Three runs at one byte each: none is so short.
    let mut reader = Reader::of(&[0, 4, 0, 3, 0, 0, 0]).unwrap();
    assert!(Vec::<crate::dataset::types::Run>::unpack(&mut reader).is_empty());
    assert!(!reader.is_done());
}

#[test]
fn the_invented_dataset_is_read_again_with_all_its_samples() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("data/demo.json");
    let text = std::fs::read_to_string(path).unwrap();
    let dataset = crate::dataset::json::parse(&text).unwrap().dataset;
    assert!(dataset.runs.iter().any(|run| run.torque_dnm.is_some()));
    assert_eq!(again(&dataset).as_ref(), Some(&dataset));
}

proptest! {
    #[test]
    fn every_number_and_text_is_read_as_it_was_written(
        numbers in any::<(i64, i32, u32, f64, Option<bool>)>(),
        lists in any::<(Vec<i64>, Vec<i32>, Vec<u32>, Vec<String>)>(),
    ) {
        let (a, b, c, d, e) = numbers;
        prop_assert_eq!(again(&a), Some(a));
        prop_assert_eq!(again(&b), Some(b));
        prop_assert_eq!(again(&c), Some(c));
        let finite = d.is_finite().then_some(d.to_bits());
        prop_assert_eq!(again(&d).map(f64::to_bits), finite);
        prop_assert_eq!(again(&e), Some(e));
        let (a, b, c, d) = lists;
        prop_assert_eq!(again(&a), Some(a));
        prop_assert_eq!(again(&b), Some(b));
        prop_assert_eq!(again(&c), Some(c));
        prop_assert_eq!(again(&d), Some(d));
    }

    #[test]
    fn any_bytes_are_read_or_refused(bytes in any::<Vec<u8>>()) {
        if let Some(mut reader) = Reader::of(&bytes) {
            let _ = Dataset::unpack(&mut reader);
        }
    }
}
