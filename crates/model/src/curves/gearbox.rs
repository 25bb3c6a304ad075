//! Gearbox, and the stages behind it: meshes, churning, bearings.

use super::figure::{
    Axis, Figure, LOSS, MachineCurves, MachineKind, SPEED, Value, efficiency, line, parts, reach, value,
};
use super::level;
use super::level::Level;
use crate::assembly::{Gears, gear_law, liquid};
use crate::result::GearReading;
use aircraft::records::gearbox::GearLosses;
use aircraft::records::project::Project;
use powertrain::gearbox::{self as law, GearHeat, GearPoint};
use schema::{Node, Problem, decode};
use units::Kind;

const POWER: Axis = Axis { name: "input power", kind: Kind::Power };
const OIL: Axis = Axis { name: "oil", kind: Kind::Temperature };
/// Oil temperatures of the curve over oil, K: -20 to 120 degC.
const OIL_K: (f64, f64) = (253.15, 393.15);

pub(super) fn machine(
    project: &Project,
    spec: &Gears<'_>,
    state: Option<&GearReading>,
    case: &str,
) -> Result<MachineCurves, Problem> {
    let gearbox = gear_law(spec)?;
    let mut machine = MachineCurves {
        name: spec.name.to_owned(),
        sort: if spec.is_stage { MachineKind::Stage } else { MachineKind::Gearbox },
        path: spec.path.clone(),
        law: format!("{}.losses", spec.path),
        values: Vec::new(),
        figures: Vec::new(),
        levels: Vec::new(),
        note: String::new(),
    };
    let Some(state) = state else { return Ok(machine) };
    let bench = Bench { gearbox: &gearbox, spec, state };
    machine.values = bench.values();
    machine.figures = vec![bench.over_speed(), bench.over_power()];
    machine.figures.extend(bench.over_oil(project)?);
    machine.levels = bench.levels(case);
    Ok(machine)
}

struct Bench<'a> {
    gearbox: &'a law::Gearbox,
    spec: &'a Gears<'a>,
    state: &'a GearReading,
}

type Part = fn(&GearHeat<f64>) -> f64;

