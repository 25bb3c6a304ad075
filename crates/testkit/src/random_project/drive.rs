//! An electric drive: motors, inverters, gearbox, what feeds the bus, converters.

use super::dice::quantity;
use super::{Dice, Growing};

impl Growing {
    /// Adds a drive with its components. The first part of the first loop cools it.
    pub(super) fn drive(&mut self, dice: &mut Dice) {
        let power_kw = dice.spread(15.0, 110.0);
        let motors = dice.count(1, 2);
        let geared = dice.chance(0.6);
        for (name, low, high) in [
            ("winding", 1e3, 2e4),
            ("iron", 3e3, 4e4),
            ("rotor", 2e3, 2e4),
            ("inverter", 5e2, 5e3),
            ("sump", 3e3, 2e4),
        ] {
            self.components
                .push(format!("Component(name: \"{name}\", capacity: {})", dice.log(low, high, "J/K")));
        }
        let segments = dice.count(1, 5);
        self.components.push(format!(
            "Component(name: \"cells\", capacity: {}, segments: {segments})",
            dice.log(5e4, 5e5, "J/K")
        ));
        self.links.push(format!(
            "Link(from: \"winding\", to: \"iron\", law: Conductance({}))",
            dice.log(30.0, 300.0, "W/K")
        ));
        self.links.push(format!(
            "Link(from: \"sump\", to: \"bay\", law: Conductance({}))",
            dice.log(5.0, 60.0, "W/K")
        ));
        self.links.push(format!(
            "Link(from: \"rotor\", to: \"bay\", law: Conductance({}))",
            dice.log(2.0, 20.0, "W/K")
        ));
        let turning = if dice.chance(0.6) {
            format!(
                "Link(from: \"rotor\", to: \"iron\", law: AirGap(motor: \"motor 0\", radius: {}, gap: {}, length: {}))",
                dice.even(40.0, 120.0, "mm"),
                dice.even(0.5, 2.0, "mm"),
                dice.even(50.0, 200.0, "mm")
            )
        } else {
            format!(
                "Link(from: \"rotor\", to: \"bay\", law: TurningCylinder(motor: \"motor 0\", radius: {}, length: {}))",
                dice.even(40.0, 120.0, "mm"),
                dice.even(50.0, 200.0, "mm")
            )
        };
        self.links.push(turning);
        let each_kw = power_kw / motors as f64;
        let texts: Vec<String> = (0..motors).map(|number| self.motor(dice, number, each_kw)).collect();
        let gearbox = if geared {
            let losses = match dice.count(0, 2) {
                0 => format!("Fixed({})", dice.log(100.0, 1500.0, "W")),
                1 => format!(
                    "Efficiency(efficiency: {:.3}, drag: {}, reference_speed: \"6000 rpm\")",
                    dice.between(0.96, 0.995),
                    dice.log(50.0, 600.0, "W")
                ),
                _ => format!(
                    "Geometry(meshes: [GearMesh(name: \"mesh\", pinion_teeth: {}, ratio: 2.3)], wheels: [GearWheel(name: \"wheel\", speed_ratio: 0.435, \
                     pitch_radius: \"90 mm\", face_width: \"30 mm\", module: \"3 mm\", immersion: {}, oil_volume: \"2 L\")])",
                    dice.count(18, 32),
                    dice.even(10.0, 40.0, "mm")
                ),
            };
            format!(" gearbox: Gearbox(ratio: 2.3, sump: \"sump\", oil: \"turbine-oil\", losses: {losses}),")
        } else {
            String::new()
        };
        let bus = self.bus(dice, power_kw, segments);
        let converters = if dice.chance(0.5) {
            let losses = match dice.count(0, 2) {
                0 => format!("Fixed({})", dice.log(10.0, 100.0, "W")),
                1 => format!(
                    "Efficiency(efficiency: {:.3}, standing: {})",
                    dice.between(0.85, 0.97),
                    dice.log(5.0, 30.0, "W")
                ),
                _ => "Table([(\"0 W\", \"10 W\"), (\"1 kW\", \"90 W\"), (\"3 kW\", \"300 W\")])".to_owned(),
            };
            format!(
                " converters: [Converter(name: \"converter\", into: \"bay\", supplies: [\"bus A\"], losses: {losses})],"
            )
        } else {
            String::new()
        };
        self.powertrain = Some(format!(
            "Powertrain(motors: [\n  {}],{gearbox}{converters} bus: {bus})",
            texts.join(",\n  ")
        ));
    }

