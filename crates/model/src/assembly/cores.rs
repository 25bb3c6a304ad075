//! Cores and exchangers: from geometry or measurements to conductance and pressure loss.

use super::{Assembler, DevicePart, laws, measured};
use aircraft::records::core::{AirResistance, Core, LouveredCore, OffsetStripCore, Passing, Transfer};
use aircraft::records::device::FlowResistance;
use aircraft::records::project::Project;
use aircraft::records::study::Failed;
use correlations::compact::GeometryError;
use correlations::{compact, duct_laminar};
use schema::Problem;
use solver::{
    Arrangement, CompactSide, ElementId, Exchanger, FilmLaw, FinForm, FlowLaw, Fluid, Passage, TransferLaw,
};

/// Conductance left in a resting core, W/K: natural convection on its face. Common practice, no source.
const RESTING_CORE_W_K: f64 = 2.0;
/// The medium of an air side; laws of films ask only whether it is one.
const AIR: Fluid = Fluid::Air { pressure_pa: media::atmosphere::SEA_LEVEL_PRESSURE_PA };
/// Density of aluminium, kg/m3 (handbook value).
const ALUMINIUM_KG_M3: f64 = 2700.0;
/// Header plates, side plates, tanks and ports, kg for each m2 of the rim of a core, which is 2 (width + height) x depth. Assumed: so
/// a core of 300 x 260 x 32 mm weighs 1.8 to 1.9 kg, the middle of the 1.5 to 2.2 kg of published ones (common practice, no source).
/// Tubes and fins alone would make it 0.8 kg; a share of them is too little for what surrounds a small core.
const RIM_KG_M2: f64 = 28.0;

/// A compact core built from its dimensions.
#[derive(Clone, Debug)]
pub struct CoreBuild {
    /// Finned air side.
    pub air: CompactSide,
    /// Liquid channels.
    pub liquid: Passage,
    /// Width and height of one of them, m.
    pub channel_m: (f64, f64),
    /// Conduction through the tube walls, K/W.
    pub wall_k_w: f64,
    /// Dry mass with tanks, kg.
    pub dry_mass_kg: f64,
    /// Liquid volume of the channels, m3.
    pub liquid_volume_m3: f64,
    /// Face area, m2.
    pub face_area_m2: f64,
}

