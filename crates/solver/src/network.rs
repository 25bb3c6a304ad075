//! The builder of a network and its compiled, numbered form.

use crate::circuit::{Casing, Circuit, Element, Ends, Entry, Series};
use crate::electric::{Electric, ElectricSpec};
use crate::film_law::TransferLaw;
use crate::ids::{BoundaryId, CircuitId, ComponentId, ElementId, ExchangerId, LinkId, Node, SourceId};
use crate::link::LinkLaw;
use crate::pieces::Arrangement;
use crate::signal::Signal;
use crate::sparse::SparseLu;
use crate::stencil::{Column, Stencil, Target};
use thiserror::Error;

/// A component: a lumped temperature.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Component {
    /// Heat capacity, J/K; zero for a massless one.
    pub capacity_j_k: f64,
    /// Temperature from which the model says nothing about it, K; infinite for one without such an end.
    pub ceiling_k: f64,
}

/// A core or a liquid-to-liquid exchanger.
#[derive(Clone, Debug)]
pub struct Exchanger {
    /// Element and cell of the first side.
    pub first: (ElementId, usize),
    /// Element and cell of the second side.
    pub second: (ElementId, usize),
    /// Conductance between the flows.
    pub law: TransferLaw,
    /// How the flows pass each other.
    pub arrangement: Arrangement,
    /// Conductance that is left when a side rests, W/K.
    pub resting_w_k: f64,
}

/// A heat source in a component: `heat (1 + slope (T - reference))`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Source {
    /// Component that is heated.
    pub into: ComponentId,
    /// Heat at the reference temperature, W.
    pub heat_w: f64,
    /// Relative growth with the component's own temperature, 1/K.
    pub slope_1_k: f64,
    /// Reference temperature, K.
    pub reference_k: f64,
}

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

/// Collects the parts of a network.
#[derive(Clone, Debug, Default)]
pub struct Builder {
    components: Vec<Component>,
    boundaries: Vec<f64>,
    links: Vec<(Node, Node, LinkLaw)>,
    elements: Vec<Element>,
    circuits: Vec<Circuit>,
    exchangers: Vec<Exchanger>,
    sources: Vec<Source>,
    electric: Option<ElectricSpec>,
}

impl Builder {
    /// An empty network.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a component.
    pub fn component(&mut self, capacity_j_k: f64) -> ComponentId {
        self.components.push(Component { capacity_j_k, ceiling_k: f64::INFINITY });
        ComponentId(self.components.len() - 1)
    }

    /// Sets the temperature from which the model says nothing about a component, K: a state there is no result.
    pub fn set_ceiling(&mut self, component: ComponentId, ceiling_k: f64) {
        self.components[component.0].ceiling_k = ceiling_k;
    }

    /// Adds a fixed temperature, K.
    pub fn boundary(&mut self, temperature_k: f64) -> BoundaryId {
        self.boundaries.push(temperature_k);
        BoundaryId(self.boundaries.len() - 1)
    }

    /// Adds a link; heat counts positive from the first to the second node.
    pub fn link(&mut self, first: Node, second: Node, law: LinkLaw) -> LinkId {
        self.links.push((first, second, law));
        LinkId(self.links.len() - 1)
    }

    /// Adds an element, to be placed in a circuit.
    pub fn element(&mut self, element: Element) -> ElementId {
        self.elements.push(element);
        ElementId(self.elements.len() - 1)
    }

    /// Sets the speed or opening of an element that was added before its sensor was known.
    pub fn set_signal(&mut self, element: ElementId, signal: Signal) {
        self.elements[element.0].signal = signal;
    }

    /// Sets the casing of a machine that was added before its surroundings were known.
    pub fn set_casing(&mut self, element: ElementId, casing: Casing) {
        self.elements[element.0].casing = Some(casing);
    }

    /// Adds a circuit of elements.
    pub fn circuit(&mut self, circuit: Circuit) -> CircuitId {
        self.circuits.push(circuit);
        CircuitId(self.circuits.len() - 1)
    }

