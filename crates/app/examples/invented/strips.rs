//! Invented loops and ducts.

use app::views::loops::{
    Branch, DeviceRow, DeviceTable, FlowStripData, StripDevice, StripEntry, StripKind, StripPage, WallMark,
};
use app::views::{Evidence, Figure, Flag, InputField};

use super::Invented;

/// A device with its medium temperature rise, its pressure drop and its walls.
struct Part {
    name: &'static str,
    kind: &'static str,
    rise_k: f64,
    drop_kpa: f64,
    heat_kw: f64,
    walls: &'static [(&'static str, f64)],
    inputs: &'static [(&'static str, &'static str, Evidence)],
}

/// A part, or branches with a name and a share.
enum Step {
    One(Part),
    Split(Vec<(&'static str, f64, Vec<Part>)>),
}

const fn part(name: &'static str, kind: &'static str, rise_k: f64, drop_kpa: f64, heat_kw: f64) -> Part {
    Part { name, kind, rise_k, drop_kpa, heat_kw, walls: &[], inputs: &[] }
}

impl Part {
    const fn walls(mut self, walls: &'static [(&'static str, f64)]) -> Self {
        self.walls = walls;
        self
    }

    const fn inputs(mut self, inputs: &'static [(&'static str, &'static str, Evidence)]) -> Self {
        self.inputs = inputs;
        self
    }
}

/// All loops and ducts, everything warmer by some kelvin.
pub(super) fn all(project: &Invented, warmer: f64) -> Vec<StripPage> {
    let mut strips =
        vec![motor_loop(project, warmer), battery_loop(project, warmer), oil_loop(project, warmer)];
    strips.extend([nose_duct(project, warmer), rotor_duct(project, warmer)]);
    strips
}

fn motor_loop(project: &Invented, warmer: f64) -> StripPage {
    use Evidence::{Assumed, Fitted, Measured, Vendor};
    let steps = vec![
        Step::One(
            part("Feed hose", "hose", 0.0, 3.1, 0.0)
                .inputs(&[("bore", "19 mm", Vendor), ("length", "1.4 m", Assumed)]),
        ),
        Step::One(
            part("Inverter plate", "cold plate", 2.6, 14.2, 2.11)
                .walls(&[("Inverter 1 baseplate", 63.8), ("Inverter 2 baseplate", 64.4)])
                .inputs(&[
                    ("channel width", "3.2 mm", Vendor),
                    ("channels", "18", Vendor),
                    ("plate length", "210 mm", Vendor),
                ]),
        ),
        Step::Split(vec![
            (
                "motor 1",
                0.52,
                vec![
                    part("Motor 1 jacket", "jacket", 9.4, 21.0, 3.96)
                        .walls(&[("Motor 1 stator", 84.2), ("Motor 1 winding", 136.0)])
                        .inputs(&[("conductance", "182 W/K", Fitted), ("volume", "0.31 L", Measured)]),
                    part("Motor 1 hose", "hose", 0.0, 2.2, 0.0).inputs(&[("bore", "16 mm", Vendor)]),
                ],
            ),
            (
                "motor 2",
                0.48,
                vec![
                    part("Motor 2 jacket", "jacket", 10.3, 23.2, 3.98)
                        .walls(&[("Motor 2 stator", 85.7), ("Motor 2 winding", 138.4)])
                        .inputs(&[("conductance", "176 W/K", Fitted), ("volume", "0.31 L", Measured)]),
                ],
            ),
        ]),
        Step::One(part("Nose core", "core", -12.2, 17.5, -9.99).walls(&[("Nose core fins", 52.6)]).inputs(
            &[
                ("face area", "0.082 m2", Assumed),
                ("fin pitch", "1.4 mm", Vendor),
                ("flow depth", "32 mm", Vendor),
                ("fouling", "5 %", Assumed),
            ],
        )),
        Step::One(
            part("Reservoir", "reservoir", 0.0, 0.6, -0.02)
                .inputs(&[("gas volume", "0.45 L", Vendor), ("cap opens at", "1.1 bar gauge", Vendor)]),
        ),
        Step::One(part("Pump 1", "pump", 0.0, -58.6, 0.06).inputs(&[("speed", "5200 rpm", Assumed)])),
    ];
    let medium = "ethylene glycol 50 % by mass";
    let mut page = Unroll::new("Motor loop", StripKind::Loop, medium, "12.4 L/min").run(
        project,
        56.1 + warmer,
        184.0,
        steps,
    );
    page.table.inputs = vec![
        field(project, "Motor loop/medium", "medium", "EG 50 % by mass", Assumed),
        field(project, "Motor loop/fill", "cold fill", "2.9 L", Measured),
    ];
    page
}

