//! The fins of a core.

use super::state::{Bores, Medium, mean_k};
use aircraft::records::core::{Core, LouveredCore, OffsetStripCore, Transfer};
use correlations::Evaluated;
use model::assembly::CoreBuild;
use model::result::StationResult;

pub(super) fn bores_of(built: &CoreBuild) -> Bores {
    Bores {
        length_m: built.liquid.length_m,
        diameter_m: built.liquid.hydraulic_diameter_m,
        flow_area_m2: built.liquid.flow_area_m2,
        wetted_area_m2: built.liquid.wetted_area_m2,
        roughness_m: built.liquid.roughness_m,
        laminar_nusselt: built.liquid.laminar_nusselt,
        laminar_friction: built.liquid.laminar_friction,
    }
}

/// The fin relations of a core with their inputs, but for the Reynolds number.
pub(super) struct Fins {
    pub(super) law: &'static str,
    pub(super) transfer: &'static str,
    pub(super) friction: &'static str,
    pub(super) reynolds: &'static str,
    pub(super) dimensions: Vec<(&'static str, f64)>,
}

impl Fins {
    pub(super) fn of(core: &Core, built: &CoreBuild) -> Option<Self> {
        match &core.transfer {
            Transfer::Louvered(louvered) => Some(Self::louvered(louvered, built)),
            Transfer::OffsetStrip(strip) => Some(Self::offset_strip(strip)),
            Transfer::Fixed(_) | Transfer::Map(_) | Transfer::Sides(_) => None,
        }
    }

    pub(super) fn louvered(core: &LouveredCore, built: &CoreBuild) -> Self {
        Self {
            law: "louvered fins between flat tubes",
            transfer: "chang_wang_1997",
            friction: "chang_et_al_2006_amended",
            reynolds: "reynolds_louver_pitch",
            dimensions: vec![
                ("louver_angle_deg", core.louver_angle.si().to_degrees()),
                ("fin_pitch_m", core.fin_pitch.si()),
                ("louver_pitch_m", core.louver_pitch.si()),
                ("fin_height_m", core.tube_pitch.si() - core.tube_thickness.si()),
                ("flow_depth_m", core.depth.si()),
                ("louver_length_m", core.louver_length.si()),
                ("tube_pitch_m", core.tube_pitch.si()),
                ("fin_thickness_m", core.fin_thickness.si()),
                ("tube_minor_dimension_m", core.tube_thickness.si()),
                (
                    "fin_array_hydraulic_diameter_m",
                    4.0 * built.air.free_area_m2 * core.depth.si() / built.air.total_area_m2,
                ),
            ],
        }
    }

    pub(super) fn offset_strip(core: &OffsetStripCore) -> Self {
        Self {
            law: "offset strip fins between plates",
            transfer: "manglik_bergles_1995",
            friction: "manglik_bergles_1995",
            reynolds: "reynolds_Dh",
            dimensions: vec![
                ("fin_spacing_s_m", core.fin_spacing.si()),
                ("fin_height_h_m", core.fin_height.si()),
                ("strip_length_l_m", core.strip_length.si()),
                ("fin_thickness_t_m", core.fin_thickness.si()),
            ],
        }
    }

    pub(super) fn evaluate(
        &self,
        name: &str,
        built: &CoreBuild,
        station: &StationResult,
        medium: &Medium,
    ) -> Option<Evaluated> {
        let reynolds = station.mass_flow_kg_s.abs() * built.air.reynolds_length_m
            / (built.air.free_area_m2 * medium.viscosity(mean_k(station)));
        let mut inputs = vec![(self.reynolds, reynolds)];
        inputs.extend(&self.dimensions);
        correlations::evaluate(name, &inputs).ok()
    }
}