/// Builds a core with louvered fins between flat tubes.
fn build_louvered(core: &LouveredCore) -> Result<CoreBuild, GeometryError> {
    let (width, height, depth) = (core.width.si(), core.height.si(), core.depth.si());
    let (pitch, thickness, wall) = (core.tube_pitch.si(), core.tube_thickness.si(), core.tube_wall.si());
    let (fin_pitch, fin_thickness) = (core.fin_pitch.si(), core.fin_thickness.si());
    let fin_height = pitch - thickness;
    let tubes = (width / pitch).floor().max(1.0);
    let fin_rows = tubes + 1.0;
    let fins = fin_rows * height / fin_pitch;
    let fin_area = fins * 2.0 * fin_height * depth;
    let bare_area = tubes * 2.0 * height * depth * (1.0 - fin_thickness / fin_pitch);
    let free_area = fin_rows * height * fin_height * (1.0 - fin_thickness / fin_pitch);
    let total_area = fin_area + bare_area;
    let channel_width = depth - thickness;
    let channel_height = thickness - 2.0 * wall;
    let aspect = channel_height / channel_width;
    let liquid_area = tubes * channel_width * channel_height;
    let wetted = tubes * 2.0 * (channel_width + channel_height) * height;
    let air = CompactSide {
        form: FinForm::Louver(compact::louver::Geometry::new(&compact::louver::Fin {
            louver_angle_deg: core.louver_angle.si().to_degrees(),
            fin_pitch_m: fin_pitch,
            louver_pitch_m: core.louver_pitch.si(),
            fin_height_m: fin_height,
            flow_depth_m: depth,
            louver_length_m: core.louver_length.si(),
            tube_pitch_m: pitch,
            fin_thickness_m: fin_thickness,
            tube_minor_dimension_m: thickness,
            fin_array_hydraulic_diameter_m: 4.0 * free_area * depth / total_area,
        })?),
        reynolds_length_m: core.louver_pitch.si(),
        free_area_m2: free_area,
        total_area_m2: total_area,
        fin_share: fin_area / total_area,
        fin_half_height_m: 0.5 * fin_height,
        fin_thickness_m: fin_thickness,
        fin_conductivity_w_mk: core.fin_conductivity.si(),
        end_losses: 0.5,
    };
    let liquid = Passage {
        length_m: height,
        hydraulic_diameter_m: 2.0 * channel_width * channel_height / (channel_width + channel_height),
        flow_area_m2: liquid_area,
        wetted_area_m2: wetted,
        roughness_m: 1.5e-6,
        laminar_friction: 4.0 * duct_laminar::fanning_f_re(aspect),
        laminar_nusselt: duct_laminar::nusselt_t(aspect),
        loss_coefficient: 1.5,
    };
    let tube_metal = tubes * height * (2.0 * (depth + thickness) * wall);
    let fin_metal = fins * fin_height * depth * fin_thickness;
    Ok(CoreBuild {
        air,
        liquid,
        channel_m: (channel_width, channel_height),
        wall_k_w: wall / (core.fin_conductivity.si() * wetted),
        dry_mass_kg: ALUMINIUM_KG_M3 * (tube_metal + fin_metal) + rim_kg(width, height, depth),
        liquid_volume_m3: liquid_area * height,
        face_area_m2: width * height,
    })
}

/// Builds a plate core with offset strip fins on the air side.
fn build_offset_strip(core: &OffsetStripCore) -> Result<CoreBuild, GeometryError> {
    let (width, height, depth) = (core.width.si(), core.height.si(), core.depth.si());
    let (fin_height, spacing, fin) = (core.fin_height.si(), core.fin_spacing.si(), core.fin_thickness.si());
    let (liquid_height, plate) = (core.liquid_height.si(), core.plate.si());
    let layer = fin_height + liquid_height + 2.0 * plate;
    let liquid_layers = (width / layer).floor().max(1.0);
    let air_layers = liquid_layers + 1.0;
    let fins = air_layers * height / (spacing + fin);
    let fin_area = fins * 2.0 * fin_height * depth;
    let bare_area = air_layers * 2.0 * height * depth * spacing / (spacing + fin);
    let free_area = air_layers * height * fin_height * spacing / (spacing + fin);
    let total_area = fin_area + bare_area;
    let geometry = compact::offset_strip::Geometry::new(spacing, fin_height, core.strip_length.si(), fin)?;
    let aspect = liquid_height / depth;
    let wetted = liquid_layers * 2.0 * (depth + liquid_height) * height;
    Ok(CoreBuild {
        air: CompactSide {
            form: FinForm::OffsetStrip(geometry),
            reynolds_length_m: geometry.hydraulic_diameter_m(),
            free_area_m2: free_area,
            total_area_m2: total_area,
            fin_share: fin_area / total_area,
            fin_half_height_m: 0.5 * fin_height,
            fin_thickness_m: fin,
            fin_conductivity_w_mk: core.fin_conductivity.si(),
            end_losses: 0.5,
        },
        liquid: Passage {
            length_m: height,
            hydraulic_diameter_m: 2.0 * depth * liquid_height / (depth + liquid_height),
            flow_area_m2: liquid_layers * depth * liquid_height,
            wetted_area_m2: wetted,
            roughness_m: 1.5e-6,
            laminar_friction: 4.0 * duct_laminar::fanning_f_re(aspect),
            laminar_nusselt: duct_laminar::nusselt_t(aspect),
            loss_coefficient: 1.5,
        },
        channel_m: (depth, liquid_height),
        wall_k_w: plate / (core.fin_conductivity.si() * wetted),
        dry_mass_kg: ALUMINIUM_KG_M3
            * (fins * fin_height * depth * fin + liquid_layers * 2.0 * plate * height * depth)
            + rim_kg(width, height, depth),
        liquid_volume_m3: liquid_layers * depth * liquid_height * height,
        face_area_m2: width * height,
    })
}

