//! Flow resistance, and heat transfer inside tubes and ducts.

use super::record::{Allowed, Cited, Origin, Record};
use super::relations::{by_relation, whole_table};

pub(crate) fn resistance() -> Record {
    let mut record = Record::new("Flow resistance");
    whole_table(&mut record, "friction_factor.csv", by_relation);
    whole_table(&mut record, "minor_losses.csv", by_relation);
    whole_table(&mut record, "pipe_pressure_drop.csv", |_| "pipe_pressure_drop".to_owned());
    bends(&mut record);
    record
}

/// Crane TP 410, equivalent lengths of 90 degree bends: bend radius and length, both over the diameter.
const CRANE: [(f64, f64); 12] = [
    (1.0, 20.0),
    (1.5, 14.0),
    (2.0, 12.0),
    (3.0, 12.0),
    (4.0, 14.0),
    (6.0, 17.0),
    (8.0, 24.0),
    (10.0, 30.0),
    (12.0, 34.0),
    (14.0, 38.0),
    (16.0, 42.0),
    (20.0, 50.0),
];

fn bends(record: &mut Record) {
    let cited = Cited {
        source: "Crane TP 410, table of 90 degree bends",
        what: "Equivalent length of a bend over the diameter, r/d 1 to 20",
        origin: Origin::Outside,
    };
    for (radius, length) in CRANE {
        // the loss coefficient is the friction factor times the equivalent length
        let computed = correlations::minor_loss::bend_crane(1.0, 90.0, radius);
        record.value(&cited, computed, length, Allowed::Part(0.011));
    }
}

pub(crate) fn inside() -> Record {
    let mut record = Record::new("Heat transfer inside tubes and ducts");
    whole_table(&mut record, "nusselt_internal.csv", by_relation);
    whole_table(&mut record, "tube_published.csv", by_relation);
    // `exact` is completed by the shape of the row
    whole_table(&mut record, "duct_laminar.csv", by_relation);
    solver_law(&mut record);
    record
}

/// What the solver uses, against the exact series it approximates.
fn solver_law(record: &mut Record) {
    let cited = Cited {
        source: "Own numerical Graetz series (40 modes), `nusselt_internal.csv`",
        what: "The law of the solver in laminar flow meets the exact series within the 1 % its source claims",
        origin: Origin::Calculated,
    };
    for row in testkit::table("nusselt_internal.csv")
        .select("relation", "graetz_exact_mean_constant_wall_temperature")
    {
        let laminar = correlations::internal::nusselt_developing_laminar_turbulent(
            row.number("reynolds"),
            row.number("prandtl"),
            row.number("length_over_diameter"),
            0.0,
            3.6568,
        );
        record.value(&cited, laminar, row.expected(), Allowed::Part(0.01));
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn resistance_agrees() {
        assert!(super::resistance().lines().len() >= 15);
    }

    #[test]
    fn heat_transfer_inside_agrees() {
        assert!(super::inside().lines().len() >= 15);
    }
}
