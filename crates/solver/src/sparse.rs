//! Sparse LU factors with a fixed pattern: ordered and analysed once, refilled and refactored many times.
//!
//! A thermal network is almost a tree, so elimination in order of least degree leaves hardly any fill. There is
//! no pivoting: the equations are written with a strong diagonal, and a vanishing pivot is reported.

use std::collections::BTreeSet;
use std::sync::Arc;

/// The pivot of an unknown vanished: the network does not determine it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct VanishingPivot {
    /// Number of the unknown, in the caller's numbering.
    pub(crate) unknown: usize,
}

/// What follows from the places of the entries alone.
#[derive(Debug, Default)]
struct Pattern {
    size: usize,
    /// Places as they were given.
    pairs: Vec<(usize, usize)>,
    /// Position of an unknown in the elimination order.
    place_of: Vec<usize>,
    unknown_at: Vec<usize>,
    row_start: Vec<usize>,
    column: Vec<usize>,
    diagonal: Vec<usize>,
}

/// A square sparse matrix together with its factors.
#[derive(Clone, Debug)]
pub(crate) struct SparseLu {
    /// Shared by all matrices of one pattern.
    pattern: Arc<Pattern>,
    /// Entries of the matrix, rows and columns in elimination order, fill included.
    entries: Vec<f64>,
    factors: Vec<f64>,
    work: Vec<f64>,
    pivot_signs_positive: bool,
}

impl Pattern {
    fn new(size: usize, pairs: Vec<(usize, usize)>) -> Self {
        let mut neighbours: Vec<BTreeSet<usize>> = vec![BTreeSet::new(); size];
        for &(row, column) in &pairs {
            if row != column {
                neighbours[row].insert(column);
                neighbours[column].insert(row);
            }
        }
        let (order, filled) = eliminate_least_degree(neighbours);
        let mut place_of = vec![0; size];
        for (place, &unknown) in order.iter().enumerate() {
            place_of[unknown] = place;
        }
        let mut rows: Vec<BTreeSet<usize>> = (0..size).map(|place| BTreeSet::from([place])).collect();
        for (place, later) in filled.iter().enumerate() {
            for &unknown in later {
                let other = place_of[unknown];
                rows[place].insert(other);
                rows[other].insert(place);
            }
        }
        let mut row_start = vec![0];
        let mut column = Vec::new();
        let mut diagonal = Vec::with_capacity(size);
        for (place, row) in rows.iter().enumerate() {
            for &c in row {
                if c == place {
                    diagonal.push(column.len());
                }
                column.push(c);
            }
            row_start.push(column.len());
        }
        Self { size, pairs, place_of, unknown_at: order, row_start, column, diagonal }
    }
}

impl SparseLu {
    /// Analyses the pattern given as (row, column) pairs; the diagonal is always part of it.
    pub(crate) fn new(size: usize, pairs: Vec<(usize, usize)>) -> Self {
        Self::of(Arc::new(Pattern::new(size, pairs)))
    }

    /// The same with the analysis of another matrix, if that has the same pattern.
    pub(crate) fn like(other: &Self, size: usize, pairs: Vec<(usize, usize)>) -> Self {
        if other.pattern.size == size && other.pattern.pairs == pairs {
            Self::of(Arc::clone(&other.pattern))
        } else {
            Self::new(size, pairs)
        }
    }

    /// Number of pairs that the pattern was made of.
    pub(crate) fn pairs(&self) -> usize {
        self.pattern.pairs.len()
    }

