//! Cores: conductance and the pressure losses of both sides.

use super::filling::{At, SAMPLED, blocked, keep_loss, length_where};
use super::law::Law;
use super::{film, loss};
use crate::assembly::build_core;
use crate::assembly::device_laws::{air_law, liquid_law, transfer_law};
use crate::curves::level;
use crate::curves::level::{Level, placeholder};
use aircraft::records::core::{AirResistance, Core, Transfer};
use aircraft::records::device::FlowResistance;
use schema::{Node, Problem, decode};
use solver::{FlowLaw, Side, TransferLaw};
use units::Kind;

/// Part of the resistance that the air side has where the sides are not known apart. Common practice, no source.
const AIR_SHARE: f64 = 0.8;
/// Width over height of a face that is not known. Common practice, no source.
const ASPECT: f64 = 1.3;
/// Depths of cores whose dimensions are not known, by kind of fins. Common practice, no source.
const DEPTHS: [(&str, &str); 2] = [("Louvered", "40 mm"), ("OffsetStrip", "60 mm")];

pub(super) fn laws(core: &Core, liquid: &At<'_>, air: &At<'_>) -> Result<Vec<Law>, Problem> {
    let path = format!("cores.{}", core.name.as_str());
    let bench = Bench { core, liquid, air };
    let liquid_flow = bench.liquid_flow(format!("{path}.liquid_flow"))?;
    let air_flow = bench.air_flow(format!("{path}.air_flow"))?;
    let mut transfer = bench.transfer(format!("{path}.transfer"))?;
    let fins = ["Louvered", "OffsetStrip"];
    if core.air_flow == AirResistance::OfFins {
        keep_loss(&mut transfer, &fins, &air_flow.path, &air_flow);
    }
    if core.liquid_flow == FlowResistance::OfFilm {
        keep_loss(&mut transfer, &fins, &liquid_flow.path, &liquid_flow);
    }
    let mut all = vec![transfer];
    if let Transfer::Sides(sides) = &core.transfer {
        let liquid_film = film::law(&sides.liquid, liquid, format!("{path}.transfer.liquid"))?;
        let air_film = film::law(&sides.air, air, format!("{path}.transfer.air"))?;
        all.extend([Law { what: "liquid film", ..liquid_film }, Law { what: "air film", ..air_film }]);
    }
    all.extend([liquid_flow, air_flow]);
    Ok(all)
}

struct Bench<'a> {
    core: &'a Core,
    liquid: &'a At<'a>,
    air: &'a At<'a>,
}

