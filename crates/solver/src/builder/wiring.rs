//! Which unknowns feed each piece of the network, and which equations receive what it gives.

use crate::ids::{ElementId, Node};
use crate::link::LinkLaw;
use crate::network::{CasingPlace, ExchangerPlace, Network, REFERENCE_K, WallPlace};
use crate::parts::{Exchanger, HeatSource};
use crate::pieces::element_output;
use crate::sparse::SparseLu;
use crate::stencil::{Column, Stencil, Target};

pub(super) fn stream_stencil(from: usize, to: usize, flow: usize, unknowns: usize) -> Stencil {
    Stencil::new(
        vec![column(0, from), column(1, to), column(2, flow)],
        vec![Target { output: 0, row: from, weight: -1.0 }, Target { output: 0, row: to, weight: 1.0 }],
        unknowns,
    )
}

fn column(lane: usize, unknown: usize) -> Column {
    Column { lane, unknown, weight: 1.0 }
}

impl Network {
    pub(super) fn connect_elements(&mut self) {
        let n = self.unknowns;
        for index in 0..self.elements.len() {
            let element = &self.elements[index];
            let sensed = match element.signal.sensor() {
                Some(node) => self.unknown_of(node),
                None => self.placed[index].cells[0],
            };
            let placed = &self.placed[index];
            let flow = self.courses[placed.circuit].runs[placed.run].flow;
            let (first, last) = (placed.cells[0], placed.cells[placed.cells.len() - 1]);
            let stencils = [
                self.element_stencil(index, sensed, (placed.before, last)),
                self.element_stencil(index, sensed, (placed.after, first)),
            ];
            for (cell, spec) in self.elements[index].cells.iter().enumerate() {
                self.cell_volumes.push((
                    self.placed[index].cells[cell],
                    self.placed[index].circuit,
                    spec.volume_m3,
                ));
                if spec.wall.is_some() {
                    self.walls.push(self.wall_place(index, cell, flow));
                }
            }
            if let Some(casing) = self.elements[index].casing {
                let place = self.unknown_of(casing.place);
                self.casings.push(CasingPlace {
                    element: index,
                    conductance_w_k: casing.conductance_w_k,
                    place,
                    stencil: stream_stencil(last, place, flow, n),
                });
            }
            self.placed[index].sensed = sensed;
            self.placed[index].stencils = stencils;
        }
    }

    /// An element whose fluid goes from one temperature to another.
    fn element_stencil(
        &self,
        index: usize,
        sensed: usize,
        (upstream, downstream): (usize, usize),
    ) -> Stencil {
        let (element, placed) = (&self.elements[index], &self.placed[index]);
        let run = &self.courses[placed.circuit].runs[placed.run];
        let is_machine = element.law.machine().is_some();
        let mut columns = vec![column(0, run.flow)];
        if is_machine {
            columns.push(column(1, downstream));
        } else {
            columns.push(Column { lane: 1, unknown: upstream, weight: 0.5 });
            columns.push(Column { lane: 1, unknown: downstream, weight: 0.5 });
        }
        if element.signal.sensor().is_some() {
            columns.push(column(2, sensed));
        }
        let drop = |&(row, weight): &(usize, f64)| Target { output: element_output::DROP, row, weight };
        let mut targets: Vec<Target> = run.rows.iter().map(drop).collect();
        let share = 1.0 / placed.cells.len() as f64;
        for &cell in &placed.cells {
            targets.push(Target { output: element_output::HEAT, row: cell, weight: share });
        }
        if let (Some(electric), true) = (&self.electric, is_machine) {
            let row = electric.power_row(index);
            targets.push(Target { output: element_output::POWER, row, weight: 1.0 });
        }
        Stencil::new(columns, targets, self.unknowns)
    }

