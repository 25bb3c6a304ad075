//! Outside surfaces and radiation; exchangers, fins and compact cores; rotors.

use super::record::Record;
use super::relations::{by_relation, relation, whole_table};
use media::air;
use testkit::{Row, table};

pub(crate) fn outside() -> Record {
    let mut record = Record::new("Outside surfaces and radiation");
    whole_table(&mut record, "external_forced.csv", by_relation);
    whole_table(&mut record, "natural_convection.csv", by_relation);
    whole_table(&mut record, "radiation.csv", by_relation);
    for row in &table("natural_convection_dimensional.csv") {
        let surface = Surface::of(row);
        let (what, computed) = match row.text("quantity") {
            "rayleigh" => ("Still air with its own properties: Rayleigh number", surface.rayleigh()),
            _ => ("Still air with its own properties: film coefficient", surface.coefficient_w_m2k()),
        };
        record.row(what, row, computed);
    }
    record
}

/// A warm surface in still air: properties of `media`, relation of `correlations`.
struct Surface {
    relation: &'static str,
    size_m: f64,
    difference_k: f64,
    film_k: f64,
    pressure_pa: f64,
}

impl Surface {
    fn of(row: &Row) -> Self {
        let (hot, cold) = (row.number("surface_temperature_K"), row.number("ambient_temperature_K"));
        Self {
            relation: match row.text("surface") {
                "vertical_plate" => "churchill_chu_1975_vertical_plate_all_Ra",
                "horizontal_cylinder" => "churchill_chu_1975_horizontal_cylinder",
                other => panic!("no relation for {other}"),
            },
            size_m: row.number("height_or_diameter_m"),
            difference_k: hot - cold,
            film_k: 0.5 * (hot + cold),
            pressure_pa: row.number("pressure_Pa"),
        }
    }

    /// `g beta dT L^3/(nu a)` with `beta = 1/T`.
    fn rayleigh(&self) -> f64 {
        let t = self.film_k;
        let kinematic = air::viscosity(t) / air::density(t, self.pressure_pa);
        let diffusivity = kinematic / air::prandtl(t);
        9.80665 / t * self.difference_k * self.size_m.powi(3) / (kinematic * diffusivity)
    }

    fn coefficient_w_m2k(&self) -> f64 {
        let groups = [("rayleigh", self.rayleigh()), ("prandtl", air::prandtl(self.film_k))];
        relation(self.relation, &groups) * air::conductivity(self.film_k) / self.size_m
    }
}

pub(crate) fn exchangers() -> Record {
    let mut record = Record::new("Heat exchangers, fins and compact cores");
    whole_table(&mut record, "hx_effectiveness.csv", by_relation);
    whole_table(&mut record, "hx_multirow.csv", by_relation);
    // completed by the arrangement of the row
    whole_table(&mut record, "hx_lmtd.csv", |row| row.text("quantity").to_owned());
    // completed by the fin of the row
    whole_table(&mut record, "fin_efficiency.csv", |row| row.text("quantity").to_owned());
    whole_table(&mut record, "compact_louver.csv", by_relation);
    whole_table(&mut record, "compact_offset_strip.csv", |row| match row.text("quantity") {
        "hydraulic_diameter" => "offset_strip_hydraulic_diameter".to_owned(),
        _ => "manglik_bergles_1995".to_owned(),
    });
    record
}

pub(crate) fn rotors() -> Record {
    let mut record = Record::new("Rotors");
    whole_table(&mut record, "rotating_gap_heat.csv", by_relation);
    whole_table(&mut record, "rotating_windage.csv", by_relation);
    whole_table(&mut record, "rotating_free_convection.csv", by_relation);
    record
}

#[cfg(test)]
mod tests {
    #[test]
    fn outside_surfaces_agree() {
        assert!(super::outside().lines().len() >= 17);
    }

    #[test]
    fn exchangers_agree() {
        assert!(super::exchangers().lines().len() >= 15);
    }

    #[test]
    fn rotors_agree() {
        assert!(super::rotors().lines().len() >= 15);
    }
}
