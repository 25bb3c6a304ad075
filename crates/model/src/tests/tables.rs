use super::listed;
use crate::design::put_table;
use aircraft::revise::{Revision, revise};
use aircraft::starter::{Answers, begin};
use aircraft::tables::*;
use aircraft::variant::project_shape;
use schema::Path;
use schema::{Evidence, Node, list_tables, path};

const CURVE: &str = "loops.extra.path.extra pump.curve";

fn root() -> Node {
    let add = Revision::AddLoop { name: "extra".into(), component: "stator 1".into() };
    revise(&begin(&Answers::default()).unwrap(), &add).unwrap()
}

fn rows(rows: &[&[&str]]) -> Vec<Vec<String>> {
    rows.iter().map(|row| row.iter().map(|cell| (*cell).to_owned()).collect()).collect()
}

fn curve() -> Table {
    read(&root(), CURVE).expect("a pump has a curve")
}

#[test]
fn a_curve_is_read_with_the_unit_of_its_columns_and_put_back_unchanged() {
    let root = root();
    let table = curve();
    assert_eq!(table.columns.len(), 2);
    assert_eq!(table.columns[0].unit, "L/min");
    assert!(table.cells.iter().all(|row| row.iter().all(|cell| cell.parse::<f64>().is_ok())), "{table:?}");
    let revised = revise(&root, &put_table(&root, &table).unwrap()).unwrap();
    assert_eq!(revised, root, "what is not changed stays as typed");
}

#[test]
fn a_pasted_curve_takes_the_units_of_its_head() {
    let root = root();
    let mut table = curve();
    table
        .replace_all(&rows(&[&["flow [gpm]", "rise (psi)"], &["0", "10"], &["5", "6"], &["8", "1"]]))
        .unwrap();
    assert_eq!((table.columns[0].unit.as_str(), table.columns[1].unit.as_str()), ("gpm", "psi"));
    table.source = "bench sheet 7".to_owned();
    table.evidence = Evidence::Measured;
    let revision = put_table(&root, &table).unwrap();
    assert!(revision.title().contains("3 rows"), "{}", revision.title());
    let revised = revise(&root, &revision).unwrap();
    let node = path::get(&revised, &Path::parse(CURVE).unwrap()).unwrap();
    let curve =
        schema::decode::<schema::Curve<schema::kinds::VolumeFlow, schema::kinds::PressureDifference>>(node);
    let points = curve.value.unwrap().si();
    // 5 US gallons a minute: 5 x 3.785411784e-3 / 60 = 3.15451e-4 m3/s; 10 psi: 10 x 6894.757 = 68947.57 Pa (NIST SP 811)
    assert!((points[1].0 - 3.15451e-4).abs() < 1e-9, "{points:?}");
    assert!((points[0].1 - 68_947.57).abs() < 0.01, "{points:?}");
    let again = read(&revised, CURVE).unwrap();
    assert_eq!((again.source.as_str(), again.evidence), ("bench sheet 7", Evidence::Measured));
    assert_eq!(again.cells, table.cells);
}

#[test]
fn every_mistake_stands_beside_its_cell() {
    let root = root();
    let mut table = curve();
    table.replace_all(&rows(&[&["0", "60"], &["1,5", "5 degC"], &["", "x"]])).unwrap();
    let problems = put_table(&root, &table).unwrap_err();
    let at = |cell| problems.iter().find(|problem| problem.cell == Some(cell)).map(CellProblem::text);
    assert_eq!(problems.len(), 4, "{problems:?}");
    assert!(at((1, 0)).unwrap().contains("has a comma; write 1.5"), "{problems:?}");
    assert!(at((1, 1)).unwrap().contains("temperature"), "{problems:?}");
    assert!(at((2, 0)).unwrap().contains("empty"));
    assert!(at((2, 1)).unwrap().contains("does not begin with a number"));
    // what the project has against it comes once the cells are right
    table.replace_all(&rows(&[&["0", "60"], &["10", "40"], &["5", "30"]])).unwrap();
    let problems = put_table(&root, &table).unwrap_err();
    assert_eq!(problems[0].cell, Some((2, 0)), "{problems:?}");
    // a curve that rises is refused as a whole
    table.replace_all(&rows(&[&["0", "40"], &["10", "60"]])).unwrap();
    let problems = put_table(&root, &table).unwrap_err();
    assert!(problems.iter().any(|problem| problem.text().contains("fall")), "{problems:?}");
}

#[test]
fn columns_are_converted_or_read_in_another_unit() {
    let mut table = curve();
    table.replace_all(&rows(&[&["0", "60"], &["60", "0.1 bar"]])).unwrap();
    table.read_in(0, "L/min");
    table.read_in(1, "kPa");
    let mut converted = table.clone();
    converted.convert_to(0, "L/s");
    // 60 L/min is 1 L/s
    assert_eq!((converted.cells[1][0].as_str(), converted.columns[0].unit.as_str()), ("1", "L/s"));
    table.read_in(0, "L/s");
    assert_eq!(table.cells[1][0], "60", "the number stays");
    converted.convert_to(1, "Pa");
    assert_eq!((converted.cells[0][1].as_str(), converted.cells[1][1].as_str()), ("60000", "10000"));
}

