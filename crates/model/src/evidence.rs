//! The margin that is required of a limit, and why it is that one.
//!
//! A limit states its own, or the evidence behind the prediction of its part decides: that of the component or loop, else that of the
//! policy of the project.

use aircraft::records::component::Credibility;
use aircraft::records::project::Policy;
use schema::Input;
use schema::kinds::TemperatureDifference;

/// What sets the margin that is required.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RequiredBy {
    /// The limit itself states it.
    Limit,
    /// The evidence that is stated of the part.
    Part(Credibility),
    /// The evidence that the policy states for the whole project.
    Policy(Credibility),
    /// The loop states it: its margins to boiling and to freezing.
    Loop,
    /// The policy states it for start temperatures, which are inputs: a minimum limit at the beginning of a flight.
    Start,
    /// A share of what the inlet of a pump needs.
    Need,
    /// Nothing is asked beyond the limit: ratings.
    Nothing,
}

impl RequiredBy {
    /// Word used in files and tables.
    pub fn word(self) -> &'static str {
        match self {
            Self::Limit => "limit",
            Self::Part(_) => "part",
            Self::Policy(_) => "policy",
            Self::Loop => "loop",
            Self::Start => "start",
            Self::Need => "need",
            Self::Nothing => "nothing",
        }
    }

    /// The evidence that decided, where evidence did.
    pub fn evidence(self) -> Option<Credibility> {
        match self {
            Self::Part(evidence) | Self::Policy(evidence) => Some(evidence),
            Self::Limit | Self::Loop | Self::Start | Self::Need | Self::Nothing => None,
        }
    }

    /// The reason in a sentence.
    pub fn reason(self) -> String {
        match self {
            Self::Limit => "stated with the limit".to_owned(),
            Self::Part(evidence) => format!("by the evidence of the part: {}", evidence.word()),
            Self::Policy(evidence) => format!("by the policy of the project: {}", evidence.word()),
            Self::Loop => "stated with the loop".to_owned(),
            Self::Start => "by the policy for start temperatures, which are inputs".to_owned(),
            Self::Need => "a fifth of what the inlet of the pump needs".to_owned(),
            Self::Nothing => "nothing is asked beyond the rating".to_owned(),
        }
    }
}

/// Margin required of a temperature, K, with what sets it: what the limit states, else the policy for the evidence of the part, else the
/// policy for that of the project.
pub fn required(
    of_limit: Option<&Input<TemperatureDifference>>,
    of_part: Option<&Credibility>,
    policy: &Policy,
) -> (f64, RequiredBy) {
    if let Some(stated) = of_limit {
        return (stated.si(), RequiredBy::Limit);
    }
    let by = match of_part {
        Some(part) => RequiredBy::Part(*part),
        None => RequiredBy::Policy(policy.credibility),
    };
    let required_k = match by.evidence() {
        Some(Credibility::Tested) => policy.tested.si(),
        Some(Credibility::Correlated) => policy.correlated.si(),
        Some(Credibility::Uncorrelated) | None => policy.uncorrelated.si(),
    };
    (required_k, by)
}
