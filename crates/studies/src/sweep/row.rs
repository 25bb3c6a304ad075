//! The row of one point of a grid.

use super::maker::inputs;
use super::read::read;
use super::study::Study;
use crate::StudyError;
use std::sync::atomic::Ordering;

/// One point.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Its number in the whole sweep, from 0.
    pub point: usize,
    /// Inputs in SI, in the order of the axes.
    pub inputs: Vec<f64>,
    /// What is watched, in SI, in the order asked; none where there is no value.
    pub results: Vec<Option<f64>>,
    /// Why values are missing, and where a loop is not needed; empty if there is nothing to say.
    pub remark: String,
}

impl Study<'_> {
    pub(super) fn row(&self, point: usize) -> Result<Row, StudyError> {
        if self.cancel.load(Ordering::Relaxed) {
            return Err(StudyError::Cancelled);
        }
        let inputs = inputs(self.maker.axes, point);
        let mut row = Row { point, inputs, results: vec![None; self.watched.len()], remark: String::new() };
        match self.maker.make(&row.inputs) {
            Ok(project) => (row.results, row.remark) = read(self, &project, &row.inputs)?,
            Err(refusal) => row.remark = refusal,
        }
        Ok(row)
    }
}