    /// Adds an exchanger between two cells.
    pub fn exchanger(&mut self, exchanger: Exchanger) -> ExchangerId {
        self.exchangers.push(exchanger);
        ExchangerId(self.exchangers.len() - 1)
    }

    /// Adds a heat source in a component.
    pub fn source(&mut self, source: Source) -> SourceId {
        self.sources.push(source);
        SourceId(self.sources.len() - 1)
    }

    /// Sets the electric drive: motors, gearbox, pack.
    pub fn electric(&mut self, electric: ElectricSpec) {
        self.electric = Some(electric);
    }

    /// Numbers the unknowns and analyses the pattern of the equations.
    ///
    /// # Errors
    /// [`BuildError`] for an element that is misplaced or empty.
    pub fn build(self) -> Result<Network, BuildError> {
        self.build_like(None)
    }

    /// The same beside a network of the same parts with other numbers, whose analysis is taken over. Any other network does no
    /// harm.
    ///
    /// # Errors
    /// As [`Builder::build`].
    pub fn build_like(self, like: Option<&Network>) -> Result<Network, BuildError> {
        Ok(Compiler::new(self)?.finish(like))
    }
}

/// Where an element stands among the unknowns.
#[derive(Clone, Debug)]
pub(crate) struct Placed {
    pub(crate) circuit: usize,
    pub(crate) run: usize,
    /// Unknowns of its cells, in flow order.
    pub(crate) cells: Vec<usize>,
    /// Unknown on the inlet side of the first cell.
    pub(crate) before: usize,
    /// Unknown on the outlet side of the last cell.
    pub(crate) after: usize,
    /// Unknown (or boundary) of the sensed temperature.
    pub(crate) sensed: usize,
    /// Stencils for forward and for reversed flow.
    pub(crate) stencils: [Stencil; 2],
}

/// A chain of elements between two junctions: one flow.
#[derive(Clone, Debug, Default)]
pub(crate) struct Run {
    pub(crate) entries: Vec<RunEntry>,
    /// Unknown that holds the mass flow.
    pub(crate) flow: usize,
    /// Rows that the pressure loss of this run enters, with sign.
    pub(crate) rows: Vec<(usize, f64)>,
}

#[derive(Clone, Debug)]
pub(crate) enum RunEntry {
    Element(usize),
    Parallel(Vec<usize>),
}

/// Numbered form of a circuit.
#[derive(Clone, Debug)]
pub(crate) struct Course {
    /// Runs; the first is the trunk.
    pub(crate) runs: Vec<Run>,
    /// Elements in the order of flow.
    pub(crate) elements: Vec<usize>,
    /// Unknown of the first and the last cell of the trunk.
    pub(crate) last_cell: usize,
    /// Balance of mass at the head of each parallel group: row, parent flow, branch flows.
    pub(crate) splits: Vec<(usize, usize, Vec<usize>)>,
    /// Inlet cell of an open circuit.
    pub(crate) inlet: Option<Inlet>,
}

#[derive(Clone, Debug)]
pub(crate) struct Inlet {
    pub(crate) cell: usize,
    pub(crate) outside: usize,
    pub(crate) from_outside: Stencil,
    pub(crate) from_exhaust: Stencil,
    pub(crate) to_outside: Stencil,
}

#[derive(Clone, Debug)]
pub(crate) struct Stream {
    pub(crate) circuit: usize,
    pub(crate) stencil: Stencil,
}

#[derive(Clone, Debug)]
pub(crate) struct WallPlace {
    pub(crate) element: usize,
    pub(crate) cell: usize,
    pub(crate) resting_w_k: f64,
    /// Unknown of the mass flow.
    pub(crate) flow: usize,
    pub(crate) stencils: [Stencil; 2],
}

/// Where the casing of a machine stands among the unknowns.
#[derive(Clone, Debug)]
pub(crate) struct CasingPlace {
    pub(crate) element: usize,
    pub(crate) conductance_w_k: f64,
    /// Unknown (or boundary) that surrounds the machine.
    pub(crate) place: usize,
    pub(crate) stencil: Stencil,
}