fn battery_loop(project: &Invented, warmer: f64) -> StripPage {
    use Evidence::{Assumed, Measured, Vendor};
    let steps = vec![
        Step::One(
            part("Battery plate 1", "cold plate", 1.4, 9.0, 0.82)
                .walls(&[("Cell group 1", 38.2), ("Cell group 2", 38.9)])
                .inputs(&[("conductance", "95 W/K", Measured), ("segments", "8", Assumed)]),
        ),
        Step::One(
            part("Battery plate 2", "cold plate", 1.5, 9.1, 0.86)
                .walls(&[("Cell group 3", 39.8), ("Cell group 4", 40.6)])
                .inputs(&[("conductance", "95 W/K", Measured), ("segments", "8", Assumed)]),
        ),
        Step::Split(vec![
            (
                "through core",
                0.71,
                vec![
                    part("Tail core", "core", -4.2, 11.0, -1.70)
                        .walls(&[("Tail core fins", 34.0)])
                        .inputs(&[("face area", "0.031 m2", Assumed), ("fin pitch", "1.6 mm", Vendor)]),
                ],
            ),
            ("bypass", 0.29, vec![]),
        ]),
        Step::One(
            part("Thermostat", "thermostat", 0.0, 1.4, 0.0)
                .inputs(&[("opens at", "28 degC", Vendor), ("full at", "36 degC", Vendor)]),
        ),
        Step::One(part("Pump 2", "pump", 0.1, -30.5, 0.03).inputs(&[("speed", "3400 rpm", Assumed)])),
    ];
    Unroll::new("Battery loop", StripKind::Loop, "propylene glycol 40 % by volume", "8.9 L/min").run(
        project,
        33.6 + warmer,
        152.0,
        steps,
    )
}

fn oil_loop(project: &Invented, warmer: f64) -> StripPage {
    use Evidence::{Assumed, Vendor};
    let steps = vec![
        Step::One(part("Oil filter", "restrictor", 0.0, 38.0, 0.0).inputs(&[(
            "loss",
            "1.9 bar at 9 L/min",
            Vendor,
        )])),
        Step::One(
            part("Gearbox", "gearbox", 8.3, 12.0, 1.36)
                .walls(&[("Sump", 86.0), ("Input bearing", 97.5)])
                .inputs(&[("mesh efficiency", "98.9 %", Assumed), ("oil level", "22 mm", Assumed)]),
        ),
        Step::One(
            part("Oil core", "oil cooler", -8.6, 64.0, -1.41)
                .walls(&[("Oil core fins", 68.0)])
                .inputs(&[("face area", "0.018 m2", Assumed), ("rows", "2", Vendor)]),
        ),
        Step::One(part("Oil pump", "pump", 0.3, -114.0, 0.05).inputs(&[("displacement", "4.2 cm3", Vendor)])),
    ];
    Unroll::new("Gearbox oil", StripKind::Loop, "ISO VG 32", "5.1 L/min").flagged("Oil core").run(
        project,
        74.0 + warmer,
        310.0,
        steps,
    )
}

fn nose_duct(project: &Invented, warmer: f64) -> StripPage {
    use Evidence::{Assumed, Vendor};
    let steps = vec![
        Step::One(part("Nose inlet", "inlet", 0.0, -0.21, 0.0).inputs(&[("recovery", "0.82", Assumed)])),
        Step::One(part("Screen", "screen", 0.0, 0.09, 0.0).inputs(&[("open area", "61 %", Vendor)])),
        Step::One(part("Nose core, air side", "core", 11.8, 0.46, 9.99).walls(&[("Nose core fins", 52.6)])),
        Step::One(part("Nose fan", "fan", 0.9, -0.52, 0.76).inputs(&[("speed", "6100 rpm", Assumed)])),
        Step::One(part("Chin outlet", "outlet", 0.0, 0.18, 0.0).inputs(&[("area", "0.055 m2", Assumed)])),
    ];
    Unroll::new("Nose duct", StripKind::Duct, "air", "0.84 kg/s").run(project, 38.0 + warmer, 84.3, steps)
}

fn rotor_duct(project: &Invented, warmer: f64) -> StripPage {
    let steps = vec![
        Step::One(part("Rotor air inlet", "inlet", 0.0, 0.05, 0.0)),
        Step::Split(vec![
            (
                "motor 1",
                0.5,
                vec![part("Rotor 1", "rotor gap", 17.2, 0.31, 0.35).walls(&[("Rotor 1 magnets", 92.0)])],
            ),
            (
                "motor 2",
                0.5,
                vec![part("Rotor 2", "rotor gap", 17.9, 0.31, 0.36).walls(&[("Rotor 2 magnets", 94.1)])],
            ),
        ]),
        Step::One(part("Cowl outlet", "outlet", 0.0, 0.04, 0.0)),
    ];
    Unroll::new("Rotor air", StripKind::Duct, "air", "0.041 kg/s").run(project, 38.0 + warmer, 84.4, steps)
}

/// Walks along the flow and keeps temperature and pressure.
struct Unroll {
    strip: FlowStripData,
    rows: Vec<DeviceRow>,
    flagged: &'static str,
    warmer: f64,
}

impl Unroll {
    fn new(name: &str, kind: StripKind, medium: &str, flow: &str) -> Self {
        let strip = FlowStripData {
            name: name.to_owned(),
            kind,
            medium: medium.to_owned(),
            flow: flow.to_owned(),
            temperature_unit: "°C".to_owned(),
            pressure_unit: "kPa".to_owned(),
            entries: Vec::new(),
        };
        Self { strip, rows: Vec::new(), flagged: "", warmer: 0.0 }
    }

