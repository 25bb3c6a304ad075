use super::*;
use numerics::Curve;
use proptest::prelude::*;
use std::f64::consts::PI;
use testkit::{assert_close, assert_within};

const ISA: f64 = 1.225;

/// The piston aeroplane of Anderson's examples in SI: 2950 lb, 35.8 ft span, 174 ft2, C_D0 0.025, e 0.8.
fn textbook() -> (Wing, WingFlight) {
    let wing = WingData {
        area_m2: 174.0 * 0.3048 * 0.3048,
        lift_coefficient_max: 1.6,
        drag: DragLaw::Parabolic { zero_lift_drag: 0.025, oswald: 0.8, span_m: 35.8 * 0.3048 },
    };
    let flight = WingFlight {
        density_kg_m3: 0.002377 * 515.3788,
        weight_n: 2950.0 * 4.448_222,
        airspeed_m_s: 200.0 * 0.3048,
        climb_m_s: 0.0,
        extra_drag_area_m2: 0.0,
        tow: None,
    };
    (Wing::new(wing).unwrap(), flight)
}

fn fixed(efficiency: f64) -> Propeller {
    Propeller::fixed(efficiency).unwrap()
}

#[test]
fn thrust_required_of_the_textbook_aeroplane() {
    // Anderson, Introduction to Flight, example 6.1 (from memory): at 200 ft/s and sea level C_L 0.357, C_D 0.0319, L/D 11.2,
    // thrust 263 lb (chain of rounded numbers: to 1 lb)
    let (wing, flight) = textbook();
    let power = wing.power(&flight, &fixed(0.8)).unwrap();
    assert_within("C_L", power.lift_coefficient, 0.357, 6e-4);
    assert_within("C_D", power.drag_coefficient, 0.0319, 6e-5);
    assert_within("L/D", power.lift_coefficient / power.drag_coefficient, 11.2, 0.051);
    assert_within("lb", power.thrust_n / 4.448_222, 263.0, 1.0);
    // shaft power: thrust times speed over 0.8
    assert_close("W", power.total_w(), power.thrust_n * flight.airspeed_m_s / 0.8, 1e-12);
    assert_close("useful", power.useful_w(), power.airframe_w, 1e-15);
    assert_eq!(power.chain()[10].value, power.total_w());
}

#[test]
fn best_glide_of_the_textbook_aeroplane() {
    // greatest L/D = sqrt(pi e AR/C_D0)/2 = 13.6 at C_L = sqrt(pi e AR C_D0); glide angle 4.2 deg (Anderson, from memory)
    let (wing, flight) = textbook();
    let aspect = 35.8 * 35.8 / 174.0;
    let lift = (PI * 0.8 * aspect * 0.025_f64).sqrt();
    let best = 0.5 * (PI * 0.8 * aspect / 0.025_f64).sqrt();
    assert_within("L/D", best, 13.6, 0.051);
    let speed = (2.0 * flight.weight_n / (flight.density_kg_m3 * wing.data().area_m2 * lift)).sqrt();
    let glide = WingFlight { airspeed_m_s: speed, ..flight };
    let sink = wing.glide_sink_m_s(&glide).unwrap();
    assert_within("degrees", (sink / speed).asin().to_degrees(), 4.2, 0.05);
    // no power at that descent, a surplus below, power above
    let at = |climb_m_s| wing.power(&WingFlight { climb_m_s, ..glide }, &fixed(0.8)).unwrap();
    assert_within("W", at(-sink).total_w(), 0.0, 1e-6);
    let steep = at(-2.0 * sink);
    assert!(steep.total_w() == 0.0 && steep.surplus_w > 0.0 && steep.flags.contains(Flag::Glide));
    assert!(at(-0.9 * sink).total_w() > 0.0);
    // at best glide half of the drag is induced
    let level = at(0.0);
    assert_close("half", level.induced_w.unwrap(), 0.5 * level.airframe_w, 1e-9);
}

#[test]
fn least_power_is_at_three_parts_of_induced_drag() {
    // textbook: least power where C_D,induced = 3 C_D0
    let (wing, flight) = textbook();
    let aspect = 35.8 * 35.8 / 174.0;
    let lift = (3.0 * PI * 0.8 * aspect * 0.025_f64).sqrt();
    let speed = (2.0 * flight.weight_n / (flight.density_kg_m3 * wing.data().area_m2 * lift)).sqrt();
    let at = |airspeed_m_s| wing.power(&WingFlight { airspeed_m_s, ..flight }, &fixed(0.8)).unwrap();
    let least = at(speed);
    assert_close("3/4", least.induced_w.unwrap(), 0.75 * least.airframe_w, 1e-9);
    for factor in [0.95, 0.99, 1.01, 1.05] {
        assert!(at(factor * speed).total_w() > least.total_w(), "{factor}");
    }
}

