//! From local functions of a few numbers to the residual and the Jacobian of the whole network.
//!
//! A piece of physics (a film, a stream between two cells, a motor) is a function of a few *lanes*. A stencil
//! says which unknowns feed each lane and which equations receive each output. Values come from plain numbers,
//! derivatives from one evaluation with dual numbers of as many lanes, so that the cost of the Jacobian grows
//! with the number of pieces and never with the square of the number of unknowns.

use crate::sparse::SparseLu;
use crate::tally::{LossSlopes, Tally, TallySlopes};
use num_dual::DualSVec64;
use numerics::Scalar;
use std::sync::Arc;

/// A function of `LANES` numbers with `OUTPUTS` results.
pub(crate) trait Piece<const LANES: usize, const OUTPUTS: usize> {
    /// Whether heat that leaves this piece was generated in it; other pieces only move heat.
    const GENERATES: bool = false;

    fn evaluate<S: Scalar>(&self, lanes: [S; LANES]) -> [S; OUTPUTS];
}

/// `weight * unknown` is added to a lane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Column {
    pub(crate) lane: usize,
    pub(crate) unknown: usize,
    pub(crate) weight: f64,
}

/// `weight * output` is added to an equation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Target {
    pub(crate) output: usize,
    pub(crate) row: usize,
    pub(crate) weight: f64,
}

const NO_SLOT: u32 = u32::MAX;

/// Where the lanes of a piece come from and where its outputs go. Copies share what they hold.
#[derive(Clone, Debug, Default)]
pub(crate) struct Stencil(Arc<Wiring>);

#[derive(Clone, Debug, Default)]
pub(crate) struct Wiring {
    columns: Vec<Column>,
    targets: Vec<Target>,
    /// Outputs that leave the network into the surroundings.
    outward: Vec<Target>,
    slots: Vec<u32>,
}

impl std::ops::Deref for Stencil {
    type Target = Wiring;

    fn deref(&self) -> &Wiring {
        &self.0
    }
}

impl Stencil {
    /// Lanes from unknowns (or boundaries, which have no column in the matrix) and outputs to rows; a target whose
    /// row is a boundary leaves the network.
    pub(crate) fn new(columns: Vec<Column>, targets: Vec<Target>, unknowns: usize) -> Self {
        let (targets, outward) = targets.into_iter().partition(|t| t.row < unknowns);
        Self(Arc::new(Wiring { columns, targets, outward, slots: Vec::new() }))
    }

