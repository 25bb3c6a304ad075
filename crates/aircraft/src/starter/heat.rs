//! The first estimate of heats, masses and flows, from which everything is sized.

use super::answers::{Answers, PackSize, Part};
use super::rules::value;

/// Least and greatest number of cells in series that are taken.
pub(super) const SERIES: (usize, usize) = (14, 250);
/// Time for which a pack must be able to feed every motor at its power, s: the shortest flight that is made here needs a little less.
pub(super) const MIN_TIME_S: f64 = 0.22 * 3600.0;

/// Specific heat of air, J/(kg K).
pub(super) const AIR_J_KGK: f64 = 1006.0;

/// Energy of a cell, J.
pub(super) fn cell_energy_j() -> f64 {
    value("cell: capacity") * 3600.0 * value("cell: voltage")
}

/// Power at the bus with every motor at its power, W.
pub(super) fn bus_power_w(answers: &Answers) -> f64 {
    answers.motors as f64 * answers.motor_power_w
        / (value("motor: efficiency") * value("inverter: efficiency"))
}

/// Cells in series and strings in parallel.
pub(super) fn cells(answers: &Answers) -> (usize, usize) {
    match answers.pack {
        PackSize::Cells { series, parallel } => (series, parallel),
        PackSize::Energy(energy_j) if energy_j > 0.0 && energy_j.is_finite() => {
            let size = match 1e-3 * bus_power_w(answers) {
                kw if kw < value("pack: small below") => "small",
                kw if kw < value("pack: large from") => "middle",
                _ => "large",
            };
            let series = value(&format!("pack: cells in series, {size}"));
            (series as usize, (energy_j / (cell_energy_j() * series)).ceil().max(1.0) as usize)
        }
        PackSize::Energy(_) => (0, 0),
    }
}

/// Estimates that sizes follow from. All of the aircraft, not of one motor, unless it says so.
#[derive(Debug, Clone)]
pub(super) struct First {
    /// Power at the output shaft with every motor at its power, W.
    pub(super) shaft_power_w: f64,
    /// Power at the bus then, W.
    pub(super) bus_power_w: f64,
    /// Speed of the output shaft, 1/min.
    pub(super) shaft_rpm: f64,
    /// Motor speed over that of the shaft.
    pub(super) ratio: f64,
    /// Cells in series.
    pub(super) series: usize,
    /// Strings.
    pub(super) parallel: usize,
    /// Mass of one motor, kg.
    pub(super) motor_kg: f64,
    /// Mass of one inverter, kg.
    pub(super) inverter_kg: f64,
    /// Mass of the gearbox, kg.
    pub(super) gearbox_kg: f64,
    heats_w: [f64; 4],
    count: usize,
}

impl First {
    /// The estimates.
    pub(super) fn of(answers: &Answers) -> Self {
        let count = answers.motors;
        let all_w = count as f64 * answers.motor_power_w;
        let (series, parallel) = cells(answers);
        let bus_power_w = bus_power_w(answers);
        let geared = |value: f64| if answers.is_geared { value } else { 0.0 };
        let by_kind = |rule: &str| value(&format!("{rule}{}", answers.kind.word()));
        let shaft_power_w = all_w * if answers.is_geared { value("gearbox: power passed on") } else { 1.0 };
        let (motor, inverter) = (value("motor: efficiency"), value("inverter: efficiency"));
        let mut first = Self {
            // rounded down, so that the rating is kept
            shaft_power_w: (shaft_power_w / 100.0).floor() * 100.0,
            bus_power_w,
            shaft_rpm: by_kind("shaft speed: "),
            ratio: if answers.is_geared { by_kind("gearbox: ratio, ") } else { 1.0 },
            series,
            parallel,
            motor_kg: 1e-3 * answers.motor_power_w / value("motor: power over mass"),
            inverter_kg: 1e-3 * answers.motor_power_w / value("inverter: power over mass"),
            gearbox_kg: geared(1e-3 * all_w / value("gearbox: power over mass")),
            heats_w: [
                all_w * (1.0 / motor - 1.0),
                all_w / motor * (1.0 / inverter - 1.0),
                geared(
                    all_w
                        * (1.0 - value("gearbox: efficiency of the meshes")
                            + value("gearbox: drag over power")),
                ),
                0.0,
            ],
            count,
        };
        first.heats_w[3] = first.pack_heat_w();
        first
    }

    /// Joule heat of the cells in a climb: I^2 R with the rise of the resistance over minutes.
    fn pack_heat_w(&self) -> f64 {
        let cells = (self.series * self.parallel) as f64;
        let current_a = value("climb: power") * self.bus_power_w / (cells * value("cell: voltage"));
        let cell_ohm = 1e-3 * value("cell: resistance");
        cells * current_a * current_a * cell_ohm * value("cell: growth of its resistance over minutes")
    }

    /// Heat of a part at full power, W; of the pack in a climb.
    pub(super) fn heat_w(&self, part: Part) -> f64 {
        self.heats_w[part as usize]
    }

    /// How many there are of a part.
    pub(super) fn count(&self, part: Part) -> usize {
        match part {
            Part::Stator | Part::Inverter => self.count,
            Part::Gearbox | Part::Pack => 1,
        }
    }

    /// Energy of the pack, J.
    pub(super) fn pack_energy_j(&self) -> f64 {
        cell_energy_j() * (self.series * self.parallel) as f64
    }

    /// Heat capacity of the cells, J/K.
    pub(super) fn pack_j_k(&self) -> f64 {
        value("cell: mass") * value("cell: specific heat") * (self.series * self.parallel) as f64
    }

    /// Conductance of the bare case of one part, W/K: twice the surface of a cube of its mass for ribs, 50 W/(m2 K) in stirred bay
    /// air; the pack with smooth walls and 10 W/(m2 K).
    pub(super) fn case_w_k(&self, part: Part) -> f64 {
        let mass_kg = match part {
            Part::Stator => self.motor_kg,
            Part::Inverter => self.inverter_kg,
            Part::Gearbox => self.gearbox_kg,
            Part::Pack => self.pack_j_k() / value("cell: specific heat"),
        };
        let density_kg_m3 = value(&format!("case: density, {}", part.word()));
        let film_w_m2k = value(&format!("case: film, {}", part.word()));
        let side_m = f64::cbrt(mass_kg / density_kg_m3);
        film_w_m2k * 6.0 * side_m * side_m
    }
}
