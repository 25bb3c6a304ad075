//! What is asked before a project is made.

use super::heat;
use schema::Name;
use units::{Kind, Quantity};

/// What is flown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum CraftKind {
    /// Wings: the air stream helps from the take-off run on.
    Aeroplane,
    /// Rotor: in the hover the fans do all the work.
    Rotorcraft,
}

impl CraftKind {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Aeroplane, Self::Rotorcraft];

    /// Its name.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Aeroplane => "aeroplane",
            Self::Rotorcraft => "rotorcraft",
        }
    }
}

/// A part whose cooling is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Part {
    /// Stators of the motors.
    Stator,
    /// Inverters.
    Inverter,
    /// Gearbox.
    Gearbox,
    /// Battery pack.
    Pack,
}

impl Part {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Stator, Self::Inverter, Self::Gearbox, Self::Pack];

    /// Its name.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Stator => "stator",
            Self::Inverter => "inverter",
            Self::Gearbox => "gearbox",
            Self::Pack => "pack",
        }
    }
}

/// How a part is cooled.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Cooling {
    /// By a glycol loop of its own.
    OwnLoop,
    /// By the glycol loop that it shares with the other parts answered so.
    SharedLoop,
    /// By the oil loop that it shares with the other parts answered so; the pack by an insulating liquid of its own.
    Oil,
    /// By air that a fan moves through a duct of its own.
    Air,
    /// Not at all, but for its case in the bay.
    NotCooled,
}

impl Cooling {
    /// All of them.
    pub const ALL: [Self; 5] = [Self::OwnLoop, Self::SharedLoop, Self::Oil, Self::Air, Self::NotCooled];

    /// Its name, as the command line takes it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::OwnLoop => "own-loop",
            Self::SharedLoop => "shared-loop",
            Self::Oil => "oil",
            Self::Air => "air",
            Self::NotCooled => "none",
        }
    }

    /// What it means.
    pub const fn summary(self) -> &'static str {
        match self {
            Self::OwnLoop => "a glycol loop of its own",
            Self::SharedLoop => "the glycol loop shared with others",
            Self::Oil => "the oil loop shared with others; the pack: an insulating liquid of its own",
            Self::Air => "air, by a fan and a duct of its own",
            Self::NotCooled => "not cooled, but for its case in the bay",
        }
    }
}

/// How large the pack is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum PackSize {
    /// Energy of the new pack, J; the number of cells follows.
    Energy(f64),
    /// Cells of 21700 size.
    Cells {
        /// In series.
        series: usize,
        /// Strings in parallel.
        parallel: usize,
    },
}

impl PackSize {
    /// An energy such as `40 kWh`, or cells in series and strings in parallel such as `108x42`.
    ///
    /// # Errors
    /// [`AnswersError::Unreadable`] says what was expected.
    pub fn parse(text: &str) -> Result<Self, AnswersError> {
        let count = |text: &str| text.trim().parse::<usize>().ok();
        if let Some((Some(series), Some(parallel))) =
            text.split_once(['x', '\u{d7}']).map(|(s, p)| (count(s), count(p)))
        {
            return Ok(Self::Cells { series, parallel });
        }
        read("pack", text, Kind::Energy, "an energy such as 40 kWh, or cells such as 108x42")
            .map(Self::Energy)
    }
}

/// The power of one motor, W, from a text such as `80 kW`.
///
/// # Errors
/// [`AnswersError::Unreadable`] says what was expected.
pub fn parse_power(text: &str) -> Result<f64, AnswersError> {
    read("power of one motor", text, Kind::Power, "a power such as 80 kW")
}

/// A take-off mass, kg, from a text such as `900 kg`.
///
/// # Errors
/// [`AnswersError::Unreadable`] says what was expected.
pub fn parse_mass(text: &str) -> Result<f64, AnswersError> {
    read("mass", text, Kind::Mass, "a mass such as 900 kg")
}

/// A speed of a shaft, rad/s, from a text such as `5000 rpm`.
///
/// # Errors
/// [`AnswersError::Unreadable`] says what was expected.
pub fn parse_shaft_speed(text: &str) -> Result<f64, AnswersError> {
    read("speed", text, Kind::RotationalSpeed, "a speed such as 5000 rpm")
}

fn read(answer: &'static str, text: &str, kind: Kind, wanted: &'static str) -> Result<f64, AnswersError> {
    Quantity::parse(text.trim(), kind).map(|quantity| quantity.si()).map_err(|error| {
        AnswersError::Unreadable { answer, text: text.trim().to_owned(), reason: error.to_string(), wanted }
    })
}

