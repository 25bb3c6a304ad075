//! An invented mission, turnaround and set of failures: curves that look like such curves, made by a first-order lag.

use app::views::chart::{Chart, Limit, Series, Shape};
use app::views::failures::{Alert, FailureRow, FailuresData, PeakUntilTouchdown};
use app::views::mission::{Event, MissionData, Peak, SegmentBand};
use app::views::turnaround::{
    Departure, Phase, PhaseSpan, TurnaroundData, TurnaroundOption, WaitCell, WaitTable,
};
use app::views::{Evidence, Figure, InputField, Standing};

use super::Invented;

/// Name, length in seconds, shaft power in kW at start and end, setting.
const SEGMENTS: [(&str, f64, f64, f64, &str); 8] = [
    ("taxi out", 240.0, 6.0, 6.0, "field, 0 kt"),
    ("take-off", 45.0, 96.0, 96.0, "field to 300 ft, 62 kt"),
    ("tow climb", 420.0, 88.0, 80.0, "300 ft to 2500 ft, 65 kt"),
    ("descent", 300.0, 8.0, 8.0, "2500 ft to 800 ft, 80 kt"),
    ("circuit", 120.0, 34.0, 34.0, "800 ft, 70 kt"),
    ("landing", 60.0, 18.0, 4.0, "800 ft to field, 60 kt"),
    ("taxi in", 180.0, 6.0, 6.0, "field, 0 kt"),
    ("soak", 1500.0, 0.0, 0.0, "field, everything off"),
];
const STEP_S: f64 = 5.0;

fn times() -> Vec<f64> {
    let end: f64 = SEGMENTS.iter().map(|segment| segment.1).sum();
    (0..=(end / STEP_S) as usize).map(|index| index as f64 * STEP_S).collect()
}

fn bands(project: &Invented) -> Vec<SegmentBand> {
    let mut from = 0.0;
    let mut bands = Vec::new();
    for (name, length, first, last, setting) in SEGMENTS {
        let path = format!("Circuit mission/{name}/duration");
        let power =
            if first == last { format!("{first:.0} kW") } else { format!("{first:.0} to {last:.0} kW") };
        bands.push(SegmentBand {
            name: name.to_owned(),
            from_s: from,
            to_s: from + length,
            power,
            setting: setting.to_owned(),
            inputs: vec![InputField {
                text: project.input(&path, &format!("{length:.0} s")),
                path,
                label: "duration".to_owned(),
                evidence: Evidence::Assumed,
                ..InputField::default()
            }],
        });
        from += length;
    }
    bands
}

fn power_kw(time_s: f64) -> f64 {
    let mut from = 0.0;
    for (_, length, first, last, _) in SEGMENTS {
        if time_s < from + length {
            return first + (last - first) * (time_s - from) / length;
        }
        from += length;
    }
    0.0
}

/// A first-order lag behind the power: base, rise at 100 kW, time constant.
fn lag(name: &str, base: f64, rise: f64, constant_s: f64) -> Series {
    let mut value = base;
    let points = times().into_iter().map(|time| {
        let goal = base + rise * power_kw(time) / 100.0;
        value += (goal - value) * (STEP_S / constant_s).min(1.0);
        [time, value]
    });
    Series { name: name.to_owned(), points: points.collect() }
}

fn chart(
    title: &str,
    unit: &str,
    decimals: usize,
    series: Vec<Series>,
    limits: &[(&str, f64, bool)],
) -> Chart {
    let limit = |(name, value, is_minimum): &(&str, f64, bool)| Limit {
        name: (*name).to_owned(),
        value: *value,
        is_minimum: *is_minimum,
    };
    Chart {
        title: title.to_owned(),
        unit: unit.to_owned(),
        decimals,
        series,
        limits: limits.iter().map(limit).collect(),
        ..Chart::default()
    }
}

fn peak(where_: &str, series: &Series, limit: f64) -> Peak {
    let top = series.points.iter().copied().max_by(|a, b| a[1].total_cmp(&b[1])).unwrap_or_default();
    Peak {
        where_: where_.to_owned(),
        temperature: Figure::new(top[1], 1),
        limit: Figure::new(limit, 1),
        margin: Figure::new(limit - top[1], 1),
        standing: Standing::of(Some(limit - top[1]), 10.0),
        time_s: top[0],
    }
}

