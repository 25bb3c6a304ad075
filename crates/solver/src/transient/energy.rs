//! Heat content as the quantity that is integrated.
//!
//! The heat content of a coolant is the exact integral of its specific heat, so the temperature is not what a linear
//! method conserves. Each fluid cell is therefore stepped in its *content temperature* `theta = T0 + (h(T) - h(T0))/cp(T0)`,
//! in which the heat content is linear: whatever the step size, heat generated = heat stored + heat rejected to rounding.
//! For components with a constant capacity both temperatures are the same.

use crate::fluid::Fluid;
use crate::network::{Network, REFERENCE_K};

/// A liquid cell.
#[derive(Clone, Copy, Debug)]
struct LiquidCell {
    unknown: usize,
    circuit: usize,
    /// Specific heat and enthalpy at the reference temperature.
    specific_heat_j_kgk: f64,
    enthalpy_j_kg: f64,
}

/// Heat capacities of all unknowns, and the way between temperature and content temperature.
#[derive(Clone, Debug)]
pub(crate) struct Energy {
    cells: Vec<LiquidCell>,
    /// J/K for temperatures; 1 for the state of charge; 0 for unknowns that follow at once.
    pub(crate) mass: Vec<f64>,
}

/// Liquid of a cell at least, m3: 2 mL, 4 J/K of oil. A device without a volume of its own still holds some; without any, the
/// temperature of a valve that is about to lift or to shut hangs on a flow that passes through zero.
const MIN_CELL_M3: f64 = 2e-6;

/// Newton steps from temperature to content temperature and back; two reach rounding from any neighbouring state.
const MAX_STEPS: usize = 8;

impl Energy {
    /// Capacities of a network. The liquid of a cell is the mass that fills it at 50 degC; what expansion moves to the
    /// reservoir is less than 2 % between 10 and 90 degC. Air in ducts follows at once, unless every temperature is to have a least
    /// capacity, J/K.
    pub(crate) fn of(network: &Network, min_j_k: f64) -> Self {
        let mut mass = vec![0.0; network.unknowns];
        let mut cells = Vec::new();
        for (unknown, component) in network.components.iter().enumerate() {
            mass[unknown] = component.capacity_j_k;
        }
        for &(unknown, circuit, volume_m3) in &network.cell_volumes {
            let fluid = &network.circuits[circuit].fluid;
            if matches!(fluid, Fluid::Air { .. }) {
                continue;
            }
            let volume_m3 = volume_m3.max(MIN_CELL_M3);
            let specific_heat_j_kgk = fluid.specific_heat(REFERENCE_K);
            mass[unknown] = volume_m3 * fluid.density(REFERENCE_K) * specific_heat_j_kgk;
            let enthalpy_j_kg = fluid.enthalpy(REFERENCE_K);
            cells.push(LiquidCell { unknown, circuit, specific_heat_j_kgk, enthalpy_j_kg });
        }
        cells.sort_by_key(|cell| cell.unknown);
        for capacity in &mut mass[..network.temperatures] {
            *capacity = capacity.max(min_j_k);
        }
        if let Some(electric) = &network.electric {
            mass[electric.charge()] = 1.0;
        }
        Self { cells, mass }
    }

    /// Content temperatures of a state; other unknowns are copied.
    pub(crate) fn content(&self, network: &Network, state: &[f64], content: &mut [f64]) {
        content.copy_from_slice(&state[..content.len()]);
        for cell in &self.cells {
            let fluid = &network.circuits[cell.circuit].fluid;
            let above = fluid.enthalpy(state[cell.unknown]) - cell.enthalpy_j_kg;
            content[cell.unknown] = REFERENCE_K + above / cell.specific_heat_j_kgk;
        }
    }

    /// Temperatures of content temperatures; the state holds a guess of them and keeps its boundaries.
    pub(crate) fn temperatures(&self, network: &Network, content: &[f64], state: &mut [f64]) {
        let mut cells = self.cells.iter();
        let mut next = cells.next();
        for (unknown, &value) in content.iter().enumerate() {
            match next {
                Some(cell) if cell.unknown == unknown => {
                    let fluid = &network.circuits[cell.circuit].fluid;
                    state[unknown] = cell.temperature(fluid, value, state[unknown]);
                    next = cells.next();
                }
                _ => state[unknown] = value,
            }
        }
    }

    /// Temperature of one content temperature.
    pub(crate) fn temperature_of(&self, network: &Network, unknown: usize, content_k: f64) -> f64 {
        match self.cells.binary_search_by_key(&unknown, |cell| cell.unknown) {
            Ok(index) => {
                let cell = &self.cells[index];
                cell.temperature(&network.circuits[cell.circuit].fluid, content_k, content_k)
            }
            Err(_other) => content_k,
        }
    }

    /// Derivative of temperature with content temperature.
    pub(crate) fn slopes(&self, network: &Network, state: &[f64], slopes: &mut [f64]) {
        slopes.fill(1.0);
        for cell in &self.cells {
            let fluid = &network.circuits[cell.circuit].fluid;
            slopes[cell.unknown] = cell.specific_heat_j_kgk / fluid.specific_heat(state[cell.unknown]);
        }
    }

    /// Heat content above zero content temperature, J.
    pub(crate) fn stored_j(&self, content: &[f64], temperatures: usize) -> f64 {
        self.mass[..temperatures].iter().zip(content).map(|(mass, value)| mass * value).sum()
    }
}

impl LiquidCell {
    #[inline]
    fn temperature(&self, fluid: &Fluid, content_k: f64, guess_k: f64) -> f64 {
        let wanted = self.enthalpy_j_kg + (content_k - REFERENCE_K) * self.specific_heat_j_kgk;
        let mut temperature_k = guess_k;
        for _ in 0..MAX_STEPS {
            let change = (wanted - fluid.enthalpy(temperature_k)) / fluid.specific_heat(temperature_k);
            temperature_k += change;
            // Newton's method squares the error: 1e-4 K leaves less than 1e-10 K
            if !(change.abs() > 1e-4) {
                break;
            }
        }
        temperature_k
    }
}
