//! Which unknowns feed each piece of the drive, and which equations receive what it gives.

use super::drive::drive_output;
use super::numbered::{CHARGE, CURRENT, ELECTRIC_UNKNOWNS, Electric, POWER, VOLTAGE};
use super::spec::{Drive, ElectricSpec, Gear, PackCells};
use crate::ids::Node;
use crate::power_path::Converter;
use crate::stencil::{Column, Stencil, Target};

/// Weight of the voltage row, which is in volts among rows in watts.
const VOLT_WEIGHT: f64 = 1e3;

/// What the drive has to know of the network round it.
pub(crate) struct Numbering<'a> {
    /// Number of unknowns of the whole network.
    pub(crate) unknowns: usize,
    /// Number of elements.
    pub(crate) elements: usize,
    /// Unknown (or boundary) of a node.
    pub(crate) unknown_of: &'a dyn Fn(Node) -> usize,
}

/// The first unknown of the drive within its network.
struct Wiring<'a> {
    start: usize,
    network: &'a Numbering<'a>,
}

impl Electric {
    /// Numbers a drive whose unknowns begin at `start`.
    pub(crate) fn new(spec: ElectricSpec, start: usize, network: &Numbering<'_>) -> Self {
        let wiring = Wiring { start, network };
        let pack = spec.feed.pack();
        let (mut groups, mut conductors) = (Vec::new(), Vec::new());
        if let Some(pack) = pack {
            let charge = [column(2, start + CHARGE)];
            groups.extend(pack.groups.iter().map(|group| wiring.in_series(group.node, &charge)));
            conductors.extend(pack.conductors.iter().map(|conductor| wiring.in_series(conductor.node, &[])));
        }
        let converters = spec.converters.iter().enumerate();
        Self {
            start,
            drives: spec.drives.iter().map(|drive| wiring.drive(drive)).collect(),
            gear: wiring.gear(spec.gear.as_ref()),
            stages: (0..spec.stages.len()).map(|stage| wiring.stage(stage, &spec)).collect(),
            groups,
            conductors,
            converters: converters.map(|(index, converter)| wiring.converter(index, converter)).collect(),
            bus: wiring.bus(),
            charge: wiring.charge(),
            charger: wiring.charger(pack),
            charger_heat: wiring.charger_heat(spec.charger.map(|charger| charger.node)),
            active_charge: None,
            is_charge_held: true,
            power_rows: power_rows(&spec, start, network.elements),
            spec,
        }
    }
}

