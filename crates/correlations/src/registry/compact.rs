//! Compact cores.

use super::types::{Input, Outcome, Relation, RelationError, Values};
use crate::{
    Range,
    compact::{louver, offset_strip},
};

const fn metres(name: &'static str, meaning: &'static str) -> Input {
    Input::positive(name, "m", meaning)
}

const SPACING: Input = metres("fin_spacing_s_m", "clear spacing between fins");
const HEIGHT: Input = metres("fin_height_h_m", "clear height between plates");
const STRIP: Input = metres("strip_length_l_m", "strip length along the flow");
const STRIP_THICKNESS: Input = metres("fin_thickness_t_m", "fin thickness");

const J_REYNOLDS: Input =
    Input::group("reynolds_louver_pitch", louver::J_REYNOLDS, "Reynolds number G Lp/mu on the louver pitch");
const F_REYNOLDS: Input =
    Input::group("reynolds_louver_pitch", louver::F_REYNOLDS, "Reynolds number G Lp/mu on the louver pitch");
const ANGLE: Input =
    Input::new("louver_angle_deg", "deg", Range::new(8.0, 35.0), "louver angle").above_zero().at_most(90.0);
const FIN_PITCH: Input = metres("fin_pitch_m", "one fin to the next");
const LOUVER_PITCH: Input = metres("louver_pitch_m", "one louver to the next");
const FIN_HEIGHT: Input = metres("fin_height_m", "fin height between tubes");
const DEPTH: Input = metres("flow_depth_m", "depth of tube and fin along the flow");
const LOUVER_LENGTH: Input = metres("louver_length_m", "louver length across the flow");
const TUBE_PITCH: Input = metres("tube_pitch_m", "one tube to the next");
const THICKNESS: Input = metres("fin_thickness_m", "fin thickness");
const TUBE: Input =
    metres("tube_minor_dimension_m", "outside dimension of the flat tube across the air flow");
const ARRAY: Input = metres(
    "fin_array_hydraulic_diameter_m",
    "hydraulic diameter of the fin array; rectangular passage if not given",
)
.optional();
const FRICTION_INPUTS: &[Input] = &[
    F_REYNOLDS,
    ANGLE,
    FIN_PITCH,
    LOUVER_PITCH,
    FIN_HEIGHT,
    DEPTH,
    LOUVER_LENGTH,
    TUBE_PITCH,
    THICKNESS,
    TUBE,
    ARRAY,
];

fn strip(v: &Values) -> Result<offset_strip::Geometry, RelationError> {
    Ok(offset_strip::Geometry::new(
        v.get("fin_spacing_s_m"),
        v.get("fin_height_h_m"),
        v.get("strip_length_l_m"),
        v.get("fin_thickness_t_m"),
    )?)
}

fn with_ratios(outcome: Outcome, geometry: &offset_strip::Geometry) -> Outcome {
    let (alpha, delta, gamma) = geometry.ratios();
    outcome
        .step(
            "hydraulic_diameter",
            geometry.hydraulic_diameter_m(),
            "m",
            "4 s h l/(2 (s l + h l + t h) + t s)",
        )
        .within("alpha", alpha, "s/h", offset_strip::ALPHA)
        .within("delta", delta, "t/l", offset_strip::DELTA)
        .within("gamma", gamma, "t/s", offset_strip::GAMMA)
}

/// The fin; what only friction needs is filled in where heat transfer alone is asked for.
fn fin(v: &Values) -> louver::Fin {
    let (pitch, height, thickness) = (v.get("fin_pitch_m"), v.get("fin_height_m"), v.get("fin_thickness_m"));
    let tube_pitch = v.get("tube_pitch_m");
    louver::Fin {
        louver_angle_deg: v.get("louver_angle_deg"),
        fin_pitch_m: pitch,
        louver_pitch_m: v.get("louver_pitch_m"),
        fin_height_m: height,
        flow_depth_m: v.get("flow_depth_m"),
        louver_length_m: v.get("louver_length_m"),
        tube_pitch_m: tube_pitch,
        fin_thickness_m: thickness,
        tube_minor_dimension_m: v.given("tube_minor_dimension_m").unwrap_or(tube_pitch - height),
        fin_array_hydraulic_diameter_m: v
            .given("fin_array_hydraulic_diameter_m")
            .unwrap_or_else(|| louver::Fin::rectangular_hydraulic_diameter_m(pitch, height, thickness)),
    }
}

