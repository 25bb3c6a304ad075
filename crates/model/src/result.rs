//! Results of one case, by name, in SI units.

pub use solver::{Ledger, Statistics};

pub use solver::{
    ConductorReading, ConverterReading, DrivePoint, DriveReading, ElectricReading, GearReading, GroupReading,
};

/// Which case a result belongs to.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CaseName {
    /// Condition.
    pub condition: String,
    /// Operating point.
    pub point: String,
    /// Failure.
    pub failure: Option<String>,
}

impl std::fmt::Display for CaseName {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}/{}", self.condition, self.point)?;
        match &self.failure {
            Some(failure) => write!(f, "/{failure}"),
            None => Ok(()),
        }
    }
}

/// How the solve of a case ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Status {
    /// A stable steady state was found.
    Solved,
    /// Losses outgrow the cooling.
    NoEquilibrium,
    /// The search did not settle.
    NotConverged,
    /// A running pump cannot move its fluid.
    InsufficientPumpHead,
    /// The pack cannot deliver the power.
    InsufficientPackPower,
    /// A law was used outside its range and the policy refuses that.
    OutOfRange,
    /// No steady state is kept: a switch goes on and off in turn, or a temperature swings. Margins are those of the worst moments.
    Hunting,
}

impl Status {
    /// Whether there are temperatures and margins to judge: those of a case that hunts are of its worst moments.
    pub fn can_be_judged(self) -> bool {
        matches!(self, Self::Solved | Self::Hunting)
    }

    /// Word used in files and tables.
    pub fn word(self) -> &'static str {
        match self {
            Self::Solved => "solved",
            Self::NoEquilibrium => "no_equilibrium",
            Self::NotConverged => "not_converged",
            Self::InsufficientPumpHead => "insufficient_pump_head",
            Self::InsufficientPackPower => "insufficient_pack_power",
            Self::OutOfRange => "out_of_range",
            Self::Hunting => "hunting",
        }
    }
}

/// Result of one case.
#[derive(Clone, Debug, PartialEq)]
pub struct CaseResult {
    /// Case.
    pub case: CaseName,
    /// How the solve ended.
    pub status: Status,
    /// Components; empty unless solved.
    pub components: Vec<ComponentResult>,
    /// Loops.
    pub loops: Vec<CircuitResult>,
    /// Ducts.
    pub ducts: Vec<CircuitResult>,
    /// Cores and exchangers.
    pub exchangers: Vec<ExchangerResult>,
    /// Heat paths in the order of the project.
    pub links: Vec<LinkResult>,
    /// Electric drive.
    pub electric: Option<ElectricResult>,
    /// Margins of this case.
    pub margins: Vec<Margin>,
    /// Totals of the heat balance.
    pub ledger: Ledger,
    /// Lines of the heat balance.
    pub lines: Vec<LedgerLine>,
    /// Things to know about this result.
    pub notices: Vec<Notice>,
    /// What the solver did.
    pub statistics: Statistics,
}

/// A component.
#[derive(Clone, Debug, PartialEq)]
pub struct ComponentResult {
    /// Name.
    pub name: String,
    /// Temperature of each segment in flow order, K.
    pub segments_k: Vec<f64>,
    /// Hottest spot, K: the hottest segment and its hot-spot rise.
    pub hot_spot_k: f64,
    /// Heat generated in it, W.
    pub heat_w: f64,
}

impl ComponentResult {
    /// Hottest segment, K.
    pub fn temperature_k(&self) -> f64 {
        self.segments_k.iter().copied().fold(f64::NEG_INFINITY, f64::max)
    }

    /// Coldest segment, K.
    pub fn coldest_k(&self) -> f64 {
        self.segments_k.iter().copied().fold(f64::INFINITY, f64::min)
    }
}

