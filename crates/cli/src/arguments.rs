//! What may be typed.

mod new;
mod power;
mod trades;

use clap::{Args, Parser, Subcommand};

pub(crate) use new::New;
pub(crate) use power::Power;
pub(crate) use trades::{OatLimit, Size, Sweep, Uncooled};

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
    /// New aircraft: a few answers give a complete project whose placeholder values are marked as assumed.
    New(New),
    /// Validate a project: every problem with line, column and remedy.
    Check(FileOnly),
    /// Solve cases: temperatures, flows, pressures, heat balance.
    Solve(Solve),
    /// Loss curves of motors, inverters, gearbox, converters and cables, and the curves of the pack, at the point of each case.
    Curves(Curves),
    /// Each law of the devices and machines as a value, as measurements and by dimensions, side by side.
    Fidelity(Fidelity),
    /// Set inputs, load tables from files and change the fidelity of laws; the result is written to another file.
    Edit(Edit),
    /// Fly missions over time: segments, peaks, events, heat balance.
    Simulate(Simulate),
    /// Every limit at its worst case, least reserve first.
    Margins(AllMargins),
    /// Highest outside-air temperature against pressure altitude at which every required margin holds.
    OatLimit(OatLimit),
    /// Largest cell resistance that lets the pack fly uncooled, against outside air and age.
    Uncooled(Uncooled),
    /// Landing to ready by each option; tables for the ground team.
    Turnaround(Turnaround),
    /// Single failures over time: time to limit, peak until touchdown, action, alert temperatures.
    Failures(Failures),
    /// One motor or winding set out: power that is there against power for hover, level flight and climb, by condition and rating.
    Power(Power),
    /// What moves the worst margins: sensitivity to every input.
    Levers(Levers),
    /// Uncertainty of the margins: tolerances and published scatter, sampled.
    Spread(Spread),
    /// Budget of mass and power: what the cooling weighs, draws and drags, and what that is worth in mass of cells.
    Budget(Budget),
    /// Smallest core, with pump and fan, of a loop that holds every required margin; or of all loops at once.
    Size(Size),
    /// Results on a grid of one or more inputs.
    Sweep(Sweep),
    /// Parts of a sweep put together: refused where a part is missing, comes twice or is of another project.
    Join(Join),
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
    /// Replace an existing file; a project is only ever replaced by a project.
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
    /// File to write; an existing file is not replaced without --overwrite.
    #[arg(short, long, value_name = "FILE")]
    pub(crate) output: std::path::PathBuf,
    /// Replace an existing file; a project is only ever replaced by a project.
    #[arg(long)]
    pub(crate) overwrite: bool,
    /// Input by path and its new value with unit, such as "loops.stator.path.feed.length=2 m"; may be repeated.
    #[arg(long = "set", value_name = "PATH=VALUE")]
    pub(crate) inputs: Vec<String>,
    /// Variant that gets these values; without it, the base design is changed.
    #[arg(long, value_name = "VARIANT", requires = "inputs")]
    pub(crate) variant: Option<String>,
    /// Measured table by path and the file of its cells, such as "loops.stator.path.pump.curve=pump.csv": separated by tabs, semicolons
    /// or commas; a header row may give units in brackets, else those of the table apply; may be repeated.
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
    /// Replace an existing file; a project is only ever replaced by a project.
    #[arg(long)]
    pub(crate) overwrite: bool,
}

#[derive(Debug, Args)]
pub(crate) struct Margins {
    /// Project file; or `demo`, `demo:tug`, `demo:rescue`, `demo:rig`.
    pub(crate) file: String,
    /// Variant of the design.
    #[arg(long)]
    pub(crate) variant: Option<String>,
    /// Print JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Debug, Args)]
pub(crate) struct AllMargins {
    /// Project file; or `demo`, `demo:tug`, `demo:rescue`, `demo:rig`.
    pub(crate) file: String,
    /// Variant of the design.
    #[arg(long)]
    pub(crate) variant: Option<String>,
    /// Show every limit in every case, not only its worst one. JSON always has all.
    #[arg(long)]
    pub(crate) all: bool,
    /// Print JSON.
    #[arg(long)]
    pub(crate) json: bool,
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
    /// Leave out the tables for the ground team, which take most of the time.
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
    /// Number of margins, worst first; only the worst case of each limit is taken.
    #[arg(long, value_name = "N", default_value_t = 10)]
    pub(crate) margins: usize,
    /// Missions too, flying each again for every input: takes a minute or so.
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
    /// Number of samples, up to 65536; powers of two fill the space best.
    #[arg(long, value_name = "N", default_value_t = 2048)]
    pub(crate) samples: usize,
    /// Seed of the samples: the same seed gives the same numbers.
    #[arg(long, value_name = "S", default_value_t = 1)]
    pub(crate) seed: u32,
    /// Full name of a steady case or a mission of which every limit is sampled; may be repeated; without it, the worst steady case of
    /// each limit.
    #[arg(long = "case", value_name = "NAME")]
    pub(crate) cases: Vec<String>,
    /// Take stated tolerances as normal distributions, the half-width being two standard deviations, instead of uniform bands.
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
    /// Page of the window: loops, temperatures, margins, ledger, mission, turnaround,
    /// failures, machines, pack, trades.
    #[arg(long)]
    pub(crate) page: String,
    /// File to write.
    #[arg(short, long, value_name = "OUT.png")]
    pub(crate) output: std::path::PathBuf,
    /// Replace an existing file; a project is only ever replaced by a project.
    #[arg(long)]
    pub(crate) overwrite: bool,
    /// Size in pixels.
    #[arg(long, value_name = "WxH", default_value = "1440x900")]
    pub(crate) size: String,
    /// Pixels per point: 2 draws everything twice as large on the same number of pixels.
    #[arg(long, value_name = "FACTOR", default_value_t = 1.0)]
    pub(crate) scale: f32,
    /// Dark theme.
    #[arg(long)]
    pub(crate) dark: bool,
    /// Full name of the case to show: condition/point or condition/point/failure.
    #[arg(long = "case", value_name = "NAME")]
    pub(crate) case: Option<String>,
    /// Variant of the design.
    #[arg(long)]
    pub(crate) variant: Option<String>,
    /// Time in a mission, minutes and seconds from its start.
    #[arg(long, value_name = "M:SS", requires = "case")]
    pub(crate) at: Option<String>,
    /// Full name of a mission case whose curves are overlaid on those of the mission shown.
    #[arg(long, value_name = "NAME")]
    pub(crate) beneath: Option<String>,
    /// Variant of the overlaid case; without it, the one shown.
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
pub(crate) struct Join {
    /// Parts that `sweep --shard K/N --csv` wrote, in any order.
    #[arg(value_name = "PART", required = true)]
    pub(crate) parts: Vec<std::path::PathBuf>,
    /// Where the whole table goes.
    #[arg(short, long, value_name = "FILE")]
    pub(crate) output: std::path::PathBuf,
    /// Replace a file that is there already; a project is only ever replaced by a project.
    #[arg(long)]
    pub(crate) overwrite: bool,
}

#[derive(Debug, Args)]
pub(crate) struct Variants {
    /// Project file; or `demo`, `demo:tug`, `demo:rescue`, `demo:rig`.
    pub(crate) file: String,
    /// Variant to compare with the base design; may be repeated. Without it, all.
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
