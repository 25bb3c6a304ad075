//! Invented answers for the page Trades.

use std::sync::Arc;

use app::views::chart::{Chart, Series};
use app::views::trades::{Menu, Proposal, Question, Sheet, TradesData};

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
        let sheet = Sheet {
            title: "mass and power".to_owned(),
            head: text(&["variant", "dry kg", "equivalent kg"]),
            numbers: vec![1, 2],
            rows: vec![text(&["base", "11.20", "16.42"]), text(&["large core", "12.05", "16.90"])],
        };
        return TradesData { sheets: vec![sheet], ..asked };
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
    let sheet = Sheet {
        title: "points".to_owned(),
        head: text(&["pack.cell.resistance mOhm", "worst, K"]),
        numbers: vec![0, 1],
        rows: vec![text(&["5.5", "21.000"]), text(&["6.875", "19.500"])],
    };
    let changes = Arc::new(Vec::new());
    let proposal = Proposal { from: "base".to_owned(), note: "loop sized".to_owned(), changes };
    let proposals = matches!(question, Question::Size { .. }).then(|| ("loop".to_owned(), proposal));
    TradesData {
        chart: Some(chart),
        sheets: vec![sheet],
        proposals: proposals.into_iter().collect(),
        ..asked
    }
}
