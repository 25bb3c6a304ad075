//! Gearbox, and the stages behind it.

use super::explanation::{Explanation, Fidelity, kw, sources};
use super::written::Written;
use aircraft::records::gearbox::{GearLosses, GearMesh, GearWheel};
use correlations::Evaluated;
use model::assembly::Gears;
use model::result::GearReading;
use powertrain::gearbox::{self, ChurningWheel, Mesh, churning_power_w, drag_coefficient, mesh_loss_factor};
use powertrain::loss::Loss;

const GRAVITY_M_S2: f64 = 9.80665;

/// What a line stands at: the sump of the gearbox, a stage itself.
fn place<'a>(spec: &Gears<'a>) -> &'a str {
    if spec.is_stage { spec.name } else { spec.into }
}

/// Explanations of the heat of a gearbox or stage: the whole, then each mesh and wheel.
pub(super) fn loss(spec: &Gears<'_>, state: Option<&GearReading>) -> Vec<Explanation> {
    let (level, law, source) = words(spec.losses);
    let what = if spec.is_stage { "stage loss" } else { "gearbox loss" };
    let line = Explanation::new(place(spec), what, level, law).stated(source);
    let (Some(state), Ok(law)) = (state, model::assembly::gear_law(spec)) else {
        return vec![line];
    };
    let (point, heat) = (&state.point, &state.heat);
    let line = line.giving(format!(
        "{} in all: meshes {}, churning {}; {} in, {:.1} rad/s",
        kw(heat.total()),
        kw(heat.mesh_w),
        kw(heat.churning_w),
        kw(point.input_power_w),
        point.input_speed_rad_s
    ));
    let line = match spec.oil {
        Some(_) => line.giving(format!(
            "oil at {:.1} degC: {:.1} mm2/s, {:.0} kg/m3",
            crate::celsius(state.oil_k),
            1e6 * point.oil_kinematic_viscosity_m2_s,
            point.oil_density_kg_m3
        )),
        None => line,
    };
    let line = if spec.is_stage {
        line.giving(format!(
            "{} out, {:.1} rad/s; the heat goes to {}",
            kw(point.input_power_w - heat.total()),
            point.input_speed_rad_s / spec.ratio,
            spec.into
        ))
    } else {
        line
    };
    match law.losses() {
        gearbox::GearLosses::Geometry(geometry) => {
            let mut lines = vec![line];
            if let GearLosses::Geometry(typed) = spec.losses {
                let meshes = typed.meshes.iter().zip(&geometry.meshes);
                lines.extend(meshes.map(|(typed, mesh)| mesh_line(spec, typed, mesh, state)));
                let wheels = typed.wheels.iter().zip(&geometry.wheels);
                lines.extend(wheels.map(|(typed, wheel)| wheel_line(spec, typed, wheel, state)));
            }
            lines
        }
        other => vec![line.by(whole(other, state))],
    }
}

fn words(losses: &GearLosses) -> (Fidelity, &'static str, Option<String>) {
    match losses {
        GearLosses::Fixed(loss) => {
            (Fidelity::Fixed, "one value while it turns", sources(&[("loss", loss.source())]))
        }
        GearLosses::Efficiency(law) => (
            Fidelity::Fixed,
            "mesh efficiency and drag at the reference speed",
            sources(&[("efficiency", law.efficiency.source()), ("drag", law.drag.source())]),
        ),
        GearLosses::Geometry(_) => (
            Fidelity::Geometry,
            "mesh by Ohlendorf 1958 and churning by teeth and immersion (ISO/TR 14179-2)",
            Some("Ohlendorf 1958; ISO/TR 14179-2; Changenet & Velex 2007, J. Mech. Des. 129, 128".to_owned()),
        ),
    }
}

/// The law of a gearbox that is known as a whole.
fn whole(losses: &gearbox::GearLosses, state: &GearReading) -> Option<Evaluated> {
    let (point, heat) = (&state.point, &state.heat);
    let law = |name| {
        Written::new(name, "gearbox_loss", "W")
            .inputs(&[("input_power_W", point.input_power_w), ("input_speed_rad_s", point.input_speed_rad_s)])
    };
    match losses {
        gearbox::GearLosses::Fixed { mesh_w, churning_w } => Some(
            law("fixed_gearbox_loss")
                .input("loss_W", mesh_w + churning_w)
                .range("from 1 rad/s on; nothing at rest")
                .source("value of the project")
                .giving(heat.total()),
        ),
        gearbox::GearLosses::Efficiency { efficiency, drag } => {
            let mut law = law("gearbox_efficiency").input("efficiency", *efficiency);
            if let Loss::PowerLaw { reference_w, reference_load, exponent } = drag {
                law = law
                    .inputs(&[
                        ("drag_W", *reference_w),
                        ("reference_speed_rad_s", *reference_load),
                        ("exponent", *exponent),
                    ])
                    .step(
                        "speed_ratio",
                        point.input_speed_rad_s / reference_load,
                        "-",
                        "speed over reference speed",
                    );
            }
            Some(
                law.step("mesh_loss", heat.mesh_w, "W", "input power (1 - efficiency)")
                    .step(
                        "drag",
                        heat.churning_w,
                        "W",
                        "drag at the reference speed times speed ratio to its exponent",
                    )
                    .range("every power and speed; oil temperature has no effect at this level")
                    .source("definition of the efficiency; power law of the speed")
                    .giving(heat.total()),
            )
        }
        gearbox::GearLosses::Map(_) => Some(
            law("gearbox_loss_map")
                .step(
                    "input_torque",
                    point.input_power_w / point.input_speed_rad_s.max(1e-3),
                    "N m",
                    "power over speed",
                )
                .range("inside the map; held at its edges")
                .source("map of the project")
                .giving(heat.total()),
        ),
        gearbox::GearLosses::None | gearbox::GearLosses::Geometry(_) => None,
    }
}

