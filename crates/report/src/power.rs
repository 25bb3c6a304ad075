//! One motor out as sheets, page and JSON: the power that is there, what flight takes, what can be done.

use crate::json::{Origin, with};
use crate::sheet::{Cell, Column, Digits, Row, Sheet, texts};
use serde_json::{Value, json};
use std::fmt::Write as _;
use studies::power::{Can, Ceiling, HighestAltitude, Judged, Needs, PowerRow, PowerStudy, RatedPower};
use units::Kind;

const FOOT_M: f64 = 0.3048;
/// What stands where nothing has failed.
const SOUND: &str = "no failure";

/// Words for what can be done.
fn words(name: &str) -> &str {
    match name {
        "hover_oge" => "hover away from the ground",
        "hover_ige" => "hover near the ground",
        "level" => "level flight",
        "climb_100_ft_min" => "climb 100 ft/min",
        "climb_150_ft_min" => "climb 150 ft/min",
        other => other,
    }
}

/// What can be done, in words, with its time.
pub fn can(needs: &Needs) -> String {
    let one = |can: &Can| match can.for_s {
        Some(for_s) => format!("{} for {for_s:.0} s", words(can.name)),
        None => words(can.name).to_owned(),
    };
    // a climb says that level flight can be held, a hover that it can be held near the ground
    let is_implied = |can: &&Can| {
        let implies = |other: &Can| other.for_s == can.for_s;
        let by = match can.name {
            "hover_ige" => "hover_oge",
            "level" => "climb_100_ft_min",
            "climb_100_ft_min" => "climb_150_ft_min",
            _ => return false,
        };
        needs.can.iter().any(|other| other.name == by && implies(other))
    };
    let all: Vec<String> = needs.can.iter().filter(|can| !is_implied(can)).map(one).collect();
    if all.is_empty() { "no level flight".to_owned() } else { all.join(", ") }
}

/// Name of a failure, or that there is none.
pub fn failure(row: &PowerRow) -> &str {
    row.failure.as_deref().unwrap_or(SOUND)
}

/// A page of text.
pub fn page(project: &str, variant: &str, study: &PowerStudy) -> String {
    let mut text =
        format!("{project}, variant {variant}: power that is there with one motor or winding set out\n\n");
    text.push_str(&texts(&sheets(study)));
    for note in notes(study) {
        let _infallible = writeln!(text, "{note}");
    }
    text
}

/// What is to be said beside the sheets: what is asked for and not met first.
pub fn notes(study: &PowerStudy) -> Vec<String> {
    let mut notes: Vec<String> = study.judged.iter().filter(|judged| !judged.is_met()).map(short).collect();
    if notes.is_empty() && !study.judged.is_empty() {
        notes.push(format!("All that is asked for is met ({} cases)", study.judged.len()));
    }
    let basis = if study.is_basis_stated {
        "Held against what the project states of its basis (policy.one_motor_out)"
    } else {
        "The project states no basis (policy.one_motor_out): held against level flight"
    };
    notes.push(format!("{basis}. The certification basis decides what is asked for."));
    if let Some(charge) = study.state_of_charge {
        notes.push(format!(
            "Pack at {:.0} % charge, the lowest of points and missions, at the end of its life, and its sag as cold as the missions have it.",
            100.0 * charge
        ));
    }
    notes.push(
        "A rating with a time limit is taken as if it lasted; greatest masses and altitudes are those of the rating that lasts longest."
            .to_owned(),
    );
    notes.extend(study.missing.iter().map(|missing| format!("Missing: {missing}")));
    notes
}

fn short(judged: &Judged) -> String {
    let needed = judged.needed_w.map_or("-".to_owned(), |needed_w| format!("{:.1} kW", 1e-3 * needed_w));
    format!(
        "SHORT {}, {}, {:.0} kg: {} takes {needed}, {:.1} kW are there{}",
        judged.condition,
        judged.failure,
        judged.mass_kg,
        ability(judged),
        1e-3 * judged.there_w,
        judged.for_s.map_or(String::new(), |for_s| format!(" for {for_s:.0} s"))
    )
}

