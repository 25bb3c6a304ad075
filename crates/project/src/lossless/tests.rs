//! What every edit at every position does to a text.

use super::*;

fn tree(text: &str) -> Node {
    let (node, problems) = parse(text.as_bytes());
    assert!(problems.is_empty(), "{problems}\n{text}");
    node.expect("a value")
}

/// Rewrites a text so that it reads as another one, and compares.
#[track_caller]
fn becomes(original: &str, edited: &str, expected: &str) {
    let found = rewrite(original, &tree(edited));
    assert_eq!(found.text, expected, "\nfound:\n{}\nexpected:\n{expected}", found.text);
    assert_eq!(found.kept, Kept::AllElse);
    assert_eq!(found.splices.applied(original), found.text);
}

const LINES: &str = "[
    // of a
    \"a\", // a
    \"b\" /* b */,
    // of c
    \"c\", // c

    // of nothing
]
";

#[test]
fn nothing_edited_is_nothing_changed() {
    for text in [LINES, "\u{FEFF}  ( a : 1e0 , )  // end", "#![enable(implicit_some)]\n/**/[ ]\r\n"] {
        becomes(text, text, text);
    }
}

#[test]
fn a_value_is_set_and_every_comment_stays() {
    becomes(LINES, "[\"x\", \"b\", \"c\"]", &LINES.replace("\"a\"", "\"x\""));
    becomes(LINES, "[\"a\", \"x\", \"c\"]", &LINES.replace("\"b\"", "\"x\""));
    becomes(LINES, "[\"a\", \"b\", \"x\"]", &LINES.replace("\"c\"", "\"x\""));
    becomes("(a /*1*/ : /*2*/ 1 /*3*/ , b: 2)", "(a: 10, b: 2)", "(a /*1*/ : /*2*/ 10 /*3*/ , b: 2)");
    becomes("/*1*/ A /*2*/ ( /*3*/ x /*4*/ ) // 5", "A(y)", "/*1*/ A /*2*/ ( /*3*/ y /*4*/ ) // 5");
    becomes("{ 1 : a, /* b */ 2 : b }", "{1: a, 2: c}", "{ 1 : a, /* b */ 2 : c }");
    becomes("[r#\"a\"b\"#, \"\\u{b5}\", 1_000.]", "[\"z\", \"µ\", 1_000.]", "[\"z\", \"\\u{b5}\", 1_000.]");
}

#[test]
fn an_item_on_a_line_of_its_own_is_added_before_between_and_last() {
    let at = |place: &str, line: &str| LINES.replacen(place, &format!("{line}{place}"), 1);
    becomes(LINES, "[\"x\", \"a\", \"b\", \"c\"]", &at("    // of a\n", "    \"x\",\n"));
    becomes(LINES, "[\"a\", \"x\", \"b\", \"c\"]", &at("    \"b\"", "    \"x\",\n"));
    becomes(LINES, "[\"a\", \"b\", \"x\", \"c\"]", &at("    // of c\n", "    \"x\",\n"));
    becomes(LINES, "[\"a\", \"b\", \"c\", \"x\"]", &at("\n    // of nothing", "    \"x\",\n"));
    let two = at("    // of c\n", "    \"x\",\n    \"y\",\n");
    becomes(LINES, "[\"a\", \"b\", \"x\", \"y\", \"c\"]", &two);
}

#[test]
fn an_item_on_a_line_of_its_own_is_deleted_with_its_comments() {
    becomes(LINES, "[\"b\", \"c\"]", &LINES.replace("    // of a\n    \"a\", // a\n", ""));
    becomes(LINES, "[\"a\", \"c\"]", &LINES.replace("    \"b\" /* b */,\n", ""));
    becomes(LINES, "[\"a\", \"b\"]", &LINES.replace("    // of c\n    \"c\", // c\n", ""));
    becomes(LINES, "[\"b\"]", "[\n    \"b\" /* b */,\n\n    // of nothing\n]\n");
    becomes(LINES, "[]", "[\n\n    // of nothing\n]\n");
    becomes("[\n  // a\n  1, // b\n]", "[]", "[]");
}

#[test]
fn an_item_moves_with_its_comments() {
    let swapped = "[
    \"b\" /* b */,
    // of a
    \"a\", // a
    // of c
    \"c\", // c

    // of nothing
]
";
    becomes(LINES, "[\"b\", \"a\", \"c\"]", swapped);
    let last_first = "[
    // of c
    \"c\", // c
    // of a
    \"a\", // a
    \"b\" /* b */,

    // of nothing
]
";
    becomes(LINES, "[\"c\", \"a\", \"b\"]", last_first);
    becomes("[1, /* two */ 2, 3 /* three */]", "[3, 1, 2]", "[3 /* three */, 1, /* two */ 2]");
    becomes("[\n  1, // one\n  2 // two\n]", "[2, 1]", "[\n  2, // two\n  1 // one\n]");
    becomes("[\n  1, // one\n  2]", "[2, 1]", "[\n  2,\n  1 // one\n  ]");
    becomes("(a: 1, b: 2, c: 3)", "(c: 3, b: 2, a: 1)", "(c: 3, b: 2, a: 1)");
    let only_named = "[\n  C(name: \"a\"), // a\n]";
    becomes(only_named, "[C(name: \"b\")]", &only_named.replace("\"a\"", "\"b\""));
    let one = "[\n  H(name: \"a\", x: 1), // a\n  H(name: \"b\", x: 1), // b\n]";
    let other = "[\n  H(name: \"b\", x: 1), // b\n  H(name: \"a\", x: 2), // a\n]";
    becomes(one, "[H(name: \"b\", x: 1), H(name: \"a\", x: 2)]", other);
}