    fn motor(&mut self, dice: &mut Dice, number: usize, power_kw: f64) -> String {
        let name = format!("motor {number}");
        let sets = dice.count(1, 2);
        let losses = match dice.count(0, 3) {
            0 => format!(
                "Fixed(copper: {}, iron: {}, winding_sets: {sets})",
                quantity(power_kw * dice.between(0.01, 0.04), "kW"),
                quantity(power_kw * dice.between(0.005, 0.02), "kW")
            ),
            1 => format!("Efficiency(efficiency: {:.3}, winding_sets: {sets})", dice.between(0.9, 0.97)),
            2 => {
                let torque = power_kw * 1e3 / 630.0;
                let loss = |share: f64| quantity(power_kw * share, "kW");
                format!(
                    "Map(torque: [\"0 N m\", {}, {}], speed: [\"0 rpm\", \"3000 rpm\", \"6500 rpm\"], loss: [\"0 W\", {}, {}, {}, {}, {}, {}, {}, {}], winding_sets: {sets})",
                    quantity(torque * 0.5, "N m"),
                    quantity(torque * 1.2, "N m"),
                    loss(0.004),
                    loss(0.01),
                    loss(0.008),
                    loss(0.014),
                    loss(0.022),
                    loss(0.03),
                    loss(0.038),
                    loss(0.048)
                )
            }
            _ => format!(
                "Machine(inductance: \"0.12 mH\", phase_resistance: {}, torque_constant: {}, pole_pairs: 8, winding_sets: {sets}, iron_loss: {}, magnet_loss: {}, \
                 windage: \"40 W\", reference_speed: \"6000 rpm\")",
                dice.even(5.0, 15.0, "mOhm"),
                dice.even(0.4, 0.6, "N m/A"),
                quantity(power_kw * 0.012, "kW"),
                quantity(power_kw * 0.002, "kW")
            ),
        };
        let inverter = match dice.count(0, 4) {
            0 => format!("Fixed({})", quantity(power_kw * dice.between(0.005, 0.02), "kW")),
            1 => format!("Efficiency({:.3})", dice.between(0.95, 0.99)),
            2 => "Map(current: [\"0 A\", \"200 A\", \"400 A\"], voltage: [\"250 V\", \"450 V\"], loss: [\"0 W\", \"0 W\", \"700 W\", \"900 W\", \"2000 W\", \"2500 W\"])"
                .to_owned(),
            3 => format!(
                "Bipolar(threshold: \"0.9 V\", slope: {}, diode_threshold: \"0.9 V\", diode_slope: \"1.5 mOhm\", switching_energy: \"30 mJ\", \
                 recovery_energy: \"8 mJ\", reference_current: \"300 A\", reference_voltage: \"400 V\")",
                dice.even(1.0, 4.0, "mOhm")
            ),
            _ => format!(
                "Devices(resistance: {}, switching_energy: \"9 mJ\", recovery_energy: \"1.2 mJ\", reference_current: \"300 A\", \
                 reference_voltage: \"400 V\", carrier: \"14 kHz\", parallel: 2)",
                dice.even(2.0, 8.0, "mOhm")
            ),
        };
        let derate = if dice.chance(0.2) {
            ", derate: Derate(sensor: \"winding\", from: \"110 degC\", to: \"150 degC\", least: 0.4)"
        } else {
            ""
        };
        let junction = if dice.chance(0.3) {
            format!(
                ", junction: Junction(resistance: Whole({}), limits: [Limit(value: \"150 degC\")])",
                dice.log(0.005, 0.06, "K/W")
            )
        } else {
            String::new()
        };
        let out = match dice.count(0, 5) {
            0 => ", freewheel: true",
            1 if losses.starts_with("Machine") => ", failure: Shorted",
            _ => "",
        };
        let most = if dice.chance(0.3) {
            format!(", most_power: {}", quantity(power_kw * 1.3, "kW"))
        } else {
            String::new()
        };
        let cable = match dice.count(0, 2) {
            0 => String::new(),
            1 => ", cable: Measured(resistance: \"1.2 mOhm\")".to_owned(),
            _ => ", cable: Dimensions(length: \"4 m\", area: \"50 mm2\", metal: Aluminium)".to_owned(),
        };
        self.parts.motors.push(name.clone());
        if sets == 2 {
            self.parts.two_sets.push(name.clone());
        }
        format!(
            "Motor(name: \"{name}\", winding: \"winding\", iron: \"iron\", rotor: \"rotor\", inverter: \"inverter\", losses: {losses}, \
             inverter_losses: {inverter}, ratings: [Rating(name: \"continuous\", power: {})]{derate}{most}{cable}{junction}{out})",
            quantity(power_kw * 1.1, "kW")
        )
    }