pub(super) static RELATIONS: &[Relation] = &[
    Relation {
        name: "manglik_bergles_1995",
        aliases: &["manglik_bergles", "offset_strip"],
        summary: "Colburn j and Fanning f of an offset strip fin",
        quantity: "colburn_j",
        unit: "-",
        inputs: &[
            Input::group(
                "reynolds_Dh",
                offset_strip::REYNOLDS,
                "Reynolds number G Dh/mu on the hydraulic diameter",
            ),
            SPACING,
            HEIGHT,
            STRIP,
            STRIP_THICKNESS,
        ],
        range: "Re 120 to 1e4 (300 to 5000 in one library), Pr 0.5 to 15 (data: air); ratios of the data base; below Re 120 along the tangent (ours)",
        scatter: "about 20 % on both (another model of the same fin, Joshi & Webb 1987, states 20 % for all its data)",
        source: "Manglik & Bergles 1995, Exp. Thermal Fluid Sci. 10, 171 (Shah & Sekulic 2003, eq. (7.124), p. 516)",
        evaluate: |v| {
            let geometry = strip(v)?;
            let re = v.get("reynolds_Dh");
            let outcome = Outcome::of(offset_strip::colburn_j(re, &geometry));
            Ok(with_ratios(
                outcome.group("fanning_f", offset_strip::fanning_f(re, &geometry), "Manglik & Bergles 1995"),
                &geometry,
            ))
        },
    },
    Relation {
        name: "offset_strip_hydraulic_diameter",
        aliases: &[],
        summary: "Hydraulic diameter of an offset strip fin as its relations use it",
        quantity: "hydraulic_diameter",
        unit: "m",
        inputs: &[SPACING, HEIGHT, STRIP, STRIP_THICKNESS],
        range: "rectangular passages",
        scatter: "definition",
        source: "Manglik & Bergles 1995, Exp. Thermal Fluid Sci. 10, 171",
        evaluate: |v| {
            let geometry = strip(v)?;
            let mut outcome = with_ratios(Outcome::of(geometry.hydraulic_diameter_m()), &geometry);
            outcome.steps.remove(0); // the value itself
            Ok(outcome)
        },
    },
    Relation {
        name: "chang_wang_1997",
        aliases: &["chang_wang", "louver_heat_transfer"],
        summary: "Colburn j of a louvered fin between flat tubes",
        quantity: "colburn_j",
        unit: "-",
        inputs: &[
            J_REYNOLDS,
            ANGLE,
            FIN_PITCH,
            LOUVER_PITCH,
            FIN_HEIGHT,
            DEPTH,
            LOUVER_LENGTH,
            TUBE_PITCH,
            THICKNESS,
            TUBE.optional(),
            ARRAY,
        ],
        range: "Re_Lp 100 to 3000; below 100 along the tangent (ours)",
        scatter: "89 % of the data within 15 % (unconfirmed, optimistic: a test of radiators found large deviations); 20 % taken",
        source: "Chang & Wang 1997, Int. J. Heat Mass Transfer 40, 533-544, eq. (9)",
        evaluate: |v| {
            let geometry = louver::Geometry::new(&fin(v))?;
            Ok(Outcome::of(louver::colburn_j(v.get("reynolds_louver_pitch"), &geometry)))
        },
    },
    Relation {
        name: "chang_et_al_2006_amended",
        aliases: &["chang_2006", "louver_friction"],
        summary: "Fanning f of a louvered fin between flat tubes, with the 2006 amendment",
        quantity: "fanning_f",
        unit: "-",
        inputs: FRICTION_INPUTS,
        range: "Re_Lp 100 to 5000; corners of the amendment at 130 and 230 rounded over 122-138 and 222-238 (under 1 %); below 100 \
                along the tangent (ours)",
        scatter: "83 % of the data within 15 % (unconfirmed, optimistic); 22 % taken",
        source: "Chang, Hsu, Lin & Wang 2000, Int. J. Heat Mass Transfer 43, 2237-2243; Chang, Chang, Li & Wang 2006, ibid. 49, 4250-4253",
        evaluate: |v| {
            let geometry = louver::Geometry::new(&fin(v))?;
            Ok(Outcome::of(louver::fanning_f(v.get("reynolds_louver_pitch"), &geometry)))
        },
    },
    Relation {
        name: "chang_et_al_2000",
        aliases: &["chang_2000"],
        summary: "Fanning f of a louvered fin between flat tubes as first published, with its jump at 150 (for comparison)",
        quantity: "fanning_f",
        unit: "-",
        inputs: FRICTION_INPUTS,
        range: "Re_Lp 100 to 5000; jumps at 150",
        scatter: "83 % of the data within 15 % (unconfirmed, optimistic); 22 % taken",
        source: "Chang, Hsu, Lin & Wang 2000, Int. J. Heat Mass Transfer 43, 2237",
        evaluate: |v| {
            let geometry = louver::Geometry::new(&fin(v))?;
            Ok(Outcome::of(louver::fanning_f_original(v.get("reynolds_louver_pitch"), &geometry)))
        },
    },
];
