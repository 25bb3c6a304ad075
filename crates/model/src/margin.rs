//! Margins: how far each value of a case stays from its limit.

mod start;

pub use start::StartBound;

use crate::assembly::{CircuitPart, Outside, Situation, hot_cell_rise_k};
use crate::evidence::{self, RequiredBy};
use crate::height;
use crate::pump_inlet::REQUIRED_SHARE;
use crate::rating;
use crate::result::{CaseResult, ComponentResult, Margin, MarginKind, StationResult};
use aircraft::records::component::Bound;
use aircraft::records::device::Side;
use aircraft::records::powertrain::{Bus, Motor, MotorLosses};
use media::Liquid;
use solver::Fluid;

/// All margins of a solved case, worst reserve first.
pub fn margins(
    situation: &Situation<'_>,
    result: &CaseResult,
    outside: &Outside,
    loops: &[CircuitPart],
) -> Vec<Margin> {
    let mut margins = Vec::new();
    component_margins(situation, result, &mut margins);
    station_margins(situation, result, &mut margins);
    liquid_margins(situation, result, outside, loops, &mut margins);
    inlet_margins(result, &mut margins);
    rating_margins(situation, result, &mut margins);
    converter_margins(situation, result, &mut margins);
    junction_margins(situation, result, &mut margins);
    margins
        .extend(result.electric.as_ref().and_then(|electric| height::margin(situation, electric, outside)));
    leave_out_unjudged(situation, &mut margins);
    margins.sort_by(Margin::worst_first);
    margins
}

fn signed(bound: &Bound, value: f64, limit: f64) -> (MarginKind, f64) {
    match bound {
        Bound::Maximum => (MarginKind::Maximum, limit - value),
        Bound::Minimum => (MarginKind::Minimum, value - limit),
    }
}

fn component_margins(situation: &Situation<'_>, result: &CaseResult, margins: &mut Vec<Margin>) {
    let policy = &situation.project.policy;
    let used = rating::of_case(situation);
    let pack_cells = match situation.project.powertrain.as_ref().map(|powertrain| &powertrain.bus) {
        Some(Bus::Pack(pack)) => pack.cells.as_str(),
        _ => "",
    };
    for (component, state) in situation.project.components.iter().zip(&result.components) {
        for limit in rating::in_force(&component.limits, used) {
            let above_k = if state.name == pack_cells { hot_cell_k(situation, result, state) } else { 0.0 };
            let value = match (&limit.bound, limit.on_hot_spot) {
                (Bound::Maximum, true) => state.hot_spot_k + above_k,
                (Bound::Maximum, false) => state.temperature_k() + above_k,
                (Bound::Minimum, _) => state.coldest_k(),
            };
            let limit_value = limit.value.si();
            let (kind, margin) = signed(&limit.bound, value, limit_value);
            let (required, required_by) =
                evidence::required(limit.required.as_ref(), component.credibility.as_ref(), policy);
            margins.push(Margin {
                place: state.name.clone(),
                limit: limit.name.as_str().to_owned(),
                kind,
                value,
                limit_value,
                nominal_limit: None,
                margin,
                required,
                required_by,
                source: limit.source.clone(),
                owner: limit.owner.clone(),
            });
        }
    }
}

/// Rise of the hottest cell above its group, K. A pack whose numbers no cell can have is not assembled in the first place.
fn hot_cell_k(situation: &Situation<'_>, result: &CaseResult, state: &ComponentResult) -> f64 {
    let current_a = result.electric.as_ref().map_or(0.0, |electric| electric.bus_current_a);
    hot_cell_rise_k(situation, current_a, state.temperature_k()).ok().flatten().unwrap_or(0.0)
}

