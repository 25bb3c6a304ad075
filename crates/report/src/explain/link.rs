//! Heat paths outside the circuits.

use super::explanation::{Explanation, Fidelity, kw};
use super::written::{Written, check, step};
use crate::celsius;
use aircraft::records::component::{AirGap, Link, LinkLaw, StillShape, TurningCylinder, WashedShape};
use aircraft::records::project::Project;
use correlations::{Evaluated, Step};
use media::air;
use model::result::{CaseResult, LinkPart, LinkResult};
use std::f64::consts::{PI, TAU};

/// Standard acceleration of gravity, m/s2.
const GRAVITY_M_S2: f64 = 9.80665;
/// Difference below which natural convection no longer weakens in the solver, K.
const MIN_DIFFERENCE_K: f64 = 0.05;

/// Explanations of every heat path; the law alone for a case without a state.
pub(super) fn all(project: &Project, result: &CaseResult) -> Vec<Explanation> {
    project.links.iter().enumerate().map(|(index, link)| path(link, result.links.get(index))).collect()
}

fn path(link: &Link, state: Option<&LinkResult>) -> Explanation {
    let name = link.called();
    let (level, law) = words(&link.law);
    let line = Explanation::new(&name, "heat path", level, law).sourced(stated(&link.law));
    let Some(state) = state else { return line };
    let passed = |part: &&LinkPart| part.heat_w.abs();
    let Some(part) = state.parts.iter().max_by(|a, b| passed(a).total_cmp(&passed(b))) else { return line };
    let at = Ends { part: *part, state, share: 1.0 / state.parts.len() as f64 };
    let evaluated = at.evaluated(&link.law);
    let line = match (&line.source, &evaluated) {
        (None, Some(found)) if level == Fidelity::Geometry => line.sourced(Some(found.source)),
        _ => line,
    };
    summary(line.by(evaluated), state)
}

/// What the whole path passes.
fn summary(line: Explanation, state: &LinkResult) -> Explanation {
    let sum = |of: fn(&LinkPart) -> f64| state.parts.iter().map(of).sum::<f64>();
    let ends = |of: fn(&LinkPart) -> f64| {
        let (low, high) = state
            .parts
            .iter()
            .map(|part| celsius(of(part)))
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), t| (low.min(t), high.max(t)));
        if high - low < 0.05 { format!("{high:.1} degC") } else { format!("{low:.1} to {high:.1} degC") }
    };
    let line = line.giving(format!(
        "{} passes from {} to {} at {:.3} W/K",
        kw(sum(|part| part.heat_w)),
        ends(|part| part.first_k),
        ends(|part| part.second_k),
        sum(|part| part.conductance_w_k)
    ));
    match state.parts.len() {
        1 => line,
        parts => line.giving(format!(
            "{parts} equal parts side by side; the steps are those of the part that passes most"
        )),
    }
}

/// Level and law in words.
fn words(law: &LinkLaw) -> (Fidelity, String) {
    match law {
        LinkLaw::Conductance(value) => (Fidelity::Fixed, format!("{} ({})", value.text(), value.evidence())),
        LinkLaw::Contact(joint) => {
            (Fidelity::Fixed, format!("joint of {} at {}", joint.area.text(), joint.coefficient.text()))
        }
        LinkLaw::StillAir(still) => {
            let shape = match still.shape {
                StillShape::VerticalPlate => "vertical plate",
                StillShape::HorizontalCylinder => "horizontal cylinder",
            };
            (
                Fidelity::Geometry,
                format!("still air at a {shape} of {}, {}", still.size.text(), still.area.text()),
            )
        }
        LinkLaw::MovingAir(moving) => {
            let shape = match moving.shape {
                WashedShape::FlatPlate => "flat plate",
                WashedShape::Cylinder => "cylinder across the flow",
            };
            let speed = match &moving.speed {
                Some(speed) => format!("{} of {}", moving.share.text(), speed.text()),
                None => format!("{} of the airspeed", moving.share.text()),
            };
            (
                Fidelity::Geometry,
                format!(
                    "moving air, {speed}, at a {shape} of {}, {}",
                    moving.size.text(),
                    moving.area.text()
                ),
            )
        }
        LinkLaw::Radiation(radiation) => (
            Fidelity::Geometry,
            format!("radiation, emissivity {} on {}", radiation.emissivity.text(), radiation.area.text()),
        ),
        LinkLaw::AirGap(gap) => (
            Fidelity::Geometry,
            format!(
                "air gap of {} at radius {}, {} long, turned by {}",
                gap.gap.text(),
                gap.radius.text(),
                gap.length.text(),
                gap.motor
            ),
        ),
        LinkLaw::TurningCylinder(cylinder) => (
            Fidelity::Geometry,
            format!(
                "cylinder of radius {}, {} long, turned by {} in free air",
                cylinder.radius.text(),
                cylinder.length.text(),
                cylinder.motor
            ),
        ),
        LinkLaw::Vent(vent) => (Fidelity::Fixed, format!("air exchanged at {}", vent.flow.text())),
    }
}

