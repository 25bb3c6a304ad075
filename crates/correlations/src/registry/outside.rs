//! Forced and natural convection on outside surfaces, radiation.

use super::types::{Input, Outcome, Relation, Values};
use crate::{Range, external, natural, radiation};

const fn reynolds(range: Range) -> Input {
    Input::group("reynolds", range, "Reynolds number on the length along the flow, or the diameter")
}

const fn prandtl(range: Range) -> Input {
    Input::group("prandtl", range, "Prandtl number at the film temperature").above_zero()
}

const fn rayleigh(range: Range) -> Input {
    Input::group("rayleigh", range, "Rayleigh number g beta dT L^3/(nu a)")
}

const MEAN: &str = "nusselt_mean";
const PLATE_PRANDTL: Input = prandtl(external::PLATE_PRANDTL);
const ANY_PRANDTL: Input = prandtl(Range::new(1e-3, 1e5));
const PRANDTL_UNUSED: Input =
    Input::group("prandtl", Range::new(1e-3, 1e5), "Prandtl number; without effect here").optional();
const EMISSIVITY: Input =
    Input::group("emissivity", Range::new(0.0, 1.0), "emissivity of surface 1").at_most(1.0);
const HOT: Input = Input::positive("temperature_1_K", "K", "absolute temperature of surface 1");
const COLD: Input =
    Input::positive("temperature_2_K", "K", "absolute temperature of surface 2 or surroundings");

fn two(v: &Values, relation: fn(f64, f64) -> f64) -> Outcome {
    Outcome::of(relation(v.get("reynolds"), v.get("prandtl")))
}

fn natural_two(v: &Values, relation: fn(f64, f64) -> f64) -> Outcome {
    Outcome::of(relation(v.get("rayleigh"), v.get("prandtl")))
}