fn station_margins(situation: &Situation<'_>, result: &CaseResult, margins: &mut Vec<Margin>) {
    let policy = &situation.project.policy;
    let used = rating::of_case(situation);
    for (spec, state) in situation.project.loops.iter().zip(&result.loops) {
        for limit in rating::in_force(&spec.limits, used) {
            let Some(station) = state.stations.iter().find(|s| s.name == limit.device) else { continue };
            let value = match limit.side {
                Side::Inlet => station.temperature_in_k,
                Side::Outlet => station.temperature_out_k,
            };
            let limit_value = limit.value.si();
            let (kind, margin) = signed(&limit.bound, value, limit_value);
            let (required, required_by) =
                evidence::required(limit.required.as_ref(), spec.credibility.as_ref(), policy);
            margins.push(Margin {
                place: limit.device.clone(),
                limit: limit.name.as_str().to_owned(),
                kind,
                value,
                limit_value,
                nominal_limit: None,
                margin,
                required,
                required_by,
                source: limit.source.clone(),
                owner: limit.owner.clone(),
            });
        }
    }
}

/// Boiling at the local pressure, in the bulk and at the walls, and freezing in the surroundings.
fn liquid_margins(
    situation: &Situation<'_>,
    result: &CaseResult,
    outside: &Outside,
    loops: &[CircuitPart],
    margins: &mut Vec<Margin>,
) {
    for ((spec, state), part) in situation.project.loops.iter().zip(&result.loops).zip(loops) {
        let Fluid::Liquid(liquid) = &part.fluid else { continue };
        let worst = closest_to_boiling(liquid, &state.stations);
        if let Some((value, limit_value)) = worst {
            margins.push(Margin {
                place: spec.name.as_str().to_owned(),
                limit: "boiling".to_owned(),
                kind: MarginKind::Boiling,
                value,
                limit_value,
                nominal_limit: None,
                margin: limit_value - value,
                required: spec.boiling_margin.si(),
                required_by: RequiredBy::Loop,
                source: Some("vapour pressure of the coolant at the local absolute pressure".to_owned()),
                owner: None,
            });
        }
        if let (Some(nominal), Some(limit_value)) =
            (liquid.freezing_point_k(), liquid.warmest_freezing_point_k())
        {
            margins.push(Margin {
                place: spec.name.as_str().to_owned(),
                limit: "freezing".to_owned(),
                kind: MarginKind::Freezing,
                value: outside.air_k,
                limit_value,
                nominal_limit: Some(nominal),
                margin: outside.air_k - limit_value,
                required: spec.freezing_margin.si(),
                required_by: RequiredBy::Loop,
                source: Some(freezing_source(liquid, nominal, limit_value)),
                owner: None,
            });
        }
    }
}

/// What the inlet of each running pump has above boiling, against its need.
fn inlet_margins(result: &CaseResult, margins: &mut Vec<Margin>) {
    for station in result.loops.iter().flat_map(|state| &state.stations) {
        let Some(inlet) = &station.inlet else { continue };
        let Some(need_pa) = inlet.need_pa else { continue };
        let above = if inlet.for_dissolved_air {
            "total pressure less 5 kPa for dissolved air (no vapour pressure is known)"
        } else {
            "total pressure above the vapour pressure of the liquid"
        };
        margins.push(Margin {
            place: station.name.clone(),
            limit: "inlet pressure".to_owned(),
            kind: MarginKind::PumpInlet,
            value: inlet.available_pa,
            limit_value: need_pa,
            nominal_limit: None,
            margin: inlet.available_pa - need_pa,
            required: REQUIRED_SHARE * need_pa,
            required_by: RequiredBy::Need,
            source: Some(format!("{above}, against the need of the pump at its flow and speed")),
            owner: None,
        });
    }
}

/// Hottest temperature and boiling point at the device where they are closest, K; none for a liquid without a vapour law.
///
/// The boiling point, a root to be searched, rises with pressure: a place that is no hotter under no less pressure than another is
/// not the closest. Where the law does not cover a place that rules out others, every place is looked at.
fn closest_to_boiling(liquid: &Liquid, stations: &[StationResult]) -> Option<(f64, f64)> {
    let places: Vec<Wetted> = stations.iter().map(Wetted::of).collect();
    let boiling = |place: &Wetted| liquid.boiling_point_k(place.min_pa).map(|k| (place.hottest_k, k));
    let leading = places.iter().enumerate().filter(|(index, place)| {
        !places.iter().enumerate().any(|(other, rival)| rival.rules_out(place, other < *index))
    });
    let closest =
        |all: Vec<(f64, f64)>| all.into_iter().reduce(|a, b| if b.1 - b.0 < a.1 - a.0 { b } else { a });
    match leading.map(|(_, place)| boiling(place)).collect::<Option<Vec<_>>>() {
        Some(leading) => closest(leading),
        None => closest(places.iter().filter_map(boiling).collect()),
    }
}