/// Mass of what surrounds tubes and fins, kg.
fn rim_kg(width_m: f64, height_m: f64, depth_m: f64) -> f64 {
    RIM_KG_M2 * 2.0 * (width_m + height_m) * depth_m
}

/// The build of a core that is given by its dimensions.
///
/// # Errors
/// A [`Problem`] for dimensions that no core can have.
pub fn build(core: &Core) -> Result<Option<CoreBuild>, Problem> {
    match &core.transfer {
        Transfer::Louvered(louvered) => build_louvered(louvered).map(Some),
        Transfer::OffsetStrip(strip) => build_offset_strip(strip).map(Some),
        Transfer::Fixed(_) | Transfer::Map(_) | Transfer::Sides(_) => Ok(None),
    }
    .map_err(|error| {
        Problem::error(
            format!("cores.{}.transfer", core.name.as_str()),
            error.to_string(),
            "correct the dimensions of tubes and fins",
        )
    })
}

pub(crate) fn liquid_law(project: &Project, core: &Core, fluid: &Fluid) -> Result<FlowLaw, Problem> {
    let path = format!("cores.{}.liquid_flow", core.name.as_str());
    if let (FlowResistance::OfFilm, Some(build)) = (&core.liquid_flow, build(core)?) {
        let factor = project.policy.relations.channel_friction.si();
        return Ok(laws::scaled_flow(FlowLaw::Passage(build.liquid), factor));
    }
    let film = match &core.transfer {
        Transfer::Sides(sides) => Some(laws::film(project, &sides.liquid, fluid, &path)?),
        _ => None,
    };
    laws::resistance(project, &core.liquid_flow, fluid, film.as_ref(), &path)
}

pub(crate) fn air_law(project: &Project, core: &Core, blocked: f64) -> Result<FlowLaw, Problem> {
    let open = 1.0 - blocked;
    let law = match &core.air_flow {
        AirResistance::Point(point) => FlowLaw::Measured {
            drop_pa: point.drop.si(),
            at_m3_s: point.at.si(),
            exponent: point.exponent.si(),
            density_kg_m3: point.density.si(),
            viscosity_pa_s: media::air::viscosity(293.15),
        },
        AirResistance::Face(face) => {
            FlowLaw::Loss { coefficient: face.coefficient.si(), area_m2: face.area.si() }
        }
        AirResistance::OfFins => match build(core)? {
            Some(build) => {
                laws::scaled_flow(FlowLaw::Compact(build.air), project.policy.relations.fin_friction.si())
            }
            None => {
                return Err(Problem::error(
                    format!("cores.{}.air_flow", core.name.as_str()),
                    "OfFins needs a core given by its fins",
                    "give the transfer by Louvered(..) or OffsetStrip(..), or state the air-side loss",
                ));
            }
        },
    };
    // the same flow through what is left of the face: dynamic pressure goes with the square of the velocity
    Ok(if blocked > 0.0 { FlowLaw::Scaled { factor: 1.0 / (open * open), law: Box::new(law) } } else { law })
}

