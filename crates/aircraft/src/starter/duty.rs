//! Surroundings, steady points, the mission, failures and cases.

use super::answers::{Answers, CraftKind};
use super::drive::{BAY, SUPPLY};
use super::heat::{self, First};
use super::nodes::{answered, assumed, list, record, tagged, text};
use schema::Node;

const HOT: &str = "hot day";
const RAMP: &str = "hot ramp";
const STANDARD: &str = "standard day";
const COLD: &str = "cold morning";
const TAKE_OFF: &str = "take-off";
const CLIMB: &str = "climb";
const CRUISE: &str = "cruise";
const IDLE: &str = "ground idle";
const DESCENT: &str = "descent";
const FLIGHT: &str = "flight";

/// Part of the energy of the pack that the mission uses.
const USED: f64 = 0.75;
/// Outside air of the cold morning, degC.
const COLDEST_C: f64 = -10.0;
/// Take-off mass for each kilowatt at the output shaft, kg.
const AEROPLANE_KG_KW: f64 = 9.0;
/// The same for a rotorcraft, which needs more power to hover.
const ROTORCRAFT_KG_KW: f64 = 6.5;
/// State of charge at the beginning.
const FULL: f64 = 0.95;

/// Climb speed and cruise speed, kt.
fn speeds_kt(answers: &Answers) -> (f64, f64) {
    match answers.kind {
        CraftKind::Aeroplane => (75.0, 95.0),
        CraftKind::Rotorcraft => (50.0, 60.0),
    }
}

pub(super) fn conditions(answers: &Answers) -> Node {
    let climb_kt = speeds_kt(answers).0;
    let airspeed = || assumed(climb_kt, "kt", "climb speed, judgement");
    let day = |name: &str, day: &str, note: &str| {
        let fields = vec![
            ("name", text(name)),
            ("day", Node::word(day)),
            ("airspeed", airspeed()),
            ("note", text(note)),
        ];
        record("Condition", fields)
    };
    let ramp = record(
        "Condition",
        vec![
            ("name", text(RAMP)),
            ("day", Node::word("HotDay")),
            ("ramp_rise", assumed(5.0, "K", "3 to 8 K over sunlit asphalt, common practice, no source")),
            ("note", text("on the ground, no airspeed")),
        ],
    );
    list(vec![
        day(HOT, "HotDay", "14 CFR 27.1043 hot day at sea level"),
        ramp,
        day(STANDARD, "Standard", "1976 standard atmosphere at sea level"),
        record(
            "Condition",
            vec![
                ("name", text(COLD)),
                ("day", tagged("Fixed", assumed(COLDEST_C, "degC", "a winter morning, judgement"))),
                ("airspeed", airspeed()),
                ("note", text("cold coolant and oil, cold cells")),
            ],
        ),
    ])
}

/// The craft that answers to these, for the power of the cruise: mass by the installed power, the rest by mass.
pub(super) fn craft(answers: &Answers, first: &First) -> Node {
    let power_kw = 1e-3 * first.shaft_power_w;
    match answers.kind {
        CraftKind::Aeroplane => {
            let mass_kg = AEROPLANE_KG_KW * power_kw;
            let area_m2 = mass_kg / 60.0;
            let polar = record(
                "Polar",
                vec![
                    ("zero_lift", assumed(0.034, "", "light aeroplane with fixed gear, judgement")),
                    ("span", assumed((8.0 * area_m2).sqrt(), "m", "aspect ratio 8, judgement")),
                ],
            );
            let propeller = assumed(0.8, "", "0.75 to 0.88 in cruise, from memory");
            let fields = vec![
                ("mass", assumed(mass_kg, "kg", "9 kg for each kilowatt, judgement")),
                ("area", assumed(area_m2, "m2", "60 kg on each square metre, judgement")),
                ("drag", polar),
                ("propeller", tagged("Fixed", propeller)),
            ];
            record("Aeroplane", fields)
        }
        CraftKind::Rotorcraft => {
            let mass_kg = ROTORCRAFT_KG_KW * power_kw;
            let radius_m = (mass_kg / (17.0 * std::f64::consts::PI)).sqrt();
            let drag_m2 = 0.9 * (mass_kg / 1150.0).powf(2.0 / 3.0);
            let merit = assumed(0.7, "", "0.65 to 0.75 for light helicopters, from memory");
            let fields = vec![
                ("mass", assumed(mass_kg, "kg", "6.5 kg for each kilowatt, judgement")),
                ("radius", assumed(radius_m, "m", "17 kg on each square metre of the disc, judgement")),
                ("tip_speed", assumed(215.0, "m/s", "judgement")),
                ("hover", tagged("FigureOfMerit", merit)),
                (
                    "drag_area",
                    assumed(drag_m2, "m2", "0.9 m2 at 1150 kg, by mass to the power 2/3, judgement"),
                ),
            ];
            record("Rotorcraft", fields)
        }
    }
}

