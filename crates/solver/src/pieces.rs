//! The local functions of the network: streams, films, elements, exchangers, inlets.

use crate::circuit::Wall;
use crate::film_law::{Side, TransferLaw};
use crate::flow_law::FlowLaw;
use crate::fluid::Fluid;
use crate::link::LinkLaw;
use crate::parts::{Arrangement, HeatSource};
use crate::signal::Signal;
use crate::stencil::Piece;
use correlations::exchanger;
use numerics::{Scalar, constant};

/// Axial conduction that ties neighbouring cells together when the fluid rests, W/K.
///
/// A hose of 12 mm bore filled with glycol has 1e-4 W/K over half a metre. Air that rests in a duct of 0.05 m2 has 0.026 W/(m K) x 0.05 m2 /
/// 0.2 m = 0.0065 W/K by conduction alone, and free convection a multiple of that; 0.005 is taken, and fades with the flow, by half
/// at 0.05 g/s. It keeps the temperatures of a duct whose air turns round from turning over within 1e-7 kg/s.
#[inline]
pub(crate) fn axial_w_k<S: Scalar>(fluid: &Fluid, mass_flow_kg_s: S) -> S {
    match fluid {
        Fluid::Liquid(_) => constant(AXIAL_W_K),
        Fluid::Air { .. } => {
            let moving = mass_flow_kg_s * (1.0 / AIR_MOVES_KG_S);
            (moving * moving + 1.0).recip() * RESTING_AIR_W_K + AXIAL_W_K
        }
    }
}

/// See [`axial_w_k`]; the value for liquids only has to be positive and far below any real path, W/K.
const AXIAL_W_K: f64 = 1e-4;
/// See [`axial_w_k`], W/K.
const RESTING_AIR_W_K: f64 = 5e-3;
/// Flow at which half of it is left, kg/s.
const AIR_MOVES_KG_S: f64 = 5e-5;

/// Heat through a link: lanes are the two temperatures.
pub(crate) struct LinkPiece<'a>(pub(crate) &'a LinkLaw);

impl Piece<2, 1> for LinkPiece<'_> {
    #[inline]
    fn evaluate<S: Scalar>(&self, [first_k, second_k]: [S; 2]) -> [S; 1] {
        [self.0.heat(first_k, second_k)]
    }
}

/// Heat of a source whose loss grows with temperature.
pub(crate) struct SourcePiece<'a>(pub(crate) &'a HeatSource);

impl Piece<1, 1> for SourcePiece<'_> {
    const GENERATES: bool = true;

    #[inline]
    fn evaluate<S: Scalar>(&self, [temperature_k]: [S; 1]) -> [S; 1] {
        [((temperature_k - self.0.reference_k) * self.0.slope_1_k + 1.0) * self.0.heat_w]
    }
}

/// Enthalpy carried between neighbouring cells: lanes are the two temperatures and the mass flow.
pub(crate) struct StreamPiece<'a> {
    pub(crate) fluid: &'a Fluid,
    /// Share of the flow that takes this way.
    pub(crate) share: f64,
    /// Energy per mass added to what comes from the first side, J/kg.
    pub(crate) added_j_kg: f64,
}

impl Piece<3, 1> for StreamPiece<'_> {
    #[inline]
    fn evaluate<S: Scalar>(&self, [first_k, second_k, mass_flow_kg_s]: [S; 3]) -> [S; 1] {
        let carried = if mass_flow_kg_s.value() >= 0.0 {
            mass_flow_kg_s * (self.fluid.enthalpy(first_k) + self.added_j_kg)
        } else {
            mass_flow_kg_s * self.fluid.enthalpy(second_k)
        };
        [carried * self.share + (first_k - second_k) * axial_w_k(self.fluid, mass_flow_kg_s)]
    }
}

