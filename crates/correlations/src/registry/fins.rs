//! Fins.

use super::types::{Input, Outcome, Relation, RelationError, Values};
use crate::{Range, fin};

const FILM: Input =
    Input::positive("heat_transfer_coefficient_W_m2K", "W/(m2 K)", "film coefficient on both faces");
const CONDUCTIVITY: Input = Input::positive("conductivity_W_mK", "W/(m K)", "conductivity of the fin");
const THICKNESS: Input = Input::positive("thickness_m", "m", "fin thickness");
const LENGTH: Input = Input::positive("length_m", "m", "length from root to tip");

const THIN: &str = "thin fin: h t/k far below 1; uniform film coefficient";
/// Biot number on the half thickness below which conduction across the fin does not matter.
const BIOT: Range = Range::new(0.0, 0.1);

fn parameter(v: &Values) -> f64 {
    fin::parameter(v.get("heat_transfer_coefficient_W_m2K"), v.get("conductivity_W_mK"), v.get("thickness_m"))
}

fn explained(v: &Values, efficiency: f64) -> Outcome {
    let biot =
        v.get("heat_transfer_coefficient_W_m2K") * 0.5 * v.get("thickness_m") / v.get("conductivity_W_mK");
    Outcome::of(efficiency).step("fin_parameter", parameter(v), "1/m", "sqrt(2 h/(k t))").within(
        "biot_half_thickness",
        biot,
        "h t/(2 k)",
        BIOT,
    )
}

pub(super) static RELATIONS: &[Relation] = &[
    Relation {
        name: "straight_rectangular_adiabatic_tip",
        aliases: &["straight_fin", "fin_efficiency"],
        summary: "Efficiency of a straight fin of constant thickness, no heat through the tip",
        quantity: "fin_efficiency",
        unit: "-",
        inputs: &[FILM, CONDUCTIVITY, THICKNESS, LENGTH],
        range: THIN,
        scatter: "exact for its assumptions",
        source: "Murray 1938, Gardner 1945: tanh(mL)/(mL)",
        evaluate: |v| {
            let ml = parameter(v) * v.get("length_m");
            Ok(explained(v, fin::straight_efficiency(ml)).group("m_length", ml, "m L"))
        },
    },
    Relation {
        name: "straight_rectangular_corrected_length",
        aliases: &["straight_fin_corrected"],
        summary: "Efficiency of a straight fin of constant thickness, heat through the tip as added length",
        quantity: "fin_efficiency",
        unit: "-",
        inputs: &[FILM, CONDUCTIVITY, THICKNESS, LENGTH],
        range: THIN,
        scatter: "against the exact fin with a film on its tip: within 1 % for h t/k to 0.06, 2 % to 0.1, 8 % to 0.5 (own calculation)",
        source: "Harper & Brown 1922 (text not seen): Lc = L + t/2",
        evaluate: |v| {
            let length = v.get("length_m") + 0.5 * v.get("thickness_m");
            let ml = parameter(v) * length;
            Ok(explained(v, fin::straight_efficiency(ml))
                .step("corrected_length", length, "m", "L + t/2")
                .group("m_length", ml, "m Lc"))
        },
    },
    Relation {
        name: "annular_adiabatic_tip",
        aliases: &["annular_fin"],
        summary: "Efficiency of an annular fin of constant thickness, no heat through the tip",
        quantity: "fin_efficiency",
        unit: "-",
        inputs: &[
            FILM,
            CONDUCTIVITY,
            THICKNESS,
            Input::positive("root_radius_m", "m", "radius at the root"),
            Input::positive("tip_radius_m", "m", "radius at the tip"),
        ],
        range: THIN,
        scatter: "exact for its assumptions (Bessel functions to 3e-7)",
        source: "Gardner 1945; Kern & Kraus 1972; Abramowitz & Stegun 9.8",
        evaluate: |v| {
            if v.get("tip_radius_m") <= v.get("root_radius_m") {
                let (key, value) = ("tip_radius_m", v.get("tip_radius_m"));
                return Err(RelationError::NotAllowed {
                    key,
                    value,
                    allowed: "larger than the radius at the root",
                });
            }
            let at_root = parameter(v) * v.get("root_radius_m");
            let ratio = v.get("tip_radius_m") / v.get("root_radius_m");
            Ok(explained(v, fin::annular_efficiency(at_root, ratio))
                .group("m_root_radius", at_root, "m r1")
                .within("radius_ratio", ratio, "r2/r1", fin::RADIUS_RATIO))
        },
    },
];