impl Wiring<'_> {
    fn node(&self, node: Node) -> usize {
        (self.network.unknown_of)(node)
    }

    fn stencil(&self, columns: Vec<Column>, targets: Vec<Target>) -> Stencil {
        Stencil::new(columns, targets, self.network.unknowns)
    }

    fn drive(&self, drive: &Drive) -> Stencil {
        let (at, start) = (drive.heats, self.start);
        let mut columns = vec![
            column(0, start + POWER),
            column(1, start + VOLTAGE),
            column(2, self.node(at.winding)),
            column(3, self.node(at.magnet)),
            column(4, self.node(at.inverter)),
            column(6, self.node(at.cable)),
        ];
        if let Some(sensor) = drive.derate.sensor() {
            columns.push(column(5, self.node(sensor)));
        }
        let targets = [
            (drive_output::COPPER, self.node(at.winding)),
            (drive_output::IRON, self.node(at.iron)),
            (drive_output::MAGNET, self.node(at.magnet)),
            (drive_output::WINDAGE, self.node(at.windage)),
            (drive_output::INVERTER, self.node(at.inverter)),
            (drive_output::CABLE, self.node(at.cable)),
            (drive_output::DEMAND, start + CURRENT),
            (drive_output::DRAG, start + POWER),
        ];
        self.stencil(columns, targets.map(|(output, row)| target(output, row)).into())
    }

    fn gear(&self, gear: Option<&Gear>) -> Stencil {
        let power = self.start + POWER;
        let (mut columns, mut targets) = (vec![column(0, power)], vec![target(0, power)]);
        if let Some(gear) = gear {
            let oil = self.node(gear.oil_node);
            columns.push(column(1, oil));
            targets.push(target(1, oil));
        }
        self.stencil(columns, targets)
    }

    /// Power into a stage: what it gives with its loss, asked from the stage or gearbox before it.
    fn stage(&self, stage: usize, spec: &ElectricSpec) -> Stencil {
        let own = self.start + spec.stage_unknown(stage);
        let oil = self.node(spec.stages[stage].gear.oil_node);
        let before = self.start + spec.upstream(stage).map_or(POWER, |before| spec.stage_unknown(before));
        self.stencil(
            vec![column(0, own), column(1, oil)],
            vec![target(0, own), target(1, oil), target(2, before)],
        )
    }

    fn bus(&self) -> Stencil {
        let start = self.start;
        self.stencil(
            vec![column(0, start + VOLTAGE), column(1, start + CURRENT), column(2, start + CHARGE)],
            vec![
                Target { output: 0, row: start + VOLTAGE, weight: VOLT_WEIGHT },
                Target { output: 1, row: start + CURRENT, weight: -1.0 },
            ],
        )
    }

    /// Cells and conductors pass the current of the bus: heat to their own place, drop off the voltage.
    fn in_series(&self, node: Node, others: &[Column]) -> Stencil {
        let node = self.node(node);
        let mut columns = vec![column(0, self.start + CURRENT), column(1, node)];
        columns.extend_from_slice(others);
        let drop = Target { output: 1, row: self.start + VOLTAGE, weight: -VOLT_WEIGHT };
        self.stencil(columns, vec![target(0, node), drop])
    }

    fn charge(&self) -> Stencil {
        let (current, charge) = (self.start + CURRENT, self.start + CHARGE);
        self.stencil(vec![column(0, current), column(1, charge)], vec![target(0, charge)])
    }

    /// Without lanes if there is no pack to charge.
    fn charger(&self, pack: Option<&PackCells>) -> Stencil {
        let (mut columns, mut targets) = (Vec::new(), Vec::new());
        if let Some((first, last)) = pack.and_then(|p| Some((p.groups.first()?, p.groups.last()?))) {
            columns.extend([column(0, self.start + CURRENT), column(1, self.start + CHARGE)]);
            columns.extend([column(2, self.node(first.node)), column(3, self.node(last.node))]);
            targets.push(target(0, self.start + CURRENT));
        }
        self.stencil(columns, targets)
    }

    /// Without lanes if there is no charger on board.
    fn charger_heat(&self, node: Option<Node>) -> Stencil {
        let (mut columns, mut targets) = (Vec::new(), Vec::new());
        if let Some(node) = node {
            columns.extend([column(0, self.start + VOLTAGE), column(1, self.start + CURRENT)]);
            targets.push(target(0, self.node(node)));
        }
        self.stencil(columns, targets)
    }

    fn converter(&self, index: usize, converter: &Converter) -> Stencil {
        let own = self.start + ELECTRIC_UNKNOWNS + index;
        let targets =
            vec![target(0, self.node(converter.node)), target(1, self.start + CURRENT), target(2, own)];
        self.stencil(vec![column(0, own)], targets)
    }
}

fn column(lane: usize, unknown: usize) -> Column {
    Column { lane, unknown, weight: 1.0 }
}

fn target(output: usize, row: usize) -> Target {
    Target { output, row, weight: 1.0 }
}

/// For each element the row that the power of a pump or fan enters.
fn power_rows(spec: &ElectricSpec, start: usize, elements: usize) -> Vec<usize> {
    let mut rows = vec![start + CURRENT; elements];
    for (index, converter) in spec.converters.iter().enumerate() {
        for machine in &converter.machines {
            rows[machine.index()] = start + ELECTRIC_UNKNOWNS + index;
        }
    }
    let shaft = spec.last_of_chain().map_or(POWER, |stage| spec.stage_unknown(stage));
    for machine in &spec.shaft_machines {
        rows[machine.index()] = start + shaft;
    }
    rows
}