/// The answers that a project is made from.
#[derive(Debug, Clone, PartialEq)]
pub struct Answers {
    /// Name of the project.
    pub name: String,
    /// What is flown.
    pub kind: CraftKind,
    /// Number of motors, from 1 to [`MAX_MOTORS`].
    pub motors: usize,
    /// Whether a gearbox stands between motors and propeller or rotor.
    pub is_geared: bool,
    /// Power at the shaft of one motor that it may give always, W; 1 kW to 1 MW.
    pub motor_power_w: f64,
    /// Take-off mass, kg; without it, by the installed power.
    pub mass_kg: Option<f64>,
    /// Speed of the motors, rad/s; without it, by the kind of craft, or that of the shaft in direct drive.
    pub motor_rad_s: Option<f64>,
    /// Speed of the output shaft, rad/s; without it, by the kind of craft, or that of the motors in direct drive.
    pub output_rad_s: Option<f64>,
    /// Pack.
    pub pack: PackSize,
    /// Cooling of the stators.
    pub stator: Cooling,
    /// Cooling of the inverters.
    pub inverter: Cooling,
    /// Cooling of the gearbox, if there is one.
    pub gearbox: Cooling,
    /// Cooling of the pack.
    pub pack_cooling: Cooling,
}

impl Default for Answers {
    /// A light aeroplane with one geared motor; stator and inverter share a loop.
    fn default() -> Self {
        Self {
            name: "New aircraft".to_owned(),
            kind: CraftKind::Aeroplane,
            motors: 1,
            is_geared: true,
            motor_power_w: 80e3,
            mass_kg: None,
            motor_rad_s: None,
            output_rad_s: None,
            pack: PackSize::Energy(40.0 * 3.6e6),
            stator: Cooling::SharedLoop,
            inverter: Cooling::SharedLoop,
            gearbox: Cooling::Oil,
            pack_cooling: Cooling::Air,
        }
    }
}

/// Most motors that are asked for.
pub const MAX_MOTORS: usize = 8;

/// An answer that cannot be.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum AnswersError {
    /// A text is no quantity of its kind.
    #[error("{answer}: {text:?} is not understood: {reason}; write {wanted}")]
    Unreadable {
        /// Which answer.
        answer: &'static str,
        /// What was typed.
        text: String,
        /// Why it is none.
        reason: String,
        /// What could stand there.
        wanted: &'static str,
    },
    /// The name cannot be one.
    #[error("name: {0}")]
    Name(String),
    /// The number of motors.
    #[error(
        "motors: {0} is outside 1 to {MAX_MOTORS}; give a number in that range, and copy motors later for more"
    )]
    Motors(usize),
    /// The power of a motor.
    #[error(
        "power of one motor: {0:.3} kW is outside 1 kW to 1000 kW; give the power at the shaft of one motor"
    )]
    Power(f64),
    /// The mass.
    #[error("mass: {0:.0} kg is outside 50 kg to 20000 kg; give the take-off mass of the aircraft")]
    Mass(f64),
    /// The rotor cannot carry the mass in a hover on the hot day.
    #[error(
        "mass: a hover of {mass_kg:.0} kg on the hot day takes about {hover_kw:.0} kW, and the motors give {has_kw:.0} kW at the shaft; give {most_kg:.0} kg or less, or more power"
    )]
    TooHeavy {
        /// Mass, kg.
        mass_kg: f64,
        /// Power of its hover, kW.
        hover_kw: f64,
        /// Power at the shaft, kW.
        has_kw: f64,
        /// Greatest mass, kg.
        most_kg: f64,
    },
    /// A speed of motors or shaft.
    #[error("speed: {0:.0} rpm is outside 50 rpm to 100000 rpm; give the speed at full power")]
    Speed(f64),
    /// A direct drive with two speeds.
    #[error(
        "speed: in direct drive the motors turn with the shaft, not at {motor_rpm:.0} rpm on a shaft of {output_rpm:.0} rpm; give one speed, or a gearbox"
    )]
    TwoSpeeds {
        /// Speed of the motors, 1/min.
        motor_rpm: f64,
        /// Speed of the shaft, 1/min.
        output_rpm: f64,
    },
    /// A pack that nothing cools gets too hot in a flight.
    #[error(
        "pack: {has_kwh:.1} kWh that nothing cools warm by about {rise_k:.0} K in a flight, and {most_k:.1} K are to spare on the hot day; give {needs_kwh:.1} kWh or more, or a way of cooling"
    )]
    PackTooWarm {
        /// Energy of the pack, kWh.
        has_kwh: f64,
        /// Its rise in a flight, K.
        rise_k: f64,
        /// Rise that is to spare, K.
        most_k: f64,
        /// Least energy, kWh.
        needs_kwh: f64,
    },
    /// The number of cells in series.
    #[error(
        "pack: {0} cells in series are outside {least} to {most}; give a number in that range",
        least = heat::SERIES.0,
        most = heat::SERIES.1
    )]
    Series(usize),
    /// The pack is no pack.
    #[error("pack: it has no cells; give at least one string, or an energy above zero")]
    NoCells,
    /// The pack cannot feed the motors for a short flight.
    #[error(
        "pack: {has_kwh:.1} kWh cannot feed {power_kw:.0} kW at the bus for a short flight; give {needs_kwh:.1} kWh or more, or less power"
    )]
    PackTooSmall {
        /// Energy of the pack, kWh.
        has_kwh: f64,
        /// Power at the bus with every motor at its power, kW.
        power_kw: f64,
        /// Least energy, kWh.
        needs_kwh: f64,
    },
    /// The pack is beyond what a light aircraft carries.
    #[error("pack: {0:.0} kWh are more than 10000 kWh; give the energy of one aircraft")]
    PackTooLarge(f64),
}