/// The mission, everything warmer by some kelvin.
pub(super) fn mission(project: &Invented, warmer: f64) -> MissionData {
    let w = 38.0 + warmer;
    let windings = vec![
        lag("Motor 1 winding", w, 148.0, 140.0),
        lag("Motor 2 winding", w + 2.0, 150.0, 142.0),
        lag("Motor 1 magnets", w, 70.0, 420.0),
        lag("Motor 2 magnets", w, 72.0, 425.0),
    ];
    let cells = vec![lag("Cell group 1", w - 2.0, 22.0, 900.0), lag("Cell group 4", w - 1.0, 25.0, 880.0)];
    let peaks = vec![
        peak("Motor 2 winding, continuous", &windings[1], 165.0),
        peak("Cell group 4, discharge", &cells[1], 60.0),
    ];
    let drive = vec![
        lag("Inverter 1 baseplate", w, 34.0, 30.0),
        lag("Inverter 2 baseplate", w, 35.0, 31.0),
        lag("Gearbox sump", w + 10.0, 48.0, 600.0),
    ];
    let heat = vec![
        lag("motors", 0.0, 9.2, 5.0),
        lag("inverters", 0.0, 4.2, 5.0),
        lag("gearbox", 0.0, 1.4, 5.0),
        lag("cells and bars", 0.0, 3.6, 5.0),
        lag("pumps and fans", 0.9, 0.1, 5.0),
    ];
    let mut left = 96.0;
    let soc = times().into_iter().map(|time| {
        left -= power_kw(time) * STEP_S / 3600.0 / 38.0 * 100.0;
        [time, left]
    });
    let soc = Series { name: "state of charge".to_owned(), points: soc.collect() };
    let current = times().into_iter().map(|time| [time, 2.6 * power_kw(time)]).collect();
    let power = times().into_iter().map(|time| [time, power_kw(time)]).collect();
    let end_s = SEGMENTS.iter().map(|segment| segment.1).sum();
    let event = |time_s: f64, what: &str| Event { time_s, what: what.to_owned() };
    MissionData {
        name: "circuit mission".to_owned(),
        end_s,
        segments: bands(project),
        events: vec![
            event(262.0, "Thermostat of the battery loop begins to open"),
            event(418.0, "Nose fan to full speed: coolant above 62 °C"),
            event(705.0, "Motor 2 winding passes its amber temperature"),
            event(1365.0, "Pumps off: soak begins"),
        ],
        power: chart(
            "Shaft power",
            "kW",
            1,
            vec![Series { name: "shaft power".to_owned(), points: power }],
            &[],
        ),
        temperatures: vec![
            chart("Motors", "°C", 1, windings, &[("Motor windings, continuous", 165.0, false)]),
            chart("Inverters and gearbox", "°C", 1, drive, &[("Gearbox sump, oil", 110.0, false)]),
            chart(
                "Battery",
                "°C",
                1,
                cells,
                &[("Cells, discharge", 60.0, false), ("Cells, charge", 45.0, false)],
            ),
        ],
        heat: Chart { shape: Shape::Stacked, ..chart("Heat by source", "kW", 2, heat, &[]) },
        heat_book: "Heat book of the whole mission: invented".to_owned(),
        pack: vec![
            chart("State of charge", "%", 1, vec![soc], &[("reserve", 30.0, true)]),
            chart("Pack current", "A", 0, vec![Series { name: "current".to_owned(), points: current }], &[]),
        ],
        peaks,
        temperature_unit: "°C".to_owned(),
        beneath: None,
    }
}

