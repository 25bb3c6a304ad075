//! Notices about ratings, shut paths and motors that are out, and about temperatures that stand in for hotter ones.

use super::named::Named;
use crate::assembly::{CircuitPart, DevicePart, Parts, Situation};
use crate::pump_inlet::{DISSOLVED_AIR_PA, PumpInlet};
use crate::result::Notice;
use crate::{margin, rating};
use aircraft::records::component::Bound;
use aircraft::records::powertrain::Bus;
use aircraft::records::project::Project;
use solver::{ElementReading, Fluid};

/// Kind of the notice of an inlet that is judged without a vapour pressure.
pub const DISSOLVED_AIR: &str = "dissolved_air";
/// Whether a vapour pressure is known does not depend on the temperature, K.
const ANY_K: f64 = 300.0;
/// Share of the power of a machine that its casing must carry before the machine is named as one at a shut path.
const SHUT_PATH_SHARE: f64 = 0.2;
/// Heat through a casing that is not worth a word, W.
const SHUT_PATH_W: f64 = 1.0;

impl Named<'_> {
    /// A time limit that the case uses although a steady state lasts.
    pub(super) fn rating_notices(&self, notices: &mut Vec<Notice>) {
        let situation = self.naming.situation;
        let used = rating::of_case(situation);
        for motor in situation.project.powertrain.iter().flat_map(|p| &p.motors) {
            let Some(rating) = motor.rating(used) else { continue };
            let Some(duration) = &rating.duration else { continue };
            let uses = match rating.uses {
                Some(1) => ", once in a flight".to_owned(),
                Some(uses) => format!(", {uses} times in a flight"),
                None => String::new(),
            };
            let inspection =
                if rating.inspection { ", with an inspection before the next flight" } else { "" };
            notices.push(Notice {
                about: "",
                kind: "timed_rating",
                place: motor.name.as_str().to_owned(),
                message: format!(
                    "the rating {:?} is allowed for {}{uses}{inspection}; the steady state shows where lasting use would end",
                    rating.name.as_str(),
                    duration.text()
                ),
            });
        }
    }

    /// Pumps and fans that run against a shut path: their heat leaves through the casing, at a temperature that they may not bear.
    pub(super) fn shut_path_notices(&self, notices: &mut Vec<Notice>) {
        for device in self.naming.circuits().flat_map(CircuitPart::devices) {
            let Some(casing_w) = self.reading.casing_heat_w(device.element) else { continue };
            let ElementReading { power_w, outlet_k, mass_flow_kg_s, .. } =
                self.reading.element(device.element);
            if casing_w < SHUT_PATH_SHARE * power_w || casing_w < SHUT_PATH_W {
                continue;
            }
            notices.push(Notice {
                about: "",
                kind: "shut_path",
                place: device.name.clone(),
                message: format!(
                    "works against a shut path: {mass_flow_kg_s:.4} kg/s pass, {casing_w:.0} W leave through its casing, and what it \
                     holds reaches {:.0} degC; stop it, or open its path",
                    outlet_k - 273.15
                ),
            });
        }
    }

    /// Motors that turn without power, and shorts.
    pub(super) fn outage_notices(&self, notices: &mut Vec<Notice>) {
        let situation = self.naming.situation;
        let Some(read) = self.reading.electric() else { return };
        let motors = situation.project.powertrain.iter().flat_map(|powertrain| &powertrain.motors);
        for (motor, drive) in motors.zip(&read.drives) {
            let place = || motor.name.as_str().to_owned();
            if drive.drag_w > 0.0 && drive.speed_rad_s > 0.0 {
                let what = match drive.short_current_a {
                    Some(current_a) => format!("with {current_a:.0} A in its shorted winding"),
                    None => "without power".to_owned(),
                };
                notices.push(Notice {
                    about: "",
                    kind: "dragged_motor",
                    place: place(),
                    message: format!(
                        "turns with the gearbox {what}: the other motors supply {:.0} W, {:.2} N m; set freewheel: true if it stands still",
                        drive.drag_w,
                        drive.drag_w / drive.speed_rad_s
                    ),
                });
            }
        }
    }
}

/// What is not judged, and what stands in for something hotter: the same at every moment of a case.
pub(crate) fn standing_notices(situation: &Situation<'_>, parts: &Parts) -> Vec<Notice> {
    let unjudged = margin::unjudged_shorts(situation).map(|motor| Notice {
        about: "",
        kind: "not_judged",
        place: motor.name.as_str().to_owned(),
        message: "the current of its short is not known without machine parameters and an inductance: its temperatures are not judged, \
                  and what the others give for it is not counted"
            .to_owned(),
    });
    unjudged.chain(dissolved_air(parts)).chain(stand_ins(situation.project)).collect()
}

/// Pumps whose need is judged in a liquid whose vapour pressure is not known.
fn dissolved_air(parts: &Parts) -> impl Iterator<Item = Notice> {
    let known = |part: &&CircuitPart| match &part.fluid {
        Fluid::Liquid(liquid) => liquid.vapour_pressure_continued_pa(ANY_K).is_some(),
        Fluid::Air { .. } => true,
    };
    let unknown = parts.loops.iter().filter(move |part| !known(part));
    let pumps = unknown.flat_map(|part| {
        let is_judged = |device: &&DevicePart| device.inlet.as_ref().is_some_and(PumpInlet::has_need);
        part.devices().into_iter().filter(is_judged).collect::<Vec<_>>()
    });
    pumps.map(|pump| Notice {
        about: "",
        kind: DISSOLVED_AIR,
        place: pump.name.clone(),
        message: format!(
            "no vapour pressure is known of its liquid: {:.0} kPa of its inlet pressure are held back for dissolved air",
            1e-3 * DISSOLVED_AIR_PA
        ),
    })
}

/// Limits that are held against a mean temperature because nothing hotter is stated: one notice for all of them.
fn stand_ins(project: &Project) -> Option<Notice> {
    let powertrain = project.powertrain.as_ref();
    let pack = match powertrain.map(|powertrain| &powertrain.bus) {
        Some(Bus::Pack(pack)) => Some(pack),
        _ => None,
    };
    let mut parts = Vec::new();
    let mut spots = Vec::new();
    for component in &project.components {
        let name = component.name.as_str();
        let is_limited = component.limits.iter().any(|limit| limit.bound == Bound::Maximum);
        if !is_limited || component.hot_spot.is_some() {
            continue;
        }
        match pack.filter(|pack| pack.cells == name) {
            Some(pack) if pack.hot_cell.is_some() => {}
            Some(_) => parts.push(format!("the mean cell of {name} for the hottest (hot_cell)")),
            None => spots.push(name),
        }
    }
    if !spots.is_empty() {
        parts.push(format!("the mean temperature of {} for the hottest spot (hot_spot)", spots.join(", ")));
    }
    let motors = powertrain.iter().flat_map(|powertrain| &powertrain.motors);
    let bases: Vec<&str> =
        motors.filter(|motor| motor.junction.is_none()).map(|motor| motor.name.as_str()).collect();
    if !bases.is_empty() {
        parts.push(format!(
            "the baseplate of the inverter of {} for its junctions (junction)",
            bases.join(", ")
        ));
    }
    (!parts.is_empty()).then(|| Notice {
        about: "",
        kind: "mean_for_hottest",
        place: "limits".to_owned(),
        message: format!("not stated, so one stands in for the other: {}", parts.join("; ")),
    })
}
