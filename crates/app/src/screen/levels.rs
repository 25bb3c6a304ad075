//! From the levels of the model to the window.

use model::assembly::Situation;
use model::levels::{self, Law, Level};
use model::result::CaseResult;

use crate::views::levels::{DeviceLevels, LawData, LevelRow};

/// The laws of a device at a case.
pub(super) fn device_levels(
    situation: Option<Situation<'_>>,
    result: &CaseResult,
    device: &str,
) -> DeviceLevels {
    let mut made =
        DeviceLevels { device: device.to_owned(), case: result.case.to_string(), ..DeviceLevels::default() };
    let Some(situation) = situation else {
        return without_steady_case(device);
    };
    match levels::laws_of(situation, result, device) {
        Ok(laws) => made.laws = laws.iter().map(law).collect(),
        Err(problem) => made.problem = format!("{}; {}", problem.message, problem.remedy),
    }
    made
}

/// What stands there while a mission is on screen.
pub(super) fn without_steady_case(device: &str) -> DeviceLevels {
    DeviceLevels {
        device: device.to_owned(),
        problem: "Fidelities are compared at a steady point: choose one as the case in the header."
            .to_owned(),
        ..DeviceLevels::default()
    }
}

pub(super) fn law(law: &Law) -> LawData {
    LawData {
        what: law.what.to_owned(),
        path: law.path.clone(),
        levels: law.levels.iter().map(|level| row(law, level)).collect(),
    }
}

fn row(law: &Law, level: &Level) -> LevelRow {
    LevelRow {
        name: level.name.to_owned(),
        result: law.result(level),
        is_used: level.is_used,
        doc: level.doc.trim().replace('`', ""),
        note: level.note.clone(),
        switch: law.switch(level),
    }
}