/// Conductance law of a core in a loop with this liquid, of which a share of the face is blocked.
pub(crate) fn transfer_law(
    project: &Project,
    core: &Core,
    liquid: &Fluid,
    blocked: f64,
) -> Result<TransferLaw, Problem> {
    let path = format!("cores.{}.transfer", core.name.as_str());
    let fouling_k_w = core.fouling.si();
    let law = match &core.transfer {
        Transfer::Fixed(conductance) => {
            TransferLaw::Fixed { conductance_w_k: 1.0 / (1.0 / conductance.si() + fouling_k_w) }
        }
        Transfer::Map(map) => {
            let factor = project.policy.relations.core_liquid.si();
            TransferLaw::Map(Box::new(measured::map(project, map, fouling_k_w, factor, &path)?))
        }
        Transfer::Sides(sides) => TransferLaw::Sides {
            first: laws::corrected_film(project, &sides.liquid, liquid, &format!("{path}.liquid"))?,
            second: laws::corrected_film(project, &sides.air, &AIR, &format!("{path}.air"))?,
            wall_k_w: sides.wall.si() + fouling_k_w,
        },
        Transfer::Louvered(_) | Transfer::OffsetStrip(_) => {
            let relations = &project.policy.relations;
            let build = build(core)?.expect("both variants are built from their dimensions");
            TransferLaw::Sides {
                first: laws::scaled_film(
                    laws::between_published(project, FilmLaw::Passage(build.liquid)),
                    relations.core_liquid.si(),
                ),
                second: laws::scaled_film(FilmLaw::Compact(build.air), relations.core_air.si()),
                wall_k_w: build.wall_k_w + fouling_k_w,
            }
        }
    };
    Ok(if blocked > 0.0 { TransferLaw::Scaled { factor: 1.0 - blocked, law: Box::new(law) } } else { law })
}

impl Assembler<'_> {
    /// Share of the face of a core that is blocked: its own, or that of the failure if larger.
    pub(super) fn blocked_share(&self, core: &Core) -> f64 {
        let failed = self.situation.failed().filter_map(|f| match f {
            Failed::CoreBlocked(blocked) if blocked.core == core.name.as_str() => Some(blocked.share.si()),
            _ => None,
        });
        failed.fold(core.blocked.si(), f64::max).min(0.999)
    }

    pub(super) fn add_cores(&mut self) -> Result<(), Problem> {
        for core in &self.situation.project.cores {
            let name = core.name.as_str();
            let (Some((fluid, liquid)), Some((_, air))) =
                (find_element(&self.parts.loops, name), find_element(&self.parts.ducts, name))
            else {
                continue;
            };
            let law = transfer_law(self.situation.project, core, fluid, self.blocked_share(core))?;
            let id = self.builder.exchanger(Exchanger {
                first: (liquid, 0),
                second: (air, 0),
                law,
                arrangement: Arrangement::Crossflow,
                resting_w_k: RESTING_CORE_W_K,
            });
            self.parts.exchangers.push((name.to_owned(), id));
        }
        for exchanger in &self.situation.project.exchangers {
            let name = exchanger.name.as_str();
            let in_loop = |wanted: &str| {
                let part = self.parts.loops.iter().find(|l| l.name == wanted)?;
                find_element(std::slice::from_ref(part), name).map(|(_, element)| element)
            };
            let (Some(first), Some(second)) = (in_loop(&exchanger.first), in_loop(&exchanger.second)) else {
                continue;
            };
            let id = self.builder.exchanger(Exchanger {
                first: (first, 0),
                second: (second, 0),
                law: TransferLaw::Fixed { conductance_w_k: exchanger.conductance.si() },
                arrangement: match exchanger.passing {
                    Passing::Counterflow => Arrangement::Counterflow,
                    Passing::ParallelFlow => Arrangement::ParallelFlow,
                    Passing::Crossflow => Arrangement::Crossflow,
                },
                resting_w_k: solver::STAGNANT_SHARE * exchanger.conductance.si(),
            });
            self.parts.exchangers.push((name.to_owned(), id));
        }
        Ok(())
    }
}

/// Where a device stands, with the medium of its circuit.
fn find_element<'a>(parts: &'a [super::CircuitPart], name: &str) -> Option<(&'a Fluid, ElementId)> {
    parts.iter().find_map(|part| {
        let device = part.devices().into_iter().find(|device: &&DevicePart| device.name == name)?;
        Some((&part.fluid, device.element))
    })
}
