//! Components against their limits as display data.

use aircraft::records::project::Project;
use model::result::{CaseResult, Margin, MarginKind};

use super::units::celsius;
use crate::views::figure::Figure;
use crate::views::temperatures::{TemperatureRow, TemperatureTable};

pub(super) fn temperatures(project: &Project, result: &CaseResult) -> TemperatureTable {
    let mut rows = Vec::new();
    for (spec, state) in project.components.iter().zip(&result.components) {
        let name = state.name.as_str();
        let limits: Vec<&Margin> =
            result.margins.iter().filter(|m| m.place == name && m.kind.unit() == "K").collect();
        let heat = Figure::new(1e-3 * state.heat_w, 3);
        if limits.is_empty() || spec.limits.is_empty() {
            rows.push(TemperatureRow {
                component: name.to_owned(),
                limit_name: "no limit given".to_owned(),
                temperature: Figure::new(celsius(state.temperature_k()), 1),
                limit: Figure::none(),
                margin: Figure::none(),
                required: Figure::none(),
                heat,
                standing: None,
                value: celsius(state.temperature_k()),
                limit_value: None,
                is_minimum: false,
            });
            continue;
        }
        for margin in limits {
            rows.push(TemperatureRow {
                component: name.to_owned(),
                limit_name: margin.limit.clone(),
                temperature: Figure::new(celsius(margin.value), 1),
                limit: Figure::new(celsius(margin.limit_value), 1),
                margin: Figure::new(margin.margin, 1),
                required: Figure::new(margin.required, 1),
                heat: heat.clone(),
                standing: Some(margin.standing()),
                value: celsius(margin.value),
                limit_value: Some(celsius(margin.limit_value)),
                is_minimum: margin.kind == MarginKind::Minimum,
            });
        }
    }
    TemperatureTable {
        temperature_unit: "degC".to_owned(),
        difference_unit: "K".to_owned(),
        heat_unit: "kW".to_owned(),
        rows,
    }
}
