//! The sorts of questions of the page Trades, with their names.

use session::Question;

/// The sorts of questions.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum QuestionKind {
    /// All variants side by side.
    #[default]
    Variants,
    /// A result over one or two inputs.
    Inputs,
    /// The largest cell resistance that lets the pack fly uncooled.
    Uncooled,
    /// The highest outside air at which every required margin holds.
    OutsideAir,
    /// The lightest core, pump and fan of a loop.
    Size,
    /// The lightest cooling of the whole aircraft.
    SizeAll,
    /// The lightest cooling for more and more left over the required margins.
    Front,
    /// Every variant at its lightest.
    Architectures,
    /// How sure the margins are.
    Spread,
}

impl QuestionKind {
    /// All of them, in the order on screen.
    pub const ALL: [Self; 9] = [
        Self::Variants,
        Self::Inputs,
        Self::Uncooled,
        Self::OutsideAir,
        Self::Size,
        Self::SizeAll,
        Self::Front,
        Self::Architectures,
        Self::Spread,
    ];

    /// The name on screen.
    pub fn label(self) -> &'static str {
        match self {
            Self::Variants => "Variants side by side",
            Self::Inputs => "Result against inputs",
            Self::Uncooled => "Uncooled pack",
            Self::OutsideAir => "Outside-air limit",
            Self::Size => "Size a loop",
            Self::SizeAll => "Size all loops at once",
            Self::Front => "Mass against reserve",
            Self::Architectures => "Lightest design of each architecture",
            Self::Spread => "Spread of margins",
        }
    }

    /// What it answers, in one sentence.
    pub fn summary(self) -> &'static str {
        match self {
            Self::Variants => {
                "What each variant weighs and draws, how close it comes to its limits, how soon it flies again."
            }
            Self::Inputs => "A margin, temperature, heat or mass over the range of one input, or of two.",
            Self::Uncooled => {
                "The largest cell resistance that lets the pack fly uncooled, against outside air: with the plate fitted but \
                 without flow, and with it removed; new and at end of life."
            }
            Self::OutsideAir => {
                "The highest outside air at which every required margin holds, against pressure altitude, and what limits it."
            }
            Self::Size => {
                "The lightest core, pump and fan of a loop that hold every required margin in every case."
            }
            Self::SizeAll => {
                "The least equivalent mass over the cores, pumps and fans of all loops that hold every required margin in every \
                 case."
            }
            Self::Front => {
                "The least equivalent mass over all loops against the reserve asked for: what the next kelvin weighs. Takes a \
                 few minutes."
            }
            Self::Architectures => {
                "Every variant with all its loops resized, each at its own least equivalent mass. Takes several minutes."
            }
            Self::Spread => {
                "All stated tolerances and the published scatter of relations at once: how often a margin is short."
            }
        }
    }
}

impl From<&Question> for QuestionKind {
    fn from(question: &Question) -> Self {
        match question {
            Question::Variants => Self::Variants,
            Question::Inputs { .. } => Self::Inputs,
            Question::Uncooled => Self::Uncooled,
            Question::OutsideAir => Self::OutsideAir,
            Question::Size { .. } => Self::Size,
            Question::SizeAll => Self::SizeAll,
            Question::Front { .. } => Self::Front,
            Question::Architectures => Self::Architectures,
            Question::Spread { .. } => Self::Spread,
        }
    }
}
