use super::*;

fn problems(text: impl AsRef<[u8]>, format: &LogFormat) -> Vec<String> {
    let problems = read(text.as_ref(), format).unwrap_err();
    problems.iter().map(ToString::to_string).collect()
}

fn problem(text: impl AsRef<[u8]>, format: &LogFormat) -> String {
    let problems = problems(text, format);
    assert_eq!(problems.len(), 1, "{problems:?}");
    problems.concat()
}

fn column(name: &str) -> Channel {
    Channel {
        column: Some(ColumnName::Header(name.into())),
        ..Channel::default()
    }
}

fn unit(symbol: &str) -> Channel {
    Channel {
        unit: Some(symbol.into()),
        ..Channel::default()
    }
}

#[test]
fn columns_are_found_by_their_units() {
    let samples = read(
        "n,angle [deg],time [ms],torque [N·m]\n1,5,0,1.5\n2,6,5,2.5\n".as_bytes(),
        &LogFormat::default(),
    )
    .unwrap();
    assert_eq!(samples.time_us, [0, 5000]);
    assert_eq!(samples.torque_nm, [1.5, 2.5]);
    assert_eq!(samples.angle_deg, Some(vec![5.0, 6.0]));
}

#[test]
fn a_latin_1_log_with_decimal_commas_asks_for_what_it_is() {
    let log = b"Zeit [s];Moment [N\xb7m]\n0,000;1,5\n0,005;2,5\n";
    let found = problem(log, &LogFormat::default());
    assert!(found.contains("--encoding"), "{found}");
    let told = LogFormat {
        encoding: Some("latin1".into()),
        ..LogFormat::default()
    };
    let found = problem(log, &told);
    assert!(
        found.ends_with("(give --delimiter ';' --decimal-comma)"),
        "{found}"
    );
    let all = LogFormat {
        delimiter: Some(";".into()),
        decimal: Some(",".into()),
        ..told
    };
    assert_eq!(read(log, &all).unwrap().torque_nm, [1.5, 2.5]);
}

#[test]
fn every_kind_of_bad_field_is_told_once_with_its_first_line() {
    let found = problems(
        "time [s],torque [Nm]\n0,1\n0.005,x\n0.004,NaN\n0.001,3\n",
        &LogFormat::default(),
    );
    assert_eq!(
        found,
        [
            "3:1: found \"x\" in the column \"torque [Nm]\" … and 1 more such line, wanted a number with a decimal point",
            "4:1: found the time 0.004 s after 0.005 s … and 1 more such line, wanted times that do not run backwards \
             (if the log holds several runs, each goes into a log of its own)",
        ]
    );
}

#[test]
fn a_unit_that_nobody_says_is_asked_for() {
    let log = "t,T\n0,1\n";
    let by_name = LogFormat {
        time: column("t"),
        torque: column("T"),
        ..LogFormat::default()
    };
    let found = problems(log, &by_name);
    assert_eq!(found.len(), 2, "{found:?}");
    assert!(
        found[0].contains("say it with --time-unit, such as --time-unit s"),
        "{found:?}"
    );
    assert!(
        found[1].contains("say it with --torque-unit, such as --torque-unit N·m"),
        "{found:?}"
    );
    let said = LogFormat {
        time: Channel {
            unit: Some("ms".into()),
            ..column("t")
        },
        torque: Channel {
            unit: Some("kN·m".into()),
            ..column("T")
        },
        ..LogFormat::default()
    };
    assert_eq!(read(log.as_bytes(), &said).unwrap().torque_nm, [1000.0]);
}

#[test]
fn a_unit_that_contradicts_the_header_is_refused() {
    let log = "time [s],Torque lbf-ft\n0,1\n";
    let other = LogFormat {
        torque: unit("N·m"),
        ..LogFormat::default()
    };
    let found = problem(log, &other);
    assert!(
        found.contains("lbf·ft") && found.contains("N·m in --torque-unit"),
        "{found}"
    );
    let same = LogFormat {
        torque: unit("ft-lb"),
        ..LogFormat::default()
    };
    assert!(read(log.as_bytes(), &same).is_ok());
    let two = problem("time [s],torque [Nm] (ft lb)\n0,1\n", &LogFormat::default());
    assert!(two.contains("the units N·m and lbf·ft"), "{two}");
    let of_angle = LogFormat {
        torque: column("angle [deg]"),
        ..LogFormat::default()
    };
    let found = problem("time [s],angle [deg]\n0,1\n", &of_angle);
    assert!(found.contains("wanted a unit of torque"), "{found}");
}

#[test]
fn two_columns_that_fit_are_a_problem() {
    let found = problem("time [s],a [N·m],b [N·m]\n0,1,2\n", &LogFormat::default());
    assert!(found.contains("--torque"), "{found}");
    let twice = LogFormat {
        torque: column("a [N·m]"),
        ..LogFormat::default()
    };
    let found = problem("time [s],a [N·m],a [N·m]\n0,1,2\n", &twice);
    assert!(found.contains("--torque 2 or 3"), "{found}");
}

