//! Numbers for cells, runs and flows, from the order of the parts in their circuits.

use super::wiring::stream_stencil;
use crate::circuit::{Ends, Entry, Series};
use crate::electric::{Electric, Numbering};
use crate::ids::{CircuitId, ElementId};
use crate::network::{Course, Inlet, Network, Placed, Run, RunEntry, Stream};
use crate::parts::Parts;
use crate::sparse::SparseLu;
use crate::stencil::Stencil;
use thiserror::Error;

/// Why a network cannot be built.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum BuildError {
    /// An element stands in no circuit, or in two places.
    #[error("element {0:?} must stand in exactly one place")]
    ElementPlace(ElementId),
    /// A branch or a circuit without an element.
    #[error("circuit {0:?} has an empty branch")]
    EmptyBranch(CircuitId),
    /// An element without a cell.
    #[error("element {0:?} has no cell")]
    NoCell(ElementId),
}

/// Parts whose cells and runs get their numbers.
pub(super) struct Layout {
    parts: Parts,
    placed: Vec<Option<Placed>>,
    courses: Vec<Course>,
    /// (circuit, from, to, run)
    joints: Vec<(usize, usize, usize, usize)>,
    splits: Vec<(usize, usize, usize, Vec<usize>)>,
    temperatures: usize,
}

impl Layout {
    pub(super) fn of(parts: Parts) -> Result<Self, BuildError> {
        for (index, element) in parts.elements.iter().enumerate() {
            if element.cells.is_empty() {
                return Err(BuildError::NoCell(ElementId(index)));
            }
        }
        let temperatures = parts.components.len();
        let placed = vec![None; parts.elements.len()];
        let mut layout =
            Self { parts, placed, courses: Vec::new(), joints: Vec::new(), splits: Vec::new(), temperatures };
        for circuit in 0..layout.parts.circuits.len() {
            layout.lay_out(circuit)?;
        }
        if let Some(index) = layout.placed.iter().position(Option::is_none) {
            return Err(BuildError::ElementPlace(ElementId(index)));
        }
        Ok(layout)
    }

    fn new_cell(&mut self) -> usize {
        self.temperatures += 1;
        self.temperatures - 1
    }

    /// Gives every cell of a circuit its number and notes which cells are joined by which flow.
    fn lay_out(&mut self, circuit: usize) -> Result<(), BuildError> {
        let course = std::mem::take(&mut self.parts.circuits[circuit].course);
        let is_open = matches!(self.parts.circuits[circuit].ends, Ends::Open { .. });
        let inlet = is_open.then(|| self.new_cell());
        self.courses.push(Course {
            runs: vec![Run::default()],
            elements: Vec::new(),
            last_cell: 0,
            splits: Vec::new(),
            inlet: None,
        });
        let (first, last) = self.lay_out_run(circuit, 0, &course, inlet)?;
        self.courses[circuit].last_cell = last;
        match inlet {
            Some(cell) => {
                // stencils of the inlet are made when the unknowns are counted
                self.courses[circuit].inlet = Some(Inlet {
                    cell,
                    outside: 0,
                    from_outside: Stencil::default(),
                    from_exhaust: Stencil::default(),
                    to_outside: Stencil::default(),
                });
            }
            None => self.joints.push((circuit, last, first, 0)),
        }
        self.parts.circuits[circuit].course = course;
        Ok(())
    }

    /// Lays out one run behind the cell `before`; returns its first and last cell.
    fn lay_out_run(
        &mut self,
        circuit: usize,
        run: usize,
        series: &Series,
        before: Option<usize>,
    ) -> Result<(usize, usize), BuildError> {
        let mut previous = before;
        let mut first = None;
        for entry in &series.0 {
            let (entry_first, entry_last) = match entry {
                Entry::Element(id) => self.place_element(circuit, run, *id, previous)?,
                Entry::Parallel(branches) => self.lay_out_branches(circuit, run, branches, previous)?,
            };
            first = first.or(Some(entry_first));
            previous = Some(entry_last);
        }
        match (first, previous) {
            (Some(first), Some(last)) => Ok((first, last)),
            _ => Err(BuildError::EmptyBranch(CircuitId(circuit))),
        }
    }

    fn place_element(
        &mut self,
        circuit: usize,
        run: usize,
        id: ElementId,
        previous: Option<usize>,
    ) -> Result<(usize, usize), BuildError> {
        if self.placed.get(id.0).is_none_or(Option::is_some) {
            return Err(BuildError::ElementPlace(id));
        }
        let cells: Vec<usize> = (0..self.parts.elements[id.0].cells.len()).map(|_| self.new_cell()).collect();
        if let Some(previous) = previous {
            self.joints.push((circuit, previous, cells[0], run));
        }
        for pair in cells.windows(2) {
            self.joints.push((circuit, pair[0], pair[1], run));
        }
        let (first, last) = (cells[0], cells[cells.len() - 1]);
        self.placed[id.0] = Some(Placed {
            circuit,
            run,
            cells,
            before: usize::MAX,
            after: usize::MAX,
            sensed: usize::MAX,
            stencils: [Stencil::default(), Stencil::default()],
        });
        self.courses[circuit].elements.push(id.0);
        self.courses[circuit].runs[run].entries.push(RunEntry::Element(id.0));
        Ok((first, last))
    }

