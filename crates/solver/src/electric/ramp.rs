//! A drive between two others: powers, speeds and air densities along a stretch of time.

use super::numbered::Electric;
use super::spec::ElectricSpec;
use crate::mix::mix;

impl Electric {
    /// Whether anything that [`Self::blend`] sets differs.
    pub(crate) fn differs(&self, other: &Self) -> bool {
        let (a, b) = (&self.spec, &other.spec);
        let gear_speed = |spec: &ElectricSpec| spec.gear.as_ref().map(|gear| gear.input_speed_rad_s);
        a.shaft_power_w != b.shaft_power_w
            || a.other_load_w != b.other_load_w
            || a.converters.iter().zip(&b.converters).any(|(a, b)| a.load_w != b.load_w)
            || gear_speed(a) != gear_speed(b)
            || a.stages
                .iter()
                .zip(&b.stages)
                .any(|(a, b)| a.gear.input_speed_rad_s != b.gear.input_speed_rad_s)
            || a.drives.iter().zip(&b.drives).any(|(a, b)| {
                a.speed_rad_s != b.speed_rad_s
                    || a.air_density_ratio != b.air_density_ratio
                    || a.share != b.share
            })
    }

    /// Sets powers, speeds and air densities to their values at a share of the way between two drives.
    pub(crate) fn blend(&mut self, from: &Self, to: &Self, share: f64) {
        let (spec, a, b) = (&mut self.spec, &from.spec, &to.spec);
        mix(&mut spec.shaft_power_w, a.shaft_power_w, b.shaft_power_w, share);
        mix(&mut spec.other_load_w, a.other_load_w, b.other_load_w, share);
        for ((converter, a), b) in spec.converters.iter_mut().zip(&a.converters).zip(&b.converters) {
            mix(&mut converter.load_w, a.load_w, b.load_w, share);
        }
        if let (Some(gear), Some(a), Some(b)) = (&mut spec.gear, &a.gear, &b.gear) {
            mix(&mut gear.input_speed_rad_s, a.input_speed_rad_s, b.input_speed_rad_s, share);
        }
        for ((stage, a), b) in spec.stages.iter_mut().zip(&a.stages).zip(&b.stages) {
            let (a, b) = (a.gear.input_speed_rad_s, b.gear.input_speed_rad_s);
            mix(&mut stage.gear.input_speed_rad_s, a, b, share);
        }
        for ((drive, a), b) in spec.drives.iter_mut().zip(&a.drives).zip(&b.drives) {
            mix(&mut drive.speed_rad_s, a.speed_rad_s, b.speed_rad_s, share);
            mix(&mut drive.air_density_ratio, a.air_density_ratio, b.air_density_ratio, share);
            mix(&mut drive.share, a.share, b.share, share);
        }
    }
}
