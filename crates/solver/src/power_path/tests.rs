use super::*;
use crate::builder::Builder;
use crate::circuit::{Circuit, Element, Ends, Entry, Series};
use crate::electric::{BusFeed, CellGroup, Drive, DriveNodes, DriveStage, ElectricSpec, Gear, PackCells};
use crate::flow_law::FlowLaw;
use crate::fluid::Fluid;
use crate::link::LinkLaw;
use crate::machine::{Machine, MachinePower};
use crate::network::Network;
use crate::signal::Signal;
use crate::sparse::SparseLu;
use crate::steady::{SteadyOptions, SteadySolver};
use media::Liquid;
use numerics::Curve;
use powertrain::cell::{CellData, CellResistance, Entropic, ResistanceBasis, ResistanceLaw, TemperatureLaw};
use powertrain::conductor::COPPER;
use powertrain::converter::ConverterLosses;
use powertrain::gearbox::{ChurningWheel, GearGeometry, GearLosses, Gearbox};
use powertrain::inverter::{Inverter, InverterLosses};
use powertrain::loss::Loss;
use powertrain::motor::{EfficiencyLosses, LossSplit, Motor, MotorLosses, PhaseCurrent, Terminals};

fn copper(resistance_ohm: f64) -> Resistor {
    let temperature_coefficient_per_k = COPPER.temperature_coefficient_per_k;
    Resistor { resistance_ohm, reference_k: 293.15, temperature_coefficient_per_k }
}

fn pump(builder: &mut Builder, power_w: f64) -> ElementId {
    let curve = Curve::new(&[(0.0, 60e3), (3e-4, 0.0)]).unwrap();
    let machine = Machine::new(curve, 1000.0, MachinePower::Efficiency(power_w)).unwrap();
    let mut element = Element::plain(FlowLaw::Machine(machine), 1e-4);
    element.signal = Signal::Fixed(1.0);
    builder.element(element)
}

fn cell() -> powertrain::cell::Cell {
    let law = ResistanceLaw::Reference {
        resistance_ohm: 0.004,
        temperature: TemperatureLaw { reference_k: 298.15, cold_b_k: 2500.0, hot_b_k: 2500.0 },
        soc_factor: None,
    };
    powertrain::cell::Cell::new(CellData {
        capacity_ah: 50.0,
        open_circuit_v: Curve::new(&[(0.0, 3.0), (1.0, 4.2)]).unwrap(),
        resistance: CellResistance::new(
            law,
            ResistanceBasis::DirectCurrentPulse { pulse_s: 10.0 },
            Some(1.2),
            1.0,
        )
        .unwrap(),
        entropic: Entropic::Fixed(-1e-4),
        mass_kg: 0.07,
        specific_heat_j_kgk: 950.0,
    })
    .unwrap()
}

fn drive(place: Node) -> Drive {
    let law = EfficiencyLosses {
        efficiency: 0.94,
        split: LossSplit { copper: 0.6, iron: 0.3, magnet: 0.06, windage: 0.04 },
        terminals: Terminals {
            winding_sets: 1,
            phase_current: PhaseCurrent::Power { modulation_index: 0.9, power_factor: 0.95 },
        },
    };
    Drive {
        motor: Motor::new(MotorLosses::Efficiency(law)).unwrap(),
        inverter: Inverter::new(InverterLosses::Efficiency { efficiency: 0.98 }, 0.0).unwrap(),
        share: 1.0,
        speed_rad_s: 300.0,
        active_sets: 1,
        cable: copper(0.01),
        air_density_ratio: 1.0,
        derate: Signal::Fixed(1.0),
        max_power_w: f64::INFINITY,
        usual_share: 1.0,
        freewheels: false,
        shorted_sets: 0,
        junction: None,
        heats: DriveNodes {
            winding: place,
            iron: place,
            magnet: place,
            windage: place,
            inverter: place,
            cable: place,
        },
    }
}

