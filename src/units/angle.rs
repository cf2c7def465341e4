//! Angle.

use std::f64::consts::PI;

/// A plane angle, held in radians.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Angle(f64);

impl Angle {
    /// The angle of this many degrees.
    #[must_use]
    pub fn from_degrees(angle_deg: f64) -> Self {
        Self(angle_deg * (PI / 180.0))
    }

    /// The angle in radians.
    #[must_use]
    pub fn radians(self) -> f64 {
        self.0
    }

    /// The angle in degrees.
    #[must_use]
    pub fn degrees(self) -> f64 {
        self.0 * (180.0 / PI)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_turn_a_minute_is_the_published_angular_speed() {
        // U-15: 1 rpm = 2π/60 rad/s.
        let per_second = Angle::from_degrees(360.0).radians() / 60.0;
        assert!((per_second / 0.104_719_755_1 - 1.0).abs() <= 1e-9);
    }

    #[test]
    fn degrees_round_trip() {
        for tenths in -7_200..7_200 {
            let angle_deg = f64::from(tenths) / 10.0;
            let back_deg = Angle::from_degrees(angle_deg).degrees();
            assert!((back_deg - angle_deg).abs() <= 1e-12 * angle_deg.abs());
        }
    }
}
