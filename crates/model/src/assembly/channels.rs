//! Tubes and channels by their dimensions.

use aircraft::records::device::{Channels, Tubes};
use correlations::duct_laminar;
use solver::Passage;
use std::f64::consts::{FRAC_PI_4, PI};

pub(super) fn tubes(tubes: &Tubes) -> Passage {
    let (count, diameter) = (tubes.count as f64, tubes.diameter.si());
    Passage {
        length_m: tubes.length.si(),
        hydraulic_diameter_m: diameter,
        flow_area_m2: count * FRAC_PI_4 * diameter * diameter,
        wetted_area_m2: count * PI * diameter * tubes.length.si(),
        roughness_m: tubes.roughness.si(),
        laminar_friction: 64.0,
        laminar_nusselt: 3.6568,
        loss_coefficient: tubes.losses.si(),
    }
}

pub(super) fn channels(channels: &Channels) -> Passage {
    let (count, width, height) = (channels.count as f64, channels.width.si(), channels.height.si());
    let aspect = width.min(height) / width.max(height);
    Passage {
        length_m: channels.length.si(),
        hydraulic_diameter_m: 2.0 * width * height / (width + height),
        flow_area_m2: count * width * height,
        wetted_area_m2: count * 2.0 * (width + height) * channels.length.si(),
        roughness_m: channels.roughness.si(),
        laminar_friction: 4.0 * duct_laminar::fanning_f_re(aspect),
        laminar_nusselt: duct_laminar::nusselt_t(aspect),
        loss_coefficient: channels.losses.si(),
    }
}
