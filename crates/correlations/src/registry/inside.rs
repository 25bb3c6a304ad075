//! Heat transfer in tubes and ducts.

use super::types::{Input, Outcome, Relation, Values};
use crate::{Range, duct_laminar, friction, internal};

const fn reynolds(range: Range) -> Input {
    Input::group("reynolds", range, "Reynolds number rho u D/mu on the (hydraulic) diameter")
}

const fn prandtl(range: Range) -> Input {
    Input::group("prandtl", range, "Prandtl number mu cp/k").above_zero()
}

const LAMINAR: Input = reynolds(internal::LAMINAR_REYNOLDS);
const ANY_PRANDTL: Input = prandtl(Range::new(0.5, 1e5));
const LENGTH: Input =
    Input::group("length_over_diameter", Range::new(1.0, f64::INFINITY), "heated length over diameter")
        .above_zero();
const ROUGHNESS: Input =
    Input::group("relative_roughness", friction::RELATIVE_ROUGHNESS, "roughness height over diameter")
        .at_most(0.5);
const ASPECT: Input = Input::group(
    "aspect_ratio_short_over_long",
    duct_laminar::ASPECT,
    "short over long side of the rectangle",
)
.at_most(1.0);

const NUSSELT: &str = "nusselt";

fn graetz(v: &Values) -> f64 {
    internal::graetz_number(v.get("reynolds"), v.get("prandtl"), v.get("length_over_diameter"))
}

fn with_graetz(v: &Values, relation: fn(f64) -> f64) -> Outcome {
    Outcome::of(relation(graetz(v))).group("graetz", graetz(v), "Re Pr D/L")
}

fn gnielinski(v: &Values, darcy: f64, by: &'static str) -> Outcome {
    let nusselt = internal::gnielinski(v.get("reynolds"), v.get("prandtl"), darcy);
    Outcome::of(nusselt).group("darcy_friction_factor", darcy, by)
}

/// A turbulent mean with entry by one of the two published forms.
fn with_entry(v: &Values, relation: fn(f64, f64, f64, f64) -> f64) -> Outcome {
    let (re, rough) = (v.get("reynolds"), v.get("relative_roughness"));
    Outcome::of(relation(re, v.get("prandtl"), v.get("length_over_diameter"), rough)).group(
        "darcy_friction_factor",
        internal::darcy_konakov_rough(re, rough),
        "Konakov, rough by Haaland",
    )
}

/// The law of the walls with what is published beside it.
fn all_regimes(v: &Values) -> Outcome {
    let (re, pr, length) = (v.get("reynolds"), v.get("prandtl"), v.get("length_over_diameter"));
    let (rough, laminar) = (v.get("relative_roughness"), v.get("laminar_nusselt"));
    let nusselt = internal::nusselt_developing_laminar_turbulent(re, pr, length, rough, laminar);
    let atlas = internal::heat_atlas(re, pr, length, rough, laminar);
    let outcome = Outcome::of(nusselt).group("graetz", graetz(v), "Re Pr D/L").group(
        "nusselt_heat_atlas",
        atlas,
        "VDI Heat Atlas: line from 2300 to 1e4, then the Re Pr form; published spread",
    );
    let cold = v.given("prandtl_wall").map_or(1.0, |wall| internal::wall_prandtl_factor(pr, wall));
    let outcome = match v.given("prandtl_wall") {
        Some(_) => outcome.group("cold_wall_factor", cold, "(Pr/Pr_wall)^0.11, told, not in the value"),
        None => outcome,
    };
    let worst = (atlas / nusselt).min(1.0) * cold.min(1.0);
    outcome.group("worst_end", worst, "least published over the value, cold wall included")
}

const GNIELINSKI_2013: &str = "Gnielinski 2013, Int. J. Heat Mass Transfer 63, 134-140, corrigendum 81 (2015), 638 (limits in its abstract, form at and above 4000 read \
     in transcriptions); friction by Konakov 1946, rough by Haaland 1983";
