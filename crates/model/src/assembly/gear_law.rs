//! From the records of a gearbox, or of a stage behind it, to its loss law.

use super::checked::{count, refused};
use aircraft::records::gearbox::{GearLosses, Gearbox};
use aircraft::records::stage::Stage;
use aircraft::records::surroundings::OUTSIDE_AIR;
use powertrain::gearbox::{ChurningWheel, GearGeometry, Mesh, immersed_area_m2};
use powertrain::loss::Loss;
use schema::Problem;

/// What a gearbox and a stage behind it have in common.
#[derive(Clone, Debug)]
pub struct Gears<'a> {
    /// Its name.
    pub name: &'a str,
    /// Whether it is a stage behind the gearbox.
    pub is_stage: bool,
    /// Address of its record.
    pub path: String,
    /// Speed on the side of the motors over that behind it.
    pub ratio: f64,
    /// Component that takes the heat, or the outside air.
    pub into: &'a str,
    /// Oil, if one is named.
    pub oil: Option<&'a str>,
    /// Losses.
    pub losses: &'a GearLosses,
}

impl<'a> Gears<'a> {
    /// Those of the gearbox.
    pub fn of_gearbox(gearbox: &'a Gearbox) -> Self {
        Self {
            name: "gearbox",
            is_stage: false,
            path: "powertrain.gearbox".to_owned(),
            ratio: gearbox.ratio.si(),
            into: &gearbox.sump,
            oil: Some(&gearbox.oil),
            losses: &gearbox.losses,
        }
    }

    /// Those of a stage.
    pub fn of_stage(stage: &'a Stage) -> Self {
        let name = stage.name.as_str();
        Self {
            name,
            is_stage: true,
            path: format!("powertrain.stages.{name}"),
            ratio: stage.ratio.si(),
            into: stage.into.as_deref().unwrap_or(OUTSIDE_AIR),
            oil: stage.oil.as_deref(),
            losses: &stage.losses,
        }
    }
}

/// The loss law of a gearbox, or of a stage behind it.
///
/// # Errors
/// A [`Problem`] that names the number that is not physical.
pub fn gear_law(gears: &Gears<'_>) -> Result<powertrain::gearbox::Gearbox, Problem> {
    let losses = match gears.losses {
        GearLosses::Fixed(heat) => {
            powertrain::gearbox::GearLosses::Fixed { mesh_w: heat.si(), churning_w: 0.0 }
        }
        GearLosses::Efficiency(law) => powertrain::gearbox::GearLosses::Efficiency {
            efficiency: law.efficiency.si(),
            drag: Loss::PowerLaw {
                reference_w: law.drag.si(),
                reference_load: law.reference_speed.si(),
                exponent: law.exponent.si(),
            },
        },
        GearLosses::Geometry(teeth) => powertrain::gearbox::GearLosses::Geometry(GearGeometry {
            meshes: teeth
                .meshes
                .iter()
                .map(|mesh| Mesh {
                    power_share: mesh.power_share.si(),
                    pinion_teeth: count(mesh.pinion_teeth),
                    tooth_ratio: mesh.ratio.si(),
                    base_helix_rad: mesh.helix.si(),
                    tip_contact_ratio_1: mesh.tip_contact_1.si(),
                    tip_contact_ratio_2: mesh.tip_contact_2.si(),
                    friction: mesh.friction.si(),
                })
                .collect(),
            wheels: teeth
                .wheels
                .iter()
                .map(|wheel| {
                    let (radius, width) = (wheel.pitch_radius.si(), wheel.face_width.si());
                    let depth = wheel.immersion.si();
                    ChurningWheel {
                        speed_ratio: wheel.speed_ratio.si(),
                        pitch_radius_m: radius,
                        face_width_m: width,
                        module_m: wheel.module.si(),
                        immersion_depth_m: depth,
                        oil_volume_m3: wheel.oil_volume.si(),
                        immersed_area_m2: immersed_area_m2(
                            radius,
                            width,
                            depth,
                            // pitch diameter over module; tooth height and pressure angle of the standard basic rack
                            (2.0 * radius / wheel.module.si()).round() as u32,
                            2.25 * wheel.module.si(),
                            20_f64.to_radians(),
                            0.0,
                        ),
                    }
                })
                .collect(),
            bearings: Vec::new(),
        }),
    };
    powertrain::gearbox::Gearbox::new(gears.ratio, losses)
        .map_err(|error| refused(format!("{}.losses", gears.path), &error))
}
