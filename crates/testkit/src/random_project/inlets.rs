//! What pumps need at their inlet.

use super::dice::quantity;
use super::{Dice, Growing};

/// How a pump begins.
const PUMP: &str = "Pump(name: \"";

impl Growing {
    /// States the need and the bore of the inlet of some pumps. It is drawn after everything else, so that a seed stays as it was.
    pub(super) fn inlets(&mut self) {
        let Some(late) = self.late.as_mut() else { return };
        for device in self.loops.iter_mut().flat_map(|circuit| &mut circuit.path) {
            let mut whole = String::new();
            let mut rest = device.as_str();
            while let Some(start) = rest.find(PUMP) {
                let name = start + PUMP.len();
                let Some(end) = rest[name..].find('"').map(|length| name + length + 1) else { break };
                whole.push_str(&rest[..end]);
                whole.push_str(&inlet(late));
                rest = &rest[end..];
            }
            whole.push_str(rest);
            *device = whole;
        }
    }
}

/// Fields of one pump, each behind a comma.
fn inlet(late: &mut Dice) -> String {
    let mut fields = String::new();
    if late.chance(0.3) {
        let (flow, growth) = (late.log(2.0, 80.0, "L/min"), late.between(1.0, 6.0));
        let (law, least, unit) = if late.chance(0.5) {
            ("Pressure", late.spread(1.0, 30.0), "kPa")
        } else {
            ("Head", late.spread(0.1, 3.0), "m")
        };
        let (least, most) = (quantity(least, unit), quantity(least * growth, unit));
        fields = format!(", need: {law}([(\"0 L/min\", {least}), ({flow}, {most})])");
    }
    if late.chance(0.2) {
        fields += ", inlet_bore: ";
        fields += &late.log(8.0, 40.0, "mm");
    }
    fields
}
