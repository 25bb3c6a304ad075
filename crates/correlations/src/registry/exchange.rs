//! Heat exchangers.

use super::types::{Input, Outcome, Relation, RelationError, Values};
use crate::{
    Range,
    exchanger::{self, Rows},
};

const NTU: Input = Input::group("NTU", exchanger::NTU, "number of transfer units UA/C_min");
const RATIO: Input = Input::group(
    "capacity_ratio_Cmin_over_Cmax",
    exchanger::CAPACITY_RATIO,
    "smaller over larger capacity flow m cp",
)
.at_most(1.0);
const ROWS: Input = Input::group("rows", Range::new(1.0, 4.0), "number of tube rows, a whole number");
const HOT_IN: Input = Input::positive("hot_in_K", "K", "hot side inlet temperature");
const HOT_OUT: Input = Input::positive("hot_out_K", "K", "hot side outlet temperature");
const COLD_IN: Input = Input::positive("cold_in_K", "K", "cold side inlet temperature");
const COLD_OUT: Input = Input::positive("cold_out_K", "K", "cold side outlet temperature");

const EFFECTIVENESS: &str = "effectiveness";
const ANY: &str = "any NTU, capacity ratio 0 to 1; constant properties, uniform UA";
const EXACT: &str = "exact for its assumptions; maldistribution lowers it";
const KAYS_LONDON: &str = "Kays & London, Compact Heat Exchangers";
const ROW_RANGE: &str = "1 to 4 rows; air unmixed, tube fluid mixed inside each row";

fn two(v: &Values, relation: fn(f64, f64) -> f64) -> Outcome {
    Outcome::of(relation(v.get("NTU"), v.get("capacity_ratio_Cmin_over_Cmax")))
}

fn rows(v: &Values, relation: fn(Rows, f64, f64) -> f64) -> Result<Outcome, RelationError> {
    let value = v.get("rows");
    let count = if value.fract() == 0.0 { value as u32 } else { 0 };
    let rows =
        Rows::new(count).ok_or(RelationError::NotAllowed { key: "rows", value, allowed: "1, 2, 3 or 4" })?;
    Ok(Outcome::of(relation(rows, v.get("NTU"), v.get("capacity_ratio_Cmin_over_Cmax"))))
}

/// Refuses ends between which no heat passes from the hot to the cold side.
fn cools_and_warms(v: &Values) -> Result<(), RelationError> {
    let refuse = |key, allowed| Err(RelationError::NotAllowed { key, value: v.get(key), allowed });
    if v.get("hot_out_K") > v.get("hot_in_K") {
        return refuse("hot_out_K", "no warmer than the hot side comes in");
    }
    if v.get("cold_out_K") < v.get("cold_in_K") {
        return refuse("cold_out_K", "no colder than the cold side comes in");
    }
    if v.get("cold_in_K") >= v.get("hot_in_K") {
        return refuse("cold_in_K", "colder than the hot side comes in");
    }
    Ok(())
}

fn mean_difference(first: f64, second: f64) -> Outcome {
    let positive = Range::new(0.0, f64::INFINITY);
    Outcome::of(exchanger::log_mean_temperature_difference(first, second))
        .step("difference_at_hot_inlet", first, "K", "hot in less cold there")
        .and_range(positive)
        .step("difference_at_hot_outlet", second, "K", "hot out less cold there")
        .and_range(positive)
}