fn ability(judged: &Judged) -> String {
    match judged.climb_m_s {
        Some(climb_m_s) => format!("a climb of {:.0} ft/min", climb_m_s * 60.0 / FOOT_M),
        None => words(&judged.what).to_owned(),
    }
}

fn names() -> [Column; 3] {
    [
        Column::text("condition"),
        Column::text("failure"),
        Column::number("mass_kg", Kind::Mass, "kg", 0).head("mass").in_cell(),
    ]
}

fn named(row: &PowerRow) -> [Cell; 3] {
    [(&row.condition).into(), failure(row).into(), row.mass_kg.into()]
}

fn kilowatt(key: &str, head: &str) -> Column {
    Column::number(key, Kind::Power, "kW", 1).head(head)
}

/// The power that is there; what flight takes and what can be done; ceilings.
pub fn sheets(study: &PowerStudy) -> Vec<Sheet> {
    let mut all = vec![there(study)];
    if study.rows.iter().any(|row| row.needs.is_some()) {
        all.extend([abilities(study), ceilings(study)]);
    }
    all.retain(|sheet| !sheet.rows.is_empty());
    all
}

fn there(study: &PowerStudy) -> Sheet {
    let columns = [
        Column::text("condition"),
        Column::text("failure"),
        Column::text("rating").or("-"),
        kilowatt("power_W", "power").or("-"),
        Column::time("time_s").head("for").digits(Digits::Minutes).or("always"),
        Column::text("limited_by").head("taken by"),
    ];
    // the mass changes nothing about the power that is there
    let mass_kg = study.rows.first().and_then(|row| row.mass_kg);
    let rows = study.rows.iter().filter(|row| row.mass_kg == mass_kg).flat_map(|row| {
        row.ratings.iter().map(move |rated| -> Row {
            vec![
                (&row.condition).into(),
                failure(row).into(),
                Cell::said(rated.name.as_str()),
                rated.power_w.into(),
                Cell::time(rated.time_s),
                (&rated.limited_by).into(),
            ]
        })
    });
    Sheet::new("power at the output shaft", columns).with_rows(rows)
}

fn abilities(study: &PowerStudy) -> Sheet {
    let feet_min = |key: &str, head: &str| Column::number(key, Kind::Speed, "ft/min", 0).head(head).signed();
    let columns = names().into_iter().chain([
        kilowatt("greatest_W", "there").or("-"),
        kilowatt("hover_oge_W", "hover").or("-"),
        kilowatt("hover_ige_W", "near ground").or("-"),
        kilowatt("level_W", "level"),
        Column::number("level_speed_m_s", Kind::Speed, "kt", 0).head("at").in_cell(),
        kilowatt("climb_W", "100 ft/min"),
        feet_min("rate_of_climb_m_s", "climb").or("autorotation"),
        feet_min("lasting_climb_m_s", "lasting").or("autorotation"),
        Column::number("greatest_mass_kg", Kind::Mass, "kg", 0).head("level at most").or("none"),
        Column::text("can"),
    ]);
    let rows = study.rows.iter().filter_map(|row| {
        let needs = row.needs.as_ref()?;
        let rest: [Cell; 10] = [
            row.greatest().and_then(|rated| rated.power_w).into(),
            needs.hover_oge_w.into(),
            needs.hover_ige_w.into(),
            needs.level_w.into(),
            needs.level_speed_m_s.into(),
            needs.climbs_w[0].into(),
            needs.rate_of_climb_m_s.into(),
            needs.lasting_climb_m_s.into(),
            needs.greatest_mass_kg[0].into(),
            can(needs).into(),
        ];
        Some(named(row).into_iter().chain(rest).collect())
    });
    Sheet::new("what flight takes, and what can be done", columns).with_rows(rows)
}

fn ceilings(study: &PowerStudy) -> Sheet {
    let columns = names().into_iter().chain([
        Column::text("for"),
        Column::text("rating").or("-"),
        Column::flag("above", ["above", ""]).before(" "),
        Column::number("pressure_altitude_m", Kind::Length, "ft", 0).head("up to").or("nowhere"),
    ]);
    let rows = study.ceilings.iter().map(|ceiling| {
        let (above, altitude_m) = reach(ceiling);
        vec![
            (&ceiling.condition).into(),
            ceiling.failure.as_deref().unwrap_or(SOUND).into(),
            Some(ceiling.mass_kg).into(),
            ceiling.what.into(),
            Cell::said(ceiling.rating.as_str()),
            above.into(),
            altitude_m.into(),
        ]
    });
    Sheet::new("greatest pressure altitudes on the day of each condition", columns).with_rows(rows)
}

