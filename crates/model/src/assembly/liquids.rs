//! Liquids of the library and of the project.

use aircraft::records::project::Project;
use media::{Liquid, LiquidRow, TableOptions};
use schema::Problem;

/// Temperature that pump curves and unstated properties refer to, K.
pub(super) const REFERENCE_K: f64 = 333.15;

/// A liquid of the library or of the project.
///
/// # Errors
/// A [`Problem`] at `path` for a name that is neither, or a table that no liquid can have.
pub fn liquid(project: &Project, name: &str, path: &str) -> Result<Liquid, Problem> {
    let made = match project.fluids.iter().find(|f| f.name.as_str() == name) {
        Some(table) => {
            let rows: Vec<LiquidRow> = table
                .rows
                .iter()
                .map(|row| LiquidRow {
                    temperature_k: row.temperature.si(),
                    density_kg_m3: row.density.si(),
                    specific_heat_j_kgk: row.specific_heat.si(),
                    viscosity_pa_s: row.viscosity.si(),
                    conductivity_w_mk: row.conductivity.si(),
                })
                .collect();
            let options = TableOptions {
                freezing_point_k: table.freezing.as_ref().map(|t| t.si()),
                source: table.source.clone().unwrap_or_else(|| "user's table".to_owned()),
                ..TableOptions::default()
            };
            Liquid::from_table(name, &rows, &options)
        }
        None => Liquid::named(name),
    };
    made.map_err(|error| {
        Problem::error(path, error.to_string(), "name a fluid of the library, or add it to `fluids`")
    })
}