#[test]
fn mass_costs_power_in_level_flight() {
    // trade facts, section 7: dP = g V/(L/D eta) = 61 W per kg at 50 m/s, L/D 10, 0.8
    let drag = DragLaw::LiftToDrag(Curve::new(&[(0.1, 10.0), (1.5, 10.0)]).unwrap());
    let wing = Wing::new(WingData { area_m2: 12.0, lift_coefficient_max: 1.5, drag }).unwrap();
    let power = |mass: f64| {
        let flight =
            WingFlight { weight_n: 9.80665 * mass, airspeed_m_s: 50.0, density_kg_m3: ISA, ..textbook().1 };
        wing.power(&flight, &fixed(0.8)).unwrap()
    };
    assert_within("W/kg", power(801.0).total_w() - power(800.0).total_w(), 61.0, 0.51);
    assert_eq!(power(800.0).induced_w, None);
}

#[test]
fn climb_and_tow_by_hand() {
    let (wing, flight) = textbook();
    let level = wing.power(&flight, &fixed(0.75)).unwrap();
    // climb: W V_c over the efficiency, drag falls by the cosine of the slope (0.2 %): 13,122.25 x 3 = 39,366.8 W
    let climb = wing.power(&WingFlight { climb_m_s: 3.0, ..flight }, &fixed(0.75)).unwrap();
    assert_within("climb", climb.climb_w, 39_366.8, 0.1);
    let more = climb.total_w() - level.total_w();
    assert_within("difference", more, 39_366.8 / 0.75, 0.002 * level.total_w());
    assert!(more < 39_366.8 / 0.75);
    // a glider of 4500 N and L/D 25 behind: 180 N x 60.96 m/s + 4500 x 3 = 10,972.8 + 13,500 W
    let tow = Tow::from_glide_ratio(4500.0, 25.0).unwrap();
    let towing = wing.power(&WingFlight { climb_m_s: 3.0, tow: Some(tow), ..flight }, &fixed(0.75)).unwrap();
    assert_close("tow", towing.tow_w, 24_472.8, 1e-9);
    assert_close("shaft", towing.total_w(), climb.total_w() + 24_472.8 / 0.75, 1e-12);
    // 0.1 m2 more drag: q = 0.5 x 1.225055 x 60.96^2 = 2276.24 Pa
    let gear = wing.power(&WingFlight { extra_drag_area_m2: 0.1, ..flight }, &fixed(0.75)).unwrap();
    assert_within("gear", gear.extra_drag_w, 227.624 * 60.96, 1.0);
}

#[test]
fn a_stall_is_flagged_and_stays_finite_down_to_rest() {
    let (wing, flight) = textbook();
    let stall = wing.stall_speed_m_s(flight.weight_n, flight.density_kg_m3);
    let at = |airspeed_m_s| wing.power(&WingFlight { airspeed_m_s, ..flight }, &fixed(0.7)).unwrap();
    assert!(at(1.001 * stall).flags.is_empty());
    let slow = at(0.9 * stall);
    assert!(slow.flags.contains(Flag::Stall));
    assert_eq!(slow.lift_coefficient, 1.6);
    let rest = at(0.0);
    assert_eq!((rest.total_w(), rest.thrust_n), (0.0, 0.0));
    assert!(rest.flags.contains(Flag::Stall) && rest.chain().iter().all(|step| step.value.is_finite()));
    // continuous at the stall
    assert_close("seam", at(1.000001 * stall).total_w(), at(0.999999 * stall).total_w(), 1e-5);
}

#[test]
fn a_measured_polar_by_airspeed_holds_at_other_weights() {
    // L/D 10, 12, 9 at 30, 40, 60 m/s for 10 kN: at 12.1 kN the same lift coefficients are flown 10 % faster
    let drag =
        DragLaw::lift_to_drag_from_airspeeds(&[(30.0, 10.0), (40.0, 12.0), (60.0, 9.0)], 10e3, ISA, 15.0)
            .unwrap();
    let wing = Wing::new(WingData { area_m2: 15.0, lift_coefficient_max: 1.8, drag }).unwrap();
    let flight =
        |weight_n, airspeed_m_s| WingFlight { weight_n, airspeed_m_s, density_kg_m3: ISA, ..textbook().1 };
    for (speed, ratio) in [(30.0, 10.0), (40.0, 12.0), (60.0, 9.0)] {
        let light = wing.power(&flight(10e3, speed), &fixed(0.8)).unwrap();
        assert_close("N", light.thrust_n, 10e3 / ratio, 1e-9);
        let heavy = wing.power(&flight(12.1e3, 1.1 * speed), &fixed(0.8)).unwrap();
        assert_close("N", heavy.thrust_n, 12.1e3 / ratio, 1e-9);
    }
    assert!(wing.power(&flight(10e3, 70.0), &fixed(0.8)).unwrap().flags.contains(Flag::PolarHeld));
    assert!(DragLaw::lift_to_drag_from_airspeeds(&[(40.0, 10.0), (30.0, 9.0)], 10e3, ISA, 15.0).is_err());
    assert!(DragLaw::lift_to_drag_from_airspeeds(&[(0.0, 10.0), (30.0, 9.0)], 10e3, ISA, 15.0).is_err());
}