    fn lay_out_branches(
        &mut self,
        circuit: usize,
        run: usize,
        branches: &[Series],
        previous: Option<usize>,
    ) -> Result<(usize, usize), BuildError> {
        if branches.is_empty() {
            return Err(BuildError::EmptyBranch(CircuitId(circuit)));
        }
        let (split, merge) = (self.new_cell(), self.new_cell());
        if let Some(previous) = previous {
            self.joints.push((circuit, previous, split, run));
        }
        let mut branch_runs = Vec::with_capacity(branches.len());
        for branch in branches {
            let number = self.courses[circuit].runs.len();
            self.courses[circuit].runs.push(Run::default());
            branch_runs.push(number);
            let (_, last) = self.lay_out_run(circuit, number, branch, Some(split))?;
            self.joints.push((circuit, last, merge, number));
        }
        self.courses[circuit].runs[run].entries.push(RunEntry::Parallel(branch_runs.clone()));
        self.splits.push((circuit, run, branch_runs[0], branch_runs));
        Ok((split, merge))
    }

    /// The network, beside one of the same parts if there is one.
    pub(super) fn finish(mut self, like: Option<&Network>) -> Network {
        let mut next = self.temperatures;
        for course in &mut self.courses {
            for run in &mut course.runs {
                run.flow = next;
                next += 1;
            }
            assign_rows(course);
        }
        let electric_start = next;
        let parts = std::mem::take(&mut self.parts);
        next += parts.electric.as_ref().map_or(0, Electric::unknowns);
        let unknowns = next;
        let placed: Vec<Placed> = std::mem::take(&mut self.placed).into_iter().flatten().collect();
        let mut network = Network {
            components: parts.components,
            links: Vec::new(),
            elements: parts.elements,
            placed,
            circuits: parts.circuits,
            courses: std::mem::take(&mut self.courses),
            streams: Vec::new(),
            walls: Vec::new(),
            casings: Vec::new(),
            exchangers: Vec::new(),
            sources: Vec::new(),
            electric: None,
            cell_volumes: Vec::new(),
            unknowns,
            temperatures: self.temperatures,
            boundaries: parts.boundaries,
            lu: SparseLu::empty(),
        };
        self.connect_cells(&mut network);
        for (circuit, run, first, branches) in &self.splits {
            let course = &mut network.courses[*circuit];
            let flows = branches.iter().map(|&b| course.runs[b].flow).collect();
            course.splits.push((course.runs[*first].flow, course.runs[*run].flow, flows));
        }
        let electric = parts.electric.map(|spec| {
            let numbering = Numbering {
                unknowns,
                elements: network.elements.len(),
                unknown_of: &|node| network.unknown_of(node),
            };
            Electric::new(spec, electric_start, &numbering)
        });
        network.electric = electric;
        network.connect_elements();
        network.connect_links(parts.links);
        network.connect_exchangers(parts.exchangers);
        network.connect_sources(parts.sources);
        network.bind(like);
        network
    }

    fn connect_cells(&self, network: &mut Network) {
        let n = network.unknowns;
        let mut starting_at = vec![None; network.temperatures];
        let mut ending_at = vec![None; network.temperatures];
        for (index, placed) in network.placed.iter().enumerate() {
            starting_at[placed.cells[0]] = Some(index);
            ending_at[placed.cells[placed.cells.len() - 1]] = Some(index);
        }
        for &(circuit, from, to, run) in &self.joints {
            let flow = network.courses[circuit].runs[run].flow;
            network.streams.push(Stream { circuit, stencil: stream_stencil(from, to, flow, n) });
            if let Some(index) = starting_at[to] {
                network.placed[index].before = from;
            }
            if let Some(index) = ending_at[from] {
                network.placed[index].after = to;
            }
        }
        for (course, circuit) in network.courses.iter_mut().zip(&network.circuits) {
            let Ends::Open { outside, .. } = circuit.ends else { continue };
            let (flow, last) = (course.runs[0].flow, course.last_cell);
            let Some(inlet) = &mut course.inlet else { continue };
            inlet.outside = n + outside.0;
            inlet.from_outside = stream_stencil(inlet.outside, inlet.cell, flow, n);
            inlet.from_exhaust = stream_stencil(last, inlet.cell, flow, n);
            inlet.to_outside = stream_stencil(last, inlet.outside, flow, n);
            if let Some(index) = ending_at[last] {
                network.placed[index].after = inlet.outside;
            }
        }
    }
}

/// The pressure loss of a run enters the row of the trunk with a minus (net driving pressure), and the rows that
/// equate the branches of a parallel group with the first of them.
fn assign_rows(course: &mut Course) {
    let trunk_row = course.runs[0].flow;
    let mut rows: Vec<Vec<(usize, f64)>> = vec![Vec::new(); course.runs.len()];
    rows[0].push((trunk_row, -1.0));
    // parents come before their branches
    for run in 0..course.runs.len() {
        let entries = course.runs[run].entries.clone();
        for entry in entries {
            let RunEntry::Parallel(branches) = entry else { continue };
            let inherited = rows[run].clone();
            rows[branches[0]].extend(inherited);
            for &branch in &branches[1..] {
                let row = course.runs[branch].flow;
                rows[branch].push((row, -1.0));
                rows[branches[0]].push((row, 1.0));
            }
        }
    }
    for (run, rows) in course.runs.iter_mut().zip(rows) {
        run.rows = rows;
    }
}
