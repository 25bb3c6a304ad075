//! What is known of an aeroplane, and how it flies.

use crate::error;
use crate::error::InputError;
use numerics::Curve;

/// Drag of the clean aeroplane.
#[derive(Clone, Debug, PartialEq)]
pub enum DragLaw {
    /// Parabolic polar `C_D = C_D0 + C_L^2/(pi e AR)`, `AR = b^2/S`.
    Parabolic {
        /// Drag coefficient without lift.
        zero_lift_drag: f64,
        /// Oswald factor, 0.7-0.85 for light aeroplanes (from memory).
        oswald: f64,
        /// Span (m).
        span_m: f64,
    },
    /// Lift over drag against the lift coefficient, both of the trimmed aeroplane. Held outside the points and flagged.
    LiftToDrag(Curve),
}

impl DragLaw {
    /// Lift over drag given as `(airspeed m/s, lift over drag)` points in level flight at a reference weight, density and
    /// wing area, airspeeds rising: carried to lift coefficients, so that it holds at any weight and height.
    ///
    /// # Errors
    /// [`InputError`] for a number that is not positive, airspeeds that do not rise, fewer than two points.
    pub fn lift_to_drag_from_airspeeds(
        points: &[(f64, f64)],
        weight_n: f64,
        density_kg_m3: f64,
        area_m2: f64,
    ) -> Result<Self, InputError> {
        error::positive("reference weight of the polar (N)", weight_n)?;
        error::positive("reference density of the polar (kg/m3)", density_kg_m3)?;
        error::positive("wing area (m2)", area_m2)?;
        let mut coefficients = Vec::with_capacity(points.len());
        for &(airspeed, ratio) in points.iter().rev() {
            error::positive("airspeed of the polar (m/s)", airspeed)?;
            coefficients.push((2.0 * weight_n / (density_kg_m3 * airspeed * airspeed * area_m2), ratio));
        }
        Curve::new(&coefficients)
            .map(Self::LiftToDrag)
            .map_err(|source| InputError::Table { what: "lift over drag of the polar", source })
    }

    pub(super) fn check(&self) -> Result<(), InputError> {
        match self {
            Self::Parabolic { zero_lift_drag, oswald, span_m } => {
                error::positive("drag coefficient without lift", *zero_lift_drag)?;
                error::efficiency("Oswald factor", *oswald)?;
                error::positive("span (m)", *span_m)
            }
            Self::LiftToDrag(curve) => curve.points().try_for_each(|(lift, ratio)| {
                error::positive("lift coefficient of the polar", lift)?;
                error::positive("lift over drag of the polar", ratio)
            }),
        }
    }
}

/// Data of an aeroplane.
#[derive(Clone, Debug, PartialEq)]
pub struct WingData {
    /// Wing area (m2).
    pub area_m2: f64,
    /// Greatest lift coefficient in the configuration flown.
    pub lift_coefficient_max: f64,
    /// Drag of the clean aeroplane.
    pub drag: DragLaw,
}

/// A glider behind a tug.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tow {
    /// Weight of the glider (N): it is carried by its own wing, and climbs with the tug.
    pub weight_n: f64,
    /// Drag of glider and rope (N) at the airspeed of the tow.
    pub drag_n: f64,
}

impl Tow {
    /// A glider known by its lift over drag at the airspeed of the tow, which lies well above its best.
    ///
    /// # Errors
    /// [`InputError::Value`] for a number that is not positive.
    pub fn from_glide_ratio(weight_n: f64, lift_to_drag: f64) -> Result<Self, InputError> {
        error::positive("weight of the towed glider (N)", weight_n)?;
        error::positive("lift over drag of the towed glider", lift_to_drag)?;
        Ok(Self { weight_n, drag_n: weight_n / lift_to_drag })
    }
}

/// A moment of flight of an aeroplane, unaccelerated and with level wings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WingFlight {
    /// Air density (kg/m3).
    pub density_kg_m3: f64,
    /// Weight (N).
    pub weight_n: f64,
    /// True airspeed along the path (m/s).
    pub airspeed_m_s: f64,
    /// Rate of climb (m/s), negative in descent, at most the airspeed.
    pub climb_m_s: f64,
    /// Drag area beyond that of the clean aeroplane (m2): gear, flaps, brakes, cooling air.
    pub extra_drag_area_m2: f64,
    /// What is towed.
    pub tow: Option<Tow>,
}

impl WingFlight {
    pub(super) fn check(&self) -> Result<(), InputError> {
        error::positive("air density (kg/m3)", self.density_kg_m3)?;
        error::positive("weight (N)", self.weight_n)?;
        error::not_negative("airspeed (m/s)", self.airspeed_m_s)?;
        error::not_negative("extra drag area (m2)", self.extra_drag_area_m2)?;
        if !(self.climb_m_s.abs() <= self.airspeed_m_s) {
            let (what, rule) = ("rate of climb (m/s)", "at most the airspeed, up or down");
            return Err(InputError::Value { what, value: self.climb_m_s, rule });
        }
        self.tow.map_or(Ok(()), |tow| {
            error::positive("weight of the towed glider (N)", tow.weight_n)?;
            error::not_negative("drag of the towed glider (N)", tow.drag_n)
        })
    }
}
