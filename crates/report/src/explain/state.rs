//! The state of a flow at a device in dimensionless groups.

use aircraft::records::device::{Channels, Tubes};
use correlations::{Evaluated, duct_laminar, friction};
use media::{Liquid, air};
use model::result::StationResult;
use std::f64::consts::FRAC_PI_4;
use std::f64::consts::PI;

/// The medium of a circuit.
pub(super) enum Medium {
    /// Coolant or oil.
    Liquid(Box<Liquid>),
    /// Duct air.
    Air,
}

impl Medium {
    pub(super) fn viscosity(&self, temperature_k: f64) -> f64 {
        match self {
            Self::Liquid(liquid) => liquid.viscosity(temperature_k),
            Self::Air => air::viscosity(temperature_k),
        }
    }

    fn prandtl(&self, temperature_k: f64) -> f64 {
        match self {
            Self::Liquid(liquid) => liquid.prandtl(temperature_k),
            Self::Air => air::prandtl(temperature_k),
        }
    }

    fn conductivity(&self, temperature_k: f64) -> f64 {
        match self {
            Self::Liquid(liquid) => liquid.conductivity(temperature_k),
            Self::Air => air::conductivity(temperature_k),
        }
    }
}

/// Passages in parallel, as far as an explanation needs them.
pub(super) struct Bores {
    pub(super) length_m: f64,
    pub(super) diameter_m: f64,
    pub(super) flow_area_m2: f64,
    pub(super) wetted_area_m2: f64,
    pub(super) roughness_m: f64,
    pub(super) laminar_nusselt: f64,
    /// Developed laminar Darcy factor times Reynolds number; 64 in a round tube.
    pub(super) laminar_friction: f64,
}

/// Darcy factor times Reynolds number of developed laminar flow in a round tube.
pub(super) const ROUND: f64 = 64.0;

impl Bores {
    pub(super) fn channels(channels: &Channels) -> Self {
        let (count, width, height) = (channels.count as f64, channels.width.si(), channels.height.si());
        let aspect = width.min(height) / width.max(height);
        Self {
            length_m: channels.length.si(),
            diameter_m: 2.0 * width * height / (width + height),
            flow_area_m2: count * width * height,
            wetted_area_m2: count * 2.0 * (width + height) * channels.length.si(),
            roughness_m: channels.roughness.si(),
            laminar_nusselt: duct_laminar::nusselt_t(aspect),
            laminar_friction: 4.0 * duct_laminar::fanning_f_re(aspect),
        }
    }

    pub(super) fn tubes(tubes: &Tubes) -> Self {
        let (count, diameter) = (tubes.count as f64, tubes.diameter.si());
        Self {
            length_m: tubes.length.si(),
            diameter_m: diameter,
            flow_area_m2: count * FRAC_PI_4 * diameter * diameter,
            wetted_area_m2: count * PI * diameter * tubes.length.si(),
            roughness_m: tubes.roughness.si(),
            laminar_nusselt: 3.6568,
            laminar_friction: ROUND,
        }
    }

    fn reynolds(&self, medium: &Medium, station: &StationResult) -> f64 {
        station.mass_flow_kg_s.abs() * self.diameter_m
            / (medium.viscosity(mean_k(station)) * self.flow_area_m2)
    }

    /// The Nusselt relation at the mean state of a station.
    pub(super) fn nusselt(&self, medium: &Medium, station: &StationResult) -> Option<Evaluated> {
        let mut inputs = vec![
            ("reynolds", self.reynolds(medium, station)),
            ("prandtl", medium.prandtl(mean_k(station))),
            ("length_over_diameter", self.length_m / self.diameter_m),
            ("relative_roughness", self.roughness_m / self.diameter_m),
            ("laminar_nusselt", self.laminar_nusselt),
        ];
        if let (Medium::Liquid(_), Some(coldest)) = (medium, coldest_wall_k(station)) {
            inputs.push(("prandtl_wall", medium.prandtl(coldest)));
        }
        correlations::evaluate("tube_all_regimes", &inputs).ok()
    }

    /// Conductance that the Nusselt number stands for, W/K.
    pub(super) fn conductance(&self, medium: &Medium, station: &StationResult, nusselt: f64) -> f64 {
        nusselt * medium.conductivity(mean_k(station)) * self.wetted_area_m2 / self.diameter_m
    }

    /// The friction relation of a round tube at the mean state of a station; `None` for another shape.
    pub(super) fn round_friction(&self, medium: &Medium, station: &StationResult) -> Option<Evaluated> {
        let inputs = [
            ("reynolds", self.reynolds(medium, station)),
            ("relative_roughness", self.roughness_m / self.diameter_m),
        ];
        if (self.laminar_friction - ROUND).abs() > 1e-9 {
            return None;
        }
        correlations::evaluate("churchill_1977_all_regimes", &inputs).ok()
    }

    /// Darcy factor with the laminar constant of another shape, in words.
    pub(super) fn shaped_friction(&self, medium: &Medium, station: &StationResult) -> String {
        let reynolds = self.reynolds(medium, station);
        let roughness = self.roughness_m / self.diameter_m;
        let product = friction::darcy_times_reynolds(reynolds, roughness, self.laminar_friction);
        format!(
            "Darcy friction factor {:.5} at Re {reynolds:.1}, relative roughness {roughness:.3e}, laminar f Re {:.2}",
            product / reynolds,
            self.laminar_friction
        )
    }
}

/// Mean of the temperatures coming in and going out.
pub(super) fn mean_k(station: &StationResult) -> f64 {
    0.5 * (station.temperature_in_k + station.temperature_out_k)
}

/// Coldest of the walls it washes, K.
fn coldest_wall_k(station: &StationResult) -> Option<f64> {
    station.walls_k.iter().copied().min_by(f64::total_cmp)
}
