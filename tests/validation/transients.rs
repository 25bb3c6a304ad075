//! Runs over time against worked examples and a general-purpose integrator.

use super::record::{Allowed, Cited, Origin, Record};
use solver::{
    BoundaryId, Builder, ComponentId, Direction, HeatSource, LinkLaw, Network, Node, Stretch, Transient,
    TransientOptions, Watch, Watched, Wish,
};

pub(crate) fn record() -> Record {
    let mut record = Record::new("Runs over time");
    bead(&mut record);
    panel(&mut record);
    single_cell(&mut record);
    stiff(&mut record);
    record
}

fn link(builder: &mut Builder, from: ComponentId, to: BoundaryId, law: LinkLaw) {
    builder.link(Node::Component(from), Node::Boundary(to), law);
}

fn conductance(conductance_w_k: f64) -> LinkLaw {
    LinkLaw::Conductance { conductance_w_k }
}

/// Goes on until the first component crosses a temperature; returns the time of it.
fn until(run: &mut Transient, network: Network, first: ComponentId, to_k: f64, direction: Direction) -> f64 {
    let of = Watched::Temperature(Node::Component(first));
    let watch = Watch { of, threshold: to_k, direction };
    let stretch = Stretch { duration_s: 1e4, from: network.into(), to: None };
    run.run(&stretch, &[watch], &TransientOptions::default(), |_| Wish::GoOn).expect("the network is sound");
    run.time_s()
}

fn hold(run: &mut Transient, network: Network, duration_s: f64) {
    let stretch = Stretch { duration_s, from: network.into(), to: None };
    run.run(&stretch, &[], &TransientOptions::default(), |_| Wish::GoOn).expect("the network is sound");
}

/// Example 5.1: time constant 1 s, 25 degC to 199 degC in gas of 200 degC.
fn bead(record: &mut Record) {
    let mut builder = Builder::new();
    let mass = builder.component(1.0);
    let gas = builder.boundary(473.15);
    link(&mut builder, mass, gas, conductance(1.0));
    let network = builder.build().expect("the network is sound");
    let mut run = Transient::uniform(&network, 298.15);
    let time_s = until(&mut run, network, mass, 472.15, Direction::Rising);
    let cited = Cited {
        source: "Incropera & DeWitt, Fundamentals of Heat and Mass Transfer, 6th ed., example 5.1, p. 261",
        what: "Thermocouple bead: time to 1 K below the gas",
        origin: Origin::Outside,
    };
    // a slow crossing: 0.05 K at 1 K/s of the last kelvin
    record.value(&cited, time_s, 5.165, Allowed::Within(0.02, "s"));
}

/// Example 5.3: coated panel, heated with radiation and convection, held, cooled; per square metre of one side.
fn panel(record: &mut Record) {
    let with = |outside_k: f64, film_w_m2k: f64| {
        let mut builder = Builder::new();
        let side = builder.component(2770.0 * 875.0 * 0.0015);
        let outside = builder.boundary(outside_k);
        link(&mut builder, side, outside, conductance(film_w_m2k));
        link(&mut builder, side, outside, LinkLaw::Radiation { emissivity: 0.8, area_m2: 1.0 });
        (builder.build().expect("the network is sound"), side)
    };
    let ((oven, side), (room, _)) = (with(448.15, 40.0), with(298.15, 10.0));
    let mut run = Transient::uniform(&oven, 298.15);
    let to_cure_s = until(&mut run, oven.clone(), side, 423.15, Direction::Rising);
    hold(&mut run, oven, 300.0);
    let cured_k = run.state()[0];
    let total_s = until(&mut run, room, side, 310.15, Direction::Falling);
    let source = "Incropera & DeWitt, Fundamentals of Heat and Mass Transfer, 6th ed., example 5.3, p. 267";
    let exact =
        Cited { source, what: "Panel with radiation, exact: time to cure", origin: Origin::Calculated };
    record.value(&exact, to_cure_s, 123.08, Allowed::Within(0.1, "s"));
    let exact = Cited { what: "Panel with radiation, exact: temperature after the cure", ..exact };
    record.value(&exact, cured_k, 447.90, Allowed::Within(0.05, "K"));
    let exact = Cited { what: "Panel with radiation, exact: total time", ..exact };
    record.value(&exact, total_s, 986.3, Allowed::Within(1.0, "s"));
    let book = Cited { what: "Panel with radiation, book: total time", origin: Origin::Outside, ..exact };
    record.value(&book, total_s, 989.0, Allowed::Within(4.0, "s"));
}

