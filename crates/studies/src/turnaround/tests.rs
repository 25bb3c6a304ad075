//! A pack with one conductance to the outside air, or one cart, and nothing else that matters: every time follows by hand.

use super::setup::between;
use super::{TurnaroundResult, TurnaroundWish, turnarounds};
use crate::StudyError;
use aircraft::records::project::Project;
use model::design::decode;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

/// 300 kJ/K (300 kg of 1000 J/kgK), as practice has it. The mission begins with the pack at 55 degC and leaves it so.
const TEXT: &str = include_str!("../../fixtures/apron.ron");

fn project(text: &str) -> Project {
    let (node, problems) = project::parse(text.as_bytes());
    assert!(problems.is_empty(), "{problems}");
    decode(&node.expect("the text holds a project")).unwrap_or_else(|problems| panic!("{problems}"))
}

fn flown(project: &Project, wish: &TurnaroundWish) -> TurnaroundResult {
    let results =
        turnarounds(project, wish, &AtomicBool::new(false), |_, _| {}).expect("it can be put together");
    results.into_iter().next().expect("one condition")
}

fn near(computed: f64, by_hand: f64, share: f64) {
    assert!((computed / by_hand - 1.0).abs() < share, "{computed}, by hand {by_hand}");
}

/// Lumped pack: t = m c / G ln((T0 - Ta)/(T1 - Ta)) (practice.md section 12, number 9 and any textbook). The small loop and its coolant
/// at rest add about 1 kJ/K to 300.
#[test]
fn a_passive_pack_cools_along_the_exponential() {
    let result = flown(&project(TEXT), &TurnaroundWish::default());
    let wait_s = |outside_k: f64, pack_k: f64| {
        let cell = result.table.iter().find(|cell| {
            cell.option == "passive"
                && (cell.outside_k - outside_k).abs() < 1e-6
                && (cell.pack_k - pack_k).abs() < 1e-6
        });
        cell.expect("the cell is asked for").wait_s
    };
    let by_hand = |outside: f64| 3000.0 * ((55.0 - outside) / (40.0 - outside)).ln();
    near(wait_s(298.15, 328.15).expect("it cools"), by_hand(25.0), 0.01);
    near(wait_s(283.15, 328.15).expect("it cools"), by_hand(10.0), 0.01);
    assert_eq!(wait_s(298.15, 298.15), Some(0.0));
    assert_eq!(wait_s(318.15, 328.15), None, "outside air is above the start of the charge");
    assert_eq!(wait_s(298.15, 268.15), None, "no charge below freezing");
}

