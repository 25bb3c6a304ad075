//! Worked examples of textbooks, through the list of relations with the properties the books print.
//!
//! "Exact" is the recomputation beside the book value in the project's collection of trade facts (section 12), whose
//! numbering is kept; book values are often chart readings and get the tolerance of one.

use super::losses::cell;
use super::record::{Allowed, Cited, Origin, Record};
use super::relations::relation;
use media::atmosphere::{self, Day};
use media::ethylene_glycol_conde;
use std::f64::consts::PI;

pub(crate) fn record() -> Record {
    let mut record = Record::new("Worked examples");
    exchangers(&mut record);
    radiator(&mut record);
    oil_cooler(&mut record);
    tubes(&mut record);
    fins(&mut record);
    series(&mut record);
    hose(&mut record);
    single_cell(&mut record);
    correction(&mut record);
    record
}

/// Computed value, printed value and what is accepted. A line that says "exact" was recomputed from the inputs of the book.
fn checks(record: &mut Record, source: &'static str, what: &'static str, values: &[(f64, f64, f64)]) {
    let origin = if what.contains("exact") { Origin::Calculated } else { Origin::Outside };
    let cited = Cited { source, what, origin };
    for &(computed, printed, accepted) in values {
        record.value(&cited, computed, printed, Allowed::Digits(accepted));
    }
}

fn effectiveness(arrangement: &str, ntu: f64, ratio: f64) -> f64 {
    relation(arrangement, &[("ntu", ntu), ("capacity_ratio", ratio)])
}

const EXACT: &str = "crossflow_both_unmixed_exact";
const CLOSED_FORM: &str = "crossflow_both_unmixed_approximate";

fn exchangers(record: &mut Record) {
    let q = 1.0 * 4197.0 * (125.0 - 35.0);
    let gas = q / (300.0 - 100.0);
    let (wanted, ratio) = (q / (gas * (300.0 - 35.0)), gas / 4197.0);
    let ntu = relation("crossflow_both_unmixed_ntu", &[("effectiveness", wanted), ("capacity_ratio", ratio)]);
    let first = "Incropera & DeWitt, Fundamentals of Heat and Mass Transfer, 6th ed., example 11.3, p. 692";
    let exact = [
        (q, 377_730.0, 5.0),
        (gas, 1888.65, 0.0051),
        (wanted, 0.7547, 5.1e-5),
        (ratio, 0.45, 5e-5),
        (ntu, 2.0808, 5.1e-5),
        (ntu * gas / 100.0, 39.30, 0.0051),
    ];
    checks(record, first, "Crossflow sized, exact: heat, capacities, NTU, area", &exact);
    let book = [(ntu, 2.1, 0.04 * 2.1), (ntu * gas / 100.0, 39.7, 0.04 * 39.7)];
    checks(record, first, "Crossflow sized, book: NTU read from a chart, area", &book);

    let (gas, water) = (1.5 * 1000.0, 1.0 * 4197.0);
    let (ntu, ratio) = (100.0 * 40.0 / gas, gas / water);
    let rated = effectiveness(EXACT, ntu, ratio);
    let q = rated * gas * (250.0 - 35.0);
    let second = "Incropera & DeWitt, 6th ed., example 11.4, p. 695";
    let exact = [
        (ntu, 2.6667, 5.1e-5),
        (ratio, 0.35740, 5.1e-6),
        (rated, 0.83579, 5.1e-6),
        (q, 269_540.0, 5.1),
        (250.0 - q / gas, 70.31, 0.0051),
        (35.0 + q / water, 99.22, 0.0051),
    ];
    checks(record, second, "Crossflow rated, exact: effectiveness, heat, outlets", &exact);
    let book = [
        (rated, 0.82, 0.04 * 0.82),
        (q, 264e3, 0.04 * 264e3),
        (250.0 - q / gas, 73.7, 4.0),
        (35.0 + q / water, 98.0, 2.0),
    ];
    checks(record, second, "Crossflow rated, book: effectiveness read from a chart, heat, outlets", &book);

    let (air, water) = (10.0 * 1010.0, 7.0 * 4180.0);
    let (ntu, ratio) = (220.0 * 250.0 / air, air / water);
    let (exact, closed) = (effectiveness(EXACT, ntu, ratio), effectiveness(CLOSED_FORM, ntu, ratio));
    let values = [
        (ntu, 5.4455, 5.1e-5),
        (ratio, 0.34518, 5.1e-6),
        (exact, 0.94859, 5.1e-6),
        (125.0 - exact * 105.0, 25.40, 0.0051),
        (closed, 0.95282, 5.1e-6),
        (125.0 - closed * 105.0, 24.95, 0.0051),
    ];
    let fourth = "S. K. Som, Introduction to Heat Transfer, chapter 10, example 7";
    checks(record, fourth, "Large crossflow, exact: series and closed form, outlet", &values);
    let book = [(125.0 - exact * 105.0, 26.0, 1.0)];
    checks(record, fourth, "Large crossflow, book: outlet, about 26 degC by the closed form", &book);
}

