//! A project from a few answers.

use crate::arguments::New;
use crate::page::{Outcome, Page};
use aircraft::starter::{
    Answers, Cooling, CraftKind, PackSize, Part, begin, parse_mass, parse_power, parse_shaft_speed,
};
use anyhow::anyhow;
use project::Existing;
use std::fmt::Write as _;

/// Writes the project, and says what to do next.
pub(crate) fn write(asked: &New) -> anyhow::Result<Page> {
    let answers = answers(asked)?;
    let node = begin(&answers)?;
    project::create(&asked.output, &node, existing(asked.overwrite))?;
    let file = asked.output.display();
    let mut text = format!("{} is written to {file}.\n", answers.name);
    for part in Part::ALL {
        if let Some(cooling) = answers.cooling(part) {
            writeln!(text, "  {:<9} {}", part.word(), cooling.summary())?;
        }
    }
    for part in answers.to_change() {
        writeln!(text, "To change before a margin can hold: {part}.")?;
    }
    text.push_str(
        "Every number that is not an answer is a placeholder, marked as assumed: replace it before you rely on a result.\n",
    );
    writeln!(text, "Next: heatledger margins {file}, or heatledger {file} for the window.")?;
    Ok(Page { text, outcome: Outcome::Fine })
}

/// What becomes of a file that is there already.
pub(crate) fn existing(overwrite: bool) -> Existing {
    if overwrite { Existing::Replace } else { Existing::Keep }
}

fn answers(asked: &New) -> anyhow::Result<Answers> {
    let usual = Answers::default();
    let kind = word("kind", &asked.kind, CraftKind::ALL, CraftKind::word)?;
    let cooling = |name: &str, text: &str| word(name, text, Cooling::ALL, Cooling::word);
    let stem = || asked.output.file_stem().map(|stem| stem.to_string_lossy().into_owned());
    Ok(Answers {
        name: asked.name.clone().or_else(stem).unwrap_or(usual.name),
        kind,
        motors: asked.motors,
        is_geared: !asked.direct,
        motor_power_w: parse_power(&asked.power)?,
        mass_kg: asked.mass.as_deref().map(parse_mass).transpose()?,
        motor_rad_s: asked.motor_speed.as_deref().map(parse_shaft_speed).transpose()?,
        output_rad_s: asked.output_speed.as_deref().map(parse_shaft_speed).transpose()?,
        pack: PackSize::parse(&asked.pack)?,
        stator: cooling("stator", &asked.stator)?,
        inverter: cooling("inverter", &asked.inverter)?,
        gearbox: cooling("gearbox", &asked.gearbox)?,
        pack_cooling: cooling("pack-cooling", &asked.pack_cooling)?,
    })
}

fn word<T: Copy, const N: usize>(
    name: &str,
    text: &str,
    all: [T; N],
    word: fn(T) -> &'static str,
) -> anyhow::Result<T> {
    all.into_iter()
        .find(|one| word(*one) == text)
        .ok_or_else(|| anyhow!("--{name} {text:?} is not known; write one of {}", all.map(word).join(", ")))
}
