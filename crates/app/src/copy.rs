//! What a page shows as sheets, for the clipboard and for files: the numbers in the units of the window, with all their digits.

mod flights;

use report::sheet::csv::{LineEnd, page as csv};
use report::sheet::{Cell, Column, Sheet, SheetError, clipboard::clipboard};

use crate::command::Page;
use crate::screen::Screen;
use crate::views::chart::Chart;
use crate::views::explanation::Explanation;
use crate::views::figure::{Figure, standing_words};
use crate::views::ledger::{LedgerData, LedgerItem};
use crate::views::levers::LeverData;
use crate::views::loops::{DeviceTable, StripPage};
use crate::views::machines::MachineData;
use crate::views::margins::MarginGrid;
use crate::views::temperatures::TemperatureTable;
use crate::views::time::value_at;

/// The sheets of a page; nothing where there is none. `strip` is the loop or duct on screen.
fn sheets(screen: &Screen, page: Page, strip: Option<&str>) -> Option<Vec<Sheet>> {
    let shown = |page: &&StripPage| Some(page.strip.name.as_str()) == strip;
    match page {
        Page::Loops => {
            screen.strips.iter().find(shown).or(screen.strips.first()).map(|page| vec![devices(&page.table)])
        }
        Page::Temperatures => Some(vec![temperatures(&screen.temperatures)]),
        Page::Margins => {
            let levers = screen.levers.as_deref().map(levers);
            Some(std::iter::once(margins(&screen.margins)).chain(levers).collect())
        }
        Page::Ledger => Some(vec![ledger(&screen.ledger)]),
        Page::Mission => screen.mission.as_deref().map(flights::mission),
        Page::Turnaround => screen.turnaround.as_deref().map(flights::turnaround),
        Page::Failures => screen.failures.as_deref().map(flights::failures),
        Page::Machines => Some(machines(&screen.machines, false)),
        Page::Pack => Some(machines(&screen.machines, true)),
        Page::Trades => {
            let data = screen.trades.as_deref()?;
            Some(data.sheets.iter().map(|data| data.sheet.clone()).collect())
        }
    }
}

/// The tables of a page for the clipboard; nothing where there is none. `strip` is the loop or duct on screen.
pub(crate) fn page_text(screen: &Screen, page: Page, strip: Option<&str>) -> Option<String> {
    sheets(screen, page, strip).map(|sheets| clipboard(&sheets))
}

/// The numbers of what a page paints, for a file of comma-separated values; tables beside the figure are left out.
///
/// # Errors
/// As [`csv()`].
pub(crate) fn page_csv(screen: &Screen, page: Page, strip: Option<&str>) -> Result<Vec<u8>, SheetError> {
    let painted = match page {
        Page::Margins => Some(vec![margins(&screen.margins)]),
        Page::Turnaround => screen.turnaround.as_deref().map(|data| vec![flights::ways(data)]),
        Page::Failures => screen.failures.as_deref().map(|data| vec![flights::times(data)]),
        _ => sheets(screen, page, strip),
    };
    csv(&painted.unwrap_or_default(), LineEnd::Rfc)
}

/// A column of texts.
fn text(head: impl Into<String>) -> Column {
    let head = head.into();
    Column::text(head.clone()).head(head)
}

/// A column of numbers in the unit of the window, which stands in its head.
fn measured(head: &str, unit: &str) -> Column {
    Column::plain(
        if unit.is_empty() { head.to_owned() } else { format!("{head}, {unit}") },
        head,
        unit.to_owned(),
        3,
    )
}

/// The number of a figure; absent where there is none.
fn figure(figure: &Figure) -> Cell {
    figure.value.into()
}

fn devices(table: &DeviceTable) -> Sheet {
    let (t, p) = (table.temperature_unit.as_str(), table.pressure_unit.as_str());
    let columns = [
        text("Device"),
        text("Kind"),
        text("Branch"),
        measured("Flow", &table.flow_unit),
        measured("In", t),
        measured("Out", t),
        measured("Pressure out", &format!("{p} absolute")),
        measured("Drop", p),
        measured("Heat", &table.heat_unit),
    ];
    let rows = table.rows.iter().map(|row| {
        let figures = [&row.flow, &row.inlet, &row.outlet, &row.pressure, &row.drop, &row.heat];
        let names = [(&row.name).into(), (&row.kind).into(), row.branch.as_ref().into()];
        names.into_iter().chain(figures.into_iter().map(figure)).collect()
    });
    Sheet::new("", columns).with_rows(rows)
}

fn temperatures(table: &TemperatureTable) -> Sheet {
    let (t, d) = (table.temperature_unit.as_str(), table.difference_unit.as_str());
    let columns = [
        text("Component"),
        text("Limit"),
        measured("Temperature", t),
        measured("Limit", t),
        measured("Margin", d),
        measured("Required", d),
        measured("Heat", &table.heat_unit),
        text("Standing"),
    ];
    let rows = table.rows.iter().map(|row| {
        let figures = [&row.temperature, &row.limit, &row.margin, &row.required, &row.heat];
        let names = [Cell::from(&row.component), Cell::said(row.limit_name.as_str())];
        names
            .into_iter()
            .chain(figures.into_iter().map(figure))
            .chain([standing_words(row.standing).into()])
            .collect()
    });
    Sheet::new("", columns).with_rows(rows)
}