/// Capacity rate, as a share of the conductance at rest, at which half of the latter is left. With it a film at rest that is as
/// good as the one in flow (laminar channels) changes the effectiveness by 6e-4 at most, at three transfer units; there what
/// is left of it is `1/(1 + (C/0.02 Gs)^2)`, and at many units the fluid takes the temperature of the wall anyway.
const REST_SHARE: f64 = 0.02;

/// Weight that is 0 in normal flow and 1 at rest.
#[inline]
fn rest_weight<S: Scalar>(capacity_rate_w_k: S, resting_w_k: f64) -> S {
    let ratio = capacity_rate_w_k / (REST_SHARE * resting_w_k).max(f64::MIN_POSITIVE);
    (ratio * ratio + 1.0).recip()
}

/// `(1 - exp(-x)) / x`, accurate near zero.
#[inline]
fn saturation<S: Scalar>(x: S) -> S {
    if x.value().abs() < 1e-6 { -x * 0.5 + 1.0 } else { -(-x).exp_m1() / x }
}

/// Heat from a wall to the fluid of a cell: lanes are wall, inlet and outlet temperature and the mass flow.
///
/// `q = C (1 - exp(-UA/C)) (Tw - Tin) + w(C) Gs (Tw - Tout)`, `C = |m| cp`.
pub(crate) struct WallPiece<'a> {
    pub(crate) fluid: &'a Fluid,
    pub(crate) wall: &'a Wall,
    pub(crate) resting_w_k: f64,
}

impl Piece<4, 1> for WallPiece<'_> {
    #[inline]
    fn evaluate<S: Scalar>(&self, [wall_k, inlet_k, outlet_k, mass_flow_kg_s]: [S; 4]) -> [S; 1] {
        let fluid = self.fluid;
        let mean_k = (inlet_k + outlet_k) * 0.5;
        let capacity_rate = mass_flow_kg_s.abs() * fluid.specific_heat(mean_k);
        let conductance = self.wall.film.conductance_at_wall(fluid, mass_flow_kg_s, (mean_k, wall_k));
        let resting = rest_weight(capacity_rate, self.resting_w_k) * self.resting_w_k * (wall_k - outlet_k);
        // 1e-12 keeps the number of transfer units finite at rest, where the factor C removes the term anyway
        let units = conductance / (capacity_rate + 1e-12);
        let flowing = conductance * saturation(units) * (wall_k - inlet_k);
        let flowing = if capacity_rate.value() < 1e-9 { constant(0.0) } else { flowing };
        [flowing + resting]
    }
}

/// Heat from the fluid held in a machine through its casing: lanes are its fluid, its surroundings and the mass flow.
///
/// `q = w(C) G (T - T_place)` with `w = 1 / (1 + (C/G)^2)` and `C = |m| cp`. The weight of resting films falls off at a hundredth
/// of this flow: there a trickle carries less than the casing did at rest, so that a machine would be hottest in between. With
/// this one what flow and casing take together, `C + w G`, is never below `G`: the heat that a machine keeps is bounded by what
/// it keeps at rest. At a hundred times `G` a part in 1e6 of the fluid's heat still goes this way.
pub(crate) struct CasingPiece<'a> {
    pub(crate) fluid: &'a Fluid,
    pub(crate) conductance_w_k: f64,
}

impl Piece<3, 1> for CasingPiece<'_> {
    #[inline]
    fn evaluate<S: Scalar>(&self, [fluid_k, place_k, mass_flow_kg_s]: [S; 3]) -> [S; 1] {
        let ratio =
            mass_flow_kg_s * self.fluid.specific_heat(fluid_k) / self.conductance_w_k.max(f64::MIN_POSITIVE);
        [(ratio * ratio + 1.0).recip() * (fluid_k - place_k) * self.conductance_w_k]
    }
}

/// Pressure loss, friction and machine heat, electrical power of an element:
/// lanes are mass flow, mean temperature and sensed temperature.
pub(crate) struct ElementPiece<'a> {
    pub(crate) fluid: &'a Fluid,
    pub(crate) law: &'a FlowLaw,
    pub(crate) signal: &'a Signal,
}

