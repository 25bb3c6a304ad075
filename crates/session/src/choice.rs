//! What is asked of a project: a variant, a case and its moment, a study.

use model::case_name::CaseName;
use model::cases;
use model::result::{Margin, MarginKind};

use aircraft::records::project::Project;

use crate::trades::Question;

/// A cell of the margins by names, so that it is found again after the order has changed.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct MarginPlace {
    /// Component, loop or device.
    pub where_: String,
    /// Name of the limit.
    pub limit: String,
    /// Unit in which the margin is told, which tells limits of one name apart: [`MarginPlace::unit_of`].
    pub unit: String,
    /// Full name of the case.
    pub case: CaseName,
}

impl MarginPlace {
    /// The unit in which a sort of margin is told.
    pub fn unit_of(kind: MarginKind) -> &'static str {
        match kind {
            MarginKind::Rating => "kW",
            MarginKind::PumpInlet => "kPa",
            MarginKind::RatedTorque => "N m",
            MarginKind::RatedSpeed => "rpm",
            MarginKind::Maximum | MarginKind::Minimum | MarginKind::Boiling | MarginKind::Freezing => "K",
        }
    }

    /// Whether a margin of its case is the one in this place.
    pub fn is_of(&self, margin: &Margin) -> bool {
        margin.place == self.where_ && margin.limit == self.limit && Self::unit_of(margin.kind) == self.unit
    }
}

/// What is worked out besides the cases, because the page on screen shows it: studies of many flights take their time.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Study {
    /// Nothing.
    #[default]
    Cases,
    /// From landing to ready.
    Turnaround,
    /// Single failures over time.
    Failures,
    /// What moves the margin of a cell of a steady case.
    Levers(MarginPlace),
    /// The same for a cell of a mission, which is flown for it.
    FlownLevers(MarginPlace),
    /// A question of the page Trades.
    Trades(Question),
}

/// A mission case that lies beneath the shown one.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Compared {
    /// Name of the variant.
    pub variant: String,
    /// The case.
    pub case: CaseName,
}

/// Which part of the project is shown.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Choice {
    /// Name of the variant.
    pub variant: String,
    /// The case: steady point or mission.
    pub case: CaseName,
    /// The moment of a mission that every page shows, in seconds from its start; steady points have none.
    pub time_s: f64,
    /// What is worked out besides the cases.
    pub study: Study,
    /// The mission case whose curves lie beneath those of the shown one.
    pub compared: Option<Compared>,
    /// The device whose laws are shown at every level.
    pub described: Option<String>,
    /// Whether long work was stopped: only the case itself and what is known is shown.
    pub is_stopped: bool,
}

/// A case that can be chosen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Listed {
    /// Its name.
    pub name: CaseName,
    /// Whether it is a mission; otherwise it is a steady point.
    pub is_mission: bool,
}

/// What can be chosen.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Choices {
    /// The variants of the project, the base design first.
    pub variants: Vec<String>,
    /// All cases in the order of the project.
    pub cases: Vec<Listed>,
}

impl Choices {
    /// The conditions that have cases, in the order in which they first occur.
    pub fn conditions(&self) -> Vec<&str> {
        let mut all: Vec<&str> = Vec::new();
        for case in &self.cases {
            if !all.contains(&case.name.condition.as_str()) {
                all.push(&case.name.condition);
            }
        }
        all
    }

    /// The cases of a condition.
    pub fn cases_at(&self, condition: &str) -> impl Iterator<Item = &CaseName> {
        self.cases.iter().map(|case| &case.name).filter(move |name| name.condition == condition)
    }

    /// The missions of a condition without a failure.
    pub fn missions_at(&self, condition: &str) -> impl Iterator<Item = &CaseName> {
        self.missions().filter(move |name| name.condition == condition && name.failure.is_none())
    }

    /// All cases that are missions.
    pub fn missions(&self) -> impl Iterator<Item = &CaseName> {
        self.cases.iter().filter(|case| case.is_mission).map(|case| &case.name)
    }