fn radiator(record: &mut Record) {
    let q = 0.6 * 4195.0 * (90.0 - 65.0);
    let area = 40.0 * PI * 0.005 * 0.65;
    let ends = [("hot_in_K", 90.0), ("hot_out_K", 65.0), ("cold_in_K", 20.0), ("cold_out_K", 40.0)];
    let lmtd = relation("log_mean_temperature_difference_counterflow", &ends);
    // the air changes least, so the water has the smaller capacity: 25 K of 70 K, ratio 20/25
    let (wanted, ratio) = ((90.0 - 65.0) / (90.0 - 20.0), 20.0 / 25.0);
    let ntu = relation("crossflow_both_unmixed_ntu", &[("effectiveness", wanted), ("capacity_ratio", ratio)]);
    // counterflow: (1 - e C)/(1 - e) = exp(NTU (1 - C))
    let counter = ((1.0 - wanted * ratio) / (1.0 - wanted)).ln() / (1.0 - ratio);
    let factor = counter / ntu;
    let source = "Cengel & Ghajar, Heat and Mass Transfer, 5th ed. (unconfirmed), example 11-6, car radiator";
    let values = [
        (q, 62_925.0, 0.51),
        (area, 0.4084, 5.1e-5),
        (lmtd, 47.456, 5.1e-4),
        (factor, 0.97035, 5.1e-6),
        (q / (area * factor * lmtd), 3346.0, 0.51),
    ];
    checks(record, source, "Radiator, exact: heat, LMTD, correction factor, U", &values);
    let book = [(factor, 0.97, 0.005), (q / (area * factor * lmtd), 3347.0, 2.0)];
    checks(record, source, "Radiator, book: correction factor, U", &book);
}

fn oil_cooler(record: &mut Record) {
    let q: f64 = 0.1 * 2131.0 * (100.0 - 60.0);
    let water_out = 30.0 + q / (0.2 * 4178.0);
    let ends = [("hot_in_K", 100.0), ("hot_out_K", 60.0), ("cold_in_K", 30.0), ("cold_out_K", water_out)];
    let lmtd = relation("log_mean_temperature_difference_counterflow", &ends);
    let reynolds = 4.0 * 0.2 / (PI * 0.025 * 725e-6);
    let nusselt = relation("dittus_boelter_heating_n_0.4", &[("reynolds", reynolds), ("prandtl", 4.85)]);
    let inner = nusselt * 0.625 / 0.025;
    let outer = 5.63 * 0.138 / (0.045 - 0.025);
    let u = 1.0 / (1.0 / inner + 1.0 / outer);
    let length = q / (u * PI * 0.025 * lmtd);
    let values = [
        (q, 8524.0, 0.51),
        (water_out, 40.20, 0.0051),
        (lmtd, 43.20, 0.0051),
        (reynolds, 14_050.0, 5.1),
        (inner, 2250.0, 2.0),
        (outer, 38.8, 0.051),
        (u, 38.19, 0.0051),
        (length, 65.79, 0.02),
    ];
    let source = "Incropera & DeWitt, 6th ed., example 11.1, p. 680";
    checks(record, source, "Oil cooler in counterflow, exact: film coefficients, U, length", &values);
    let book = [(length, 65.9, 0.2)];
    checks(record, source, "Oil cooler in counterflow, book: length", &book);
}

