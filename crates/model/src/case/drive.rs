//! Motors, converters and bus of a case.

use super::named::Named;
use crate::rating;
use crate::result::{ConverterResult, ElectricResult, MotorResult, StageResult};

impl Named<'_> {
    pub(super) fn electric(&self) -> Option<ElectricResult> {
        let read = self.reading.electric()?;
        let powertrain = self.naming.situation.project.powertrain.as_ref()?;
        let used = rating::of_case(self.naming.situation);
        let motors = self
            .naming
            .parts
            .motors
            .iter()
            .zip(&read.drives)
            .zip(&powertrain.motors)
            .map(|((name, drive), motor)| {
                let rating = motor.rating(used);
                MotorResult {
                    name: name.clone(),
                    shaft_power_w: drive.shaft_power_w,
                    torque_nm: drive.torque_nm,
                    speed_rad_s: drive.speed_rad_s,
                    rating: rating.map(|rating| rating.name.as_str().to_owned()),
                    time_allowed_s: rating.and_then(|rating| rating.duration.as_ref()).map(|d| d.si()),
                    phase_current_a: drive.phase_current_a,
                    demand_w: drive.demand_w,
                }
            })
            .collect();
        let stages = powertrain.stages.iter().zip(&read.stages).map(|(stage, state)| {
            let heat_w = state.heat.total();
            StageResult {
                name: stage.name.as_str().to_owned(),
                share: stage.share.si(),
                input_w: state.point.input_power_w,
                output_w: state.point.input_power_w - heat_w,
                heat_w,
                input_speed_rad_s: state.point.input_speed_rad_s,
                output_speed_rad_s: state.point.input_speed_rad_s / stage.ratio.si(),
            }
        });
        let stages = stages.collect();
        let converters = powertrain
            .converters
            .iter()
            .zip(&read.converters)
            .map(|(converter, state)| ConverterResult {
                name: converter.name.as_str().to_owned(),
                output_w: state.output_w,
                input_w: state.input_w,
                heat_w: state.heat_w,
            })
            .collect();
        Some(ElectricResult {
            bus_voltage_v: read.bus_voltage_v,
            bus_current_a: read.bus_current_a,
            shaft_power_w: read.shaft_power_w,
            gear_input_w: read.gear_input_w,
            lost_power_w: read.lost_power_w,
            stages,
            motors,
            converters,
            reading: read,
        })
    }
}
