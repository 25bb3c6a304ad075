//! The first estimate of heats, masses and flows, from which everything is sized.

use super::answers::{Answers, Cooling, CraftKind, PackSize, Part};
use super::rules::value;
use std::f64::consts::PI;

/// Least and greatest number of cells in series that are taken.
pub(super) const SERIES: (usize, usize) = (14, 250);
/// Time for which a pack must be able to feed every motor at its power, s: three times its capacity in an hour, beyond which the cells of
/// the table make more heat than a pack can be laid out for.
pub(super) const MIN_TIME_S: f64 = 3600.0 / 3.0;
/// Standard acceleration of gravity, m/s2.
const GRAVITY_M_S2: f64 = 9.80665;
/// Revolutions a minute in a radian a second.
const RPM: f64 = 30.0 / PI;

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

/// Power at the output shaft with every motor at its power, W; rounded down, so that the rating is kept.
pub(super) fn shaft_power_w(answers: &Answers) -> f64 {
    let all_w = answers.motors as f64 * answers.motor_power_w;
    let passed_on = if answers.is_geared { value("gearbox: power passed on") } else { 1.0 };
    (all_w * passed_on / 100.0).floor() * 100.0
}

/// Take-off mass, kg: answered, or by the installed power.
pub(super) fn mass_kg(answers: &Answers) -> f64 {
    let over_kw = value(&format!("{}: mass over power", answers.kind.word()));
    answers.mass_kg.unwrap_or(1e-3 * over_kw * answers.motors as f64 * answers.motor_power_w)
}

/// Radius of the rotor that carries a mass, m.
pub(super) fn rotor_radius_m(mass_kg: f64) -> f64 {
    (mass_kg / (value("rotor: disc loading") * PI)).sqrt()
}

/// Power of a rotor in a hover on the hot day, W: ideal induced power over the figure of merit, and the tail rotor's share.
pub(super) fn hover_w(mass_kg: f64) -> f64 {
    let loading_pa = GRAVITY_M_S2 * value("rotor: disc loading");
    let induced_m_s = (loading_pa / (2.0 * value("hot day: density"))).sqrt();
    GRAVITY_M_S2 * mass_kg * induced_m_s / value("rotor: figure of merit")
        * (1.0 + value("rotor: tail rotor in the hover"))
}

/// Speeds of motors and output shaft, 1/min.
fn speeds_rpm(answers: &Answers) -> (f64, f64) {
    let usual_rpm = || match answers.kind {
        CraftKind::Aeroplane => value("shaft speed: aeroplane"),
        CraftKind::Rotorcraft => RPM * value("rotor: tip speed") / rotor_radius_m(mass_kg(answers)),
    };
    let rpm = |speed: Option<f64>| speed.map(|rad_s| RPM * rad_s);
    let (motor, output) = (rpm(answers.motor_rad_s), rpm(answers.output_rad_s));
    if answers.is_geared {
        let ratio = value(&format!("gearbox: ratio, {}", answers.kind.word()));
        let output = output.unwrap_or_else(usual_rpm);
        (motor.unwrap_or(ratio * output), output)
    } else {
        let both = output.or(motor).unwrap_or_else(usual_rpm);
        (both, both)
    }
}

/// What is to spare for a pack that nothing cools, K.
pub(super) fn bare_pack_most_k() -> f64 {
    value("pack: rise without cooling")
}

/// Rise of a pack that nothing cools in a flight that uses it up, K: nothing leaves the cells.
pub(super) fn bare_pack_rise_k(answers: &Answers) -> f64 {
    let (series, parallel) = cells(answers);
    let cells = (series * parallel) as f64;
    let current_a = value("mission: mean power") * bus_power_w(answers) / (cells * value("cell: voltage"));
    let used_as = value("mission: share of the pack used") * 3600.0 * value("cell: capacity");
    let cell_ohm = 1e-3 * value("cell: resistance") * value("cell: growth of its resistance over minutes");
    current_a * cell_ohm * used_as / (value("cell: mass") * value("cell: specific heat"))
}

/// Parts that are left to their cases and get too hot there by the first estimate.
pub(super) fn to_change(answers: &Answers) -> Vec<String> {
    let first = First::of(answers);
    let bare = |part: &Part| answers.cooling(*part) == Some(Cooling::NotCooled);
    let told = |part: Part| {
        let (limit, inside_k) = match part {
            Part::Stator => ("magnet: limit", value("rotor: above the stator")),
            Part::Inverter => ("baseplate: limit", 0.0),
            Part::Gearbox => ("oil: limit", 0.0),
            Part::Pack => return None,
        };
        let heat_w = first.heat_w(part) / first.count(part) as f64;
        let bay_c = value("hot day: temperature") + value("vent: rise");
        let case_c = bay_c + heat_w / first.case_w_k(part);
        let most_c = value(limit) - value("margin asked of a prediction") - inside_k;
        (case_c > most_c).then(|| {
            format!(
                "{}: {:.1} kW leave through a bare case of {:.1} W/K only near {case_c:.0} degC, where {most_c:.0} degC hold; cool it by a loop, oil or air",
                part.word(),
                1e-3 * heat_w,
                first.case_w_k(part),
            )
        })
    };
    Part::ALL.into_iter().filter(bare).filter_map(told).collect()
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
    /// Take-off mass, kg.
    pub(super) mass_kg: f64,
    /// Greatest share of the full power that lasts: of a climb, or of a hover.
    lasting: f64,
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
        let (motor_rpm, shaft_rpm) = speeds_rpm(answers);
        let (mass_kg, shaft_power_w) = (mass_kg(answers), shaft_power_w(answers));
        let lasting = match answers.kind {
            CraftKind::Aeroplane => 0.0,
            CraftKind::Rotorcraft => hover_w(mass_kg) / shaft_power_w,
        };
        let (motor, inverter) = (value("motor: efficiency"), value("inverter: efficiency"));
        let mut first = Self {
            shaft_power_w,
            bus_power_w,
            mass_kg,
            lasting: lasting.max(value("climb: power")),
            shaft_rpm,
            ratio: motor_rpm / shaft_rpm,
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

    /// Joule heat of the cells at the greatest power that lasts: I^2 R with the rise of the resistance over minutes.
    fn pack_heat_w(&self) -> f64 {
        let cells = (self.series * self.parallel) as f64;
        let current_a = self.lasting * self.bus_power_w / (cells * value("cell: voltage"));
        let cell_ohm = 1e-3 * value("cell: resistance");
        cells * current_a * current_a * cell_ohm * value("cell: growth of its resistance over minutes")
    }

    /// Heat of a part at full power, W; of the pack at the greatest power that lasts.
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
