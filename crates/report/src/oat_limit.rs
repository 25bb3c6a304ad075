//! The outside-air limit as a table and as JSON.

use crate::celsius;
use crate::infeasible;
use crate::json::{Origin, margin, with};
use crate::sheet::{Cell, Column, Row, Sheet};
use serde_json::{Value, json};
use std::fmt::Write as _;
use studies::oat_limit::{HighestAir, HotDay, LimitOf, OatBinding, OatCurve, OatPoint, OatStudy, dips};
use units::Kind;

pub use studies::oat_limit::hot_day_k;

const FOOT_M: f64 = 0.3048;

/// The points that are shown: those of the curve, and half-way ones that lie below the line between their neighbours.
fn shown(points: &[OatPoint]) -> Vec<&OatPoint> {
    let low = dips(points);
    points.iter().filter(|point| point.on_curve || low.contains(point)).collect()
}

/// Every curve, the hot day beside it, and what limits it; then what is infeasible.
pub fn page(project: &str, variant: &str, study: &OatStudy) -> String {
    let mut text =
        format!("{project}, variant {variant}: highest outside air at which every required margin holds\n\n");
    if !study.is_whole() {
        let _infallible = writeln!(text, "INCOMPLETE, it was stopped: {}\n", study.missing);
    }
    for curve in &study.curves {
        let _infallible = writeln!(text, "{}", name(curve));
        text.push_str(&points_sheet(curve).text());
        for point in &curve.points {
            notes(point, &mut text);
        }
        text.push_str(&verdict(curve));
        if !curve.infeasible.is_empty() {
            let _infallible = writeln!(
                text,
                "SHORT whatever the outside air, and set apart ({}):",
                infeasible::tried(&curve.infeasible)
            );
            text.push_str(&infeasible::sheet("", &curve.infeasible).text());
        }
        text.push('\n');
    }
    if study.curves.is_empty() {
        text.push_str("There is no such case\n");
    }
    text.push_str(
        "Steady cases and missions, each with the outside air at one temperature at every height it reaches.\n\
         Limits on the cold side are not judged here. Hot day: 14 CFR 27.1043(b).\n",
    );
    text
}

/// What a curve is of, in words.
pub fn name(curve: &OatCurve) -> String {
    let of = match curve.of {
        LimitOf::Cooling => "cooling",
        LimitOf::Rating => "ratings (performance, not a limitation)",
    };
    format!("{} cases ({}), {of}", capital(curve.set.word()), curve.cases)
}

fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// The limit of each curve at every altitude, with the hot day beside it, and what is infeasible.
pub fn sheets(study: &OatStudy) -> Vec<Sheet> {
    let mut all = Vec::new();
    for curve in &study.curves {
        all.push(points_sheet(curve));
        if !curve.infeasible.is_empty() {
            let title = format!("{}: short whatever the outside air, set apart", name(curve));
            all.push(infeasible::sheet(&title, &curve.infeasible));
        }
    }
    all
}

fn points_sheet(curve: &OatCurve) -> Sheet {
    let kelvin = |key: &str, decimals| Column::number(key, Kind::Temperature, "degC", decimals).in_cell();
    let columns = [
        Column::number("pressure_altitude_m", Kind::Length, "ft", 0).head("altitude").in_cell(),
        Column::flag("dip", ["(dip)", ""]).after(" "),
        kelvin("oat_K", 1).head("limit"),
        Column::flag("beyond_range", ["above", ""]).after(""),
        kelvin("at_least_K", 0).after(" "),
        Column::flag("nowhere", ["none from", ""]).after(""),
        kelvin("none_from_K", 0).after(" "),
        kelvin("hot_day_K", 1).head("hot day"),
        Column::short(["SHORT ", " "]),
        Column::number("spare_K", Kind::TemperatureDifference, "K", 1).head("spare").signed().in_cell(),
        Column::number("shaft_power_W", Kind::Power, "kW", 1).head("at the shaft").in_cell(),
        Column::text("where").head("limited by"),
        Column::text("limit").after(", "),
        Column::text("case"),
    ];
    Sheet::new(name(curve), columns).with_rows(shown(&curve.points).into_iter().map(row))
}

fn row(point: &OatPoint) -> Row {
    let hot_k = hot_day_k(point.pressure_altitude_m);
    let spare_k = point.reach.oat_k().zip(hot_k).map(|(oat_k, hot_k)| oat_k - hot_k);
    let (mut up_to_k, mut at_least_k, mut from_k) = (None, None, None);
    match point.reach {
        HighestAir::UpTo(oat_k) => up_to_k = Some(oat_k),
        HighestAir::AtLeast(oat_k) => at_least_k = Some(oat_k),
        HighestAir::Nowhere(oat_k) => from_k = Some(oat_k),
    }
    let binding = point.binding.as_ref();
    vec![
        point.pressure_altitude_m.into(),
        (!point.on_curve).into(),
        up_to_k.into(),
        at_least_k.is_some().into(),
        at_least_k.into(),
        from_k.is_some().into(),
        from_k.into(),
        hot_k.into(),
        spare_k.is_none_or(|spare_k| spare_k < 0.0).into(),
        spare_k.into(),
        point.shaft_power_w.into(),
        binding.map_or(Cell::Absent, |binding| Cell::said(binding.place.as_str())),
        binding.map_or(Cell::Absent, |binding| Cell::said(binding.limit.as_str())),
        binding.map(|binding| binding.case.to_string()).into(),
    ]
}