#[derive(Clone, Debug)]
pub(crate) struct ExchangerPlace {
    pub(crate) flows: [usize; 2],
    pub(crate) circuits: [usize; 2],
    /// Index: bit 0 set if the first flow is reversed, bit 1 for the second.
    pub(crate) stencils: [Stencil; 4],
}

/// A numbered network, ready to be solved.
#[derive(Clone, Debug)]
pub struct Network {
    pub(crate) components: Vec<Component>,
    pub(crate) links: Vec<(LinkLaw, Stencil, [usize; 2])>,
    pub(crate) elements: Vec<Element>,
    pub(crate) placed: Vec<Placed>,
    pub(crate) circuits: Vec<Circuit>,
    pub(crate) courses: Vec<Course>,
    pub(crate) streams: Vec<Stream>,
    pub(crate) walls: Vec<WallPlace>,
    pub(crate) casings: Vec<CasingPlace>,
    pub(crate) exchangers: Vec<(Exchanger, ExchangerPlace)>,
    pub(crate) sources: Vec<(Source, Stencil)>,
    pub(crate) electric: Option<Electric>,
    /// Fluid volume and circuit of each cell that has one, by unknown.
    pub(crate) cell_volumes: Vec<(usize, usize, f64)>,
    /// Number of unknowns; boundaries follow in the state vector.
    pub(crate) unknowns: usize,
    /// Number of temperatures among the unknowns; flows and electrical unknowns follow.
    pub(crate) temperatures: usize,
    pub(crate) boundaries: Vec<f64>,
    pub(crate) lu: SparseLu,
}

impl Network {
    /// An element by its number.
    pub fn element(&self, id: ElementId) -> &Element {
        &self.elements[id.0]
    }

    /// Number of unknowns.
    pub fn unknowns(&self) -> usize {
        self.unknowns
    }

    /// Entries stored in the factors, fill included.
    pub fn stored_entries(&self) -> usize {
        self.lu.stored()
    }

    pub(crate) fn unknown_of(&self, node: Node) -> usize {
        match node {
            Node::Component(id) => id.0,
            Node::Boundary(id) => self.unknowns + id.0,
            Node::Cell(element, cell) => self.placed[element.0].cells[cell],
        }
    }
}

/// Weight of the mass balance rows, which are in kg/s among rows in W and Pa.
pub(crate) const SPLIT_WEIGHT: f64 = 1e6;

struct Compiler {
    parts: Builder,
    placed: Vec<Option<Placed>>,
    courses: Vec<Course>,
    /// (circuit, from, to, run)
    joints: Vec<(usize, usize, usize, usize)>,
    splits: Vec<(usize, usize, usize, Vec<usize>)>,
    temperatures: usize,
}

