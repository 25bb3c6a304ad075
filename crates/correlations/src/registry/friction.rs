//! Friction of pipes, losses of fittings.

use super::types::{Input, Outcome, Relation, RelationError, Values};
use crate::{Range, friction, minor_loss};
use std::f64::consts::PI;

const ROUGHNESS: Input =
    Input::group("relative_roughness", friction::RELATIVE_ROUGHNESS, "roughness height over diameter")
        .at_most(0.5)
        .or(0.0);
const ROUGHNESS_UNUSED: Input = Input::group(
    "relative_roughness",
    friction::RELATIVE_ROUGHNESS,
    "roughness height over diameter; without effect here",
)
.at_most(0.5)
.optional();
const INLET: Input = Input::positive("diameter_inlet_m", "m", "inside diameter upstream");
const OUTLET: Input = Input::positive("diameter_outlet_m", "m", "inside diameter downstream");
const ANGLE: Input = Input::new("bend_angle_deg", "deg", minor_loss::BEND_ANGLE_DEG, "angle of turning")
    .at_most(360.0)
    .or(90.0);

const fn reynolds(range: Range) -> Input {
    Input::group("reynolds", range, "Reynolds number rho u D/mu on the inside diameter")
}

const EXACT: &str = "exact";
const DARCY: &str = "darcy_friction_factor";