/// What decides how close the liquid in a device is to boiling.
struct Wetted {
    /// Least absolute pressure, Pa.
    min_pa: f64,
    /// Hottest of liquid and walls, K.
    hottest_k: f64,
}

impl Wetted {
    fn of(station: &StationResult) -> Self {
        let liquid_k = station.temperature_in_k.max(station.temperature_out_k);
        Self {
            min_pa: station.pressure_in_pa.min(station.pressure_out_pa),
            hottest_k: station.walls_k.iter().copied().fold(liquid_k, f64::max),
        }
    }

    /// Whether this one boils before another for certain; of equals the first.
    fn rules_out(&self, other: &Self, is_first: bool) -> bool {
        let is_no_better = self.min_pa <= other.min_pa && self.hottest_k >= other.hottest_k;
        is_no_better && (is_first || self.min_pa < other.min_pa || self.hottest_k > other.hottest_k)
    }
}

/// Both freezing points in words: what the law says, and the warm end of other sources that is judged.
fn freezing_source(liquid: &Liquid, nominal_k: f64, judged_k: f64) -> String {
    let spread_k = judged_k - nominal_k;
    if spread_k > 0.0 {
        format!(
            "{:.1} degC by {}; other sources up to {spread_k:.1} K warmer, so {:.1} degC is judged",
            nominal_k - 273.15,
            liquid.source(),
            judged_k - 273.15
        )
    } else {
        liquid.source().to_owned()
    }
}

/// What each motor does against the rating it is judged by.
fn rating_margins(situation: &Situation<'_>, result: &CaseResult, margins: &mut Vec<Margin>) {
    let (Some(powertrain), Some(electric)) = (&situation.project.powertrain, &result.electric) else {
        return;
    };
    let used = rating::of_case(situation);
    for (motor, state) in powertrain.motors.iter().zip(&electric.motors) {
        let Some(rating) = motor.rating(used) else { continue };
        let source = |input: Option<&str>| input.or(rating.power.source()).map(str::to_owned);
        let mut judge = |what: &str, kind, value: f64, limit_value: f64, source| {
            margins.push(rating::rated(&state.name, rating, what, kind, value, limit_value, source));
        };
        judge("power", MarginKind::Rating, state.shaft_power_w, rating.power.si(), source(None));
        if let Some(torque) = &rating.torque {
            judge("torque", MarginKind::RatedTorque, state.torque_nm, torque.si(), source(torque.source()));
        }
        if let Some(speed) = &rating.speed {
            judge("speed", MarginKind::RatedSpeed, state.speed_rad_s, speed.si(), source(speed.source()));
        }
    }
}

/// The hotter of switch and diode of each inverter against the limits of its junctions.
fn junction_margins(situation: &Situation<'_>, result: &CaseResult, margins: &mut Vec<Margin>) {
    let (Some(powertrain), Some(electric)) = (&situation.project.powertrain, &result.electric) else {
        return;
    };
    let policy = &situation.project.policy;
    let used = rating::of_case(situation);
    for (motor, state) in powertrain.motors.iter().zip(&electric.reading.drives) {
        let Some(junction) = &motor.junction else { continue };
        let base = result.components.iter().find(|component| component.name == motor.inverter);
        let part = situation.project.components.iter().find(|part| part.name.as_str() == motor.inverter);
        let stated = part.and_then(|part| part.credibility.as_ref());
        // a bridge without current is as warm as what it sits on
        let hottest_k = state.point.and_then(|point| point.junction).map(|point| point.hottest_k());
        let coldest_k = base.map_or(f64::NAN, ComponentResult::coldest_k);
        let Some(hottest_k) = hottest_k.or(base.map(ComponentResult::temperature_k)) else { continue };
        for limit in rating::in_force(&junction.limits, used) {
            let value = if limit.bound == Bound::Maximum { hottest_k } else { coldest_k };
            let (kind, margin) = signed(&limit.bound, value, limit.value.si());
            let (required, required_by) = evidence::required(limit.required.as_ref(), stated, policy);
            margins.push(Margin {
                place: junction_of(motor),
                limit: limit.name.as_str().to_owned(),
                kind,
                value,
                limit_value: limit.value.si(),
                nominal_limit: None,
                margin,
                required,
                required_by,
                source: limit.source.clone(),
                owner: limit.owner.clone(),
            });
        }
    }
}

