use super::*;

fn seen_of(text: impl AsRef<[u8]>) -> Survey {
    survey(text.as_ref(), Said::default()).unwrap()
}

fn one(text: impl AsRef<[u8]>) -> Layout {
    let mut layouts = seen_of(text).layouts;
    assert_eq!(layouts.len(), 1, "{layouts:?}");
    layouts.remove(0)
}

#[test]
fn a_log_with_everything_is_seen() {
    let text = b"Pr\xfcfstand;4\r\nAufnahme;03.03.2026 08:50:06\r\n\r\nZeit;Moment;Zustand\r\ns;N\xb7m;\r\n0,000;-1,5;OK\r\n0,005;1.012,5;OK\r\n0,010;812,5;OK\r\n\r\nMax;1.012,5\r\nMin;-1,5\r\n";
    let seen = seen_of(text);
    assert_eq!(
        (seen.encoding.said, seen.line_ends),
        (Some("windows-1252"), "CRLF")
    );
    let [layout] = seen.layouts.as_slice() else {
        panic!("{:?}", seen.layouts);
    };
    assert_eq!(
        (layout.delimiter.as_str(), layout.decimal, layout.thousands),
        (";", ',', Some('.'))
    );
    assert_eq!((layout.skip_lines, layout.header_line), (3, Some(4)));
    assert_eq!(
        (layout.units_row, layout.first_line, layout.rows),
        (true, 6, 3)
    );
    let footer = layout.footer.as_ref().unwrap();
    assert_eq!((footer.line, footer.first_field.as_str()), (10, "Max"));
    let units: Vec<Vec<&str>> = layout
        .columns
        .iter()
        .map(|column| column.units.iter().map(|unit| unit.symbol).collect())
        .collect();
    assert_eq!(units, [vec!["s"], vec!["N·m"], vec![]]);
    assert_eq!(layout.columns[1].holds, Fields::Numbers(-1.5, 1012.5));
    assert_eq!(layout.columns[2].holds, Fields::Words);
}

#[test]
fn numbers_that_can_be_read_in_two_ways_have_two_layouts() {
    let layouts = seen_of("t [ms];M [Nm]\n1,000;1,250\n1,002;2,500\n1,004;3,750\n").layouts;
    let ways: Vec<(char, Option<char>)> = layouts
        .iter()
        .map(|layout| (layout.decimal, layout.thousands))
        .collect();
    assert_eq!(ways, [('.', Some(',')), (',', None)]);
    assert_eq!(layouts[0].example, Some(("1,000".into(), 1000.0)));
    assert_eq!(layouts[1].example, Some(("1,000".into(), 1.0)));
    // A number below 1 has one reading, and all with it.
    assert_eq!(
        one("t [s];M [Nm]\n0,001;1,250\n0,002;2,500\n0,003;3,750\n").decimal,
        ','
    );
}

#[test]
fn commas_between_whole_numbers_may_be_decimals() {
    let layouts = seen_of("1,2\n3,4\n5,6\n").layouts;
    let widths: Vec<usize> = layouts.iter().map(|layout| layout.columns.len()).collect();
    assert_eq!(widths, [1, 2]);
    // A header tells.
    // One that holds the comma itself is asked about as well.
    assert_eq!(seen_of("t [s],M [Nm]\n1,2\n3,4\n5,6\n").layouts.len(), 2);
    assert_eq!(one("M [Nm]\n1,2\n3,4\n5,6\n").columns.len(), 1);
}

#[test]
fn dates_are_read_in_every_format_that_fits() {
    let formats = |texts: [&str; 3]| {
        let text = format!("t,M [Nm]\n{},1\n{},2\n{},3\n", texts[0], texts[1], texts[2]);
        match one(text).columns.remove(0).holds {
            Fields::Times(formats) => formats,
            other => panic!("{other:?}"),
        }
    };
    assert_eq!(
        formats(["23:59:59.5", "00:00:00", "00:00:00.5"]),
        ["%H:%M:%S%.f"]
    );
    assert_eq!(
        formats([
            "03/04/2026 08:50:06",
            "03/04/2026 08:50:07",
            "03/04/2026 08:50:08"
        ]),
        ["%d/%m/%Y %H:%M:%S%.f", "%m/%d/%Y %H:%M:%S%.f"]
    );
    assert_eq!(
        formats([
            "03/14/2026 08:50:06",
            "03/14/2026 08:50:07",
            "03/14/2026 08:50:08"
        ]),
        ["%m/%d/%Y %H:%M:%S%.f"]
    );
    assert_eq!(
        formats(["2026-03-04T08:50:06.25+01:00"; 3]),
        ["%Y-%m-%dT%H:%M:%S%.f%:z"]
    );
}

#[test]
fn encodings_are_known_by_mark_validity_or_order() {
    let said = |bytes: &[u8]| seen_of(bytes).encoding.said;
    assert_eq!(said("\u{feff}t\n".as_bytes()), None);
    assert_eq!(said("µ\n".as_bytes()), None);
    assert_eq!(said(b"\xb5\n"), Some("windows-1252"));
    let wide: Vec<u8> = "t [s]\tM [Nm]\n0\t1\n1\t2\n2\t3\n"
        .encode_utf16()
        .flat_map(u16::to_le_bytes)
        .collect();
    assert_eq!(said(&wide), Some("utf-16le"));
    assert_eq!(one(&wide).columns.len(), 2);
}

#[test]
fn text_without_rows_of_numbers_has_no_layout() {
    for text in ["", "\n\n", "a\nb\nc\nd\n", "1,2\n"] {
        assert!(seen_of(text).layouts.is_empty(), "{text:?}");
    }
}