const GNIELINSKI_1976_RANGE: &str = "Re 3e3 to 5e6 (from 2300 in one handbook), Pr 0.5 to 2000";
const GNIELINSKI_1976_SCATTER: &str = "authors' figure unconfirmed; other published smooth-tube forms lie +6 to +28 % about it at Re 4000, -16 to +14 % \
                                       at 1e4, -2 to +1 % at 1e5";
const TRANSITION_SCATTER: &str = "30 % or more: entrance shape and vibration decide (unconfirmed); the two published sets differ by 13 to 20 % between Re \
                                  3000 and 4000";

fn duct(constants: duct_laminar::DuctConstants) -> Outcome {
    Outcome::of(constants.fanning_f_re)
        .group("darcy_f_times_Re", 4.0 * constants.fanning_f_re, "4 times the Fanning product")
        .group("nusselt_H1", constants.nusselt_h1, "uniform flux along, uniform temperature around")
        .group("nusselt_T", constants.nusselt_t, "uniform wall temperature")
}

const DUCT_QUANTITY: &str = "fanning_f_times_Re";

pub(super) static RELATIONS: &[Relation] = &[
    Relation {
        name: "laminar_developed_constant_wall_temperature",
        aliases: &["laminar_constant_temperature"],
        summary: "Nusselt number of developed laminar tube flow, constant wall temperature",
        quantity: NUSSELT,
        unit: "-",
        inputs: &[],
        range: "laminar, developed, round tube",
        scatter: "exact",
        source: "Graetz 1883: half the square of the first eigenvalue",
        evaluate: |_| Ok(Outcome::of(internal::NUSSELT_CONSTANT_TEMPERATURE)),
    },
    Relation {
        name: "laminar_developed_constant_heat_flux",
        aliases: &["laminar_constant_flux"],
        summary: "Nusselt number of developed laminar tube flow, constant heat flux",
        quantity: NUSSELT,
        unit: "-",
        inputs: &[],
        range: "laminar, developed, round tube",
        scatter: "exact",
        source: "exact solution, 48/11",
        evaluate: |_| Ok(Outcome::of(internal::NUSSELT_CONSTANT_FLUX)),
    },
    Relation {
        name: "graetz_exact_mean_constant_wall_temperature",
        aliases: &["graetz"],
        summary: "Mean Nusselt number of thermally developing laminar tube flow, constant wall temperature, exact series",
        quantity: NUSSELT,
        unit: "-",
        inputs: &[LAMINAR, ANY_PRANDTL, LENGTH],
        range: "laminar, parabolic profile; series to Gz 1e4, near-entry limit above",
        scatter: "exact",
        source: "Graetz 1883; Shah & London 1978",
        evaluate: |v| Ok(with_graetz(v, internal::graetz_mean_series)),
    },
    Relation {
        name: "hausen_1943_thermal_entry_mean",
        aliases: &["hausen"],
        summary: "Mean Nusselt number of laminar tube flow with thermal entry, constant wall temperature",
        quantity: NUSSELT,
        unit: "-",
        inputs: &[LAMINAR, ANY_PRANDTL, LENGTH],
        range: "laminar; Gz to 100",
        scatter: "within 2 % of the exact series to Gz 100, 7 % high at 400",
        source: "Hausen 1943, Z. VDI Beih. Verfahrenstechnik 4, 91",
        evaluate: |v| {
            let gz = graetz(v);
            Ok(Outcome::of(internal::laminar_hausen(gz)).within(
                "graetz",
                gz,
                "Re Pr D/L",
                internal::HAUSEN_GRAETZ,
            ))
        },
    },
    Relation {
        name: "vdi_G1_laminar_mean_constant_wall_temperature",
        aliases: &["vdi_laminar"],
        summary: "Mean Nusselt number of laminar tube flow with thermal entry, constant wall temperature",
        quantity: NUSSELT,
        unit: "-",
        inputs: &[LAMINAR, ANY_PRANDTL, LENGTH],
        range: "laminar; any Graetz number",
        scatter: "within 1 % of the exact series",
        source: "VDI Heat Atlas, section G1 (Gnielinski)",
        evaluate: |v| Ok(with_graetz(v, internal::laminar_vdi)),
    },
    Relation {
        name: "baehr_stephan_thermal_and_velocity_entry_mean",
        aliases: &["baehr_stephan"],
        summary: "Mean Nusselt number of laminar tube flow with thermal and velocity entry, constant wall temperature",
        quantity: NUSSELT,
        unit: "-",
        inputs: &[LAMINAR, prandtl(Range::new(0.1, 1e5)), LENGTH],
        range: "laminar; Pr above 0.1",
        scatter: "unconfirmed; 10 % taken",
        source: "Baehr & Stephan, Heat and Mass Transfer, as in Incropera & DeWitt 6th ed.",
        evaluate: |v| {
            let gz = graetz(v);
            let nusselt = internal::laminar_baehr_stephan(gz, v.get("prandtl"));
            Ok(Outcome::of(nusselt).group("graetz", gz, "Re Pr D/L"))
        },
    },
    Relation {
        name: "sieder_tate_1936_laminar",
        aliases: &["sieder_tate"],
        summary: "Mean Nusselt number of short laminar tubes with wall-viscosity correction",
        quantity: NUSSELT,
        unit: "-",
        inputs: &[
            LAMINAR,
            prandtl(internal::SIEDER_TATE_PRANDTL),
            LENGTH,
            Input::group(
                "viscosity_ratio_bulk_over_wall",
                Range::new(0.0044, 9.75),
                "viscosity at bulk over viscosity at wall temperature",
            )
            .above_zero()
            .or(1.0),
        ],
        range: "laminar; Gz^(1/3) (mu_b/mu_w)^0.14 above 2",
        scatter: "unconfirmed; 25 % taken",
        source: "Sieder & Tate 1936, Ind. Eng. Chem. 28, 1429-1435 (limit of the entry group unconfirmed)",
        evaluate: |v| {
            let (gz, ratio) = (graetz(v), v.get("viscosity_ratio_bulk_over_wall"));
            let nusselt = internal::laminar_sieder_tate(gz, ratio);
            Ok(Outcome::of(nusselt).group("graetz", gz, "Re Pr D/L").within(
                "entry_group",
                nusselt / 1.86,
                "Gz^(1/3) (mu_b/mu_w)^0.14",
                Range::new(2.0, f64::INFINITY),
            ))
        },
    },
    Relation {
        name: "gnielinski_1976",
        aliases: &["gnielinski"],
        summary: "Nusselt number of developed turbulent tube flow; friction given, from a roughness, or smooth",
        quantity: NUSSELT,
        unit: "-",
        inputs: &[
            reynolds(internal::GNIELINSKI_REYNOLDS),
            prandtl(internal::GNIELINSKI_PRANDTL),
            Input::group("darcy_friction_factor", Range::new(0.005, 0.1), "Darcy friction factor, if known")
                .above_zero()
                .optional(),
            ROUGHNESS.optional(),
        ],
        range: GNIELINSKI_1976_RANGE,
        scatter: GNIELINSKI_1976_SCATTER,
        source: "Gnielinski 1976, Int. Chem. Eng. 16, 359-368 (Incropera & DeWitt 4th ed. 1996, p. 444-445); friction by Petukhov 1970 or \
                 Colebrook 1939",
        evaluate: |v| {
            let re = v.get("reynolds");
            Ok(match (v.given("darcy_friction_factor"), v.given("relative_roughness")) {
                (Some(darcy), _) => gnielinski(v, darcy, "given"),
                (None, Some(rough)) => gnielinski(v, friction::darcy_colebrook(re, rough), "Colebrook 1939"),
                (None, None) => gnielinski(v, friction::darcy_petukhov(re), "Petukhov 1970"),
            })
        },
    },
    Relation {
        name: "gnielinski_1976_with_petukhov_friction",
        aliases: &[],
        summary: "Nusselt number of developed turbulent flow in a smooth tube",
        quantity: NUSSELT,
        unit: "-",
        inputs: &[reynolds(internal::GNIELINSKI_REYNOLDS), prandtl(internal::GNIELINSKI_PRANDTL)],
        range: GNIELINSKI_1976_RANGE,
        scatter: GNIELINSKI_1976_SCATTER,
        source: "Gnielinski 1976, Int. Chem. Eng. 16, 359-368; Petukhov 1970",
        evaluate: |v| Ok(gnielinski(v, friction::darcy_petukhov(v.get("reynolds")), "Petukhov 1970")),
    },
    Relation {
        name: "gnielinski_1976_with_colebrook_friction",
        aliases: &[],
        summary: "Nusselt number of developed turbulent flow in a rough tube",
        quantity: NUSSELT,
        unit: "-",
        inputs: &[reynolds(internal::GNIELINSKI_REYNOLDS), prandtl(internal::GNIELINSKI_PRANDTL), ROUGHNESS],
        range: GNIELINSKI_1976_RANGE,
        scatter: "30 % taken, unconfirmed; tends high at large Pr and roughness (unconfirmed)",
        source: "Gnielinski 1976, Int. Chem. Eng. 16, 359-368; Colebrook 1939",
        evaluate: |v| {
            let darcy = friction::darcy_colebrook(v.get("reynolds"), v.get("relative_roughness"));
            Ok(gnielinski(v, darcy, "Colebrook 1939"))
        },
    },
    Relation {
        name: "dittus_boelter_heating_n_0.4",
        aliases: &["dittus_boelter_heating", "dittus_boelter"],
        summary: "Nusselt number of developed turbulent tube flow, fluid heated",
        quantity: NUSSELT,
        unit: "-",
        inputs: &[reynolds(internal::DITTUS_BOELTER_REYNOLDS), prandtl(internal::DITTUS_BOELTER_PRANDTL)],
        range: "Re above 1e4, Pr 0.6 to 160, L/D above 10",
        scatter: "25 %",
        source: "Dittus & Boelter 1930 in the form of McAdams",
        evaluate: |v| Ok(Outcome::of(internal::dittus_boelter_heating(v.get("reynolds"), v.get("prandtl")))),
    },
    Relation {
        name: "dittus_boelter_cooling_n_0.3",
        aliases: &["dittus_boelter_cooling"],
        summary: "Nusselt number of developed turbulent tube flow, fluid cooled",
        quantity: NUSSELT,
        unit: "-",
        inputs: &[reynolds(internal::DITTUS_BOELTER_REYNOLDS), prandtl(internal::DITTUS_BOELTER_PRANDTL)],
        range: "Re above 1e4, Pr 0.6 to 160, L/D above 10",
        scatter: "25 %",
        source: "Dittus & Boelter 1930 in the form of McAdams",
        evaluate: |v| Ok(Outcome::of(internal::dittus_boelter_cooling(v.get("reynolds"), v.get("prandtl")))),
    },
    Relation {
        name: "gnielinski_2013_transition_interpolation",
        aliases: &["gnielinski_2013", "transition"],
        summary: "Mean Nusselt number of tube flow in the transition, linear between laminar and turbulent",
        quantity: NUSSELT,
        unit: "-",
        inputs: &[reynolds(internal::TRANSITION_REYNOLDS), prandtl(internal::VDI_TURBULENT_PRANDTL), LENGTH],
        range: "Re 2300 to 4000, as published (corners not rounded)",
        scatter: TRANSITION_SCATTER,
        source: GNIELINSKI_2013,
        evaluate: |v| {
            let (pr, length) = (v.get("prandtl"), v.get("length_over_diameter"));
            let at = |re| internal::nusselt_transition_linear(re, pr, length);
            let ends = internal::TRANSITION_REYNOLDS;
            Ok(Outcome::of(at(v.get("reynolds")))
                .group("nusselt_laminar_at_2300", at(ends.low), "VDI Heat Atlas G1 laminar")
                .group("nusselt_turbulent_at_4000", at(ends.high), "Gnielinski 2013, (Re - 1000) form"))
        },
    },
    Relation {
        name: "gnielinski_2013_turbulent_with_entry",
        aliases: &["gnielinski_2013_turbulent"],
        summary: "Mean Nusselt number of turbulent tube flow with thermal entry: what the walls use above Re 4000",
        quantity: NUSSELT,
        unit: "-",
        inputs: &[
            reynolds(internal::GNIELINSKI_2013_REYNOLDS),
            prandtl(internal::VDI_TURBULENT_PRANDTL),
            LENGTH,
            ROUGHNESS.or(0.0),
        ],
        range: "Re 4e3 to 1e6, Pr 0.6 to 1000, L/D above 1; roughness is our addition",
        scatter: "authors' figure unconfirmed; other published forms lie +6 to +28 % about it at Re 4000, -16 to +14 % at 1e4, -2 to +1 % at \
                  1e5; the Heat Atlas form is Re/(Re - 1000) times this",
        source: GNIELINSKI_2013,
        evaluate: |v| Ok(with_entry(v, internal::turbulent_gnielinski_2013)),
    },
    Relation {
        name: "vdi_G1_transition_interpolation",
        aliases: &["heat_atlas_transition", "vdi_transition"],
        summary: "Mean Nusselt number of tube flow in the transition as the Heat Atlas has it: published spread, no law of a wall",
        quantity: NUSSELT,
        unit: "-",
        inputs: &[
            reynolds(internal::HEAT_ATLAS_TRANSITION),
            prandtl(internal::VDI_TURBULENT_PRANDTL),
            LENGTH,
        ],
        range: "Re 2300 to 1e4, as published (corners not rounded)",
        scatter: TRANSITION_SCATTER,
        source: "VDI Heat Atlas 2010, section G1 (Gnielinski): line between the laminar mean at 2300 and the Re Pr form at 1e4",
        evaluate: |v| {
            let (pr, length) = (v.get("prandtl"), v.get("length_over_diameter"));
            let at = |re| internal::heat_atlas_transition_linear(re, pr, length);
            let ends = internal::HEAT_ATLAS_TRANSITION;
            Ok(Outcome::of(at(v.get("reynolds")))
                .group("nusselt_laminar_at_2300", at(ends.low), "VDI Heat Atlas G1 laminar")
                .group("nusselt_turbulent_at_1e4", at(ends.high), "VDI Heat Atlas G1, Re Pr form"))
        },
    },
    Relation {
        name: "vdi_G1_turbulent_mean_with_entry",
        aliases: &["vdi_turbulent"],
        summary: "Mean Nusselt number of turbulent tube flow with thermal entry as the Heat Atlas prints it: published spread, no law of a wall",
        quantity: NUSSELT,
        unit: "-",
        inputs: &[
            reynolds(internal::VDI_TURBULENT_REYNOLDS),
            prandtl(internal::VDI_TURBULENT_PRANDTL),
            LENGTH,
            ROUGHNESS.or(0.0),
        ],
        range: "Re 1e4 to 1e6, Pr 0.6 to 1000, L/D above 1; roughness is our addition",
        scatter: "authors' figure unconfirmed; 11 % above Gnielinski 2013 at Re 1e4, 5 % at 2e4, 1 % at 1e5",
        source: "VDI Heat Atlas 2002, p. Ga 5, eq. 26; 2010, section G1 (Gnielinski); Konakov 1946; Haaland 1983 for roughness",
        evaluate: |v| Ok(with_entry(v, internal::turbulent_vdi)),
    },
    Relation {
        name: "tube_all_regimes",
        aliases: &["nusselt_developing_laminar_turbulent", "tube"],
        summary: "Mean Nusselt number from rest to fully turbulent: what the solver uses in tubes and ducts, with the published spread",
        quantity: NUSSELT,
        unit: "-",
        inputs: &[
            reynolds(Range::new(0.0, internal::GNIELINSKI_2013_REYNOLDS.high)),
            prandtl(internal::VDI_TURBULENT_PRANDTL),
            LENGTH,
            ROUGHNESS.or(0.0),
            Input::group(
                "laminar_nusselt",
                Range::new(2.0, 9.0),
                "developed laminar Nusselt number of the shape",
            )
            .above_zero()
            .or(internal::VDI_NUSSELT_CONSTANT_TEMPERATURE),
            Input::group(
                "prandtl_wall",
                Range::new(0.6, 1e5),
                "Prandtl number of the liquid at the temperature of the wall",
            )
            .above_zero()
            .optional(),
        ],
        range: "Re to 1e6; corners of the transition rounded at 2300-2500 and 3800-4000, entry term onset below Gz 1",
        scatter: "laminar 10 %, turbulent 20 % to Re 1e4 and 10 % above, 30 % or more between 2300 and 4000 (authors' figures unconfirmed); the \
                  published spread is shown with the value",
        source: "Gnielinski 2013, Int. J. Heat Mass Transfer 63, 134-140, corrigendum 81 (2015), 638; laminar: VDI Heat Atlas, section G1",
        evaluate: |v| Ok(all_regimes(v)),
    },
    Relation {
        name: "shah_london_1978_polynomial",
        aliases: &["duct_laminar", "rectangle", "rectangular_duct"],
        summary: "Fanning f Re and Nusselt numbers of developed laminar flow in a rectangular duct, fits",
        quantity: DUCT_QUANTITY,
        unit: "-",
        inputs: &[ASPECT],
        range: "laminar, developed; aspect ratio 0 to 1",
        scatter: "f Re and H1 within 0.08 %, T within 0.3 % of exact",
        source: "Shah & London 1978, Laminar Flow Forced Convection in Ducts",
        evaluate: |v| Ok(duct(duct_laminar::rectangle(v.get("aspect_ratio_short_over_long")))),
    },
    Relation {
        name: "rectangle_exact_numerical",
        aliases: &["exact_numerical"],
        summary: "Fanning f Re and Nusselt numbers of developed laminar flow in a rectangular duct, by Fourier series",
        quantity: DUCT_QUANTITY,
        unit: "-",
        inputs: &[ASPECT],
        range: "laminar, developed; aspect ratio 0 to 1",
        scatter: "exact; T converged to about 1e-5 above aspect ratio 0.02",
        source: "Fourier series of the momentum and energy equations (own)",
        evaluate: |v| {
            let aspect = v.get("aspect_ratio_short_over_long");
            Ok(duct(duct_laminar::DuctConstants {
                fanning_f_re: duct_laminar::exact_fanning_f_re(aspect),
                nusselt_h1: duct_laminar::exact_nusselt_h1(aspect),
                nusselt_t: duct_laminar::exact_nusselt_t(aspect),
            }))
        },
    },
    Relation {
        name: "circle_exact",
        aliases: &["circle"],
        summary: "Fanning f Re and Nusselt numbers of developed laminar flow in a round tube",
        quantity: DUCT_QUANTITY,
        unit: "-",
        inputs: &[],
        range: "laminar, developed",
        scatter: "exact",
        source: "16, 48/11, 3.6568",
        evaluate: |_| Ok(duct(duct_laminar::CIRCLE)),
    },
    Relation {
        name: "equilateral_triangle_exact",
        aliases: &["equilateral_triangle", "triangle"],
        summary: "Fanning f Re and Nusselt numbers of developed laminar flow in an equilateral triangle",
        quantity: DUCT_QUANTITY,
        unit: "-",
        inputs: &[],
        range: "laminar, developed",
        scatter: "f Re and H1 exact, T to 4 digits",
        source: "40/3 and 28/9 exact; T by an own solution (Galerkin's method and finite elements agree); older tables have 2.47, 1 % lower",
        evaluate: |_| Ok(duct(duct_laminar::EQUILATERAL_TRIANGLE)),
    },
];