pub(super) static RELATIONS: &[Relation] = &[
    Relation {
        name: "flat_plate_laminar_mean_0.664",
        aliases: &["flat_plate_laminar"],
        summary: "Mean Nusselt number of a laminar flat plate",
        quantity: MEAN,
        unit: "-",
        inputs: &[reynolds(external::LAMINAR_PLATE_REYNOLDS), PLATE_PRANDTL],
        range: "Re to 5e5, Pr above 0.6",
        scatter: "exact for a boundary layer",
        source: "Pohlhausen 1921",
        evaluate: |v| Ok(two(v, external::flat_plate_laminar)),
    },
    Relation {
        name: "flat_plate_laminar_local_0.332",
        aliases: &["flat_plate_laminar_local"],
        summary: "Local Nusselt number of a laminar flat plate",
        quantity: "nusselt_local",
        unit: "-",
        inputs: &[reynolds(external::LAMINAR_PLATE_REYNOLDS), PLATE_PRANDTL],
        range: "Re to 5e5, Pr above 0.6",
        scatter: "exact for a boundary layer",
        source: "Pohlhausen 1921",
        evaluate: |v| Ok(two(v, external::flat_plate_laminar_local)),
    },
    Relation {
        name: "churchill_ozoe_1973_laminar_mean",
        aliases: &["churchill_ozoe"],
        summary: "Mean Nusselt number of a laminar flat plate, all Prandtl numbers",
        quantity: MEAN,
        unit: "-",
        inputs: &[reynolds(external::LAMINAR_PLATE_REYNOLDS), prandtl(external::CHURCHILL_OZOE_PRANDTL)],
        range: "Re to 5e5, all Pr",
        scatter: "about 2 % of the exact solution",
        source: "Churchill & Ozoe 1973, J. Heat Transfer 95, 416",
        evaluate: |v| Ok(two(v, external::flat_plate_churchill_ozoe)),
    },
    Relation {
        name: "vdi_plate_root_sum_square",
        aliases: &["flat_plate_vdi"],
        summary: "Mean Nusselt number of a flat plate in disturbed flow, laminar and turbulent in one",
        quantity: MEAN,
        unit: "-",
        inputs: &[reynolds(external::VDI_PLATE_REYNOLDS), prandtl(Range::new(0.6, 2000.0))],
        range: "Re 10 to 1e7, Pr 0.6 to 2000",
        scatter: "unconfirmed; 20 % taken",
        source: "Gnielinski 1975; VDI Heat Atlas 2002, p. Gd 1, eq. 1 and 2",
        evaluate: |v| {
            Ok(two(v, external::flat_plate_vdi)
                .group("nusselt_laminar", two(v, external::flat_plate_laminar).value, "Pohlhausen")
                .group("nusselt_turbulent", two(v, external::flat_plate_schlichting).value, "Schlichting"))
        },
    },
    Relation {
        name: "flat_plate_mixed_Rec_5e5",
        aliases: &["flat_plate_mixed"],
        summary: "Mean Nusselt number of a flat plate, laminar to the critical Reynolds number, then turbulent",
        quantity: MEAN,
        unit: "-",
        inputs: &[
            reynolds(external::MIXED_PLATE_REYNOLDS),
            PLATE_PRANDTL,
            Input::group(
                "critical_reynolds",
                Range::new(1e5, 3e6),
                "Reynolds number where the boundary layer turns turbulent",
            )
            .or(external::CRITICAL_REYNOLDS),
        ],
        range: "Re above the critical one, to 1e8; Pr 0.6 to 60",
        scatter: "unconfirmed; 25 % taken (three turbulent forms lie within 12 %)",
        source: "Incropera & DeWitt 4th ed. 1996, p. 354-356: (0.037 Re^0.8 - 871) Pr^(1/3)",
        evaluate: |v| {
            let critical = v.get("critical_reynolds");
            let nusselt = external::flat_plate_mixed(v.get("reynolds"), v.get("prandtl"), critical);
            let over = v.get("reynolds") / critical;
            Ok(Outcome::of(nusselt).within(
                "reynolds_over_critical",
                over,
                "Re/Re_c",
                Range::new(1.0, f64::INFINITY),
            ))
        },
    },
    Relation {
        name: "flat_plate_all_regimes",
        aliases: &["flat_plate", "flat_plate_mean"],
        summary: "Mean Nusselt number of a flat plate in calm flow: what the solver uses for plates",
        quantity: MEAN,
        unit: "-",
        inputs: &[reynolds(Range::new(0.0, 1e8)), PLATE_PRANDTL],
        range: "Re to 1e8, Pr 0.6 to 60; laminar and mixed formula blended over Re 5e5 to 6e5",
        scatter: "10 % laminar, 25 % turbulent taken (unconfirmed; three turbulent forms lie within 12 %)",
        source: "Pohlhausen 1921; Incropera & DeWitt 4th ed. 1996, p. 354-356; blend ours",
        evaluate: |v| Ok(two(v, external::flat_plate_mean)),
    },
    Relation {
        name: "flat_plate_turbulent_mean_0.037_Pr_third",
        aliases: &["flat_plate_turbulent"],
        summary: "Mean Nusselt number of a flat plate turbulent from its edge",
        quantity: MEAN,
        unit: "-",
        inputs: &[reynolds(external::TURBULENT_PLATE_REYNOLDS), PLATE_PRANDTL],
        range: "Re 5e5 to 1e7, Pr 0.6 to 60, tripped",
        scatter: "unconfirmed; 25 % taken; the Heat Atlas form is 9 % lower at 1e6, 12 % at 1e7",
        source: "Incropera & DeWitt 4th ed. 1996, p. 354-356",
        evaluate: |v| Ok(two(v, external::flat_plate_turbulent)),
    },
    Relation {
        name: "schlichting_turbulent_mean",
        aliases: &["schlichting"],
        summary: "Mean Nusselt number of a flat plate turbulent from its edge, form of Petukhov and Popov",
        quantity: MEAN,
        unit: "-",
        inputs: &[reynolds(external::TURBULENT_PLATE_REYNOLDS), prandtl(Range::new(0.6, 2000.0))],
        range: "Re 5e5 to 1e7, Pr 0.6 to 2000",
        scatter: "unconfirmed; 20 % taken",
        source: "Schlichting & Gersten; Petukhov & Popov 1963; VDI Heat Atlas 2002, p. Gd 1, eq. 2",
        evaluate: |v| Ok(two(v, external::flat_plate_schlichting)),
    },
    Relation {
        name: "churchill_bernstein_1977_cylinder",
        aliases: &["churchill_bernstein", "cylinder"],
        summary: "Mean Nusselt number of a cylinder in crossflow",
        quantity: MEAN,
        unit: "-",
        inputs: &[reynolds(external::CYLINDER_REYNOLDS), prandtl(external::CYLINDER_PRANDTL)],
        range: "Re Pr above 0.2, Re to 1e7",
        scatter: "one-sided, to the safe side for cooling: seven other forms lie -10 to +17 % about it at Re 1e3, +7 to +36 % at 1e4, -6 to +39 % at 1e5; \
                  authors' figure unconfirmed",
        source: "Churchill & Bernstein 1977, J. Heat Transfer 99, 300-306 (Incropera & DeWitt 4th ed. 1996, p. 370)",
        evaluate: |v| {
            let peclet = v.get("reynolds") * v.get("prandtl");
            Ok(two(v, external::cylinder).within("peclet", peclet, "Re Pr", Range::new(0.2, f64::INFINITY)))
        },
    },
    Relation {
        name: "churchill_chu_1975_vertical_plate_all_Ra",
        aliases: &["churchill_chu", "vertical_plate"],
        summary: "Mean Nusselt number of natural convection on a vertical plate, on its height",
        quantity: MEAN,
        unit: "-",
        inputs: &[rayleigh(natural::VERTICAL_PLATE_RAYLEIGH), ANY_PRANDTL],
        range: "Ra 0.1 to 1e12, all Pr",
        scatter: "unconfirmed; 20 % taken",
        source: "Churchill & Chu 1975, Int. J. Heat Mass Transfer 18, 1323-1329",
        evaluate: |v| Ok(natural_two(v, natural::vertical_plate)),
    },
    Relation {
        name: "churchill_chu_1975_vertical_plate_laminar",
        aliases: &["vertical_plate_laminar"],
        summary: "Mean Nusselt number of laminar natural convection on a vertical plate, on its height",
        quantity: MEAN,
        unit: "-",
        inputs: &[rayleigh(natural::LAMINAR_PLATE_RAYLEIGH), ANY_PRANDTL],
        range: "Ra 0.1 to 1e9, all Pr",
        scatter: "unconfirmed; 15 % taken",
        source: "Churchill & Chu 1975, Int. J. Heat Mass Transfer 18, 1323, laminar form",
        evaluate: |v| Ok(natural_two(v, natural::vertical_plate_laminar)),
    },
    Relation {
        name: "churchill_chu_1975_horizontal_cylinder",
        aliases: &["horizontal_cylinder"],
        summary: "Mean Nusselt number of natural convection on a horizontal cylinder, on its diameter",
        quantity: MEAN,
        unit: "-",
        inputs: &[rayleigh(natural::CYLINDER_RAYLEIGH), ANY_PRANDTL],
        range: "Ra 1e-5 to 1e12, all Pr",
        scatter: "three forms lie -6 to +5 % about it at Ra 1e6, -16 to +2 % at 1e8, -10 to +11 % at 1e10; authors' figure unconfirmed",
        source: "Churchill & Chu 1975, Int. J. Heat Mass Transfer 18, 1049-1053 (Incropera & DeWitt 4th ed. 1996, p. 502)",
        evaluate: |v| Ok(natural_two(v, natural::horizontal_cylinder)),
    },
    Relation {
        name: "mcadams_horizontal_plate_hot_face_up",
        aliases: &["plate_hot_face_up"],
        summary: "Mean Nusselt number of a horizontal plate, hot face up or cold face down, on area over perimeter",
        quantity: MEAN,
        unit: "-",
        inputs: &[rayleigh(natural::HOT_FACE_UP_RAYLEIGH), PRANDTL_UNUSED],
        range: "Ra 1e4 to 1e11; 0.54 Ra^(1/4) to 1e7, 0.15 Ra^(1/3) from 2e7, blended between",
        scatter: "three forms lie -18 to +19 % about it at Ra 1e6, -6 to +36 % from 1e8; authors' figure unconfirmed",
        source: "McAdams 1954; Lloyd & Moran 1974 for the length",
        evaluate: |v| Ok(Outcome::of(natural::plate_hot_face_up(v.get("rayleigh")))),
    },
    Relation {
        name: "mcadams_horizontal_plate_hot_face_down",
        aliases: &[],
        summary: "Mean Nusselt number of a horizontal plate, hot face down or cold face up, old form 0.27 Ra^(1/4) (for comparison)",
        quantity: MEAN,
        unit: "-",
        inputs: &[rayleigh(natural::MCADAMS_DOWN_RAYLEIGH), PRANDTL_UNUSED],
        range: "Ra 1e5 to 1e7; printed to 1e10, where it cools too well",
        scatter: "too high: in air later handbooks lie 10 to 12 % lower at Ra 1e6, 29 to 37 % at 1e8, 43 to 52 % at 1e10",
        source: "McAdams 1954, as in the library ht 1.2.0",
        evaluate: |v| Ok(Outcome::of(natural::plate_hot_face_down_mcadams(v.get("rayleigh")))),
    },
    Relation {
        name: "rohsenow_1998_horizontal_plate_hot_face_down",
        aliases: &[],
        summary: "Mean Nusselt number of a horizontal plate, hot face down or cold face up, on area over perimeter, later handbook",
        quantity: MEAN,
        unit: "-",
        inputs: &[rayleigh(natural::HOT_FACE_DOWN_RAYLEIGH), ANY_PRANDTL],
        range: "Ra 1e5 to 1e10 (limits unconfirmed), laminar",
        scatter: "unconfirmed; the VDI Heat Atlas 2010 lies 6 % below to 18 % above it in air from Ra 1e5 to 1e10: 20 % taken",
        source: "Rohsenow, Hartnett & Cho 1998, Handbook of Heat Transfer, 3rd ed., as in the library ht 1.2.0",
        evaluate: |v| Ok(natural_two(v, natural::plate_hot_face_down_later)),
    },
    Relation {
        name: "horizontal_plate_hot_face_down_least",
        aliases: &["plate_hot_face_down"],
        summary: "Mean Nusselt number of a horizontal plate, hot face down or cold face up: the lesser of McAdams and the later handbook",
        quantity: MEAN,
        unit: "-",
        inputs: &[rayleigh(natural::HOT_FACE_DOWN_RAYLEIGH), ANY_PRANDTL],
        range: "Ra 1e5 to 1e10; corner rounded downwards where the two differ by under 5 %",
        scatter: "unconfirmed; in air the VDI Heat Atlas 2010 lies 2 to 18 % above it from Ra 1e6 to 1e10: 20 % taken",
        source: "McAdams 1954; Rohsenow, Hartnett & Cho 1998, Handbook of Heat Transfer, 3rd ed. (both as in the library ht 1.2.0)",
        evaluate: |v| {
            let (ra, pr) = (v.get("rayleigh"), v.get("prandtl"));
            Ok(natural_two(v, natural::plate_hot_face_down)
                .group("nusselt_mcadams", natural::plate_hot_face_down_mcadams(ra), "0.27 Ra^(1/4)")
                .group(
                    "nusselt_rohsenow",
                    natural::plate_hot_face_down_later(ra, pr),
                    "Rohsenow et al. 1998",
                ))
        },
    },
    Relation {
        name: "grey_surface_to_large_enclosure_exact",
        aliases: &["radiation"],
        summary: "Radiative coefficient of a grey surface in large surroundings",
        quantity: "heat_transfer_coefficient",
        unit: "W/(m2 K)",
        inputs: &[EMISSIVITY, HOT, COLD],
        range: "grey, diffuse, surroundings much larger than the surface",
        scatter: "exact; the emissivity is the uncertainty",
        source: "Stefan-Boltzmann law, CODATA 2018",
        evaluate: |v| {
            let (e, hot, cold) = (v.get("emissivity"), v.get("temperature_1_K"), v.get("temperature_2_K"));
            let flux = radiation::heat_flux(e, hot, cold);
            Ok(Outcome::of(radiation::coefficient(e, hot, cold)).step(
                "heat_flux",
                flux,
                "W/m2",
                "h (T1 - T2)",
            ))
        },
    },
    Relation {
        name: "linearised_4_eps_sigma_Tm3",
        aliases: &["radiation_linearised"],
        summary: "Radiative coefficient linearised at the mean temperature",
        quantity: "heat_transfer_coefficient",
        unit: "W/(m2 K)",
        inputs: &[EMISSIVITY, HOT, COLD],
        range: "small temperature differences",
        scatter: "low by (dT/2Tm)^2",
        source: "first term of the Stefan-Boltzmann law",
        evaluate: |v| {
            Ok(Outcome::of(radiation::coefficient_linearised(
                v.get("emissivity"),
                v.get("temperature_1_K"),
                v.get("temperature_2_K"),
            )))
        },
    },
    Relation {
        name: "concentric_grey_diffuse_surfaces",
        aliases: &["radiation_enclosure"],
        summary: "Radiative heat flux between two concentric surfaces, on the inner one",
        quantity: "heat_flux_on_area_1",
        unit: "W/m2",
        inputs: &[
            EMISSIVITY,
            Input::group("emissivity_2", Range::new(0.0, 1.0), "emissivity of the outer surface")
                .at_most(1.0),
            Input::group("area_ratio_1_over_2", Range::new(0.0, 1.0), "inner over outer area").at_most(1.0),
            HOT,
            COLD,
        ],
        range: "grey, diffuse",
        scatter: "exact; the emissivities are the uncertainty",
        source: "two-surface enclosure, radiosity theory",
        evaluate: |v| {
            let effective = radiation::effective_emissivity(
                v.get("emissivity"),
                v.get("emissivity_2"),
                v.get("area_ratio_1_over_2"),
            );
            let flux = radiation::heat_flux(effective, v.get("temperature_1_K"), v.get("temperature_2_K"));
            Ok(Outcome::of(flux).group("effective_emissivity", effective, "1/(1/e1 + (A1/A2)(1/e2 - 1))"))
        },
    },
];
