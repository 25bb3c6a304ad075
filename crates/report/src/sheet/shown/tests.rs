use crate::sheet::{Cell, Column, Digits, Sheet, Style};
use units::Kind;

fn texts(sheet: &Sheet, style: &Style) -> Vec<Vec<String>> {
    let rows = sheet.shown(style).rows;
    rows.into_iter().map(|row| row.into_iter().map(|cell| cell.text).collect()).collect()
}

const WINDOW: Style = Style {
    minus: '\u{2212}',
    clock: |time_s| format!("{time_s:.0} s"),
    is_zero_plain: true,
    is_quiet: true,
    head: |words, unit| if unit.is_empty() { words.to_owned() } else { format!("{words}, {unit}") },
};

/// 338.15 K are 65 degC; a margin of -5 K under a mark; 2094.395 rad/s are 20000 rpm by 30/pi.
fn sheet() -> Sheet {
    let mut sheet = Sheet::new(
        "limits",
        [
            Column::short(["SHORT ", " "]),
            Column::mixed("margin").signed(),
            Column::text("where"),
            Column::text("limit").after(", "),
            Column::number("value_K", Kind::Temperature, "degC", 1).head("value").or("none"),
            Column::time("at_s").head("at"),
            Column::number("limit_K", Kind::Temperature, "degC", 1).data(),
        ],
    );
    sheet.push([
        true.into(),
        Cell::Own(Kind::TemperatureDifference, -5.0),
        "rotor".into(),
        "glue".into(),
        338.15.into(),
        Cell::Time(359.3),
        333.15.into(),
    ]);
    sheet.push([
        false.into(),
        Cell::Own(Kind::RotationalSpeed, 20_000.0 * std::f64::consts::PI / 30.0),
        "motor".into(),
        Cell::Absent,
        Cell::Absent,
        Cell::Absent,
        Cell::Absent,
    ]);
    sheet
}

#[test]
fn columns_that_belong_together_are_shown_as_one() {
    let shown = sheet().shown(&Style::PAGE);
    let heads: Vec<&str> = shown.columns.iter().map(|column| column.head.as_str()).collect();
    assert_eq!(heads, ["margin", "where", "value degC", "at"]);
    assert_eq!(
        texts(&sheet(), &Style::PAGE),
        [["SHORT -5.0 K", "rotor, glue", "65.0", "0:05:59"], [" +20000 rpm", "motor", "none", ""]]
    );
    assert!(shown.rows[0][0].is_short && !shown.rows[1][0].is_short);
}

#[test]
fn the_window_has_true_minus_signs_and_its_own_clock_and_heads() {
    let shown = sheet().shown(&WINDOW);
    assert_eq!(shown.columns[2].head, "value, degC");
    assert_eq!(texts(&sheet(), &WINDOW)[0], ["short \u{2212}5.0 K", "rotor, glue", "65.0", "359 s"]);
}

#[test]
fn digits_are_those_of_the_column() {
    let told = |digits: Digits, value: f64| {
        let column = Column::plain("x", "x", "", 2).digits(digits);
        texts(&Sheet::new("", [column]).with_rows([vec![value.into()]]), &Style::PAGE)[0][0].clone()
    };
    assert_eq!(told(Digits::Fixed(2), 1.234), "1.23");
    assert_eq!(told(Digits::Exponent(4), 1.001e-3), "1.0010e-3");
    assert_eq!((told(Digits::Short, 0.25), told(Digits::Short, 3.0)), ("0.25".into(), "3".into()));
    assert_eq!(
        (told(Digits::Short, 2500.0 / 3.0), told(Digits::Short, 1_234_567.8)),
        ("833.333".into(), "1234568".into())
    );
    assert_eq!((told(Digits::Short, 100.0), told(Digits::Short, -1e-9)), ("100".into(), "0".into()));
    assert_eq!(
        (told(Digits::Three, 123.4), told(Digits::Three, 12.34), told(Digits::Three, 1.234)),
        ("123".into(), "12.3".into(), "1.234".into())
    );
    let zero = |style: &Style| {
        let sheet = Sheet::new("", [Column::plain("x", "x", "", 1)]).with_rows([vec![(-0.04).into()]]);
        texts(&sheet, style)[0][0].clone()
    };
    assert_eq!((zero(&Style::PAGE), zero(&WINDOW)), ("0.0".into(), "0.0".into()));
}
