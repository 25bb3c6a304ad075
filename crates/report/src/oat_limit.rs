//! The outside-air limit as a table and as JSON.

use crate::json::{Origin, margin, with};
use crate::{Table, celsius};
use media::atmosphere::{self, Day};
use serde_json::{Value, json};
use std::fmt::Write as _;
use studies::oat_limit::{Binding, OatPoint, Reach, dips};

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
pub fn sheet(project: &str, variant: &str, points: &[OatPoint]) -> String {
    let mut text =
        format!("{project}, variant {variant}: highest outside air at which every required margin holds\n\n");
    text.push_str(&limits(points).text());
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
pub fn limits(points: &[OatPoint]) -> Table {
    let rows = shown(points).into_iter().map(row).collect();
    let head = ["altitude", "limit", "hot day", "spare", "limited by", "case"];
    Table::new("outside-air limit", &head, &[0, 1, 2, 3], rows)
}

fn row(point: &OatPoint) -> Vec<String> {
    let hot_k = hot_day_k(point.pressure_altitude_m);
    let limit = match point.reach {
        Reach::UpTo(oat_k) => format!("{:.1} degC", celsius(oat_k)),
        Reach::AtLeast(oat_k) => format!("above {:.0} degC", celsius(oat_k)),
        Reach::Nowhere(from_k) => format!("none from {:.0} degC", celsius(from_k)),
    };
    let spare = match (point.reach.oat_k(), hot_k) {
        (Some(oat_k), Some(hot_k)) => {
            format!("{} {:+.1} K", if oat_k < hot_k { "SHORT" } else { "" }, oat_k - hot_k)
        }
        _ => "SHORT".to_owned(),
    };
    let binding = point.binding.as_ref();
    vec![
        format!("{:.0} ft{}", point.pressure_altitude_m / FOOT_M, if point.on_curve { "" } else { " (dip)" }),
        limit,
        hot_k.map_or_else(String::new, |hot_k| format!("{:.1} degC", celsius(hot_k))),
        spare,
        binding.map_or_else(String::new, words),
        binding.map_or_else(String::new, |binding| binding.case.to_string()),
    ]
}

fn words(binding: &Binding) -> String {
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
        Some((point, least_k)) => {
            let feet = point.pressure_altitude_m / FOOT_M;
            if least_k.is_finite() {
                let side = if least_k < 0.0 { "below" } else { "above" };
                format!("Least distance to the hot day: {:.1} K {side} it, at {feet:.0} ft\n", least_k.abs())
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
        Reach::UpTo(_) => "limit",
        Reach::AtLeast(_) => "beyond_range",
        Reach::Nowhere(_) => "nowhere",
    };
    let binding = point.binding.as_ref();
    json!({
        "pressure_altitude_m": point.pressure_altitude_m,
        "oat_K": point.reach.oat_k(),
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