    fn flagged(mut self, device: &'static str) -> Self {
        self.flagged = device;
        self
    }

    fn run(mut self, project: &Invented, temperature: f64, pressure: f64, steps: Vec<Step>) -> StripPage {
        // Walls are given for the hot day at 5000 ft.
        let (mut t, mut p) = (temperature, pressure);
        self.warmer = temperature - first_temperature(&self.strip.name);
        for step in steps {
            match step {
                Step::One(part) => {
                    let device = self.device(project, &part, None, 1.0, (t, p));
                    (t, p) = (device.temperature_out, device.pressure_out);
                    self.strip.entries.push(StripEntry::Device(device));
                }
                Step::Split(branches) => (t, p) = self.split(project, branches, (t, p)),
            }
        }
        let (flow_unit, heat_unit) = match self.strip.kind {
            StripKind::Loop => ("L/min", "kW"),
            StripKind::Duct => ("kg/s", "kW"),
        };
        let table = DeviceTable {
            flow_unit: flow_unit.to_owned(),
            temperature_unit: "°C".to_owned(),
            pressure_unit: "kPa".to_owned(),
            heat_unit: heat_unit.to_owned(),
            inputs: Vec::new(),
            rows: self.rows,
        };
        StripPage { strip: self.strip, table }
    }

    fn split(
        &mut self,
        project: &Invented,
        branches: Vec<(&'static str, f64, Vec<Part>)>,
        (t, p): (f64, f64),
    ) -> (f64, f64) {
        let mut mixed = 0.0;
        let mut pressure_out = p;
        let mut all = Vec::new();
        for (name, share, parts) in branches {
            let (mut bt, mut bp) = (t, p);
            let mut entries = Vec::new();
            for part in &parts {
                let device = self.device(project, part, Some(name), share, (bt, bp));
                (bt, bp) = (device.temperature_out, device.pressure_out);
                entries.push(StripEntry::Device(device));
            }
            mixed += share * bt;
            pressure_out = pressure_out.min(bp);
            all.push(Branch { name: name.to_owned(), share, entries });
        }
        self.strip.entries.push(StripEntry::Parallel(all));
        (mixed, pressure_out)
    }

    fn device(
        &mut self,
        project: &Invented,
        part: &Part,
        branch: Option<&str>,
        share: f64,
        (t, p): (f64, f64),
    ) -> StripDevice {
        let flag = if part.name == self.flagged { Flag::OutOfRange } else { Flag::Plain };
        let wall = |(name, temperature): &(&str, f64)| WallMark {
            name: (*name).to_owned(),
            temperature: temperature + self.warmer,
        };
        let device = StripDevice {
            name: part.name.to_owned(),
            kind: part.kind.to_owned(),
            temperature_in: t,
            temperature_out: t + part.rise_k,
            pressure_in: p,
            pressure_out: p - part.drop_kpa,
            heat_kw: part.heat_kw,
            walls: part.walls.iter().map(wall).collect(),
            flag,
        };
        let (flow, decimals) = match self.strip.kind {
            StripKind::Loop => (self.strip.flow.trim_end_matches(" L/min"), 1),
            StripKind::Duct => (self.strip.flow.trim_end_matches(" kg/s"), 3),
        };
        let flow = share * flow.parse::<f64>().unwrap_or(f64::NAN);
        let path = |label: &str| format!("{}/{}/{label}", self.strip.name, part.name);
        self.rows.push(DeviceRow {
            path: String::new(),
            tables: Vec::new(),
            duty: None,
            name: part.name.to_owned(),
            kind: part.kind.to_owned(),
            branch: branch.map(str::to_owned),
            flow: Figure::new(flow, decimals),
            inlet: Figure::new(device.temperature_in, 1),
            outlet: Figure::new(device.temperature_out, 1),
            pressure: Figure::new(device.pressure_out, 1),
            drop: Figure::new(part.drop_kpa, if self.strip.kind == StripKind::Duct { 2 } else { 1 }),
            heat: Figure::new(part.heat_kw, 2).explained("heat").flagged(flag),
            inputs: part
                .inputs
                .iter()
                .map(|(label, text, evidence)| field(project, &path(label), label, text, *evidence))
                .collect(),
        });
        device
    }
}

/// The first temperature of each strip on the hot day at 5000 ft.
fn first_temperature(strip: &str) -> f64 {
    match strip {
        "Motor loop" => 56.1,
        "Battery loop" => 33.6,
        "Gearbox oil" => 74.0,
        _ => 38.0,
    }
}

fn field(project: &Invented, path: &str, label: &str, text: &str, evidence: Evidence) -> InputField {
    InputField {
        path: path.to_owned(),
        label: label.to_owned(),
        text: project.input(path, text),
        evidence,
        note: "invented for the gallery".to_owned(),
        is_whole: false,
    }
}
