//! From the records of a gearbox to its loss law.

use super::checked::{count, refused};
use aircraft::records::powertrain::{GearLosses, Gearbox};
use powertrain::gearbox::{ChurningWheel, GearGeometry, Mesh, immersed_area_m2};
use powertrain::loss::Loss;
use schema::Problem;

/// The loss law of a gearbox.
///
/// # Errors
/// A [`Problem`] at `path` that names the number that is not physical.
pub fn gear_law(gearbox: &Gearbox, path: &str) -> Result<powertrain::gearbox::Gearbox, Problem> {
    let losses = match &gearbox.losses {
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
    powertrain::gearbox::Gearbox::new(gearbox.ratio.si(), losses)
        .map_err(|error| refused(format!("{path}.losses"), &error))
}
