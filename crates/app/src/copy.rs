//! What a page shows as text for a spreadsheet: tab between cells, a line for each row, units in the heads.

mod flights;

use std::fmt::Write as _;

use crate::command::Page;
use crate::subject::Screen;
use crate::views::chart::{Chart, quoted};
use crate::views::explanation::Explanation;
use crate::views::figure::Figure;
use crate::views::ledger::{LedgerData, LedgerItem};
use crate::views::levers::LeverData;
use crate::views::loops::{DeviceTable, StripPage};
use crate::views::machines::MachineData;
use crate::views::margins::MarginGrid;
use crate::views::temperatures::TemperatureTable;
use crate::views::time::value_at;
use crate::views::trades::TradesData;

/// The table of a page; nothing where there is none. `strip` is the loop or duct on screen.
pub(crate) fn page_text(screen: &Screen, page: Page, strip: Option<&str>) -> Option<String> {
    let shown = |page: &&StripPage| Some(page.strip.name.as_str()) == strip;
    match page {
        Page::Loops => {
            screen.strips.iter().find(shown).or(screen.strips.first()).map(|page| devices(&page.table))
        }
        Page::Temperatures => Some(temperatures(&screen.temperatures)),
        Page::Margins => {
            let levers = screen.levers.as_deref().map(levers).unwrap_or_default();
            Some(margins(&screen.margins) + &levers)
        }
        Page::Ledger => Some(ledger(&screen.ledger)),
        Page::Mission => screen.mission.as_deref().map(flights::mission),
        Page::Turnaround => screen.turnaround.as_deref().map(flights::turnaround),
        Page::Failures => screen.failures.as_deref().map(flights::failures),
        Page::Machines => Some(machines(&screen.machines, false)),
        Page::Pack => Some(machines(&screen.machines, true)),
        Page::Trades => screen.trades.as_deref().map(trades),
    }
}

/// The numbers of what a page paints, for a file: cells between commas, as RFC 4180 asks for; tables beside the figure are left out.
pub(crate) fn page_csv(screen: &Screen, page: Page, strip: Option<&str>) -> Option<String> {
    let text = match page {
        Page::Margins => Some(margins(&screen.margins)),
        Page::Turnaround => screen.turnaround.as_deref().map(flights::ways),
        Page::Failures => screen.failures.as_deref().map(flights::times),
        _ => page_text(screen, page, strip),
    };
    let line = |line: &str| {
        let cells: Vec<String> = line.split('\t').map(quoted).collect();
        format!("{}\r\n", cells.join(","))
    };
    text.map(|text| text.lines().map(line).collect())
}

/// Rows of cells as text. A cell holds no tab and no line break, and a minus that spreadsheets read.
#[derive(Default)]
struct Rows(String);

impl Rows {
    fn push<T: AsRef<str>>(&mut self, cells: impl IntoIterator<Item = T>) {
        for (index, cell) in cells.into_iter().enumerate() {
            if index > 0 {
                self.0.push('\t');
            }
            let plain = |c: char| match c {
                '−' => '-',
                '\t' | '\n' | '\r' => ' ',
                c => c,
            };
            self.0.extend(cell.as_ref().chars().map(plain));
        }
        self.0.push('\n');
    }

    /// A further table of the page, after an empty line.
    fn titled(&mut self, title: &str) {
        self.push([""]);
        self.push([title]);
    }
}

/// The digits of a figure; an empty cell where there is no number.
fn cell(figure: &Figure) -> String {
    if figure.text == "–" { String::new() } else { figure.text.clone() }
}

fn exact(value: f64) -> String {
    let mut text = String::new();
    if value.is_finite() {
        write!(text, "{value}").expect("writing to a string cannot fail");
    }
    text
}

/// Every table of the answer, each under its title.
fn trades(data: &TradesData) -> String {
    let mut rows = Rows::default();
    for sheet in &data.sheets {
        rows.push([&sheet.title]);
        rows.push(&sheet.head);
        sheet.rows.iter().for_each(|row| rows.push(row));
    }
    rows.0
}

fn devices(table: &DeviceTable) -> String {
    let mut rows = Rows::default();
    let (t, p) = (&table.temperature_unit, &table.pressure_unit);
    rows.push([
        "Device".to_owned(),
        "Kind".to_owned(),
        "Branch".to_owned(),
        format!("Flow, {}", table.flow_unit),
        format!("In, {t}"),
        format!("Out, {t}"),
        format!("Pressure out, {p} absolute"),
        format!("Drop, {p}"),
        format!("Heat, {}", table.heat_unit),
    ]);
    for row in &table.rows {
        let figures = [&row.flow, &row.inlet, &row.outlet, &row.pressure, &row.drop, &row.heat];
        let names = [row.name.clone(), row.kind.clone(), row.branch.clone().unwrap_or_default()];
        rows.push(names.into_iter().chain(figures.into_iter().map(cell)));
    }
    rows.0
}

fn temperatures(table: &TemperatureTable) -> String {
    let mut rows = Rows::default();
    let (t, d) = (&table.temperature_unit, &table.difference_unit);
    rows.push([
        "Component".to_owned(),
        "Limit".to_owned(),
        format!("Temperature, {t}"),
        format!("Limit, {t}"),
        format!("Margin, {d}"),
        format!("Required, {d}"),
        format!("Heat, {}", table.heat_unit),
        "Standing".to_owned(),
    ]);
    for row in &table.rows {
        let figures = [&row.temperature, &row.limit, &row.margin, &row.required, &row.heat];
        let names = [row.component.clone(), row.limit_name.clone()];
        let standing = std::iter::once(row.standing.word().to_owned());
        rows.push(names.into_iter().chain(figures.into_iter().map(cell)).chain(standing));
    }
    rows.0
}

