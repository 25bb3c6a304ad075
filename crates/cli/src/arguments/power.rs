//! Arguments of `power`.

use clap::Args;

#[derive(Debug, Args)]
pub(crate) struct Power {
    /// Project file; or `demo`, `demo:tug`, `demo:rescue`, `demo:rig`.
    pub(crate) file: String,
    /// Masses with unit, with commas between them; without it, that of the craft.
    #[arg(long = "mass", value_name = "M", value_delimiter = ',')]
    pub(crate) masses: Vec<String>,
    /// Variant of the design.
    #[arg(long)]
    pub(crate) variant: Option<String>,
    /// Print JSON.
    #[arg(long)]
    pub(crate) json: bool,
}
