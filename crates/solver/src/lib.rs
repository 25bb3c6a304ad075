//! Numbered network of flows and temperatures: steady states and their heat ledger.
//!
//! # Conventions
//! SI throughout, the unit in the name. Flow is positive from the inlet to the outlet of an element, heat positive
//! into the fluid, pressure absolute unless a name says `gauge`, link heat positive from the first to the second node.
//!
//! # Invariant
//! No names, no units, no I/O, no clock, no threads, no random numbers: the same input gives the same bits. Set-up
//! takes memory, solving does not (the rare failure analysis excepted).
//!
//! # Parts
//! [`Builder`] collects components, links, circuits, exchangers, sources and the electric drive and numbers them into a
//! [`Network`]; [`SteadySolver`] finds its stable state, [`Transient`] follows it over time; [`Reading`] reads either back in
//! the builder's numbers.

mod assemble;
mod blend;
mod builder;
mod charging;
mod circuit;
mod collector;
mod compact;
mod displacement;
mod electric;
mod electric_balance;
mod failure;
mod film_law;
mod flow_law;
mod fluid;
mod hydraulics;
mod ids;
mod ledger;
mod limit_cycle;
mod link;
mod machine;
mod measured;
mod mix;
mod nearby;
mod network;
mod parts;
mod passage;
mod pieces;
mod power_path;
mod pump_head;
mod reading;
mod relief;
mod signal;
mod sparse;
mod stability;
mod steady;
mod stencil;
mod tally;
mod transient;
mod validity;

pub use builder::{BuildError, Builder};
pub use circuit::{Casing, Cell, Circuit, Element, Ends, Entry, Series, Wall};
pub use compact::{CompactSide, FinForm};
pub use displacement::Displacement;
pub use electric::{
    ActiveCharge, BusFeed, CellGroup, ChargerOnBoard, Drive, DriveNodes, DrivePoint, DriveReading,
    DriveStage, ElectricReading, ElectricSpec, Gear, GearReading, GroupReading, PackCells,
};
pub use failure::{Failure, Unknown, Worst};
pub use film_law::{FilmLaw, Side, TransferLaw};
pub use flow_law::FlowLaw;
pub use fluid::Fluid;
pub use hydraulics::FlowCount;
pub use ids::{BoundaryId, CircuitId, ComponentId, DriveId, ElementId, ExchangerId, LinkId, Node, SourceId};
pub use ledger::{Booked, Booking, Ledger};
pub use limit_cycle::{LimitCycle, Swing, SwingInstant};
pub use link::{LinkLaw, StillSurface, WashedSurface};
pub use machine::{Held, MIN_POWER_SHARE, Machine, MachinePower, RisingCurve};
pub use measured::{
    Carried, MapError, MeasuredFilm, MeasuredFilmLaw, MeasuredMap, Reference, ReratedLoss, STAGNANT_SHARE,
};
pub use nearby::Nearby;
pub use network::Network;
pub use parts::{Arrangement, Component, Exchanger, HeatSource};
pub use passage::{Passage, TubeState};
pub use power_path::{Conductor, ConductorReading, Converter, ConverterReading};
pub use reading::{ElementReading, ExchangerReading, LinkReading, Reading, WallReading};
pub use relief::Relief;
pub use signal::Signal;
pub use steady::{Solution, Statistics, SteadyOptions, SteadySolver};
pub use transient::{
    Direction, Ended, HeatOverTime, SOFT_CAPACITY_J_K, Step, Stretch, Switching, Transient, TransientOptions,
    TransientStatistics, Watch, Watched, Wish,
};