/// A loop or duct.
#[derive(Clone, Debug, PartialEq)]
pub struct CircuitResult {
    /// Name.
    pub name: String,
    /// Medium in words.
    pub fluid: String,
    /// Volume flow of the trunk at its first device, m3/s.
    pub volume_flow_m3_s: f64,
    /// Mass flow of the trunk, kg/s.
    pub mass_flow_kg_s: f64,
    /// Pressure rise of pumps or fans along the trunk, Pa; of redundant machines in parallel the greatest.
    pub rise_pa: f64,
    /// Electrical power of all pumps and fans, W.
    pub power_w: f64,
    /// Momentum drag of a duct, N.
    pub drag_n: f64,
    /// Temperature at the inlet of a duct, K.
    pub inlet_k: Option<f64>,
    /// Devices in flow order, branches one after the other.
    pub stations: Vec<StationResult>,
}

/// A device in a loop or duct.
#[derive(Clone, Debug, PartialEq)]
pub struct StationResult {
    /// Name.
    pub name: String,
    /// Plain word for what it is.
    pub kind: &'static str,
    /// Names of the parallel groups and branches it stands in, outermost first.
    pub branch: Vec<(String, String)>,
    /// Mass flow, kg/s.
    pub mass_flow_kg_s: f64,
    /// Volume flow, m3/s.
    pub volume_flow_m3_s: f64,
    /// Temperature coming in, K.
    pub temperature_in_k: f64,
    /// Temperature going out, K.
    pub temperature_out_k: f64,
    /// Absolute pressure at the inlet, Pa.
    pub pressure_in_pa: f64,
    /// Absolute pressure at the outlet, Pa.
    pub pressure_out_pa: f64,
    /// Heat to the fluid, W.
    pub heat_w: f64,
    /// Electrical power, W.
    pub power_w: f64,
    /// Speed of a machine or opening of a valve.
    pub setting: f64,
    /// Temperatures of the walls it washes, K.
    pub walls_k: Vec<f64>,
    /// Conductance from walls to fluid, W/K.
    pub conductance_w_k: f64,
}

/// A core or exchanger.
#[derive(Clone, Debug, PartialEq)]
pub struct ExchangerResult {
    /// Name.
    pub name: String,
    /// Heat from the first to the second side, W.
    pub heat_w: f64,
    /// Conductance UA, W/K.
    pub conductance_w_k: f64,
    /// Number of transfer units.
    pub transfer_units: f64,
    /// Capacity ratio.
    pub capacity_ratio: f64,
    /// Effectiveness.
    pub effectiveness: f64,
}

/// A heat path between two components, or to the outside air.
#[derive(Clone, Debug, PartialEq)]
pub struct LinkResult {
    /// Its name, or "first to second".
    pub name: String,
    /// Pressure of the air at it, Pa.
    pub pressure_pa: f64,
    /// Speed of moving air, m/s, or of the turning part, rad/s; 0 where the law has none.
    pub speed: f64,
    /// Equal parallel parts, one for each pair of segments; each has its share of area, length, conductance and flow.
    pub parts: Vec<LinkPart>,
}

/// One part of a heat path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LinkPart {
    /// Temperature of the first end, K.
    pub first_k: f64,
    /// Temperature of the second end, K.
    pub second_k: f64,
    /// Heat from the first to the second end, W.
    pub heat_w: f64,
    /// Conductance at these temperatures, W/K.
    pub conductance_w_k: f64,
}

/// Electric drive.
#[derive(Clone, Debug, PartialEq)]
pub struct ElectricResult {
    /// Bus voltage, V.
    pub bus_voltage_v: f64,
    /// Bus current, A.
    pub bus_current_a: f64,
    /// Power into the gearbox, W.
    pub gear_input_w: f64,
    /// Power that derating takes away, W.
    pub lost_power_w: f64,
    /// Motors.
    pub motors: Vec<MotorResult>,
    /// Converters.
    pub converters: Vec<ConverterResult>,
    /// Working points of motors, inverters, gearbox and cells, with their losses.
    pub reading: ElectricReading,
}

