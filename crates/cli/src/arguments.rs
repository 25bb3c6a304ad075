//! What may be typed.

mod margins;

pub(crate) use margins::{AllMargins, Margins};

use clap::{Args, Parser, Subcommand};

/// Size aircraft cooling loops and book their heat.
#[derive(Debug, Parser)]
#[command(name = "heatledger", version, args_conflicts_with_subcommands = true, after_help = report::CAUTIONS)]
pub(crate) struct Arguments {
    /// Project to open in the window; without it, the demo.
    pub(crate) file: Option<String>,
    #[command(subcommand)]
    pub(crate) command: Option<Command>,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Begin a new aircraft: a few answers make a complete project whose placeholders are marked as assumed.
    New(New),
    /// Validate a project: every problem with line, column and remedy.
    Check(FileOnly),
    /// Solve cases: temperatures, flows, pressures, heat balance.
    Solve(Solve),
    /// Loss curves of motors, inverters, gearbox, converters and cables, and the curves of the pack, at the point of each case.
    Curves(Curves),
    /// Each law of the devices and machines as a value, as measurements and by dimensions, side by side.
    Fidelity(Fidelity),
    /// Set inputs, take tables over from files and change the fidelity of laws; the result is written to another file.
    Edit(Edit),
    /// Fly missions over time: segments, peaks, events, heat book.
    Simulate(Simulate),
    /// Every limit at its worst case, least reserve first.
    Margins(AllMargins),
    /// Highest outside-air temperature against pressure altitude at which every required margin holds.
    OatLimit(Margins),
    /// Largest cell resistance that lets the pack fly uncooled, against outside air and age.
    Uncooled(Margins),
    /// Landing to ready by each option; tables for the ground team.
    Turnaround(Turnaround),
    /// Single failures over time: time to limit, peak until touchdown, action, alert temperatures.
    Failures(Failures),
    /// What moves the worst margins: sensitivity to every input.
    Levers(Levers),
    /// How sure the margins are: tolerances and published scatter sampled.
    Spread(Spread),
    /// Budget of mass and power: what the cooling weighs, draws and drags, and what that is worth in mass of cells.
    Budget(Budget),
    /// Smallest core, with pump and fan, of a loop that holds every required margin; or of all loops at once.
    Size(Size),
    /// Results over a grid of one or more inputs.
    Sweep(Sweep),
    /// Variants side by side: mass, power, closest limit, turnaround.
    Variants(Variants),
    /// List fluids with range and spread, or print the property table of one.
    Fluid(Fluid),
    /// List relations with source and range, or evaluate one.
    Relation(Relation),
    /// Draw one page of the window into a PNG file; needs a display.
    Picture(Picture),
}

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

#[derive(Debug, Args)]
pub(crate) struct FileOnly {
    /// Project file; or `demo`, `demo:tug`, `demo:rescue`, `demo:rig`.
    pub(crate) file: String,
}

