//! Mistakes are told where they are, all of them, with what to do.

use project::{DEEPEST, parse, read};
use schema::prelude::*;
use schema::{Problems, Tree};

fn told(problems: &Problems) -> Vec<String> {
    problems.iter().map(ToString::to_string).collect()
}

fn syntax(text: &str) -> Vec<String> {
    told(&parse(text.as_bytes()).1)
}

#[test]
fn ten_slips_of_syntax_give_ten_problems_at_their_places() {
    let text = "Project(
    name = \"rig\",
    loops: [
        (name: \"stator\", flow: 12 L/min),
        (name: 'rotor', flow: \"3 L/min\")
        (name: \"oil\"; flow \"2 L/min\"),
        (name: \"plate, flow: \"1 L/min\"),
    ],
    speed: 1.2.3,
    \"sun\": true,,
    note: \"a \\q b\",
    heat-flow: 3,
)";
    let expected = [
        "2:5: error: an equals sign found where a colon is expected; write name:",
        "4:32: error: a quantity with its unit needs quotes: 12 L/min; write \"12 L/min\"",
        "5:16: error: text is in apostrophes; write \"rotor\" with double quotes",
        "5:40: error: a comma is missing after this; write a comma",
        "6:21: error: a semicolon found where a comma is expected; write a comma",
        "6:23: error: the colon after a field name is missing; write flow: before the value",
        "7:16: error: this text is not closed; write \" where it ends",
        "9:12: error: \"1.2.3\" is not a number; write digits with a decimal dot, such as 1.5 or 2e-3",
        "10:5: error: a field name is in quotes; write sun: without quotes",
        "10:17: error: a value is missing before this comma; remove the comma",
        "11:14: error: \\q means nothing in text; write \\\\ for a backslash",
        "12:5: error: a field name holds letters, digits and _ only; write heat_flow:",
    ];
    assert_eq!(syntax(text), expected);
}

#[test]
fn what_follows_a_mistake_is_still_read() {
    let (node, problems) = parse(b"(a: 12 mm, b: 2, c: (d: @, e: 3), f: vendor sheet, g: [1, 'x', 3])");
    let node = node.unwrap();
    assert_eq!(problems.len(), 4, "{problems}");
    assert_eq!(node.field("b"), Some(&Node::count(2)));
    assert_eq!(node.field("c").and_then(|c| c.field("e")), Some(&Node::count(3)));
    assert_eq!(node.field("a").map(|a| &a.tree), Some(&Tree::Broken));
    let Tree::List(items) = &node.field("g").unwrap().tree else { panic!("a list") };
    assert_eq!(items.len(), 3);
}

#[test]
fn brackets_that_do_not_match_are_told_with_their_line() {
    assert_eq!(
        syntax("Project(\n  a: [1, 2"),
        [
            "1:8: error: this ( is never closed; write ) where it ends",
            "2:6: error: this [ is never closed; write ] where it ends",
        ]
    );
    assert_eq!(
        syntax("Project(\n  a: [1, 2)"),
        ["2:11: error: ) found where ] is expected to close the [ of line 2; write ]"]
    );
    assert_eq!(
        syntax("Project(a: 1]"),
        ["1:13: error: ] found where ) is expected to close the ( of line 1; write )"]
    );
    assert_eq!(
        syntax("Project(a: 1))"),
        ["1:14: error: the project ends before this; remove what follows, or a surplus bracket before it"]
    );
    assert_eq!(
        syntax("(a: 1 /* open"),
        [
            "1:1: error: this ( is never closed; write ) where it ends",
            "1:7: error: this comment is never closed; write */ where it ends",
        ]
    );
}

#[test]
fn an_unclosed_text_does_not_swallow_the_lines_after_it() {
    let (node, problems) = parse(b"(\n  name: \"stator,\n  flow: \"2 L/min\",\n  speed: 3,\n)");
    assert_eq!(told(&problems), ["2:9: error: this text is not closed; write \" where it ends"]);
    let node = node.unwrap();
    assert_eq!(node.field("flow"), Some(&Node::text("2 L/min")));
    assert_eq!(node.field("speed"), Some(&Node::count(3)));
    // A text that is closed may go over several lines.
    let (node, problems) = parse(b"(note: \"first\nsecond\", b: 1)");
    assert!(problems.is_empty(), "{problems}");
    assert_eq!(node.unwrap().field("note"), Some(&Node::text("first\nsecond")));
}

#[test]
fn empty_files_and_bytes_that_are_no_text_are_told() {
    for bytes in [&b""[..], b"  \n// nothing\n", b"\xEF\xBB\xBF"] {
        let (node, problems) = parse(bytes);
        assert!(node.is_none());
        assert!(problems.iter().any(|p| p.message == "the file is empty"), "{problems}");
    }
    let (_, problems) = parse(b"(a: 1,\n b: \"\xC3\x28\")");
    assert_eq!(told(&problems), ["2:6: error: this byte is not UTF-8 text; save the file as UTF-8 text"]);
    let (node, problems) = parse(b"\xFF\xFE(\0)\0");
    assert!(node.is_none());
    assert_eq!(told(&problems), ["1:1: error: the file is text in UTF-16; save the file as UTF-8 text"]);
    let (node, problems) = parse(b"\xEF\xBB\xBF(a: 1)");
    assert!(problems.is_empty() && node.is_some(), "a byte order mark is fine");
}

#[test]
fn too_deep_nesting_is_a_problem_and_no_crash() {
    let deep = |n: usize| format!("{}1{}", "[".repeat(n), "]".repeat(n));
    assert_eq!(syntax(&deep(DEEPEST)), Vec::<String>::new());
    let expected = "1:65: error: brackets are nested deeper than 64; make the project flatter";
    assert_eq!(syntax(&deep(DEEPEST + 1)), [expected]);
    assert_eq!(syntax(&deep(200_000)), [expected]);
    let (node, problems) = parse(format!("(a: {}, b: 2)", deep(100)).as_bytes());
    assert_eq!(problems.len(), 1);
    assert_eq!(node.unwrap().field("b"), Some(&Node::count(2)), "what follows is still read");
}

#[test]
fn headers_of_the_notation_are_accepted() {
    assert_eq!(
        syntax("#![enable(implicit_some)]\n#![enable(unwrap_newtypes, implicit_some,)] (a: 1)"),
        Vec::<String>::new()
    );
    assert_eq!(
        syntax("#![enable(magic)]\n(a: 1)"),
        ["1:1: error: this header is not known; remove the line"]
    );
}

#[test]
fn columns_count_characters() {
    assert_eq!(
        syntax("(a: \"°µ\", b: @)"),
        ["1:14: error: '@' begins no value; write text in double quotes, a number, a word, or a bracket"]
    );
}

#[test]
fn the_header_of_a_project_is_checked() {
    let problems = |text: &str| told(&read(text.as_bytes()).unwrap().problems);
    assert_eq!(problems("Project(format: \"heatledger\", version: 1)"), Vec::<String>::new());
    assert_eq!(
        problems("Project(\n  format: \"other\",\n  version: 0.5,\n)"),
        [
            "2:11: error: the text \"other\" is not a project format; write \"heatledger\"",
            "3:12: error: the number 0.5 is not a version of the format; write 1",
        ]
    );
    assert_eq!(
        problems("Project(name: \"x\")"),
        [
            "1:1: error: the project does not state its format; add format: \"heatledger\" as its first field",
            "1:1: error: the project does not state its version; add version: 1 after its format",
        ]
    );
    assert_eq!(
        problems("[1, 2]"),
        [
            "1:1: error: a list of 2 is not a project; begin with Project(format: \"heatledger\", version: 1, ..)"
        ]
    );
    let newer = read(b"Project(format: \"heatledger\", version: 7, brand_new: {})").unwrap_err();
    assert_eq!(
        newer.to_string(),
        "the project has format version 7, this program knows versions up to 1: use a later version"
    );
}

mod sample {
    use schema::prelude::*;

    record! {
        /// A rig for these tests.
        pub struct Project {
            /// Format.
            pub format: String,
            /// Version.
            pub version: Count,
            /// Name.
            pub name: Name,
            /// Hoses.
            pub hoses: List<Hose>,
            /// Air.
            pub air: Input<Temperature> = "20 degC",
        }
    }

    record! {
        /// A hose.
        pub struct Hose {
            /// Name.
            pub name: Name,
            /// Length.
            pub length: Input<Length> where positive,
            /// Parts.
            pub segments: Count = 1,
            /// Kind.
            pub kind: Kind = Rubber,
        }
    }

    choice! {
        /// Kind of a hose.
        pub enum Kind {
            /// Rubber.
            Rubber,
            /// Steel.
            Steel,
        }
    }
}

#[test]
fn ten_mistakes_of_meaning_give_ten_problems_at_their_places() {
    let text = "Project(
    format: \"heatledger\", version: 1, nmae: \"rig\",
    hoses: [
        (name: \"a\", length: \"12 degC\"),
        (name: \"b\", length: \"-2 m\", kind: Steal),
        (name: \"c\", lenght: \"2 m\"),
        (name: \"a\", length: \"2 m\", segments: 1.5),
        Hoose(name: \"d\", length: \"2 m\"),
        (name: \"e/f\", length: true),
    ],
    air: \"20 degC\",
)";
    let loaded = read(text.as_bytes()).unwrap();
    assert!(loaded.problems.is_empty(), "{}", loaded.problems);
    let mut problems = decode::<sample::Project>(&loaded.node.unwrap()).problems;
    problems.sort_by_place();
    let places: Vec<(u32, u32)> = problems
        .iter()
        .map(|problem| problem.place.map_or((0, 0), |place| (place.line, place.column)))
        .collect();
    let expected = [
        (1, 1),  // no name
        (2, 39), // nmae
        (4, 29), // a temperature for a length
        (5, 29), // negative
        (5, 43), // Steal
        (6, 9),  // no length
        (6, 21), // lenght
        (7, 16), // a again
        (7, 46), // 1.5
        (8, 9),  // Hoose
        (9, 16), // e/f
        (9, 31), // true
    ];
    assert_eq!(places, expected, "{problems}");
    assert!(problems.iter().all(|problem| !problem.message.is_empty()), "{problems}");
}

/// A wrong unit does not hide a name that leads nowhere, nor the other way round.
#[test]
fn slips_of_every_sort_are_told_in_one_run() {
    let text = r#"Project(format: "heatledger", version: 1, name: "mix",
  conditions: [Condition(name: "hot", day: HotDay, airspeed: "12 psi")],
  components: [Component(name: "a", capcity: "3 kJ/K")],
  links: [Link(from: "b", to: "outside air", law: Conductance("2 W/K"))],
  points: [Point(name: "p")], cases: [CaseGroup(conditions: ["hott"], points: ["p"])])"#;
    let (node, problems) = parse(text.as_bytes());
    assert!(problems.is_empty(), "{problems}");
    let problems = model::design::decode(&node.expect("a tree was read")).expect_err("it has four mistakes");
    let places: Vec<(u32, u32)> =
        problems.iter().map(|p| p.place.map_or((0, 0), |place| (place.line, place.column))).collect();
    assert_eq!(places, [(2, 62), (3, 37), (4, 22), (5, 62)], "{problems}");
}

/// A law with an offset is another day than its name says, and an offset beyond any air is refused where it stands.
#[test]
fn an_offset_of_a_day_is_told() {
    let told = |condition: &str| {
        let text = format!(
            r#"Project(format: "heatledger", version: 1, name: "day", conditions: [{condition}],
  components: [Component(name: "a", capacity: "3 kJ/K")], links: [Link(from: "a", to: "outside air", law: Conductance("2 W/K"))],
  points: [Point(name: "p")], cases: [CaseGroup(conditions: ["hot"], points: ["p"])])"#
        );
        let (node, problems) = parse(text.as_bytes());
        assert!(problems.is_empty(), "{problems}");
        match model::design::decode(&node.expect("a tree was read")) {
            Ok(project) => told(&model::validate::validate(&project)),
            Err(problems) => told(&problems),
        }
    };
    assert_eq!(told(r#"Condition(name: "hot", day: HotDay)"#), [""; 0]);
    assert_eq!(told(r#"Condition(name: "hot", day: Standard, offset: "15 K")"#), [""; 0]);
    let warned = told(r#"Condition(name: "hot", day: HotDay, offset: "5 K")"#).join("\n");
    assert!(warned.contains("conditions.hot.offset") && warned.contains("27.1043"), "{warned}");
    let refused = told(r#"Condition(name: "hot", day: HotDay, offset: "300 K")"#).join("\n");
    assert!(refused.contains("error") && refused.contains("conditions.hot.offset"), "{refused}");
}
