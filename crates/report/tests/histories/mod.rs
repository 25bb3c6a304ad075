//! Histories written and read back with general-purpose readers.

#[cfg(feature = "parquet")]
mod columnar;
mod refused;
mod text;

use report::history::{History, HistoryColumn, HistoryTable};
use report::json::Origin;

/// Numbers that are easily spoilt: not representable in decimal, tiny, huge, negative zero, and none at all.
const AWKWARD: [f64; 6] = [0.1, 1.0 / 3.0, 5e-324, 1.797_693_134_862_315_7e308, -0.0, f64::NAN];

fn table() -> HistoryTable {
    HistoryTable::new(vec![
        // a step at 1 s: the same time twice
        HistoryColumn::new("time", "s", vec![0.0, 0.5, 1.0, 1.0, 2.0, 1e7]),
        HistoryColumn::new("winding left/temperature", "K", vec![300.0, 300.25, 301.0, 301.0, 303.15, 350.0]),
        HistoryColumn::new("loop \"stator\", A/flow", "kg_s", AWKWARD.to_vec()),
        HistoryColumn::new("state of charge", "", vec![1.0, 0.9, 0.8, 0.8, 0.7, 0.0]),
    ])
    .expect("a sound table")
}

const HEADS: [&str; 4] =
    ["time_s", "winding left/temperature_K", "loop \"stator\", A/flow_kg_s", "state of charge"];

fn history(table: &HistoryTable) -> History<'_> {
    History {
        origin: Origin {
            program: "heatledger 0.1.0",
            project: "Glider tug",
            variant: "base",
            input_hash: "00ff",
        },
        case: "hot day/tow/fan stops",
        table,
    }
}

/// The same bits, or no number on both sides.
fn same(read: f64, written: f64) -> bool {
    read.to_bits() == written.to_bits() || (read.is_nan() && written.is_nan())
}
