//! Loops whose pumps run and cannot move the coolant: cold, thick glycol, or a pump too weak for it.
//!
//! A steady case ends there. A flight goes on, with the coolant at rest until it has warmed, and says so.

use crate::assembly::Parts;
use crate::result::{Notice, Status};
use solver::{CircuitId, Failure, Step};

/// One loop and the time over which its coolant stood.
#[derive(Clone, Copy, Debug)]
struct Standing {
    circuit: CircuitId,
    from_s: f64,
    until_s: f64,
    /// The moment of least flow.
    flow_kg_s: f64,
    min_kg_s: f64,
    rise_pa: f64,
    drop_pa: f64,
}

/// What was seen of them during a flight.
#[derive(Clone, Debug, Default)]
pub(super) struct StandingCoolant(Vec<Standing>);

impl StandingCoolant {
    /// Looks at the end of an accepted step.
    pub(super) fn look(&mut self, step: &Step<'_>) {
        for failure in step.network.short_of_head(step.end_state()) {
            let Failure::InsufficientPumpHead { circuit, flow_kg_s, min_kg_s, rise_pa, drop_pa } = failure
            else {
                continue;
            };
            let now = Standing {
                circuit,
                from_s: step.start_s,
                until_s: step.end_s,
                flow_kg_s,
                min_kg_s,
                rise_pa,
                drop_pa,
            };
            match self.0.iter_mut().find(|known| known.circuit == circuit) {
                None => self.0.push(now),
                Some(known) => {
                    let from_s = known.from_s;
                    if flow_kg_s < known.flow_kg_s {
                        *known = now;
                    }
                    (known.from_s, known.until_s) = (from_s, step.end_s);
                }
            }
        }
    }

    /// A notice for every loop that stood.
    pub(super) fn notices(&self, parts: &Parts) -> impl Iterator<Item = Notice> {
        self.0.iter().map(|standing| {
            let part = parts.loops.iter().find(|part| part.id == standing.circuit);
            Notice {
                about: "",
                kind: Status::InsufficientPumpHead.word(),
                place: part.map_or_else(|| "a loop".to_owned(), |part| part.name.clone()),
                message: format!(
                    "between {:.0} s and {:.0} s its running pump moves as little as {:.4} kg/s of at least {:.4} kg/s: it gives {:.1} kPa \
                     where the loop takes {:.1} kPa; the flight counts the coolant as at rest; warm the fluid before the flight, widen \
                     the passages or choose a stronger pump",
                    standing.from_s,
                    standing.until_s,
                    standing.flow_kg_s,
                    standing.min_kg_s,
                    1e-3 * standing.rise_pa,
                    1e-3 * standing.drop_pa
                ),
            }
        })
    }
}