#[test]
fn a_rate_stands_in_place_of_times() {
    let rate = LogFormat {
        rate_hz: Some(1000.0),
        ..LogFormat::default()
    };
    let samples = read("torque [N·m]\n1\n2\n3\n".as_bytes(), &rate).unwrap();
    assert_eq!(samples.time_us, [0, 1000, 2000]);
    let found = problem("time [s],torque [N·m]\n0,1\n", &rate);
    assert!(found.contains("leave --rate out"), "{found}");
    let none = LogFormat {
        rate_hz: Some(0.0),
        ..LogFormat::default()
    };
    assert!(problem("torque [N·m]\n1\n", &none).contains("a rate of 0 Hz"));
}

#[test]
fn tension_becomes_torque_by_the_calibration() {
    let log = "time [s],tension [kN],U [V],I/A\n0,10,20.5,3\n1,20,19.5,4\n";
    let told = LogFormat {
        tension: Some(Channel::default()),
        voltage: Some(column("U [V]")),
        current: Some(column("I/A")),
        nm_per_kn: Some(4.2),
        ..LogFormat::default()
    };
    let samples = read(log.as_bytes(), &told).unwrap();
    assert_eq!(samples.torque_nm, [42.0, 84.0]);
    assert_eq!(samples.voltage_v, Some(vec![20.5, 19.5]));
    assert_eq!(samples.current_a, Some(vec![3.0, 4.0]));
    let uncalibrated = LogFormat {
        nm_per_kn: None,
        ..told
    };
    assert!(problem(log, &uncalibrated).contains("--nm-per-kn"));
}