pub(super) static RELATIONS: &[Relation] = &[
    Relation {
        name: "laminar_64_over_Re",
        aliases: &["laminar_friction", "hagen_poiseuille"],
        summary: "Darcy friction factor of laminar flow in a round tube",
        quantity: DARCY,
        unit: "-",
        inputs: &[reynolds(friction::LAMINAR_REYNOLDS), ROUGHNESS_UNUSED],
        range: "Re below 2300, developed flow",
        scatter: EXACT,
        source: "Hagen 1839, Poiseuille 1840",
        evaluate: |v| Ok(Outcome::of(friction::darcy_laminar(v.get("reynolds")))),
    },
    Relation {
        name: "churchill_1977_all_regimes",
        aliases: &["churchill", "churchill_1977"],
        summary: "Darcy friction factor in all regimes, smooth or rough, one continuous equation",
        quantity: DARCY,
        unit: "-",
        inputs: &[reynolds(friction::CHURCHILL_REYNOLDS), ROUGHNESS],
        range: "Re to 1e8, relative roughness to 0.05",
        scatter: "within about 3 % of Colebrook above 4000; some tens of per cent in the transition",
        source: "Churchill 1977, Chem. Eng. 84(24), 91",
        evaluate: |v| {
            let (re, rough) = (v.get("reynolds"), v.get("relative_roughness"));
            let product = friction::darcy_times_reynolds(re, rough, friction::LAMINAR_TUBE);
            Ok(Outcome::of(product / re).group("darcy_friction_times_reynolds", product, "Churchill 1977"))
        },
    },
    Relation {
        name: "colebrook_white_1939",
        aliases: &["colebrook", "colebrook_white"],
        summary: "Darcy friction factor of turbulent flow, smooth or rough, implicit reference equation",
        quantity: DARCY,
        unit: "-",
        inputs: &[reynolds(friction::COLEBROOK_REYNOLDS), ROUGHNESS],
        range: "Re 4e3 to 1e8, relative roughness to 0.05",
        scatter: "10 to 15 %, mostly from the roughness",
        source: "Colebrook 1939, J. Inst. Civ. Eng. 11, 133",
        evaluate: |v| {
            Ok(Outcome::of(friction::darcy_colebrook(v.get("reynolds"), v.get("relative_roughness"))))
        },
    },
    Relation {
        name: "haaland_1983",
        aliases: &["haaland"],
        summary: "Darcy friction factor of turbulent flow, smooth or rough, explicit",
        quantity: DARCY,
        unit: "-",
        inputs: &[reynolds(friction::COLEBROOK_REYNOLDS), ROUGHNESS],
        range: "Re 4e3 to 1e8, relative roughness to 0.05",
        scatter: "within 2 % of Colebrook",
        source: "Haaland 1983, J. Fluids Eng. 105, 89",
        evaluate: |v| {
            Ok(Outcome::of(friction::darcy_haaland(v.get("reynolds"), v.get("relative_roughness"))))
        },
    },
    Relation {
        name: "petukhov_1970_smooth",
        aliases: &["petukhov", "petukhov_1970"],
        summary: "Darcy friction factor of turbulent flow in a smooth tube",
        quantity: DARCY,
        unit: "-",
        inputs: &[reynolds(friction::PETUKHOV_REYNOLDS), ROUGHNESS_UNUSED],
        range: "Re 3e3 to 5e6, smooth",
        scatter: "within 2 % of the smooth-pipe law",
        source: "Petukhov 1970, Adv. Heat Transfer 6, 503",
        evaluate: |v| Ok(Outcome::of(friction::darcy_petukhov(v.get("reynolds")))),
    },
    Relation {
        name: "blasius_smooth",
        aliases: &["blasius", "blasius_1913"],
        summary: "Darcy friction factor of turbulent flow in a smooth tube, power law",
        quantity: DARCY,
        unit: "-",
        inputs: &[reynolds(friction::BLASIUS_REYNOLDS), ROUGHNESS_UNUSED],
        range: "Re 4e3 to 1e5, smooth",
        scatter: "about 2 %",
        source: "Blasius 1913, Forschungsheft VDI 131",
        evaluate: |v| Ok(Outcome::of(friction::darcy_blasius(v.get("reynolds")))),
    },
    Relation {
        name: "pipe_pressure_drop",
        aliases: &["darcy_weisbach", "pressure_drop"],
        summary: "Pressure drop of a straight round pipe with minor losses",
        quantity: "pressure_drop",
        unit: "Pa",
        inputs: &[
            Input::positive("length_m", "m", "length"),
            Input::positive("diameter_m", "m", "inside diameter"),
            Input::positive("density_kg_m3", "kg/m3", "density"),
            Input::positive("viscosity_Pa_s", "Pa s", "dynamic viscosity"),
            Input::positive("volume_flow_m3_s", "m3/s", "volume flow"),
            Input::positive("roughness_m", "m", "roughness height").or_zero().or(0.0),
            Input::positive("sum_minor_K", "-", "sum of loss coefficients on the pipe velocity")
                .or_zero()
                .or(0.0),
        ],
        range: "64/Re to Re 2000, Colebrook from 4000; between them blended (ours), marked out of range",
        scatter: "10 to 15 % turbulent; some tens of per cent in the transition",
        source: "Darcy-Weisbach; Hagen-Poiseuille; Colebrook 1939",
        evaluate: |v| {
            let diameter = v.get("diameter_m");
            let velocity = v.get("volume_flow_m3_s") / (0.25 * PI * diameter * diameter);
            let reynolds = v.get("density_kg_m3") * velocity * diameter / v.get("viscosity_Pa_s");
            let rough = v.get("roughness_m") / diameter;
            let darcy = friction::darcy_laminar_colebrook(reynolds, rough);
            let head = 0.5 * v.get("density_kg_m3") * velocity * velocity;
            let drop = (darcy * v.get("length_m") / diameter + v.get("sum_minor_K")) * head;
            let bridge = friction::BRIDGE_REYNOLDS;
            let range = if reynolds > 0.5 * (bridge.low + bridge.high) {
                friction::COLEBROOK_REYNOLDS
            } else {
                Range::new(0.0, bridge.low)
            };
            Ok(Outcome::of(drop)
                .step("velocity", velocity, "m/s", "volume flow over area")
                .within("reynolds", reynolds, "rho u D/mu", range)
                .within("relative_roughness", rough, "roughness over diameter", friction::RELATIVE_ROUGHNESS)
                .group(DARCY, darcy, "64/Re or Colebrook"))
        },
    },
    Relation {
        name: "sudden_expansion_borda_carnot",
        aliases: &["sudden_expansion", "borda_carnot"],
        summary: "Loss coefficient of a sudden expansion, on the velocity upstream",
        quantity: "loss_coefficient_on_inlet_velocity",
        unit: "-",
        inputs: &[INLET, OUTLET],
        range: "turbulent flow, inlet smaller than outlet",
        scatter: "exact for uniform profiles",
        source: "Borda 1766, Carnot",
        evaluate: |v| {
            wider(v, "diameter_outlet_m", "diameter_inlet_m", "no smaller than the diameter upstream")?;
            let ratio = (v.get("diameter_inlet_m") / v.get("diameter_outlet_m")).powi(2);
            Ok(Outcome::of(minor_loss::sudden_expansion(ratio)).within(
                "area_ratio",
                ratio,
                "small over large",
                AREA_RATIO,
            ))
        },
    },
    Relation {
        name: "sudden_contraction_rennels",
        aliases: &["sudden_contraction"],
        summary: "Loss coefficient of a sharp-edged sudden contraction, on the velocity downstream",
        quantity: "loss_coefficient_on_outlet_velocity",
        unit: "-",
        inputs: &[INLET, OUTLET],
        range: "turbulent flow, outlet smaller than inlet",
        scatter: "unconfirmed; 15 % taken (two methods of a public library differ by 4 % at 1 to 0.4)",
        source: "Rennels & Hudson 2012, Pipe Flow",
        evaluate: |v| {
            wider(v, "diameter_inlet_m", "diameter_outlet_m", "no smaller than the diameter downstream")?;
            let ratio = (v.get("diameter_outlet_m") / v.get("diameter_inlet_m")).powi(2);
            Ok(Outcome::of(minor_loss::sudden_contraction(ratio)).within(
                "area_ratio",
                ratio,
                "small over large",
                AREA_RATIO,
            ))
        },
    },
    Relation {
        name: "sudden_contraction_half_rule",
        aliases: &[],
        summary: "Loss coefficient of a sudden contraction by the textbook rule, on the velocity downstream",
        quantity: "loss_coefficient_on_outlet_velocity",
        unit: "-",
        inputs: &[INLET, OUTLET],
        range: "turbulent flow, outlet smaller than inlet",
        scatter: "up to 30 % below Rennels",
        source: "textbook rule K = 0.5 (1 - A2/A1)",
        evaluate: |v| {
            wider(v, "diameter_inlet_m", "diameter_outlet_m", "no smaller than the diameter downstream")?;
            let ratio = (v.get("diameter_outlet_m") / v.get("diameter_inlet_m")).powi(2);
            Ok(Outcome::of(minor_loss::sudden_contraction_half_rule(ratio)).within(
                "area_ratio",
                ratio,
                "small over large",
                AREA_RATIO,
            ))
        },
    },
    Relation {
        name: "sharp_flush_entrance_rennels",
        aliases: &["sharp_entrance", "pipe_entrance"],
        summary: "Loss coefficient of a sharp entrance flush with a wall, on the pipe velocity",
        quantity: "loss_coefficient_on_outlet_velocity",
        unit: "-",
        inputs: &[],
        range: "turbulent flow",
        scatter: "other handbooks quote 0.5",
        source: "Rennels & Hudson 2012, Pipe Flow",
        evaluate: |_| Ok(Outcome::of(minor_loss::SHARP_ENTRANCE)),
    },
    Relation {
        name: "pipe_exit",
        aliases: &[],
        summary: "Loss coefficient of an exit into a large space, on the pipe velocity",
        quantity: "loss_coefficient_on_inlet_velocity",
        unit: "-",
        inputs: &[],
        range: "turbulent flow (2 for laminar)",
        scatter: "exact for a uniform profile",
        source: "loss of the velocity head",
        evaluate: |_| Ok(Outcome::of(minor_loss::EXIT)),
    },
    Relation {
        name: "rounded_bend_rennels",
        aliases: &["rounded_bend", "bend"],
        summary: "Loss coefficient of a smooth round bend, its wall friction included",
        quantity: "loss_coefficient",
        unit: "-",
        inputs: &[
            Input::group(
                "bend_radius_over_diameter",
                minor_loss::BEND_RADIUS,
                "centreline radius over inside diameter",
            ),
            reynolds(friction::COLEBROOK_REYNOLDS),
            ANGLE,
            ROUGHNESS,
            Input::positive("diameter_inlet_m", "m", "inside diameter; without effect here").optional(),
        ],
        range: "turbulent flow, radius 0.5 to 20 diameters, to 180 degrees",
        scatter: "unconfirmed; 25 % taken",
        source: "Rennels & Hudson 2012, Pipe Flow; friction by Colebrook 1939",
        evaluate: |v| {
            let darcy = friction::darcy_colebrook(v.get("reynolds"), v.get("relative_roughness"));
            let k = minor_loss::bend(darcy, v.get("bend_angle_deg"), v.get("bend_radius_over_diameter"));
            Ok(Outcome::of(k).group(DARCY, darcy, "Colebrook 1939"))
        },
    },
    Relation {
        name: "rounded_bend_crane",
        aliases: &["crane_bend"],
        summary: "Loss coefficient of a commercial steel bend by equivalent length, its wall friction included",
        quantity: "loss_coefficient",
        unit: "-",
        inputs: &[
            INLET,
            Input::group(
                "bend_radius_over_diameter",
                minor_loss::CRANE_BEND_RADIUS,
                "centreline radius over inside diameter",
            ),
            ANGLE,
        ],
        range: "fully rough turbulent flow, radius 1 to 20 diameters (held outside), to 180 degrees",
        scatter: "a table of round numbers, met within 1.1 %; unconfirmed, 30 % taken",
        source: "Crane TP 410 (2009); fits as in the library fluids 1.3.1",
        evaluate: |v| {
            let rough = minor_loss::crane_friction(v.get("diameter_inlet_m"));
            let k =
                minor_loss::bend_crane(rough, v.get("bend_angle_deg"), v.get("bend_radius_over_diameter"));
            Ok(Outcome::of(k).group("fully_rough_friction_factor", rough, "Crane TP 410"))
        },
    },
];

const AREA_RATIO: Range = Range::new(0.0, 1.0);

/// Refuses a change of area the wrong way round.
fn wider(
    v: &Values,
    large: &'static str,
    small: &'static str,
    allowed: &'static str,
) -> Result<(), RelationError> {
    if v.get(large) >= v.get(small) {
        return Ok(());
    }
    Err(RelationError::NotAllowed { key: large, value: v.get(large), allowed })
}
