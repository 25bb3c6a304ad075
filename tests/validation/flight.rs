//! Power that flight asks for.

use super::record::{Allowed, Cited, Origin, Record};
use media::atmosphere::{self, Day};
use powertrain::flight::{
    DragLaw, HoverLoss, Propeller, Rotor, RotorData, RotorFlight, Wing, WingData, WingFlight, WingPower,
    disc_area_m2, ground_thrust_ratio, induced_climb_m_s, induced_hover_m_s, vertical_climb_m_s,
};

const POUND_N: f64 = 0.45359237 * 9.80665;
const FOOT_M: f64 = 0.3048;
const HP_W: f64 = 745.6999;

pub(crate) fn record() -> Record {
    let mut record = Record::new("Power in flight");
    hover(&mut record);
    tilted_rotor(&mut record);
    vertical_climb(&mut record);
    ground(&mut record);
    aeroplane(&mut record);
    mass(&mut record);
    record
}

fn rotor(radius_m: f64, figure_of_merit: f64) -> Rotor {
    Rotor::new(RotorData {
        radius_m,
        tip_speed_m_s: 200.0,
        induced_factor: 1.15,
        hover_loss: HoverLoss::FigureOfMerit { figure_of_merit },
        drag_area_m2: 0.8,
        down_load: 0.0,
        tail_rotor_hover: 0.0,
        tail_rotor_cruise: 0.0,
        min_power_w: 0.0,
    })
    .expect("a physical rotor")
}

fn hover_w(rotor: &Rotor, weight_n: f64, density_kg_m3: f64) -> f64 {
    let flight =
        RotorFlight { density_kg_m3, weight_n, airspeed_m_s: 0.0, climb_m_s: 0.0, rotor_height_m: None };
    rotor.power(&flight).expect("a physical flight").total_w()
}

fn density(day: &Day, feet: f64) -> f64 {
    atmosphere::at(day, feet * FOOT_M).expect("inside the range").density_kg_m3
}

fn hover(record: &mut Record) {
    let cited = Cited {
        source: "Hand calculation by momentum theory (trade facts, section 3)",
        what: "Hover of 14 000 N, R 5 m, figure of merit 0.70: standard and hot sea level, hot 8 000 ft",
        origin: Origin::Calculated,
    };
    let rotor = rotor(5.0, 0.70);
    let days = [
        (Day::Standard { offset_k: 0.0 }, 0.0, 170.6e3),
        (Day::HotDay27_1043, 0.0, 177.2e3),
        (Day::HotDay27_1043, 8e3, 200.3e3),
    ];
    for (day, feet, printed) in days {
        let power = hover_w(&rotor, 14_000.0, density(&day, feet));
        record.value(&cited, power, printed, Allowed::Within(51.0, "W"));
    }
}

fn tilted_rotor(record: &mut Record) {
    let cited = Cited {
        source: "Leishman, Principles of Helicopter Aerodynamics, example: 45 000 lb on two rotors of 38 ft, FM 0.75 (from memory)",
        what: "Hover: induced speed in ft/s, ideal and actual power per rotor in hp",
        origin: Origin::Memory,
    };
    let (weight, radius, density) = (22_500.0 * POUND_N, 19.0 * FOOT_M, 0.002378 * 515.3788);
    let induced = induced_hover_m_s(weight, density, disc_area_m2(radius));
    record.value(&cited, induced / FOOT_M, 64.58, Allowed::Digits(0.011));
    record.value(&cited, weight * induced / HP_W, 2642.0, Allowed::Digits(1.0));
    let power = hover_w(&rotor(radius, 0.75), weight, density);
    record.value(&cited, power / HP_W, 3522.0, Allowed::Digits(1.0));
}

fn vertical_climb(record: &mut Record) {
    let cited = Cited {
        source: "Textbook problem, thought to be of Houghton & Carpenter, recomputed (trade facts, section 12, example 13)",
        what: "Vertical climb, 170 N/m2, 600 kW of which 53 % useful: speed through the disc, climb, induced speed",
        origin: Origin::Memory,
    };
    let area = disc_area_m2(8.0);
    let (thrust, useful) = (170.0 * area, 0.53 * 600e3);
    let hover = induced_hover_m_s(thrust, 1.225, area);
    let climb = vertical_climb_m_s(useful, thrust, hover);
    let induced = induced_climb_m_s(hover, climb);
    record.value(&cited, climb + induced, 9.3035, Allowed::Digits(5.1e-5));
    record.value(&cited, climb, 1.845, Allowed::Digits(5.1e-4));
    record.value(&cited, induced, 7.458, Allowed::Digits(5.1e-4));
}

