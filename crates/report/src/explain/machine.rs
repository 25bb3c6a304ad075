//! Sources and links outside the circuits: heats, electric drive, heat paths.

use super::{Explanation, Level};
use model::aircraft::component::{HeatLaw, LinkLaw, StillShape, WashedShape};
use model::aircraft::power_path::{ConductorResistance, ConverterLosses};
use model::aircraft::powertrain::{Bus, GearLosses, InverterLosses, MotorLosses, Powertrain};
use model::aircraft::project::Project;

/// Explanations of heats, drive and links.
pub(super) fn all(project: &Project) -> Vec<Explanation> {
    let mut found = heats(project);
    found.extend(drive(project));
    found.extend(links(project));
    found
}

fn heats(project: &Project) -> Vec<Explanation> {
    project
        .heats
        .iter()
        .map(|heat| {
            let (law, input) = match &heat.law {
                HeatLaw::Fixed(power) => (format!("{} ({})", power.text(), power.evidence()), power),
                HeatLaw::Growing(law) => (
                    format!(
                        "{} at {}, grows by {} ({})",
                        law.heat.text(),
                        law.reference.text(),
                        law.slope.text(),
                        law.heat.evidence()
                    ),
                    &law.heat,
                ),
            };
            Explanation::new(heat.name.as_str(), "heat", Level::Fixed, law).sourced(input.source())
        })
        .collect()
}

fn drive(project: &Project) -> Vec<Explanation> {
    let Some(powertrain) = &project.powertrain else { return Vec::new() };
    let mut found = Vec::new();
    for motor in &powertrain.motors {
        let name = motor.name.as_str();
        let (level, law) = match &motor.losses {
            MotorLosses::Fixed(_) => (Level::Fixed, "losses of one point, used at every point"),
            MotorLosses::Efficiency(_) => (Level::Fixed, "one efficiency with a split of the loss"),
            MotorLosses::Map(_) => (Level::Measured, "loss map over torque and speed with a split"),
            MotorLosses::Maps(_) => {
                (Level::Measured, "loss maps over torque, speed and bus voltage with a split")
            }
            MotorLosses::Machine(_) => (
                Level::Geometry,
                "copper loss with its growth by temperature, torque constant with magnet temperature, iron loss by speed",
            ),
        };
        found.push(Explanation::new(name, "motor loss", level, law));
        let (level, law) = match &motor.inverter_losses {
            InverterLosses::Fixed(_) => (Level::Fixed, "one value whenever it carries current"),
            InverterLosses::Efficiency(_) => (Level::Fixed, "one efficiency"),
            InverterLosses::Map(_) => (Level::Measured, "loss map over phase current and bus voltage"),
            InverterLosses::Devices(_) => {
                (Level::Geometry, "conduction and switching of its power devices at the bus voltage")
            }
        };
        found.push(Explanation::new(name, "inverter loss", level, law));
    }
    if let Some(gearbox) = &powertrain.gearbox {
        let (level, law) = match &gearbox.losses {
            GearLosses::Fixed(_) => (Level::Fixed, "one value while it turns"),
            GearLosses::Efficiency(_) => (Level::Fixed, "mesh efficiency and drag at the reference speed"),
            GearLosses::Geometry(_) => (
                Level::Geometry,
                "mesh by Ohlendorf 1958 and churning by teeth and immersion (ISO/TR 14179-2)",
            ),
        };
        found.push(Explanation::new(&gearbox.sump, "gearbox loss", level, law));
    }
    let bus = match &powertrain.bus {
        Bus::Supply(voltage) => {
            Explanation::new("bus", "voltage", Level::Fixed, voltage.text()).sourced(voltage.source())
        }
        Bus::Pack(pack) => Explanation::new(
            &pack.cells,
            "pack loss",
            Level::Measured,
            format!(
                "{} cells in series, {} in parallel; resistance over state of charge, temperature and age, current from power",
                pack.series, pack.parallel
            ),
        ),
    };
    found.push(bus);
    found.extend(power_path(powertrain));
    found
}

