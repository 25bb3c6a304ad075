//! What a law was measured with, as far as it is stated.

use super::device::{Film, FlowResistance};
use super::measured::{MeasuredFilm, Passages, PowerLaw, TransferMap};
use media::atmosphere::{
    ALTITUDE_RANGE_M, SEA_LEVEL_PRESSURE_PA, SEA_LEVEL_TEMPERATURE_K, standard_pressure_pa,
};
use media::{air, atmosphere};
use schema::Problem;
use schema::prelude::*;

/// What a law was measured with, as far as it is stated.
#[derive(Clone, Copy, Debug)]
pub struct Statement<'a> {
    /// Liquid.
    pub fluid: Option<&'a str>,
    /// Temperature of the liquid, or of the air where the law has one medium only.
    pub temperature: Option<&'a Input<Temperature>>,
    /// Density of the air.
    pub density: Option<&'a Input<Density>>,
    /// Pressure altitude of the air.
    pub altitude: Option<&'a Input<Length>>,
    /// Temperature of the air.
    pub air_temperature: Option<&'a Input<Temperature>>,
    /// Ways of the liquid.
    pub passages: Option<&'a Passages>,
}

/// The air of a measurement.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeasuredAir {
    /// Density, kg/m3.
    pub density_kg_m3: f64,
    /// Temperature, K.
    pub temperature_k: f64,
    /// Whether the density is assumed.
    pub assumes_density: bool,
    /// Whether the temperature is assumed.
    pub assumes_temperature: bool,
}

impl MeasuredAir {
    /// For an explanation, with what is assumed in it.
    pub fn words(&self) -> String {
        let assumed = |is: bool| if is { " (assumed)" } else { "" };
        if self.assumes_density && self.assumes_temperature {
            return format!(
                "measured in air of standard sea level (assumed): {:.3} kg/m3 at {:.1} degC",
                self.density_kg_m3,
                self.temperature_k - 273.15
            );
        }
        format!(
            "measured in air of {:.3} kg/m3{} at {:.1} degC{}",
            self.density_kg_m3,
            assumed(self.assumes_density),
            self.temperature_k - 273.15,
            assumed(self.assumes_temperature)
        )
    }
}

impl<'a> Statement<'a> {
    /// Of a film; none for one that is not measured.
    pub fn of_film(film: &'a Film) -> Option<Self> {
        match film {
            Film::PowerLaw(PowerLaw { fluid, temperature, density, altitude, passages, .. })
            | Film::Measured(MeasuredFilm { fluid, temperature, density, altitude, passages, .. }) => {
                Some(Self {
                    fluid: fluid.as_deref(),
                    temperature: temperature.as_ref(),
                    density: density.as_ref(),
                    altitude: altitude.as_ref(),
                    air_temperature: temperature.as_ref(),
                    passages: passages.as_ref(),
                })
            }
            Film::Table(_) => Some(Self {
                fluid: None,
                temperature: None,
                density: None,
                altitude: None,
                air_temperature: None,
                passages: None,
            }),
            Film::Fixed(_) | Film::Channels(_) | Film::Tubes(_) => None,
        }
    }

    /// Of a map.
    pub fn of_map(map: &'a TransferMap) -> Self {
        Self {
            fluid: map.fluid.as_deref(),
            temperature: map.temperature.as_ref(),
            density: map.density.as_ref(),
            altitude: map.altitude.as_ref(),
            air_temperature: map.air_temperature.as_ref(),
            passages: map.passages.as_ref(),
        }
    }

    /// Of a pressure loss; none for one that is not measured.
    pub fn of_loss(flow: &'a FlowResistance) -> Option<Self> {
        let (fluid, temperature, density, altitude, passages) = match flow {
            FlowResistance::Point(it) => {
                (&it.fluid, &it.temperature, &it.density, &it.altitude, &it.passages)
            }
            FlowResistance::Table(it) => {
                (&it.fluid, &it.temperature, &it.density, &it.altitude, &it.passages)
            }
            _ => return None,
        };
        Some(Self {
            fluid: fluid.as_deref(),
            temperature: Some(temperature),
            density: density.as_ref(),
            altitude: altitude.as_ref(),
            air_temperature: Some(temperature),
            passages: passages.as_ref(),
        })
    }

    /// The air of the measurement.
    ///
    /// # Errors
    /// A [`Problem`] if density and altitude are both stated, or the altitude or the temperature is out of range.
    pub fn air(&self, path: &str) -> Result<MeasuredAir, Problem> {
        let altitude_m = self.altitude.map(Input::si);
        if self.density.is_some() && altitude_m.is_some() {
            return Err(Problem::error(
                format!("{path}.altitude"),
                "the density of the air is stated already",
                "keep `density` or `altitude`",
            ));
        }
        if let Some(altitude_m) = altitude_m
            && !(ALTITUDE_RANGE_M.0 <= altitude_m && altitude_m <= ALTITUDE_RANGE_M.1)
        {
            return Err(Problem::error(
                format!("{path}.altitude"),
                format!(
                    "the standard atmosphere is known here from {} to {} m",
                    ALTITUDE_RANGE_M.0, ALTITUDE_RANGE_M.1
                ),
                "give the pressure altitude of the measurement, or its density",
            ));
        }
        let standard_k = altitude_m.map_or(SEA_LEVEL_TEMPERATURE_K, atmosphere::standard_temperature_k);
        let temperature_k = self.air_temperature.map_or(standard_k, Input::si);
        let pressure_pa = altitude_m.map_or(SEA_LEVEL_PRESSURE_PA, standard_pressure_pa);
        if !(air::RANGE_K.0 <= temperature_k && temperature_k <= air::RANGE_K.1) {
            return Err(Problem::error(
                path,
                format!("air of {:.0} degC lies outside its property laws", temperature_k - 273.15),
                "correct the temperature of the measurement",
            ));
        }
        let density = self.density.map(Input::si);
        Ok(MeasuredAir {
            density_kg_m3: density.unwrap_or_else(|| air::density(temperature_k, pressure_pa)),
            temperature_k,
            assumes_density: density.is_none() && altitude_m.is_none(),
            assumes_temperature: self.air_temperature.is_none_or(|given| !given.stated()),
        })
    }

    /// Liquid, temperature and passages where all are stated: the law is re-rated to what flows.
    pub fn liquid(&self) -> Option<(&'a str, &'a Input<Temperature>, &'a Passages)> {
        Some((self.fluid?, self.temperature?, self.passages?))
    }

    /// Why a law is not re-rated to the liquid that flows, though something of its measurement is stated; none where nothing is to say.
    pub fn not_rerated(&self, flown: &str) -> Option<String> {
        let other = self.fluid.is_some_and(|fluid| fluid.trim() != flown.trim());
        if self.liquid().is_some() || !(other || self.passages.is_some()) {
            return None;
        }
        let missing: Vec<&str> = [
            (self.fluid.is_none(), "`fluid`"),
            (self.temperature.is_none(), "`temperature`"),
            (self.passages.is_none(), "`passages`"),
        ]
        .into_iter()
        .filter_map(|(is_missing, name)| is_missing.then_some(name))
        .collect();
        let with = self.fluid.map_or_else(String::new, |fluid| format!(" with {fluid}"));
        Some(format!("measured{with} and not re-rated to {flown}; state {}", missing.join(" and ")))
    }
}
