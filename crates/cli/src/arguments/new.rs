//! The answers that a new aircraft begins with.

use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct New {
    /// File to write; one that is already there is not replaced without --overwrite.
    #[arg(short, long, value_name = "FILE")]
    pub(crate) output: std::path::PathBuf,
    /// Replace a file that is there already; a project is only ever replaced by a project.
    #[arg(long)]
    pub(crate) overwrite: bool,
    /// Name of the project; without it, that of the file.
    #[arg(long)]
    pub(crate) name: Option<String>,
    /// What is flown: aeroplane or rotorcraft.
    #[arg(long, default_value = "aeroplane")]
    pub(crate) kind: String,
    /// Number of motors.
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub(crate) motors: usize,
    /// The motors drive the propeller or rotor directly; without it there is a gearbox.
    #[arg(long)]
    pub(crate) direct: bool,
    /// Continuous shaft power of one motor.
    #[arg(long, default_value = "80 kW")]
    pub(crate) power: String,
    /// Take-off mass; without it, 6 kg (rotorcraft) or 9 kg (aeroplane) for each kilowatt of the motors.
    #[arg(long)]
    pub(crate) mass: Option<String>,
    /// Speed of the motors, such as "5000 rpm".
    #[arg(long, value_name = "SPEED")]
    pub(crate) motor_speed: Option<String>,
    /// Speed of the output shaft; the ratio of the gearbox follows. In direct drive it is that of the motors.
    #[arg(long, value_name = "SPEED")]
    pub(crate) output_speed: Option<String>,
    /// Energy of the new pack; or cells in series and strings in parallel, such as 108x42.
    #[arg(long, value_name = "SIZE", default_value = "40 kWh")]
    pub(crate) pack: String,
    /// Cooling of the stators: own-loop, shared-loop, oil, air or none.
    #[arg(long, value_name = "WAY", default_value = "shared-loop")]
    pub(crate) stator: String,
    /// Cooling of the inverters, as for the stators.
    #[arg(long, value_name = "WAY", default_value = "shared-loop")]
    pub(crate) inverter: String,
    /// Cooling of the gearbox, as for the stators.
    #[arg(long, value_name = "WAY", default_value = "oil")]
    pub(crate) gearbox: String,
    /// Cooling of the pack, as for the stators.
    #[arg(long, value_name = "WAY", default_value = "air")]
    pub(crate) pack_cooling: String,
}
