//! Everything about a state, and the part of it that limits are held against.

use super::named::Named;
use super::naming::Naming;
use super::notices::standing_notices;
use super::rerated;
use crate::result::{CaseResult, CircuitResult, Notice, Status, WORTH_A_WORD_W};
use crate::{height, margin, pressure};
use aircraft::records::project::OutsideRange;
use solver::{Ledger, Statistics};

impl Named<'_> {
    /// What the limits are held against.
    pub(super) fn judged(&self) -> CaseResult {
        let Naming { situation, parts, .. } = &self.naming;
        let project = situation.project;
        let looks_at_hot_spots = project.components.iter().flat_map(|c| &c.limits).any(|l| l.on_hot_spot);
        let heats_w = if looks_at_hot_spots && self.rises_k.is_empty() {
            self.component_heats()
        } else {
            vec![0.0; project.components.len()]
        };
        let mut result = CaseResult {
            components: self.components(&heats_w),
            loops: self.loops(),
            electric: self.electric(),
            ..CaseResult::empty(self.naming.case(), Status::Solved)
        };
        result.margins = margin::margins(situation, &result, &self.outside, &parts.loops);
        result
    }

    pub(super) fn result(&self, ledger: Ledger, statistics: Statistics) -> CaseResult {
        let project = self.naming.situation.project;
        let lines = self.lines();
        let mut notices = Vec::new();
        let components = self.components(&self.component_heats());
        let loops = self.loops();
        self.pressure_notices(&loops, &mut notices);
        let ducts: Vec<CircuitResult> = self
            .naming
            .parts
            .ducts
            .iter()
            .map(|part| {
                let pressures = pressure::along(part, &self.reading, None, self.outside.pressure_pa);
                let mut duct = self.circuit(part, &pressures);
                duct.inlet_k = self.reading.inlet_air_k(part.id);
                // the air is brought to rest in the aircraft: its momentum is lost
                duct.drag_n = duct.mass_flow_kg_s.max(0.0) * self.outside.airspeed_m_s;
                duct
            })
            .collect();
        self.range_notices(&mut notices);
        rerated::notices(project, self.naming.parts, &self.reading, &mut notices);
        self.drive_notices(&mut notices);
        self.rating_notices(&mut notices);
        self.shut_path_notices(&mut notices);
        self.outage_notices(&mut notices);
        notices.extend(standing_notices(self.naming.situation, self.naming.parts));
        let electric = self.electric();
        if let Some(electric) = electric.as_ref().filter(|e| e.lost_power_w > WORTH_A_WORD_W) {
            notices.push(Notice {
                about: "",
                kind: "derate",
                place: "electric drive".to_owned(),
                message: format!(
                    "derating and the motors' greatest power reduce the shaft power by {:.1} kW",
                    1e-3 * electric.lost_power_w
                ),
            });
        }
        let outside = &self.outside;
        let height =
            electric.as_ref().and_then(|electric| height::look(self.naming.situation, electric, outside));
        notices.extend(height.map(|found| height::notice(&found, None)));
        let refuse = project.policy.outside_range == OutsideRange::Refuse;
        let outside_range = notices.iter().any(|n| n.kind == "out_of_range");
        let mut result = CaseResult {
            case: self.naming.case(),
            status: if refuse && outside_range { Status::OutOfRange } else { Status::Solved },
            components,
            loops,
            ducts,
            exchangers: self.exchangers(),
            links: self.links(),
            electric,
            margins: Vec::new(),
            ledger,
            lines,
            notices,
            statistics,
        };
        result.margins =
            margin::margins(self.naming.situation, &result, &self.outside, &self.naming.parts.loops);
        result.notices.extend(self.film_notices(&result.margins));
        result
    }
}