#[test]
fn a_list_on_one_line_stays_on_one_line() {
    becomes("[1, 2]", "[1, 2, 3]", "[1, 2, 3]");
    becomes("[1, 2,]", "[1, 2, 3]", "[1, 2, 3,]");
    becomes("[ 1 ]", "[1, 2]", "[ 1, 2 ]");
    becomes("[1, 2 /* two */]", "[1, 2, 3]", "[1, 2 /* two */, 3]");
    becomes("[1, 2 // two\n]", "[1, 2, 3]", "[1, 2, 3 // two\n]");
    becomes("[2, 3]", "[1, 2, 3]", "[1, 2, 3]");
    becomes("[/* two */ 2, 3]", "[1, 2, 3]", "[1, /* two */ 2, 3]");
    becomes("[1, 3]", "[1, 2, 3]", "[1, 2, 3]");
    becomes("[1, 2, 3]", "[2, 3]", "[2, 3]");
    becomes("[1, 2, 3]", "[1, 3]", "[1, 3]");
    becomes("[1, 2, 3]", "[1, 2]", "[1, 2]");
    becomes("[1, 2, 3,]", "[1, 2]", "[1, 2,]");
    becomes("[1, 2, 3]", "[3]", "[3]");
    becomes("[ 1 /* one */ ]", "[]", "[]");
    becomes("[1]", "[Z]", "[Z]");
    becomes("[A(1), B(2)]", "[C(1)]", "[C(1)]");
}

#[test]
fn lines_of_several_items_keep_their_layout() {
    let table = "[\n  // first\n  (1, 2), (3, 4), // row\n  (5, 6), // last\n]";
    becomes(
        table,
        "[(1, 2), (3, 4), (7, 8), (5, 6)]",
        "[\n  // first\n  (1, 2), (3, 4), // row\n  (7, 8),\n  (5, 6), // last\n]",
    );
    becomes(table, "[(3, 4), (5, 6)]", "[\n  // first\n  (3, 4), // row\n  (5, 6), // last\n]");
    becomes(table, "[(1, 2), (5, 6)]", "[\n  // first\n  (1, 2), // row\n  (5, 6), // last\n]");
    becomes(table, "[(5, 6)]", "[\n  // first\n   // row\n  (5, 6), // last\n]");
    becomes(
        table,
        "[(1, 2), (3, 4), (5, 6), (7, 8)]",
        "[\n  // first\n  (1, 2), (3, 4), // row\n  (5, 6), // last\n  (7, 8),\n]",
    );
    becomes(table, "[(1, 2), (3, 9), (5, 6)]", &table.replace('4', "9"));
}

#[test]
fn an_empty_list_is_filled() {
    becomes("(a: [])", "(a: [1])", "(a: [1])");
    becomes("(a: [ ])", "(a: [1, 2])", "(a: [1, 2])");
    becomes("(\n  a: [\n    // none yet\n  ],\n)", "(a: [1])", "(\n  a: [\n    // none yet\n    1,\n  ],\n)");
    becomes("(a: [ /* none */ ])", "(a: [1, 2])", "(a: [ /* none */ 1, 2])");
    becomes("A()", "A(x: 1)", "A(x: 1)");
    becomes("A( // none\n)", "A(x: 1)", "A( // none\n    x: 1,\n)");
    let long = format!("[\"{}\", \"{}\"]", "x".repeat(60), "y".repeat(60));
    let lines = format!("(\n\ta: [\n\t\t\"{}\",\n\t\t\"{}\",\n\t],\n)", "x".repeat(60), "y".repeat(60));
    becomes("(\n\ta: [],\n)", &format!("(a: {long})"), &lines);
}

#[test]
fn a_field_comes_and_goes() {
    let text = "Hose(\r\n\tname: \"h\", // name\r\n\t// measured\r\n\tlength: \"1 m\",\r\n)\r\n";
    becomes(text, "Hose(name: \"h\")", "Hose(\r\n\tname: \"h\", // name\r\n)\r\n");
    becomes(
        text,
        "Hose(name: \"h\", length: \"1 m\", bore: \"2 mm\")",
        &text.replace("1 m\",\r\n", "1 m\",\r\n\tbore: \"2 mm\",\r\n"),
    );
    becomes(
        text,
        "Hose(name: \"h\", note: \"n\", length: \"1 m\")",
        &text.replace("// name\r\n", "// name\r\n\tnote: \"n\",\r\n"),
    );
    becomes("A(x: 1, y: 2 // y\n)", "A(x: 1, y: 2, z: 3)", "A(x: 1, y: 2, z: 3 // y\n)");
    becomes("A(x: 1,\n  y: 2)", "A(y: 2)", "A(y: 2)");
    becomes("A(x: 1,\n  y: 2)", "A(x: 1)", "A(x: 1)");
    becomes("A(x: 1, // x\n  y: 2)", "A(x: 1, z: 3, y: 2)", "A(x: 1, // x\n  z: 3,\n  y: 2)");
}