pub(super) static RELATIONS: &[Relation] = &[
    Relation {
        name: "counterflow",
        aliases: &[],
        summary: "Effectiveness of a counterflow exchanger",
        quantity: EFFECTIVENESS,
        unit: "-",
        inputs: &[NTU, RATIO],
        range: ANY,
        scatter: EXACT,
        source: KAYS_LONDON,
        evaluate: |v| Ok(two(v, exchanger::counterflow)),
    },
    Relation {
        name: "parallel_flow",
        aliases: &["parallel"],
        summary: "Effectiveness of a parallel-flow exchanger",
        quantity: EFFECTIVENESS,
        unit: "-",
        inputs: &[NTU, RATIO],
        range: ANY,
        scatter: EXACT,
        source: KAYS_LONDON,
        evaluate: |v| Ok(two(v, exchanger::parallel)),
    },
    Relation {
        name: "crossflow_both_unmixed_exact",
        aliases: &["crossflow", "crossflow_unmixed", "crossflow_both_unmixed"],
        summary: "Effectiveness of crossflow with both fluids unmixed, exact series: what the solver uses for cores",
        quantity: EFFECTIVENESS,
        unit: "-",
        inputs: &[NTU, RATIO],
        range: "NTU to 1e4 (held above), capacity ratio 0 to 1; constant properties, uniform UA",
        scatter: EXACT,
        source: "Mason 1955, Proc. 2nd US Nat. Congr. Appl. Mech., 801",
        evaluate: |v| Ok(two(v, exchanger::crossflow_unmixed)),
    },
    Relation {
        name: "crossflow_both_unmixed_approximate",
        aliases: &["crossflow_approximate"],
        summary: "Effectiveness of crossflow with both fluids unmixed, usual closed form (for comparison)",
        quantity: EFFECTIVENESS,
        unit: "-",
        inputs: &[NTU, RATIO],
        range: ANY,
        scatter: "up to 3.8 % low near NTU 0.25; up to 4 % in UA",
        source: "Kays & Crawford; Incropera & DeWitt",
        evaluate: |v| Ok(two(v, exchanger::crossflow_unmixed_approximate)),
    },
    Relation {
        name: "crossflow_Cmin_mixed",
        aliases: &[],
        summary: "Effectiveness of crossflow with the smaller capacity mixed",
        quantity: EFFECTIVENESS,
        unit: "-",
        inputs: &[NTU, RATIO],
        range: ANY,
        scatter: EXACT,
        source: KAYS_LONDON,
        evaluate: |v| Ok(two(v, exchanger::crossflow_min_mixed)),
    },
    Relation {
        name: "crossflow_Cmax_mixed",
        aliases: &[],
        summary: "Effectiveness of crossflow with the larger capacity mixed",
        quantity: EFFECTIVENESS,
        unit: "-",
        inputs: &[NTU, RATIO],
        range: ANY,
        scatter: EXACT,
        source: KAYS_LONDON,
        evaluate: |v| Ok(two(v, exchanger::crossflow_max_mixed)),
    },
    Relation {
        name: "any_arrangement_Cr_0",
        aliases: &["one_side_isothermal"],
        summary: "Effectiveness of any arrangement when one side keeps its temperature",
        quantity: EFFECTIVENESS,
        unit: "-",
        inputs: &[
            NTU,
            Input::group("capacity_ratio_Cmin_over_Cmax", Range::new(0.0, 0.0), "zero by definition")
                .at_most(1.0)
                .or(0.0),
        ],
        range: "capacity ratio 0",
        scatter: "exact",
        source: "limit 1 - exp(-NTU)",
        evaluate: |v| Ok(Outcome::of(exchanger::crossflow_unmixed(v.get("NTU"), 0.0))),
    },
    Relation {
        name: "crossflow_both_unmixed_ntu",
        aliases: &["crossflow_ntu"],
        summary: "Number of transfer units an unmixed crossflow exchanger needs for an effectiveness",
        quantity: "NTU",
        unit: "-",
        inputs: &[
            Input::group("effectiveness", Range::new(0.0, 1.0), "effectiveness wanted").at_most(1.0),
            RATIO,
        ],
        range: "effectiveness that NTU up to 1e4 can reach",
        scatter: EXACT,
        source: "inverse of the exact series, Mason 1955",
        evaluate: |v| {
            let value = v.get("effectiveness");
            exchanger::crossflow_unmixed_ntu_for(value, v.get("capacity_ratio_Cmin_over_Cmax"))
                .map(Outcome::of)
                .ok_or(RelationError::NotAllowed {
                    key: "effectiveness",
                    value,
                    allowed: "within reach of NTU 1e4",
                })
        },
    },
    Relation {
        name: "N_rows_single_pass_air_is_Cmin",
        aliases: &["rows_single_pass"],
        summary: "Effectiveness of tube rows fed in parallel across an air stream of smaller capacity",
        quantity: EFFECTIVENESS,
        unit: "-",
        inputs: &[ROWS, NTU, RATIO],
        range: ROW_RANGE,
        scatter: EXACT,
        source: "ESDU 86018",
        evaluate: |v| rows(v, exchanger::crossflow_rows),
    },
    Relation {
        name: "N_rows_single_pass_tube_fluid_is_Cmin",
        aliases: &[],
        summary: "Effectiveness of tube rows fed in parallel across an air stream of larger capacity",
        quantity: EFFECTIVENESS,
        unit: "-",
        inputs: &[ROWS, NTU, RATIO],
        range: ROW_RANGE,
        scatter: EXACT,
        source: "ESDU 86018",
        evaluate: |v| rows(v, exchanger::crossflow_rows_tube_min),
    },
    Relation {
        name: "N_rows_N_passes_counter_air_is_Cmin",
        aliases: &["rows_counter"],
        summary: "Effectiveness of tube rows in overall counterflow to an air stream of smaller capacity",
        quantity: EFFECTIVENESS,
        unit: "-",
        inputs: &[ROWS, NTU, RATIO],
        range: ROW_RANGE,
        scatter: EXACT,
        source: "Nicole 1972; ESDU 86018 (four-row form checked by own integration)",
        evaluate: |v| rows(v, exchanger::crossflow_rows_counter),
    },
    Relation {
        name: "N_rows_N_passes_counter_tube_fluid_is_Cmin",
        aliases: &[],
        summary: "Effectiveness of tube rows in overall counterflow to an air stream of larger capacity",
        quantity: EFFECTIVENESS,
        unit: "-",
        inputs: &[ROWS, NTU, RATIO],
        range: ROW_RANGE,
        scatter: EXACT,
        source: "Nicole 1972; ESDU 86018 (four-row form checked by own integration)",
        evaluate: |v| rows(v, exchanger::crossflow_rows_counter_tube_min),
    },
    Relation {
        name: "log_mean_temperature_difference_counterflow",
        aliases: &["log_mean_temperature_difference", "lmtd", "lmtd_counterflow"],
        summary: "Logarithmic mean temperature difference in counterflow",
        quantity: "log_mean_temperature_difference",
        unit: "K",
        inputs: &[HOT_IN, HOT_OUT, COLD_IN, COLD_OUT],
        range: "both end differences positive",
        scatter: "exact",
        source: "definition",
        evaluate: |v| {
            cools_and_warms(v)?;
            let first = v.get("hot_in_K") - v.get("cold_out_K");
            Ok(mean_difference(first, v.get("hot_out_K") - v.get("cold_in_K")))
        },
    },
    Relation {
        name: "log_mean_temperature_difference_parallel",
        aliases: &["lmtd_parallel"],
        summary: "Logarithmic mean temperature difference in parallel flow",
        quantity: "log_mean_temperature_difference",
        unit: "K",
        inputs: &[HOT_IN, HOT_OUT, COLD_IN, COLD_OUT],
        range: "both end differences positive",
        scatter: "exact",
        source: "definition",
        evaluate: |v| {
            cools_and_warms(v)?;
            let first = v.get("hot_in_K") - v.get("cold_in_K");
            Ok(mean_difference(first, v.get("hot_out_K") - v.get("cold_out_K")))
        },
    },
];