    /// Whether both were analysed once.
    pub(crate) fn shares_pattern(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.pattern, &other.pattern)
    }

    fn of(pattern: Arc<Pattern>) -> Self {
        let entries = vec![0.0; pattern.column.len()];
        Self {
            factors: entries.clone(),
            entries,
            work: vec![0.0; pattern.size],
            pattern,
            pivot_signs_positive: true,
        }
    }

    /// A factor of nothing, used while the real one is lent out.
    pub(crate) fn empty() -> Self {
        Self::of(Arc::default())
    }

    /// Number of stored entries, fill included.
    pub(crate) fn stored(&self) -> usize {
        let pattern = &self.pattern;
        pattern.column.len()
    }

    /// Where the entry (row, column) is stored; the pair must belong to the pattern.
    pub(crate) fn slot(&self, row: usize, column: usize) -> usize {
        let pattern = &self.pattern;
        let (r, c) = (pattern.place_of[row], pattern.place_of[column]);
        let start = pattern.row_start[r];
        let position = pattern.column[start..pattern.row_start[r + 1]]
            .binary_search(&c)
            .expect("every piece registers its pairs before slots are asked for");
        start + position
    }

    pub(crate) fn clear(&mut self) {
        self.entries.fill(0.0);
    }

    #[inline]
    pub(crate) fn add(&mut self, slot: usize, value: f64) {
        self.entries[slot] += value;
    }

    /// Adds `value[i]` to the i-th diagonal entry of the matrix before factoring.
    pub(crate) fn add_diagonal(&mut self, unknown: usize, value: f64) {
        let pattern = &*self.pattern;
        let slot = pattern.diagonal[pattern.place_of[unknown]];
        self.entries[slot] += value;
    }

    /// Multiplies every column by its factor, given in the caller's numbering.
    pub(crate) fn scale_columns(&mut self, factors: &[f64]) {
        let pattern = &*self.pattern;
        for (entry, &column) in self.entries.iter_mut().zip(&pattern.column) {
            *entry *= factors[pattern.unknown_at[column]];
        }
    }

    /// The entry at a pair of the pattern, or zero.
    #[cfg(test)]
    pub(crate) fn entry(&self, row: usize, column: usize) -> f64 {
        let pattern = &self.pattern;
        let (r, c) = (pattern.place_of[row], pattern.place_of[column]);
        let start = pattern.row_start[r];
        match pattern.column[start..pattern.row_start[r + 1]].binary_search(&c) {
            Ok(position) => self.entries[start + position],
            Err(_absent) => 0.0,
        }
    }

    /// Whether every pivot of the last factorisation of `-A` would be positive, that is all pivots of `A` negative.
    pub(crate) fn all_pivots_negative(&self) -> bool {
        self.pivot_signs_positive
    }

    /// Factors the current entries; the entries stay as they are.
    pub(crate) fn factor(&mut self) -> Result<(), VanishingPivot> {
        let pattern = &*self.pattern;
        self.factors.copy_from_slice(&self.entries);
        self.pivot_signs_positive = true;
        for row in 0..pattern.size {
            let (start, end) = (pattern.row_start[row], pattern.row_start[row + 1]);
            let mut largest: f64 = 0.0;
            for k in start..end {
                self.work[pattern.column[k]] = self.factors[k];
                largest = largest.max(self.factors[k].abs());
            }
            for k in start..pattern.diagonal[row] {
                let pivot_row = pattern.column[k];
                let multiplier = self.work[pivot_row] / self.factors[pattern.diagonal[pivot_row]];
                self.factors[k] = multiplier;
                if multiplier != 0.0 {
                    for j in pattern.diagonal[pivot_row] + 1..pattern.row_start[pivot_row + 1] {
                        self.work[pattern.column[j]] -= multiplier * self.factors[j];
                    }
                }
            }
            for k in pattern.diagonal[row]..end {
                self.factors[k] = self.work[pattern.column[k]];
            }
            let pivot = self.factors[pattern.diagonal[row]];
            if !(pivot.abs() > 1e-14 * largest) || !pivot.is_finite() {
                return Err(VanishingPivot { unknown: pattern.unknown_at[row] });
            }
            self.pivot_signs_positive &= pivot < 0.0;
        }
        Ok(())
    }

    /// Solves in place with the last factors.
    pub(crate) fn solve(&mut self, right_hand_side: &mut [f64]) {
        let pattern = &*self.pattern;
        for (place, &unknown) in pattern.unknown_at.iter().enumerate() {
            self.work[place] = right_hand_side[unknown];
        }
        for row in 0..pattern.size {
            let below = pattern.row_start[row]..pattern.diagonal[row];
            let terms = self.factors[below.clone()].iter().zip(&pattern.column[below]);
            let sum: f64 = terms.map(|(factor, &column)| factor * self.work[column]).sum();
            self.work[row] -= sum;
        }
        for row in (0..pattern.size).rev() {
            let above = pattern.diagonal[row] + 1..pattern.row_start[row + 1];
            let terms = self.factors[above.clone()].iter().zip(&pattern.column[above]);
            let sum: f64 = terms.map(|(factor, &column)| factor * self.work[column]).sum();
            self.work[row] = (self.work[row] - sum) / self.factors[pattern.diagonal[row]];
        }
        for (place, &unknown) in pattern.unknown_at.iter().enumerate() {
            right_hand_side[unknown] = self.work[place];
        }
    }
}

