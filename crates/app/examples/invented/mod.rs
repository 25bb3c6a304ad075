//! Invented data for the gallery and for the tests of the window. No aircraft and no maker stands behind these numbers,
//! and no physics either: a rule of three moves them when a condition or an input changes.

mod flight;
mod machines;
mod strips;
mod tables;
mod trades;

use std::collections::BTreeMap;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use aircraft::revise::Revision;
use app::files::Finding;
use app::views::explanation::Explanation;
use app::views::figure::{Standing, signed};
use app::views::header::{HeaderData, WorstMargin};
use app::views::trades::Proposal;
use app::{Choice, Choices, Listed, Screen, Study, Subject};

/// An invented project: its inputs by path, as typed.
#[derive(Debug, Clone)]
pub(crate) struct Invented {
    name: &'static str,
    choices: Choices,
    inputs: BTreeMap<String, String>,
}

/// The input that moves every margin of the invented project.
pub(crate) const FACE_AREA: &str = "Motor loop/Nose core/face area";

impl Invented {
    /// The invented project with its first inputs.
    pub(crate) fn new() -> Self {
        let names = |list: &[&str]| list.iter().map(|name| (*name).to_owned()).collect::<Vec<String>>();
        let flights = [
            "hover",
            "climb at best rate",
            "cruise",
            "circuit mission",
            "hover/pump 1 out",
            "climb at best rate/motor 2 out",
            "cruise/nose fan out",
        ];
        let at = |condition: &str, cases: &[&str]| -> Vec<Listed> {
            let listed = |case: &&str| Listed {
                name: format!("{condition}/{case}").parse().expect("a name of a case"),
                is_mission: *case == "circuit mission",
            };
            cases.iter().map(listed).collect()
        };
        let choices = Choices {
            variants: names(&["Base design", "Large nose core", "Low-resistance cells"]),
            cases: [
                at("hot day, 5000 ft", &flights),
                at("hot day, sea level", &flights),
                at("standard day", &flights),
                at("cold soak", &["start-up", "climb at best rate"]),
            ]
            .concat(),
        };
        Self {
            name: "Ridge tug (invented)",
            choices,
            inputs: BTreeMap::from([(FACE_AREA.to_owned(), "0.082 m2".to_owned())]),
        }
    }

    /// The text of an input, or its first one.
    pub(crate) fn input(&self, path: &str, first: &str) -> String {
        self.inputs.get(path).cloned().unwrap_or_else(|| first.to_owned())
    }

    /// How much warmer everything is than on the hot day at 5000 ft, in kelvin.
    fn warmer(&self, choice: &Choice) -> f64 {
        let area = self.input(FACE_AREA, "0.082 m2");
        let area = area.split(' ').next().and_then(|number| number.parse::<f64>().ok()).unwrap_or(0.082);
        let outside = match choice.case.condition.as_str() {
            "hot day, 5000 ft" => 0.0,
            "hot day, sea level" => 1.2,
            "standard day" => -23.0,
            _ => -30.0,
        };
        let variant = if choice.variant == "Large nose core" { -4.0 } else { 0.0 };
        let failed = if choice.case.failure.is_some() { 6.2 } else { 0.0 };
        let power = match choice.case.point.as_str() {
            "climb at best rate" => -0.9,
            "cruise" => -8.0,
            _ => 0.0,
        };
        outside + variant + failed + power + 25.0 * (0.082 / area - 1.0)
    }
}

impl Subject for Invented {
    fn from_bytes(bytes: &[u8]) -> Result<(Self, Vec<Finding>), Vec<Finding>> {
        let text = String::from_utf8_lossy(bytes);
        let mut lines = text.lines();
        let mistake = |line: usize, message: &str, remedy: &str| Finding {
            is_error: true,
            place: Some((line as u32, 1)),
            message: message.to_owned(),
            remedy: remedy.to_owned(),
            line: text.lines().nth(line - 1).unwrap_or_default().to_owned(),
            ..Finding::default()
        };
        if lines.next() != Some("invented") {
            return Err(vec![mistake(1, "this is no invented project", "begin with the word: invented")]);
        }
        let mut project = Self::new();
        let mut warnings = Vec::new();
        for (index, line) in lines.enumerate() {
            if let Some(warning) = line.strip_prefix("warning ") {
                warnings.push(Finding { is_error: false, ..mistake(index + 2, warning, "look at it") });
                continue;
            }
            let Some((path, value)) = line.split_once(" = ") else {
                return Err(vec![mistake(index + 2, "no value is given", "write: path = value")]);
            };
            project.inputs.insert(path.to_owned(), value.to_owned());
        }
        Ok((project, warnings))
    }

