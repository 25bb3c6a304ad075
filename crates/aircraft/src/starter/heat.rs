//! The first estimate of heats, masses and flows, from which everything is sized.

use super::answers::{Answers, PackSize, Part};

/// Least and greatest number of cells in series that are taken.
pub(super) const SERIES: (usize, usize) = (14, 250);
/// Energy of a cell of 21700 size, J: 4.2 Ah at 3.7 V.
pub(super) const CELL_ENERGY_J: f64 = 4.2 * 3600.0 * 3.7;
/// Time for which a pack must be able to feed every motor at its power, s: the shortest flight that is made here needs a little less.
pub(super) const LEAST_TIME_S: f64 = 0.22 * 3600.0;

/// Efficiency of a motor: 92 to 97 % is common practice, no source.
pub(super) const MOTOR: f64 = 0.94;
/// Efficiency of an inverter: 96 to 99 % is common practice, no source.
pub(super) const INVERTER: f64 = 0.98;
/// Efficiency of the meshes of a gearbox; whole boxes reach 98 to 99 % at best.
pub(super) const MESHES: f64 = 0.985;
/// Drag of a gearbox over its power. Judgement.
pub(super) const DRAG: f64 = 0.003;
/// Where the loss of a motor goes: copper, and magnets with windage; the rest is iron. The defaults of the project.
pub(super) const COPPER: f64 = 0.65;
/// As [`COPPER`].
pub(super) const ROTOR: f64 = 0.08;
/// Direct-current resistance of a 21700 high-power cell, Ohm: 10 to 18 mOhm is common practice, no source.
pub(super) const CELL_OHM: f64 = 14e-3;
/// Mass of a 21700 cell, kg: 66 to 70 g, from memory.
const CELL_KG: f64 = 0.07;
/// Specific heat of a cell, J/(kg K): 830 to 1130, default of the trade notes.
const CELL_J_KGK: f64 = 950.0;
/// Share of full power in a climb.
pub(super) const CLIMB: f64 = 0.85;
/// Share of full power in cruise.
pub(super) const CRUISE: f64 = 0.6;

/// Power at the bus with every motor at its power, W.
pub(super) fn bus_power_w(answers: &Answers) -> f64 {
    answers.motors as f64 * answers.motor_power_w / (MOTOR * INVERTER)
}

/// Cells in series and strings in parallel.
pub(super) fn cells(answers: &Answers) -> (usize, usize) {
    match answers.pack {
        PackSize::Cells { series, parallel } => (series, parallel),
        PackSize::Energy(energy_j) if energy_j > 0.0 && energy_j.is_finite() => {
            // About 400 V up to 250 kW, about 700 V above; about 60 V for the smallest.
            let series = match bus_power_w(answers) {
                ..20e3 => 28,
                ..250e3 => 108,
                _ => 192,
            };
            (series, (energy_j / (CELL_ENERGY_J * f64::from(series as u32))).ceil().max(1.0) as usize)
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
        let is_wing = answers.kind == super::CraftKind::Aeroplane;
        // Two digits less than the motors give, so that the rating is kept in spite of rounding.
        let shaft_power_w = all_w * if answers.is_geared { 0.975 } else { 1.0 };
        let mut first = Self {
            shaft_power_w: (shaft_power_w / 100.0).floor() * 100.0,
            bus_power_w,
            shaft_rpm: if is_wing { 2400.0 } else { 450.0 },
            ratio: match (answers.is_geared, is_wing) {
                (false, _) => 1.0,
                (true, true) => 2.5,
                (true, false) => 11.0,
            },
            series,
            parallel,
            motor_kg: answers.motor_power_w / 4e3,
            inverter_kg: answers.motor_power_w / 10e3,
            gearbox_kg: geared(all_w / 4e3),
            heats_w: [
                all_w * (1.0 / MOTOR - 1.0),
                all_w / MOTOR * (1.0 / INVERTER - 1.0),
                geared(all_w * (1.0 - MESHES + DRAG)),
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
        let current_a = CLIMB * self.bus_power_w / (cells * 3.7);
        cells * current_a * current_a * CELL_OHM * 1.3
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
        CELL_ENERGY_J * (self.series * self.parallel) as f64
    }

    /// Heat capacity of the cells, J/K.
    pub(super) fn pack_j_k(&self) -> f64 {
        CELL_KG * CELL_J_KGK * (self.series * self.parallel) as f64
    }

    /// Conductance of the bare case of one part, W/K: twice the surface of a cube of its mass for ribs, 50 W/(m2 K) in stirred bay
    /// air; the pack with smooth walls and 10 W/(m2 K).
    pub(super) fn case_w_k(&self, part: Part) -> f64 {
        let (mass_kg, density_kg_m3, film_w_m2k) = match part {
            Part::Stator => (self.motor_kg, 4000.0, 100.0),
            Part::Inverter => (self.inverter_kg, 2000.0, 100.0),
            Part::Gearbox => (self.gearbox_kg, 4000.0, 100.0),
            Part::Pack => (self.pack_j_k() / CELL_J_KGK, 2000.0, 10.0),
        };
        let side_m = f64::cbrt(mass_kg / density_kg_m3);
        film_w_m2k * 6.0 * side_m * side_m
    }
}

/// What a rule of [`First::case_w_k`] is called in a source.
pub(super) const CASE_RULE: &str = "bare case with ribs in stirred bay air, 50 W/(m2 K) on twice the surface of a cube of its mass; pack 10 W/(m2 K), smooth";
