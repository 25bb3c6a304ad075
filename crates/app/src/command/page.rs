//! The pages, and light or dark.

use egui::Key;

/// A page of the window.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Page {
    /// The flow strip of a loop or duct and its devices.
    #[default]
    Loops,
    /// Every component against its limits.
    Temperatures,
    /// Every limit in every case.
    Margins,
    /// Where the heat comes from and where it goes.
    Ledger,
    /// One mission over time.
    Mission,
    /// From landing to ready for take-off.
    Turnaround,
    /// What single failures leave.
    Failures,
    /// The machines of the drive with their curves.
    Machines,
    /// The pack with its curves.
    Pack,
    /// Questions about the design: variants, ranges of inputs, sizes, spread.
    Trades,
}

impl Page {
    /// All pages in the order of the rail.
    pub const ALL: [Self; 10] = [
        Self::Loops,
        Self::Temperatures,
        Self::Margins,
        Self::Ledger,
        Self::Mission,
        Self::Turnaround,
        Self::Failures,
        Self::Machines,
        Self::Pack,
        Self::Trades,
    ];

    /// The name on screen.
    pub fn label(self) -> &'static str {
        match self {
            Self::Loops => "Loops",
            Self::Temperatures => "Temperatures",
            Self::Margins => "Margins",
            Self::Ledger => "Ledger",
            Self::Mission => "Mission",
            Self::Turnaround => "Turnaround",
            Self::Failures => "Failures",
            Self::Machines => "Machines",
            Self::Pack => "Pack",
            Self::Trades => "Trades",
        }
    }

    /// What the page shows, in one line.
    pub fn summary(self) -> &'static str {
        match self {
            Self::Loops => "One loop or duct in flow order, with its devices",
            Self::Temperatures => "Every component against its limit, in this case",
            Self::Margins => "Every limit in every case, worst first",
            Self::Ledger => "Heat balance of this case: where heat comes from and where it goes",
            Self::Mission => "Power, temperatures, heat and the pack over one mission",
            Self::Turnaround => "From landing to ready for take-off: every way of cooling and charging",
            Self::Failures => "Single failures: time to a limit against time to land, and when to warn",
            Self::Machines => {
                "Motors, inverters, gearbox and converters: losses against speed, torque and current"
            }
            Self::Pack => {
                "The pack: voltage and resistance against state of charge and temperature, and its conductors"
            }
            Self::Trades => "Variants side by side, results against inputs, limits, sizes and spread",
        }
    }

    pub(super) fn key(self) -> Key {
        match self {
            Self::Loops => Key::Num1,
            Self::Temperatures => Key::Num2,
            Self::Margins => Key::Num3,
            Self::Ledger => Key::Num4,
            Self::Mission => Key::Num5,
            Self::Turnaround => Key::Num6,
            Self::Failures => Key::Num7,
            Self::Machines => Key::Num8,
            Self::Pack => Key::Num9,
            Self::Trades => Key::Num0,
        }
    }
}

/// Light or dark.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum ThemeChoice {
    /// As the desktop is set.
    #[default]
    System,
    /// Dark ink on light paper.
    Light,
    /// Light ink on dark paper.
    Dark,
}