/// What the junctions of a motor's inverter are called.
pub fn junction_of(motor: &Motor) -> String {
    format!("{} inverter junction", motor.name.as_str())
}

/// Nothing is said about a motor whose short carries a current that nobody knows.
fn leave_out_unjudged(situation: &Situation<'_>, margins: &mut Vec<Margin>) {
    for motor in unjudged_shorts(situation) {
        let parts = [&motor.winding, &motor.iron, &motor.rotor, &motor.inverter];
        margins.retain(|margin| !parts.contains(&&margin.place) && margin.place != junction_of(motor));
    }
}

/// Motors with a short of a winding or inverter whose inductance is not stated.
pub fn unjudged_shorts<'a>(situation: &Situation<'a>) -> impl Iterator<Item = &'a Motor> {
    let motors = situation.project.powertrain.iter().flat_map(|powertrain| &powertrain.motors);
    let situation = *situation;
    motors.filter(move |motor| {
        let knows = matches!(&motor.losses, MotorLosses::Machine(machine) if machine.inductance.is_some());
        !knows && situation.shorted_sets(motor, u8::MAX) > 0
    })
}

/// Output of each converter against its rating.
fn converter_margins(situation: &Situation<'_>, result: &CaseResult, margins: &mut Vec<Margin>) {
    let (Some(powertrain), Some(electric)) = (&situation.project.powertrain, &result.electric) else {
        return;
    };
    for (converter, state) in powertrain.converters.iter().zip(&electric.converters) {
        let Some(rating) = &converter.rating else { continue };
        margins.push(Margin {
            place: state.name.clone(),
            limit: "output".to_owned(),
            kind: MarginKind::Rating,
            value: state.output_w,
            limit_value: rating.si(),
            nominal_limit: None,
            margin: rating.si() - state.output_w,
            required: 0.0,
            required_by: RequiredBy::Nothing,
            source: rating.source().map(str::to_owned),
            owner: None,
        });
    }
}

#[cfg(test)]
mod tests {
    use super::closest_to_boiling;
    use crate::result::StationResult;
    use media::Liquid;
    use proptest::prelude::*;

    fn station((pressure_pa, temperature_k, wall_k): (f64, f64, f64)) -> StationResult {
        StationResult {
            name: String::new(),
            kind: "pipe",
            branch: Vec::new(),
            mass_flow_kg_s: 0.1,
            volume_flow_m3_s: 1e-4,
            temperature_in_k: temperature_k,
            temperature_out_k: temperature_k - 1.0,
            pressure_in_pa: pressure_pa + 500.0,
            pressure_out_pa: pressure_pa,
            friction_pa: 500.0,
            climb_pa: 0.0,
            inlet: None,
            heat_w: 0.0,
            power_w: 0.0,
            setting: f64::NAN,
            conductance_w_k: 0.0,
            walls_k: vec![wall_k],
        }
    }

    proptest! {
        /// The boiling points of all places, none left out. Some lie outside the vapour law.
        #[test]
        fn the_place_closest_to_boiling_is_that_of_a_full_search(
            places in prop::collection::vec((-2e4_f64..4e5, 280.0_f64..380.0, 280.0_f64..400.0), 0..12)
        ) {
            let liquid = Liquid::named("ethylene-glycol:0.5vol").expect("a built-in liquid");
            let stations: Vec<_> = places.iter().copied().map(station).collect();
            let margins = places.iter().filter_map(|&(pressure_pa, temperature_k, wall_k)| {
                Some(liquid.boiling_point_k(pressure_pa)? - temperature_k.max(wall_k))
            });
            let least = margins.reduce(f64::min);
            let found = closest_to_boiling(&liquid, &stations).map(|(hottest_k, boiling_k)| boiling_k - hottest_k);
            prop_assert_eq!(found, least);
        }
    }
}