    fn to_bytes(&self) -> Result<Vec<u8>, String> {
        let lines: Vec<String> =
            self.inputs.iter().map(|(path, value)| format!("{path} = {value}\n")).collect();
        Ok(format!("invented\n{}", lines.concat()).into_bytes())
    }

    fn name(&self) -> &str {
        self.name
    }

    fn choices(&self) -> &Choices {
        &self.choices
    }

    fn edited(&self, _: &Choice, path: &str, text: &str) -> Result<Self, String> {
        let Some((number, unit)) = text.trim().split_once(' ') else {
            return Err("give a number and its unit, such as 0.082 m2".to_owned());
        };
        match number.parse::<f64>() {
            Ok(value) if value > 0.0 => {}
            Ok(value) => return Err(format!("{value} {unit} is not above zero")),
            Err(_) => return Err(format!("`{number}` is not a number")),
        }
        let mut edited = self.clone();
        edited.inputs.insert(path.to_owned(), text.trim().to_owned());
        Ok(edited)
    }

    fn revised(&self, revision: &Revision) -> Result<Self, String> {
        Err(format!("{}: the devices of the invented project stand as they are", revision.title()))
    }

    fn with_variant(&self, _proposal: &Proposal, _name: &str) -> Result<Self, String> {
        Err("an invented project has no variants to add".to_owned())
    }

    fn screen(&self, choice: &Choice, _: &AtomicBool, _: &(dyn Fn(Screen) + Sync)) -> Screen {
        let warmer = self.warmer(choice);
        let margins = tables::margins(self, choice);
        let worst = margins.first().map(|entry| WorstMargin {
            margin: format!("{} {}", signed(entry.margin.unwrap_or(f64::NAN), 1), entry.unit),
            required: format!("{:.1} {}", entry.required, entry.unit),
            where_: format!("{}, {}", entry.where_, entry.limit),
            case: entry.case.clone(),
            time_s: entry.time_s,
            standing: Standing::of(entry.margin, entry.required),
        });
        Screen {
            header: HeaderData { project: self.name.to_owned(), worst, outcome: None, notices: Vec::new() },
            strips: strips::all(self, warmer),
            temperatures: tables::temperatures(warmer),
            margins: app::views::margins::MarginGrid::new(margins),
            levers: match &choice.study {
                Study::Levers(place) => Some(Arc::new(tables::levers(self, place, false))),
                Study::FlownLevers(place) => Some(Arc::new(tables::levers(self, place, true))),
                _ => None,
            },
            ledger: tables::ledger(),
            machines: machines::machines(),
            levels: None,
            mission: (choice.case.point == "circuit mission")
                .then(|| Arc::new(flight::mission(self, warmer))),
            turnaround: Some(Arc::new(flight::turnaround(warmer))),
            failures: Some(Arc::new(flight::failures(warmer))),
            trades: match &choice.study {
                Study::Trades(question) => Some(Arc::new(trades::answer(question))),
                _ => None,
            },
            work: None,
            has_one_case: false,
            refused: None,
            own: Arc::default(),
            explanations: BTreeMap::from([("heat".to_owned(), explanation())]),
        }
    }
}

fn explanation() -> Explanation {
    let input = |name: &str, value: &str| (name.to_owned(), value.to_owned());
    Explanation {
        title: "Motor 1 jacket: heat to coolant".to_owned(),
        value: "3.96 kW".to_owned(),
        relation: "Turbulent flow in a tube (Gnielinski), then heat over a wetted wall at one temperature"
            .to_owned(),
        source: "Gnielinski 1976 (invented record: shows the form only)".to_owned(),
        inputs: vec![
            input("Reynolds number", "6 840"),
            input("Prandtl number", "11.2"),
            input("Nusselt number", "62.1"),
            input("Wetted area", "0.061 m²"),
        ],
        range: "Re 3 000 to 5 000 000, Pr 0.5 to 2 000".to_owned(),
        inside: Some(true),
        scatter: "±10 %".to_owned(),
    }
}