    /// Matrix entries this stencil writes to.
    pub(crate) fn pairs(&self, unknowns: usize) -> impl Iterator<Item = (usize, usize)> + '_ {
        self.targets.iter().flat_map(move |t| {
            self.columns.iter().filter(move |c| c.unknown < unknowns).map(move |c| (t.row, c.unknown))
        })
    }

    /// Looks up the matrix entries once the pattern is known.
    pub(crate) fn bind(&mut self, lu: &SparseLu, unknowns: usize) {
        let wiring = Arc::make_mut(&mut self.0);
        wiring.slots.clear();
        for target in &wiring.targets {
            for column in &wiring.columns {
                let slot = if column.unknown < unknowns {
                    u32::try_from(lu.slot(target.row, column.unknown)).expect("fewer than 2^32 entries")
                } else {
                    NO_SLOT
                };
                wiring.slots.push(slot);
            }
        }
    }

    /// Takes over what a stencil of the same wiring has looked up; false if it has another one.
    pub(crate) fn bind_like(&mut self, other: &Self) -> bool {
        let is_same = self.columns == other.columns
            && self.targets == other.targets
            && self.outward == other.outward
            && !other.slots.is_empty();
        if is_same {
            self.0 = Arc::clone(&other.0);
        }
        is_same
    }

    /// Unknowns of the lanes of a stream: both ends and the flow.
    pub(crate) fn ends(&self) -> [usize; 3] {
        std::array::from_fn(|lane| {
            self.columns.iter().find(|c| c.lane == lane).map_or(usize::MAX, |c| c.unknown)
        })
    }

    #[inline]
    pub(crate) fn gather<const LANES: usize>(&self, state: &[f64]) -> [f64; LANES] {
        let mut lanes = [0.0; LANES];
        for column in &self.columns {
            lanes[column.lane] += column.weight * state[column.unknown];
        }
        lanes
    }

    /// The lanes of values that are not kept as a state.
    pub(crate) fn gather_of<const LANES: usize>(&self, value: impl Fn(usize) -> f64) -> [f64; LANES] {
        let mut lanes = [0.0; LANES];
        for column in &self.columns {
            lanes[column.lane] += column.weight * value(column.unknown);
        }
        lanes
    }

    /// Adds the outputs of a piece to the residual.
    #[inline]
    pub(crate) fn add_residual<const L: usize, const O: usize>(
        &self,
        piece: &impl Piece<L, O>,
        state: &[f64],
        residual: &mut [f64],
    ) -> [f64; O] {
        let outputs = piece.evaluate(self.gather::<L>(state));
        for target in &self.targets {
            residual[target.row] += target.weight * outputs[target.output];
        }
        outputs
    }

    /// Adds the outputs of a piece to the residual and their derivatives to the matrix.
    #[inline]
    pub(crate) fn add_jacobian<const L: usize, const O: usize>(
        &self,
        piece: &impl Piece<L, O>,
        state: &[f64],
        residual: &mut [f64],
        lu: &mut SparseLu,
    ) -> [DualSVec64<L>; O] {
        let values = self.gather::<L>(state);
        let mut lanes = [DualSVec64::<L>::from(0.0); L];
        for (lane, value) in values.into_iter().enumerate() {
            lanes[lane] = DualSVec64::<L>::from(value).derivative(lane);
        }
        let outputs = piece.evaluate(lanes);
        let mut slot = 0;
        for target in &self.targets {
            let output = &outputs[target.output];
            residual[target.row] += target.weight * output.re;
            let gradient = output.eps.0.as_ref();
            for column in &self.columns {
                if let (Some(gradient), true) = (gradient, self.slots[slot] != NO_SLOT) {
                    lu.add(self.slots[slot] as usize, target.weight * column.weight * gradient[column.lane]);
                }
                slot += 1;
            }
        }
        outputs
    }

    /// Books what a piece generates and what it passes to the surroundings.
    #[inline]
    pub(crate) fn book<const L: usize, const O: usize, P: Piece<L, O>>(
        &self,
        outputs: &[f64; O],
        temperatures: usize,
        tally: &mut Tally,
    ) {
        for target in &self.outward {
            tally.rejected_w += target.weight * outputs[target.output];
        }
        if P::GENERATES {
            for target in self.targets.iter().filter(|t| t.row < temperatures).chain(&self.outward) {
                tally.generated_w += target.weight * outputs[target.output];
            }
        }
    }

    /// Books how both change with the unknowns.
    #[inline]
    pub(crate) fn book_slopes<const L: usize, const O: usize, P: Piece<L, O>>(
        &self,
        outputs: &[DualSVec64<L>; O],
        temperatures: usize,
        slopes: &mut TallySlopes,
    ) {
        let unknowns = slopes.rejected.len();
        let add = |target: &Target, slopes: &mut [f64]| {
            let Some(gradient) = outputs[target.output].eps.0.as_ref() else { return };
            for column in self.columns.iter().filter(|c| c.unknown < unknowns) {
                slopes[column.unknown] += target.weight * column.weight * gradient[column.lane];
            }
        };
        for target in &self.outward {
            add(target, &mut slopes.rejected);
        }
        if P::GENERATES {
            for target in self.targets.iter().filter(|t| t.row < temperatures).chain(&self.outward) {
                add(target, &mut slopes.generated);
            }
        }
    }

    /// Adds the derivatives of heats with temperatures to a list over the temperatures. Each stands at a pair of the pattern.
    pub(crate) fn add_slopes<const L: usize, const O: usize>(
        &self,
        piece: &impl Piece<L, O>,
        state: &[f64],
        slopes: &mut LossSlopes,
    ) {
        let values = self.gather::<L>(state);
        let lanes: [DualSVec64<L>; L] =
            std::array::from_fn(|lane| DualSVec64::<L>::from(values[lane]).derivative(lane));
        let outputs = piece.evaluate(lanes);
        let temperatures = slopes.temperatures;
        for target in self.targets.iter().filter(|t| t.row < temperatures) {
            let Some(gradient) = outputs[target.output].eps.0.as_ref() else { continue };
            for column in self.columns.iter().filter(|c| c.unknown < temperatures) {
                let slope = target.weight * column.weight * gradient[column.lane];
                slopes.entries.push((target.row, column.unknown, slope));
            }
        }
    }
}