#[test]
fn an_added_item_is_laid_out_as_the_one_beside_it() {
    let broken = "[\n  H(\n    name: \"a\", // a\n  ),\n]";
    let expected = "[\n  H(\n    name: \"a\", // a\n  ),\n  H(\n    name: \"b\",\n    x: [1],\n  ),\n]";
    becomes(broken, "[H(name: \"a\"), H(name: \"b\", x: [1])]", expected);
    let long = "y".repeat(120);
    becomes(
        "[\n  H(name: \"a\"),\n]",
        &format!("[H(name: \"a\"), H(name: \"{long}\", x: 1)]"),
        &format!("[\n  H(name: \"a\"),\n  H(name: \"{long}\", x: 1),\n]"),
    );
}

#[test]
fn a_value_of_another_sort_is_written_anew_at_its_place() {
    becomes("(\n  a: Fixed(1 /* in it */), // a\n)", "(a: Law(x: 1))", "(\n  a: Law(x: 1), // a\n)");
    becomes("(\n  a: None, // a\n)", "(a: [1, 2])", "(\n  a: [1, 2], // a\n)");
    let long = "y".repeat(120);
    let line = |law: &str| format!("(\n    g: G(ratio: 2.3, law: {law}), // g\n)");
    becomes(&line("E(1)"), &line(&format!("F(\"{long}\")")), &line(&format!("F(\"{long}\")")));
    becomes("// head\n1 // tail", "\"x\"", "// head\n\"x\" // tail");
}

#[test]
fn a_named_item_takes_its_comments_into_a_new_bracket_and_out_of_it() {
    let plain = "(
  path: [
    P(name: \"p\"), // pump
    // feed
    H(
      name: \"h\", // hose
      x: 1.50,
    ), // end
  ],
)
";
    let wrapped = "(
  path: [
    P(name: \"p\"), // pump
    Parallel(
      name: \"s\",
      branches: [
        B(
          path: [
            // feed
            H(
              name: \"h\", // hose
              x: 1.50,
            ), // end
          ],
        ),
        B(path: [H(name: \"h 2\", x: 1.50)]),
      ],
    ),
  ],
)
";
    becomes(plain, wrapped, wrapped);
    becomes(wrapped, plain, plain);
    let lists =
        "(\n  a: [\n    A(name: \"a\"), // a\n    A(name: \"b\"), // b\n  ],\n  b: [A(name: \"c\")],\n)";
    let carried =
        "(\n  a: [\n    A(name: \"b\"), // b\n  ],\n  b: [A(name: \"c\"), A(name: \"a\") // a\n  ],\n)";
    becomes(lists, carried, carried);
    becomes(
        "(a: [A(name: \"a\" /* a */)], b: [])",
        "(a: [], b: [A(name: \"a\")])",
        "(a: [], b: [\n    A(name: \"a\" /* a */),\n])",
    );
}

#[test]
fn comments_before_a_comma_and_over_lines_stay() {
    let text = "[\n  1 // one\n  , 2 // two\n  , 3 // three\n]";
    becomes(text, "[1, 3]", "[\n  1 // one\n  , 3 // three\n]");
    becomes(text, "[1, 9, 3]", &text.replace("2 //", "9 //"));
    becomes("[/* a\n b */ 1, /* /* c */ */ 2]", "[2]", "[/* /* c */ */ 2]");
}

#[test]
fn what_cannot_be_read_is_written_anew() {
    for bad in ["(a: 1", "", "(a: 1) b", "(a = 1)"] {
        let found = rewrite(bad, &tree("(a: 2)"));
        assert_eq!((found.text.as_str(), found.kept), ("(\n    a: 2,\n)\n", Kept::Nothing));
        assert_eq!(found.splices.applied(bad), found.text);
    }
}

#[test]
fn coarser_work_gives_the_same_tree() {
    let old = tree(LINES);
    let layout = layout::layout(LINES).unwrap();
    let edited = tree("[\"z\", \"b\", A(x: 1)]");
    for finest in 0..3 {
        let (text, _) = rewrite_to(LINES, (&old, &layout), &edited, finest).unwrap();
        assert_eq!(tree(&text), edited, "{text}");
    }
    let (whole, _) = rewrite_to(LINES, (&old, &layout), &edited, 0).unwrap();
    assert_eq!(whole, "[\"z\", \"b\", A(x: 1)]\n");
}
