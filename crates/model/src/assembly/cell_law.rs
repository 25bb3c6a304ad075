//! From the records of a cell to its law, with a part of its life used.

use super::checked::{refused, si};
use super::laws;
use aircraft::records::powertrain::{Cell, Interpolation, Pack, ResistanceBasis};
use powertrain::cell::{CellData, CellResistance, Entropic, ResistanceLaw, TemperatureLaw};
use schema::{Input, Problem};

/// The cell of a pack with a part of its life used, 0 to 1.
///
/// # Errors
/// A [`Problem`] at `path` that names the number that is not physical.
pub fn aged_cell(pack: &Pack, life_used: f64, path: &str) -> Result<powertrain::cell::Cell, Problem> {
    let ageing = powertrain::cell::Ageing {
        resistance_factor: pack.ageing.resistance.si(),
        capacity_factor: pack.ageing.capacity.si(),
    };
    let cell = cell_law(&pack.cell, path)?;
    let aged = ageing.part(life_used).and_then(|ageing| cell.aged(ageing));
    aged.map_err(|error| refused(format!("{path}.ageing"), &error))
}

fn interpolation(way: &Interpolation) -> numerics::Interpolation {
    match way {
        Interpolation::Linear => numerics::Interpolation::Linear,
        Interpolation::Monotone => numerics::Interpolation::Monotone,
    }
}

fn resistance_law(cell: &Cell, at: &str) -> Result<ResistanceLaw, Problem> {
    let (resistance_ohm, reference_k) = (cell.resistance.si(), cell.resistance_at.si());
    if let Some(table) = &cell.resistance_table {
        let (soc, kelvin) = (si(&table.state_of_charge), si(&table.temperature));
        let way = interpolation(&table.interpolation);
        return ResistanceLaw::table(resistance_ohm, reference_k, (&soc, &kelvin), &si(&table.ohm), way)
            .map_err(|error| refused(format!("{at}.resistance_table"), &error));
    }
    let soc_factor = match &cell.charge_factor {
        Some(points) => Some(laws::curve(&points.si(), &format!("{at}.charge_factor"))?),
        None => None,
    };
    let temperature =
        TemperatureLaw { reference_k, cold_b_k: cell.cold_growth.si(), hot_b_k: cell.hot_growth.si() };
    Ok(ResistanceLaw::Reference { resistance_ohm, temperature, soc_factor })
}

fn cell_law(cell: &Cell, path: &str) -> Result<powertrain::cell::Cell, Problem> {
    let at = format!("{path}.cell");
    let basis = match &cell.basis {
        ResistanceBasis::Pulse(length) => {
            powertrain::cell::ResistanceBasis::DirectCurrentPulse { pulse_s: length.si() }
        }
        ResistanceBasis::Ac1kHz => powertrain::cell::ResistanceBasis::AlternatingCurrent1kHz,
    };
    let resistance = CellResistance::new(
        resistance_law(cell, &at)?,
        basis,
        cell.duration_factor.as_ref().map(Input::si),
        cell.age_factor.si(),
    )
    .map_err(|error| refused(format!("{at}.resistance"), &error))?;
    let open_circuit_v =
        numerics::Curve::through(&cell.open_circuit.si(), interpolation(&cell.open_circuit_interpolation))
            .map_err(|error| refused(format!("{at}.open_circuit"), &error))?;
    powertrain::cell::Cell::new(CellData {
        capacity_ah: cell.capacity.si() / 3600.0,
        open_circuit_v,
        resistance,
        entropic: Entropic::Fixed(cell.entropic.si()),
        mass_kg: 0.07,
        specific_heat_j_kgk: 950.0,
    })
    .map_err(|error| refused(at, &error))
}