fn margins(grid: &MarginGrid) -> String {
    let mut rows = Rows::default();
    let heads = ["Where", "Limit", "Unit"].map(str::to_owned);
    rows.push(heads.into_iter().chain(grid.cases.iter().map(ToString::to_string)));
    for row in &grid.rows {
        let names = [row.where_.clone(), row.limit.clone(), row.unit.clone()];
        let cells = row
            .cells
            .iter()
            .map(|cell| cell.as_ref().and_then(|cell| cell.margin).map(exact).unwrap_or_default());
        rows.push(names.into_iter().chain(cells));
    }
    rows.0
}

/// The levers of the chosen cell, below the grid.
fn levers(levers: &LeverData) -> String {
    let mut rows = Rows::default();
    let LeverData { of, .. } = levers;
    rows.push([""]);
    rows.push([format!("Levers of {}, {}, {}", of.where_, of.limit, of.case)]);
    let change = format!("Change, {}", of.unit);
    let tolerance = format!("Over tolerance, {}", of.unit);
    rows.push(["Input", "Value", "Step", &change, &tolerance]);
    for row in &levers.rows {
        let tolerance = row.tolerance.map(|width| exact(width.abs())).unwrap_or_default();
        rows.push([&row.input.path, &row.input.text, &row.step, &exact(row.change), &tolerance]);
    }
    rows.0
}

fn ledger(ledger: &LedgerData) -> String {
    let mut rows = Rows::default();
    rows.push(["Side".to_owned(), "Entry".to_owned(), format!("Heat, {}", ledger.unit)]);
    let mut side = |name: &str, items: &[LedgerItem]| {
        for item in items {
            rows.push([name.to_owned(), item.name.clone(), exact(item.value)]);
        }
    };
    side("generated", &ledger.generated);
    side("rejected", &ledger.rejected);
    side("stored", &ledger.stored);
    rows.push(["residual".to_owned(), String::new(), exact(ledger.residual)]);
    rows.0
}

/// All curves over one abscissa: every point of any curve is a row.
fn curves<'a>(abscissa: &str, charts: impl Iterator<Item = &'a Chart>) -> String {
    let charts: Vec<&Chart> = charts.collect();
    let all = || charts.iter().flat_map(|chart| chart.series.iter().map(move |series| (chart, series)));
    let mut xs: Vec<f64> = all().flat_map(|(_, series)| series.points.iter().map(|point| point[0])).collect();
    xs.sort_by(f64::total_cmp);
    xs.dedup();
    let mut rows = Rows::default();
    let heads = all().map(|(chart, series)| format!("{}, {}", series.name, chart.unit));
    rows.push(std::iter::once(abscissa.to_owned()).chain(heads));
    for x in xs {
        let values = all().map(|(_, series)| value_at(&series.points, x).map(exact).unwrap_or_default());
        rows.push(std::iter::once(exact(x)).chain(values));
    }
    rows.0
}

/// Numbers of the case, then the curves of every machine.
fn machines(machines: &[MachineData], is_pack: bool) -> String {
    let mut rows = Rows::default();
    for machine in machines.iter().filter(|machine| machine.is_pack == is_pack) {
        rows.push([machine.key()]);
        for (name, value) in &machine.values {
            rows.push([name, value]);
        }
        for (chart, held) in &machine.charts {
            rows.push([chart.title.as_str(), held.as_str()]);
            rows.push(["curve", chart.x_unit.as_str(), chart.unit.as_str()]);
            for series in &chart.series {
                for point in &series.points {
                    rows.push([series.name.clone(), format!("{}", point[0]), format!("{}", point[1])]);
                }
            }
        }
    }
    rows.0
}

/// Where a number comes from, a line for each part.
pub(crate) fn explanation(explanation: &Explanation) -> String {
    let mut rows = Rows::default();
    rows.push([&explanation.title, &explanation.value]);
    let parts = [
        ("Relation", &explanation.relation),
        ("Source", &explanation.source),
        ("Valid range", &explanation.range),
        ("Scatter", &explanation.scatter),
    ];
    let parts = parts.into_iter().map(|(name, text)| (name, text.as_str()));
    let inputs = explanation.inputs.iter().map(|(name, text)| (name.as_str(), text.as_str()));
    for (name, text) in parts.clone().take(2).chain(inputs).chain(parts.skip(2)) {
        if !text.is_empty() {
            rows.push([name, text]);
        }
    }
    rows.0
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::views::chart::Series;

    #[test]
    fn cells_hold_nothing_that_breaks_a_table() {
        let mut rows = Rows::default();
        rows.push(["a\tb", "−1.5", "two\nlines"]);
        assert_eq!(rows.0, "a b\t-1.5\ttwo lines\n");
        assert_eq!((cell(&Figure::none()), exact(f64::NAN)), (String::new(), String::new()));
    }

    #[test]
    fn curves_share_one_abscissa() {
        let series = |name: &str, points: &[[f64; 2]]| Series { name: name.into(), points: points.to_vec() };
        let chart = Chart {
            unit: "K".into(),
            series: vec![series("a", &[[0.0, 1.0], [2.0, 3.0]]), series("b", &[[1.0, 5.0]])],
            ..Chart::default()
        };
        assert_eq!(curves("x", [&chart].into_iter()), "x\ta, K\tb, K\n0\t1\t\n1\t2\t5\n2\t3\t\n");
    }
}