#[test]
fn blocks_that_do_not_fit_leave_the_table_as_it_was() {
    let mut table = curve();
    let before = table.clone();
    // 0,5 and 60,0 split at every comma
    let wide = table.replace_all(&rows(&[&["0", "5", "60", "0"]])).unwrap_err();
    assert!(wide.to_string().contains("decimals with a point"), "{wide}");
    let unit = table.replace_all(&rows(&[&["flow [kPa]", "rise"], &["0", "1"]])).unwrap_err();
    assert!(unit.to_string().contains("volume flow"), "{unit}");
    assert_eq!(table.replace_all(&[]), Err(Misfit::Empty));
    assert_eq!(table.put_from((0, 1), &rows(&[&["1", "2"]])), Err(Misfit::TooWide));
    assert_eq!(table, before);
    table.put_from((1, 1), &rows(&[&["7"], &["6"]])).unwrap();
    assert_eq!((table.cells[1][1].as_str(), table.cells[2][1].as_str()), ("7", "6"));
}

#[test]
fn a_map_is_a_grid_with_its_axes_on_the_sides() {
    let root = root();
    let map = Node::record(
        "Map",
        vec![
            ("liquid", Node::list(["5 L/min", "10 L/min"].map(Node::text).to_vec())),
            ("air", Node::list(["0.1 m3/s", "0.2 m3/s"].map(Node::text).to_vec())),
            (
                "conductance",
                Node::list(["100 W/K", "150 W/K", "120 W/K", "190 W/K"].map(Node::text).to_vec()),
            ),
        ],
    );
    let path = "cores.extra radiator.transfer";
    let changes = vec![
        (path.to_owned(), map),
        ("cores.extra radiator.air_flow".to_owned(), point("Point", "100 Pa", "0.2 m3/s")),
        ("cores.extra radiator.liquid_flow".to_owned(), point("Point", "2 kPa", "10 L/min")),
    ];
    let root = revise(&root, &Revision::Replace { title: "map".to_owned(), changes }).unwrap();
    let mut table = read(&root, path).expect("a map is a table");
    assert_eq!(table.form, Form::Grid);
    assert_eq!(table.cells, rows(&[&["", "0.1", "0.2"], &["5", "100", "150"], &["10", "120", "190"]]));
    table.add_row(2);
    table.cells[3] = rows(&[&["20", "130", "230"]])[0].clone();
    let revised = revise(&root, &put_table(&root, &table).unwrap()).unwrap();
    let conductance = path::get(&revised, &Path::parse(&format!("{path}.conductance")).unwrap()).unwrap();
    let written: Vec<&str> = listed(conductance).iter().filter_map(Node::as_text).collect();
    assert_eq!(written, ["100 W/K", "150 W/K", "120 W/K", "190 W/K", "130 W/K", "230 W/K"]);
    table.cells[0][1] = "0.3".to_owned();
    let problems = put_table(&root, &table).unwrap_err();
    assert!(!problems.is_empty(), "air flows must rise");
    // a block with a word in its corner, as a spreadsheet has it
    let block =
        rows(&[&["liquid \\ air", "0.1", "0.2", "0.3"], &["5", "1", "2", "3"], &["9", "4", "5", "6"]]);
    table.replace_all(&block).unwrap();
    assert_eq!((table.cells[0][0].as_str(), table.width()), ("", 4));
    let revised = revise(&root, &put_table(&root, &table).unwrap()).unwrap();
    let air = path::get(&revised, &Path::parse(&format!("{path}.air")).unwrap()).unwrap();
    assert_eq!(listed(air).len(), 3);
    assert!(matches!(
        table.replace_all(&rows(&[&["", "1", "2"], &["5", "1"]])),
        Err(Misfit::Width { row: 2, .. })
    ));
}

fn point(tag: &str, drop: &str, at: &str) -> Node {
    Node::record(tag, vec![("drop", Node::text(drop)), ("at", Node::text(at))])
}

#[test]
fn every_table_of_a_project_goes_there_and_back() {
    let root = root();
    let entries = list_tables(&root, project_shape());
    assert!(entries.len() > 3, "{}", entries.len());
    for entry in &entries {
        let address = entry.path.to_string();
        let table = read(&root, &address).unwrap_or_else(|| panic!("{address} is no table"));
        let revision = put_table(&root, &table).unwrap_or_else(|problems| panic!("{address}: {problems:?}"));
        assert_eq!(revise(&root, &revision).unwrap(), root, "{address}");
    }
}

#[test]
fn cells_of_tables_are_told_from_numbers_of_their_own() {
    let entries = list_tables(&root(), project_shape());
    assert!(is_cell(&entries, "loops.extra.path.extra pump.curve.1.2"));
    assert!(!is_cell(&entries, "loops.extra.path.extra pump.speed"));
    assert!(!is_cell(&entries, CURVE), "the table itself is none");
}