/// 300 kg x 1000 J/kgK x 15 K / 3.75 kW = 20 min (practice.md section 9), with the conductance to the air taken away.
#[test]
fn a_cart_at_its_ceiling_takes_heat_over_power() {
    let alone = TEXT.replace(r#"law: Conductance("100 W/K")"#, r#"law: Conductance("0.001 W/K")"#);
    let result = flown(&project(&alone), &TurnaroundWish::default());
    let cart = result.options.iter().find(|option| option.name == "cart").expect("the option exists");
    near(cart.times.cool_s, 1200.0, 0.03);
    assert!(cart.ready_s.is_some(), "{}", cart.outcome);
    near(cart.cart_energy_j, cart.cart_heat_j / 2.5, 1e-9);
}

/// A cart takes 10 kW from three groups in a row until the last is at 16 degC. 40 L/min of glycol carry 2.3 kW/K, so the coolant
/// warms by 4.3 K on its way and the first group is about two thirds of that colder, near 13 degC: below a start at 15 degC.
#[test]
fn a_charge_waits_for_the_coldest_cells_too() {
    let wait = |start_from: &str| {
        let text = TEXT
            .replace(r#"capacity: "300 kJ/K","#, r#"capacity: "300 kJ/K", segments: 3,"#)
            .replace(
                r#"supply: "15 degC", flow: "40 L/min", ceiling: "3.75 kW""#,
                r#"supply: "2 degC", flow: "40 L/min", ceiling: "10 kW""#,
            )
            .replace("start_to:", &format!("start_from: \"{start_from}\", start_to:"))
            .replace("cooling: Cart)", "cooling: Cart, cool_to: \"16 degC\")");
        let result = flown(&project(&text), &TurnaroundWish::default());
        let mut cells = result.table.into_iter().filter(|cell| cell.option == "cart");
        cells.find(|cell| (cell.outside_k - 298.15).abs() < 1e-6 && (cell.pack_k - 298.15).abs() < 1e-6)
    };
    let late = wait("15 degC").expect("the cell is asked for");
    assert_eq!((late.wait_s, late.outcome.as_str()), (None, "too cold: warm the pack to 15 degC"));
    let early = wait("10 degC").expect("the cell is asked for");
    assert!(early.wait_s.is_some_and(|wait_s| wait_s > 60.0), "{early:?}");
}

/// Linear open-circuit voltage 3.0 to 4.2 V: from 0.5 to 0.8 its mean is 3.78 V; 96 x 3.78 V x 0.3 x 100 Ah = 10.886 kWh, by hand.
#[test]
fn the_energy_is_charge_times_open_circuit_voltage() {
    let result = flown(&project(TEXT), &TurnaroundWish::default());
    let cart = result.options.iter().find(|option| option.name == "cart").expect("the option exists");
    assert!(cart.ready_s.is_some(), "{}", cart.outcome);
    near(cart.energy_j, 96.0 * 3.78 * 0.3 * 100.0 * 3600.0, 0.005);
    let swap = result.options.iter().find(|option| option.name == "swap").expect("the option exists");
    near(swap.ready_s.expect("a swap gets ready"), 300.0, 1e-6);
    near(swap.pack_at_ready_k, 293.15, 1e-4);
    assert!(swap.energy_j.abs() < 1e-9);
}

/// The pack departs and lands at the same temperature within a second, so the highest one is its limit less what is required:
/// 60 degC less 10 K.
#[test]
fn a_flight_that_adds_no_heat_departs_up_to_the_limit() {
    let result = flown(&project(TEXT), &TurnaroundWish::default());
    assert_eq!(result.departure.len(), 3);
    for limit in &result.departure {
        let pack_k = limit.pack_k.expect("a cold pack lands");
        assert!((pack_k - (333.15 - 10.0)).abs() < 0.3, "{limit:?}");
    }
}

/// Dew point at 30 degC and 90 % is 28.2 degC, at 25 degC and 50 % 13.9 degC (psychrometric tables, from memory).
#[test]
fn a_cart_below_the_dew_point_is_told() {
    let project = project(TEXT);
    assert!(flown(&project, &TurnaroundWish::default()).dew_notes.is_empty());
    let wish = TurnaroundWish { condition: Some("damp".to_owned()), ..TurnaroundWish::default() };
    let notes = flown(&project, &wish).dew_notes;
    assert!(notes[0].contains("below the dew point"), "{notes:?}");
}

#[test]
fn a_strange_condition_and_a_cancelled_study_say_so() {
    let project = project(TEXT);
    let strange = TurnaroundWish { condition: Some("nowhere".to_owned()), ..TurnaroundWish::default() };
    let never = AtomicBool::new(false);
    assert!(matches!(
        turnarounds(&project, &strange, &never, |_, _| {}),
        Err(StudyError::UnknownCase { .. })
    ));
    let told = AtomicUsize::new(0);
    let cancelled = turnarounds(&project, &TurnaroundWish::default(), &AtomicBool::new(true), |_, _| {
        told.fetch_add(1, Ordering::Relaxed);
    });
    assert!(matches!(cancelled, Err(StudyError::Cancelled)));
    assert!(told.load(Ordering::Relaxed) < 24, "it goes no further than what runs");
}

#[test]
fn a_table_is_held_at_its_ends() {
    let table = [(0.0, 3.0), (1.0, 4.0)];
    assert!((between(&table, 0.25) - 3.25).abs() < 1e-12);
    assert!((between(&table, 2.0) - 4.0).abs() < 1e-12);
    assert!((between(&table, -1.0) - 3.0).abs() < 1e-12);
}
