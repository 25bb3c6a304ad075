//! Components, links and heat sources.

use super::{Assembler, SourcePart};
use aircraft::records::component::{HeatLaw, Link, LinkLaw, StillShape, WashedShape};
use schema::Problem;
use solver::{HeatSource, Node, StillSurface, WashedSurface};

impl Assembler<'_> {
    pub(super) fn add_components(&mut self) {
        let sun = self.outside.sun_w_m2;
        for component in &self.situation.project.components {
            let name = component.name.as_str().to_owned();
            let segments = component.segments.max(1);
            let capacity = component.capacity.si() / segments as f64;
            let ids: Vec<_> = (0..segments).map(|_| self.builder.component(capacity)).collect();
            let ceiling_k = aircraft::records::ceiling_k(self.situation.project, component);
            for &id in &ids {
                self.builder.set_ceiling(id, ceiling_k);
            }
            if let (Some(sunlit), true) = (&component.sunlit, sun > 0.0) {
                let heat_w = sun * sunlit.area.si() * sunlit.absorptance.si() / segments as f64;
                for &into in &ids {
                    let id =
                        self.builder.source(HeatSource { into, heat_w, slope_1_k: 0.0, reference_k: 0.0 });
                    let sun_on = SourcePart { name: format!("sun on {name}"), id, into: name.clone() };
                    self.parts.sources.push(sun_on);
                }
            }
            // the last segment is washed by the warmest coolant: it stands for the component
            let last = ids[ids.len() - 1];
            self.nodes.insert(name.clone(), Node::Component(last));
            self.parts.components.push((name, ids));
        }
    }

    /// All segments of a component.
    pub(super) fn segments(&self, name: &str, path: &str) -> Result<Vec<solver::ComponentId>, Problem> {
        self.parts.components.iter().find(|(known, _)| known == name).map(|(_, ids)| ids.clone()).ok_or_else(
            || Problem::error(path, format!("no component is called {name:?}"), "name a component"),
        )
    }

    pub(super) fn add_links(&mut self) -> Result<(), Problem> {
        for (index, link) in self.situation.project.links.iter().enumerate() {
            let path = match &link.name {
                Some(name) => format!("links.{}", name.as_str()),
                None => format!("links.{}", index + 1),
            };
            let from = self.segments(&link.from, &format!("{path}.from"))?;
            let law = self.link_law(link, &path)?;
            let to: Vec<Node> = match self.segments(&link.to, &path) {
                Ok(ids) => ids.into_iter().map(Node::Component).collect(),
                Err(_not_a_component) => vec![self.node(&link.to, &format!("{path}.to"))?],
            };
            let name = link.called();
            // segments pair off one to one, or share the other end
            let pairs = from.len().max(to.len());
            let mut numbers = Vec::with_capacity(pairs);
            for pair in 0..pairs {
                let first = Node::Component(from[pair * from.len() / pairs]);
                let second = to[pair * to.len() / pairs];
                let id = self.builder.link(first, second, law.shared(pairs));
                self.parts.links.push((name.clone(), id));
                numbers.push(id);
            }
            self.parts.paths.push(numbers);
        }
        Ok(())
    }

    /// Neither rotor or propeller nor airspeed moves the air.
    fn is_at_rest(&self) -> bool {
        self.situation.point.shaft_speed.si() <= 0.0 && self.outside.airspeed_m_s <= 0.0
    }

    fn link_law(&self, link: &Link, path: &str) -> Result<solver::LinkLaw, Problem> {
        let pressure_pa = self.outside.pressure_pa;
        let relations = &self.situation.project.policy.relations;
        Ok(match &link.law {
            LinkLaw::Conductance(conductance) => {
                solver::LinkLaw::Conductance { conductance_w_k: conductance.si() }
            }
            LinkLaw::Contact(contact) => {
                solver::LinkLaw::Conductance { conductance_w_k: contact.area.si() * contact.coefficient.si() }
            }
            LinkLaw::StillAir(still) => solver::LinkLaw::StillAir {
                surface: match still.shape {
                    StillShape::VerticalPlate => StillSurface::VerticalPlate,
                    StillShape::HorizontalCylinder => StillSurface::HorizontalCylinder,
                },
                size_m: still.size.si(),
                // a factor on the heat and one on the area are the same thing
                area_m2: still.area.si() * relations.still_air.si(),
                pressure_pa,
            },
            LinkLaw::MovingAir(moving) => solver::LinkLaw::MovingAir {
                surface: match moving.shape {
                    WashedShape::FlatPlate => WashedSurface::FlatPlate,
                    WashedShape::Cylinder => WashedSurface::Cylinder,
                },
                size_m: moving.size.si(),
                area_m2: moving.area.si() * relations.moving_air.si(),
                speed_m_s: moving.share.si()
                    * moving.speed.as_ref().map_or(self.outside.airspeed_m_s, |speed| speed.si()),
                pressure_pa,
            },
            LinkLaw::Radiation(radiation) => solver::LinkLaw::Radiation {
                emissivity: radiation.emissivity.si(),
                area_m2: radiation.area.si(),
            },
            LinkLaw::AirGap(gap) => solver::LinkLaw::RotatingGap {
                speed_rad_s: self.motor_speed(&gap.motor, path)?,
                radius_m: gap.radius.si(),
                gap_m: gap.gap.si(),
                length_m: gap.length.si() * relations.rotor_air.si(),
                pressure_pa,
            },
            LinkLaw::TurningCylinder(cylinder) => solver::LinkLaw::RotatingCylinder {
                speed_rad_s: self.motor_speed(&cylinder.motor, path)?,
                radius_m: cylinder.radius.si(),
                length_m: cylinder.length.si() * relations.rotor_air.si(),
                pressure_pa,
            },
            LinkLaw::Vent(vent) => {
                let flow = vent.at_rest.as_ref().filter(|_| self.is_at_rest()).unwrap_or(&vent.flow);
                solver::LinkLaw::Vent { mass_flow_kg_s: flow.si() }
            }
        })
    }

    pub(super) fn add_heats(&mut self) -> Result<(), Problem> {
        for heat in &self.situation.project.heats {
            let name = heat.name.as_str();
            let path = format!("heats.{name}");
            let at_point =
                self.situation.point.heats.iter().find(|p| p.name.as_str() == name).map(|p| p.heat.si());
            let (heat_w, slope_1_k, reference_k) = match &heat.law {
                HeatLaw::Fixed(power) => (power.si(), 0.0, 0.0),
                HeatLaw::Growing(growing) => (growing.heat.si(), growing.slope.si(), growing.reference.si()),
            };
            let heat_w = at_point.unwrap_or(heat_w);
            let segments = self.segments(&heat.into, &format!("{path}.into"))?;
            let share = 1.0 / segments.len() as f64;
            for into in segments {
                let source = HeatSource { into, heat_w: heat_w * share, slope_1_k, reference_k };
                let id = self.builder.source(source);
                self.parts.sources.push(SourcePart { name: name.to_owned(), id, into: heat.into.clone() });
            }
        }
        Ok(())
    }
}