/// Source stated with the input that carries the law.
fn stated(law: &LinkLaw) -> Option<&str> {
    match law {
        LinkLaw::Conductance(value) => value.source(),
        LinkLaw::Contact(joint) => joint.coefficient.source(),
        LinkLaw::Vent(vent) => vent.flow.source(),
        _ => None,
    }
}

/// Air at the mean of the two ends.
struct Film {
    mean_k: f64,
    conductivity: f64,
    kinematic_viscosity: f64,
    prandtl: f64,
}

/// Both ends of one part of a path.
struct Ends<'a> {
    part: LinkPart,
    state: &'a LinkResult,
    /// Share of area, length, conductance and flow that this part has.
    share: f64,
}

impl Ends<'_> {
    fn evaluated(&self, law: &LinkLaw) -> Option<Evaluated> {
        match law {
            LinkLaw::Conductance(value) => {
                let conductance = value.si() * self.share;
                let law = self.conduction("conduction").input("conductance_W_K", conductance);
                Some(law.giving(conductance * self.difference_k()))
            }
            LinkLaw::Contact(joint) => {
                let (area, coefficient) = (joint.area.si() * self.share, joint.coefficient.si());
                let law = self
                    .conduction("contact")
                    .inputs(&[("area_m2", area), ("contact_coefficient_W_m2K", coefficient)])
                    .step("conductance", area * coefficient, "W/K", "area times contact coefficient");
                Some(law.giving(area * coefficient * self.difference_k()))
            }
            LinkLaw::StillAir(still) => {
                let name = match still.shape {
                    StillShape::VerticalPlate => "churchill_chu_1975_vertical_plate_all_Ra",
                    StillShape::HorizontalCylinder => "churchill_chu_1975_horizontal_cylinder",
                };
                self.still_air(name, still.size.si(), still.area.si() * self.share)
            }
            LinkLaw::MovingAir(moving) => {
                let name = match moving.shape {
                    WashedShape::FlatPlate => "flat_plate_all_regimes",
                    WashedShape::Cylinder => "churchill_bernstein_1977_cylinder",
                };
                self.moving_air(name, moving.size.si(), moving.area.si() * self.share)
            }
            LinkLaw::Radiation(radiation) => {
                self.radiation(radiation.emissivity.si(), radiation.area.si() * self.share)
            }
            LinkLaw::AirGap(gap) => self.air_gap(gap),
            LinkLaw::TurningCylinder(cylinder) => self.turning_cylinder(cylinder),
            LinkLaw::Vent(vent) => Some(self.vent(vent.flow.si() * self.share)),
        }
    }

    fn conduction(&self, name: &'static str) -> Written {
        Written::new(name, "heat", "W")
            .inputs(&[("first_K", self.part.first_k), ("second_K", self.part.second_k)])
            .step("temperature_difference", self.difference_k(), "K", "first less second end")
            .source("definition of a conductance")
    }

    fn difference_k(&self) -> f64 {
        self.part.first_k - self.part.second_k
    }

    fn film(&self) -> Film {
        let mean_k = 0.5 * (self.part.first_k + self.part.second_k);
        Film {
            mean_k,
            conductivity: air::conductivity(mean_k),
            kinematic_viscosity: air::viscosity(mean_k) / air::density(mean_k, self.state.pressure_pa),
            prandtl: air::prandtl(mean_k),
        }
    }

    /// A relation for a Nusselt number, with the state of the air before it and what follows from it after it.
    fn convection(&self, found: Evaluated, air: &Film, before: Vec<Step>, size: &Surface) -> Evaluated {
        let mut found = found;
        let coefficient = found.value * air.conductivity / size.length_m;
        let conductance = coefficient * size.area_m2;
        let mut chain = vec![
            step("first_temperature", self.part.first_k, "K", "solution"),
            step("second_temperature", self.part.second_k, "K", "solution"),
            step("film_temperature", air.mean_k, "K", "mean of the two ends"),
            step("air_pressure", self.state.pressure_pa, "Pa", "pressure altitude of the condition"),
            step("air_conductivity", air.conductivity, "W/(m K)", "air at the film temperature"),
            step("air_kinematic_viscosity", air.kinematic_viscosity, "m2/s", "viscosity over density"),
        ];
        chain.extend(before);
        chain.append(&mut found.chain);
        chain.extend([
            step("heat_transfer_coefficient", coefficient, "W/(m2 K)", size.coefficient),
            step("area", size.area_m2, "m2", size.by),
            step("conductance", conductance, "W/K", "coefficient times area"),
            step("heat", conductance * self.difference_k(), "W", "conductance times temperature difference"),
        ]);
        // a step that the relation already made keeps its place
        let mut seen: Vec<&str> = Vec::new();
        chain.retain(|s| {
            let new = !seen.contains(&s.quantity);
            seen.push(s.quantity);
            new
        });
        found.chain = chain;
        check(&mut found, "film_temperature_K", air.mean_k, air::RANGE_K);
        found
    }

    fn still_air(&self, name: &str, size_m: f64, area_m2: f64) -> Option<Evaluated> {
        let air = self.film();
        let difference = self.difference_k().hypot(MIN_DIFFERENCE_K);
        let rayleigh = GRAVITY_M_S2 / air.mean_k * difference * size_m.powi(3) * air.prandtl
            / (air.kinematic_viscosity * air.kinematic_viscosity);
        let found = correlations::evaluate(name, &[("rayleigh", rayleigh), ("prandtl", air.prandtl)]).ok()?;
        let before = vec![
            step("temperature_difference", difference, "K", "first less second end, rounded over 0.05 K"),
            step("rayleigh", rayleigh, "-", "g beta dT L^3 Pr/nu^2, beta 1 over film temperature"),
        ];
        Some(self.convection(found, &air, before, &Surface::given(size_m, area_m2)))
    }

    fn moving_air(&self, name: &str, size_m: f64, area_m2: f64) -> Option<Evaluated> {
        let air = self.film();
        let speed_m_s = self.state.speed.abs();
        let reynolds = speed_m_s * size_m / air.kinematic_viscosity;
        let found = correlations::evaluate(name, &[("reynolds", reynolds), ("prandtl", air.prandtl)]).ok()?;
        let before = vec![
            step("air_speed", speed_m_s, "m/s", "share of the speed that reaches the surface"),
            step("reynolds", reynolds, "-", "speed times size over kinematic viscosity"),
        ];
        Some(self.convection(found, &air, before, &Surface::given(size_m, area_m2)))
    }

    fn radiation(&self, emissivity: f64, area_m2: f64) -> Option<Evaluated> {
        let mut found = correlations::evaluate(
            "grey_surface_to_large_enclosure_exact",
            &[
                ("emissivity", emissivity),
                ("temperature_1_K", self.part.first_k),
                ("temperature_2_K", self.part.second_k),
            ],
        )
        .ok()?;
        let conductance = found.value * area_m2;
        found.chain.extend([
            step("area", area_m2, "m2", "input"),
            step("conductance", conductance, "W/K", "coefficient times area"),
            step("heat", conductance * self.difference_k(), "W", "conductance times temperature difference"),
        ]);
        Some(found)
    }

    fn air_gap(&self, gap: &AirGap) -> Option<Evaluated> {
        let air = self.film();
        let (radius, width) = (gap.radius.si(), gap.gap.si());
        let found = correlations::evaluate(
            "becker_kaye_1962_with_geometry_factor",
            &[
                ("speed_rad_s", self.state.speed),
                ("rotor_radius_m", radius),
                ("gap_m", width),
                ("kinematic_viscosity_m2_s", air.kinematic_viscosity),
                ("conductivity_W_mK", air.conductivity),
            ],
        )
        .ok()?;
        let size = Surface {
            length_m: 2.0 * width,
            area_m2: TAU * radius * gap.length.si() * self.share,
            coefficient: "Nu k/(2 gap), surface to surface",
            by: "2 pi times rotor radius times length",
        };
        Some(self.convection(found, &air, Vec::new(), &size))
    }

    fn turning_cylinder(&self, cylinder: &TurningCylinder) -> Option<Evaluated> {
        let air = self.film();
        let diameter = 2.0 * cylinder.radius.si();
        let reynolds = self.state.speed.abs() * diameter * diameter / (2.0 * air.kinematic_viscosity);
        let inputs = [("rotational_reynolds", reynolds), ("prandtl", air.prandtl)];
        let found = correlations::evaluate("rotating_cylinder_becker_1963", &inputs).ok()?;
        let before = vec![
            step("speed", self.state.speed, "rad/s", "speed of the motor"),
            step("rotational_reynolds", reynolds, "-", "w D^2/(2 nu)"),
        ];
        let size = Surface {
            length_m: diameter,
            area_m2: PI * diameter * cylinder.length.si() * self.share,
            coefficient: "Nu k over diameter",
            by: "pi times diameter times length",
        };
        Some(self.convection(found, &air, before, &size))
    }

    fn vent(&self, mass_flow_kg_s: f64) -> Evaluated {
        let (first, second) = (self.part.first_k, self.part.second_k);
        Written::new("air_exchange", "heat", "W")
            .inputs(&[("first_K", first), ("second_K", second), ("mass_flow_kg_s", mass_flow_kg_s)])
            .step("first_enthalpy", air::enthalpy(first), "J/kg", "air, above 0 degC")
            .step("second_enthalpy", air::enthalpy(second), "J/kg", "air, above 0 degC")
            .within("first_K", first, air::RANGE_K)
            .within("second_K", second, air::RANGE_K)
            .range("air from -93 to 227 degC")
            .source(air::SOURCE)
            .giving(mass_flow_kg_s * (air::enthalpy(first) - air::enthalpy(second)))
    }
}

/// What turns a Nusselt number into a conductance.
struct Surface {
    /// Length of the Nusselt number, m.
    length_m: f64,
    /// Area, m2.
    area_m2: f64,
    /// How the coefficient follows.
    coefficient: &'static str,
    /// How the area follows.
    by: &'static str,
}

impl Surface {
    fn given(length_m: f64, area_m2: f64) -> Self {
        Self { length_m, area_m2, coefficient: "Nu k over size", by: "input" }
    }
}