fn tubes(record: &mut Record) {
    let ends = [("hot_in_K", 100.0), ("hot_out_K", 100.0), ("cold_in_K", 15.0), ("cold_out_K", 57.0)];
    let lmtd = relation("log_mean_temperature_difference_counterflow", &ends);
    let h = 0.25 * 4178.0 * 42.0 / (PI * 0.05 * 6.0 * lmtd);
    let steam = "Incropera & DeWitt, 6th ed., example 8.3, p. 503";
    checks(record, steam, "Wall at one temperature: LMTD, h", &[(lmtd, 61.63, 0.0061), (h, 755.2, 0.2)]);

    // viscosity 352e-6 Pa s and cp 4181 J/(kg K) at 50 degC, table of the book
    let length = 0.01 * 4181.0 * 60.0 / (PI * 0.06 * 2000.0);
    let nusselt = relation("laminar_developed_constant_heat_flux", &[]);
    let values = [
        (length, 6.649, 0.007),
        (4.0 * 0.01 / (PI * 0.06 * 352e-6), 602.9, 1.2),
        (nusselt, 4.364, 5.1e-4),
        (80.0 + 2000.0 * 0.06 / (nusselt * 0.670), 121.04, 0.0051),
    ];
    let flux = "Incropera & DeWitt, 6th ed., example 8.4, p. 506";
    checks(record, flux, "Laminar, constant flux: length, Re, Nu, wall", &values);

    // viscosity 208.2e-7 Pa s, k 0.030 W/(m K), Pr 0.70, table of the book
    let reynolds = 4.0 * 0.05 / (PI * 0.15 * 208.2e-7);
    let nusselt = relation("dittus_boelter_cooling_n_0.3", &[("reynolds", reynolds), ("prandtl", 0.70)]);
    let h = nusselt * 0.030 / 0.15;
    let flux = 77.0 / (1.0 / h + 1.0 / 6.0);
    let values = [
        (reynolds, 20_385.0, 10.0),
        (h, 11.58, 0.0061),
        (0.05 * 1010.0 * 26.0, 1313.0, 0.51),
        (flux, 304.3, 0.12),
        (77.0 - flux / h, 50.72, 0.011),
    ];
    let duct = "Incropera & DeWitt, 6th ed., example 8.6, p. 516";
    checks(record, duct, "Air duct: Re, h, heat, flux, wall", &values);
}

fn fins(record: &mut Record) {
    let mut rods = Vec::new();
    for (k, watts, infinite) in [(398.0, 8.31, 0.187), (180.0, 5.59, 0.126), (14.0, 1.56, 0.035)] {
        // a rod of diameter d has the m of a plate of thickness d/2
        let m = (2.0_f64 * 100.0 / (k * 0.0025)).sqrt();
        let length = 20.0 / m;
        let plate = [
            ("heat_transfer_coefficient_W_m2K", 100.0),
            ("conductivity_W_mK", k),
            ("thickness_m", 0.0025),
            ("length_m", length),
        ];
        let efficiency = relation("straight_rectangular_adiabatic_tip", &plate);
        rods.push((efficiency * 100.0 * PI * 0.005 * length * 75.0, watts, 0.0051));
        rods.push((2.65 / m, infinite, 6e-4));
    }
    let source = "Incropera & DeWitt, 6th ed., example 3.9 (conductivities from memory)";
    let cited =
        Cited { source, what: "Long rods of three metals: heat, infinite length", origin: Origin::Memory };
    for (computed, printed, accepted) in rods {
        record.value(&cited, computed, printed, Allowed::Digits(accepted));
    }

    let (root, tip) = (0.025_f64, 0.048_f64);
    let annular = [
        ("heat_transfer_coefficient_W_m2K", 50.0),
        ("conductivity_W_mK", 186.0),
        ("thickness_m", 0.006),
        ("root_radius_m", root),
        ("tip_radius_m", tip),
    ];
    let efficiency = relation("annular_adiabatic_tip", &annular);
    let fin_area = 5.0 * 2.0 * PI * (tip * tip - root * root);
    let bare_part = 2.0 * PI * root * (0.15 - 5.0 * 0.006);
    let q = 50.0 * 200.0 * (efficiency * fin_area + bare_part);
    let source = "Incropera & DeWitt, 6th ed., example 3.10, p. 156";
    let bare = 50.0 * 2.0 * PI * root * 0.15 * 200.0;
    let values = [(efficiency, 0.97855, 5.1e-6), (q, 704.7, 0.051), (bare, 235.6, 0.051)];
    checks(record, source, "Annular fins, exact: efficiency, heat", &values);
    let book = [(efficiency, 0.95, 0.04 * 0.95), (q, 690.0, 0.04 * 690.0)];
    checks(record, source, "Annular fins, book: efficiency read from a chart, heat", &book);
}

