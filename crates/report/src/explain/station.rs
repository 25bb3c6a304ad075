//! A device in its circuit: films, resistances, machines, cores.

use super::explanation::{Explanation, Fidelity};
use super::fins::{Fins, bores_of};
use super::state::{Bores, Medium, ROUND, mean_k};
use crate::celsius;
use aircraft::records::core::{AirResistance, Core, Transfer};
use aircraft::records::device::{Film, FlowResistance, Hose, InletNeed, Machine, MachinePower, Plate};
use aircraft::records::measured::Statement;
use aircraft::records::project::Project;
use model::assembly::{CoreBuild, build_core};
use model::result::{CaseResult, ExchangerResult, StationResult};

/// A station with its medium.
pub(super) struct Station<'a> {
    pub(super) station: &'a StationResult,
    pub(super) medium: &'a Medium,
}

impl Station<'_> {
    pub(super) fn loss(&self, level: Fidelity, law: String) -> Explanation {
        let drop_kpa = 1e-3 * (self.station.pressure_in_pa - self.station.pressure_out_pa);
        let [friction_kpa, climb_kpa] = [self.station.friction_pa, self.station.climb_pa].map(|pa| 1e-3 * pa);
        let apart = if climb_kpa == 0.0 {
            String::new()
        } else {
            format!(", {friction_kpa:.3} kPa by friction and {climb_kpa:.3} kPa by climb")
        };
        Explanation::new(&self.station.name, "pressure loss", level, law).giving(format!(
            "static pressure falls by {drop_kpa:.3} kPa at {:.4} kg/s{apart}",
            self.station.mass_flow_kg_s
        ))
    }

    /// What the inlet of a pump in a loop has above boiling, and what it needs there.
    fn inlet(&self, machine: &Machine) -> Option<Explanation> {
        let inlet = self.station.inlet?;
        let kpa = |pa: f64| format!("{:.2} kPa", 1e-3 * pa);
        let held_back = if inlet.for_dissolved_air {
            "5 kPa for dissolved air, for want of a vapour pressure".to_owned()
        } else {
            format!(
                "vapour pressure {} at {:.1} degC",
                kpa(inlet.bubbles_pa),
                celsius(self.station.temperature_in_k)
            )
        };
        let (level, law, source) = match &machine.need {
            None => (Fidelity::Fixed, "no need is stated".to_owned(), None),
            Some(InletNeed::Pressure(curve)) => (
                Fidelity::Measured,
                "need as a pressure over the flow, with the square of the speed and the density".to_owned(),
                curve.points()[0].1.source(),
            ),
            Some(InletNeed::Head(curve)) => (
                Fidelity::Measured,
                "need as a head over the flow, with the square of the speed".to_owned(),
                curve.points()[0].1.source(),
            ),
        };
        let velocity = inlet.velocity_head_pa.map_or_else(String::new, |head| {
            format!("; static pressure {}", kpa(self.station.pressure_in_pa - head))
        });
        let need = inlet.need_pa.map_or_else(String::new, |need| format!(", needs {}", kpa(need)));
        Some(Explanation::new(&self.station.name, "inlet pressure", level, law).sourced(source).giving(
            format!(
                "total pressure {} less {held_back}: {}{need}{velocity}",
                kpa(self.station.pressure_in_pa),
                kpa(inlet.available_pa)
            ),
        ))
    }

    pub(super) fn plate(&self, plate: &Plate) -> Vec<Explanation> {
        let walls: Vec<String> =
            self.station.walls_k.iter().map(|wall| format!("{:.1} degC", celsius(*wall))).collect();
        let film = self.film(&plate.film).giving(format!(
            "conductance {:.1} W/K in this case; walls {}",
            self.station.conductance_w_k,
            walls.join(", ")
        ));
        vec![film, self.resistance(&plate.flow, Some(&plate.film))]
    }

    pub(super) fn film(&self, film: &Film) -> Explanation {
        let line = |level, law: String| Explanation::new(&self.station.name, "conductance", level, law);
        match film {
            Film::Fixed(value) => line(Fidelity::Fixed, format!("{} ({})", value.text(), value.evidence()))
                .sourced(value.source()),
            Film::PowerLaw(law) => line(
                Fidelity::Measured,
                format!(
                    "{} at {}, exponent {} of the flow ({}){}",
                    law.conductance.text(),
                    law.at.text(),
                    law.exponent.text(),
                    law.conductance.evidence(),
                    self.air_of(Statement::of_film(film), "mass flow")
                ),
            )
            .sourced(law.conductance.source()),
            Film::Table(_) | Film::Measured(_) => line(
                Fidelity::Measured,
                format!(
                    "table over the flow, smooth between its points{}",
                    self.air_of(Statement::of_film(film), "mass flow")
                ),
            ),
            Film::Channels(channels) => self.passage_film(
                &Bores::channels(channels),
                format!(
                    "{} channels of {} by {}, {} long",
                    channels.count,
                    channels.width.text(),
                    channels.height.text(),
                    channels.length.text()
                ),
            ),
            Film::Tubes(tubes) => self.passage_film(
                &Bores::tubes(tubes),
                format!("{} tubes of {}, {} long", tubes.count, tubes.diameter.text(), tubes.length.text()),
            ),
        }
    }

    /// What a law on the air side was measured in, with what of it is assumed; nothing for a liquid.
    pub(super) fn air_of(&self, statement: Option<Statement<'_>>, carried: &str) -> String {
        let air = statement.filter(|_| matches!(self.medium, Medium::Air)).and_then(|it| it.air("").ok());
        air.map_or_else(String::new, |air| format!("; {}, carried by {carried}", air.words()))
    }

    pub(super) fn passage_film(&self, bores: &Bores, law: String) -> Explanation {
        let nusselt = bores.nusselt(self.medium, self.station);
        let mut line = Explanation::new(&self.station.name, "conductance", Fidelity::Geometry, law)
            .sourced(nusselt.as_ref().map(|n| n.source));
        if let Some(nusselt) = &nusselt {
            line = line.giving(format!(
                "{:.1} W/K from this Nusselt number at the mean temperature {:.1} degC, on {:.4} m2",
                bores.conductance(self.medium, self.station, nusselt.value),
                celsius(mean_k(self.station)),
                bores.wetted_area_m2
            ));
        }
        line.by(nusselt)
    }

    pub(super) fn resistance(&self, flow: &FlowResistance, film: Option<&Film>) -> Explanation {
        match flow {
            FlowResistance::Point(point) => self
                .loss(
                    Fidelity::Measured,
                    format!(
                        "{} at {}, exponent {}, measured at {} ({}){}",
                        point.drop.text(),
                        point.at.text(),
                        point.exponent.text(),
                        point.temperature.text(),
                        point.drop.evidence(),
                        self.air_of(Statement::of_loss(flow), "density")
                    ),
                )
                .sourced(point.drop.source()),
            FlowResistance::Table(table) => self.loss(
                Fidelity::Measured,
                format!(
                    "table over the flow, measured at {}{}",
                    table.temperature.text(),
                    self.air_of(Statement::of_loss(flow), "density")
                ),
            ),
            FlowResistance::Loss(loss) => self
                .loss(
                    Fidelity::Fixed,
                    format!("loss coefficient {} on {}", loss.coefficient.text(), loss.diameter.text()),
                )
                .sourced(loss.coefficient.source()),
            FlowResistance::Channels(channels) => self.friction(&Bores::channels(channels)),
            FlowResistance::Tubes(tubes) => self.friction(&Bores::tubes(tubes)),
            FlowResistance::OfFilm => match film {
                Some(Film::Channels(channels)) => self.friction(&Bores::channels(channels)),
                Some(Film::Tubes(tubes)) => self.friction(&Bores::tubes(tubes)),
                _ => self.loss(Fidelity::Geometry, "friction of the liquid channels of the core".to_owned()),
            },
        }
    }

    /// Friction of a passage: the listed relation for a round tube, else with the laminar constant of the shape.
    pub(super) fn friction(&self, bores: &Bores) -> Explanation {
        let law = "Darcy friction in all regimes with minor losses";
        match bores.round_friction(self.medium, self.station) {
            Some(found) => {
                self.loss(Fidelity::Geometry, law.to_owned()).sourced(Some(found.source)).by(Some(found))
            }
            None => self
                .loss(Fidelity::Geometry, format!("{law}; laminar with the constant of the shape"))
                .sourced(Some(
                    "Churchill 1977, Chem. Eng. 84(24), 91; laminar constant: Shah and London 1978",
                ))
                .giving(bores.shaped_friction(self.medium, self.station)),
        }
    }

    pub(super) fn hose(&self, hose: &Hose) -> Vec<Explanation> {
        let (length, diameter) = (hose.length.si(), hose.diameter.si());
        let bores = Bores {
            length_m: length,
            diameter_m: diameter,
            flow_area_m2: std::f64::consts::FRAC_PI_4 * diameter * diameter,
            wetted_area_m2: std::f64::consts::PI * diameter * length,
            roughness_m: hose.roughness.si(),
            laminar_nusselt: 3.6568,
            laminar_friction: ROUND,
        };
        let mut lines = vec![self.friction(&bores)];
        lines[0].law = format!(
            "{} of {}, sum of minor loss coefficients {}; Darcy friction in all regimes",
            hose.length.text(),
            hose.diameter.text(),
            hose.losses.text()
        );
        if let Some(around) = &hose.surroundings {
            lines.push(
                Explanation::new(
                    &self.station.name,
                    "conductance",
                    Fidelity::Fixed,
                    format!(
                        "{} to {} ({})",
                        around.conductance.text(),
                        around.to,
                        around.conductance.evidence()
                    ),
                )
                .sourced(around.conductance.source()),
            );
        }
        lines
    }

    pub(super) fn machine(&self, machine: &Machine) -> Vec<Explanation> {
        let rise = 1e-3 * (self.station.pressure_out_pa - self.station.pressure_in_pa);
        let (level, law, source) = match &machine.displacement {
            None => (
                Fidelity::Measured,
                "curve of rise over flow; other speeds and densities by similarity".to_owned(),
                "affinity laws (see: relation affinity)",
            ),
            Some(pump) => (
                Fidelity::Geometry,
                format!(
                    "displaces {} a turn; slip {} at {} and {}, against the viscosity; relief from {}",
                    pump.per_turn.text(),
                    pump.slip.text(),
                    pump.slip_pressure.text(),
                    pump.slip_viscosity.text(),
                    pump.relief.cracking.text()
                ),
                "laminar flow through narrow gaps; a relief spring of constant rate",
            ),
        };
        let curve =
            Explanation::new(&self.station.name, "pressure rise", level, law).sourced(Some(source)).giving(
                format!("static pressure rises by {rise:.3} kPa at speed ratio {:.3}", self.station.setting),
            );
        let (level, law, source) = match &machine.power {
            MachinePower::Efficiency(value) => {
                (Fidelity::Fixed, format!("hydraulic over electrical power {}", value.text()), value.source())
            }
            MachinePower::Table(_) => (Fidelity::Measured, "table over the flow".to_owned(), None),
            MachinePower::Fixed(value) => {
                (Fidelity::Fixed, format!("{} at full speed", value.text()), value.source())
            }
        };
        let power = Explanation::new(&self.station.name, "electrical power", level, law)
            .sourced(source)
            .giving(format!("{:.1} W, all of it into the fluid", self.station.power_w));
        let mut lines = vec![curve, power];
        lines.extend(self.inlet(machine));
        lines
    }

    pub(super) fn exchanger_state(&self, result: &CaseResult) -> Option<Explanation> {
        let exchanger = result.exchangers.iter().find(|e| e.name == self.station.name)?;
        Some(
            Explanation::new(
                &self.station.name,
                "exchange",
                Fidelity::Fixed,
                "effectiveness from transfer units",
            )
            .giving(state_line(exchanger)),
        )
    }

    pub(super) fn core(&self, project: &Project, result: &CaseResult) -> Vec<Explanation> {
        let Some(core) = project.cores.iter().find(|c| c.name.as_str() == self.station.name) else {
            return Vec::new();
        };
        let built = build_core(core).ok().flatten();
        if matches!(self.medium, Medium::Air) {
            return self.air_side(core, built.as_ref());
        }
        let mut lines = vec![self.loss_of_liquid(core, built.as_ref())];
        lines.extend(self.transfer_of_liquid(core, built.as_ref()));
        if let Some(exchanger) = result.exchangers.iter().find(|e| e.name == self.station.name) {
            let found = correlations::evaluate(
                "crossflow_both_unmixed_exact",
                &[
                    ("NTU", exchanger.transfer_units),
                    ("capacity_ratio_Cmin_over_Cmax", exchanger.capacity_ratio),
                ],
            )
            .ok();
            lines.push(
                Explanation::new(
                    &self.station.name,
                    "effectiveness",
                    Fidelity::Geometry,
                    "crossflow, both fluids unmixed; until a measured map stands here, expect +24/-10 % in UA",
                )
                .sourced(found.as_ref().map(|f| f.source))
                .by(found)
                .giving(state_line(exchanger)),
            );
        }
        lines
    }

    /// How the conductance of a core is given, or that of its liquid side.
    fn transfer_of_liquid(&self, core: &Core, built: Option<&CoreBuild>) -> Option<Explanation> {
        match &core.transfer {
            Transfer::Fixed(value) => {
                let law = format!("{} ({})", value.text(), value.evidence());
                let line = Explanation::new(&self.station.name, "conductance UA", Fidelity::Fixed, law);
                Some(line.sourced(value.source()))
            }
            Transfer::Map(map) => {
                let air = Statement::of_map(map).air("").map(|air| air.words()).unwrap_or_default();
                let law = format!("map over both flows; {air}, its air carried by mass flow");
                Some(Explanation::new(&self.station.name, "conductance UA", Fidelity::Measured, law))
            }
            Transfer::Sides(sides) => {
                let mut line = self.film(&sides.liquid);
                line.what = "liquid-side conductance";
                Some(line)
            }
            Transfer::Louvered(_) | Transfer::OffsetStrip(_) => {
                let built = built?;
                let mut line = self.passage_film(&bores_of(built), "liquid channels in the tubes".to_owned());
                line.what = "liquid-side conductance";
                Some(line.giving(format!(
                    "dry mass {:.2} kg with tanks, face {:.4} m2, liquid in the channels {:.2} L",
                    built.dry_mass_kg,
                    built.face_area_m2,
                    1e3 * built.liquid_volume_m3
                )))
            }
        }
    }

    pub(super) fn loss_of_liquid(&self, core: &Core, built: Option<&CoreBuild>) -> Explanation {
        match (&core.liquid_flow, &core.transfer, built) {
            (FlowResistance::OfFilm, _, Some(built)) => self.friction(&bores_of(built)),
            (flow, Transfer::Sides(sides), _) => self.resistance(flow, Some(&sides.liquid)),
            (flow, _, _) => self.resistance(flow, None),
        }
    }

    pub(super) fn air_side(&self, core: &Core, built: Option<&CoreBuild>) -> Vec<Explanation> {
        let fins = built.and_then(|built| Fins::of(core, built));
        let relation = |name: &str| {
            let (fins, built) = (fins.as_ref()?, built?);
            fins.evaluate(name, built, self.station, self.medium)
        };
        let loss = match &core.air_flow {
            AirResistance::Point(point) => self
                .loss(
                    Fidelity::Measured,
                    format!(
                        "{} at {}, exponent {} ({}), measured in air of {}{}",
                        point.drop.text(),
                        point.at.text(),
                        point.exponent.text(),
                        point.drop.evidence(),
                        point.density.text(),
                        if point.density.stated() { "" } else { " (assumed)" }
                    ),
                )
                .sourced(point.drop.source()),
            AirResistance::Face(face) => self
                .loss(
                    Fidelity::Fixed,
                    format!("loss coefficient {} on {}", face.coefficient.text(), face.area.text()),
                )
                .sourced(face.coefficient.source()),
            AirResistance::OfFins => {
                let found = fins.as_ref().and_then(|f| relation(f.friction));
                self.loss(Fidelity::Geometry, "friction of the fins".to_owned())
                    .sourced(found.as_ref().map(|f| f.source))
                    .by(found)
            }
        };
        let mut lines = vec![loss];
        if let (Some(fins), Some(built)) = (&fins, built) {
            let found = relation(fins.transfer);
            lines.push(
                Explanation::new(&self.station.name, "air-side conductance", Fidelity::Geometry, fins.law)
                    .sourced(found.as_ref().map(|f| f.source))
                    .by(found)
                    .giving(format!(
                        "{:.3} m2 of fins and tubes, {:.0} % of it fins; fin efficiency by the adiabatic-tip relation",
                        built.air.total_area_m2,
                        100.0 * built.air.fin_share
                    )),
            );
        } else if let Transfer::Sides(sides) = &core.transfer {
            let mut line = self.film(&sides.air);
            line.what = "air-side conductance";
            lines.push(line);
        }
        lines
    }
}

fn state_line(exchanger: &ExchangerResult) -> String {
    format!(
        "UA {:.1} W/K, NTU {:.3}, Cr {:.3}, effectiveness {:.4}, {:.3} kW",
        exchanger.conductance_w_k,
        exchanger.transfer_units,
        exchanger.capacity_ratio,
        exchanger.effectiveness,
        1e-3 * exchanger.heat_w
    )
}