/// Elimination order by least degree, and for each eliminated unknown the later unknowns it then touches.
fn eliminate_least_degree(mut neighbours: Vec<BTreeSet<usize>>) -> (Vec<usize>, Vec<Vec<usize>>) {
    let size = neighbours.len();
    let mut by_degree: BTreeSet<(usize, usize)> = (0..size).map(|u| (neighbours[u].len(), u)).collect();
    let mut order = Vec::with_capacity(size);
    let mut filled = Vec::with_capacity(size);
    while let Some((_, unknown)) = by_degree.pop_first() {
        let touched: Vec<usize> = neighbours[unknown].iter().copied().collect();
        for &a in &touched {
            by_degree.remove(&(neighbours[a].len(), a));
            neighbours[a].remove(&unknown);
            for &b in &touched {
                if a != b {
                    neighbours[a].insert(b);
                }
            }
            by_degree.insert((neighbours[a].len(), a));
        }
        neighbours[unknown].clear();
        order.push(unknown);
        filled.push(touched);
    }
    (order, filled)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn it_solves_a_matrix_with_fill_like_a_dense_solver() {
        let size = 12;
        let pairs: Vec<(usize, usize)> = (0..size)
            .flat_map(|i| [(i, (i * 5 + 1) % size), ((i * 7 + 3) % size, i), (i, (i + 1) % size)])
            .collect();
        let mut lu = SparseLu::new(size, pairs.clone());
        let mut dense = nalgebra::DMatrix::<f64>::zeros(size, size);
        for (k, &(r, c)) in pairs.iter().enumerate() {
            let value = 0.3 + 0.1 * k as f64;
            let slot = lu.slot(r, c);
            lu.add(slot, value);
            dense[(r, c)] += value;
        }
        for i in 0..size {
            lu.add_diagonal(i, 30.0);
            dense[(i, i)] += 30.0;
        }
        let mut x: Vec<f64> = (0..size).map(|i| i as f64 - 3.0).collect();
        let reference = dense.lu().solve(&nalgebra::DVector::from_vec(x.clone())).unwrap();
        lu.factor().unwrap();
        lu.solve(&mut x);
        for i in 0..size {
            assert!((x[i] - reference[i]).abs() < 1e-12, "{i}: {} {}", x[i], reference[i]);
        }
    }

    #[test]
    fn a_chain_has_no_fill() {
        let size = 50;
        let lu = SparseLu::new(size, (1..size).map(|i| (i - 1, i)).collect());
        assert_eq!(lu.stored(), 3 * size - 2);
    }

    #[test]
    fn an_isolated_unknown_is_named() {
        let mut lu = SparseLu::new(3, vec![(0, 1), (1, 0)]);
        lu.add_diagonal(0, 2.0);
        lu.add_diagonal(1, 2.0);
        assert_eq!(lu.factor(), Err(VanishingPivot { unknown: 2 }));
    }
}
