//! Energy, time, power, and the rise rate that is no power.

use std::ops::Div;

use super::Torque;
use super::constants::{MECHANICAL_HORSEPOWER_W, POUND_FORCE_FOOT_NM};

/// An energy, or the work done on a bolt, held in joules. A torque is not an energy, though both can be
/// written newton metre: one newton metre through one radian is one joule.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Energy(f64);

impl Energy {
    /// The energy of this many joules.
    #[must_use]
    pub fn from_joules(energy_j: f64) -> Self {
        Self(energy_j)
    }

    /// The energy in joules.
    #[must_use]
    pub fn joules(self) -> f64 {
        self.0
    }
}

/// A length of time, held in seconds.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Duration(f64);

impl Duration {
    /// The time of this many seconds.
    #[must_use]
    pub fn from_seconds(time_s: f64) -> Self {
        Self(time_s)
    }

    /// The time in seconds.
    #[must_use]
    pub fn seconds(self) -> f64 {
        self.0
    }
}

/// A power, held in watts. Only an energy over a time makes one.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Power(f64);

impl Power {
    /// The power of this many watts.
    #[must_use]
    pub fn from_watts(power_w: f64) -> Self {
        Self(power_w)
    }

    /// The power in watts.
    #[must_use]
    pub fn watts(self) -> f64 {
        self.0
    }

    /// The power in mechanical horsepower (550 foot pounds-force each second), not metric.
    #[must_use]
    pub fn mechanical_horsepower(self) -> f64 {
        self.0 / MECHANICAL_HORSEPOWER_W
    }
}

/// How fast torque rises, held in newton metres each second. It has no angle in it, so it is not a power.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct RiseRate(f64);

impl RiseRate {
    /// The rise rate of this many newton metres each second.
    #[must_use]
    pub fn from_newton_metres_per_second(rise_rate_nm_per_s: f64) -> Self {
        Self(rise_rate_nm_per_s)
    }

    /// The rise rate in newton metres each second.
    #[must_use]
    pub fn newton_metres_per_second(self) -> f64 {
        self.0
    }

    /// The rise rate in pound-force feet each second.
    #[must_use]
    pub fn pound_force_feet_per_second(self) -> f64 {
        self.0 / POUND_FORCE_FOOT_NM
    }
}

/// The average power over a time: work over time. A time of zero gives an infinity or NaN; callers hold
/// times to a millisecond or more.
impl Div<Duration> for Energy {
    type Output = Power;

    fn div(self, time: Duration) -> Power {
        Power(self.0 / time.0)
    }
}

/// The average rise rate over a time: torque over time. A time of zero gives an infinity or NaN; callers
/// hold times to a millisecond or more.
impl Div<Duration> for Torque {
    type Output = RiseRate;

    fn div(self, time: Duration) -> RiseRate {
        RiseRate(self.newton_metres() / time.0)
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::PI;

    use super::super::Angle;
    use super::*;

    fn assert_relative(got: f64, wanted: f64, tolerance: f64) {
        assert!(
            (got / wanted - 1.0).abs() <= tolerance,
            "{got} is not {wanted} within {tolerance}"
        );
    }

    /// Work of a torque that rises from zero in proportion to the angle (W-05: T·θ/2).
    fn work_of_linear_rise(torque_nm: f64, angle_deg: f64) -> Energy {
        Energy::from_joules(torque_nm * Angle::from_degrees(angle_deg).radians() / 2.0)
    }

    #[test]
    fn work_over_time_is_power() {
        // W-06, W-07 (W-05, calculus): 100 N·m reached linearly over 30° and over 360°.
        let short = work_of_linear_rise(100.0, 30.0);
        let long = work_of_linear_rise(100.0, 360.0);
        assert_relative(short.joules(), 26.180, 1e-5);
        assert_relative(long.joules(), 314.159, 1e-6);
        // W-08: both in 1 s; the powers differ twelvefold, torque over time does not.
        let second = Duration::from_seconds(1.0);
        assert_relative(
            (long / second).watts() / (short / second).watts(),
            12.0,
            1e-15,
        );
        let rise = Torque::from_newton_metres(100.0) / second;
        assert_eq!(rise.newton_metres_per_second(), 100.0);
        // W-09 (W-05): 600 N·m after 5 s, over 90°.
        let five = Duration::from_seconds(5.0);
        assert_relative(work_of_linear_rise(600.0, 90.0).joules(), 471.24, 1e-5);
        assert_relative(
            (work_of_linear_rise(600.0, 90.0) / five).watts(),
            94.25,
            5e-5,
        );
        let rise = Torque::from_newton_metres(600.0) / five;
        assert_eq!(rise.newton_metres_per_second(), 120.0);
    }

    #[test]
    fn shaft_power_matches_published_examples() {
        // U-16: k = 60000/(2π), U-17: k = 33000/(2π). Power of a steady torque = torque × angle over time.
        let minute = Duration::from_seconds(60.0);
        let turns = |torque: Torque, count: f64| {
            let angle = Angle::from_degrees(360.0 * count);
            Energy::from_joules(torque.newton_metres() * angle.radians()) / minute
        };
        let kilowatt = turns(Torque::from_newton_metres(1.0), 9_549.296_6);
        assert_relative(kilowatt.watts(), 1_000.0, 1e-7);
        let horsepower = turns(Torque::from_pound_force_feet(1.0), 5_252.113_1);
        assert_relative(horsepower.mechanical_horsepower(), 1.0, 1e-7);
        // W-01: OpenStax University Physics vol. 1, sect. 10.8, 9.0e4 W at 300 turns a minute.
        let boat = turns(Torque::from_newton_metres(2_864.8), 300.0);
        assert!((boat.watts() / (300.0 * 2.0 * PI / 60.0) - 2_864.8).abs() <= 0.1);
        assert_relative(boat.watts(), 9.0e4, 1e-4);
    }

    #[test]
    fn horsepower_is_the_mechanical_one() {
        // U-12: NIST SP 811 B.8.
        let horse = Power::from_watts(745.699_871_582_270);
        assert_relative(horse.mechanical_horsepower(), 1.0, 1e-12);
    }

    #[test]
    fn rise_rate_converts_as_torque_does() {
        // U-05.
        let rate = RiseRate::from_newton_metres_per_second(1.355_817_948_331_4);
        assert_relative(rate.pound_force_feet_per_second(), 1.0, 1e-12);
    }
}