impl Bench<'_> {
    fn conductance(&self, law: &TransferLaw, liquid_kg_s: f64, air_kg_s: f64) -> f64 {
        let first = Side {
            fluid: &self.liquid.fluid,
            mass_flow_kg_s: liquid_kg_s,
            temperature_k: self.liquid.mean_k,
        };
        let second =
            Side { fluid: &self.air.fluid, mass_flow_kg_s: air_kg_s, temperature_k: self.air.mean_k };
        law.conductance(&first, &second)
    }

    fn at_case(&self, law: &TransferLaw) -> f64 {
        self.conductance(law, self.liquid.mass_flow_kg_s, self.air.mass_flow_kg_s)
    }

    /// The conductance of a clean core with this law.
    fn clean(&self, transfer: &Transfer) -> Result<TransferLaw, Problem> {
        let fouling = schema::Input::parse("0 K/W").unwrap_or_else(|_| self.core.fouling.clone());
        let core = Core { transfer: transfer.clone(), fouling, ..self.core.clone() };
        transfer_law(self.liquid.project, &core, &self.liquid.fluid, 0.0)
    }

    fn transfer(&self, path: String) -> Result<Law, Problem> {
        let now = self.clean(&self.core.transfer)?;
        let judged = |node: &Node| {
            let transfer = decode::<Transfer>(node).value?;
            let core = Core { transfer, ..self.core.clone() };
            let law =
                transfer_law(self.liquid.project, &core, &self.liquid.fluid, blocked(self.core)).ok()?;
            Some(self.at_case(&law))
        };
        let levels = level::all(&self.core.transfer, |name| self.filled(name, &now), judged);
        Ok(Law { path, what: "conductance", kind: Kind::ThermalConductance, levels })
    }

    fn filled(&self, name: &str, now: &TransferLaw) -> Option<Node> {
        if !(self.liquid.flows() && self.air.flows()) {
            return None;
        }
        let value = self.at_case(now);
        match name {
            "Fixed" => {
                Some(Node::tuple(name, vec![self.liquid.told(value, Kind::ThermalConductance, "W/K")?]))
            }
            "Map" => self.map(name, now),
            "Sides" => self.sides(name, value),
            _ => self.fins(name, value),
        }
    }

    fn map(&self, name: &str, now: &TransferLaw) -> Option<Node> {
        let flows = |at: &At<'_>| {
            // a map begins above rest, where a core passes next to nothing
            let mut all = at.flows_to_sample();
            all[0] = 0.1 * all[1];
            all
        };
        let (liquid, air) = (flows(self.liquid), flows(self.air));
        debug_assert_eq!(liquid.len(), SAMPLED);
        let values: Vec<f64> = liquid
            .iter()
            .flat_map(|&liquid| {
                air.iter().map(move |&air| {
                    self.conductance(now, self.liquid.mass_of(liquid), self.air.mass_of(air))
                })
            })
            .collect();
        let mut fields = vec![
            ("liquid", level::texts(&liquid, Kind::VolumeFlow, self.liquid.flow_unit())?),
            ("air", level::texts(&air, Kind::VolumeFlow, self.air.flow_unit())?),
            ("conductance", level::table(&values, Kind::ThermalConductance, "W/K", self.liquid.case)?),
        ];
        fields.extend(self.liquid.measured_with(self.channels())?);
        fields.push(("density", self.air.density_node()?));
        fields.push(("air_temperature", self.air.told(self.air.mean_k, Kind::Temperature, "degC")?));
        Some(Node::record(name, fields))
    }

    /// The liquid channels of a core whose dimensions are known: another liquid is then re-rated by their relation.
    fn channels(&self) -> Option<Node> {
        let build = build_core(self.core).ok().flatten()?;
        let passage = &build.liquid;
        let (width_m, height_m) = build.channel_m;
        let told = |si: f64, kind, unit| self.liquid.told(si, kind, unit);
        Some(Node::record(
            "Channels",
            vec![
                ("count", Node::count((passage.flow_area_m2 / (width_m * height_m)).round() as usize)),
                ("width", told(width_m, Kind::Length, "mm")?),
                ("height", told(height_m, Kind::Length, "mm")?),
                ("length", told(passage.length_m, Kind::Length, "mm")?),
                ("roughness", told(passage.roughness_m, Kind::Length, "um")?),
                ("losses", told(passage.loss_coefficient, Kind::Ratio, "")?),
            ],
        ))
    }

    /// Power laws of both films where the dimensions tell them apart; else two values with an assumed share.
    fn sides(&self, name: &str, value: f64) -> Option<Node> {
        let fixed = |si: f64| {
            Some(Node::tuple("Fixed", vec![self.liquid.told(si, Kind::ThermalConductance, "W/K")?]))
        };
        let Some(build) = build_core(self.core).ok().flatten() else {
            return Some(Node::record(
                name,
                vec![("liquid", fixed(value / (1.0 - AIR_SHARE))?), ("air", fixed(value / AIR_SHARE)?)],
            ));
        };
        let relations = &self.liquid.project.policy.relations;
        let scaled = |film, factor| solver::FilmLaw::Scaled { factor, film: Box::new(film) };
        let liquid = scaled(solver::FilmLaw::Passage(build.liquid), relations.core_liquid.si());
        let air = scaled(solver::FilmLaw::Compact(build.air), relations.core_air.si());
        Some(Node::record(
            name,
            vec![
                ("liquid", film::filled("PowerLaw", self.liquid, &liquid, self.channels(), |_| None)?),
                ("air", film::filled("PowerLaw", self.air, &air, None, |_| None)?),
                ("wall", self.liquid.told(build.wall_k_w, Kind::ThermalResistance, "K/W")?),
            ],
        ))
    }

    /// A core of usual fins: the width in whole tubes or layers, the height so that it gives the value.
    fn fins(&self, name: &str, value: f64) -> Option<Node> {
        let (_, depth) = DEPTHS.iter().find(|(known, _)| *known == name)?;
        let face = |width_m: f64, height: Node| {
            let width = placeholder(&format!("{:.0} mm", 1e3 * width_m));
            Node::record(name, vec![("width", width), ("height", height), ("depth", placeholder(depth))])
        };
        let height_of = |width_m: f64| {
            length_where(value, |height_m| {
                let node = face(width_m, Node::text(format!("{height_m:e} m")));
                let law = decode::<Transfer>(&node).value.and_then(|transfer| self.clean(&transfer).ok());
                law.map_or(f64::NAN, |law| self.at_case(&law))
            })
        };
        let mut width_m = 0.2;
        for _ in 0..4 {
            let height_m = height_of(width_m)?;
            let wanted_m = (ASPECT * width_m * height_m).sqrt();
            // whole tubes of 10 mm
            width_m = 0.01 * (100.0 * wanted_m).round().max(2.0);
        }
        Some(face(width_m, self.liquid.told(height_of(width_m)?, Kind::Length, "mm")?))
    }

    fn liquid_flow(&self, path: String) -> Result<Law, Problem> {
        let at = self.liquid;
        let of = |liquid_flow: &FlowResistance| {
            liquid_law(at.project, &Core { liquid_flow: liquid_flow.clone(), ..self.core.clone() }, &at.fluid)
        };
        let now = of(&self.core.liquid_flow)?;
        let judged = |node: &Node| Some(drop_pa(&of(&decode::<FlowResistance>(node).value?).ok()?, at));
        let levels = level::all(&self.core.liquid_flow, |name| loss::filled(name, at, &now, judged), judged);
        Ok(Law { path, what: "pressure loss of the liquid", kind: Kind::PressureDifference, levels })
    }

    fn air_flow(&self, path: String) -> Result<Law, Problem> {
        let at = self.air;
        let of = |air_flow: &AirResistance, blocked: f64| {
            air_law(at.project, &Core { air_flow: air_flow.clone(), ..self.core.clone() }, blocked)
        };
        let now = of(&self.core.air_flow, 0.0)?;
        let judged = |node: &Node| {
            let law = of(&decode::<AirResistance>(node).value?, blocked(self.core)).ok()?;
            Some(drop_pa(&law, at))
        };
        let fill = |name: &str| self.air_filled(name, &now, &judged);
        let levels: Vec<Level> = level::all(&self.core.air_flow, fill, judged);
        Ok(Law { path, what: "pressure loss of the air", kind: Kind::PressureDifference, levels })
    }

    fn air_filled(&self, name: &str, now: &FlowLaw, judged: &impl Fn(&Node) -> Option<f64>) -> Option<Node> {
        let at = self.air;
        if !at.flows() {
            return None;
        }
        let over = |flow_m3_s: f64| now.drop(&at.fluid, at.mass_of(flow_m3_s), at.mean_k, 1.0);
        let (value, density) = (over(at.flow_m3_s), at.fluid.density(at.mean_k));
        match name {
            "Point" => Some(Node::record(
                name,
                vec![
                    (
                        "drop",
                        at.told(point_drop(value, at, at.exponent(over)), Kind::PressureDifference, "Pa")?,
                    ),
                    ("at", at.flow_node(at.flow_m3_s)?),
                    ("exponent", at.told(at.exponent(over), Kind::Ratio, "")?),
                    ("density", at.told(density, Kind::Density, "kg/m3")?),
                ],
            )),
            "Face" => {
                let area_m2 = build_core(self.core).ok().flatten().map(|build| build.face_area_m2);
                // without a known face, that of a usual approach of 8 m/s (common practice, no source)
                let area = match area_m2 {
                    Some(area_m2) => at.told(area_m2, Kind::Area, "m2")?,
                    None => placeholder(&format!("{:.4} m2", at.flow_m3_s / 8.0)),
                };
                let area_m2 = area_m2.unwrap_or(at.flow_m3_s / 8.0);
                let velocity_m_s = at.flow_m3_s / area_m2;
                let coefficient = value / (0.5 * density * velocity_m_s * velocity_m_s);
                let coefficient = at.told(coefficient, Kind::Ratio, "")?;
                Some(Node::record(name, vec![("coefficient", coefficient), ("area", area)]))
            }
            _ => {
                let node = Node::word(name);
                judged(&node).map(|_| node)
            }
        }
    }
}

/// A measured point refers its viscosity to 20 degC: the drop that it has to state so that it gives a value at the case.
fn point_drop(value_pa: f64, at: &At<'_>, exponent: f64) -> f64 {
    let viscosity_ratio = at.fluid.viscosity(at.mean_k) / media::air::viscosity(293.15);
    value_pa / viscosity_ratio.powf(2.0 - exponent)
}

fn drop_pa(law: &FlowLaw, at: &At<'_>) -> f64 {
    law.drop(&at.fluid, at.mass_flow_kg_s, at.mean_k, 1.0)
}
