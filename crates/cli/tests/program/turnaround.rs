//! `turnaround`: options, tables, order by outside air.

use crate::run::{has_keys, list, run};

fn ready_s(outside: &str) -> Vec<(String, f64)> {
    let arguments =
        ["turnaround", "demo", "--condition", "standard day", "--outside", outside, "--no-tables", "--json"];
    let ended = run(&arguments);
    assert_eq!(ended.code, 0, "{}", ended.err);
    let json = ended.json();
    let mut options: Vec<(String, f64)> = list(&json, "options")
        .iter()
        .map(|option| {
            has_keys(option, &["name", "times_s", "energy_J", "pack_temperature_at_ready_K", "next"]);
            has_keys(&option["times_s"], &["taxi", "soak", "cool", "charge", "ready"]);
            let name = option["name"].as_str().expect("a name").to_owned();
            (name, option["times_s"]["ready"].as_f64().unwrap_or(f64::INFINITY))
        })
        .collect();
    options.sort_by(|a, b| a.1.total_cmp(&b.1));
    options
}

/// On a cool day the pack lands cold enough that cooling it first costs next to nothing, and the cold pack may only be charged slowly:
/// another pack is the fastest. On a hot day cooling to 25 degC with a cart of 6 kW takes a quarter of an hour
/// (302 kJ/K x 16 K / 6 kW = 13.4 min, by hand) and comes last.
#[test]
fn the_order_of_options_follows_the_outside_air() {
    let (cool, hot) = (ready_s("10 degC"), ready_s("40 degC"));
    assert!(cool.len() >= 5 && hot.len() >= 5);
    let of = |options: &[(String, f64)], name: &str| {
        options
            .iter()
            .position(|(known, _)| known == name)
            .map(|place| (place, options[place].1))
            .expect("known")
    };
    let first = "cool with the cart, then charge";
    assert_eq!(cool[0].0, "pack swap");
    assert_ne!(hot[0].0, "pack swap");
    assert_eq!(of(&hot, first).0, hot.len() - 1, "{hot:?}");
    assert!(of(&hot, first).1 - of(&cool, first).1 > 600.0, "{cool:?} {hot:?}");
}

#[test]
fn a_strange_condition_is_refused_by_name() {
    let ended = run(&["turnaround", "demo", "--condition", "nowhere"]);
    assert_eq!(ended.code, 1);
    assert!(ended.err.contains("nowhere") && ended.err.contains("hot day"), "{}", ended.err);
}