fn ground(record: &mut Record) {
    let cited = Cited {
        source: "Cheeseman & Bennett 1955, ARC R&M 3021, as in three public texts, worked by hand",
        what: "Thrust near the ground at the same power: 0.5, 1 and 1.5 radii",
        origin: Origin::Outside,
    };
    for (height, ratio) in [(0.5, 4.0 / 3.0), (1.0, 16.0 / 15.0), (1.5, 36.0 / 35.0)] {
        record.value(&cited, ground_thrust_ratio(height, 0.0), ratio, Allowed::Part(1e-9));
    }
}

fn aeroplane(record: &mut Record) {
    let cited = Cited {
        source: "Anderson, Introduction to Flight, example 6.1 (data as in public solution scripts; its chain of rounded numbers)",
        what: "2 950 lb, 174 ft2, 35.8 ft, CD0 0.025, e 0.8 at 200 ft/s: lift and drag coefficient, L/D, thrust in lb",
        origin: Origin::Outside,
    };
    let drag = DragLaw::Parabolic { zero_lift_drag: 0.025, oswald: 0.8, span_m: 35.8 * FOOT_M };
    let wing = WingData { area_m2: 174.0 * FOOT_M * FOOT_M, lift_coefficient_max: 1.6, drag };
    let flight = WingFlight {
        density_kg_m3: 0.002377 * 515.3788,
        weight_n: 2950.0 * POUND_N,
        airspeed_m_s: 200.0 * FOOT_M,
        climb_m_s: 0.0,
        extra_drag_area_m2: 0.0,
        tow: None,
    };
    let power = power(&wing, &flight);
    record.value(&cited, power.lift_coefficient, 0.357, Allowed::Digits(6e-4));
    record.value(&cited, power.drag_coefficient, 0.0319, Allowed::Digits(6e-5));
    record.value(&cited, power.lift_coefficient / power.drag_coefficient, 11.2, Allowed::Digits(0.051));
    record.value(&cited, power.thrust_n / POUND_N, 263.0, Allowed::Digits(1.0));
}

fn power(data: &WingData, flight: &WingFlight) -> WingPower {
    let propeller = Propeller::fixed(0.8).expect("a physical efficiency");
    let wing = Wing::new(data.clone()).expect("a physical aeroplane");
    wing.power(flight, &propeller).expect("a physical flight")
}

fn mass(record: &mut Record) {
    let cited = Cited {
        source: "Hand calculation (trade facts, section 7)",
        what: "Power of one more kilogram: level flight at 50 m/s and L/D 10, hover of the example",
        origin: Origin::Calculated,
    };
    let points = [(40.0, 10.0), (60.0, 10.0)];
    let drag = DragLaw::lift_to_drag_from_airspeeds(&points, 8e3, 1.225, 12.0).expect("a physical polar");
    let wing = WingData { area_m2: 12.0, lift_coefficient_max: 1.5, drag };
    let level = |mass_kg: f64| {
        let weight_n = 9.80665 * mass_kg;
        let flight = WingFlight {
            density_kg_m3: 1.225,
            weight_n,
            airspeed_m_s: 50.0,
            climb_m_s: 0.0,
            extra_drag_area_m2: 0.0,
            tow: None,
        };
        power(&wing, &flight).total_w()
    };
    record.value(&cited, level(801.0) - level(800.0), 61.0, Allowed::Within(0.51, "W"));
    let rotor = rotor(5.0, 0.70);
    let rise =
        hover_w(&rotor, 14_000.0 + 0.5 * 9.80665, 1.225) - hover_w(&rotor, 14_000.0 - 0.5 * 9.80665, 1.225);
    record.value(&cited, rise, 179.0, Allowed::Within(0.51, "W"));
}