/// The reserves: a row for each limit, a column for each case; the unit stands in its own column, since rows differ in it.
fn margins(grid: &MarginGrid) -> Sheet {
    let columns = ["Where", "Limit", "Unit"].into_iter().map(text);
    let columns = columns.chain(grid.cases.iter().map(|case| measured(&case.to_string(), "")));
    let rows = grid.rows.iter().map(|row| {
        let names = [&row.where_, &row.limit, &row.unit].map(Cell::from);
        let reserve = |value: f64| Cell::finite(value);
        let cells =
            row.cells.iter().map(|cell| cell.as_ref().and_then(|cell| cell.reserve).map(reserve).into());
        names.into_iter().chain(cells).collect()
    });
    Sheet::new("", columns).with_rows(rows)
}

/// The levers of the chosen cell.
fn levers(levers: &LeverData) -> Sheet {
    let LeverData { of, .. } = levers;
    let columns = [
        text("Input"),
        text("Value"),
        text("Step"),
        measured("Change", &of.unit),
        measured("Over tolerance", &of.unit),
    ];
    let rows = levers.rows.iter().map(|row| {
        let tolerance = row.tolerance.map(|width| Cell::finite(width.abs())).into();
        let names = [&row.input.path, &row.input.text, &row.step].map(Cell::from);
        names.into_iter().chain([Cell::finite(row.change), tolerance]).collect()
    });
    Sheet::new(format!("Levers of {}, {}, {}", of.where_, of.limit, of.case), columns).with_rows(rows)
}

fn ledger(ledger: &LedgerData) -> Sheet {
    let columns = [text("Side"), text("Entry"), measured("Heat", &ledger.unit)];
    let mut sheet = Sheet::new("", columns);
    let mut side = |name: &str, items: &[LedgerItem]| {
        for item in items {
            sheet.push([name.into(), (&item.name).into(), Cell::finite(item.value)]);
        }
    };
    side("generated", &ledger.generated);
    side("rejected", &ledger.rejected);
    side("stored", &ledger.stored);
    sheet.push(["residual".into(), Cell::Absent, Cell::finite(ledger.residual)]);
    sheet
}

/// All curves over one abscissa: every point of any curve is a row.
fn curves<'a>(title: &str, abscissa: &str, charts: impl Iterator<Item = &'a Chart>) -> Sheet {
    let charts: Vec<&Chart> = charts.collect();
    let all = || charts.iter().flat_map(|chart| chart.series.iter().map(move |series| (chart, series)));
    let mut xs: Vec<f64> = all().flat_map(|(_, series)| series.points.iter().map(|point| point[0])).collect();
    xs.sort_by(f64::total_cmp);
    xs.dedup();
    let columns = all().map(|(chart, series)| measured(&series.name, &chart.unit));
    let columns = std::iter::once(measured(abscissa, "")).chain(columns);
    let rows = xs.into_iter().map(|x| {
        let values = all().map(|(_, series)| value_at(&series.points, x).map_or(Cell::Absent, Cell::finite));
        std::iter::once(Cell::finite(x)).chain(values).collect()
    });
    Sheet::new(title, columns).with_rows(rows)
}

/// Numbers of the case, then the curves of every machine.
fn machines(machines: &[MachineData], is_pack: bool) -> Vec<Sheet> {
    let mut sheets = Vec::new();
    for machine in machines.iter().filter(|machine| machine.is_pack == is_pack) {
        sheets.push(Sheet { title: machine.key(), ..machine.values.sheet.clone() });
        for (chart, held) in &machine.charts {
            let columns = [
                text("curve"),
                measured(&chart.x_unit, ""),
                measured(if chart.unit.is_empty() { "value" } else { &chart.unit }, ""),
            ];
            let points = chart.series.iter().flat_map(|series| {
                let row = |point: &[f64; 2]| vec![(&series.name).into(), point[0].into(), point[1].into()];
                series.points.iter().map(row)
            });
            let title =
                if held.is_empty() { chart.title.clone() } else { format!("{}: {held}", chart.title) };
            sheets.push(Sheet::new(title, columns).with_rows(points));
        }
    }
    sheets
}

/// Where a number comes from, a line for each part.
pub(crate) fn explanation(explanation: &Explanation) -> String {
    let mut sheet = Sheet::new("", [text(&explanation.title), text(&explanation.value)]);
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
            sheet.push([name.into(), text.into()]);
        }
    }
    clipboard(&[sheet])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::views::chart::Series;

    #[test]
    fn figures_are_copied_with_all_their_digits() {
        let columns = || [measured("Heat", "kW"), measured("Drop", "kPa")];
        let row = vec![figure(&Figure::new(-1.234_567, 1)), figure(&Figure::none())];
        let sheet = Sheet::new("", columns()).with_rows([row]);
        assert_eq!(clipboard(&[sheet]), "Heat, kW\tDrop, kPa\n-1.234567\t\n");
        assert_eq!(figure(&Figure::new(f64::NAN, 1)), Cell::Absent);
    }

    #[test]
    fn curves_share_one_abscissa() {
        let series = |name: &str, points: &[[f64; 2]]| Series { name: name.into(), points: points.to_vec() };
        let chart = Chart {
            unit: "K".into(),
            series: vec![series("a", &[[0.0, 1.0], [2.0, 3.0]]), series("b", &[[1.0, 5.0]])],
            ..Chart::default()
        };
        assert_eq!(
            clipboard(&[curves("", "x", [&chart].into_iter())]),
            "x\ta, K\tb, K\n0.0\t1.0\t\n1.0\t2.0\t5.0\n2.0\t3.0\t\n"
        );
    }
}
