//! Clocks and dates in a column of times, read by a format of `strftime`.
//!
//! Times count from the midnight before the first sample. A zone is not applied: the local time is
//! read as it stands, and a zone that changes within a log is a fault.

use crate::problem::{Problem, quoted};
use jiff::civil::{Date, DateTime, date};
use jiff::fmt::strtime::BrokenDownTime;
use jiff::tz::Offset;

/// Microseconds in a day.
const DAY_US: i64 = 86_400_000_000;

/// A clock that goes back by more than this has passed midnight.
const MIDNIGHT_US: i64 = DAY_US / 2;

/// What a format holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Holds {
    /// A time of day alone.
    Clock,
    /// A date and a time of day.
    DateTime,
}

/// What a format holds.
///
/// # Errors
///
/// If it has an unknown directive or no time of day.
pub fn holds(format: &str) -> Result<Holds, Problem> {
    let refused = |why: &str| {
        let found = format!("the time format {}: {why}", quoted(format));
        let wanted = "one such as \"%H:%M:%S%.f\" or \"%Y-%m-%d %H:%M:%S%.f\"";
        Problem::new("", found, wanted)
    };
    let moment = date(2026, 11, 25).at(17, 38, 49, 123_456_000);
    let mut time = BrokenDownTime::from(moment);
    time.set_offset(Some(Offset::UTC));
    let text = time
        .to_string(format)
        .map_err(|error| refused(&error.to_string()))?;
    let back = BrokenDownTime::parse(format, &text).map_err(|error| refused(&error.to_string()))?;
    let clock = back.to_time().ok();
    let is_clock = clock
        .is_some_and(|clock| (clock.hour(), clock.minute()) == (moment.hour(), moment.minute()));
    if !is_clock {
        return Err(refused("it has no time of day"));
    }
    Ok(match back.to_date() {
        Ok(day) if day == moment.date() => Holds::DateTime,
        _ => Holds::Clock,
    })
}

/// Date and time that a text says in a format, as ISO 8601 writes them.
pub fn iso(format: &str, text: &str) -> Option<String> {
    let (moment, _) = Stamps::new(format).ok()?.parse(text)?;
    Some(moment.to_string())
}

/// Why a stamp gives no time.
#[derive(Debug, PartialEq)]
pub(super) enum NoTime {
    /// It is not written in the format.
    Unreadable,
    /// Its zone is another than that of the first sample: both, as they are written.
    OtherZone(String, String),
}

/// Reads the stamps of one log, in their order.
#[derive(Clone, Debug)]
pub(super) struct Stamps {
    format: String,
    has_date: bool,
    /// Date and zone of the first sample.
    first: Option<(Date, Option<Offset>)>,
    /// Midnights that a clock without a date has passed.
    midnights: i64,
    last_us: i64,
}

impl Stamps {
    pub fn new(format: &str) -> Result<Self, Problem> {
        Ok(Self {
            format: format.to_owned(),
            has_date: holds(format)? == Holds::DateTime,
            first: None,
            midnights: 0,
            last_us: i64::MIN,
        })
    }

    /// Microseconds since the midnight before the first sample.
    pub fn read(&mut self, text: &str) -> Result<i64, NoTime> {
        let (moment, zone) = self.parse(text).ok_or(NoTime::Unreadable)?;
        let (first, first_zone) = *self.first.get_or_insert((moment.date(), zone));
        if zone != first_zone {
            let told = |zone: Option<Offset>| zone.map_or("none".into(), |zone| zone.to_string());
            return Err(NoTime::OtherZone(told(first_zone), told(zone)));
        }
        let of_day_us = (moment.time().duration_since(jiff::civil::Time::midnight()))
            .as_nanos()
            .saturating_add(500)
            / 1000;
        let of_day_us = i64::try_from(of_day_us).unwrap_or_default();
        let days = if self.has_date {
            (moment.date().duration_since(first)).as_hours() / 24
        } else {
            if of_day_us + self.midnights * DAY_US < self.last_us.saturating_sub(MIDNIGHT_US) {
                self.midnights += 1;
            }
            self.midnights
        };
        self.last_us = of_day_us + days * DAY_US;
        Ok(self.last_us)
    }

    /// Whether a text is written in the format.
    pub fn reads(&self, text: &str) -> bool {
        self.parse(text).is_some()
    }

    fn parse(&self, text: &str) -> Option<(DateTime, Option<Offset>)> {
        let parsed = BrokenDownTime::parse(&self.format, text).ok()?;
        let time = parsed.to_time().ok()?;
        let day = if self.has_date {
            parsed.to_date().ok()?
        } else {
            Date::ZERO
        };
        Some((day.to_datetime(time), parsed.offset()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn seconds(format: &str, texts: &[&str]) -> Vec<f64> {
        let mut stamps = Stamps::new(format).unwrap();
        let read = texts.iter().map(|text| stamps.read(text).unwrap());
        read.map(|time_us| time_us as f64 / 1e6).collect()
    }

    #[test]
    fn clocks_count_from_midnight_and_pass_it() {
        let clock = ["23:59:59.9985", "23:59:59.999", "00:00:00", "00:00:00.001"];
        let wanted = [86_399.998_5, 86_399.999, 86_400.0, 86_400.001];
        assert_eq!(seconds("%H:%M:%S%.f", &clock), wanted);
        assert_eq!(
            seconds("%H:%M:%S,%f", &["00:01:02,5", "00:01:02,75"]),
            [62.5, 62.75]
        );
        assert_eq!(
            seconds("%I:%M:%S %p", &["12:00:01 AM", "12:00:02 PM"]),
            [1.0, 43_202.0]
        );
        // Back by less than half a day: the fault of times that run backwards tells it.
        assert_eq!(
            seconds("%H:%M:%S", &["10:00:01", "10:00:00"]),
            [36_001.0, 36_000.0]
        );
    }

    #[test]
    fn dates_count_from_the_midnight_before_the_first_sample() {
        let dates = ["2026-02-28T23:59:59.5", "2026-03-01T00:00:00.000001"];
        assert_eq!(
            seconds("%Y-%m-%dT%H:%M:%S%.f", &dates),
            [86_399.5, 86_400.000_001]
        );
    }

    #[test]
    fn a_zone_is_passed_over_and_told_if_it_changes() {
        let mut stamps = Stamps::new("%Y-%m-%d %H:%M:%S%:z").unwrap();
        assert_eq!(stamps.read("2026-10-25 02:59:59+02:00"), Ok(10_799_000_000));
        let changed = NoTime::OtherZone("+02".into(), "+01".into());
        assert_eq!(stamps.read("2026-10-25 02:00:00+01:00"), Err(changed));
    }

    #[test]
    fn formats_that_tell_no_time_are_refused() {
        assert_eq!(holds("%H:%M"), Ok(Holds::Clock));
        assert_eq!(holds("%d.%m.%Y %H:%M:%S,%f"), Ok(Holds::DateTime));
        for refused in ["", "%Y-%m-%d", "%M:%S", "%Q:%!", "HH:MM:SS"] {
            let problem = holds(refused).unwrap_err();
            assert!(
                problem.message.contains("the time format"),
                "{refused}: {problem}"
            );
        }
        let mut stamps = Stamps::new("%H:%M:%S").unwrap();
        for wrong in ["", "12:00", "24:00:00", "12:00:00.5", "12:00:60x"] {
            assert_eq!(stamps.read(wrong), Err(NoTime::Unreadable), "{wrong}");
        }
    }
}
