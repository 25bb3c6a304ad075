//! A motor that is out and still turns with the gearbox, and one whose winding or inverter is shorted.

use numerics::{Scalar, constant};

use super::heat::Losses;
use super::state::{GapAir, MotorState};
use super::{Motor, MotorLosses, POWER_ROUNDING_W};
use crate::smooth::magnitude;

/// Losses of a motor that others turn, without current in its winding.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DragHeat<S> {
    /// Stator iron (W).
    pub iron_w: S,
    /// Magnets and rotor, with bearing friction (W).
    pub magnet_w: S,
    /// Windage (W).
    pub windage_w: S,
}

impl<S: Scalar> DragHeat<S> {
    /// All of it (W): over the speed it is the torque that turns the motor.
    pub fn total(&self) -> S {
        self.iron_w + self.magnet_w + self.windage_w
    }
}

/// Current of one winding set whose terminals are joined while the rotor turns.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShortCircuit<S> {
    /// Phase current, root mean square (A).
    pub current_a: S,
    /// Copper loss of the three phases (W); it comes from the shaft.
    pub copper_w: S,
}

impl Motor {
    /// What a motor loses that gives no power and still turns: iron, magnets, bearings and windage at its speed, without torque.
    ///
    /// A machine by its parameters and fixed losses have these parts. A measured map is read at no torque, where no copper loss is
    /// left: all of it is drag, and the share of the copper goes to the iron. An efficiency says nothing about a motor without power:
    /// the parts that are no copper are those of `usual_power_w`, the power it would give if it ran, because they hardly fall with
    /// the torque (judgement on the safe side; no source).
    #[inline]
    pub fn dragged<S: Scalar>(
        &self,
        state: &MotorState<S>,
        air: &GapAir<S>,
        usual_power_w: S,
    ) -> DragHeat<S> {
        let state = MotorState { torque_nm: constant(0.0), active_sets: 0, ..*state };
        let losses = match &self.losses {
            MotorLosses::Machine(machine) => {
                let heat = machine.heat(&state, air, 0);
                return DragHeat { iron_w: heat.iron_w, magnet_w: heat.magnet_w, windage_w: heat.windage_w };
            }
            MotorLosses::Fixed(fixed) => fixed.at(&state, 0.0),
            MotorLosses::Efficiency(law) => {
                let usual_w = magnitude(usual_power_w, POWER_ROUNDING_W);
                Losses::from_split(usual_w * (1.0 / law.efficiency - 1.0), &law.split)
            }
            MotorLosses::Map(map) => {
                let all_w = map.total_loss_w(state.torque_nm, state.speed_rad_s, state.bus_voltage_v);
                let mut losses = Losses::from_split(all_w, map.split());
                losses.iron_w += losses.copper_w;
                losses
            }
        };
        DragHeat { iron_w: losses.iron_w, magnet_w: losses.magnet_w, windage_w: losses.windage_w }
    }

    /// Current and copper loss of one winding set that is shorted, by its own fault or that of its inverter. `None` where the
    /// inductance is not known: then nothing can be said.
    ///
    /// # Formula
    /// ```text
    /// I = E/sqrt(R^2 + (w L)^2)     E = k_t omega/3     w = p omega      P = 3 I^2 R
    /// ```
    /// per phase, root mean square; `R` at the winding and `k_t` at the magnet temperature. Settled: the first swing of a sudden
    /// short reaches up to twice that. All three phases, the resistance of the short left out.
    ///
    /// # Source
    /// Phasor diagram of the non-salient synchronous machine (textbook, from memory); the heat against the braking power in the
    /// tests.
    #[inline]
    pub fn short_circuit<S: Scalar>(&self, state: &MotorState<S>) -> Option<ShortCircuit<S>> {
        let MotorLosses::Machine(machine) = &self.losses else { return None };
        let inductance_h = machine.inductance_h?;
        let back_emf_v = machine.torque_constant.at(state.magnet_k) * state.speed_rad_s / 3.0;
        let resistance_ohm = super::machine::warm(machine, state.winding_k) * machine.phase_resistance_ohm;
        let reactance_ohm = state.speed_rad_s * (f64::from(machine.pole_pairs) * inductance_h);
        let square =
            back_emf_v * back_emf_v / (resistance_ohm * resistance_ohm + reactance_ohm * reactance_ohm);
        let copper_w = square * resistance_ohm * 3.0;
        let current_a = if square.value() > 0.0 { square.sqrt() } else { constant(0.0) };
        Some(ShortCircuit { current_a, copper_w })
    }