fn series(record: &mut Record) {
    let known = [
        (0.5, 0.25, 0.37509),
        (0.5, 0.8, 0.33847),
        (1.0, 0.5, 0.54749),
        (1.0, 1.0, 0.47622),
        (2.0, 0.5, 0.73241),
        (2.0, 1.0, 0.61425),
        (3.0, 0.5, 0.81971),
        (5.0, 1.0, 0.7509),
    ];
    let cited = Cited {
        source: "Mason 1955 series, confirmed by a 200 x 200 march through the exchanger (trade facts, section 12)",
        what: "Crossflow, both fluids unmixed",
        origin: Origin::Calculated,
    };
    for (ntu, ratio, printed) in known {
        record.value(&cited, effectiveness(EXACT, ntu, ratio), printed, Allowed::Digits(6e-6));
    }
    let closed = Cited {
        source: "Closed forms worked by hand (trade facts, section 12)",
        what: "Counterflow and parallel flow",
        ..cited
    };
    for (arrangement, ratio, printed) in
        [("counterflow", 0.5, 0.77460), ("counterflow", 1.0, 0.66667), ("parallel_flow", 0.5, 0.63348)]
    {
        record.value(&closed, effectiveness(arrangement, 2.0, ratio), printed, Allowed::Digits(5.1e-6));
    }
}

fn hose(record: &mut Record) {
    let cited = Cited {
        source: "Hand calculation with the law of Conde 2011 (trade facts, section 12, example 15)",
        what: "Hose, 12 L/min, 16 mm, 50 % glycol, -20 to 60 degC: Re, friction factor, Pa/m",
        origin: Origin::Calculated,
    };
    let (flow, diameter) = (12.0 / 60_000.0, 0.016);
    let speed = flow / (0.25 * PI * diameter * diameter);
    for (celsius, reynolds, gradient) in
        [(60.0, 11_324.0, 992.0), (20.0, 4114.0, 1370.0), (-20.0, 705.0, 3081.0)]
    {
        let coolant = ethylene_glycol_conde(0.5, celsius + 273.15);
        let found = coolant.density_kg_m3 * speed * diameter / coolant.viscosity_pa_s;
        let law = if found < 2000.0 { "laminar_64_over_Re" } else { "petukhov_1970_smooth" };
        let factor = relation(law, &[("reynolds", found)]);
        let drop = factor / diameter * 0.5 * coolant.density_kg_m3 * speed * speed;
        record.value(&cited, found, reynolds, Allowed::Part(1e-3));
        record.value(&cited, drop, gradient, Allowed::Part(1e-3));
        if celsius == 60.0 {
            record.value(&cited, factor, 0.0304, Allowed::Digits(5.1e-5));
        }
    }
}

fn single_cell(record: &mut Record) {
    let cited = Cited {
        source: "Hand calculation, 70 g, 950 J/(kg K), 20 mOhm, 15 A, 8 K/W (trade facts, section 12, example 16)",
        what: "Single cell: heat, adiabatic rate, time constant, steady rise",
        origin: Origin::Calculated,
    };
    let cell = cell(0.020, 0.0, 0.0);
    let heat = cell.heat(15.0, 300.0, 0.5);
    record.value(&cited, heat, 4.5, Allowed::Part(1e-9));
    record.value(&cited, 60.0 * heat / cell.heat_capacity_j_k(), 4.06, Allowed::Digits(0.0051));
    record.value(&cited, 8.0 * cell.heat_capacity_j_k(), 532.0, Allowed::Part(1e-9));
    record.value(&cited, 8.0 * heat, 36.0, Allowed::Part(1e-9));
}

fn correction(record: &mut Record) {
    let cited = Cited {
        source: "Hand calculation by 14 CFR 27.1043(c) (trade facts, section 12, example 17)",
        what: "Test peak 92.0 degC at 18.0 degC and 3 000 ft: hot day, corrected peak, margin to 110 degC",
        origin: Origin::Calculated,
    };
    let hot = atmosphere::at(&Day::HotDay27_1043, 3000.0 * 0.3048).expect("inside the range");
    let hot_day = hot.temperature_k - 273.15;
    let corrected = 92.0 + (hot_day - 18.0);
    for (computed, printed) in [(hot_day, 31.78), (corrected, 105.78), (110.0 - corrected, 4.22)] {
        record.value(&cited, computed, printed, Allowed::Within(0.0051, "K"));
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn examples_agree() {
        assert!(super::record().lines().len() >= 18);
    }
}
