//! What the window shows and edits, seen from the window.
//!
//! The window knows no physics and no file. It holds a [`Subject`], a cheap snapshot of a project, asks it for a
//! [`Screen`] on another thread, and draws that.

use std::collections::BTreeMap;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use aircraft::revise::{Revision, Thing};
use aircraft::tables::{CellProblem, Table};
use model::case_name::CaseName;
use schema::Node;

use crate::files::Finding;
use crate::views::explanation::Explanation;
use crate::views::failures::FailuresData;
use crate::views::header::HeaderData;
use crate::views::ledger::LedgerData;
use crate::views::levels::DeviceLevels;
use crate::views::levers::LeverData;
use crate::views::loops::StripPage;
use crate::views::machines::MachineData;
use crate::views::margins::{MarginGrid, MarginPlace};
use crate::views::mission::MissionData;
use crate::views::temperatures::TemperatureTable;
use crate::views::trades::{Proposal, Question, TradesData};
use crate::views::turnaround::TurnaroundData;
use crate::views::work::Work;

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

/// Everything the pages show, as plain data.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Screen {
    /// The line at the top.
    pub header: HeaderData,
    /// Loops and ducts in the order of the project.
    pub strips: Vec<StripPage>,
    /// Components against their limits.
    pub temperatures: TemperatureTable,
    /// Limits by cases.
    pub margins: MarginGrid,
    /// What moves the margin of the chosen cell.
    pub levers: Option<Arc<LeverData>>,
    /// The heat balance.
    pub ledger: LedgerData,
    /// The mission, if the case is one.
    pub mission: Option<Arc<MissionData>>,
    /// From landing to ready, if the project describes a charge.
    pub turnaround: Option<Arc<TurnaroundData>>,
    /// The machines of the drive and the pack, with their curves at the case.
    pub machines: Vec<MachineData>,
    /// The levels of the device that is asked for.
    pub levels: Option<Arc<DeviceLevels>>,
    /// What single failures leave.
    pub failures: Option<Arc<FailuresData>>,
    /// A question of the page Trades with its answer.
    pub trades: Option<Arc<TradesData>>,
    /// The inputs that the variant on screen gives itself, each with whether it can be dropped.
    pub own: Arc<BTreeMap<String, bool>>,
    /// What is not done yet; nothing when everything is.
    pub work: Option<Work>,
    /// Whether only the case on screen has been solved yet: margins and levers are still those of the state before.
    pub has_one_case: bool,
    /// Why the state cannot stand: it leaves a variant that makes no sense. The edit that led to it is taken back.
    pub refused: Option<String>,
    /// What a number's key leads to.
    pub explanations: BTreeMap<String, Explanation>,
}

impl Screen {
    /// Whether it tells only that something is not done.
    pub(crate) fn has_nothing_but_work(&self) -> bool {
        self.work.is_some() && self.strips.is_empty() && self.margins.rows.is_empty()
    }
}

/// A snapshot of a project: cheap to clone, never changed in place.
pub trait Subject: Clone + Send + 'static {
    /// A project from the bytes of its file, with what is to be known about it. Runs beside the window.
    ///
    /// # Errors
    /// Every mistake with its place.
    fn from_bytes(bytes: &[u8]) -> Result<(Self, Vec<Finding>), Vec<Finding>>;

    /// The bytes of the project's file, with every number and unit as typed. Runs beside the window.
    ///
    /// # Errors
    /// Why it cannot be written without a loss, and what to do.
    fn to_bytes(&self) -> Result<Vec<u8>, String>;

    /// The name of the project. Called in every frame.
    fn name(&self) -> &str;

    /// What can be chosen. Called in every frame: it must only hand out what is already there.
    fn choices(&self) -> &Choices;

    /// The snapshot with one input set to what was typed. The design on screen is checked at once; what the edit does to other
    /// variants may come later, with [`Screen::refused`].
    ///
    /// # Errors
    /// The reason, to be shown beside the field: wrong unit, out of range, no such input.
    fn edited(&self, choice: &Choice, path: &str, text: &str) -> Result<Self, String>;

    /// The same with the input set in the variant of the choice only.
    ///
    /// # Errors
    /// As [`Subject::edited`], or that there is no variant.
    fn edited_in_variant(&self, choice: &Choice, path: &str, _text: &str) -> Result<Self, String> {
        Err(format!("{path} cannot be changed in {} only", choice.variant))
    }

    /// Whether the variant of the choice gives the value, or what it stands in, itself.
    fn owns(&self, _choice: &Choice, _path: &str) -> bool {
        false
    }

    /// The snapshot with the value of the base design in the place of the variant's own.
    ///
    /// # Errors
    /// Why it cannot be dropped.
    fn without_own(&self, choice: &Choice, path: &str) -> Result<Self, String> {
        Err(format!("{path} has no value of its own in {}", choice.variant))
    }

    /// The snapshot with a thing renamed, copied, moved, added or taken away.
    ///
    /// # Errors
    /// The reason: a name in use, or that something else needs what was to be taken away.
    fn revised(&self, revision: &Revision) -> Result<Self, String>;

    /// The snapshot with a design that a study found as a further variant.
    ///
    /// # Errors
    /// The reason: a name in use, or no name.
    fn with_variant(&self, proposal: &Proposal, name: &str) -> Result<Self, String>;

    /// Everything that has a name, with what names it.
    fn things(&self) -> Vec<Thing> {
        Vec::new()
    }

    /// The device at an address as text, for the clipboard.
    ///
    /// # Errors
    /// Why it cannot be copied.
    fn device_text(&self, path: &str) -> Result<String, String> {
        Err(format!("{path} cannot be copied"))
    }

    /// A device from the clipboard.
    ///
    /// # Errors
    /// Why the text is no device.
    fn device_from(&self, _text: &str) -> Result<Node, String> {
        Err("this project takes no devices".to_owned())
    }

    /// The measured table at an address, to be edited; none if there is none.
    fn table(&self, _path: &str) -> Option<Table> {
        None
    }

    /// The change that puts a table in the place of the one at its address.
    ///
    /// # Errors
    /// Every mistake, beside its cell.
    fn put_table(&self, _table: &Table) -> Result<Revision, Vec<CellProblem>> {
        Err(Vec::new())
    }

    /// What the pages show for a choice. Runs on the worker; looks at the flag between its steps and returns what it has
    /// once it is set. What comes quickly is handed out by `so_far` before the rest is worked on. What is not whole tells
    /// in [`Screen::work`] what is missing, when it is returned as well as when it is handed out.
    fn screen(&self, choice: &Choice, cancelled: &AtomicBool, so_far: &(dyn Fn(Screen) + Sync)) -> Screen;
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