/// A converter.
#[derive(Clone, Debug, PartialEq)]
pub struct ConverterResult {
    /// Name.
    pub name: String,
    /// Power of the pumps, fans and loads it feeds, W.
    pub output_w: f64,
    /// Power drawn from the bus, W.
    pub input_w: f64,
    /// Heat, W.
    pub heat_w: f64,
}

/// A motor with its inverters.
#[derive(Clone, Debug, PartialEq)]
pub struct MotorResult {
    /// Name.
    pub name: String,
    /// Power at its shaft, W.
    pub shaft_power_w: f64,
    /// Torque, N m.
    pub torque_nm: f64,
    /// Speed, rad/s.
    pub speed_rad_s: f64,
    /// Rating it is judged by, if it has one.
    pub rating: Option<String>,
    /// Time that this rating is allowed for, s; none is always.
    pub time_allowed_s: Option<f64>,
    /// Phase current, A rms.
    pub phase_current_a: f64,
    /// Power drawn from the bus, W.
    pub demand_w: f64,
}

/// Distance to a limit; positive is good.
#[derive(Clone, Debug, PartialEq)]
pub struct Margin {
    /// Component, device or loop.
    pub place: String,
    /// Name of the limit.
    pub limit: String,
    /// Kind of the limit.
    pub kind: MarginKind,
    /// Value reached, in the SI unit of the kind.
    pub value: f64,
    /// Value of the limit.
    pub limit_value: f64,
    /// What the law itself says where `limit_value` is the pessimistic end of what published sources say.
    pub nominal_limit: Option<f64>,
    /// Distance, positive on the good side.
    pub margin: f64,
    /// Distance that is required.
    pub required: f64,
    /// Document the limit is taken from.
    pub source: Option<String>,
    /// Who answers for the limit.
    pub owner: Option<String>,
}

impl Margin {
    /// What is left above the required margin: negative is short.
    pub fn reserve(&self) -> f64 {
        self.margin - self.required
    }

    /// Whether the required margin is not kept. Rounding of the last digit does not count.
    pub fn is_short(&self) -> bool {
        !(self.reserve() >= -1e-9)
    }
}

/// Kinds of limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum MarginKind {
    /// Greatest temperature.
    Maximum,
    /// Least temperature.
    Minimum,
    /// Distance to local boiling.
    Boiling,
    /// Distance of the surroundings to freezing.
    Freezing,
    /// Power of a machine or converter against its rating.
    Rating,
    /// Torque of a motor against its rating.
    RatedTorque,
    /// Speed of a motor against its rating.
    RatedSpeed,
}

impl MarginKind {
    /// Word used in files and tables.
    pub fn word(self) -> &'static str {
        match self {
            Self::Maximum => "maximum",
            Self::Minimum => "minimum",
            Self::Boiling => "boiling",
            Self::Freezing => "freezing",
            Self::Rating => "rating",
            Self::RatedTorque => "rated_torque",
            Self::RatedSpeed => "rated_speed",
        }
    }

    /// SI unit of value, limit and margin.
    pub fn unit(self) -> &'static str {
        match self {
            Self::Rating => "W",
            Self::RatedTorque => "N m",
            Self::RatedSpeed => "rad/s",
            Self::Maximum | Self::Minimum | Self::Boiling | Self::Freezing => "K",
        }
    }
}

/// A line of the heat ledger.
#[derive(Clone, Debug, PartialEq)]
pub struct LedgerLine {
    /// What is booked.
    pub what: String,
    /// Heat, W.
    pub heat_w: f64,
    /// Whether it is on the side of rejection.
    pub is_rejection: bool,
}

/// Something to know about a result.
#[derive(Clone, Debug, PartialEq)]
pub struct Notice {
    /// Kind: `out_of_range`, `derate`, `timed_rating`, `reversed_flow`, `no_air_space`, or the status of a case without state.
    pub kind: &'static str,
    /// Where.
    pub place: String,
    /// What, with numbers and remedy.
    pub message: String,
}