/// 70 g, 950 J/(kg K), 20 mOhm, 15 A: 4.5 W into 66.5 J/K, then with 8 K/W to the ambient.
fn single_cell(record: &mut Record) {
    let with = |to_ambient: Option<f64>| {
        let mut builder = Builder::new();
        let cell = builder.component(0.07 * 950.0);
        builder.source(HeatSource {
            into: cell,
            heat_w: 15.0 * 15.0 * 0.02,
            slope_1_k: 0.0,
            reference_k: 0.0,
        });
        let ambient = builder.boundary(298.15);
        if let Some(resistance_k_w) = to_ambient {
            link(&mut builder, cell, ambient, conductance(1.0 / resistance_k_w));
        }
        builder.build().expect("the network is sound")
    };
    let source = "closed form, q = I^2 R, C dT/dt = q - (T - T0)/R";
    let cited = Cited { source, what: "Single cell: adiabatic rise in a minute", origin: Origin::Calculated };
    let alone = with(None);
    let mut run = Transient::uniform(&alone, 298.15);
    hold(&mut run, alone, 60.0);
    record.value(&cited, run.state()[0] - 298.15, 4.06, Allowed::Within(0.005, "K"));
    let cited = Cited { what: "Single cell with 8 K/W: rise after 300 s", ..cited };
    let cooled = with(Some(8.0));
    let mut run = Transient::uniform(&cooled, 298.15);
    hold(&mut run, cooled, 300.0);
    record.value(&cited, run.state()[0] - 298.15, 15.517, Allowed::Within(0.02, "K"));
}

/// Two capacities four hundred to one, loss that grows with temperature, radiation, surroundings that warm by 20 K in 600 s.
/// 5 J/K and 2000 J/K, 25 W/K between them, 8 W/K and 0.04 m2 black to the surroundings, 200 W (1 + 0.004 (T - 300 K)).
fn stiff(record: &mut Record) {
    let at = |outside_k: f64| {
        let mut builder = Builder::new();
        let (junction, plate) = (builder.component(5.0), builder.component(2000.0));
        let outside = builder.boundary(outside_k);
        builder.link(Node::Component(junction), Node::Component(plate), conductance(25.0));
        link(&mut builder, plate, outside, conductance(8.0));
        link(&mut builder, plate, outside, LinkLaw::Radiation { emissivity: 0.8, area_m2: 0.05 });
        builder.source(HeatSource { into: junction, heat_w: 200.0, slope_1_k: 0.004, reference_k: 300.0 });
        builder.build().expect("the network is sound")
    };
    // time, junction, plate; the same to 4e-9 K by LSODA
    let reference = [
        (0.1, 303.171_294_268_5, 300.002_140_664_5),
        (0.5, 307.547_476_787_7, 300.032_154_430_7),
        (2.0, 308.432_630_299_0, 300.184_485_573_8),
        (10.0, 309.273_715_857_4, 300.997_774_779_1),
        (60.0, 314.191_412_011_2, 305.755_878_381_4),
        (300.0, 332.053_374_889_3, 323.039_784_864_5),
        (600.0, 347.532_422_862_3, 338.020_457_590_3),
    ];
    let cited = Cited {
        source: "SciPy 1.17.1, solve_ivp, Radau, rtol = atol = 1e-12",
        what: "Two capacities 400:1 with growing loss, radiation and a ramp of the surroundings",
        origin: Origin::Outside,
    };
    let whole = Stretch { duration_s: 600.0, from: at(300.0).into(), to: Some(at(320.0).into()) };
    let mut run = Transient::uniform(&whole.from, 300.0);
    let mut state = Vec::new();
    let mut next = 0;
    run.run(&whole, &[], &TransientOptions::default(), |step| {
        while next < reference.len() && reference[next].0 <= step.end_s + 1e-9 {
            let (time_s, junction_k, plate_k) = reference[next];
            step.state_at(time_s, &mut state);
            record.value(&cited, state[0], junction_k, Allowed::Within(0.05, "K"));
            record.value(&cited, state[1], plate_k, Allowed::Within(0.05, "K"));
            next += 1;
        }
        Wish::GoOn
    })
    .expect("the network is sound");
    assert_eq!(next, reference.len(), "every reference time was passed");
}