#[test]
fn a_block_of_a_logger_describes_a_log() {
    let block: LogFormat = serde_json::from_str(
        r#"{"delimiter": ";", "decimal": ",", "skip_lines": 1, "units_row": true, "end_before": "Max",
            "time": {"column": 1}, "torque": {"column": "Md", "factor": 2, "inverted": true}}"#,
    )
    .unwrap();
    let log = "made by a logger\nt;Md\nms;lbf·ft\n0;-1,5\n5;-2,5\nMax;2,5\n";
    let read = read_log(log.as_bytes(), &block).unwrap();
    assert_eq!(read.samples.time_us, [0, 5000]);
    assert!((read.samples.torque_nm[1] - 5.0 * 1.355_817_948_331).abs() < 1e-9);
    assert_eq!(read.columns[1].unit, "lbf·ft");
    assert!(serde_json::from_str::<LogFormat>(r#"{"torque": {"units": "N·m"}}"#).is_err());
}

#[test]
fn what_stands_behind_the_samples_is_told_in_a_short_message() {
    let log = |end: &str| format!("time [s],torque [N·m]\n0,1\n0.1,2\n{end}");
    let nuls = problem(log(&"\0".repeat(4000)), &LogFormat::default());
    assert!(nuls.len() < 200, "{nuls}");
    assert!(
        nuls.contains("NUL bytes") && nuls.contains("delete them"),
        "{nuls}"
    );
    let footer = format!("Peaks {}", "and more of them ".repeat(500));
    let found = problem(log(&footer), &LogFormat::default());
    let (start, _) = footer.split_at(40);
    let advice = format!(
        "(if line 4 is a footer, give --end-before \"{}\")",
        start.trim_end()
    );
    assert!(found.ends_with(&advice), "{found}");
    let told = LogFormat {
        end_before: Some(start.trim_end().into()),
        ..LogFormat::default()
    };
    assert_eq!(
        read(log(&footer).as_bytes(), &told).unwrap().torque_nm,
        [1.0, 2.0]
    );
    let hidden = problem(log("\u{202e}x\u{200b}"), &LogFormat::default());
    assert!(!hidden.contains("--end-before"), "{hidden}");
}

#[test]
fn more_lines_than_there_are_cannot_be_passed_over() {
    for skip_lines in [3, 4, usize::MAX] {
        let told = LogFormat {
            skip_lines,
            ..LogFormat::default()
        };
        let found = problem("time [s],torque [N·m]\n0,1\n0.1,2\n", &told);
        assert!(
            found.starts_with("found a log of 3 lines, all of which are passed over"),
            "{found}"
        );
    }
}

#[test]
fn a_file_of_another_kind_is_no_matter_of_encodings() {
    for encoding in [None, Some("latin1".to_owned())] {
        let told = LogFormat {
            encoding,
            ..LogFormat::default()
        };
        let found = problem(b"\x1f\x8b\x08\0\0", &told);
        assert!(
            found.contains("packed with gzip") && found.contains("unpack"),
            "{found}"
        );
        assert!(!found.contains("--encoding"), "{found}");
    }
}

#[test]
fn empty_and_short_logs_are_refused() {
    assert!(problem("", &LogFormat::default()).contains("no header"));
    assert!(problem("time [s],torque [N·m]\n", &LogFormat::default()).contains("no samples"));
    assert!(problem("time [s],torque [N·m]\n1\n", &LogFormat::default()).contains("1 field,"));
}

#[test]
fn lines_are_counted_alike_however_they_end() {
    for end in ["\n", "\r\n", "\r"] {
        let log = ["time [s],torque [N·m]", "0,1", "", "0.1,2", "0.2,x"].join(end);
        let found = problem(log, &LogFormat::default());
        assert!(found.starts_with("5:1: "), "{end:?}: {found}");
    }
}

#[test]
fn clocks_and_dates_are_times() {
    let of = |format: &str| LogFormat {
        time: Channel {
            format: Some(format.into()),
            ..column("t")
        },
        ..LogFormat::default()
    };
    let log = "t,M [Nm]\n23:59:59.999,1\n00:00:00.001,2\n";
    let read = read(log.as_bytes(), &of("%H:%M:%S%.f")).unwrap();
    assert_eq!(read.time_us, [86_399_999_000, 86_400_001_000]);
    let found = problem("t,M [Nm]\n10:00:01,1\n10:00:00,2\n", &of("%H:%M:%S"));
    assert!(found.contains("36000 s after 36001 s"), "{found}");
    let found = problem("t,M [Nm]\n10:00:01,1\nten,2\n", &of("%H:%M:%S"));
    assert!(found.contains("\"ten\" in the column \"t\""), "{found}");
    let zones = "t,M [Nm]\n2026-10-25 02:59+02:00,1\n2026-10-25 02:00+01:00,2\n";
    let found = problem(zones, &of("%Y-%m-%d %H:%M%:z"));
    assert!(found.contains("the time zone +01 after +02"), "{found}");
    let unit_beside = LogFormat {
        time: Channel {
            unit: Some("s".into()),
            ..of("%H:%M:%S").time
        },
        ..LogFormat::default()
    };
    let found = problem(log, &unit_beside);
    assert!(found.contains("a time format beside a unit"), "{found}");
}

#[test]
fn a_first_row_of_numbers_is_no_header() {
    let of = |time: usize, torque: usize| LogFormat {
        detects_header: true,
        time: Channel {
            column: Some(ColumnName::Number(time)),
            ..unit("s")
        },
        torque: Channel {
            column: Some(ColumnName::Number(torque)),
            ..unit("N·m")
        },
        ..LogFormat::default()
    };
    let lengths = |text: &str| read(text.as_bytes(), &of(1, 2)).unwrap().torque_nm;
    assert_eq!(lengths("0,1\n1,2\n"), [1.0, 2.0]);
    assert_eq!(lengths("0,torque\n1,2\n2,3\n"), [2.0, 3.0]);
    assert!(problem("0,1\n1,2\n", &of(1, 3)).contains("no column \"3\""));
}

#[test]
fn a_last_letter_is_a_unit_of_a_named_column_unless_it_numbers_channels() {
    let of = |name: &str| LogFormat {
        current: Some(column(name)),
        ..LogFormat::default()
    };
    let current =
        |text: &str, name: &str| read(text.as_bytes(), &of(name)).map(|read| read.current_a);
    let log = |first: &str, second: &str| format!("t [s],M [Nm],{first},{second}\n0,1,2,3\n");
    assert_eq!(
        current(&log("Strom_A", "U_V"), "Strom_A"),
        Ok(Some(vec![2.0]))
    );
    assert_eq!(
        current(&log("Strom mA", "x"), "Strom mA"),
        Ok(Some(vec![0.002]))
    );
    let found = problem(log("Current A", "Current B"), &of("Current A"));
    assert!(
        found.contains("no unit for the column \"Current A\""),
        "{found}"
    );
}

#[test]
fn utf_16_without_its_mark_is_asked_about() {
    let text = "t [s],M [Nm]\n0,1\n1,2\n";
    let wide: Vec<u8> = text.encode_utf16().flat_map(u16::to_be_bytes).collect();
    let found = problem(&wide, &LogFormat::default());
    assert!(
        found.contains("UTF-16 without a byte-order mark"),
        "{found}"
    );
    let told = LogFormat {
        encoding: Some("utf-16be".into()),
        ..LogFormat::default()
    };
    assert_eq!(read(&wide, &told).unwrap().torque_nm, [1.0, 2.0]);
}

#[test]
fn any_kind_of_blank_may_stand_between_thousands() {
    for (mark, between) in [
        ("space", ' '),
        ("\u{a0}", '\u{a0}'),
        ("\u{202f}", ' '),
        ("’", '\''),
    ] {
        let format = LogFormat {
            thousands: Some(mark.into()),
            ..LogFormat::default()
        };
        let text = format!("t [s],M [Nm]\n0,1\n1,1{between}012.5\n");
        assert_eq!(
            read(text.as_bytes(), &format).unwrap().torque_nm,
            [1.0, 1012.5]
        );
    }
}
