//! Invented answers for the page Trades.

use std::sync::Arc;

use app::views::chart::{Chart, Series};
use app::views::trades::{Menu, Proposal, Question, TradesData};
use report::sheet::{Column, Sheet};
use units::Kind;

/// The answer to any question: variants as a table, everything else as two curves with their points.
pub(crate) fn answer(question: &Question) -> TradesData {
    let text = |words: &[&str]| words.iter().map(|word| (*word).to_owned()).collect::<Vec<String>>();
    let menu = Menu {
        inputs: [("pack.cell.resistance", "11 mOhm"), ("Nose core.face area", "820 cm2")]
            .map(|(path, value)| (path.to_owned(), value.to_owned()))
            .to_vec(),
        results: text(&["worst", "mass", "temperature:hot day/hover:cells"]),
        loops: text(&["Motor loop", "Battery loop"]),
    };
    let asked = TradesData {
        asked: question.clone(),
        menu: Arc::new(menu),
        is_answered: true,
        notes: vec!["Invented numbers.".to_owned()],
        ..TradesData::default()
    };
    if let Question::Variants = question {
        let columns = [
            Column::text("variant"),
            Column::number("dry_kg", Kind::Mass, "kg", 2).head("dry"),
            Column::number("equivalent_kg", Kind::Mass, "kg", 2).head("equivalent"),
        ];
        let rows = [("base", 11.2, 16.42), ("large core", 12.05, 16.9)];
        let sheet = Sheet::new("mass and power", columns)
            .with_rows(rows.map(|(name, dry, equivalent)| vec![name.into(), dry.into(), equivalent.into()]));
        return TradesData { sheets: vec![sheet.into()], ..asked };
    }
    let curve = |name: &str, slope: f64| Series {
        name: name.to_owned(),
        points: (0..9).map(|n| [5.5 + 1.375 * f64::from(n), 21.0 - slope * f64::from(n)]).collect(),
    };
    let chart = Chart {
        title: "worst".to_owned(),
        x_unit: "pack.cell.resistance, mOhm".to_owned(),
        unit: "K".to_owned(),
        decimals: 2,
        series: vec![curve("20 degC", 1.5), curve("35 degC", 2.25)],
        ..Chart::default()
    };
    let columns = [
        Column::plain("pack.cell.resistance", "pack.cell.resistance", "mOhm", 3),
        Column::plain("worst", "worst", "K", 3),
    ];
    let rows = [[5.5, 21.0], [6.875, 19.5]];
    let sheet = Sheet::new("points", columns).with_rows(rows.map(|row| row.map(Into::into).to_vec()));
    let changes = Arc::new(Vec::new());
    let proposal = Proposal { from: "base".to_owned(), note: "loop sized".to_owned(), changes };
    let proposals = matches!(question, Question::Size { .. }).then(|| ("loop".to_owned(), proposal));
    TradesData {
        chart: Some(chart),
        sheets: vec![sheet.into()],
        proposals: proposals.into_iter().collect(),
        ..asked
    }
}
