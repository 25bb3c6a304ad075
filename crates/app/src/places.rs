//! Everything on the pages that can be searched for by name, and what shows it.

use crate::command::{Command, Page};
use crate::screen::Screen;
use crate::views::find::Hit;

/// Everything on the pages that has a name.
pub(crate) fn places(screen: &Screen) -> Vec<Hit> {
    let mut all = Vec::new();
    for page in &screen.strips {
        let strip = &page.strip.name;
        let show = |more: Option<Command>| -> Vec<Command> {
            [Command::Show(Page::Loops), Command::ShowStrip(strip.clone())].into_iter().chain(more).collect()
        };
        all.push(Hit { name: strip.clone(), what: "loop or duct".to_owned(), commands: show(None) });
        for row in &page.table.rows {
            let mark = || show(Some(Command::SelectDevice(row.name.clone())));
            all.push(Hit {
                name: row.name.clone(),
                what: format!("{} in {strip}", row.kind),
                commands: mark(),
            });
            all.extend(row.inputs.iter().map(|input| Hit {
                name: format!("{}, {}", row.name, input.label),
                what: format!("{} in {strip}", input.text),
                commands: mark(),
            }));
        }
    }
    let mut last = None;
    for row in &screen.temperatures.rows {
        if last != Some(&row.component) {
            all.push(Hit {
                name: row.component.clone(),
                what: "component".to_owned(),
                commands: vec![Command::Show(Page::Temperatures)],
            });
        }
        last = Some(&row.component);
    }
    all.extend(screen.margins.cases.iter().map(|case| Hit {
        name: case.to_string(),
        what: "case".to_owned(),
        commands: vec![Command::JumpTo { case: case.clone(), time_s: None }],
    }));
    all
}
