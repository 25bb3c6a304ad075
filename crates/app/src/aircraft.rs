//! A project as the subject of the window: solves on the worker and turns results into display data.

mod explain;
mod pages;

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use model::aircraft::project::Project;
use model::assembly::Situation;
use model::case;
use model::duty;
use model::result::{CaseResult, Status};
use model::schema::{Node, Path, Problem, Problems, Severity, set_input_text};
use model::variant::{self, BASE, Varied};

use crate::files::Finding;
use crate::subject::{Choice, Choices, Screen, Subject};
use crate::views::header::HeaderData;

/// A snapshot of a project: its tree, and the base design and every variant decoded from it.
#[derive(Debug, Clone)]
pub struct Aircraft {
    node: Arc<Node>,
    variants: Arc<Vec<Varied>>,
    choices: Arc<Choices>,
}

impl Aircraft {
    /// A project from its tree.
    ///
    /// # Errors
    /// The problems of the design or of one of its variants, a line each.
    pub fn new(node: Node) -> Result<Self, String> {
        Self::decoded(node).map_err(|problems| {
            let told = |p: &Problem| {
                if p.remedy.is_empty() { p.message.clone() } else { format!("{}; {}", p.message, p.remedy) }
            };
            problems.iter().map(told).collect::<Vec<String>>().join("\n")
        })
    }

    /// The base design and every variant of it.
    fn decoded(node: Node) -> Result<Self, Problems> {
        let base = variant::apply(&node, None)?;
        let names: Vec<String> = base.project.variants.iter().map(|v| v.name.as_str().to_owned()).collect();
        let mut variants = vec![base];
        for name in &names {
            variants.push(variant::apply(&node, Some(name))?);
        }
        let choices = choices(&variants[0].project, &names);
        Ok(Self { node: Arc::new(node), variants: Arc::new(variants), choices: Arc::new(choices) })
    }

    /// Tree of the project as it is now.
    pub fn node(&self) -> &Node {
        &self.node
    }

    fn varied(&self, choice: &Choice) -> &Varied {
        self.variants.iter().find(|v| v.name == choice.variant).unwrap_or(&self.variants[0])
    }
}

fn choices(project: &Project, variants: &[String]) -> Choices {
    let mut conditions: Vec<(String, Vec<String>)> = Vec::new();
    for (condition, case) in cases(project) {
        match conditions.iter_mut().find(|(name, _)| *name == condition) {
            Some((_, known)) if known.contains(&case) => {}
            Some((_, known)) => known.push(case),
            None => conditions.push((condition, vec![case])),
        }
    }
    Choices {
        variants: std::iter::once(BASE.to_owned()).chain(variants.iter().cloned()).collect(),
        conditions,
    }
}

/// Condition and the rest of the name of every case, in the order of the project.
fn cases(project: &Project) -> Vec<(String, String)> {
    let mut all = Vec::new();
    for group in &project.cases {
        for condition in &group.conditions {
            for point in &group.points {
                all.push((condition.clone(), point.clone()));
                for failure in &group.failures {
                    all.push((condition.clone(), format!("{point}/{failure}")));
                }
            }
        }
    }
    all.sort();
    all.dedup();
    // the order of the project, not of the alphabet
    let place = |condition: &str| project.conditions.iter().position(|c| c.name.as_str() == condition);
    all.sort_by_key(|(condition, _)| place(condition));
    all
}

/// One case by name; none if the name leads nowhere.
fn situation<'a>(project: &'a Project, condition: &str, rest: &str) -> Option<Situation<'a>> {
    let (point, failure) = match rest.split_once('/') {
        Some((point, failure)) => (point, Some(failure)),
        None => (rest, None),
    };
    Some(Situation {
        project,
        condition: project.conditions.iter().find(|c| c.name.as_str() == condition)?,
        point: project.points.iter().find(|p| p.name.as_str() == point)?,
        failure: match failure {
            Some(name) => Some(project.failures.iter().find(|f| f.name.as_str() == name)?),
            None => None,
        },
    })
}

/// Solves one case by name; none if the name leads nowhere.
fn solve(project: &Project, condition: &str, rest: &str) -> Option<Result<CaseResult, String>> {
    let situation = situation(project, condition, rest)?;
    Some(case::solve(&situation).map_err(|problem| format!("{}; {}", problem.message, problem.remedy)))
}