    pub(super) fn wall_place(&self, element: usize, cell: usize, flow: usize) -> WallPlace {
        let placed = &self.placed[element];
        let spec = &self.elements[element].cells[cell];
        let wall = spec.wall.as_ref().expect("only called for cells with a wall");
        let fluid = &self.circuits[placed.circuit].fluid;
        let node = self.unknown_of(wall.node);
        let before = if cell == 0 { placed.before } else { placed.cells[cell - 1] };
        let after = if cell + 1 == placed.cells.len() { placed.after } else { placed.cells[cell + 1] };
        let stencil = |upstream: usize| {
            Stencil::new(
                vec![column(0, node), column(1, upstream), column(2, placed.cells[cell]), column(3, flow)],
                vec![
                    Target { output: 0, row: node, weight: -1.0 },
                    Target { output: 0, row: placed.cells[cell], weight: 1.0 },
                ],
                self.unknowns,
            )
        };
        WallPlace {
            element,
            cell,
            resting_w_k: wall.film.at_rest(fluid, REFERENCE_K),
            flow,
            stencils: [stencil(before), stencil(after)],
        }
    }

    pub(super) fn connect_links(&mut self, links: Vec<(Node, Node, LinkLaw)>) {
        for (first, second, law) in links {
            let (a, b) = (self.unknown_of(first), self.unknown_of(second));
            let stencil = Stencil::new(
                vec![column(0, a), column(1, b)],
                vec![Target { output: 0, row: a, weight: -1.0 }, Target { output: 0, row: b, weight: 1.0 }],
                self.unknowns,
            );
            self.links.push((law, stencil, [a, b]));
        }
    }

    pub(super) fn connect_exchangers(&mut self, exchangers: Vec<Exchanger>) {
        for exchanger in exchangers {
            let side = |(element, cell): (ElementId, usize)| {
                let placed = &self.placed[element.0];
                let before = if cell == 0 { placed.before } else { placed.cells[cell - 1] };
                let after =
                    if cell + 1 == placed.cells.len() { placed.after } else { placed.cells[cell + 1] };
                (
                    placed.cells[cell],
                    [before, after],
                    self.courses[placed.circuit].runs[placed.run].flow,
                    placed.circuit,
                )
            };
            let (cell_1, beside_1, flow_1, circuit_1) = side(exchanger.first);
            let (cell_2, beside_2, flow_2, circuit_2) = side(exchanger.second);
            let stencils = std::array::from_fn(|case| {
                Stencil::new(
                    vec![
                        column(0, beside_1[case & 1]),
                        column(1, cell_1),
                        column(2, flow_1),
                        column(3, beside_2[case >> 1]),
                        column(4, cell_2),
                        column(5, flow_2),
                    ],
                    vec![
                        Target { output: 0, row: cell_1, weight: -1.0 },
                        Target { output: 0, row: cell_2, weight: 1.0 },
                    ],
                    self.unknowns,
                )
            });
            let place =
                ExchangerPlace { flows: [flow_1, flow_2], circuits: [circuit_1, circuit_2], stencils };
            self.exchangers.push((exchanger, place));
        }
    }

    pub(super) fn connect_sources(&mut self, sources: Vec<HeatSource>) {
        for source in sources {
            let row = source.into.0;
            let stencil = Stencil::new(
                vec![column(0, row)],
                vec![Target { output: 0, row, weight: 1.0 }],
                self.unknowns,
            );
            self.sources.push((source, stencil));
        }
    }

    /// Fixes the pattern of the matrix and tells every stencil where its entries are.
    pub(super) fn bind(&mut self, like: Option<&Self>) {
        let n = self.unknowns;
        let known = like.map_or(0, |like| like.lu.pairs());
        let mut pattern: Vec<(usize, usize)> = Vec::with_capacity(known);
        for stencil in self.stencils() {
            pattern.extend(stencil.pairs(n));
        }
        for (row, parent, branches) in self.courses.iter().flat_map(|c| &c.splits) {
            pattern.push((*row, *parent));
            pattern.extend(branches.iter().map(|&b| (*row, b)));
        }
        let lu = match like {
            Some(like) => SparseLu::like(&like.lu, n, pattern),
            None => SparseLu::new(n, pattern),
        };
        match like.filter(|like| like.lu.shares_pattern(&lu)) {
            Some(like) => {
                for (stencil, known) in self.stencils_mut().zip(like.stencils()) {
                    if !stencil.bind_like(known) {
                        stencil.bind(&lu, n);
                    }
                }
            }
            None => self.stencils_mut().for_each(|stencil| stencil.bind(&lu, n)),
        }
        self.lu = lu;
    }
}
