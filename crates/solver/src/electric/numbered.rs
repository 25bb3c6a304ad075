//! The numbered drive: where each piece stands among the unknowns.
//!
//! Four unknowns join the temperatures: power into the gearbox, bus voltage, bus current, state of charge; each converter
//! adds its output power, each stage behind the gearbox the power into it.

use super::charger::{ActiveCharge, ChargerHeatPiece, ChargerPiece};
use super::pieces::GroupPiece;
use super::spec::{BusFeed, ElectricSpec};
use crate::power_path::{ConductorPiece, ConverterPiece, ConverterReading};
use crate::stencil::Stencil;

/// Unknowns of every electric drive: power into the gearbox, bus voltage, bus current, state of charge. The output
/// powers of the converters and the powers into the stages follow.
pub(super) const ELECTRIC_UNKNOWNS: usize = 4;
pub(super) const POWER: usize = 0;
pub(super) const VOLTAGE: usize = 1;
pub(super) const CURRENT: usize = 2;
pub(super) const CHARGE: usize = 3;

/// Numbered form of the electric drive.
#[derive(Clone, Debug)]
pub(crate) struct Electric {
    pub(super) spec: ElectricSpec,
    pub(super) start: usize,
    pub(super) drives: Vec<Stencil>,
    pub(super) gear: Stencil,
    pub(super) stages: Vec<Stencil>,
    pub(super) groups: Vec<Stencil>,
    pub(super) conductors: Vec<Stencil>,
    pub(super) converters: Vec<Stencil>,
    pub(super) bus: Stencil,
    pub(super) charge: Stencil,
    /// Bus current of a charge.
    pub(super) charger: Stencil,
    /// Heat of a charger on board; without lanes if there is none.
    pub(super) charger_heat: Stencil,
    pub(super) active_charge: Option<ActiveCharge>,
    /// Whether the state of charge stays what it is.
    pub(super) is_charge_held: bool,
    /// For each element the row that the power of a pump or fan enters: bus, converter or shaft.
    pub(super) power_rows: Vec<usize>,
}

impl Electric {
    /// How many unknowns a drive adds.
    pub(crate) fn unknowns(spec: &ElectricSpec) -> usize {
        ELECTRIC_UNKNOWNS + spec.converters.len() + spec.stages.len()
    }

    /// Lets the bus current empty and fill the pack, or holds its state of charge.
    pub(crate) fn hold_charge(&mut self, is_held: bool) {
        self.is_charge_held = is_held;
    }

    pub(crate) fn set_active_charge(&mut self, charge: Option<ActiveCharge>) {
        self.active_charge = charge;
    }

    /// The charge that runs, with its stencil.
    pub(crate) fn charger_piece(&self) -> Option<(ChargerPiece<'_>, &Stencil)> {
        let (pack, charge) = (self.spec.feed.pack()?, self.active_charge.as_ref()?);
        Some((ChargerPiece { pack, charge }, &self.charger))
    }

    /// The heat of a charger on board while a charge runs, with its stencil.
    pub(super) fn charger_heat_piece(&self) -> Option<(ChargerHeatPiece, &Stencil)> {
        let (charger, _running) = (self.spec.charger?, self.active_charge.as_ref()?);
        Some((ChargerHeatPiece { charger, other_load_w: self.spec.other_load_w }, &self.charger_heat))
    }

    /// Unknown of the bus current.
    pub(crate) fn current(&self) -> usize {
        self.start + CURRENT
    }

    /// Unknown of the state of charge.
    pub(crate) fn charge(&self) -> usize {
        self.start + CHARGE
    }

    /// Row that the power of a pump or fan enters.
    pub(crate) fn power_row(&self, element: usize) -> usize {
        self.power_rows[element]
    }

    pub(crate) fn stencils(&self) -> impl Iterator<Item = &Stencil> {
        (self.drives.iter())
            .chain([&self.gear, &self.bus, &self.charge, &self.charger, &self.charger_heat])
            .chain(&self.stages)
            .chain(&self.groups)
            .chain(&self.conductors)
            .chain(&self.converters)
    }

    pub(crate) fn stencils_mut(&mut self) -> impl Iterator<Item = &mut Stencil> {
        (self.drives.iter_mut())
            .chain([
                &mut self.gear,
                &mut self.bus,
                &mut self.charge,
                &mut self.charger,
                &mut self.charger_heat,
            ])
            .chain(&mut self.stages)
            .chain(&mut self.groups)
            .chain(&mut self.conductors)
            .chain(&mut self.converters)
    }

    pub(super) fn source_voltage(&self, state: &[f64]) -> f64 {
        match &self.spec.feed {
            BusFeed::Fixed(volts) => *volts,
            BusFeed::Pack(pack) => pack.open_circuit_v(state[self.start + CHARGE]),
        }
    }

    /// Cell groups of the pack with their stencils.
    pub(super) fn group_pieces(&self) -> impl Iterator<Item = (GroupPiece<'_>, &Stencil)> {
        self.spec.feed.pack().into_iter().flat_map(|pack| {
            pack.groups
                .iter()
                .zip(&self.groups)
                .map(move |(group, stencil)| (GroupPiece { pack, group }, stencil))
        })
    }

    /// Conductors of the pack with their stencils.
    pub(super) fn conductor_pieces(&self) -> impl Iterator<Item = (ConductorPiece<'_>, &Stencil)> {
        let conductors = self.spec.feed.pack().map_or(&[][..], |pack| &pack.conductors);
        conductors.iter().map(ConductorPiece).zip(&self.conductors)
    }

    pub(super) fn converter_readings<'a>(
        &'a self,
        state: &'a [f64],
    ) -> impl Iterator<Item = ConverterReading> + 'a {
        self.spec
            .converters
            .iter()
            .zip(&self.converters)
            .map(|(converter, stencil)| ConverterPiece(converter).read(stencil.gather::<1>(state)[0]))
    }
}
