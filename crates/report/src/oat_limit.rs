//! The outside-air limit as a table and as JSON.

use crate::celsius;
use crate::json::{Origin, margin, with};
use crate::sheet::texts;
use crate::sheet::{Cell, Column, Row, Sheet};
use media::atmosphere::{self, Day};
use serde_json::{Value, json};
use std::fmt::Write as _;
use studies::oat_limit::{HighestAir, OatBinding, OatPoint, dips};
use units::Kind;

const FOOT_M: f64 = 0.3048;

/// Hot day of 14 CFR 27.1043 at a pressure altitude, K; none above what the rule covers.
pub fn hot_day_k(pressure_altitude_m: f64) -> Option<f64> {
    atmosphere::at(&Day::HotDay27_1043, pressure_altitude_m).ok().map(|air| air.temperature_k)
}

/// The points that are shown: those of the curve, and half-way ones that lie below the line between their neighbours.
fn shown(points: &[OatPoint]) -> Vec<&OatPoint> {
    let low = dips(points);
    points.iter().filter(|point| point.on_curve || low.contains(point)).collect()
}

/// The curve, the hot day beside it, and what limits it.
pub fn page(project: &str, variant: &str, points: &[OatPoint]) -> String {
    let mut text =
        format!("{project}, variant {variant}: highest outside air at which every required margin holds\n\n");
    text.push_str(&texts(&sheets(points)));
    for point in points {
        notes(point, &mut text);
    }
    text.push_str(&verdict(points));
    text.push_str(
        "Steady cases and missions, each with the outside air at one temperature at every height it reaches.\n\
         Limits on the cold side are not judged here. Hot day: 14 CFR 27.1043(b).\n",
    );
    text
}

/// The limit at every altitude, with the hot day beside it.
pub fn sheets(points: &[OatPoint]) -> Vec<Sheet> {
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
    vec![Sheet::new("outside-air limit", columns).with_rows(shown(points).into_iter().map(row))]
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

/// Whether the curve stays above the hot day.
fn verdict(points: &[OatPoint]) -> String {
    let spare = |point: &OatPoint| Some(point.reach.oat_k()? - hot_day_k(point.pressure_altitude_m)?);
    let least = points
        .iter()
        .map(|point| (point, spare(point).unwrap_or(f64::NEG_INFINITY)))
        .min_by(|a, b| a.1.total_cmp(&b.1));
    match least {
        Some((point, min_k)) => {
            let feet = point.pressure_altitude_m / FOOT_M;
            if min_k.is_finite() {
                let side = if min_k < 0.0 { "below" } else { "above" };
                format!("Least distance to the hot day: {:.1} K {side} it, at {feet:.0} ft\n", min_k.abs())
            } else {
                format!("At {feet:.0} ft there is no outside air at which every margin holds\n")
            }
        }
        None => "No altitude was asked for\n".to_owned(),
    }
}

/// Result of `oat-limit`.
pub fn json(origin: &Origin<'_>, points: &[OatPoint]) -> Value {
    with(origin.head(), "points", shown(points).into_iter().map(point).collect())
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
