//! A liquid from a user's table.

use crate::law::{ConductivityLaw, DensityLaw, HeatLaw, ViscosityLaw};
use crate::liquid::{Data, Liquid};
use crate::polynomial::Pieces;
use crate::vapour::VapourLaw;
use crate::{MediaError, Spread};
use numerics::{Curve, CurveError};

/// One row of a liquid's table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LiquidRow {
    /// Temperature, K.
    pub temperature_k: f64,
    /// Density, kg/m3.
    pub density_kg_m3: f64,
    /// Specific heat, J/(kg K).
    pub specific_heat_j_kgk: f64,
    /// Dynamic viscosity, Pa s.
    pub viscosity_pa_s: f64,
    /// Thermal conductivity, W/(m K).
    pub conductivity_w_mk: f64,
}

/// What else is known about a liquid from a table.
#[derive(Clone, Debug, PartialEq)]
pub struct TableOptions {
    /// Where it begins to freeze or stops to pour, K.
    pub freezing_point_k: Option<f64>,
    /// Vapour pressure: (temperature K, absolute pressure Pa), at least two points, both rising; or none.
    pub vapour_pressure: Vec<(f64, f64)>,
    /// Where the table comes from.
    pub source: String,
    /// Relative uncertainty of the table's values, if known (0.05 is +-5 %).
    pub uncertainty: Option<f64>,
}

impl Default for TableOptions {
    fn default() -> Self {
        Self {
            freezing_point_k: None,
            vapour_pressure: Vec::new(),
            source: "user's table".to_owned(),
            uncertainty: None,
        }
    }
}

impl Liquid {
    /// A liquid from at least two rows of rising temperature.
    ///
    /// Between rows: monotone cubics, viscosity by its logarithm; the enthalpy is the exact integral. Outside, the end
    /// rows are held. The logarithm of the vapour pressure is interpolated over -1/T.
    ///
    /// # Errors
    /// [`MediaError`] names the first row that is not positive or not rising.
    pub fn from_table(name: &str, rows: &[LiquidRow], options: &TableOptions) -> Result<Self, MediaError> {
        check_rows(name, rows)?;
        let points = |column: fn(&LiquidRow) -> f64| -> Vec<(f64, f64)> {
            rows.iter().map(|row| (row.temperature_k, column(row))).collect()
        };
        let failed = |error: CurveError| curve_error(name, "temperature", &error);
        let range_k = (rows[0].temperature_k, rows[rows.len() - 1].temperature_k);
        let uncertainty = options.uncertainty.unwrap_or(0.0);
        Ok(Self::from_data(Data {
            name: name.to_owned(),
            description: format!("{name} (user's table, {} rows)", rows.len()),
            source: options.source.clone(),
            fitted_k: range_k,
            evaluated_k: range_k,
            strength_fitted: true,
            density: DensityLaw::Table(Curve::new(&points(|row| row.density_kg_m3)).map_err(failed)?),
            heat: HeatLaw::Table(Pieces::new(&points(|row| row.specific_heat_j_kgk)).map_err(failed)?),
            viscosity: ViscosityLaw::LnTable(
                Curve::new(&points(|row| row.viscosity_pa_s.ln())).map_err(failed)?,
            ),
            conductivity: ConductivityLaw::Table(
                Curve::new(&points(|row| row.conductivity_w_mk)).map_err(failed)?,
            ),
            freezing_k: options.freezing_point_k,
            vapour: vapour(name, &options.vapour_pressure)?,
            spread: Spread {
                density: uncertainty,
                specific_heat: uncertainty,
                viscosity: uncertainty,
                conductivity: uncertainty,
                freezing_k: None,
                words: options.uncertainty.map_or_else(
                    || "not stated with the table".to_owned(),
                    |_| "stated with the table".to_owned(),
                ),
            },
        }))
    }
}

fn check_rows(name: &str, rows: &[LiquidRow]) -> Result<(), MediaError> {
    if rows.len() < 2 {
        let what = "the property table";
        return Err(MediaError::TooFewRows { name: name.to_owned(), what, given: rows.len() });
    }
    for (index, row) in rows.iter().enumerate() {
        let columns = [
            ("the temperature", row.temperature_k),
            ("the density", row.density_kg_m3),
            ("the specific heat", row.specific_heat_j_kgk),
            ("the viscosity", row.viscosity_pa_s),
            ("the conductivity", row.conductivity_w_mk),
        ];
        positive(name, index + 1, &columns)?;
    }
    Ok(())
}

fn positive(name: &str, row: usize, columns: &[(&'static str, f64)]) -> Result<(), MediaError> {
    match columns.iter().find(|(_, value)| !(*value > 0.0 && value.is_finite())) {
        Some(&(what, value)) => Err(MediaError::NotPositive { name: name.to_owned(), row, what, value }),
        None => Ok(()),
    }
}

fn vapour(name: &str, points: &[(f64, f64)]) -> Result<Option<VapourLaw>, MediaError> {
    if points.is_empty() {
        return Ok(None);
    }
    for (index, &(t, p)) in points.iter().enumerate() {
        positive(name, index + 1, &[("the temperature", t), ("the vapour pressure", p)])?;
        if index > 0 && p <= points[index - 1].1 {
            let what = "the vapour pressure";
            return Err(MediaError::NotRising { name: name.to_owned(), row: index + 1, what, value: p });
        }
    }
    let logarithms: Vec<(f64, f64)> = points.iter().map(|&(t, p)| (-1.0 / t, p.ln())).collect();
    let curve =
        Curve::new(&logarithms).map_err(|error| curve_error(name, "the vapour pressure table", &error))?;
    Ok(Some(VapourLaw::Table(curve)))
}

fn curve_error(name: &str, what: &'static str, error: &CurveError) -> MediaError {
    let name = name.to_owned();
    match *error {
        CurveError::NotRising { index, value } => MediaError::NotRising { name, row: index, what, value },
        CurveError::TooFewPoints(given) | CurveError::Shape { given, .. } => {
            MediaError::TooFewRows { name, what, given }
        }
        CurveError::NotFinite(row) => MediaError::NotPositive { name, row, what, value: f64::NAN },
    }
}
