//! The scatters of a field's specimens, pack specimens and days: what is assumed of them beforehand,
//! how far they are measured, and how they are stored.

use super::Scatter;
use crate::dataset::types::FieldScatter;

/// What is known of a scatter before a field is run: a scaled inverse χ² distribution (Gelman and
/// others, "Bayesian Data Analysis"), whose predictive distribution is Student's t with the same
/// degrees of freedom. So a scatter that is only assumed is doubtful too.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Assumed {
    /// Standard deviation of a logarithm, above 0.
    pub sd: f64,
    /// Degrees of freedom that it weighs, above 0.
    pub nu: f64,
}

impl Assumed {
    /// Of specimens of one tool: motor constant, spring and hammer fits as made, an engineering
    /// judgement without a source, unless the rig's file says how many per cent.
    pub fn specimens(unit_to_unit_percent: Option<f64>) -> Self {
        Self {
            sd: unit_to_unit_percent.unwrap_or(3.5) / 100.0,
            nu: 4.0,
        }
    }

    /// Of specimens of one pack: cell resistance differs by a few per cent when new and by tens when
    /// aged, and is a part of the circuit's; an engineering judgement without a source, unless the rig's
    /// file says how many per cent. `used`: whether a pack specimen of the field is.
    pub fn packs(pack_to_pack_percent: Option<f64>, used: bool) -> Self {
        let usual = if used { 4.0 } else { 2.0 };
        Self {
            sd: pack_to_pack_percent.unwrap_or(usual) / 100.0,
            nu: 3.0,
        }
    }

    /// Of days: sensor temperature, a renewed joint, the room; an engineering judgement without a
    /// source, unless the rig's file says how many per cent.
    pub fn days(day_to_day_percent: Option<f64>) -> Self {
        Self {
            sd: day_to_day_percent.unwrap_or(1.0) / 100.0,
            nu: 3.0,
        }
    }

    /// The scatter where nothing is measured.
    pub fn scatter(&self) -> Scatter {
        Scatter {
            variance: self.sd * self.sd,
            nu: self.nu,
        }
    }
}

/// What a scatter rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Basis {
    /// The field's own runs have at least as many degrees of freedom as what is assumed.
    Measured,
    /// They have at least one: what was measured is held by what is assumed.
    Held,
    /// They have less than one.
    Assumed,
}

/// The scatter of one kind of effect.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Effect {
    /// The scatter used.
    pub scatter: Scatter,
    /// What was assumed beforehand.
    pub assumed: Assumed,
}

impl Effect {
    /// An effect of which nothing is measured.
    pub fn of_assumed(assumed: Assumed) -> Self {
        Self {
            scatter: assumed.scatter(),
            assumed,
        }
    }

    /// Degrees of freedom of the field's own runs.
    pub fn own_nu(&self) -> f64 {
        self.scatter.nu - self.assumed.nu
    }

    /// What the scatter rests on.
    pub fn basis(&self) -> Basis {
        match self.own_nu() {
            own if own >= self.assumed.nu => Basis::Measured,
            own if own >= 1.0 => Basis::Held,
            _ => Basis::Assumed,
        }
    }
}

/// The scatters of a field, once for a rig, setup and edition, from ln mean torque.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Effects {
    /// Of specimens of one tool, s_u.
    pub specimen: Effect,
    /// Of specimens of one pack, s_p.
    pub pack: Effect,
    /// Of days, s_d.
    pub day: Effect,
}

impl Effects {
    /// As a file stores them, rounded; rig, setup and edition are left open.
    pub fn stored(&self) -> FieldScatter {
        let ppm = |effect: &Effect| (1e6 * effect.scatter.variance.sqrt()).round() as u32;
        let cnu = |effect: &Effect| (1e2 * effect.scatter.nu).round() as u32;
        FieldScatter {
            specimen_ppm: ppm(&self.specimen),
            specimen_cnu: cnu(&self.specimen),
            pack_ppm: ppm(&self.pack),
            pack_cnu: cnu(&self.pack),
            day_ppm: ppm(&self.day),
            day_cnu: cnu(&self.day),
            ..FieldScatter::default()
        }
    }

    /// The scatters where nothing is measured.
    pub fn of_assumed([specimen, pack, day]: [Assumed; 3]) -> Self {
        Self {
            specimen: Effect::of_assumed(specimen),
            pack: Effect::of_assumed(pack),
            day: Effect::of_assumed(day),
        }
    }

    /// From what is stored, with what was assumed of specimens, pack specimens and days.
    pub fn of_stored(stored: &FieldScatter, [specimen, pack, day]: [Assumed; 3]) -> Self {
        let effect = |ppm: u32, cnu: u32, assumed| {
            let sd = f64::from(ppm) / 1e6;
            let scatter = Scatter {
                variance: sd * sd,
                nu: f64::from(cnu) / 1e2,
            };
            Effect { scatter, assumed }
        };
        Self {
            specimen: effect(stored.specimen_ppm, stored.specimen_cnu, specimen),
            pack: effect(stored.pack_ppm, stored.pack_cnu, pack),
            day: effect(stored.day_ppm, stored.day_cnu, day),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_assumed_is_used_with_its_doubt() {
        assert_eq!(Assumed::specimens(None).sd, 0.035);
        assert_eq!(Assumed::specimens(Some(2.0)).sd, 0.02);
        assert_eq!(Assumed::packs(None, false).sd, 0.02);
        assert_eq!(Assumed::packs(None, true).sd, 0.04);
        assert_eq!(Assumed::packs(Some(5.0), true).sd, 0.05);
        assert_eq!(Assumed::days(Some(1.5)).sd, 0.015);
        let day = Effect::of_assumed(Assumed::days(None));
        assert!((day.scatter.variance - 1e-4).abs() < 1e-18 && day.scatter.nu == 3.0);
    }

    #[test]
    fn a_scatter_is_measured_where_its_own_runs_weigh_as_much_as_what_is_assumed() {
        let basis = |nu| {
            let scatter = Scatter { variance: 1e-4, nu };
            let assumed = Assumed::specimens(None);
            Effect { scatter, assumed }.basis()
        };
        assert_eq!(basis(8.0), Basis::Measured);
        assert_eq!(basis(7.99), Basis::Held);
        assert_eq!(basis(5.0), Basis::Held);
        assert_eq!(basis(4.99), Basis::Assumed);
        assert_eq!(basis(4.0), Basis::Assumed);
    }

    #[test]
    fn what_is_stored_comes_back_and_stays() {
        let assumed = [
            Assumed::specimens(None),
            Assumed::packs(None, false),
            Assumed::days(None),
        ];
        let effect = |variance, nu, assumed| Effect {
            scatter: Scatter { variance, nu },
            assumed,
        };
        let effects = Effects {
            specimen: effect(0.001223466482, 4.800560653, assumed[0]),
            pack: effect(0.0004103850824, 3.613192879, assumed[1]),
            day: effect(0.0001099252644, 3.100167755, assumed[2]),
        };
        let stored = effects.stored();
        assert_eq!((stored.specimen_ppm, stored.specimen_cnu), (34978, 480));
        assert_eq!((stored.pack_ppm, stored.pack_cnu), (20258, 361));
        assert_eq!((stored.day_ppm, stored.day_cnu), (10485, 310));
        let read = Effects::of_stored(&stored, assumed);
        assert_eq!(read.stored(), stored);
        assert!((read.pack.scatter.variance - 0.020258 * 0.020258).abs() < 1e-18);
        assert_eq!(read.pack.scatter.nu, 3.61);
    }
}