#[derive(Debug, Args)]
pub(crate) struct Solve {
    /// Project file; or `demo`, `demo:tug`, `demo:rescue`, `demo:rig`.
    pub(crate) file: String,
    /// Full name of a case, condition/point or condition/point/failure; may be repeated.
    #[arg(long = "case", value_name = "NAME")]
    pub(crate) cases: Vec<String>,
    /// Variant of the design.
    #[arg(long)]
    pub(crate) variant: Option<String>,
    /// Say which law gave each number.
    #[arg(long)]
    pub(crate) explain: bool,
    /// Print JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Debug, Args)]
pub(crate) struct Curves {
    /// Project file; or `demo`, `demo:tug`, `demo:rescue`, `demo:rig`.
    pub(crate) file: String,
    /// Full name of a case, condition/point or condition/point/failure; may be repeated.
    #[arg(long = "case", value_name = "NAME")]
    pub(crate) cases: Vec<String>,
    /// Variant of the design.
    #[arg(long)]
    pub(crate) variant: Option<String>,
    /// Print JSON.
    #[arg(long, conflicts_with = "csv")]
    pub(crate) json: bool,
    /// Write the curves of each case into this folder as comma-separated values.
    #[arg(long, value_name = "DIR")]
    pub(crate) csv: Option<std::path::PathBuf>,
    /// Replace a file that is there already; a project is only ever replaced by a project.
    #[arg(long)]
    pub(crate) overwrite: bool,
}

#[derive(Debug, Args)]
pub(crate) struct Fidelity {
    /// Project file; or `demo`, `demo:tug`, `demo:rescue`, `demo:rig`.
    pub(crate) file: String,
    /// Full name of a steady case, condition/point or condition/point/failure; without it, the first.
    #[arg(long = "case", value_name = "NAME")]
    pub(crate) case: Option<String>,
    /// Only the laws of this device, machine or component; may be repeated.
    #[arg(long = "of", value_name = "NAME")]
    pub(crate) owners: Vec<String>,
    /// Variant of the design.
    #[arg(long)]
    pub(crate) variant: Option<String>,
    /// Print JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Debug, Args)]
pub(crate) struct Edit {
    /// Project file; or `demo`, `demo:tug`, `demo:rescue`, `demo:rig`.
    pub(crate) file: String,
    /// File to write; one that is already there is not replaced without --overwrite.
    #[arg(short, long, value_name = "FILE")]
    pub(crate) output: std::path::PathBuf,
    /// Replace a file that is there already; a project is only ever replaced by a project.
    #[arg(long)]
    pub(crate) overwrite: bool,
    /// Input by path and its new value with unit, such as "loops.stator.path.feed.length=2 m"; may be repeated.
    #[arg(long = "set", value_name = "PATH=VALUE")]
    pub(crate) inputs: Vec<String>,
    /// Variant whose own values the inputs become; without it, the base design is changed.
    #[arg(long, value_name = "VARIANT", requires = "inputs")]
    pub(crate) variant: Option<String>,
    /// Measured table by path and the file of its cells, such as "loops.stator.path.pump.curve=pump.csv": separated by tabs, semicolons
    /// or commas; a head may name the units in brackets, else the numbers have those of the table; may be repeated.
    #[arg(long = "table", value_name = "PATH=FILE")]
    pub(crate) tables: Vec<String>,
    /// Law by path and its new fidelity, such as "loops.stator.path.plate.film=Table": it gives the same result at the case as now; may
    /// be repeated.
    #[arg(long = "fidelity", value_name = "PATH=FORM")]
    pub(crate) fidelity: Vec<String>,
    /// Full name of the steady case at which laws are filled; without it, the first.
    #[arg(long = "case", value_name = "NAME")]
    pub(crate) case: Option<String>,
}

#[derive(Debug, Args)]
pub(crate) struct Simulate {
    /// Project file; or `demo`, `demo:tug`, `demo:rescue`, `demo:rig`.
    pub(crate) file: String,
    /// Full name of a case, condition/mission, condition/mission/failure or condition/chain; may be repeated.
    #[arg(long = "case", value_name = "NAME")]
    pub(crate) cases: Vec<String>,
    /// Variant of the design.
    #[arg(long)]
    pub(crate) variant: Option<String>,
    /// Print JSON.
    #[arg(long, conflicts_with_all = ["csv", "parquet"])]
    pub(crate) json: bool,
    /// Write the time history of each case into this folder as comma-separated values.
    #[arg(long, value_name = "DIR", conflicts_with = "parquet")]
    pub(crate) csv: Option<std::path::PathBuf>,
    /// Write the time history of each case into this folder as Parquet.
    #[arg(long, value_name = "DIR")]
    pub(crate) parquet: Option<std::path::PathBuf>,
    /// Replace a file that is there already; a project is only ever replaced by a project.
    #[arg(long)]
    pub(crate) overwrite: bool,
}

#[derive(Debug, Args)]
pub(crate) struct Turnaround {
    /// Project file; or `demo`, `demo:tug`, `demo:rescue`, `demo:rig`.
    pub(crate) file: String,
    /// Variant of the design.
    #[arg(long)]
    pub(crate) variant: Option<String>,
    /// Only this condition; without it, those of each turnaround.
    #[arg(long)]
    pub(crate) condition: Option<String>,
    /// Outside air at the field with unit, instead of that of the condition.
    #[arg(long, value_name = "T", allow_hyphen_values = true)]
    pub(crate) outside: Option<String>,
    /// Leave the tables for the ground team out, which take most of the time.
    #[arg(long)]
    pub(crate) no_tables: bool,
    /// Print JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Debug, Args)]
pub(crate) struct Failures {
    /// Project file; or `demo`, `demo:tug`, `demo:rescue`, `demo:rig`.
    pub(crate) file: String,
    /// Variant of the design.
    #[arg(long)]
    pub(crate) variant: Option<String>,
    /// Mission to fly; without it, every mission of the cases.
    #[arg(long, value_name = "NAME")]
    pub(crate) mission: Option<String>,
    /// Print JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Debug, Args)]
pub(crate) struct Levers {
    /// Project file; or `demo`, `demo:tug`, `demo:rescue`, `demo:rig`.
    pub(crate) file: String,
    /// Full name of a steady case or a mission; may be repeated; without it, all steady cases.
    #[arg(long = "case", value_name = "NAME")]
    pub(crate) cases: Vec<String>,
    /// How many margins, worst first; of each limit only the worst case counts.
    #[arg(long, value_name = "N", default_value_t = 10)]
    pub(crate) margins: usize,
    /// Those of the missions too, by flying each again for every input: takes a minute or so.
    #[arg(long)]
    pub(crate) missions: bool,
    /// Variant of the design.
    #[arg(long)]
    pub(crate) variant: Option<String>,
    /// Print JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Debug, Args)]
pub(crate) struct Spread {
    /// Project file; or `demo`, `demo:tug`, `demo:rescue`, `demo:rig`.
    pub(crate) file: String,
    /// How many samples, up to 65536; powers of two fill the space best.
    #[arg(long, value_name = "N", default_value_t = 2048)]
    pub(crate) samples: usize,
    /// Chooses the samples: the same seed gives the same numbers.
    #[arg(long, value_name = "S", default_value_t = 1)]
    pub(crate) seed: u32,
    /// Full name of a steady case or a mission of which every limit is sampled; may be repeated; without it, the worst steady case of
    /// each limit.
    #[arg(long = "case", value_name = "NAME")]
    pub(crate) cases: Vec<String>,
    /// Take stated tolerances as normal laws, the half-width two standard deviations, instead of uniform bands.
    #[arg(long)]
    pub(crate) normal: bool,
    /// Fly every mission of the cases with every sample too: least margins, and bands of temperatures over time.
    #[arg(long)]
    pub(crate) missions: bool,
    /// Variant of the design.
    #[arg(long)]
    pub(crate) variant: Option<String>,
    /// Print JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Debug, Args)]
pub(crate) struct Fluid {
    /// Name, with the strength of a glycol: ethylene-glycol:0.5 by mass, :0.5vol by volume; air. Without it, all are listed.
    #[arg(requires = "at")]
    pub(crate) name: Option<String>,
    /// Temperatures with unit, separated by commas.
    #[arg(long, value_delimiter = ',', requires = "name", allow_hyphen_values = true)]
    pub(crate) at: Vec<String>,
    /// Absolute pressure with unit.
    #[arg(long)]
    pub(crate) pressure: Option<String>,
    /// Print JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Debug, Args)]
pub(crate) struct Relation {
    /// Name; without it, all are listed.
    pub(crate) name: Option<String>,
    /// Inputs as key=value.
    pub(crate) inputs: Vec<String>,
    /// Print JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Debug, Args)]
pub(crate) struct Picture {
    /// Project file; or `demo`, `demo:tug`, `demo:rescue`, `demo:rig`.
    pub(crate) file: String,
    /// Page as it is called in the window: loops, temperatures, margins, ledger, mission, turnaround,
    /// failures, machines, pack, trades.
    #[arg(long)]
    pub(crate) page: String,
    /// File to write.
    #[arg(short, long, value_name = "OUT.png")]
    pub(crate) output: std::path::PathBuf,
    /// Replace a file that is there already; a project is only ever replaced by a project.
    #[arg(long)]
    pub(crate) overwrite: bool,
    /// Size in pixels.
    #[arg(long, value_name = "WxH", default_value = "1440x900")]
    pub(crate) size: String,
    /// Pixels for each point: 2 draws everything twice as large on as many pixels.
    #[arg(long, value_name = "FACTOR", default_value_t = 1.0)]
    pub(crate) scale: f32,
    /// Light ink on dark paper.
    #[arg(long)]
    pub(crate) dark: bool,
    /// Full name of the case to show: condition/point or condition/point/failure.
    #[arg(long = "case", value_name = "NAME")]
    pub(crate) case: Option<String>,
    /// Variant of the design.
    #[arg(long)]
    pub(crate) variant: Option<String>,
    /// Moment of a mission, minutes and seconds from its start.
    #[arg(long, value_name = "M:SS", requires = "case")]
    pub(crate) at: Option<String>,
    /// Full name of a mission case whose curves lie beneath those of the mission that is shown.
    #[arg(long, value_name = "NAME")]
    pub(crate) beneath: Option<String>,
    /// Variant of the case beneath; the shown one if it is left out.
    #[arg(long, value_name = "VARIANT", requires = "beneath")]
    pub(crate) beneath_variant: Option<String>,
}

#[derive(Debug, Args)]
pub(crate) struct Budget {
    /// Project file; or `demo`, `demo:tug`, `demo:rescue`, `demo:rig`.
    pub(crate) file: String,
    /// Full name of a steady case or a mission case; may be repeated. Without it, every mission without failure.
    #[arg(long = "case", value_name = "NAME")]
    pub(crate) cases: Vec<String>,
    /// Variant of the design.
    #[arg(long)]
    pub(crate) variant: Option<String>,
    /// Print JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Debug, Args)]
#[allow(clippy::struct_excessive_bools, reason = "each is a switch of the command line")]
pub(crate) struct Size {
    /// Project file; or `demo`, `demo:tug`, `demo:rescue`, `demo:rig`.
    pub(crate) file: String,
    /// Loop to size.
    #[arg(long = "loop", value_name = "LOOP", required_unless_present = "all", conflicts_with = "all")]
    pub(crate) circuit: Option<String>,
    /// Size all loops at once: least equivalent mass over every free core, pump and fan.
    #[arg(long, conflicts_with_all = ["height_only", "no_relaxations"])]
    pub(crate) all: bool,
    /// Size each of these variants as a whole, `base` among them if it is named, and set them beside one another.
    #[arg(long, value_name = "VARIANT,...", value_delimiter = ',', requires = "all", conflicts_with_all = ["variant", "output"])]
    pub(crate) compare: Vec<String>,
    /// Size for each of these reserves, in kelvin over every required margin: mass against margin.
    #[arg(long, value_name = "K,...", value_delimiter = ',', requires = "all", conflicts_with_all = ["compare", "output"])]
    pub(crate) front: Vec<f64>,
    /// Full name of the mission that equivalent mass is counted over; without it, the one without failure over which the present
    /// design is heaviest.
    #[arg(long, value_name = "NAME", requires = "all")]
    pub(crate) mission: Option<String>,
    /// Full name of a case, steady or flown, that must hold; may be repeated. Without it, those that the sizing names, or all.
    #[arg(long = "case", value_name = "NAME", conflicts_with = "all")]
    pub(crate) cases: Vec<String>,
    /// Variant of the design.
    #[arg(long)]
    pub(crate) variant: Option<String>,
    /// Search the height of the core only (or its conductance); width, depth and fins as they are.
    #[arg(long)]
    pub(crate) height_only: bool,
    /// Leave out what looser limits and more room would save.
    #[arg(long)]
    pub(crate) no_relaxations: bool,
    /// Write the project with the result as a variant into this file.
    #[arg(short, long, value_name = "FILE", requires = "name")]
    pub(crate) output: Option<std::path::PathBuf>,
    /// Replace a file that is there already; a project is only ever replaced by a project.
    #[arg(long)]
    pub(crate) overwrite: bool,
    /// Name of that variant.
    #[arg(long, requires = "output")]
    pub(crate) name: Option<String>,
    /// Print JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Debug, Args)]
pub(crate) struct Sweep {
    /// Project file; or `demo`, `demo:tug`, `demo:rescue`, `demo:rig`.
    pub(crate) file: String,
    /// Input by path with its first and last value and how many values, such as "cores.radiator.transfer.height=80 mm..200 mm/7"; each
    /// further one makes the grid a dimension larger, and the last one varies fastest.
    #[arg(long = "set", value_name = "PATH=FROM..TO/N", required = true)]
    pub(crate) axes: Vec<String>,
    /// What to watch: worst, mass, margin:CASE:PLACE:LIMIT, temperature:CASE:COMPONENT, heat:CASE:COMPONENT, peak:MISSION:COMPONENT,
    /// size:LOOP (dry mass of its core, sized), fitted:LOOP (all of the loop with it, nothing where it may go), boundary:LOOP:at rest and
    /// boundary:LOOP:removed (largest cell resistance without the loop); may be repeated. A CASE of margin may be a mission.
    #[arg(long = "show", value_name = "RESULT", required = true)]
    pub(crate) results: Vec<String>,
    /// Full name of a case, steady or flown, that worst, size, fitted and boundary are judged by; may be repeated. Without it, all.
    #[arg(long = "case", value_name = "NAME")]
    pub(crate) cases: Vec<String>,
    /// Variant of the design.
    #[arg(long)]
    pub(crate) variant: Option<String>,
    /// Print JSON.
    #[arg(long, conflicts_with_all = ["csv", "parquet"])]
    pub(crate) json: bool,
    /// Write the rows into this file as comma-separated values.
    #[arg(long, value_name = "FILE", conflicts_with = "parquet")]
    pub(crate) csv: Option<std::path::PathBuf>,
    /// Write the rows into this file as Parquet.
    #[arg(long, value_name = "FILE")]
    pub(crate) parquet: Option<std::path::PathBuf>,
    /// Replace a file that is there already; a project is only ever replaced by a project.
    #[arg(long)]
    pub(crate) overwrite: bool,
    /// Only part K of N parts of equal size.
    #[arg(long, value_name = "K/N")]
    pub(crate) shard: Option<String>,
}

#[derive(Debug, Args)]
pub(crate) struct Variants {
    /// Project file; or `demo`, `demo:tug`, `demo:rescue`, `demo:rig`.
    pub(crate) file: String,
    /// Variant to be compared with the base design; may be repeated. Without it, all.
    #[arg(long = "variant", value_name = "VARIANT")]
    pub(crate) names: Vec<String>,
    /// Condition of the turnaround; without it, the first that the project names for it.
    #[arg(long)]
    pub(crate) condition: Option<String>,
    /// Leave the turnaround out.
    #[arg(long)]
    pub(crate) no_turnaround: bool,
    /// Print JSON.
    #[arg(long)]
    pub(crate) json: bool,
}
