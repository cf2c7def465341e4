//! The torque–angle line of a joint, and the work that tightening along it takes.

use crate::tie::reaches;

/// A joint's line: angle against torque, both strictly rising.
#[derive(Clone, Debug, PartialEq)]
pub struct JointLine {
    angle_rad: Vec<f64>,
    torque_nm: Vec<f64>,
}

/// Work along a joint's line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Work {
    /// In joules.
    pub joules: f64,
    /// Whether the torque lies beyond the line's last point, where its last slope goes on.
    pub beyond_line: bool,
}

impl JointLine {
    /// A line of at least two points, angle in degrees, torque in N·m, both strictly rising.
    pub fn new(angle_deg: &[f64], torque_nm: &[f64]) -> Option<Self> {
        let rises = |series: &[f64]| {
            series
                .windows(2)
                .all(|pair| matches!(pair, [a, b] if a < b))
        };
        (angle_deg.len() == torque_nm.len()
            && angle_deg.len() >= 2
            && rises(angle_deg)
            && rises(torque_nm))
        .then(|| Self {
            angle_rad: angle_deg.iter().map(|angle| angle.to_radians()).collect(),
            torque_nm: torque_nm.to_vec(),
        })
    }

    /// Work ∫ T dθ from the line's first point to `torque_nm`: 0 if that is not above the first
    /// torque. Beyond the last point the last slope goes on.
    pub fn work_to(&self, torque_nm: f64) -> Work {
        let mut joules = 0.0;
        let mut points = self.angle_rad.iter().zip(&self.torque_nm);
        let Some((&angle, &torque)) = points.next() else {
            return Work {
                joules,
                beyond_line: false,
            };
        };
        if torque_nm <= torque {
            return Work {
                joules,
                beyond_line: false,
            };
        }
        let (mut before, mut slope) = ((angle, torque), 0.0);
        for (&angle, &torque) in points {
            slope = (angle - before.0) / (torque - before.1);
            if reaches(torque, torque_nm) {
                return Work {
                    joules: joules + triangle(before.1, torque_nm, slope),
                    beyond_line: false,
                };
            }
            joules += triangle(before.1, torque, slope);
            before = (angle, torque);
        }
        Work {
            joules: joules + triangle(before.1, torque_nm, slope),
            beyond_line: true,
        }
    }
}

/// Work from one torque to another along a line of `slope` radians per N·m: mean torque × angle.
fn triangle(from_nm: f64, to_nm: f64, slope: f64) -> f64 {
    (from_nm + to_nm) / 2.0 * ((to_nm - from_nm) * slope)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_that_does_not_rise_is_none() {
        assert_eq!(JointLine::new(&[0.0, 10.0], &[5.0, 5.0]), None);
        assert_eq!(JointLine::new(&[0.0], &[5.0]), None);
        assert_eq!(JointLine::new(&[0.0, 10.0], &[0.0, f64::NAN]), None);
    }

    #[test]
    fn beyond_its_end_the_last_slope_goes_on() {
        let line = JointLine::new(&[0.0, 10.0, 20.0], &[0.0, 100.0, 300.0]).unwrap();
        let longer = JointLine::new(&[0.0, 10.0, 30.0], &[0.0, 100.0, 500.0]).unwrap();
        let (work, reference) = (line.work_to(400.0), longer.work_to(400.0));
        assert!(work.beyond_line && !reference.beyond_line);
        assert!((work.joules - reference.joules).abs() < 1e-12 * reference.joules);
    }
}