fn words(binding: &OatBinding) -> String {
    if binding.place.is_empty() {
        return binding.limit.clone();
    }
    format!("{}, {}", binding.place, binding.limit)
}

fn notes(point: &OatPoint, text: &mut String) {
    let feet = point.pressure_altitude_m / FOOT_M;
    if let Some(message) =
        point.binding.as_ref().and_then(|binding| binding.message.as_ref()).filter(|_| point.on_curve)
    {
        let _infallible = writeln!(text, "{feet:.0} ft: {message}");
    }
    if let Some(again_k) = point.holds_again_k {
        let _infallible = writeln!(
            text,
            "{feet:.0} ft: the limiting case would hold again at {:.0} degC; the lower limit stands",
            celsius(again_k)
        );
    }
}

/// Whether the curve stays above the hot day; where it does not, up to which altitude the hot day is met.
fn verdict(curve: &OatCurve) -> String {
    if curve.cases == 0 {
        return "No case is left to draw a curve of\n".to_owned();
    }
    let spare = |point: &OatPoint| Some(point.reach.oat_k()? - hot_day_k(point.pressure_altitude_m)?);
    let least = curve
        .points
        .iter()
        .map(|point| (point, spare(point).unwrap_or(f64::NEG_INFINITY)))
        .min_by(|a, b| a.1.total_cmp(&b.1));
    let mut text = match least {
        Some((point, min_k)) => {
            let feet = point.pressure_altitude_m / FOOT_M;
            if min_k.is_finite() {
                let side = if min_k < 0.0 { "below" } else { "above" };
                format!("Least distance to the hot day: {:.1} K {side} it, at {feet:.0} ft\n", min_k.abs())
            } else {
                format!("At {feet:.0} ft there is no outside air at which every margin holds\n")
            }
        }
        None => "No altitude was searched\n".to_owned(),
    };
    if let Some(hot_day) = curve.hot_day {
        text.push_str(&hot_day_words(hot_day));
        text.push('\n');
    }
    text
}

/// Up to which altitude the hot day is met, in a sentence.
pub fn hot_day_words(hot_day: HotDay) -> String {
    // down to whole feet: at the altitude told it is met
    let feet = |altitude_m: f64| (altitude_m / FOOT_M + 1e-6).floor();
    match hot_day {
        HotDay::Throughout(altitude_m) => {
            format!("The hot day is met at every altitude looked at, up to {:.0} ft.", feet(altitude_m))
        }
        HotDay::UpTo(altitude_m) => {
            format!("SHORT: the hot day is met up to {:.0} ft, not above.", feet(altitude_m))
        }
        HotDay::Nowhere => "SHORT: the hot day is not met at the lowest altitude looked at.".to_owned(),
    }
}

/// Result of `oat-limit`.
pub fn json(origin: &Origin<'_>, study: &OatStudy) -> Value {
    let of = |curve: &OatCurve, value: Value| {
        with(with(value, "set", json!(curve.set.word())), "of", json!(curve.of.word()))
    };
    let points = study
        .curves
        .iter()
        .flat_map(|curve| shown(&curve.points).into_iter().map(|one| of(curve, point(one))));
    let infeasible = study
        .curves
        .iter()
        .flat_map(|curve| curve.infeasible.iter().map(|one| of(curve, infeasible::one(one))));
    let curves = study.curves.iter().map(|curve| {
        let met = match curve.hot_day {
            Some(HotDay::Throughout(_)) => Some("throughout"),
            Some(HotDay::UpTo(_)) => Some("up_to"),
            Some(HotDay::Nowhere) => Some("nowhere"),
            None => None,
        };
        let met_up_to_m = curve.hot_day.and_then(HotDay::met_up_to_m);
        of(curve, json!({ "cases": curve.cases, "hot_day": met, "hot_day_met_up_to_m": met_up_to_m }))
    });
    let head = with(origin.head(), "points", points.collect());
    let head = with(head, "curves", curves.collect());
    let head = with(head, "infeasible", infeasible.collect());
    let head = with(head, "is_whole", json!(study.is_whole()));
    with(head, "missing", json!(Some(&study.missing).filter(|missing| !missing.is_empty())))
}

fn point(point: &OatPoint) -> Value {
    let reach = match point.reach {
        HighestAir::UpTo(_) => "limit",
        HighestAir::AtLeast(_) => "beyond_range",
        HighestAir::Nowhere(_) => "nowhere",
    };
    let binding = point.binding.as_ref();
    json!({
        "pressure_altitude_m": point.pressure_altitude_m,
        "oat_K": point.reach.oat_k(),
        "shaft_power_W": point.shaft_power_w,
        "reach": reach,
        "on_curve": point.on_curve,
        "hot_day_K": hot_day_k(point.pressure_altitude_m),
        "limited_by": binding.map(words),
        "where": binding.map(|b| b.place.clone()),
        "limit": binding.map(|b| b.limit.clone()),
        "margin": binding.and_then(|b| b.margin.as_ref()).map(|m| margin(m, None)),
        "message": binding.and_then(|b| b.message.clone()),
        "case": binding.map(|b| b.case.to_string()),
        "holds_again_K": point.holds_again_k,
    })
}
