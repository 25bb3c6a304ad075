//! Notices about laws that are used outside what they were made for.

use super::named::Named;
use crate::result::Notice;

impl Named<'_> {
    /// Property laws and measured laws used outside what they were made for.
    pub(super) fn range_notices(&self, notices: &mut Vec<Notice>) {
        for part in self.naming.circuits() {
            let mut outside: Option<(f64, &str)> = None;
            for device in part.devices() {
                for cell in self.reading.cells_k(device.element) {
                    if !part.fluid.in_range(cell) {
                        outside = Some((cell, &device.name));
                    }
                }
                let cells = self.reading.cells_k(device.element).count();
                for reading in (0..cells).filter_map(|cell| self.reading.wall(device.element, cell)) {
                    if !reading.covered {
                        notices.push(Notice {
                            about: "",
                            kind: "out_of_range",
                            place: device.name.clone(),
                            message: "the flow lies outside the measured table of conductance; the value at the edge is used"
                                .to_owned(),
                        });
                        break;
                    }
                }
            }
            if let Some((temperature_k, device)) = outside {
                notices.push(Notice {
                    about: "",
                    kind: "out_of_range",
                    place: part.name.clone(),
                    message: format!(
                        "the fluid reaches {:.1} degC at {device}, outside its property law; values at the edge are used",
                        temperature_k - 273.15
                    ),
                });
            }
        }
        let mut outside: Vec<&str> = Vec::new();
        for (name, id) in &self.naming.parts.links {
            if !self.reading.link(*id).covered && !outside.contains(&name.as_str()) {
                outside.push(name);
                notices.push(Notice {
                    about: "",
                    kind: "out_of_range",
                    place: name.clone(),
                    message: "the relation of this heat path is used outside its range and extrapolated"
                        .to_owned(),
                });
            }
        }
        self.cell_notices(notices);
        for (name, id) in &self.naming.parts.exchangers {
            if !self.reading.exchanger(*id).covered {
                notices.push(Notice {
                    about: "",
                    kind: "out_of_range",
                    place: name.clone(),
                    message: "the flows lie outside the measured map; the value at the edge is used"
                        .to_owned(),
                });
            }
        }
    }

    /// Cells outside the data they were made from.
    fn cell_notices(&self, notices: &mut Vec<Notice>) {
        let Some(read) = self.reading.electric() else { return };
        if let Some(group) = read.groups.iter().find(|group| !group.covered) {
            notices.push(Notice {
                about: "",
                kind: "out_of_range",
                place: "pack".to_owned(),
                message: format!(
                    "cells at {:.1} degC and a state of charge of {:.2} lie outside the data of the cell; values at the edge are used",
                    group.temperature_k - 273.15,
                    group.state_of_charge
                ),
            });
        }
    }

    /// Measured losses of the drive used outside their measurements.
    pub(super) fn drive_notices(&self, notices: &mut Vec<Notice>) {
        let Some(read) = self.reading.electric() else { return };
        let mut flag = |place: &str, what: &str| {
            notices.push(Notice {
                about: "",
                kind: "out_of_range",
                place: place.to_owned(),
                message: format!("{what}; the loss at the edge is used"),
            });
        };
        for (name, drive) in self.naming.parts.motors.iter().zip(&read.drives) {
            if !drive.motor_covered {
                flag(
                    name,
                    &format!(
                        "{:.1} N m at {:.0} rpm and {:.1} V lie outside the measured motor map",
                        drive.torque_nm,
                        drive.speed_rad_s * 30.0 / std::f64::consts::PI,
                        read.bus_voltage_v
                    ),
                );
            }
            if !drive.inverter_covered {
                flag(
                    name,
                    &format!(
                        "{:.1} A rms at {:.1} V lie outside the measured inverter map",
                        drive.phase_current_a, read.bus_voltage_v
                    ),
                );
            }
        }
        let converters = self.naming.situation.project.powertrain.iter().flat_map(|p| &p.converters);
        for (converter, state) in converters.zip(&read.converters) {
            if !state.covered {
                flag(
                    converter.name.as_str(),
                    &format!("{:.0} W of output lie outside the measured table of loss", state.output_w),
                );
            }
        }
    }
}
