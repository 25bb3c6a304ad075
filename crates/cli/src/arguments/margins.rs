//! Arguments of commands that look at margins.

use clap::Args;

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
