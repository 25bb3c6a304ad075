//! Corrugated louvered fins between flat tubes. Reynolds number on the louver pitch, `Re_Lp = G L_p/mu`.

use super::{GeometryError, all_positive, tangent_below};
use crate::{Range, maths::seam};
use numerics::Scalar;

/// Reynolds numbers of the heat transfer relation.
pub const J_REYNOLDS: Range = Range::new(100.0, 3000.0);
/// Reynolds numbers of the friction relation.
pub const F_REYNOLDS: Range = Range::new(100.0, 5000.0);
/// The 2006 amendment: low branch below, high branch above, a root-mean-square chord between.
pub const CHORD: Range = Range::new(130.0, 230.0);
/// Band in which the corner at the lower end of the chord is rounded.
pub const LOW_BLEND: Range = Range::new(122.0, 138.0);
/// Band in which the corner at the upper end of the chord is rounded.
pub const HIGH_BLEND: Range = Range::new(222.0, 238.0);
/// Reynolds number at which the original friction relation jumps from one branch to the other.
pub const BRANCH_REYNOLDS: f64 = 150.0;

/// Dimensions of a louvered fin and its flat tubes, in m and degrees.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fin {
    /// Louver angle, degrees.
    pub louver_angle_deg: f64,
    /// Fin pitch, one fin to the next.
    pub fin_pitch_m: f64,
    /// Louver pitch.
    pub louver_pitch_m: f64,
    /// Fin height between tubes.
    pub fin_height_m: f64,
    /// Flow depth: depth of tube and fin.
    pub flow_depth_m: f64,
    /// Louver length across the flow.
    pub louver_length_m: f64,
    /// Tube pitch.
    pub tube_pitch_m: f64,
    /// Fin thickness.
    pub fin_thickness_m: f64,
    /// Outside dimension of the flat tube across the air flow.
    pub tube_minor_dimension_m: f64,
    /// Hydraulic diameter of the fin array.
    pub fin_array_hydraulic_diameter_m: f64,
}

impl Fin {
    /// Hydraulic diameter of the passage between two fins taken as a rectangle, m: what the friction relation expects where no
    /// better value is known.
    pub fn rectangular_hydraulic_diameter_m(
        fin_pitch_m: f64,
        fin_height_m: f64,
        fin_thickness_m: f64,
    ) -> f64 {
        let (width, height) = (fin_pitch_m - fin_thickness_m, fin_height_m - fin_thickness_m);
        2.0 * width * height / (width + height)
    }

    fn validate(&self) -> Result<(), GeometryError> {
        all_positive(&[
            ("louver angle", self.louver_angle_deg),
            ("fin pitch", self.fin_pitch_m),
            ("louver pitch", self.louver_pitch_m),
            ("fin height", self.fin_height_m),
            ("flow depth", self.flow_depth_m),
            ("louver length", self.louver_length_m),
            ("tube pitch", self.tube_pitch_m),
            ("fin thickness", self.fin_thickness_m),
            ("tube minor dimension", self.tube_minor_dimension_m),
            ("fin array hydraulic diameter", self.fin_array_hydraulic_diameter_m),
        ])?;
        if self.tube_minor_dimension_m >= self.tube_pitch_m {
            return Err(GeometryError::NotLess {
                smaller: "tube minor dimension",
                smaller_value: self.tube_minor_dimension_m,
                larger: "tube pitch",
                larger_value: self.tube_pitch_m,
            });
        }
        let ratio = self.fin_thickness_m / self.fin_pitch_m;
        let least = 0.1_f64.powf(1.0 / 0.48);
        if ratio <= 1.001 * least {
            return Err(GeometryError::TooThin { ratio, least });
        }
        Ok(())
    }
}

/// A louvered fin with everything that does not depend on the flow worked out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Geometry {
    j_factor: f64,
    low: Branch,
    high: Branch,
    squared_at_low_end: f64,
    squared_at_high_end: f64,
}

/// `f = factor Re^exponent ln(inside Re)^log_exponent`.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Branch {
    factor: f64,
    exponent: f64,
    inside: f64,
    log_exponent: f64,
}

impl Branch {
    #[inline]
    fn times_reynolds<S: Scalar>(&self, reynolds: S) -> S {
        reynolds.powf(self.exponent + 1.0)
            * (reynolds * self.inside).ln().powf(self.log_exponent)
            * self.factor
    }