/// A motor on a pack behind a bar; one pump on a converter, one on the shaft; every part at its own temperature.
fn network() -> Network {
    network_with(|_, _| Vec::new())
}

/// The same with stages behind the motor, made from the parts and the surroundings.
fn network_with(stages: impl Fn(&[Node], Node) -> Vec<DriveStage>) -> Network {
    let mut builder = Builder::new();
    let outside = builder.boundary(300.0);
    let places: Vec<Node> = (0..4)
        .map(|_| {
            let place = Node::Component(builder.component(1000.0));
            builder.link(place, Node::Boundary(outside), LinkLaw::Conductance { conductance_w_k: 20.0 });
            place
        })
        .collect();
    let (fed, turned) = (pump(&mut builder, 0.4), pump(&mut builder, 0.5));
    let pipe = builder.element(Element::plain(FlowLaw::Loss { coefficient: 5.0, area_m2: 1e-4 }, 1e-3));
    let warm = FlowLaw::Loss { coefficient: 1.0, area_m2: 1e-4 };
    let mut washed = Element::plain(warm, 1e-4);
    let film = crate::film_law::FilmLaw::Fixed { conductance_w_k: 50.0 };
    washed.cells[0].wall = Some(crate::circuit::Wall { node: places[0], film });
    let washed = builder.element(washed);
    builder.circuit(Circuit {
        fluid: Fluid::Liquid(Liquid::named("ethylene-glycol:0.5").unwrap()),
        course: Series([fed, turned, pipe, washed].map(Entry::Element).to_vec()),
        ends: Ends::Closed,
        min_flow_kg_s: 0.0,
    });
    let law = ConverterLosses::Efficiency { efficiency: 0.9, idle_w: 15.0 };
    builder.electric(ElectricSpec {
        drives: vec![drive(places[0])],
        gear: None,
        stages: stages(&places, Node::Boundary(outside)),
        shaft_power_w: 20e3,
        feed: BusFeed::Pack(Box::new(PackCells {
            cell: cell(),
            series: 100.0,
            strings: 1.0,
            state_of_charge: 0.5,
            groups: vec![CellGroup { node: places[1], series: 100.0 }],
            conductors: vec![Conductor { resistor: copper(0.05), node: places[2] }],
        })),
        other_load_w: 100.0,
        converters: vec![Converter {
            law: powertrain::converter::Converter::new(law).unwrap(),
            machines: vec![fed],
            load_w: 200.0,
            node: places[3],
        }],
        shaft_machines: vec![turned],
        charger: None,
    });
    builder.build().unwrap()
}

/// A belt that warms a part, a branch that warms nothing here, and gears whose churning follows the temperature of their oil.
fn staged() -> Network {
    network_with(|places, outside| {
        let gear = |losses, oil_node| Gear {
            gearbox: Gearbox::new(1.0, losses).unwrap(),
            oil_node,
            oil: Liquid::named("turbine-oil").unwrap(),
            input_speed_rad_s: 300.0,
        };
        let efficiency = |efficiency| {
            let drag = Loss::PowerLaw { reference_w: 50.0, reference_load: 300.0, exponent: 2.0 };
            GearLosses::Efficiency { efficiency, drag }
        };
        let wheel = ChurningWheel {
            speed_ratio: 1.0,
            pitch_radius_m: 0.09,
            face_width_m: 0.03,
            module_m: 0.003,
            immersion_depth_m: 0.03,
            oil_volume_m3: 0.002,
            immersed_area_m2: 0.01,
        };
        let geometry = GearGeometry { wheels: vec![wheel], ..GearGeometry::default() };
        vec![
            DriveStage { gear: gear(efficiency(0.98), places[3]), branch: None },
            DriveStage { gear: gear(efficiency(0.96), outside), branch: Some(0.1) },
            DriveStage { gear: gear(GearLosses::Geometry(geometry), places[2]), branch: None },
        ]
    })
}

