//! What is wrong with the pressures of a loop: a cushion that does not do, places below ambient pressure, a need used beyond its points.
//!
//! This is the one place that decides it, for steady cases and flights alike.

use crate::result::{CircuitResult, CushionFault, CushionResult, Notice, StationResult};

/// Kind of the notice of a place below ambient pressure.
pub const BELOW_AMBIENT: &str = "below_ambient";

/// What a place must be below ambient pressure to be named, Pa: a centimetre of liquid, which no stated height is good for.
const WORTH_A_WORD_PA: f64 = 100.0;

/// A sort of trouble; of each a case tells the worst of every loop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Trouble {
    /// The gas cushion of the reservoir does not do.
    Cushion(CushionFault),
    /// A place lies below ambient pressure.
    BelowAmbient,
    /// The need of a pump is used beyond its last point.
    BeyondNeed,
}

/// The troubles of a loop, each with its size: more is worse.
pub(crate) fn troubles(state: &CircuitResult, ambient_pa: f64) -> Vec<(Trouble, f64)> {
    let mut found = Vec::new();
    if let Some(cushion) = &state.cushion {
        found.extend(cushion.faults().map(|fault| (Trouble::Cushion(fault), cushion.size_of(fault))));
    }
    if let Some((_, _, lowest_pa)) = lowest(state)
        && ambient_pa - lowest_pa > WORTH_A_WORD_PA
    {
        found.push((Trouble::BelowAmbient, ambient_pa - lowest_pa));
    }
    if let Some((_, beyond)) = beyond_need(state) {
        found.push((Trouble::BeyondNeed, beyond));
    }
    found
}

/// The notice of a trouble that a loop has.
pub(crate) fn notice(trouble: Trouble, state: &CircuitResult, ambient_pa: f64) -> Option<Notice> {
    match trouble {
        Trouble::Cushion(fault) => state.cushion.as_ref().map(|cushion| of_cushion(fault, cushion)),
        Trouble::BelowAmbient => below_ambient(state, ambient_pa),
        Trouble::BeyondNeed => beyond_need(state).map(|(station, share)| Notice {
            about: "",
            kind: "out_of_range",
            place: station.name.clone(),
            message: format!(
                "its flow over its speed is {share:.2} times that of the last point of its need; the need goes on with the square of the flow"
            ),
        }),
    }
}

fn of_cushion(fault: CushionFault, cushion: &CushionResult) -> Notice {
    let litres = |m3: f64| 1e3 * m3;
    let message = match fault {
        CushionFault::NoAirSpace => format!(
            "the liquid grows by {:.2} L, the gas cushion has only {:.2} L; fill less or choose a larger reservoir",
            litres(cushion.gas_at_fill_m3 - cushion.gas_m3),
            litres(cushion.gas_at_fill_m3)
        ),
        CushionFault::CapOpens => format!(
            "its cap opens: behind a shut one the gas would come to {:.0} kPa above ambient, it holds {:.0} kPa; what it lets out is missing \
             when the loop has cooled; fill less, choose a larger reservoir or a cap that holds more",
            1e-3 * cushion.shut_gauge_pa,
            1e-3 * cushion.cap_gauge_pa
        ),
        CushionFault::Empties => format!(
            "the liquid shrinks by {:.2} L, more than the reservoir holds: gas goes round with the liquid; fill more or choose a larger \
             reservoir",
            litres(cushion.gas_m3 - cushion.gas_at_fill_m3)
        ),
    };
    Notice { about: "", kind: fault.word(), place: cushion.reservoir.clone(), message }
}

/// Static pressure at the inlet as far as it is known, and the pressure at the outlet, Pa.
fn ends_pa(station: &StationResult) -> [f64; 2] {
    let velocity_head_pa = station.inlet.and_then(|inlet| inlet.velocity_head_pa).unwrap_or(0.0);
    [station.pressure_in_pa - velocity_head_pa, station.pressure_out_pa]
}

/// The place of least pressure: number of the station, its inlet (0) or outlet (1), Pa.
fn lowest(state: &CircuitResult) -> Option<(usize, usize, f64)> {
    let ends = state.stations.iter().enumerate().flat_map(|(number, station)| {
        ends_pa(station).into_iter().enumerate().map(move |(end, pa)| (number, end, pa))
    });
    ends.filter(|(_, _, pa)| pa.is_finite()).min_by(|a, b| a.2.total_cmp(&b.2))
}