    fn bus(&mut self, dice: &mut Dice, power_kw: f64, segments: usize) -> String {
        if dice.chance(0.25) {
            return format!("Supply({})", dice.even(350.0, 450.0, "V"));
        }
        let parallel = ((power_kw / 2.0) as usize).max(6);
        self.parts.has_pack = true;
        self.parts.strings = parallel;
        let conductors = if dice.chance(0.3) {
            ", conductors: [Conductor(name: \"bars\", into: \"cells\", resistance: Dimensions(length: \"3 m\", area: \"60 mm2\"))]"
        } else {
            ""
        };
        let hot =
            if dice.chance(0.4) { ", hot_cell: HotCell(excess: 0.15, to_coolant: \"3 K/W\")" } else { "" };
        let factor = match dice.count(0, 4) {
            0 | 1 => ", charge_factor: [(0.0, 1.8), (0.3, 1.1), (0.5, 1.0), (1.0, 1.0)]",
            2 => ", hot_growth: \"800 K\"",
            3 => {
                ", resistance_table: ResistanceTable(state_of_charge: [0.1, 0.5, 0.9], temperature: [\"-10 degC\", \"25 degC\", \"50 degC\"], \
                 ohm: [\"60 mOhm\", \"20 mOhm\", \"16 mOhm\", \"45 mOhm\", \"15 mOhm\", \"13 mOhm\", \"44 mOhm\", \"15 mOhm\", \"13 mOhm\"])"
            }
            _ => "",
        };
        format!(
            "Pack(cells: \"cells\", series: 108, parallel: {parallel}, cell: Cell(capacity: \"4.2 Ah\", open_circuit: [(0.0, \"3.05 V\"), (0.1, \"3.38 V\"), \
             (0.5, \"3.70 V\"), (1.0, \"4.18 V\")], resistance: {}, entropic: {}{factor}), interconnect: {}, life_used: {:.2}, charging: Charging(rate: \"1 C\", \
             end_voltage: \"4.20 V\", window: [(\"0 degC\", \"0.2 C\"), (\"15 degC\", \"1 C\"), (\"50 degC\", \"0 C\")]){conductors}{hot})",
            dice.even(6.0, 25.0, "mOhm"),
            dice.even(-0.3, 0.2, "mV/K"),
            dice.log(1.0, 10.0, "mOhm"),
            if segments > 2 { 0.0 } else { dice.between(0.0, 1.0) },
        )
    }
}