impl Bench<'_> {
    fn heat(&self, gearbox: &law::Gearbox, change: impl FnOnce(&mut GearPoint<f64>)) -> GearHeat<f64> {
        let mut point = self.state.point;
        change(&mut point);
        gearbox.heat(&point)
    }

    fn torque_nm(&self) -> f64 {
        let point = &self.state.point;
        if point.input_speed_rad_s > 1e-6 { point.input_power_w / point.input_speed_rad_s } else { 0.0 }
    }

    fn values(&self) -> Vec<Value> {
        let (point, heat) = (&self.state.point, &self.state.heat);
        let mut values = vec![
            value("loss", Kind::Power, heat.total()),
            efficiency(point.input_power_w - heat.total(), heat.total()),
            value("meshes", Kind::Power, heat.mesh_w),
            value("churning and windage", Kind::Power, heat.churning_w),
            value("input power", Kind::Power, point.input_power_w),
            value("input torque", Kind::Torque, self.torque_nm()),
            value("input speed", Kind::RotationalSpeed, point.input_speed_rad_s),
        ];
        if self.spec.is_stage {
            values.push(value("output power", Kind::Power, point.input_power_w - heat.total()));
            values.push(value(
                "output speed",
                Kind::RotationalSpeed,
                point.input_speed_rad_s / self.spec.ratio,
            ));
        }
        if self.spec.oil.is_some() {
            values.push(value("oil", Kind::Temperature, self.state.oil_k));
        }
        values.extend(self.viscosity());
        values
    }

    /// Viscosity of the oil, where one is named.
    fn viscosity(&self) -> Option<Value> {
        let value =
            value("oil viscosity", Kind::KinematicViscosity, self.state.point.oil_kinematic_viscosity_m2_s);
        self.spec.oil.map(|_| value)
    }

    fn lines(
        &self,
        range: (f64, f64),
        at: f64,
        change: &dyn Fn(&mut GearPoint<f64>, f64),
    ) -> Vec<super::Line> {
        let curve = |name: &str, part: Part| {
            line(name, range, at, |x| part(&self.heat(self.gearbox, |point| change(point, x))))
        };
        let mut lines = vec![curve("all", |heat| heat.total())];
        lines.extend(parts(vec![
            curve("meshes", |heat| heat.mesh_w),
            curve("churning and windage", |heat| heat.churning_w),
            curve("bearings", |heat| heat.bearing_w),
        ]));
        lines
    }

    fn over_speed(&self) -> Figure {
        let (point, torque) = (&self.state.point, self.torque_nm());
        let at = point.input_speed_rad_s;
        let known = match self.spec.losses {
            GearLosses::Efficiency(law) => law.reference_speed.si(),
            _ => 0.0,
        };
        Figure {
            title: "Loss over input speed",
            x: SPEED,
            y: LOSS,
            held: [value("input torque", Kind::Torque, torque)].into_iter().chain(self.viscosity()).collect(),
            lines: self.lines(reach(at, known), at, &|point, speed| {
                point.input_speed_rad_s = speed;
                point.input_power_w = torque * speed;
            }),
            measured: Vec::new(),
            span: None,
            at: Some((at, self.state.heat.total())),
        }
    }

    fn over_power(&self) -> Figure {
        let point = &self.state.point;
        let at = point.input_power_w;
        Figure {
            title: "Loss over input power",
            x: POWER,
            y: LOSS,
            held: [value("input speed", Kind::RotationalSpeed, point.input_speed_rad_s)]
                .into_iter()
                .chain(self.viscosity())
                .collect(),
            lines: self.lines(reach(at, 0.0), at, &|point, power| point.input_power_w = power),
            measured: Vec::new(),
            span: None,
            at: Some((at, self.state.heat.total())),
        }
    }

    /// Loss over the temperature of the oil, where the law looks at the oil.
    fn over_oil(&self, project: &Project) -> Result<Option<Figure>, Problem> {
        let (GearLosses::Geometry(_), Some(oil)) = (self.spec.losses, self.spec.oil) else { return Ok(None) };
        let oil = liquid(project, oil, &format!("{}.oil", self.spec.path))?;
        let (point, at) = (&self.state.point, self.state.oil_k);
        let range = (OIL_K.0.min(at), OIL_K.1.max(at));
        let change = |point: &mut GearPoint<f64>, kelvin: f64| {
            point.oil_density_kg_m3 = oil.density(kelvin);
            point.oil_kinematic_viscosity_m2_s = oil.viscosity(kelvin) / oil.density(kelvin);
        };
        Ok(Some(Figure {
            title: "Loss over oil temperature",
            x: OIL,
            y: LOSS,
            held: vec![
                value("input power", Kind::Power, point.input_power_w),
                value("input speed", Kind::RotationalSpeed, point.input_speed_rad_s),
            ],
            lines: self.lines(range, at, &change),
            measured: Vec::new(),
            span: None,
            at: Some((at, self.state.heat.total())),
        }))
    }

    fn levels(&self, case: &str) -> Vec<Level> {
        let judged = |node: &Node| {
            let losses = decode::<GearLosses>(node).value?;
            let gearbox = gear_law(&Gears { losses: &losses, ..self.spec.clone() }).ok()?;
            Some(self.heat(&gearbox, |_| ()).total())
        };
        level::all(self.spec.losses, |name| self.filled(name, case), judged)
    }

    fn filled(&self, name: &str, case: &str) -> Option<Node> {
        let (point, heat) = (&self.state.point, &self.state.heat);
        let told = |si: f64, kind, unit| level::told(si, kind, unit, case);
        let turns = point.input_speed_rad_s > 1.0 && point.input_power_w > 1.0;
        match name {
            "Fixed" => Some(Node::tuple(name, vec![told(heat.total(), Kind::Power, "W")?])),
            "Efficiency" if turns => {
                // a loss that is known as a whole goes to the meshes
                let mesh_w = heat.mesh_w + heat.undivided_w;
                Some(Node::record(
                    name,
                    vec![
                        ("efficiency", told(1.0 - mesh_w / point.input_power_w, Kind::Ratio, "")?),
                        ("drag", told(heat.churning_w + heat.bearing_w, Kind::Power, "W")?),
                        ("reference_speed", told(point.input_speed_rad_s, Kind::RotationalSpeed, "rpm")?),
                    ],
                ))
            }
            "Geometry" if self.spec.ratio >= 1.0 && self.spec.oil.is_some() => Some(self.teeth(name)),
            _ => None,
        }
    }

    /// One mesh of common proportions, and no wheel in the oil: to be replaced by the drawing.
    fn teeth(&self, name: &str) -> Node {
        let mesh = Node::record(
            "GearMesh",
            vec![
                ("name", Node::text("first mesh")),
                ("pinion_teeth", Node::count(ASSUMED_PINION_TEETH)),
                ("ratio", Node::number(self.spec.ratio)),
            ],
        );
        Node::record(name, vec![("meshes", Node::list(vec![mesh])), ("wheels", Node::list(Vec::new()))])
    }
}

/// Teeth of a pinion where none are known. Common practice, no source.
const ASSUMED_PINION_TEETH: usize = 25;