impl Answers {
    /// How a part is cooled; nothing for the gearbox of a direct drive.
    pub fn cooling(&self, part: Part) -> Option<Cooling> {
        match part {
            Part::Stator => Some(self.stator),
            Part::Inverter => Some(self.inverter),
            Part::Gearbox => self.is_geared.then_some(self.gearbox),
            Part::Pack => Some(self.pack_cooling),
        }
    }

    /// Sets how a part is cooled.
    pub fn set_cooling(&mut self, part: Part, cooling: Cooling) {
        match part {
            Part::Stator => self.stator = cooling,
            Part::Inverter => self.inverter = cooling,
            Part::Gearbox => self.gearbox = cooling,
            Part::Pack => self.pack_cooling = cooling,
        }
    }

    /// The name of the project, if every answer can be.
    ///
    /// # Errors
    /// [`AnswersError`] names the first answer that cannot be, and what could.
    pub fn check(&self) -> Result<Name, AnswersError> {
        let name = Name::new(self.name.trim()).map_err(AnswersError::Name)?;
        if self.motors < 1 || self.motors > MAX_MOTORS {
            return Err(AnswersError::Motors(self.motors));
        }
        if !(1e3..=1e6).contains(&self.motor_power_w) {
            return Err(AnswersError::Power(1e-3 * self.motor_power_w));
        }
        let (series, parallel) = heat::cells(self);
        if series < heat::SERIES.0 || series > heat::SERIES.1 {
            return Err(if series == 0 { AnswersError::NoCells } else { AnswersError::Series(series) });
        }
        if parallel == 0 {
            return Err(AnswersError::NoCells);
        }
        let has_kwh = heat::cell_energy_j() * series as f64 * parallel as f64 / 3.6e6;
        if !(has_kwh <= 1e4) {
            return Err(AnswersError::PackTooLarge(has_kwh));
        }
        let power_kw = 1e-3 * heat::bus_power_w(self);
        let needs_kwh = heat::MIN_TIME_S / 3600.0 * power_kw;
        if has_kwh < needs_kwh {
            return Err(AnswersError::PackTooSmall { has_kwh, power_kw, needs_kwh });
        }
        self.check_craft()?;
        let (rise_k, most_k) = (heat::bare_pack_rise_k(self), heat::bare_pack_most_k());
        if self.pack_cooling == Cooling::NotCooled && rise_k > most_k {
            // the current of a cell, and with it the rise, falls with the number of cells
            let needs_kwh = has_kwh * rise_k / most_k;
            return Err(AnswersError::PackTooWarm { has_kwh, rise_k, most_k, needs_kwh });
        }
        Ok(name)
    }

    fn check_craft(&self) -> Result<(), AnswersError> {
        const RPM: f64 = 30.0 / std::f64::consts::PI;
        for rpm in self.motor_rad_s.into_iter().chain(self.output_rad_s).map(|speed| RPM * speed) {
            if !(50.0..=1e5).contains(&rpm) {
                return Err(AnswersError::Speed(rpm));
            }
        }
        if let (false, Some(motor), Some(output)) = (self.is_geared, self.motor_rad_s, self.output_rad_s)
            && (motor - output).abs() > 1e-3 * output
        {
            return Err(AnswersError::TwoSpeeds { motor_rpm: RPM * motor, output_rpm: RPM * output });
        }
        if let Some(mass_kg) = self.mass_kg.filter(|mass_kg| !(50.0..=2e4).contains(mass_kg)) {
            return Err(AnswersError::Mass(mass_kg));
        }
        let mass_kg = heat::mass_kg(self);
        let (hover_w, has_w) = (heat::hover_w(mass_kg), heat::shaft_power_w(self));
        if self.kind == CraftKind::Rotorcraft && hover_w > has_w {
            return Err(AnswersError::TooHeavy {
                mass_kg,
                hover_kw: 1e-3 * hover_w,
                has_kw: 1e-3 * has_w,
                most_kg: (mass_kg * has_w / hover_w).floor(),
            });
        }
        Ok(())
    }

    /// What must change before the margins of a project that answers to these can hold, part by part; nothing if they hold.
    pub fn to_change(&self) -> Vec<String> {
        heat::to_change(self)
    }
}