    /// Whether the current of a short is known.
    pub fn knows_short_circuit(&self) -> bool {
        matches!(&self.losses, MotorLosses::Machine(machine) if machine.inductance_h.is_some())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::loss::LossSurface;
    use crate::motor::{
        BearingFriction, EfficiencyLosses, FixedLosses, LossSplit, MachineParameters, MotorMap, PhaseCurrent,
        SpeedLoss, Terminals, TorqueConstant, Windage,
    };
    use testkit::assert_close;

    const AIR: GapAir<f64> = GapAir { windage_w: 0.0, density_ratio: 0.8 };
    const SPLIT: LossSplit = LossSplit { copper: 0.6, iron: 0.3, magnet: 0.06, windage: 0.04 };

    fn terminals() -> Terminals {
        let phase_current = PhaseCurrent::Power { modulation_index: 0.9, power_factor: 0.95 };
        Terminals { winding_sets: 1, phase_current }
    }

    fn machine() -> Motor {
        let constant = TorqueConstant {
            nm_per_a_rms: 0.6,
            reference_magnet_k: 293.15,
            magnet_coefficient_per_k: -0.001,
        };
        let mut machine = MachineParameters::new(0.010, 293.15, constant);
        machine.pole_pairs = 8;
        machine.inductance_h = Some(100e-6);
        let law = |reference_w, hysteresis_share| SpeedLoss {
            reference_w,
            reference_speed_rad_s: 600.0,
            hysteresis_share,
            ..SpeedLoss::NONE
        };
        machine.iron = law(800.0, 0.5);
        machine.magnet = law(90.0, 0.0);
        machine.windage =
            Windage::SpeedLaw { reference_w: 45.0, reference_speed_rad_s: 600.0, exponent: 3.0 };
        machine.bearing = Some(BearingFriction { torque_nm: 0.05, viscous_nm_s: 1e-4 });
        Motor::new(MotorLosses::Machine(Box::new(machine))).unwrap()
    }

    fn state(speed_rad_s: f64) -> MotorState<f64> {
        MotorState::new(50.0, speed_rad_s, 400.0, 393.15, 353.15)
    }

    #[test]
    fn the_drag_of_a_machine_by_hand() {
        // at half the reference speed, 300 rad/s: iron 800 (0.5 x 0.5 + 0.5 x 0.25) = 300 W; magnets 90 x 0.25 = 22.5 W;
        // bearing (0.05 + 1e-4 x 300) 300 = 24 W; windage 45 x 0.125 x 0.8 = 4.5 W; together 351 W: 351/300 = 1.17 N m
        let drag = machine().dragged(&state(300.0), &AIR, 0.0);
        assert_close("iron", drag.iron_w, 300.0, 1e-6);
        assert_close("magnets and bearing", drag.magnet_w, 46.5, 1e-6);
        assert_close("windage", drag.windage_w, 4.5, 1e-6);
        assert_close("torque", drag.total() / 300.0, 1.17, 1e-6);
    }

    #[test]
    fn the_other_laws_by_hand() {
        let fixed = FixedLosses {
            copper_w: 900.0,
            iron_w: 400.0,
            magnet_w: 50.0,
            windage_w: 30.0,
            terminals: terminals(),
        };
        let fixed = Motor::new(MotorLosses::Fixed(fixed)).unwrap();
        assert_close("fixed", fixed.dragged(&state(300.0), &AIR, 0.0).total(), 480.0, 1e-9);
        assert_eq!(fixed.dragged(&state(0.0), &AIR, 0.0).total(), 0.0);
        // 47 kW at 94 %: 3000 W, of which 0.3 + 0.06 + 0.04 are no copper: 1200 W
        let law = EfficiencyLosses { efficiency: 0.94, split: SPLIT, terminals: terminals() };
        let efficiency = Motor::new(MotorLosses::Efficiency(law)).unwrap();
        assert_close("efficiency", efficiency.dragged(&state(300.0), &AIR, 47e3).total(), 1200.0, 1e-6);
        // map at no torque and 300 rad/s: half-way between 100 and 500 W; iron takes 0.3 + 0.6
        let surface =
            LossSurface::new(&[0.0, 100.0], &[200.0, 400.0], &[100.0, 500.0, 900.0, 1800.0]).unwrap();
        let map = MotorMap::new(vec![(1.0, surface)], SPLIT, 353.15, 333.15, terminals()).unwrap();
        let drag = Motor::new(MotorLosses::Map(map)).unwrap().dragged(&state(300.0), &AIR, 0.0);
        assert_close("map", drag.total(), 300.0, 1e-9);
        assert_close("iron", drag.iron_w, 270.0, 1e-9);
    }

    #[test]
    fn a_short_by_hand_and_against_the_braking_power() {
        // 500 rad/s, magnets 80 degC: k_t 0.6 x 0.94 = 0.564; E = 0.564 x 500/3 = 94 V; R at 120 degC, 0.00393 1/K from 20 degC:
        // 0.010 x 1.393 = 13.93 mOhm; wL = 8 x 500 x 100e-6 = 0.4 ohm; I = 94/0.400242 = 234.858 A; P = 3 x 234.858^2 x 0.01393 = 2305.1 W
        let short = machine().short_circuit(&state(500.0)).unwrap();
        assert_close("current", short.current_a, 234.858, 1e-5);
        assert_close("copper", short.copper_w, 2305.1, 1e-4);
        // second way: 3 E I cos(phi) with cos(phi) = R/Z is the power that the shaft gives
        let (r, x, e) = (0.01393_f64, 0.4_f64, 94.0_f64);
        let z = r.hypot(x);
        assert_close("braking", short.copper_w, 3.0 * e * (e / z) * (r / z), 1e-4);
        // at high speed the current nears flux over inductance: E/(wL) = 0.564/3/(8 x 100e-6) = 235 A
        let fast = machine().short_circuit(&state(5000.0)).unwrap();
        assert_close("fast", fast.current_a, 235.0, 1e-4);
        assert_eq!(machine().short_circuit(&state(0.0)).unwrap().current_a, 0.0);
    }

    #[test]
    fn without_inductance_nothing_is_said_about_a_short() {
        let MotorLosses::Machine(parameters) = machine().losses().clone() else { unreachable!("made above") };
        let blind = MachineParameters { inductance_h: None, ..*parameters };
        let blind = Motor::new(MotorLosses::Machine(Box::new(blind))).unwrap();
        assert!(blind.short_circuit(&state(500.0)).is_none() && !blind.knows_short_circuit());
        assert!(machine().knows_short_circuit());
    }
}