    fn at(&self, reynolds: f64) -> f64 {
        self.times_reynolds(reynolds) / reynolds
    }
}

impl Geometry {
    /// Works out the constants of a fin.
    ///
    /// # Errors
    /// [`GeometryError`] for a dimension that is not positive, a tube wider than its pitch, or a fin too thin for the relation.
    pub fn new(fin: &Fin) -> Result<Self, GeometryError> {
        fin.validate()?;
        let (low, high) = (low_branch(fin), high_branch(fin));
        Ok(Self {
            j_factor: j_factor(fin),
            low,
            high,
            squared_at_low_end: low.at(CHORD.low).powi(2),
            squared_at_high_end: high.at(CHORD.high).powi(2),
        })
    }

    /// The 2006 chord: `f^2` linear in Re between the two ends.
    fn chord_times_reynolds<S: Scalar>(&self, reynolds: S) -> S {
        let share = (reynolds - CHORD.low) / (CHORD.high - CHORD.low);
        let squared = share * (self.squared_at_high_end - self.squared_at_low_end) + self.squared_at_low_end;
        squared.sqrt() * reynolds
    }
}

fn j_factor(fin: &Fin) -> f64 {
    let over_pitch = |x: f64| x / fin.louver_pitch_m;
    (fin.louver_angle_deg / 90.0).powf(0.27)
        * over_pitch(fin.fin_pitch_m).powf(-0.14)
        * over_pitch(fin.fin_height_m).powf(-0.29)
        * over_pitch(fin.flow_depth_m).powf(-0.23)
        * over_pitch(fin.louver_length_m).powf(0.68)
        * over_pitch(fin.tube_pitch_m).powf(-0.28)
        * over_pitch(fin.fin_thickness_m).powf(-0.05)
}

fn low_branch(fin: &Fin) -> Branch {
    let thin = fin.fin_thickness_m / fin.fin_pitch_m;
    let pitch = (fin.fin_pitch_m / fin.louver_pitch_m).ln_1p().powf(3.04);
    let thickness = (thin.powf(0.48) + 0.9).ln().powf(-1.435);
    let diameter = (fin.fin_array_hydraulic_diameter_m / fin.louver_pitch_m).powf(-3.01);
    let louver =
        (fin.fin_pitch_m / fin.louver_length_m * (fin.flow_depth_m / fin.louver_length_m)).powf(-0.308);
    let tube = (-0.1167 * fin.tube_pitch_m / fin.tube_minor_dimension_m).exp();
    Branch {
        factor: 14.39 * pitch * thickness * diameter * louver * tube * fin.louver_angle_deg.powf(0.35),
        exponent: -0.805 * fin.fin_pitch_m / fin.fin_height_m,
        inside: 0.5,
        log_exponent: -3.01,
    }
}

fn high_branch(fin: &Fin) -> Branch {
    let thin = fin.fin_thickness_m / fin.fin_pitch_m;
    let clear = fin.tube_pitch_m - fin.tube_minor_dimension_m;
    let thickness = (thin.sqrt() + 0.9).ln().powf(-0.527);
    let diameter = (fin.fin_array_hydraulic_diameter_m / fin.louver_pitch_m).powf(-2.966);
    let louver = (fin.fin_pitch_m / fin.louver_length_m).powf(-0.7931 * fin.tube_pitch_m / clear);
    let tube = (fin.tube_pitch_m / fin.tube_minor_dimension_m).powf(-0.0446);
    let slots = (1.2 + (fin.louver_pitch_m / fin.fin_pitch_m).powf(1.4)).ln().powf(-3.553);
    Branch {
        factor: 4.97 * thickness * diameter * louver * tube * slots * fin.louver_angle_deg.powf(-0.477),
        exponent: 0.6049 - 1.064 / fin.louver_angle_deg.powf(0.2),
        inside: 0.3,
        log_exponent: -2.966,
    }
}