fn power_path(powertrain: &Powertrain) -> Vec<Explanation> {
    let mut found = Vec::new();
    for converter in &powertrain.converters {
        let (level, law) = match &converter.losses {
            ConverterLosses::Fixed(heat) => (Level::Fixed, format!("{} at every output", heat.text())),
            ConverterLosses::Efficiency(law) => (
                Level::Fixed,
                format!("efficiency {} and {} at no load", law.efficiency.text(), law.standing.text()),
            ),
            ConverterLosses::Table(_) => (Level::Measured, "loss over output power".to_owned()),
        };
        found.push(Explanation::new(converter.name.as_str(), "converter loss", level, law));
    }
    for motor in &powertrain.motors {
        let (level, law) = resistance(&motor.cable);
        found.push(Explanation::new(motor.name.as_str(), "cable resistance", level, law));
    }
    if let Bus::Pack(pack) = &powertrain.bus {
        for conductor in &pack.conductors {
            let (level, law) = resistance(&conductor.resistance);
            found.push(Explanation::new(conductor.name.as_str(), "resistance", level, law));
        }
    }
    found
}

fn resistance(resistance: &ConductorResistance) -> (Level, String) {
    match resistance {
        ConductorResistance::Fixed(value) => (Level::Fixed, format!("{} at every temperature", value.text())),
        ConductorResistance::Measured(law) => (
            Level::Measured,
            format!("{} at {}, grows by {}", law.resistance.text(), law.at.text(), law.growth.text()),
        ),
        ConductorResistance::Dimensions(bar) => (
            Level::Geometry,
            format!(
                "{} of {}, metal by IEC 60228, joints {}",
                bar.length.text(),
                bar.area.text(),
                bar.joints.text()
            ),
        ),
    }
}

fn links(project: &Project) -> Vec<Explanation> {
    project
        .links
        .iter()
        .map(|link| {
            let place = match &link.name {
                Some(name) => name.as_str().to_owned(),
                None => format!("{} to {}", link.from, link.to),
            };
            let (level, law, source) = link_law(&link.law);
            Explanation::new(&place, "heat path", level, law).sourced(source)
        })
        .collect()
}

/// Level, law in words, and source: stated with the input, or that of the relation.
fn link_law(law: &LinkLaw) -> (Level, String, Option<&str>) {
    let published = |name: &str| crate::relations::named(name).map(|r| r.source);
    match law {
        LinkLaw::Conductance(value) => {
            (Level::Fixed, format!("{} ({})", value.text(), value.evidence()), value.source())
        }
        LinkLaw::Contact(joint) => (
            Level::Fixed,
            format!("joint of {} at {}", joint.area.text(), joint.coefficient.text()),
            joint.coefficient.source(),
        ),
        LinkLaw::StillAir(still) => {
            let (shape, name) = match still.shape {
                StillShape::VerticalPlate => ("vertical plate", "churchill_chu_1975_vertical_plate_all_Ra"),
                StillShape::HorizontalCylinder => {
                    ("horizontal cylinder", "churchill_chu_1975_horizontal_cylinder")
                }
            };
            (
                Level::Geometry,
                format!("still air at a {shape} of {}, {}", still.size.text(), still.area.text()),
                published(name),
            )
        }
        LinkLaw::MovingAir(moving) => {
            let (shape, name) = match moving.shape {
                WashedShape::FlatPlate => ("flat plate", "flat_plate_all_regimes"),
                WashedShape::Cylinder => ("cylinder across the flow", "churchill_bernstein_1977_cylinder"),
            };
            (
                Level::Geometry,
                format!("moving air at a {shape} of {}, {}", moving.size.text(), moving.area.text()),
                published(name),
            )
        }
        LinkLaw::Radiation(radiation) => (
            Level::Geometry,
            format!("radiation, emissivity {} on {}", radiation.emissivity.text(), radiation.area.text()),
            published("grey_surface_to_large_enclosure_exact"),
        ),
        LinkLaw::AirGap(gap) => (
            Level::Geometry,
            format!("air gap of {} at radius {}, turned by {}", gap.gap.text(), gap.radius.text(), gap.motor),
            published("becker_kaye_1962_with_geometry_factor"),
        ),
        LinkLaw::TurningCylinder(cylinder) => (
            Level::Geometry,
            format!("cylinder of radius {} turned by {}", cylinder.radius.text(), cylinder.motor),
            published("rotating_cylinder_becker_1963"),
        ),
        LinkLaw::Vent(vent) => {
            (Level::Fixed, format!("air exchanged at {}", vent.flow.text()), vent.flow.source())
        }
    }
}