#[test]
fn a_disc_propeller_at_rest_and_in_cruise() {
    // static thrust of an ideal disc T = (2 rho A P^2)^(1/3) (momentum theory): 100 kW, 2.8353 m2 (D 1.9 m), FM 0.7
    let area = disc_area_m2(0.95);
    let useful: f64 = 0.7 * 100e3;
    let thrust = (2.0 * ISA * area * useful * useful).cbrt();
    let cruise = CruisePoint { density_kg_m3: 1.0, airspeed_m_s: 60.0, thrust_n: 1000.0, efficiency: 0.82 };
    let disc = DiscPropeller::from_cruise(area, 0.7, &cruise).unwrap();
    let propeller = Propeller::Disc(disc);
    assert_close("rest", propeller.shaft_power_w(thrust, 0.0, ISA), 100e3, 1e-12);
    assert_close("cruise", propeller.shaft_power_w(1000.0, 60.0, 1.0), 60e3 / 0.82, 1e-12);
    assert!(disc.cruise_factor() > 0.82 && disc.cruise_factor() < 1.0);
    assert_eq!(propeller.shaft_power_w(0.0, 0.0, ISA), 0.0);
    assert_eq!(propeller.shaft_power_w(-5.0, 30.0, ISA), 0.0);
    // better than the ideal disc, 2/(1 + sqrt(1 + T/(q A))): refused
    let ideal = 2.0 / (1.0 + (1.0 + 1000.0 / (0.5 * 3600.0 * area)).sqrt());
    let above = CruisePoint { efficiency: ideal + 0.001, ..cruise };
    assert!(DiscPropeller::from_cruise(area, 0.7, &above).is_err());
    assert!(DiscPropeller::new(area, 1.2, 0.9).is_err() && Propeller::fixed(0.0).is_err());
}

#[test]
fn bad_flights_and_data_are_refused() {
    let (wing, flight) = textbook();
    for bad in [
        WingFlight { density_kg_m3: 0.0, ..flight },
        WingFlight { weight_n: f64::NAN, ..flight },
        WingFlight { airspeed_m_s: -1.0, ..flight },
        WingFlight { climb_m_s: 70.0, ..flight },
        WingFlight { climb_m_s: f64::NAN, ..flight },
        WingFlight { extra_drag_area_m2: -0.1, ..flight },
        WingFlight { tow: Some(Tow { weight_n: 0.0, drag_n: 1.0 }), ..flight },
    ] {
        assert!(wing.power(&bad, &fixed(0.8)).is_err(), "{bad:?}");
    }
    let data = wing.data().clone();
    assert!(Wing::new(WingData { area_m2: 0.0, ..data.clone() }).is_err());
    let drag = DragLaw::Parabolic { zero_lift_drag: 0.03, oswald: 1.2, span_m: 10.0 };
    assert!(Wing::new(WingData { drag, ..data }).is_err());
}

proptest! {
    #[test]
    fn shaft_power_rises_with_climb_weight_and_drag(
        speed in 28.0..80.0_f64, climb in -1.0..8.0_f64, weight in 8e3..14e3_f64, density in 0.7..1.3_f64,
    ) {
        let (wing, flight) = textbook();
        let flight = WingFlight { airspeed_m_s: speed, climb_m_s: climb, weight_n: weight, density_kg_m3: density, ..flight };
        let disc = Propeller::Disc(DiscPropeller::new(2.8, 0.7, 0.9).unwrap());
        let at = |flight: &WingFlight| wing.power(flight, &disc).unwrap();
        let power = at(&flight);
        let climbing = at(&WingFlight { climb_m_s: climb + 0.05, ..flight });
        let draggy = at(&WingFlight { extra_drag_area_m2: 0.05, ..flight });
        prop_assert!(climbing.total_w() >= power.total_w() && draggy.total_w() >= power.total_w());
        if climb >= 0.0 && !power.flags.contains(Flag::Stall) {
            let heavier = at(&WingFlight { weight_n: 1.001 * weight, ..flight });
            prop_assert!(heavier.total_w() > power.total_w());
        }
        prop_assert!(power.propeller_efficiency < 0.9 && power.surplus_w >= 0.0);
        prop_assert!((power.thrust_n * speed - power.useful_w()).abs() <= 1e-9 * power.total_w().max(1.0));
    }

    #[test]
    fn a_disc_never_beats_momentum_theory(
        thrust in 1.0..6000.0_f64, speed in 0.0..90.0_f64, density in 0.6..1.3_f64,
    ) {
        let disc = Propeller::Disc(DiscPropeller::new(2.8, 0.7, 0.88).unwrap());
        let hover = induced_hover_m_s(thrust, density, 2.8);
        let ideal = thrust * (speed + induced_climb_m_s(hover, speed));
        let power = disc.shaft_power_w(thrust, speed, density);
        prop_assert!(power >= ideal / 0.88 * (1.0 - 1e-12) && power <= ideal / 0.7 * (1.0 + 1e-12));
        prop_assert!(disc.shaft_power_w(1.01 * thrust, speed, density) > power);
        prop_assert!(disc.shaft_power_w(thrust, speed + 0.1, density) > power);
    }
}