/// The turnaround after the mission.
pub(super) fn turnaround(warmer: f64) -> TurnaroundData {
    let span = |phase, from_s, to_s| PhaseSpan { phase, from_s, to_s };
    let pack = 47.5 + warmer;
    let curve = |name: &str, goal: f64, constant_s: f64| {
        let points = (0..=90).map(|minute| {
            let time = 60.0 * f64::from(minute);
            [f64::from(minute), goal + (pack - goal) * (-time / constant_s).exp()]
        });
        Series { name: name.to_owned(), points: points.collect() }
    };
    let option =
        |name: &str, phases: Vec<PhaseSpan>, ready_s, energy, pack, outcome: &str| TurnaroundOption {
            name: name.to_owned(),
            phases,
            ready_s,
            outcome: outcome.to_owned(),
            charged: "90 %".to_owned(),
            energy: Figure::new(energy, 1),
            pack_temperature: Figure::new(pack, 1),
            standing: if ready_s.is_some() { Standing::Holds } else { Standing::Passed },
        };
    let taxi = span(Phase::Taxi, 0.0, 180.0);
    let cell = |wait: f64, current: f64| WaitCell {
        wait_s: Some(wait),
        rate: format!("{current:.0} A"),
        why: String::new(),
    };
    let never = || WaitCell { why: "the pack stays above 45 °C".to_owned(), ..WaitCell::default() };
    TurnaroundData {
        name: "between circuits".to_owned(),
        after: "hot day, 5000 ft/circuit mission".to_owned(),
        outside: "30 °C".to_owned(),
        options: vec![
            option(
                "cool while charging",
                vec![taxi, span(Phase::Cool, 180.0, 2900.0), span(Phase::Charge, 760.0, 2900.0)],
                Some(2900.0),
                18.4,
                41.2,
                "",
            ),
            option(
                "cool, then charge",
                vec![taxi, span(Phase::Cool, 180.0, 1320.0), span(Phase::Charge, 1320.0, 3480.0)],
                Some(3480.0),
                18.4,
                43.8,
                "",
            ),
            option(
                "charge at once",
                vec![taxi, span(Phase::Soak, 180.0, 5400.0)],
                None,
                0.0,
                pack,
                "the pack stays above 45 °C for 90 min",
            ),
        ],
        curves: Chart {
            x_unit: "min since landing".to_owned(),
            ..chart(
                "Pack temperature",
                "°C",
                1,
                vec![
                    curve("cool while charging", 36.0, 1500.0),
                    curve("cool, then charge", 31.0, 1300.0),
                    curve("charge at once", 44.5 + 0.1 * warmer, 5200.0),
                ],
                &[("charge, highest", 45.0, false), ("charge, lowest", 15.0, true)],
            )
        },
        tables: vec![WaitTable {
            option: "cool, then charge".to_owned(),
            pack_temperatures: ["35 °C", "45 °C", "55 °C"].map(str::to_owned).to_vec(),
            rows: vec![
                ("15 °C".to_owned(), vec![cell(0.0, 85.0), cell(120.0, 85.0), cell(700.0, 85.0)]),
                ("30 °C".to_owned(), vec![cell(0.0, 85.0), cell(300.0, 85.0), cell(1500.0, 85.0)]),
                ("45 °C".to_owned(), vec![cell(0.0, 85.0), never(), never()]),
            ],
        }],
        departure: vec![Departure {
            outside: "30 °C".to_owned(),
            mission: "circuit mission".to_owned(),
            pack: Figure::new(43.0, 1),
            limited_by: "Cells, discharge".to_owned(),
        }],
        remarks: Vec::new(),
        is_whole: true,
        energy_unit: "kWh".to_owned(),
        temperature_unit: "°C".to_owned(),
    }
}

/// The failures during the mission.
pub(super) fn failures(warmer: f64) -> FailuresData {
    let row = |name: &str, start: &str, limit: Option<f64>, land: f64, action: &str, hot: f64| {
        let temperature = hot + warmer;
        FailureRow {
            is_kept: false,
            name: name.to_owned(),
            start: start.to_owned(),
            first_limit: limit.map(|_| "Motor 2 winding, short time".to_owned()).unwrap_or_default(),
            time_to_limit_s: limit,
            time_to_land_s: Some(land),
            action: action.to_owned(),
            outcome: String::new(),
            peaks: vec![
                PeakUntilTouchdown {
                    where_: "Motor 2 winding, short time".to_owned(),
                    temperature: Figure::new(temperature, 1),
                    limit: Figure::new(180.0, 1),
                    margin: Figure::new(180.0 - temperature, 1),
                    standing: Standing::of(Some(180.0 - temperature), 10.0),
                },
                PeakUntilTouchdown {
                    where_: "Inverter 2 baseplate, continuous".to_owned(),
                    temperature: Figure::new(78.4 + warmer, 1),
                    limit: Figure::new(95.0, 1),
                    margin: Figure::new(16.6 - warmer, 1),
                    standing: Standing::of(Some(16.6 - warmer), 10.0),
                },
            ],
            alerts: vec![Alert {
                where_: "Motor 2 winding sensor".to_owned(),
                amber: Figure::new(146.0, 0),
                red: Figure::new(158.0, 0),
                basis: "limit less hot spot 8 K, sensor lag 10 s, accuracy 2 K, time to land".to_owned(),
            }],
        }
    };
    FailuresData {
        waiting: 0,
        during: "hot day, 5000 ft/circuit mission".to_owned(),
        rows: vec![
            row(
                "motor loop pump 1 and 2 out",
                "4:45, tow climb",
                Some(112.0),
                300.0,
                "release the glider, descend, land within 5 min",
                186.0,
            ),
            row(
                "nose fan out",
                "4:45, tow climb",
                Some(640.0),
                420.0,
                "release the glider, fly 70 kt, land at the field",
                171.0,
            ),
            row(
                "motor 2 out",
                "4:00, take-off",
                None,
                180.0,
                "land straight ahead or fly one circuit",
                139.0,
            ),
            FailureRow {
                name: "coolant lost".to_owned(),
                start: "4:45, tow climb".to_owned(),
                outcome: "no steady flow: the pump inlet runs dry".to_owned(),
                action: "shut the motors down, land".to_owned(),
                ..FailureRow::default()
            },
        ],
        temperature_unit: "°C".to_owned(),
    }
}
