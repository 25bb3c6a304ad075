//! The temperature at which the model of a component ends.

use crate::records::component::{Bound, Component};
use crate::records::powertrain::Bus;
use crate::records::project::Project;

/// How far above its highest limit the model of a component is believed, K. Common practice, no source: data sheets say nothing there.
pub const ABOVE_HIGHEST_LIMIT_K: f64 = 50.0;
/// Where the model of a component without a maximum ends: 300 degC, K. Common practice, no source: insulation, solder and adhesives are
/// gone by then.
pub const WITHOUT_LIMIT_K: f64 = 573.15;

/// The temperature from which the model says nothing about a component, K: for the cells of the pack the onset of self-heating, for
/// others [`ABOVE_HIGHEST_LIMIT_K`] above their highest maximum, or [`WITHOUT_LIMIT_K`].
pub fn ceiling_k(project: &Project, component: &Component) -> f64 {
    if let Some(Bus::Pack(pack)) = project.powertrain.as_ref().map(|powertrain| &powertrain.bus)
        && component.name == pack.cells
    {
        return pack.cell.self_heating.si();
    }
    let maxima = component.limits.iter().filter(|limit| matches!(limit.bound, Bound::Maximum));
    let highest_k = maxima.map(|limit| limit.value.si()).reduce(f64::max);
    highest_k.map_or(WITHOUT_LIMIT_K, |highest_k| highest_k + ABOVE_HIGHEST_LIMIT_K)
}
