//! Typed numbers of the parts of a network, handed out by the builder.

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident),+ $(,)?) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(pub(crate) usize);

        impl $name {
            /// Position in the order in which the builder handed the numbers out.
            pub fn index(self) -> usize {
                self.0
            }
        }
    )+};
}

ids! {
    /// A lumped temperature.
    ComponentId,
    /// A fixed temperature of the surroundings.
    BoundaryId,
    /// A link between two temperatures.
    LinkId,
    /// An element of a circuit.
    ElementId,
    /// A coolant loop or an air duct.
    CircuitId,
    /// A core or a liquid-to-liquid exchanger.
    ExchangerId,
    /// A heat source.
    SourceId,
    /// A motor with its inverter.
    DriveId,
}

/// A temperature that links, walls and sensors refer to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Node {
    /// A component.
    Component(ComponentId),
    /// A fixed temperature.
    Boundary(BoundaryId),
    /// The fluid leaving a cell of an element; cells are counted from 0 in the flow direction.
    Cell(ElementId, usize),
}
