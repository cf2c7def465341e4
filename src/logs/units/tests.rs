use super::*;

fn symbols_in(header: &str) -> Vec<&'static str> {
    units_in(header).iter().map(|unit| unit.symbol).collect()
}

#[test]
fn units_are_read_wherever_they_stand() {
    for (symbol, headers) in [
        (
            "N·m",
            "torque [N·m]|Torque (Nm)|torque_Nm|Moment (N m)|Drehmoment in Nm|M/Nm|Torque N.m|Torque, N⋅m|TORQUE_NM|N*m|Nm|torque N-m filtered|Torque (N×m)|Couple [N•m]|torque_N_m|Torque [newton metres]",
        ),
        ("kN·m", "torque [kN·m]|T_kNm|KNM|Torque (kN m)"),
        ("cN·m", "torque [cN·m]|cNm"),
        ("mN·m", "torque (mN·m)|torque_mNm|Torque [mN m]"),
        (
            "lbf·ft",
            "Torque lbf-ft|Torque, ft·lb|ft-lbs|Torque (ft lb)|torque_lbf_ft|Torque ft.lbf|FTLB|TORQUE FT-LBS|Torque [pound-feet]|lb·ft|Torque lb ft|Torque in lb-ft|Torque in ft lb|Torque in lb ft",
        ),
        (
            "lbf·in",
            "torque_lbf_in|in-lb|Torque (in lb)|in·lbs|Torque inlb|Torque [lbf·in]",
        ),
        ("ozf·in", "Torque oz-in|ozf·in"),
        ("kgf·m", "kgf·m|Torque (kgf m)|torque_kgf_m|kp·m"),
        ("kgf·cm", "Torque kgf-cm|[kg·cm]"),
        (
            "s",
            "time [s]|t/s|time_s|Time s|Time, s|seconds|Zeit / s|s|elapsed (sec)|TIME_S|Zeit[S]",
        ),
        (
            "ms",
            "time_ms|Zeit [ms]|TIME (MS)|t/ms|ms|time_ms_raw|Milliseconds",
        ),
        ("µs", "t_us|time [µs]|time [μs]|Time(us)|µs since start"),
        ("min", "time [min]|t/min"),
        (
            "deg",
            "angle [deg]|Winkel [°]|angle (degrees)|Angle °|angle_deg|Winkel / °",
        ),
        ("rad", "angle [rad]|phi/rad"),
        ("rev", "turned (turns)|angle [rev]"),
        ("kN", "(kN)|tension_kN|Force kN"),
        ("N", "force [N]|F/N"),
        ("mV", "[mV]|U_mV|V [mV]"),
        ("V", "U [V]|U/V|Voltage, V"),
        ("mA", "I_mA"),
        ("A", "I [A]|I/A"),
    ] {
        for header in headers.split('|') {
            assert_eq!(symbols_in(header), [symbol], "{header}");
        }
    }
}

#[test]
fn what_is_no_unit_by_itself_is_none() {
    for header in [
        "items",
        "Nms",
        "torque",
        "time",
        "TorqueNm",
        "Channel A",
        "Channel S",
        "V",
        "N",
        "Sensor N",
        "rate [Nm/s]",
        "speed [deg/s]",
        "n [1/min]",
        "n [U/min]",
        "speed rev/min",
        "[1/s]",
        "Nm/deg",
        "deg per s",
        "N·m·s",
        "[kN·m²]",
        "temperature [°C]",
        "temp deg C",
        "[m/s²]",
        "MNm",
        "Ms",
        "[MN·m]",
        "Torque/s",
        "Torque in lb",
        "min",
        "Torque rev",
        "A",
        "second gear",
        "us market",
        "",
        "°C",
        "[mm]",
        "torque [Nm^2]",
        "rpm",
    ] {
        let found = symbols_in(header);
        let alone = ["V", "N", "A", "min"];
        if alone.contains(&header) {
            assert_eq!(found, [header], "a header that is nothing but a unit");
        } else {
            assert_eq!(found, Vec::<&str>::new(), "{header}");
        }
    }
}

#[test]
fn two_units_are_both_told() {
    assert_eq!(symbols_in("torque [N·m] (lbf·ft)"), ["N·m", "lbf·ft"]);
    assert_eq!(symbols_in("Torque lbf-ft [Nm]"), ["lbf·ft", "N·m"]);
    assert_eq!(symbols_in("in-lb-ft"), ["lbf·in", "lbf·ft"]);
    assert_eq!(symbols_in("torque_Nm after 20 ms"), ["N·m", "ms"]);
}

#[test]
fn a_text_is_a_unit_as_a_whole_or_not_at_all() {
    for (text, symbol) in [
        ("N·m", "N·m"),
        ("[lbf ft]", "lbf·ft"),
        ("S", "s"),
        (" in lb ", "lbf·in"),
        ("(kN)", "kN"),
        ("°", "deg"),
    ] {
        assert_eq!(unit(text).map(|unit| unit.symbol), Some(symbol), "{text}");
    }
    for text in [
        "",
        "1/min",
        "Nm filtered",
        "furlong",
        "Nm/s",
        "12",
        "time s",
    ] {
        assert_eq!(unit(text), None, "{text}");
    }
}

#[test]
fn sizes_are_those_of_the_units() {
    let size = |text: &str| unit(text).unwrap().size;
    assert!((338.0 / size("lbf·ft") - 249.296).abs() < 1e-3);
    assert!((size("lbf·in") * 12.0 / size("lbf·ft") - 1.0).abs() < 1e-15);
    assert!((size("ozf·in") - 7.061_551_814e-3).abs() < 1e-12);
    assert_eq!((size("kgf·m"), size("kgf·cm")), (9.806_65, 0.098_066_5));
    assert_eq!(
        (size("kN·m"), size("daN·m"), size("cN·m"), size("mN·m")),
        (1e3, 10.0, 1e-2, 1e-3)
    );
    assert_eq!((size("ms"), size("µs"), size("min")), (1e-3, 1e-6, 60.0));
    assert_eq!((size("rev"), size("kN"), size("N")), (360.0, 1.0, 1e-3));
    assert!((size("rad") - 57.295_779_513).abs() < 1e-9);
    assert!((size("[lbf]") - 4.448_221_615e-3).abs() < 1e-12);
}