fn beyond_need(state: &CircuitResult) -> Option<(&StationResult, f64)> {
    let found = state.stations.iter().filter_map(|s| Some((s, s.inlet?.beyond?)));
    found.max_by(|a, b| a.1.total_cmp(&b.1))
}

fn below_ambient(state: &CircuitResult, ambient_pa: f64) -> Option<Notice> {
    let (number, end, lowest_pa) = lowest(state)?;
    let below_pa = ambient_pa - lowest_pa;
    let station = &state.stations[number];
    let side = if end == 0 { "inlet" } else { "outlet" };
    Some(Notice {
        about: "",
        kind: BELOW_AMBIENT,
        place: station.name.clone(),
        message: format!(
            "its {side} lies {:.1} kPa below ambient pressure: a soft hose collapses, and air is drawn in where it is not tight; {}",
            1e-3 * below_pa,
            remedy(state, number, below_pa)
        ),
    })
}

/// What keeps a place above ambient pressure.
fn remedy(state: &CircuitResult, number: usize, below_pa: f64) -> String {
    let Some(cushion) = &state.cushion else {
        return "add a reservoir: without one the first device of the loop is taken to be at ambient pressure".to_owned();
    };
    let kpa = 1e-3 * below_pa;
    let pressure = if !cushion.cap_open {
        format!("charge the reservoir with {kpa:.1} kPa more")
    } else if cushion.shut_gauge_pa - cushion.cap_gauge_pa >= below_pa {
        format!("give the reservoir a cap that holds {kpa:.1} kPa more")
    } else {
        format!("give the reservoir a cap that holds {kpa:.1} kPa more, and a charge to match")
    };
    format!("{}, or {pressure}", placing(state, number))
}

/// What has to stand elsewhere.
fn placing(state: &CircuitResult, number: usize) -> String {
    let stations = &state.stations;
    let count = stations.len();
    let Some(reservoir) = stations.iter().position(|s| s.kind == "reservoir") else {
        return "place it lower".to_owned();
    };
    // with the flow, from behind the reservoir up to the place, or to the pump on the way
    let way: Vec<&StationResult> = (1..count).map(|step| &stations[(reservoir + step) % count]).collect();
    let place = (number + count - reservoir - 1) % count;
    let before = &way[..place.min(way.len())];
    let climb_pa: f64 = before.iter().map(|s| s.climb_pa).sum();
    let friction_pa: f64 = before.iter().map(|s| s.friction_pa).sum();
    let pump = way.iter().find(|s| s.kind == "pump");
    match pump {
        Some(pump) if before.iter().all(|s| s.kind != "pump") => {
            if climb_pa > friction_pa {
                format!("place it lower, or the reservoir higher, at the inlet of {}", pump.name)
            } else if place == 0 {
                "place the reservoir higher".to_owned()
            } else {
                format!("place the reservoir at the inlet of {}, or widen the way between them", pump.name)
            }
        }
        _ => "place it lower, or the reservoir higher".to_owned(),
    }
}

/// The worst of every trouble of every loop over a flight.
#[derive(Debug, Default)]
pub(crate) struct WorstOverTime(Vec<Seen>);

#[derive(Debug)]
struct Seen {
    circuit: String,
    trouble: Trouble,
    size: f64,
    notice: Notice,
}

impl WorstOverTime {
    /// Looks at the loops of a moment.
    pub(crate) fn look(&mut self, loops: &[CircuitResult], ambient_pa: f64, time_s: f64) {
        for state in loops {
            for (trouble, size) in troubles(state, ambient_pa) {
                let known =
                    self.0.iter().position(|seen| seen.circuit == state.name && seen.trouble == trouble);
                if known.is_some_and(|index| size <= self.0[index].size) {
                    continue;
                }
                let Some(told) = notice(trouble, state, ambient_pa) else { continue };
                let message = format!("at {time_s:.0} s: {}", told.message);
                let notice = Notice { message, ..told };
                let seen = Seen { circuit: state.name.clone(), trouble, size, notice };
                match known {
                    Some(index) => self.0[index] = seen,
                    None => self.0.push(seen),
                }
            }
        }
    }

    /// A notice of each.
    pub(crate) fn notices(self) -> impl Iterator<Item = Notice> {
        self.0.into_iter().map(|seen| seen.notice)
    }
}