fn reach(ceiling: &Ceiling) -> (bool, Option<f64>) {
    match ceiling.reach {
        HighestAltitude::UpTo(at_m) => (false, Some(at_m)),
        HighestAltitude::Above(at_m) => (true, Some(at_m)),
        HighestAltitude::Nowhere => (false, None),
    }
}

/// Result of `power`.
pub fn json(origin: &Origin<'_>, study: &PowerStudy) -> Value {
    let value = with(origin.head(), "rows", study.rows.iter().map(row).collect());
    let value = with(value, "ceilings", study.ceilings.iter().map(ceiling).collect());
    let value = with(value, "judged", study.judged.iter().map(judged).collect());
    let value = with(value, "basis_stated", json!(study.is_basis_stated));
    let value = with(value, "state_of_charge", json!(study.state_of_charge));
    with(value, "missing", json!(study.missing))
}

fn row(row: &PowerRow) -> Value {
    let needs = row.needs.as_ref();
    let greatest = row.greatest();
    json!({
        "condition": row.condition,
        "pressure_altitude_m": row.pressure_altitude_m,
        "mass_kg": row.mass_kg,
        "failure": row.failure,
        "ratings": row.ratings.iter().map(rated).collect::<Value>(),
        "limited_by": greatest.map(|rated| &rated.limited_by),
        "hover_oge_W": needs.and_then(|needs| needs.hover_oge_w),
        "hover_ige_W": needs.and_then(|needs| needs.hover_ige_w),
        "level_W": needs.map(|needs| needs.level_w),
        "level_speed_m_s": needs.map(|needs| needs.level_speed_m_s),
        "climb_W": needs.map(|needs| needs.climbs_w[0]),
        "climb_150_ft_min_W": needs.map(|needs| needs.climbs_w[1]),
        "rate_of_climb_m_s": needs.and_then(|needs| needs.rate_of_climb_m_s),
        "lasting_rate_of_climb_m_s": needs.and_then(|needs| needs.lasting_climb_m_s),
        "can": needs.map_or_else(|| json!([]), |needs| needs.can.iter().map(|can| can.name).collect()),
        "for_s": needs.and_then(shortest_s),
        "can_for_s": needs.map(|needs| {
            needs.can.iter().map(|can| (can.name.to_owned(), json!(can.for_s))).collect::<serde_json::Map<_, _>>()
        }),
        "greatest_mass_kg": needs.map(|needs| json!({
            "level": needs.greatest_mass_kg[0],
            "100 ft/min": needs.greatest_mass_kg[1],
            "150 ft/min": needs.greatest_mass_kg[2],
        })),
    })
}

/// How long all that can be done can be done, s; none without a limit.
fn shortest_s(needs: &Needs) -> Option<f64> {
    needs.can.iter().filter_map(|can| can.for_s).min_by(f64::total_cmp)
}

fn rated(rated: &RatedPower) -> Value {
    json!({ "name": rated.name, "W": rated.power_w, "time_s": rated.time_s, "limited_by": rated.limited_by })
}

fn ceiling(ceiling: &Ceiling) -> Value {
    let (above, altitude_m) = reach(ceiling);
    json!({
        "condition": ceiling.condition,
        "failure": ceiling.failure,
        "mass_kg": ceiling.mass_kg,
        "for": ceiling.what,
        "rating": ceiling.rating,
        "pressure_altitude_m": altitude_m,
        "above": above,
    })
}

fn judged(judged: &Judged) -> Value {
    json!({
        "condition": judged.condition,
        "failure": judged.failure,
        "mass_kg": judged.mass_kg,
        "what": judged.what,
        "climb_m_s": judged.climb_m_s,
        "for_s": judged.for_s,
        "needed_W": judged.needed_w,
        "there_W": judged.there_w,
        "met": judged.is_met(),
    })
}
