//! Oils: viscosity and temperature, grades, specific heat, conductivity, expansion.

use super::record::{Allowed, Cited, Origin, Record};
use media::{Anchor, D341, ISO_GRADES, Liquid, cragoe_conductivity, cragoe_specific_heat, lubricant_density};
use testkit::{Row, table};

pub(crate) fn record() -> Record {
    let mut record = Record::new("Oils");
    viscosity(&mut record);
    grades(&mut record);
    iso_series(&mut record);
    thermal(&mut record);
    record
}

fn named(name: &str) -> Liquid {
    Liquid::named(name).unwrap_or_else(|error| panic!("{name}: {error}"))
}

fn kinematic_mm2_s(oil: &Liquid, t: f64) -> f64 {
    1e6 * oil.viscosity(t) / oil.density(t)
}

fn line_through_anchors(row: &Row) -> D341 {
    let anchor = |which: &str| Anchor {
        temperature_k: row.number(&format!("{which}_temperature_K")),
        viscosity_mm2_s: row.number(&format!("{which}_kinematic_viscosity_mm2_s")),
    };
    match row.text("relation") {
        "ASTM_D341_two_point_full" => D341::full(anchor("anchor1"), anchor("anchor2")),
        "ASTM_D341_two_point_Z_is_nu_plus_0.7" => D341::simple(anchor("anchor1"), anchor("anchor2")),
        other => panic!("no relation {other}"),
    }
}

fn viscosity(record: &mut Record) {
    for row in &table("oil_viscosity_temperature.csv") {
        let line = line_through_anchors(row);
        let what = match row.text("relation") {
            "ASTM_D341_two_point_full" => "Viscosity between two anchors, full equation",
            _ => "Viscosity between two anchors, nu + 0.7",
        };
        match row.text("quantity") {
            "D341_constant_A" => record.row("The constants A and B", row, line.a),
            "D341_constant_B" => record.row("The constants A and B", row, line.b),
            _ => record.row(what, row, line.kinematic_mm2_s(row.number("temperature_K"))),
        }
    }
}

fn grades(record: &mut Record) {
    for row in &table("oil_grade_limits.csv") {
        let grade = row.text("grade");
        // a 75W-90 holds the rows of 75W and 90, and with them the milder limits of 80W, but no other summer grade
        let (name, words, holds) = match (row.text("standard"), grade) {
            ("MIL-PRF-23699", _) => ("turbine-oil".to_owned(), "The turbine oil", true),
            ("SAE J306", "75W" | "80W" | "90") => ("gear-oil-75w90".to_owned(), "The 75W-90 gear oil", true),
            ("SAE J306", _) => ("gear-oil-75w90".to_owned(), "The 75W-90 gear oil", false),
            ("ISO 3448", _) => (grade.to_lowercase().replace(' ', "-"), "Each ISO grade", true),
            other => panic!("no oil for {other:?}"),
        };
        let (oil, t) = (named(&name), row.number("temperature_K"));
        let value = match row.text("quantity") {
            "kinematic_viscosity" => kinematic_mm2_s(&oil, t),
            "dynamic_viscosity" => 1e3 * oil.viscosity(t),
            other => panic!("no quantity {other}"),
        };
        if holds {
            record.limits(&format!("{words} holds the limits of its grade"), row, value);
        } else {
            record.beyond_limits(&format!("{words} is outside the other summer grades"), row, value);
        }
    }
}

/// Mid-points of the grades at 40 degC, mm2/s.
const ISO_3448: [f64; 20] = [
    2.2, 3.2, 4.6, 6.8, 10.0, 15.0, 22.0, 32.0, 46.0, 68.0, 100.0, 150.0, 220.0, 320.0, 460.0, 680.0, 1000.0,
    1500.0, 2200.0, 3200.0,
];

fn iso_series(record: &mut Record) {
    let cited = Cited {
        source: "ISO 3448: twenty grades, mid-point +- 10 % at 40 degC",
        what: "Every ISO grade by name",
        origin: Origin::Memory,
    };
    assert_eq!(ISO_GRADES.len(), ISO_3448.len());
    for (grade, middle) in ISO_GRADES.iter().zip(ISO_3448) {
        let oil = named(&format!("iso-vg-{}", grade.grade));
        record.value(&cited, kinematic_mm2_s(&oil, 313.15), middle, Allowed::Part(0.1));
    }
    let index = Cited {
        source: "ASTM D2270: H = 0.1684 Y2 + 11.85 Y - 97 for 70 mm2/s and more at 100 degC",
        what: "The two thickest ISO grades have a viscosity index of 100",
        origin: Origin::Outside,
    };
    for grade in ISO_GRADES.iter().filter(|grade| grade.grade >= 2200) {
        let oil = named(&format!("iso-vg-{}", grade.grade));
        let y = kinematic_mm2_s(&oil, 373.15);
        let h = 0.1684 * y * y + 11.85 * y - 97.0;
        record.value(&index, kinematic_mm2_s(&oil, 313.15), h, Allowed::Part(0.005));
    }
    let typical = Cited {
        source: "Typical mineral oils of the trade: 32/5.4 and 220/19 mm2/s at 40/100 degC",
        what: "ISO VG 32 and 220 at 100 degC",
        origin: Origin::Memory,
    };
    for (name, at_100) in [("iso-vg-32", 5.4), ("iso-vg-220", 19.0)] {
        record.value(&typical, kinematic_mm2_s(&named(name), 373.15), at_100, Allowed::Part(0.025));
    }
}

fn thermal(record: &mut Record) {
    let turbine_oil = named("turbine-oil");
    for row in &table("oil_thermal.csv") {
        let t = row.number("temperature_K");
        let (what, computed) = match (row.text("relation"), row.text("quantity")) {
            ("Cragoe_1929_specific_heat", _) => {
                ("Petroleum oils: specific heat", cragoe_specific_heat(row.number("relative_density_60F"), t))
            }
            ("Cragoe_1929_conductivity", _) => (
                "Petroleum oils: thermal conductivity",
                cragoe_conductivity(row.number("relative_density_60F"), t),
            ),
            ("API_MPMS_11.1_lubricant_expansion", _) => {
                ("Lubricants: density", lubricant_density(row.number("density_15C_kg_m3"), t))
            }
            (_, "density") => (ESTER, turbine_oil.density(t)),
            (_, "specific_heat") => (ESTER, turbine_oil.specific_heat(t)),
            (_, "thermal_conductivity") => (ESTER, turbine_oil.conductivity(t)),
            other => panic!("no relation {other:?}"),
        };
        record.row(what, row, computed);
    }
}

const ESTER: &str = "Turbine oil (ester): density, specific heat and thermal conductivity";

#[cfg(test)]
mod tests {
    #[test]
    fn oils_agree() {
        assert!(super::record().lines().len() >= 10);
    }
}