impl Compiler {
    fn new(parts: Builder) -> Result<Self, BuildError> {
        for (index, element) in parts.elements.iter().enumerate() {
            if element.cells.is_empty() {
                return Err(BuildError::NoCell(ElementId(index)));
            }
        }
        let temperatures = parts.components.len();
        let placed = vec![None; parts.elements.len()];
        let mut compiler =
            Self { parts, placed, courses: Vec::new(), joints: Vec::new(), splits: Vec::new(), temperatures };
        for circuit in 0..compiler.parts.circuits.len() {
            compiler.lay_out(circuit)?;
        }
        if let Some(index) = compiler.placed.iter().position(Option::is_none) {
            return Err(BuildError::ElementPlace(ElementId(index)));
        }
        Ok(compiler)
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

    fn finish(mut self, like: Option<&Network>) -> Network {
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
        let electric = parts.electric.map(|spec| Electric::new(spec, electric_start, &network));
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

fn stream_stencil(from: usize, to: usize, flow: usize, unknowns: usize) -> Stencil {
    Stencil::new(
        vec![column(0, from), column(1, to), column(2, flow)],
        vec![Target { output: 0, row: from, weight: -1.0 }, Target { output: 0, row: to, weight: 1.0 }],
        unknowns,
    )
}

fn column(lane: usize, unknown: usize) -> Column {
    Column { lane, unknown, weight: 1.0 }
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

impl Network {
    fn connect_elements(&mut self) {
        let n = self.unknowns;
        for index in 0..self.elements.len() {
            let element = &self.elements[index];
            let sensed = match element.signal.sensor() {
                Some(node) => self.unknown_of(node),
                None => self.placed[index].cells[0],
            };
            let has_sensor = element.signal.sensor().is_some();
            let placed = &self.placed[index];
            let run = &self.courses[placed.circuit].runs[placed.run];
            let (first, last) = (placed.cells[0], placed.cells[placed.cells.len() - 1]);
            let share = 1.0 / placed.cells.len() as f64;
            let power_row = self.electric.as_ref().map(|electric| electric.power_row(index));
            let is_machine = element.law.machine().is_some();
            let stencil = |upstream: usize, downstream: usize| {
                let mut columns = vec![column(0, run.flow)];
                if is_machine {
                    columns.push(column(1, downstream));
                } else {
                    columns.push(Column { lane: 1, unknown: upstream, weight: 0.5 });
                    columns.push(Column { lane: 1, unknown: downstream, weight: 0.5 });
                }
                if has_sensor {
                    columns.push(column(2, sensed));
                }
                let mut targets: Vec<Target> = run
                    .rows
                    .iter()
                    .map(|&(row, weight)| Target { output: crate::pieces::element_output::DROP, row, weight })
                    .collect();
                for &cell in &placed.cells {
                    targets.push(Target {
                        output: crate::pieces::element_output::HEAT,
                        row: cell,
                        weight: share,
                    });
                }
                if let (Some(row), Some(_)) = (power_row, element.law.machine()) {
                    targets.push(Target { output: crate::pieces::element_output::POWER, row, weight: 1.0 });
                }
                Stencil::new(columns, targets, n)
            };
            let stencils = [stencil(placed.before, last), stencil(placed.after, first)];
            let flow = run.flow;
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

    fn wall_place(&self, element: usize, cell: usize, flow: usize) -> WallPlace {
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

    fn connect_links(&mut self, links: Vec<(Node, Node, LinkLaw)>) {
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

    fn connect_exchangers(&mut self, exchangers: Vec<Exchanger>) {
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

    fn connect_sources(&mut self, sources: Vec<Source>) {
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
    fn bind(&mut self, like: Option<&Self>) {
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

    fn stencils(&self) -> impl Iterator<Item = &Stencil> {
        let inlets = self.courses.iter().filter_map(|c| c.inlet.as_ref());
        (self.links.iter().map(|l| &l.1))
            .chain(self.placed.iter().flat_map(|p| &p.stencils))
            .chain(self.streams.iter().map(|s| &s.stencil))
            .chain(self.walls.iter().flat_map(|w| &w.stencils))
            .chain(self.casings.iter().map(|c| &c.stencil))
            .chain(self.exchangers.iter().flat_map(|e| &e.1.stencils))
            .chain(self.sources.iter().map(|s| &s.1))
            .chain(inlets.flat_map(|i| [&i.from_outside, &i.from_exhaust, &i.to_outside]))
            .chain(self.electric.iter().flat_map(Electric::stencils))
    }

    fn stencils_mut(&mut self) -> impl Iterator<Item = &mut Stencil> {
        let inlets = self.courses.iter_mut().filter_map(|c| c.inlet.as_mut());
        (self.links.iter_mut().map(|l| &mut l.1))
            .chain(self.placed.iter_mut().flat_map(|p| &mut p.stencils))
            .chain(self.streams.iter_mut().map(|s| &mut s.stencil))
            .chain(self.walls.iter_mut().flat_map(|w| &mut w.stencils))
            .chain(self.casings.iter_mut().map(|c| &mut c.stencil))
            .chain(self.exchangers.iter_mut().flat_map(|e| &mut e.1.stencils))
            .chain(self.sources.iter_mut().map(|s| &mut s.1))
            .chain(inlets.flat_map(|i| [&mut i.from_outside, &mut i.from_exhaust, &mut i.to_outside]))
            .chain(self.electric.iter_mut().flat_map(Electric::stencils_mut))
    }
}

/// Temperature at which the conductance of a resting fluid is taken, K.
pub(crate) const REFERENCE_K: f64 = 323.15;