fn mesh_line(spec: &Gears<'_>, typed: &GearMesh, mesh: &Mesh, state: &GearReading) -> Explanation {
    let factor = mesh_loss_factor(mesh);
    let power_w = state.point.input_power_w.abs() * mesh.power_share;
    let loss_w = power_w * mesh.friction * factor;
    let tip = mesh.tip_contact_ratio_1 + mesh.tip_contact_ratio_2;
    let found = Written::new("mesh_loss_ohlendorf", "mesh_loss", "W")
        .inputs(&[
            ("input_power_W", state.point.input_power_w),
            ("power_share", mesh.power_share),
            ("pinion_teeth", f64::from(mesh.pinion_teeth)),
            ("tooth_ratio", mesh.tooth_ratio),
            ("base_helix_rad", mesh.base_helix_rad),
            ("tip_contact_ratio_1", mesh.tip_contact_ratio_1),
            ("tip_contact_ratio_2", mesh.tip_contact_ratio_2),
            ("friction", mesh.friction),
        ])
        .step("mesh_power", power_w, "W", "input power times share")
        .step("mesh_loss_factor", factor, "-", "pi (u + 1)/(z1 u cos beta_b) (1 - e1 - e2 + e1^2 + e2^2)")
        .within("tip_contact_ratio", tip, (1.0, 2.0))
        .range("tip contact ratio 1 to 2 in all, load shared equally")
        .scatter("the mean friction, 0.03 to 0.07, is the uncertainty (common practice, no source)")
        .source("Ohlendorf 1958; Niemann & Winter; ISO/TR 14179-2")
        .giving(loss_w);
    let law = format!(
        "{}: pinion of {} teeth, ratio {}, friction {}",
        typed.name.as_str(),
        typed.pinion_teeth,
        typed.ratio.text(),
        typed.friction.text()
    );
    Explanation::new(place(spec), "mesh loss", Fidelity::Geometry, law)
        .sourced(typed.friction.source().or(Some(found.source)))
        .giving(kw(loss_w))
        .by(Some(found))
}

fn wheel_line(
    spec: &Gears<'_>,
    typed: &GearWheel,
    wheel: &ChurningWheel,
    state: &GearReading,
) -> Explanation {
    let point = &state.point;
    let viscosity = point.oil_kinematic_viscosity_m2_s;
    let speed = point.input_speed_rad_s.abs() * wheel.speed_ratio;
    let loss_w = churning_power_w(wheel, speed, point.oil_density_kg_m3, viscosity);
    let (radius, width) = (wheel.pitch_radius_m, wheel.face_width_m);
    let found = Written::new("churning_changenet_velex", "churning_loss", "W")
        .inputs(&[
            ("speed_rad_s", speed),
            ("oil_K", state.oil_k),
            ("oil_density_kg_m3", point.oil_density_kg_m3),
            ("oil_kinematic_viscosity_m2_s", viscosity),
            ("pitch_radius_m", radius),
            ("face_width_m", width),
            ("module_m", wheel.module_m),
            ("immersion_m", wheel.immersion_depth_m),
            ("oil_volume_m3", wheel.oil_volume_m3),
        ])
        .step("reynolds", speed * radius * width / viscosity, "-", "w R b/nu")
        .step("froude", speed * speed * radius / GRAVITY_M_S2, "-", "w^2 R/g")
        .step(
            "centrifugal_acceleration",
            speed * speed * (radius * width * wheel.module_m).cbrt(),
            "m/s2",
            "w^2 (R b m)^(1/3); the two branches meet at 750 to 1250",
        )
        .step(
            "immersed_area",
            wheel.immersed_area_m2,
            "m2",
            "faces, rim and tooth flanks below the oil level",
        )
        .step("drag_coefficient", drag_coefficient(wheel, speed, viscosity), "-", "Changenet & Velex 2007")
        .range("one wheel dipping into a sump; blended at Re 3600-4400 and 750-1250 m/s2")
        .scatter("no published figure beside the coefficients")
        .source("Changenet & Velex 2007, J. Mech. Des. 129, 128 (coefficients from memory)")
        .giving(loss_w);
    let law = format!(
        "{}: radius {}, face width {}, dips {}",
        typed.name.as_str(),
        typed.pitch_radius.text(),
        typed.face_width.text(),
        typed.immersion.text()
    );
    Explanation::new(place(spec), "churning loss", Fidelity::Geometry, law)
        .sourced(Some(found.source))
        .giving(kw(loss_w))
        .by(Some(found))
}