/// Outputs of an [`ElementPiece`].
pub(crate) mod element_output {
    pub(crate) const DROP: usize = 0;
    pub(crate) const HEAT: usize = 1;
    pub(crate) const POWER: usize = 2;
}

impl Piece<3, 3> for ElementPiece<'_> {
    const GENERATES: bool = true;

    #[inline]
    fn evaluate<S: Scalar>(&self, [mass_flow_kg_s, mean_k, sensed_k]: [S; 3]) -> [S; 3] {
        let setting = self.signal.at(sensed_k);
        let drop = self.law.drop(self.fluid, mass_flow_kg_s, mean_k, setting);
        let density = self.fluid.density(mean_k);
        let power = match self.law.machine() {
            Some(machine) => {
                machine.power(mass_flow_kg_s / density, &machine.held(self.fluid, mean_k), setting)
            }
            None => constant(0.0),
        };
        // A liquid is warmed by friction, and what a pump gives to the flow comes back as friction elsewhere. The
        // enthalpy of air does not depend on pressure: throttling leaves it, and all fan power ends in it.
        let heat = match self.fluid {
            Fluid::Liquid(_) => power + mass_flow_kg_s * drop / density,
            Fluid::Air { .. } => power,
        };
        [drop, heat, power]
    }
}

/// Heat from the first to the second flow of an exchanger: lanes are inlet temperature, outlet temperature and
/// mass flow of the first, then of the second.
pub(crate) struct ExchangerPiece<'a> {
    pub(crate) first: &'a Fluid,
    pub(crate) second: &'a Fluid,
    pub(crate) law: &'a TransferLaw,
    pub(crate) arrangement: Arrangement,
    pub(crate) resting_w_k: f64,
}

impl Piece<6, 1> for ExchangerPiece<'_> {
    #[inline]
    fn evaluate<S: Scalar>(&self, [in_1, out_1, m_1, in_2, out_2, m_2]: [S; 6]) -> [S; 1] {
        let mean_1 = (in_1 + out_1) * 0.5;
        let mean_2 = (in_2 + out_2) * 0.5;
        let capacity_1 = m_1.abs() * self.first.specific_heat(mean_1);
        let capacity_2 = m_2.abs() * self.second.specific_heat(mean_2);
        let conductance = self.law.conductance(
            &Side { fluid: self.first, mass_flow_kg_s: m_1, temperature_k: mean_1 },
            &Side { fluid: self.second, mass_flow_kg_s: m_2, temperature_k: mean_2 },
        );
        let flowing =
            effective_capacity(self.arrangement, conductance, capacity_1, capacity_2) * (in_1 - in_2);
        let (rest_1, rest_2) =
            (rest_weight(capacity_1, self.resting_w_k), rest_weight(capacity_2, self.resting_w_k));
        let rest = rest_1 + rest_2 - rest_1 * rest_2;
        [flowing + rest * self.resting_w_k * (out_1 - out_2)]
    }
}

/// Effectiveness times the smaller capacity rate, W/K.
#[inline]
pub(crate) fn effective_capacity<S: Scalar>(arrangement: Arrangement, conductance: S, one: S, other: S) -> S {
    let (least, greatest) = if one.value() <= other.value() { (one, other) } else { (other, one) };
    if least.value() < 1e-9 {
        return least;
    }
    let units = conductance / least;
    let ratio = least / greatest;
    let effectiveness = match arrangement {
        Arrangement::Crossflow => exchanger::crossflow_unmixed(units, ratio),
        Arrangement::Counterflow => exchanger::counterflow(units, ratio),
        Arrangement::ParallelFlow => exchanger::parallel(units, ratio),
    };
    effectiveness * least
}

/// Derivative of the fluid's heat content: capacity of a cell, J/K.
pub(crate) fn cell_capacity(fluid: &Fluid, volume_m3: f64, temperature_k: f64) -> f64 {
    volume_m3 * fluid.density(temperature_k) * fluid.specific_heat(temperature_k)
}
