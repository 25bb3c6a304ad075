//! Arguments of the commands that search: limits, sizes, sweeps.

use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct Uncooled {
    /// Project file; or `demo`, `demo:tug`, `demo:rescue`, `demo:rig`.
    pub(crate) file: String,
    /// Full name of a mission case without failure that counts; may be repeated. Without it, all.
    #[arg(long = "case", value_name = "NAME")]
    pub(crate) cases: Vec<String>,
    /// Full name of a case that does not count; may be repeated.
    #[arg(long, value_name = "CASE")]
    pub(crate) without: Vec<String>,
    /// Variant of the design.
    #[arg(long)]
    pub(crate) variant: Option<String>,
    /// Print JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Debug, Args)]
pub(crate) struct OatLimit {
    /// Project file; or `demo`, `demo:tug`, `demo:rescue`, `demo:rig`.
    pub(crate) file: String,
    /// Only the cases without a failure.
    #[arg(long, conflicts_with = "failed")]
    pub(crate) normal: bool,
    /// Only the cases with a failure.
    #[arg(long)]
    pub(crate) failed: bool,
    /// Full name of a case, steady or flown, that counts; may be repeated. Without it, all.
    #[arg(long = "case", value_name = "NAME")]
    pub(crate) cases: Vec<String>,
    /// Full name of a case that does not count; may be repeated.
    #[arg(long, value_name = "CASE")]
    pub(crate) without: Vec<String>,
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
    #[arg(long = "case", value_name = "NAME")]
    pub(crate) cases: Vec<String>,
    /// Full name of a case that need not hold; may be repeated.
    #[arg(long, value_name = "CASE")]
    pub(crate) without: Vec<String>,
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
    /// Full name of a case that they are not judged by; may be repeated.
    #[arg(long, value_name = "CASE")]
    pub(crate) without: Vec<String>,
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