    /// Whether a case is known.
    pub fn has(&self, name: &CaseName) -> bool {
        self.cases.iter().any(|case| case.name == *name)
    }

    /// The nearest choice that exists: an unknown variant becomes the first one, an unknown case the first one at its condition.
    pub fn settle(&self, wanted: &Choice) -> Choice {
        let known_variant = self.variants.iter().find(|known| **known == wanted.variant);
        let is_wanted = |case: &&Listed| case.name == wanted.case;
        let at_condition = |case: &&Listed| case.name.condition == wanted.case.condition;
        let case = self.cases.iter().find(is_wanted);
        let case = case.or_else(|| self.cases.iter().find(at_condition)).or(self.cases.first());
        let compared = wanted
            .compared
            .clone()
            .filter(|c| self.variants.contains(&c.variant) && self.missions().any(|name| *name == c.case));
        Choice {
            variant: known_variant.or(self.variants.first()).cloned().unwrap_or_default(),
            case: case.map(|case| case.name.clone()).unwrap_or_default(),
            compared,
            ..wanted.clone()
        }
    }
}

/// Names of cases, steady and flown apart.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct CaseNames {
    /// Steady points; what is no case of the project counts as one, to be refused with the known names.
    pub steady: Vec<String>,
    /// Missions.
    pub missions: Vec<String>,
}

impl CaseNames {
    /// Parts names by the list of cases of a project.
    pub fn of(project: &Project, wanted: &[String]) -> Self {
        let known: Vec<String> =
            cases::missions(project).iter().map(|case| case.name().to_string()).collect();
        let (missions, steady) = wanted.iter().cloned().partition(|name| known.contains(name));
        Self { steady, missions }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn name(text: &str) -> CaseName {
        text.parse().expect("a name of a case")
    }

    fn listed(points: &[&str], missions: &[&str]) -> Vec<Listed> {
        let each = |names: &[&str], is_mission| -> Vec<Listed> {
            names.iter().map(|text| Listed { name: name(text), is_mission }).collect()
        };
        [each(points, false), each(missions, true)].concat()
    }

    #[test]
    fn an_unknown_choice_settles_on_the_first() {
        let choices = Choices {
            variants: vec!["base".into(), "large core".into()],
            cases: listed(&["hot day/hover", "hot day/climb", "standard day/climb"], &[]),
        };
        let wanted = Choice {
            variant: "large core".into(),
            case: name("standard day/hover"),
            compared: Some(Compared { variant: "large core".into(), case: name("hot day/circuit") }),
            ..Choice::default()
        };
        let settled = choices.settle(&wanted);
        assert_eq!((settled.variant.as_str(), settled.case), ("large core", name("standard day/climb")));
        assert_eq!(settled.compared, None, "there is no such mission");
        assert_eq!(choices.settle(&Choice::default()).case, name("hot day/hover"));
        assert_eq!(Choices::default().settle(&wanted), Choice::default());
        assert_eq!(choices.conditions(), ["hot day", "standard day"]);
    }

    #[test]
    fn only_missions_are_compared() {
        let missions = ["hot day/circuit", "hot day/circuit/pump out", "standard day/circuit"];
        let choices = Choices { variants: vec!["base".into()], cases: listed(&["hot day/hover"], &missions) };
        let names: Vec<String> = choices.missions().map(ToString::to_string).collect();
        assert_eq!(names, missions);
        let at: Vec<String> = choices.missions_at("hot day").map(ToString::to_string).collect();
        assert_eq!(at, ["hot day/circuit"]);
        let settled = |case: &str| {
            let compared = Some(Compared { variant: "base".into(), case: name(case) });
            choices.settle(&Choice { compared, ..Choice::default() }).compared.is_some()
        };
        assert!(settled("hot day/circuit/pump out") && !settled("hot day/hover"));
    }
}
