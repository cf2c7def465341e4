//! What is read as a bolt, and what is refused.

use super::super::SIZES;
use super::super::class::classes;
use super::*;

/// Thread, class, nut factor and preload of a text.
fn read(text: &str) -> (String, &'static str, Friction, Preload) {
    let bolt = Bolt::parse(text).unwrap_or_else(|error| panic!("{text}: {error:?}"));
    let Bolt {
        thread,
        class,
        friction,
        preload,
    } = bolt;
    (thread.name(), class.name, friction, preload)
}

fn finish(name: &str) -> Friction {
    let finish = FINISHES.iter().find(|finish| finish.name == name);
    Friction::Finish(finish.unwrap())
}

#[test]
fn bolts_are_read_however_they_are_written() {
    for (text, thread, class, friction) in [
        ("M20 10.9", "M20×2.5", "10.9", "unknown"),
        ("m20 class 10,9 dry", "M20×2.5", "10.9", "dry"),
        ("M20x2.5 10.9", "M20×2.5", "10.9", "unknown"),
        ("M 20 × 2,5 - 10.9", "M20×2.5", "10.9", "unknown"),
        ("M20-2.5 8.8", "M20×2.5", "8.8", "unknown"),
        ("M22x1.5 8.8 oiled", "M22×1.5", "8.8", "oiled"),
        ("M22*1.5*80 8.8, oiled", "M22×1.5", "8.8", "oiled"),
        ("M20x80 10.9", "M20×2.5", "10.9", "unknown"),
        ("M20x2.5-6g 10.9", "M20×2.5", "10.9", "unknown"),
        ("M12X1.25 12.9 zinc-plated", "M12×1.25", "12.9", "zinc"),
        ("a bolt M6 8.8 Waxed", "M6×1", "8.8", "waxed"),
        ("M20x2.5x20 10.9", "M20×2.5", "10.9", "unknown"),
        ("M20 4.6", "M20×2.5", "4.6", "unknown"),
        ("M20 class 4,8 zinc", "M20×2.5", "4.8", "zinc"),
        ("M6x1 5.6", "M6×1", "5.6", "unknown"),
        ("M24x1.5 5.8", "M24×1.5", "5.8", "unknown"),
        ("M30 6.8", "M30×3.5", "6.8", "unknown"),
        ("M12 A2-70", "M12×1.75", "A2-70", "unknown"),
        ("M12x1.5 a4 80 anti-seize", "M12×1.5", "A4-80", "anti_seize"),
        ("M20-2.5 A2-70", "M20×2.5", "A2-70", "unknown"),
        ("M20-2A A2-70", "M20×2.5", "A2-70", "unknown"),
        ("M30 class A2–50", "M30×3.5", "A2-50", "unknown"),
        ("M8 a A4/70 bolt", "M8×1.25", "A4-70", "unknown"),
        ("1-14 UNS grade 8", "1-14 UNS", "8", "unknown"),
        ("1 uns grade 5", "1-14 UNS", "5", "unknown"),
        ("1/2-13 grade 8", "1/2-13 UNC", "8", "unknown"),
        ("1/2-13 x 2 grade 8", "1/2-13 UNC", "8", "unknown"),
        ("1-8 x 8 grade 8", "1-8 UNC", "8", "unknown"),
        ("1/2 UNC grade 5", "1/2-13 UNC", "5", "unknown"),
        ("1/2\"-20 UNF-2A SAE gr. 8", "1/2-20 UNF", "8", "unknown"),
        ("1/2 20 GR8", "1/2-20 UNF", "8", "unknown"),
        ("8/16 grade 2", "1/2-13 UNC", "2", "unknown"),
        ("3/4 in UNF grade 5 (oiled)", "3/4-16 UNF", "5", "oiled"),
        ("1-8 grade 8", "1-8 UNC", "8", "unknown"),
        ("1\" 8 8", "1-8 UNC", "8", "unknown"),
        ("1 UNF grade 5 anti-seize", "1-12 UNF", "5", "anti_seize"),
    ] {
        let read = read(text);
        assert_eq!(
            (read.0.as_str(), read.1, read.2),
            (thread, class, finish(friction)),
            "{text}"
        );
        assert_eq!(read.3, Preload::OfProof(0.75), "{text}");
    }
}

#[test]
fn friction_and_preload_may_be_given() {
    let coefficients = Friction::Coefficients {
        thread: 0.12,
        head: 0.12,
    };
    for (text, friction, preload) in [
        (
            "M20 10.9 K 0.18",
            Friction::NutFactor(0.18),
            Preload::OfProof(0.75),
        ),
        (
            "M20 10.9 K 0.18 75 % of proof load",
            Friction::NutFactor(0.18),
            Preload::OfProof(0.75),
        ),
        (
            "M20 10.9 K 0.18 85 % of yield strength",
            Friction::NutFactor(0.18),
            Preload::OfYield(0.85),
        ),
        (
            "M20 10.9 k=0,18 70%",
            Friction::NutFactor(0.18),
            Preload::OfProof(0.7),
        ),
        (
            "M20 10.9 dry 70 % proof",
            finish("dry"),
            Preload::OfProof(0.7),
        ),
        (
            "M20 10.9 dry 85 % of yield",
            finish("dry"),
            Preload::OfYield(0.85),
        ),
        ("M20 10.9 dry yield", finish("dry"), Preload::OfYield(0.9)),
        ("M20 10.9 μ 0.12", coefficients, Preload::OfYield(0.9)),
        (
            "M20 10.9 µ=0.12 proof",
            coefficients,
            Preload::OfProof(0.75),
        ),
        (
            "M20 10.9 mu 0.12, 80 %",
            coefficients,
            Preload::OfYield(0.8),
        ),
    ] {
        let read = read(text);
        assert_eq!((read.2, read.3), (friction, preload), "{text}");
    }
}