/// Problems as the window shows them, in the order of the text, none twice.
fn findings(mut problems: Problems, text: &str) -> Vec<Finding> {
    problems.sort_by_place();
    let mut all: Vec<Finding> = Vec::new();
    for problem in &problems {
        let place = problem.place.map(|place| (place.line, place.column));
        let line = place.and_then(|(line, _)| text.lines().nth(line.saturating_sub(1) as usize));
        let found = Finding {
            is_error: problem.severity == Severity::Error,
            place,
            path: problem.path.clone(),
            message: problem.message.clone(),
            remedy: problem.remedy.clone(),
            line: line.unwrap_or_default().trim().to_owned(),
        };
        if !all.contains(&found) {
            all.push(found);
        }
    }
    all
}

impl Subject for Aircraft {
    fn from_bytes(bytes: &[u8]) -> Result<(Self, Vec<Finding>), Vec<Finding>> {
        let plain = |message: String| {
            let is_error = true;
            vec![Finding { is_error, message, ..Finding::default() }]
        };
        let loaded = project::read(bytes).map_err(|error| plain(error.to_string()))?;
        if loaded.problems.has_errors() {
            // mistakes of meaning beside those of syntax, as far as the tree could be read
            let mut problems = loaded.problems;
            if let Some(found) = loaded.node.as_ref().and_then(|node| variant::apply(node, None).err()) {
                problems.append(found);
            }
            return Err(findings(problems, &loaded.text));
        }
        let node = loaded.node.ok_or_else(|| plain("there is nothing in the file".to_owned()))?;
        let aircraft = Self::decoded(node).map_err(|problems| findings(problems, &loaded.text))?;
        let mut warnings = model::validate::validate(&aircraft.variants[0].project);
        warnings.locate(&aircraft.node);
        Ok((aircraft, findings(warnings, &loaded.text)))
    }

    fn to_bytes(&self) -> Result<Vec<u8>, String> {
        if project::has_broken(&self.node) {
            return Err(project::ProjectError::Unreadable.to_string());
        }
        Ok(project::write(&self.node).into_bytes())
    }

    fn name(&self) -> &str {
        self.variants[0].project.name.as_str()
    }

    fn choices(&self) -> &Choices {
        &self.choices
    }

    fn edited(&self, _choice: &Choice, path: &str, text: &str) -> Result<Self, String> {
        let path = Path::parse(path).map_err(|error| error.to_string())?;
        let mut node = (*self.node).clone();
        set_input_text(&mut node, variant::project_shape(), &path, text)
            .map_err(|error| error.to_string())?;
        Self::new(node)
    }

    fn screen(&self, choice: &Choice, cancelled: &AtomicBool) -> Screen {
        let varied = self.varied(choice);
        let project = &varied.project;
        let mut results = Vec::new();
        let mut outcome = None;
        let mut shown = None;
        for (condition, rest) in cases(project) {
            if cancelled.load(Ordering::Relaxed) {
                return Screen::default();
            }
            let is_shown = condition == choice.condition && rest == choice.case;
            match solve(project, &condition, &rest) {
                Some(Ok(result)) => {
                    if is_shown {
                        shown = Some(results.len());
                    }
                    results.push(result);
                }
                Some(Err(message)) if is_shown => outcome = Some(message),
                Some(Err(_)) | None => {}
            }
        }
        let mut screen = Screen {
            header: HeaderData {
                project: project.name.as_str().to_owned(),
                worst: pages::worst(&results),
                outcome,
            },
            margins: pages::margins(&results),
            ..Screen::default()
        };
        if let Some(result) = shown.map(|index| &results[index]) {
            if result.status != Status::Solved {
                screen.header.outcome = result.notices.first().map(|n| format!("{}: {}", n.place, n.message));
            }
            // The case was solved, so that it can be put together; without its curves the page is still right.
            let duties = situation(project, &choice.condition, &choice.case)
                .and_then(|situation| duty::duties(situation, result).ok())
                .unwrap_or_default();
            screen.strips = pages::strips(varied, result, &duties);
            screen.temperatures = pages::temperatures(project, result);
            screen.ledger = pages::ledger(result);
            screen.explanations = explain::explanations(project, result);
        }
        screen
    }
}