/// Ways from landing to ready.
pub(super) fn turnarounds(machines: &[String]) -> Node {
    let option = |name: &str, more: Vec<(&'static str, Node)>| {
        let mut fields = vec![("name", text(name))];
        fields.extend(more);
        record("TurnaroundOption", fields)
    };
    let mut options = vec![option("everything off", vec![])];
    if !machines.is_empty() {
        options.push(option("pumps and fans run", vec![("cooling", Node::word("Own"))]));
    }
    let swap =
        record("PackSwap", vec![("time", assumed(10.0, "min", "5 to 15 min, common practice, no source"))]);
    options.push(option("swap of the pack", vec![("swap", swap)]));
    let own = |machine: &String| {
        let speed = assumed(1.0, "", "full speed");
        record("PointSetting", vec![("name", text(machine.as_str())), ("speed", speed)])
    };
    let air = |celsius: f64| assumed(celsius, "degC", "range of the tables, judgement");
    let mut fields = vec![
        ("name", text("between flights")),
        ("after", text(FLIGHT)),
        ("conditions", list(vec![text(HOT), text(STANDARD)])),
        ("taxi", text(IDLE)),
        ("charge_to", assumed(0.9, "", "judgement")),
        ("own", list(machines.iter().map(own).collect())),
        ("options", list(options)),
        ("outside", list([0.0, 20.0, 40.0].map(air).into())),
        ("pack", list([25.0, 40.0].map(air).into())),
    ];
    fields.retain(|(name, _)| *name != "own" || !machines.is_empty());
    list(vec![record("Turnaround", fields)])
}

pub(super) fn points(answers: &Answers, first: &First) -> Node {
    let (climb_kt, cruise_kt) = speeds_kt(answers);
    let take_off_kt = if answers.kind == CraftKind::Aeroplane { 40.0 } else { 0.0 };
    let point = |name: &str, share: f64, speed: f64, airspeed_kt: f64, charge: f64, note: &str| {
        let power = if share == 1.0 {
            answered(1e-3 * first.shaft_power_w, "kW", "every motor at its power")
        } else {
            assumed(
                1e-3 * share * first.shaft_power_w,
                "kW",
                &format!("{:.0} % of full power, judgement", 100.0 * share),
            )
        };
        record(
            "Point",
            vec![
                ("name", text(name)),
                ("shaft_power", power),
                ("shaft_speed", assumed(speed * first.shaft_rpm, "rpm", "judgement")),
                ("airspeed", assumed(airspeed_kt, "kt", "judgement")),
                ("state_of_charge", assumed(charge, "", "judgement")),
                ("note", text(note)),
            ],
        )
    };
    let take_off = match answers.kind {
        CraftKind::Aeroplane => "full power of the take-off run, taken as lasting",
        CraftKind::Rotorcraft => "hover at full power, taken as lasting",
    };
    list(vec![
        point(TAKE_OFF, 1.0, 1.0, take_off_kt, 0.9, take_off),
        point(CLIMB, heat::CLIMB, 1.0, climb_kt, 0.8, "climb, taken as lasting"),
        point(CRUISE, heat::CRUISE, 0.9, cruise_kt, 0.5, "cruise"),
        point(IDLE, 0.04, 0.4, 0.0, 0.5, "taxi or run-up"),
        point(DESCENT, 0.2, 0.9, cruise_kt, 0.4, "descent and approach"),
    ])
}

