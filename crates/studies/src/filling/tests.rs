//! The filling of the tug from its coldest to its hottest steady case, by hand.

use super::filling;
use crate::solve;
use aircraft::records::device::{Device, devices};
use model::assembly::{assemble, liquid};
use model::cases;
use std::sync::atomic::AtomicBool;

/// The liquid of a loop of volume V at one temperature T would grow by V (rho_fill/rho(T) - 1): what is left to the gas lies between
/// that at the hottest and that at the coldest station of the loop.
#[test]
fn the_filling_of_the_tug_from_its_coldest_to_its_hottest_case() {
    let demo = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-projects/tug.ron");
    let (node, _) = project::parse(&std::fs::read(demo).expect("the demo can be read"));
    let varied = model::design::apply(&node.expect("a project"), None).expect("it is valid");
    let project = &varied.project;
    let cases = cases::steady(project);
    let results = solve(&cases, &AtomicBool::new(false), |_| {}).expect("every case can be put together");
    let found = filling(&results, &[]);
    assert!(!found.is_empty());
    for filled in &found {
        let index = project.loops.iter().position(|l| l.name.as_str() == filled.circuit).expect("a loop");
        let spec = &project.loops[index];
        let reservoir = devices(&spec.path).into_iter().find_map(|device| match device {
            Device::Reservoir(reservoir) => Some(reservoir),
            _ => None,
        });
        let reservoir = reservoir.expect("it has one");
        let liquid = liquid(project, &spec.fluid, "loops").expect("a liquid");
        let gas_at_fill = reservoir.volume.si() * (1.0 - reservoir.fill.si());
        for in_case in [&filled.least_gas, &filled.most_gas] {
            let number = results.iter().position(|r| r.case == in_case.case).expect("a case of the project");
            let parts = assemble(cases[number]).expect("it can be put together").parts;
            let volume: f64 = parts.loops[index].devices().iter().map(|device| device.volume_m3).sum();
            let stations = &results[number].loops[index].stations;
            let all_k = stations.iter().flat_map(|s| [s.temperature_in_k, s.temperature_out_k]);
            let (coldest_k, hottest_k) =
                all_k.fold((f64::INFINITY, 0.0_f64), |(low, high), k| (low.min(k), high.max(k)));
            let left = |k: f64| {
                gas_at_fill - volume * (liquid.density(reservoir.filled_at.si()) / liquid.density(k) - 1.0)
            };
            let (gas, [least, most]) = (in_case.at.cushion.gas_m3, [hottest_k, coldest_k].map(left));
            println!(
                "{} in {}: {:.3} L of liquid at {:.1} to {:.1} degC, {:.4} L of gas, by hand {:.4} to {:.4} L; {:.1} kPa",
                filled.circuit,
                in_case.case,
                1e3 * volume,
                coldest_k - 273.15,
                hottest_k - 273.15,
                1e3 * gas,
                1e3 * least,
                1e3 * most,
                1e-3 * in_case.at.cushion.gauge_pa
            );
            assert!(least - 1e-9 <= gas && gas <= most + 1e-9, "{}: {gas}", filled.circuit);
        }
        // no case goes further, and a fault is told if and only if a case has one
        let mut is_faulty = false;
        for cushion in results.iter().filter_map(|r| r.loops.get(index)?.cushion.as_ref()) {
            assert!(filled.least_gas.at.cushion.gas_m3 <= cushion.gas_m3);
            assert!(filled.most_gas.at.cushion.gas_m3 >= cushion.gas_m3);
            is_faulty |= cushion.faults().count() > 0;
        }
        assert_eq!(is_faulty, !filled.faults.is_empty(), "{}", filled.circuit);
    }
}
