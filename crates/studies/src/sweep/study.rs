//! What is found at one point of a grid.

use super::maker::{Maker, inputs};
use super::needed::{Absence, Absent};
use super::watch::Watch;
use crate::StudyError;
use crate::uncooled::{Boundary, RESISTANCE};
use model::case::Linearization;
use rayon::prelude::*;
use std::collections::HashMap;
use std::ops::Range;
use std::sync::atomic::AtomicBool;

/// What all points have in common.
pub(super) struct Study<'a> {
    pub(super) maker: Maker<'a>,
    pub(super) watched: &'a [Watch],
    pub(super) linearizations: Vec<(String, Option<Linearization>)>,
    /// Loops whose absence is looked at.
    pub(super) absent: Vec<Absent>,
    /// Found boundaries by loop, way and the inputs beside the resistance.
    pub(super) boundaries: HashMap<BoundaryKey, Option<Boundary>>,
    pub(super) cancel: &'a AtomicBool,
}

/// Number of the loop, how it is left out, bits of the inputs beside the resistance.
type BoundaryKey = (usize, Absence, Vec<u64>);

impl Study<'_> {
    /// The inputs that a boundary over the resistance depends on, as bits.
    pub(super) fn beside_resistance(&self, inputs_si: &[f64]) -> Vec<u64> {
        let axes = self.maker.axes.iter().zip(inputs_si);
        axes.filter(|(axis, _)| axis.path != RESISTANCE).map(|(_, si)| si.to_bits()).collect()
    }

    /// The watched boundaries, each found once for all points that differ by the resistance only.
    pub(super) fn boundaries(
        &self,
        points: Range<usize>,
    ) -> Result<HashMap<BoundaryKey, Option<Boundary>>, StudyError> {
        let asked = self.watched.iter().filter_map(|watch| match watch {
            Watch::Boundary { circuit, how } => {
                Some((self.absent.iter().position(|absent| absent.circuit == *circuit)?, *how))
            }
            _ => None,
        });
        let mut tasks: HashMap<BoundaryKey, usize> = HashMap::new();
        for (number, how) in asked {
            for point in points.clone() {
                let beside = self.beside_resistance(&inputs(self.maker.axes, point));
                tasks.entry((number, how, beside)).or_insert(point);
            }
        }
        let found = tasks.into_par_iter().map(|(key, point)| {
            let inputs = inputs(self.maker.axes, point);
            let boundary = match self.maker.make(&inputs) {
                Ok(project) => {
                    self.absent[key.0].boundary(&self.maker, &project, &inputs, key.1, self.cancel)?
                }
                // what is wrong is told at the points
                Err(_refusal) => None,
            };
            Ok((key, boundary))
        });
        found.collect()
    }
}
