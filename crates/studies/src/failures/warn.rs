//! Temperatures that warn of failures.

use super::action::TimesToLand;
use super::alert::{Rise, Sensing};
use super::outcome::{Alert, FailureAlert, FailureOutcome};
use super::search::{Base, Struck};
use aircraft::records::project::Project;

/// Warnings of one failure: the lowest over all moments that were tried.
pub(super) fn failure_alerts(base: &Base<'_>, tried: &[Struck], landing: TimesToLand) -> Vec<FailureAlert> {
    let mut alerts = Vec::new();
    for (index, sensor) in base.case.project.sensors.iter().enumerate() {
        let sensing = Sensing::of(sensor);
        let normal = readings_k(base, index, &sensing);
        let mut found: Option<(Option<f64>, Option<f64>)> = None;
        for struck in tried {
            let Some((passed_s, limit_k)) = struck.hold.passed_at(&sensor.at) else { continue };
            let first_k = normal.get(struck.sample).copied().unwrap_or(struck.hold.sensors_k[index][0]);
            let times_s = &struck.hold.times_s;
            let readings_k = sensing.readings_k(times_s, &struck.hold.sensors_k[index], first_k);
            let rise = Rise { times_s, readings_k: &readings_k, passed_s, limit_k };
            let here =
                (sensing.warning_k(&rise, landing.soon_s), sensing.warning_k(&rise, landing.at_once_s));
            let (amber, red) = found.unwrap_or(here);
            found = Some((lower(amber, here.0), lower(red, here.1)));
        }
        if let Some((amber_k, red_k)) = found {
            let (sensor, place) = (sensor.name.as_str().to_owned(), sensor.at.clone());
            alerts.push(FailureAlert { sensor, place, amber_k, red_k });
        }
    }
    alerts
}

/// The lower of two; a moment of which nothing warns in time leaves nothing.
fn lower(a: Option<f64>, b: Option<f64>) -> Option<f64> {
    Some(a?.min(b?))
}

/// What a sensor reads in the mission without failure; it begins settled.
fn readings_k(base: &Base<'_>, sensor: usize, sensing: &Sensing) -> Vec<f64> {
    let true_k = &base.trace.sensors_k[sensor];
    true_k.first().map_or_else(Vec::new, |first| sensing.readings_k(&base.trace.times_s, true_k, *first))
}

/// Warnings of all failures.
pub(super) fn alerts(project: &Project, bases: &[Base<'_>], outcomes: &[FailureOutcome]) -> Vec<Alert> {
    let mut all = Vec::new();
    for (index, sensor) in project.sensors.iter().enumerate() {
        let sensing = Sensing::of(sensor);
        let limits = bases.iter().filter_map(|base| base.trace.limit_at(&sensor.at));
        let Some(limit_k) = limits.min_by(f64::total_cmp) else { continue };
        let normal = bases.iter().flat_map(|base| readings_k(base, index, &sensing));
        let normal_k = normal.fold(f64::NEG_INFINITY, f64::max);
        let own = || {
            let named =
                outcomes.iter().map(|o| (o, o.alerts.iter().find(|a| a.sensor == sensor.name.as_str())));
            named.filter_map(|(outcome, alert)| alert.map(|alert| (outcome, alert)))
        };
        let (plain_red_k, plain_amber_k) = sensing.plain_k(limit_k);
        let red_k = own().filter_map(|(_, alert)| alert.red_k).fold(plain_red_k, f64::min);
        let amber_k = own().filter_map(|(_, alert)| alert.amber_k).fold(plain_amber_k, f64::min).min(red_k);
        let too_late = own().filter(|(_, alert)| alert.red_k.is_none());
        all.push(Alert {
            sensor: sensor.name.as_str().to_owned(),
            place: sensor.at.clone(),
            limit_k,
            normal_k,
            amber_k,
            red_k,
            is_derived: own().any(|(_, alert)| alert.red_k.is_some()),
            is_nuisance: sensing.is_nuisance(amber_k, normal_k),
            is_red_nuisance: sensing.is_nuisance(red_k, normal_k),
            too_late: too_late.map(|(outcome, _)| outcome.case.to_string()).collect(),
        });
    }
    all
}
