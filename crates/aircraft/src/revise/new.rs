//! Devices and stages with placeholders, which stand as assumed until they are replaced. The sizes are common practice, no source.

use crate::starter;
use schema::{Node, Tree};

/// A device that can be added with placeholders.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum NewDevice {
    /// Half a metre of hose (or duct) of 20 mm.
    Hose,
    /// A fitting of one velocity head at 20 mm.
    Restrictor,
    /// A filter of 5 kPa at 10 L/min.
    Filter,
    /// A check valve of 20 mm.
    CheckValve,
    /// A relief valve that opens at 150 kPa and passes 10 L/min at 50 kPa more.
    ReliefValve,
    /// A bypass valve that passes 2 L/min at 10 kPa.
    BypassValve,
    /// A pump of 40 kPa at 10 L/min.
    Pump,
    /// A bottle of 1 L with a cap of 90 kPa.
    Reservoir,
    /// A fan of 350 Pa at 0.3 m3/s.
    Fan,
    /// A screen of two velocity heads on 200 mm.
    Screen,
    /// A shutter of 300 cm2, open.
    Shutter,
    /// A flap of 300 cm2 that stops back-flow.
    Flap,
}

impl NewDevice {
    /// Those for loops.
    pub const IN_LOOPS: [Self; 8] = [
        Self::Hose,
        Self::Pump,
        Self::Reservoir,
        Self::Restrictor,
        Self::Filter,
        Self::CheckValve,
        Self::ReliefValve,
        Self::BypassValve,
    ];
    /// Those for ducts.
    pub const IN_DUCTS: [Self; 5] = [Self::Fan, Self::Screen, Self::Shutter, Self::Flap, Self::Restrictor];

    /// Its name in the trade.
    pub fn word(self) -> &'static str {
        match self {
            Self::Hose => "hose",
            Self::Restrictor => "restrictor",
            Self::Filter => "filter",
            Self::CheckValve => "check valve",
            Self::ReliefValve => "relief valve",
            Self::BypassValve => "bypass valve",
            Self::Pump => "pump",
            Self::Reservoir => "reservoir",
            Self::Fan => "fan",
            Self::Screen => "screen",
            Self::Shutter => "shutter",
            Self::Flap => "flap",
        }
    }

    /// The device with placeholders.
    pub(super) fn node(self, name: &str) -> Node {
        let text = Node::text;
        let loss = |bore: &str, coefficient: f64| {
            let fields = vec![("coefficient", Node::number(coefficient)), ("diameter", Node::text(bore))];
            Node::record("Loss", fields)
        };
        let point = || Node::record("Point", vec![("drop", text("5 kPa")), ("at", text("10 L/min"))]);
        let spring = || {
            let fields =
                vec![("cracking", text("150 kPa")), ("flow", text("10 L/min")), ("over", text("50 kPa"))];
            Node::record("ReliefSpring", fields)
        };
        let rest = match self {
            Self::Hose => ("Hose", vec![("length", text("0.5 m")), ("diameter", text("20 mm"))]),
            Self::Restrictor => ("Restrictor", vec![("flow", loss("20 mm", 1.0))]),
            Self::Filter => ("Filter", vec![("flow", point())]),
            Self::CheckValve => ("CheckValve", vec![("diameter", text("20 mm"))]),
            Self::ReliefValve => ("ReliefValve", vec![("spring", spring())]),
            Self::BypassValve => ("BypassValve", vec![("flow", text("2 L/min")), ("over", text("10 kPa"))]),
            Self::Pump => return without_supply(starter::pump(name, 10.0, 40.0)),
            Self::Reservoir => return starter::reservoir(name, 1.0, 90.0),
            Self::Fan => return without_supply(starter::fan(name, 0.3, 350.0)),
            Self::Screen => ("Screen", vec![("flow", loss("200 mm", 2.0))]),
            Self::Shutter => ("Shutter", vec![("area", text("300 cm2"))]),
            Self::Flap => ("Flap", vec![("area", text("300 cm2"))]),
        };
        let mut fields = vec![("name", text(name))];
        fields.extend(rest.1);
        Node::record(rest.0, fields)
    }
}

/// A stage between the gearbox and the rotor or propeller: a belt of 98 %, as long as nothing better is known.
pub(super) fn stage(name: &str) -> Node {
    let held = |value: Node| {
        let source = "placeholder: replace it by that of the maker";
        Node::record("Input", vec![("value", value), ("source", Node::text(source))])
    };
    let law = vec![("efficiency", held(Node::number(0.98))), ("reference_speed", Node::text("2700 rpm"))];
    Node::record(
        "Stage",
        vec![
            ("name", Node::text(name)),
            ("ratio", held(Node::number(1.0))),
            ("losses", Node::record("Efficiency", law)),
        ],
    )
}

/// A pump or fan that draws from the bus, because the project may have no supply of that name.
fn without_supply(mut machine: Node) -> Node {
    if let Tree::Record { fields, .. } = &mut machine.tree {
        fields.retain(|(key, _)| key.name != "supply");
    }
    machine
}