/// Colburn factor of a louvered fin.
///
/// # Formula
/// ```text
/// j = Re^-0.49 (theta/90)^0.27 (Fp/Lp)^-0.14 (Fl/Lp)^-0.29 (Td/Lp)^-0.23 (Ll/Lp)^0.68 (Tp/Lp)^-0.28 (t/Lp)^-0.05      Eq. (9)
/// ```
///
/// # Valid range
/// [`J_REYNOLDS`]. Below it: see [`colburn_j_times_reynolds`].
///
/// # Uncertainty
/// 89 % of the data within ±15 % (unconfirmed, treat it as optimistic); other tests found it unfit for final design.
///
/// # Source
/// Chang & Wang 1997, Int. J. Heat Mass Transfer 40, 533-544, Eq. (9). Checked by `compact_louver.csv`.
#[inline]
pub fn colburn_j<S: Scalar>(reynolds: S, geometry: &Geometry) -> S {
    colburn_j_times_reynolds(reynolds, geometry) / reynolds
}

/// `j Re`, finite at rest: tangent of the published curve below the Reynolds range. Range and source as [`colburn_j`].
#[inline]
pub fn colburn_j_times_reynolds<S: Scalar>(reynolds: S, geometry: &Geometry) -> S {
    if reynolds.value() >= J_REYNOLDS.low {
        return reynolds.powf(0.51) * geometry.j_factor;
    }
    tangent_below(reynolds, J_REYNOLDS.low, J_REYNOLDS.low.powf(0.51) * geometry.j_factor, 0.51)
}

/// Fanning friction factor of a louvered fin with the 2006 amendment, corners rounded.
///
/// # Formula
/// ```text
/// f = f1 f2 f3, two branches (see docs/theory/correlations.md)          below 130, above 230
/// f = sqrt( [(1 + w) f(130)^2 + (1 - w) f(230)^2]/2 )   w = 3.6 - 0.02 Re      between
/// ```
/// The amendment is continuous but has corners at 130 and 230; they are rounded over [`LOW_BLEND`] and [`HIGH_BLEND`], by less
/// than 1 %. Everywhere else the published value is returned.
///
/// # Valid range
/// [`F_REYNOLDS`] (lower end ours: the heat transfer data begin at 100). Below it: see [`fanning_f_times_reynolds`].
///
/// # Uncertainty
/// 83 % of the data within ±15 % (unconfirmed, treat it as optimistic). The tube dimension is the one across the air flow, as a library after the review of
/// flat-tube fins by Jacobi, Park, Tafti & Zhang has it.
///
/// # Source
/// Chang, Hsu, Lin & Wang 2000, Int. J. Heat Mass Transfer 43, 2237-2243; amendment Chang, Chang, Li & Wang 2006, ibid. 49,
/// 4250-4253. Checked by `compact_louver.csv`.
#[inline]
pub fn fanning_f<S: Scalar>(reynolds: S, geometry: &Geometry) -> S {
    fanning_f_times_reynolds(reynolds, geometry) / reynolds
}

/// `f Re`, finite at rest: tangent of the low branch below the Reynolds range. Range and source as [`fanning_f`].
pub fn fanning_f_times_reynolds<S: Scalar>(reynolds: S, geometry: &Geometry) -> S {
    if reynolds.value() < F_REYNOLDS.low {
        let low = &geometry.low;
        let exponent = 1.0 + low.exponent + low.log_exponent / (low.inside * F_REYNOLDS.low).ln();
        return tangent_below(reynolds, F_REYNOLDS.low, low.times_reynolds(F_REYNOLDS.low), exponent);
    }
    if reynolds.value() < 0.5 * (CHORD.low + CHORD.high) {
        seam(
            reynolds,
            LOW_BLEND.low,
            LOW_BLEND.high,
            || geometry.low.times_reynolds(reynolds),
            || geometry.chord_times_reynolds(reynolds),
        )
    } else {
        seam(
            reynolds,
            HIGH_BLEND.low,
            HIGH_BLEND.high,
            || geometry.chord_times_reynolds(reynolds),
            || geometry.high.times_reynolds(reynolds),
        )
    }
}

/// Fanning friction factor as first published, with its jump at [`BRANCH_REYNOLDS`]; for comparison only.
///
/// # Source
/// Chang, Hsu, Lin & Wang 2000, Int. J. Heat Mass Transfer 43, 2237-2243. Checked by `compact_louver.csv`.
pub fn fanning_f_original(reynolds: f64, geometry: &Geometry) -> f64 {
    if reynolds < BRANCH_REYNOLDS { geometry.low.at(reynolds) } else { geometry.high.at(reynolds) }
}
