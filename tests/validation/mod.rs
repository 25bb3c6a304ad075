//! Every relation and property against something outside the project, and the page that says how close they come.
//!
//! Each module checks one family through the public functions of the crates and returns a [`record::Record`]; a value
//! outside its tolerance fails there, with both numbers and the source.

mod air;
mod charge;
mod coolants;
mod examples;
mod flight;
mod flow;
mod losses;
mod oils;
mod page;
mod quantities;
mod record;
mod relations;
mod second_integrator;
mod surfaces;
mod transients;

use record::{Origin, Record};
use std::collections::BTreeMap;

/// Tables that hold no values to be compared: coefficients, which are summed on a grid instead.
const COEFFICIENTS: &str = "glycol_polynomials.csv";

fn all() -> Vec<Record> {
    vec![
        air::record(),
        coolants::record(),
        oils::record(),
        flow::resistance(),
        flow::inside(),
        surfaces::outside(),
        surfaces::exchangers(),
        surfaces::rotors(),
        losses::record(),
        charge::record(),
        flight::record(),
        examples::record(),
        transients::record(),
        second_integrator::record(),
        quantities::record(),
    ]
}

#[test]
fn every_row_of_every_reference_table_is_checked() {
    let mut points: BTreeMap<String, usize> = BTreeMap::new();
    for line in all().iter().flat_map(Record::lines) {
        if let Some(file) = &line.file {
            *points.entry(file.clone()).or_default() += line.points;
        }
    }
    let folder =
        std::fs::read_dir(testkit::data_path("")).expect("the data folder is part of the repository");
    let mut seen = 0;
    for entry in folder {
        let path = entry.expect("the folder can be listed").path();
        let file = path.file_name().and_then(|name| name.to_str()).expect("plain names").to_owned();
        if path.extension().is_none_or(|extension| extension != "csv") || file == COEFFICIENTS {
            continue;
        }
        let rows = testkit::table(&file).rows().len();
        let checked = points.get(&file).copied().unwrap_or(0);
        assert!(checked >= rows, "{file}: {checked} comparisons for {rows} rows");
        seen += 1;
    }
    assert_eq!(seen, points.len(), "a checked table is missing from the folder");
}

#[test]
fn at_least_thirty_references_are_from_outside() {
    let records = all();
    let outside = page::references(&records, Origin::Outside);
    assert!(outside.len() >= 30, "{outside:#?}");
}

#[test]
fn only_the_line_that_says_so_exceeds_its_tolerance() {
    for line in all().iter().flat_map(Record::lines) {
        let accepted = if line.what == coolants::TOO_STRONG { 1.15 } else { 1.0 };
        assert!(line.points > 0 && line.of_tolerance <= accepted, "{line:?}");
    }
}

#[test]
fn the_page_is_current() {
    let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../docs/validation.md");
    let page = page::render(&all());
    if std::env::var_os("UPDATE_DOCS").is_some() {
        std::fs::write(&file, &page).expect("the page can be written");
    }
    let stored = std::fs::read_to_string(&file).unwrap_or_default();
    let differing = stored.lines().zip(page.lines()).find(|(old, new)| old != new);
    assert!(
        stored == page,
        "docs/validation.md is out of date, run this test with UPDATE_DOCS=1; first difference: {differing:?}"
    );
}