#[test]
fn every_thread_and_class_reads_back() {
    for size in &SIZES {
        for thread in size.threads() {
            for class in classes(size) {
                let text = format!("{} {}", thread.name(), class.name);
                assert_eq!(
                    (read(&text).0, read(&text).1),
                    (thread.name(), class.name),
                    "{text}"
                );
            }
        }
    }
}

#[test]
fn what_is_missing_or_unknown_is_named() {
    let size = |name: &str| SIZES.iter().find(|size| size.name == name).unwrap();
    let thread = |name: &str| size(name).threads().next().unwrap();
    let piece = |text: &str| ParseBoltError::NotUnderstood(text.to_owned());
    let beyond = |text: &str| ParseBoltError::BeyondLimits(text.to_owned());
    for (text, error) in [
        ("M20", ParseBoltError::NoClass(thread("M20"))),
        ("m20 oiled", ParseBoltError::NoClass(thread("M20"))),
        ("1/2", ParseBoltError::NoClass(thread("1/2"))),
        ("1/2-13", ParseBoltError::NoClass(thread("1/2"))),
        ("1-8", ParseBoltError::NoClass(thread("1"))),
        ("M20 9.8", ParseBoltError::UnknownClass(size("M20"))),
        ("M20 A2-60", ParseBoltError::UnknownClass(size("M20"))),
        ("M27 A2-70", ParseBoltError::UnknownClass(size("M27"))),
        ("1/2 A2-70", ParseBoltError::UnknownClass(size("1/2"))),
        ("M20 8.8 A2-70", piece("A2-70")),
        ("M20 K A2-70", piece("K")),
        ("M20 2,070", ParseBoltError::UnknownPitch(size("M20"))),
        ("3/4 UNS grade 8", ParseBoltError::UnknownPitch(size("3/4"))),
        ("M20 grade 8", ParseBoltError::UnknownClass(size("M20"))),
        (
            "1/2-13 grade 10.9",
            ParseBoltError::UnknownClass(size("1/2")),
        ),
        ("1/2-13 10.9", ParseBoltError::UnknownClass(size("1/2"))),
        ("M20x1.75 10.9", ParseBoltError::UnknownPitch(size("M20"))),
        ("M20 UNC 10.9", ParseBoltError::UnknownPitch(size("M20"))),
        ("1/2-14 grade 8", ParseBoltError::UnknownPitch(size("1/2"))),
        (
            "1/2-13 UNF grade 8",
            ParseBoltError::UnknownPitch(size("1/2")),
        ),
        ("M5 8.8", ParseBoltError::UnknownThread),
        ("M20.5 8.8", ParseBoltError::UnknownThread),
        ("M33", ParseBoltError::UnknownThread),
        ("3/16 grade 5", ParseBoltError::UnknownThread),
        ("9/8 grade 5", ParseBoltError::UnknownThread),
        ("1-1/8 grade 5", ParseBoltError::UnknownThread),
        ("M20 10.9 rusty", piece("rusty")),
        ("M20 10.9 8.8", piece("8.8")),
        ("M20 10.9 dry oiled", piece("oiled")),
        ("M20 10.9 dry K 0.2", piece("0.2")),
        ("M20 10.9 K", piece("K")),
        ("M20 10.9 K=", piece("K")),
        ("M20 10.9 K oiled", piece("K")),
        ("M20 10.9 μ = ", piece("μ")),
        ("M20 10.9 ×", piece("×")),
        ("M20 10.9 #", piece("#")),
        ("M20 10.9 5000000", piece("5000000")),
        ("M20 10.9 K 0.05", beyond("0.05")),
        ("M20 10.9 K 0.501", beyond("0.501")),
        ("M20 10.9 μ 0.039", beyond("0.039")),
        ("M20 10.9 μ 0.5", beyond("0.5")),
        ("M20 10.9 9 %", beyond("9")),
        ("M20 10.9 101 %", beyond("101")),
    ] {
        assert_eq!(Bolt::parse(text), Err(error), "{text}");
    }
}

#[test]
fn anything_else_is_no_thread() {
    for text in [
        "",
        "M",
        "650",
        "650 N·m",
        "1",
        "1 N·m",
        "1.5",
        "metric",
        "truck wheel",
        "20 10.9",
        "650/2",
        "1/3 grade 5",
        "m 1234567",
        "car-wheel-loosen",
    ] {
        assert_eq!(Bolt::parse(text), Err(ParseBoltError::NotAThread), "{text}");
    }
    let long = format!("M20 10.9{}", " ".repeat(64));
    assert_eq!(Bolt::parse(&long), Err(ParseBoltError::NotAThread));
}

proptest::proptest! {
    #[test]
    fn no_text_breaks_it(text in "[mM]?[0-9]{0,3}[ x/.,%KkμA-z0-9×*-]{0,40}") {
        if let Ok(bolt) = Bolt::parse(&text) {
            let (tight, loose) = (bolt.tightening_torque_nm(), bolt.loosening_torque_nm());
            assert!(0.0 < loose && loose < tight, "{text}: {loose} of {tight}");
        }
    }
}