#[test]
fn the_matrix_holds_the_slopes_of_every_balance() {
    slopes_are_those_of_the_balances(network());
    slopes_are_those_of_the_balances(staged());
}

#[test]
fn what_stages_take_is_what_the_motor_gives() {
    let mut solver = SteadySolver::new(staged());
    let solution = solver.solve(&SteadyOptions::default()).unwrap();
    let reading = solution.read(solver.network());
    let electric = reading.electric().unwrap();
    let turned = reading.element(ElementId(1)).power_w;
    // the pump on the shaft is turned behind the last stage of the chain; the branch gives 2 kW more
    let heat: f64 = electric.stages.iter().map(|stage| stage.heat.total()).sum();
    let taken = 20e3 + turned + 2e3 + heat;
    assert!((electric.gear_input_w - taken).abs() < 1e-6, "{electric:?}");
    assert!(
        (electric.stages[2].point.input_power_w - electric.stages[2].heat.total() - 20e3 - turned).abs()
            < 1e-6
    );
    let ledger = solution.ledger;
    assert!(ledger.residual_w.abs() < 1e-9 * ledger.turnover_w, "{ledger:?}");
    let given =
        reading.bookings().into_iter().filter(|line| matches!(line.what, crate::ledger::Booked::Given(_)));
    // (2000 + 50)/0.96 - 2000 = 135.417 W
    assert!((given.map(|line| line.heat_w).sum::<f64>() - 135.416_667).abs() < 1e-3);
}

fn slopes_are_those_of_the_balances(network: Network) {
    let mut solver = SteadySolver::new(network);
    let solution = solver.solve(&SteadyOptions::default()).unwrap();
    let network = solver.network();
    let n = network.unknowns;
    // away from the solution, so that nothing cancels
    let mut state = solution.state.clone();
    for (k, value) in state[..n].iter_mut().enumerate() {
        *value *= 1.0 + 1e-3 * (1.0 + k as f64 / n as f64);
    }
    let (mut work, mut lu): (Vec<f64>, SparseLu) = (vec![0.0; n], network.lu.clone());
    network.jacobian(&state, &mut work, &mut lu);
    let (mut above, mut below) = (vec![0.0; n], vec![0.0; n]);
    for column in 0..n {
        let (at, step) = (state[column], 1e-6 * state[column].abs().max(1e-3));
        state[column] = at + step;
        network.residual(&state, &mut above);
        state[column] = at - step;
        network.residual(&state, &mut below);
        state[column] = at;
        for row in 0..n {
            let slope = (above[row] - below[row]) / (2.0 * step);
            // rounding of a residual of some 1e5 W over the step
            let allowed = 1e-5 * slope.abs() + 1e-9 * work[row].abs().max(1e3) / step;
            let found = lu.entry(row, column);
            assert!((found - slope).abs() <= allowed, "row {row}, column {column}: {found} {slope}");
        }
    }
}

#[test]
fn what_is_drawn_from_the_pack_is_what_everyone_takes() {
    let mut solver = SteadySolver::new(network());
    let solution = solver.solve(&SteadyOptions::default()).unwrap();
    let reading = solution.read(solver.network());
    let electric = reading.electric().unwrap();
    let (fed, turned) = (reading.element(ElementId(0)).power_w, reading.element(ElementId(1)).power_w);
    assert!(fed > 1.0 && turned > 1.0, "{fed} {turned}");
    let converter = electric.converters[0];
    assert!((converter.output_w - 200.0 - fed).abs() < 1e-9, "{converter:?}");
    assert!((electric.gear_input_w - 20e3 - turned).abs() < 1e-6, "{electric:?}");
    let taken = electric.drives[0].demand_w + converter.input_w + 100.0;
    assert!((electric.bus_voltage_v * electric.bus_current_a - taken).abs() < 1e-6, "{electric:?}");
    let ledger = solution.ledger;
    assert!(ledger.residual_w.abs() < 1e-9 * ledger.turnover_w, "{ledger:?}");
}
