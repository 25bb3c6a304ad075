//! What is written reads back, here and with the `ron` crate; no text makes the reader fail.

use project::{LINE_WIDTH, parse, write};
use proptest::prelude::*;
use schema::{Key, Node, Place, Tree};

fn leaf() -> impl Strategy<Value = Node> {
    prop_oneof![
        any::<String>().prop_map(Node::text),
        "[0-9]{1,3} (L/min|degC|kPa|µm|°C)".prop_map(Node::text),
        any::<f64>().prop_filter("finite", |value| value.is_finite()).prop_map(Node::number),
        any::<u32>().prop_map(|value| Node::count(value as usize)),
        any::<bool>().prop_map(Node::flag),
        "[A-Z][a-zA-Z0-9_]{0,8}".prop_map(Node::word),
    ]
}

fn field_name() -> impl Strategy<Value = String> {
    prop_oneof!["[a-z_][a-z0-9_]{0,10}", "[a-z]-[a-z+.]{1,4}", Just("true".to_owned()), Just("r".to_owned())]
}

/// Trees of the shapes that project files hold. The `ron` crate reads records without a tag as maps, so
/// field names are kept distinct.
fn tree() -> impl Strategy<Value = Node> {
    leaf().prop_recursive(5, 60, 6, |inner| {
        let tag = || prop_oneof![Just(None), "[A-Z][a-zA-Z]{0,7}".prop_map(Some)];
        let items = || prop::collection::vec(inner.clone(), 0..6);
        let fields = prop::collection::btree_map(field_name(), inner.clone(), 0..6);
        prop_oneof![
            items().prop_map(Node::list),
            (tag(), items()).prop_map(|(tag, items)| Tree::Tuple { tag, items }.into()),
            (tag(), fields).prop_map(|(tag, fields)| {
                let fields = fields.into_iter().map(|(name, node)| (Key::new(name), node)).collect();
                Tree::Record { tag, fields }.into()
            }),
            prop::collection::vec((any::<String>().prop_map(Node::text), inner.clone()), 0..4)
                .prop_map(|entries| Tree::Map(entries).into()),
        ]
    })
}

fn has_word(node: &Node, word: &str) -> bool {
    write(node).contains(word)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(400) })]

    #[test]
    fn what_is_written_reads_back(node in tree()) {
        let text = write(&node);
        let (read, problems) = parse(text.as_bytes());
        prop_assert!(problems.is_empty(), "{problems}\n{text}");
        prop_assert_eq!(read.as_ref(), Some(&node), "{}", text);
        prop_assert_eq!(write(&node), write(&read.unwrap()));
    }

    /// `Some` and `None` mean something of their own to the `ron` crate, so random tags of that name are left out.
    #[test]
    fn the_ron_crate_reads_what_is_written(node in tree()) {
        prop_assume!(!has_word(&node, "Some") && !has_word(&node, "None"));
        let text = write(&node);
        let read = ron::from_str::<ron::Value>(&text);
        prop_assert!(read.is_ok(), "{:?}\n{}", read, text);
    }

    #[test]
    fn any_text_is_read_without_failing(text in any::<String>()) {
        check_places(text.as_bytes());
    }

    #[test]
    fn any_bytes_are_read_without_failing(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        check_places(&bytes);
    }

    #[test]
    fn text_of_the_notation_is_read_without_failing(text in "[\\[\\](){}:,;=\"'\\\\a-c12. \n/*#r+°-]{0,60}") {
        check_places(text.as_bytes());
    }

    #[test]
    fn a_changed_project_is_read_without_failing(
        node in tree(), at in any::<prop::sample::Index>(), put in "[\\[\\](){}:,;=\"'\\\\a1. \n/*#r°]{0,2}", cut in 0_usize..4,
    ) {
        let mut text: Vec<char> = write(&node).chars().collect();
        let at = at.index(text.len());
        let end = (at + cut).min(text.len());
        text.splice(at..end, put.chars());
        let text: String = text.into_iter().collect();
        check_places(text.as_bytes());
        // What this reader takes without a word, the `ron` crate takes too, apart from repeated fields of a tag.
        let (read, problems) = parse(text.as_bytes());
        if problems.is_empty() && !text.contains("Some") && !text.contains("None") {
            let other = ron::from_str::<ron::Value>(&text);
            prop_assert!(other.is_ok(), "{:?}\n{}\n{:?}", other, text, read);
        }
    }
}

fn check_places(bytes: &[u8]) {
    let (node, problems) = parse(bytes);
    assert!(node.is_some() || !problems.is_empty(), "nothing read and nothing told");
    let (text, _) = project::decode_text(bytes);
    let lines: Vec<&str> = text.split('\n').collect();
    for problem in &problems {
        let place = problem.place.expect("mistakes of syntax have a place");
        assert!(place.line >= 1 && place.line as usize <= lines.len(), "{problem}");
        let line = lines[place.line as usize - 1];
        assert!(place.column as usize <= line.chars().count() + 1, "{problem} in {line:?}");
    }
}

#[test]
fn layout_is_readable() {
    let hose =
        |name: &str| Node::record("Hose", vec![("name", Node::text(name)), ("length", Node::text("1.50 m"))]);
    let long = "a remark that is so long that the record around it cannot stand on one line any more, sad";
    let node = Node::record(
        "Project",
        vec![
            ("version", Node::count(1)),
            ("hoses", Node::list(vec![hose("one"), hose("two \"quoted\"")])),
            ("none", Node::list(vec![])),
            ("loop", Node::record("", vec![("note", Node::text(long)), ("on", Node::flag(true))])),
            ("parts", Node::list(vec![hose("a"), hose("b"), hose("c"), hose("d"), hose("e")])),
        ],
    );
    let expected = "Project(
    version: 1,
    hoses: [Hose(name: \"one\", length: \"1.50 m\"), Hose(name: \"two \\\"quoted\\\"\", length: \"1.50 m\")],
    none: [],
    loop: (
        note: \"a remark that is so long that the record around it cannot stand on one line any more, sad\",
        on: true,
    ),
    parts: [
        Hose(name: \"a\", length: \"1.50 m\"),
        Hose(name: \"b\", length: \"1.50 m\"),
        Hose(name: \"c\", length: \"1.50 m\"),
        Hose(name: \"d\", length: \"1.50 m\"),
        Hose(name: \"e\", length: \"1.50 m\"),
    ],
)
";
    let written = write(&node);
    assert_eq!(written, expected);
    let fits = |line: &&str| line.chars().count() <= LINE_WIDTH;
    assert!(written.lines().filter(|line| !line.contains("remark")).all(|line| fits(&line)));
}

#[test]
fn typed_text_and_places_are_kept() {
    let (node, problems) = parse(
        "// a comment\nHose(\n  length: \"12.50  mm\", speed: 1.50e0, /* why */ kind: r#\"C:\\x\"#)"
            .as_bytes(),
    );
    assert!(problems.is_empty(), "{problems}");
    let node = node.unwrap();
    assert_eq!(node.place, Place::new(2, 1, 4));
    assert_eq!(node.field("length").unwrap().place, Place::new(3, 11, 11));
    assert_eq!(node.field("kind"), Some(&Node::text("C:\\x")));
    assert_eq!(
        write(&node),
        "Hose(\n    length: \"12.50  mm\",\n    speed: 1.50e0,\n    kind: \"C:\\\\x\",\n)\n"
    );
}
