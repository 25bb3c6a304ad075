//! Forty new aircraft over the answers, and what their margins say: docs/new-aircraft.md.

use aircraft::starter::{Answers, Cooling, CraftKind, PackSize, begin};
use model::mission::FlyOptions;
use model::result::{Margin, Status};
use model::{case, cases, design, mission};
use std::fmt::Write as _;

const PAGE: &str = "../../docs/new-aircraft.md";

const HEAD: &str = "# Forty new aircraft\n\nWhat `heatledger new` makes of forty combinations of answers, with every case of its own solved: steady points, missions with their soak, \
both supplies lost, a motor out. Every fifth pack is too small on purpose. The page is written by `crates/model/tests/main/new_aircraft.rs`, \
which also holds it against the program. The numbers are placeholders: that they hold says that a new project begins without a fault of its own, not that a design is good.\n\n\
| | answers | cases | hunting | least reserve | standing |\n|---|---|---|---|---|---|\n";

/// Cooling of the parts, kind, drive, number and power of motors move on from one to the next at different paces.
fn answers(turn: usize) -> Answers {
    let cooling = |pace: usize, among: usize| Cooling::ALL[(turn / pace + turn) % among];
    let pack_cooling = cooling(3, 5);
    let (motors, motor_power_w) = (1 + turn % 4, [30e3, 80e3, 300e3][turn % 3]);
    let for_each_w = match pack_cooling {
        _ if turn % 5 == 4 => 1000.0,
        Cooling::NotCooled => 7000.0,
        _ => [1400.0, 1900.0, 2400.0][turn / 3 % 3],
    };
    // one in eight leaves a machine to its case, which names what to change
    let machines = if turn % 8 == 7 { 5 } else { 4 };
    Answers {
        name: format!("aircraft {}", turn + 1),
        kind: CraftKind::ALL[turn % 2],
        motors,
        is_geared: turn % 7 != 3,
        motor_power_w,
        pack: PackSize::Energy(for_each_w * motor_power_w * motors as f64),
        stator: cooling(7, machines),
        inverter: cooling(2, machines),
        gearbox: cooling(5, machines),
        pack_cooling,
        ..Answers::default()
    }
}

fn words(answers: &Answers) -> String {
    let energy_kwh = match answers.pack {
        PackSize::Energy(energy_j) => energy_j / 3.6e6,
        PackSize::Cells { .. } => f64::NAN,
    };
    let gearbox = if answers.is_geared { answers.gearbox.word() } else { "direct" };
    format!(
        "{}, {} x {:.0} kW, {energy_kwh:.0} kWh; stator {}, inverter {}, gearbox {gearbox}, pack {}",
        answers.kind.word(),
        answers.motors,
        1e-3 * answers.motor_power_w,
        answers.stator.word(),
        answers.inverter.word(),
        answers.pack_cooling.word(),
    )
}

/// What became of a new aircraft.
#[derive(Default)]
struct Standing {
    cases: usize,
    hunting: usize,
    /// Cases without a result.
    unsolved: Vec<String>,
    margins: Vec<(String, Margin)>,
}

impl Standing {
    fn of(answers: &Answers) -> Self {
        let node = begin(answers).expect("the caller looks at refusals");
        let project = design::apply(&node, None).unwrap_or_else(|problems| panic!("{problems}")).project;
        let mut standing = Self::default();
        let mut judge = |name: String, status: Status, margins: Vec<Margin>| {
            standing.cases += 1;
            standing.hunting += usize::from(status == Status::Hunting);
            if status.can_be_judged() {
                standing.margins.extend(margins.into_iter().map(|margin| (name.clone(), margin)));
            } else {
                standing.unsolved.push(format!("{name} {}", status.word()));
            }
        };
        for situation in cases::steady(&project) {
            let result = case::solve(&situation).unwrap_or_else(|problem| panic!("{problem:?}"));
            judge(situation.name().to_string(), result.status, result.margins);
        }
        for flown in cases::missions(&project) {
            let schedule = mission::schedule(&flown).unwrap_or_else(|problem| panic!("{problem:?}"));
            let flight = mission::fly(&project, schedule, None, &FlyOptions::default());
            let margins = flight.margins(&project).into_iter().map(|timed| timed.margin).collect();
            judge(flown.name().to_string(), flight.status, margins);
        }
        standing.margins.sort_by(|a, b| Margin::worst_first(&a.1, &b.1));
        standing
    }

    fn holds(&self) -> bool {
        self.unsolved.is_empty() && self.margins.iter().all(|(_, margin)| !margin.is_short())
    }

    fn least(&self) -> String {
        self.margins.first().map_or_else(String::new, |(name, margin)| {
            let (reserve, unit) = match margin.kind.unit() {
                "W" => (1e-3 * margin.reserve(), "kW"),
                unit => (margin.reserve(), unit),
            };
            format!("{reserve:+.1} {unit} at {}, {} ({name})", margin.place, margin.limit)
        })
    }
}

#[test]
fn each_of_forty_new_aircraft_holds_or_says_what_to_change() {
    let mut page = HEAD.to_owned();
    let mut wrong = Vec::new();
    for turn in 0..40 {
        let answers = answers(turn);
        let (number, words) = (turn + 1, words(&answers));
        let refused = begin(&answers).err();
        assert_eq!(turn % 5 == 4, refused.is_some(), "{number}: {words}: {refused:?}");
        if let Some(error) = refused {
            writeln!(page, "| {number} | {words} | | | | refused: {error} |")
                .expect("a text takes every line");
            continue;
        }
        let standing = Standing::of(&answers);
        let told = answers.to_change();
        if standing.hunting > 0 || standing.holds() != told.is_empty() {
            wrong.push(format!("{number}: {words}: {} {:?} {told:?}", standing.least(), standing.unsolved));
        }
        let says =
            if told.is_empty() { "holds".to_owned() } else { format!("to change: {}", told.join("; ")) };
        let (count, hunting, least) = (standing.cases, standing.hunting, standing.least());
        writeln!(page, "| {number} | {words} | {count} | {hunting} | {least} | {says} |")
            .expect("a text takes every line");
    }
    assert!(wrong.is_empty(), "{}: {wrong:#?}", wrong.len());
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(PAGE);
    if std::env::var_os("UPDATE_DOCS").is_some() {
        std::fs::write(&path, &page).expect("the docs folder can be written");
    }
    let found = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(found == page, "{PAGE} is out of date: run the tests once with UPDATE_DOCS=1");
}