pub(super) fn missions(first: &First) -> Node {
    // Everything but cruise, in minutes at full power: taxi, take-off, climb, descent, taxi.
    let others_min = 0.04 * 6.0 + 1.0 + heat::CLIMB * 4.0 + 0.2 * 4.0;
    let usable_min = USED * first.pack_energy_j() / first.bus_power_w / 60.0;
    let cruise_min = ((usable_min - others_min) / heat::CRUISE).clamp(2.0, 240.0);
    let segment = |name: &str, point: &str, minutes: f64, more: Vec<(&'static str, Node)>| {
        let duration =
            assumed(minutes, "min", if name == CRUISE { "75 % of the pack is used" } else { "judgement" });
        let mut fields = vec![("name", text(name)), ("duration", duration), ("point", text(point))];
        fields.extend(more);
        record("Segment", fields)
    };
    let ground = || vec![("ground", Node::flag(true))];
    let climb = |name: &str, point: &str, height_ft: f64| {
        let height = assumed(height_ft, "ft", "judgement");
        segment(name, point, 4.0, vec![("height", height)])
    };
    let segments = list(vec![
        segment("taxi out", IDLE, 3.0, ground()),
        segment(TAKE_OFF, TAKE_OFF, 1.0, vec![]),
        climb(CLIMB, CLIMB, 2000.0),
        segment(CRUISE, CRUISE, cruise_min, vec![("shaft_power", record("Estimated", vec![]))]),
        climb(DESCENT, DESCENT, 0.0),
        segment("taxi in", IDLE, 3.0, ground()),
    ]);
    let after = list(vec![
        climb("return after a failure", DESCENT, 0.0),
        segment("landing after a failure", DESCENT, 1.0, vec![]),
    ]);
    let warmer = record(
        "WarmPart",
        vec![
            ("component", text(BAY)),
            ("rise", assumed(15.0, "K", "a closed bay in the sun, common practice, no source")),
        ],
    );
    list(vec![record(
        "Mission",
        vec![
            ("name", text(FLIGHT)),
            ("start", record("Soaked", vec![("warmer", list(vec![warmer]))])),
            ("state_of_charge", assumed(FULL, "", "judgement")),
            ("segments", segments),
            ("after_failure", after),
            ("soak", assumed(60.0, "min", "after shutdown; an hour is common practice, no source")),
            (
                "note",
                text(
                    "Out and back at low height with the soak after shutdown; what is flown is for the owner to say.",
                ),
            ),
        ],
    )])
}

pub(super) fn failures(answers: &Answers, machines: &[String]) -> Node {
    let failure = |name: String, what: Node| record("Failure", vec![("name", text(name)), ("what", what)]);
    let mut all: Vec<Node> = machines
        .iter()
        .map(|machine| failure(format!("{machine} stops"), tagged("Stopped", text(machine.as_str()))))
        .collect();
    if !machines.is_empty() {
        all.push(failure(format!("{SUPPLY} lost"), tagged("SupplyLost", text(SUPPLY))));
    }
    if answers.motors > 1 {
        all.push(failure("motor 1 out".to_owned(), tagged("MotorOut", text("motor 1"))));
    }
    all.push(failure("string of cells out".to_owned(), tagged("StringsOut", Node::count(1))));
    list(all)
}

pub(super) fn cases() -> Node {
    let names = |names: &[&str]| list(names.iter().map(|name| text(*name)).collect());
    let group = |name: &str, conditions: &[&str], points: &[&str], missions: &[&str]| {
        record(
            "CaseGroup",
            vec![
                ("name", text(name)),
                ("conditions", names(conditions)),
                ("points", names(points)),
                ("missions", names(missions)),
            ],
        )
    };
    list(vec![
        group("in the air", &[HOT, STANDARD], &[TAKE_OFF, CLIMB, CRUISE], &[FLIGHT]),
        group("in the cold", &[COLD], &[CLIMB], &[FLIGHT]),
        group("on the ground", &[RAMP], &[IDLE], &[]),
    ])
}
