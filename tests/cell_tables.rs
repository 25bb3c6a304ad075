//! The resistance of a cell as a law and as a table, and its open-circuit voltage between the points.

use aircraft::records::powertrain::Bus;
use aircraft::variant::Varied;
use model::assembly::aged_cell;
use model::design;
use powertrain::cell::Cell;
use testkit::assert_close;

/// A project, or its problems as text.
fn read(text: &str) -> Result<Varied, String> {
    let (node, problems) = project::parse(text.as_bytes());
    if problems.has_errors() {
        return Err(problems.to_string());
    }
    design::apply(&node.ok_or("no tree")?, None).map_err(|problems| problems.to_string())
}

fn bench(cell: &str) -> String {
    format!(
        "Project(format: \"heatledger\", version: 1, name: \"bench\",
        conditions: [Condition(name: \"room\", day: Fixed(\"20 degC\"))],
        components: [Component(name: \"cells\")],
        links: [Link(from: \"cells\", to: \"outside air\", law: Conductance(\"100 W/K\"))],
        powertrain: Powertrain(bus: Pack(cells: \"cells\", series: 10, parallel: 2, cell: Cell(capacity: \"5 Ah\",
            open_circuit: [(0, \"3.0 V\"), (0.5, \"3.7 V\"), (1, \"4.1 V\")], {cell}))),
        points: [Point(name: \"rest\")],
        cases: [CaseGroup(conditions: [\"room\"], points: [\"rest\"])])"
    )
}

fn cell(fields: &str) -> Cell {
    let varied = read(&bench(fields)).unwrap_or_else(|problems| panic!("{problems}"));
    let Bus::Pack(pack) = &varied.project.powertrain.as_ref().expect("a drive").bus else { panic!("a pack") };
    aged_cell(pack, 0.0, "powertrain.bus").unwrap_or_else(|problem| panic!("{problem}"))
}

const TABLE: &str = "resistance_table: (state_of_charge: [0.1, 0.5, 0.9], temperature: [\"0 degC\", \"25 degC\", \"45 degC\"],
    ohm: [\"60 mOhm\", \"30 mOhm\", \"24 mOhm\", \"40 mOhm\", \"20 mOhm\", \"16 mOhm\", \"36 mOhm\", \"18 mOhm\", \"14 mOhm\"]";

#[test]
fn without_a_word_nothing_is_gained_above_25_degc_and_a_short_pulse_is_low_by_30_per_cent() {
    let cell = cell("resistance: \"10 mOhm\"");
    // 10 mOhm x 1.3; before: x 1.2 x exp(2500 (1/330.15 - 1/298.15)) = 0.4436 at 57 degC, a heat of 0.41 of this
    for celsius in [25.0, 40.0, 57.0] {
        assert_close("warm", cell.resistance(273.15 + celsius, 0.5), 0.013, 1e-12);
    }
    // 0 degC: x exp(2500 (1/273.15 - 1/298.15)) = exp(0.767439) = 2.154243
    assert_close("cold", cell.resistance(273.15, 0.5), 0.013 * 2.154_243, 1e-6);
    // a pulse of 5 min stands for itself; 134.164 s, half-way in the logarithm, for 1.15
    assert_close(
        "long",
        self::cell("resistance: \"10 mOhm\", basis: \"300 s\"").resistance(300.0, 0.5),
        0.010,
        1e-12,
    );
    assert_close(
        "middle",
        self::cell("resistance: \"10 mOhm\", basis: \"134.164 s\"").resistance(300.0, 0.5),
        0.0115,
        1e-6,
    );
}

#[test]
fn a_table_is_a_shape_moved_by_one_number() {
    for (way, middle) in [("Linear", 30.0 / 20.0), ("Monotone", f64::NAN)] {
        let cell =
            cell(&format!("resistance: \"10 mOhm\", duration_factor: 1, {TABLE}, interpolation: {way})"));
        // 20 mOhm at 25 degC and half charge stand for 10 mOhm
        assert_close("point", cell.resistance(298.15, 0.5), 0.010, 1e-12);
        assert_close("corner", cell.resistance(273.15, 0.1), 0.030, 1e-12);
        assert_close("hot", cell.resistance(318.15, 0.9), 0.007, 1e-12);
        let between = cell.resistance(285.65, 0.5);
        if middle.is_finite() {
            // half-way from 40 to 20 mOhm along a line
            assert_close("middle", between, 0.010 * middle, 1e-9);
        } else {
            assert!(between < 0.015 && between > 0.010, "a curve through falling points sags: {between}");
        }
        assert!(!cell.is_in_range(268.15, 0.5) && cell.is_in_range(300.0, 0.5));
    }
    // the other number moved by half moves all of it by half
    let moved = cell(&format!("resistance: \"15 mOhm\", duration_factor: 1, {TABLE})"));
    assert_close("moved", moved.resistance(273.15, 0.1), 0.045, 1e-12);
}

#[test]
fn what_a_table_makes_idle_is_refused() {
    for (field, value) in
        [("cold_growth", "\"2000 K\""), ("hot_growth", "\"500 K\""), ("charge_factor", "[(0, 2), (1, 1)]")]
    {
        let told =
            read(&bench(&format!("resistance: \"10 mOhm\", {field}: {value}, {TABLE})"))).expect_err(field);
        assert!(told.contains("has no effect beside a resistance_table"), "{told}");
    }
    let far = read(&bench(&format!("resistance: \"10 mOhm\", resistance_at: \"60 degC\", {TABLE})")))
        .expect_err("outside");
    assert!(far.contains("inside the table"), "{far}");
}

#[test]
fn the_open_circuit_voltage_is_read_as_asked() {
    let straight = cell("resistance: \"10 mOhm\", open_circuit_interpolation: Linear");
    // half-way from 3.0 to 3.7 V
    assert_close("line", straight.open_circuit_v(0.25), 3.35, 1e-12);
    let smooth: f64 = cell("resistance: \"10 mOhm\"").open_circuit_v(0.25);
    assert!(smooth > 3.36 && smooth < 3.5, "{smooth}");
}
