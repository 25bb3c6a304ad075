//! docs/file-format.md is what the schema says, and its examples are right.

use project::parse;
use schema::{Change, Decode as _, Decoder, Tree, docs};

const PAGE: &str = "../../docs/file-format.md";

#[test]
fn the_page_is_up_to_date() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(PAGE);
    let expected = docs::file_format(Some(aircraft::variant::project_shape()));
    if std::env::var_os("UPDATE_DOCS").is_some() {
        std::fs::write(&path, &expected).expect("the docs folder can be written");
    }
    let found = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(found == expected, "{PAGE} is out of date: run the tests once with UPDATE_DOCS=1");
}

#[test]
fn the_examples_on_the_page_are_read_without_a_problem() {
    let page = docs::file_format(Some(aircraft::variant::project_shape()));
    let examples: Vec<&str> =
        page.split("```ron\n").skip(1).filter_map(|rest| rest.split("```").next()).collect();
    assert!(examples.len() >= 4);
    for example in &examples {
        let (_, problems) = parse(example.as_bytes());
        assert!(problems.is_empty(), "{problems}\n{example}");
    }
    let changes = examples.iter().find(|example| example.contains("Set(")).expect("changes are shown");
    let (node, _) = parse(changes.as_bytes());
    let mut decoder = Decoder::new();
    let changes = Vec::<Change>::decode(&node.expect("read above"), &mut decoder);
    assert_eq!(changes.map(|changes| changes.len()), Some(4), "{}", decoder.problems());
}

#[test]
fn words_of_the_notation_mean_what_the_page_says() {
    let read = |text: &str| parse(text.as_bytes()).0.map(|node| node.tree);
    assert_eq!(read("\"\\\"\\\\\\n\\t\\u{b5}\""), Some(Tree::Text("\"\\\n\tµ".to_owned())));
    assert_eq!(read("None"), Some(Tree::Word("None".to_owned())));
    let mut decoder = Decoder::new();
    let some = parse(b"Some(3)").0.and_then(|node| Option::<usize>::decode(&node, &mut decoder));
    assert_eq!(some, Some(Some(3)));
}

#[test]
fn every_default_of_the_aircraft_records_is_a_value_of_its_field() {
    let misfits = docs::misfit_defaults(aircraft::variant::project_shape());
    assert!(misfits.is_empty(), "{misfits:#?}");
}
