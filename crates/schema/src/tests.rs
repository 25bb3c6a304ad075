//! The macros, decoding, encoding and the table of inputs, on a small made-up schema.
#![allow(unreachable_pub, reason = "the macros declare public types, here in a test module")]

use super::prelude::*;
use super::{
    Decoded, Place, Problem, Shape, Tree, docs, find_input, list_inputs, set_input_si, set_input_text,
};
use units::Kind;

record! {
    /// A small rig.
    pub struct Rig {
        /// Name.
        pub name: Name,
        /// Circuits.
        pub loops: List<Circuit> where not_empty,
        /// Room.
        pub room: Room = (),
    }
}

record! {
    /// Where the rig stands.
    pub struct Room {
        /// Air temperature.
        pub air: Input<Temperature> = "20 degC" where at_least(223.15) at_most(333.15),
        /// Whether somebody looks.
        pub watched: Flag = false,
    }
}

record! {
    /// A circuit.
    pub struct Circuit {
        /// Name.
        pub name: Name,
        /// Items in flow order.
        pub path: List<Item>,
    }
}

choice! {
    /// An item of a circuit.
    pub enum Item {
        /// A hose.
        Hose(Hose),
        /// A pump.
        Pump(Pump),
        /// Side by side.
        Parallel(Parallel),
        /// Nothing.
        Gap,
    }
}

record! {
    /// A hose.
    pub struct Hose {
        /// Name.
        pub name: Name,
        /// Length along the centre line.
        pub length: Input<Length> where positive,
        /// Wall roughness.
        pub roughness: Input<Length> = "1.5 um" where at_least_zero,
        /// Sum of minor losses.
        pub losses: Input<Ratio> = 0 where at_least_zero,
        /// Heat path.
        pub heat: Option<Passage>,
        /// Parts.
        pub segments: Count = 1 where at_least(1.0),
    }
}

record! {
    /// A pump.
    pub struct Pump {
        /// Name.
        pub name: Name,
        /// Pressure rise over flow.
        pub curve: Curve<VolumeFlow, PressureDifference> where at_least_zero falling,
        /// What drives it.
        pub side: Side = Left,
    }
}

record! {
    /// Branches.
    pub struct Parallel {
        /// Name.
        pub name: Name,
        /// Branches.
        pub branches: List<List<Item>>,
        /// Items whose temperature counts.
        pub sensors: List<String> where refers("item"),
    }
}

choice! {
    /// A side.
    #[derive(Copy, Eq)]
    pub enum Side {
        /// Left.
        Left,
        /// Right.
        Right,
    }
}

choice! {
    /// How heat passes.
    pub enum Passage plain Known {
        /// Known value.
        Known(Input<ThermalConductance>),
        /// A power law of the flow.
        Law(Law),
        /// Nothing passes.
        Closed,
    }
}

record! {
    /// A power law.
    pub struct Law {
        /// Measured value.
        pub value: Input<ThermalConductance> where positive,
        /// Measured flow.
        pub at: Input<VolumeFlow> where positive,
    }
}

fn text(text: &str) -> Node {
    Node::text(text)
}

fn hose(name: &str, fields: Vec<(&str, Node)>) -> Node {
    let mut all = vec![("name", text(name)), ("length", text("2 m"))];
    all.extend(fields);
    Node::record("Hose", all)
}

fn pump(points: &[(&str, &str)]) -> Node {
    let points = points.iter().map(|(x, y)| Node::tuple("", vec![text(x), text(y)])).collect();
    Node::record("Pump", vec![("name", text("pump")), ("curve", Node::list(points))])
}

fn rig(items: Vec<Node>) -> Node {
    let circuit = Node::record("Circuit", vec![("name", text("stator")), ("path", Node::list(items))]);
    Node::record("Rig", vec![("name", text("bench")), ("loops", Node::list(vec![circuit]))])
}

fn good_rig() -> Node {
    let full = Node::record(
        "Input",
        vec![
            ("value", text("40 W/K")),
            ("tolerance", text("5 %")),
            ("source", text("bench run 3")),
            ("evidence", Node::word("measured")),
        ],
    );
    let law = Node::record("Law", vec![("value", text("30 W/K")), ("at", text("10 L/min"))]);
    let branches = Node::list(vec![
        Node::list(vec![hose("bypass", vec![("losses", Node::number(1.5)), ("heat", full)])]),
        Node::list(vec![hose("main", vec![("heat", law)]), Node::word("Gap")]),
    ]);
    let split = Node::record("Parallel", vec![("name", text("split")), ("branches", branches)]);
    rig(vec![pump(&[("0 L/min", "60 kPa"), ("20 L/min", "20 kPa")]), split])
}

fn problems(node: &Node) -> Vec<String> {
    let Decoded { value, problems } = decode::<Rig>(node);
    assert_eq!(value.is_none(), problems.has_errors());
    problems.iter().map(Problem::to_string).collect()
}

fn path(text: &str) -> Path {
    Path::parse(text).unwrap()
}

#[test]
fn a_good_tree_decodes_and_encodes_to_the_same_tree() {
    let node = good_rig();
    let rig = decode::<Rig>(&node).value.unwrap();
    assert_eq!(rig.encode(), node);
    let Item::Parallel(split) = &rig.loops[0].path[1] else { panic!("a split") };
    let Item::Hose(bypass) = &split.branches[0][0] else { panic!("a hose") };
    let Some(Passage::Known(heat)) = &bypass.heat else { panic!("a known value") };
    assert_eq!(heat.evidence(), Evidence::Measured);
    assert_eq!(heat.source(), Some("bench run 3"));
    assert!((heat.tolerance_si().unwrap() - 2.0).abs() < 1e-12, "5 % of 40 W/K");
    assert!(!bypass.roughness.stated() && bypass.length.stated() && bypass.losses.stated());
    let Item::Pump(pump) = &rig.loops[0].path[0] else { panic!("a pump") };
    assert_eq!(pump.side, Side::Left);
    assert_eq!(pump.curve.si()[1].1, 20e3);
    assert_eq!(rig.loops[0].path[0].variant(), "Pump");
}

#[test]
fn a_stated_default_is_kept_when_written() {
    let node = rig(vec![hose("long", vec![("roughness", text("1.5 um"))])]);
    assert_eq!(decode::<Rig>(&node).value.unwrap().encode(), node);
}

#[test]
fn all_mistakes_are_told_with_path_and_remedy() {
    let mut bad = hose("long hose", vec![("lenght", text("3 m")), ("segments", Node::number(1.5))]);
    *bad.field_mut("length").unwrap() = text("-2 m");
    let told = problems(&rig(vec![
        bad,
        hose("long hose", vec![("heat", Node::word("Clossed")), ("losses", Node::flag(true))]),
        Node::record("Hosse", vec![]),
        Node::record("Hose", vec![("name", text("a.b"))]),
        pump(&[("0 L/min", "60 kPa"), ("20 L/min", "70 kPa")]),
        pump(&[("0 L/min", "60 kPa"), ("0 L/min", "20 kPa")]),
    ]));
    let expected = [
        "error: loops.stator.path.long hose: unknown field \"lenght\"; write \"length\" if that is meant",
        "error: loops.stator.path.long hose.length: \"-2 m\" makes no sense here; give a length above zero",
        "error: loops.stator.path.long hose.segments: the number 1.5 found where a whole number is expected; \
         write a whole number from zero up, such as 4",
        "error: loops.stator.path.long hose.losses: true found where a ratio is expected; write 0.5",
        "error: loops.stator.path.long hose.heat: Clossed is no Passage; \
         write Closed if that is meant, or one of Known, Law, Closed",
        "error: loops.stator.path.3: Hosse is no Item; \
         write Hose if that is meant, or one of Hose, Pump, Parallel, Gap",
        "error: loops.stator.path.a.b.name: the name \"a.b\" holds '.', which cannot be part of a name; \
         use letters, digits, spaces, and signs other than . / = \" [ ]",
        "error: loops.stator.path.a.b: Hose \"a.b\" has no \"length\"; add length: \"12 mm\"",
        "error: loops.stator.path.pump.curve: point 2 gives \"70 kPa\" after \"60 kPa\": the curve must fall; \
         correct the point, or remove it",
        "error: loops.stator.path.pump.curve: point 2 begins with \"0 L/min\", which is not above \"0 L/min\" \
         before it; sort the points by their first value and give each once",
        "error: loops.stator.path: the name \"long hose\" is taken already; give one of the two another name",
        "error: loops.stator.path: the name \"pump\" is taken already; give one of the two another name",
    ];
    assert_eq!(told, expected);
}

#[test]
fn missing_parts_and_wrong_tags_are_told() {
    let told = problems(&Node::record("Rig", vec![("loops", Node::list(vec![]))]));
    assert_eq!(
        told,
        [
            "error: the Rig has no \"name\"; add name: \"stator\"",
            "error: loops: the list is empty; add Circuit(name: .., ..)",
        ]
    );
    let told = problems(&Node::record("Rigg", vec![]));
    assert_eq!(told, ["error: Rigg(..) found where a Rig is expected; write Rig(..), or leave the word out"]);
    let told = problems(&rig(vec![Node::word("Hose"), Node::tuple("Gap", vec![text("x")])]));
    assert_eq!(
        told,
        [
            "error: loops.stator.path.1: Hose needs its content in brackets; write Hose(name: .., length: .., ..)",
            "error: loops.stator.path.2: Gap has no content; write Gap alone",
        ]
    );
}

#[test]
fn a_field_that_stands_twice_is_told_at_its_place() {
    let mut node = rig(vec![hose("long", vec![("segments", Node::count(2)), ("segments", Node::count(3))])]);
    let item = super::path::get_mut(&mut node, &path("loops.stator.path.long")).unwrap();
    if let Tree::Record { fields, .. } = &mut item.tree {
        fields[3].0.place = Place::new(8, 5, 8);
    }
    assert_eq!(
        problems(&node),
        ["8:5: error: loops.stator.path.long: the field \"segments\" appears twice; remove one of the two"]
    );
}

#[test]
fn broken_values_are_not_told_again() {
    let node = rig(vec![hose("long", vec![("losses", Tree::Broken.into())]), Tree::Broken.into()]);
    let decoded = decode::<Rig>(&node);
    assert!(decoded.value.is_none() && decoded.problems.is_empty());
}

#[test]
fn inputs_are_listed_with_the_short_path() {
    let entries = list_inputs(&good_rig(), Rig::shape());
    let told: Vec<String> = entries
        .iter()
        .map(|e| format!("{} = {}{}", e.path, e.text, if e.stated { "" } else { " (default)" }))
        .collect();
    assert_eq!(
        told,
        [
            "loops.stator.path.pump.curve.1.1 = 0 L/min",
            "loops.stator.path.pump.curve.1.2 = 60 kPa",
            "loops.stator.path.pump.curve.2.1 = 20 L/min",
            "loops.stator.path.pump.curve.2.2 = 20 kPa",
            "loops.stator.path.bypass.length = 2 m",
            "loops.stator.path.bypass.roughness = 1.5 um (default)",
            "loops.stator.path.bypass.losses = 1.5",
            "loops.stator.path.bypass.heat = 40 W/K",
            "loops.stator.path.bypass.segments = 1 (default)",
            "loops.stator.path.main.length = 2 m",
            "loops.stator.path.main.roughness = 1.5 um (default)",
            "loops.stator.path.main.losses = 0 (default)",
            "loops.stator.path.main.heat.value = 30 W/K",
            "loops.stator.path.main.heat.at = 10 L/min",
            "loops.stator.path.main.segments = 1 (default)",
            "room.air = 20 degC (default)",
        ]
    );
    let heat = find_input(&good_rig(), Rig::shape(), &path("loops.stator.path.bypass.heat")).unwrap();
    assert_eq!((heat.kind, heat.evidence), (Kind::ThermalConductance, Evidence::Measured));
    assert_eq!(heat.tolerance.as_deref(), Some("5 %"));
    assert_eq!(heat.doc.trim(), "Heat path.");
}

#[test]
fn every_listed_input_can_be_set() {
    let shape = Rig::shape();
    for entry in list_inputs(&good_rig(), shape) {
        let mut node = good_rig();
        let target = if entry.whole { 3.0 } else { entry.si + 0.5 };
        set_input_si(&mut node, shape, &entry, target).unwrap();
        let now = find_input(&node, shape, &entry.path).unwrap();
        assert!((now.si - target).abs() <= 1e-9 * target.abs(), "{}: {} for {target}", entry.path, now.si);
        assert!(now.stated, "{}", entry.path);
        assert_eq!((now.tolerance, now.evidence), (entry.tolerance, entry.evidence));
    }
}

#[test]
fn texts_that_name_something_are_listed() {
    let mut node = good_rig();
    let split = super::path::get_mut(&mut node, &path("loops.stator.path.split")).unwrap();
    if let Tree::Record { fields, .. } = &mut split.tree {
        fields.push((super::Key::new("sensors"), Node::list(vec![text("main"), text("pmup")])));
    }
    let found = super::list_references(&node, Rig::shape());
    let told: Vec<String> = found.iter().map(|r| format!("{}: {} {}", r.path, r.sort, r.name)).collect();
    assert_eq!(
        told,
        ["loops.stator.path.split.sensors.1: item main", "loops.stator.path.split.sensors.2: item pmup"]
    );
}

#[test]
fn setting_nothing_that_exists_changes_nothing() {
    let mut node = good_rig();
    let error = set_input_text(&mut node, Rig::shape(), &path("room.airr"), "30 degC").unwrap_err();
    assert!(error.to_string().contains("room"), "{error}");
    assert_eq!(node, good_rig());
}

#[test]
fn tolerances_follow_the_kind() {
    let tolerance = |kind_text: &str, value: &str| {
        let node = Node::record("Input", vec![("value", text(value)), ("tolerance", text(kind_text))]);
        decode::<Input<Temperature>>(&node)
    };
    let stated = tolerance("2 K", "65 degC").value.unwrap();
    assert_eq!(stated.tolerance_si(), Some(2.0));
    assert!(tolerance("5 %", "65 degC").value.is_none(), "a share of a temperature means nothing");
}

#[test]
fn the_documentation_names_every_type_and_field() {
    let text = docs::markdown(Rig::shape());
    for word in [
        "### Rig",
        "### Passage",
        "| length | length | required | above zero | Length along the centre line. |",
    ] {
        assert!(text.contains(word), "{word} in:\n{text}");
    }
    assert!(text.contains("`Law(value: .., at: ..)`"), "{text}");
    assert_eq!(docs::misfit_defaults(Rig::shape()), Vec::<String>::new());
    assert_eq!(docs::completions(Rig::shape()), ["name", "loops", "room"]);
    assert!(matches!(Rig::shape(), Shape::Record(_)));
}

mod misfit {
    use super::super::prelude::*;

    record! {
        /// A record whose defaults are wrong on purpose.
        pub struct Misfit {
            /// Not a length.
            pub a: Input<Length> = "20 degC",
            /// Breaks its own rule.
            pub b: Input<Ratio> = 2 where fraction,
            /// No such side.
            pub c: super::Side = Top,
            /// Fine.
            pub d: Count = 2,
        }
    }
}

#[test]
fn misfit_defaults_are_found() {
    let found = docs::misfit_defaults(misfit::Misfit::shape());
    assert_eq!(found, ["Misfit.a: \"20 degC\"", "Misfit.b: 2", "Misfit.c: Top"]);
}

mod any_tree {
    use super::super::path as paths;
    use super::*;
    use proptest::prelude::*;

    fn word() -> impl Strategy<Value = String> {
        prop::sample::select(vec![
            "name", "path", "branches", "loops", "length", "heat", "value", "Hose", "Input", "Known", "Some",
            "None", "curve", "Parallel", "1", "2", "stator", "",
        ])
        .prop_map(str::to_owned)
    }

    fn tree() -> impl Strategy<Value = Node> {
        let leaf = prop_oneof![
            word().prop_map(Node::text),
            Just(Node::text("2 m")),
            any::<f64>().prop_map(Node::number),
            word().prop_map(Node::word),
            any::<bool>().prop_map(Node::flag),
            Just(Tree::Broken.into()),
        ];
        leaf.prop_recursive(6, 60, 5, |inner| {
            let tag = || prop::option::of(word());
            let items = prop::collection::vec(inner.clone(), 0..4);
            let fields = prop::collection::vec((word(), inner.clone()), 0..5);
            prop_oneof![
                items.clone().prop_map(Node::list),
                (tag(), items).prop_map(|(tag, items)| Tree::Tuple { tag, items }.into()),
                (tag(), fields).prop_map(|(tag, fields)| {
                    let fields = fields.into_iter().map(|(k, v)| (super::super::Key::new(k), v)).collect();
                    Tree::Record { tag, fields }.into()
                }),
                prop::collection::vec((inner.clone(), inner), 0..3).prop_map(|e| Tree::Map(e).into()),
            ]
        })
    }

    fn has_broken(node: &Node) -> bool {
        match &node.tree {
            Tree::Broken => true,
            Tree::List(items) | Tree::Tuple { items, .. } => items.iter().any(has_broken),
            Tree::Record { fields, .. } => {
                fields.iter().any(|(key, node)| key.name.is_empty() || has_broken(node))
            }
            Tree::Map(entries) => entries.iter().any(|(key, value)| has_broken(key) || has_broken(value)),
            _ => false,
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(500) })]

        #[test]
        fn is_decoded_listed_and_changed_without_failing(
            root in tree(), steps in prop::collection::vec(word().prop_filter("a step", |w| !w.is_empty()), 1..4), part in tree(),
        ) {
            let decoded = decode::<Rig>(&root);
            let told = decoded.problems.has_errors();
            prop_assert!(decoded.value.is_none() || !told, "a value and errors");
            prop_assert!(decoded.value.is_some() || told || has_broken(&root), "no value and nothing told");
            list_inputs(&root, Rig::shape());
            let path = Path::from_steps(steps);
            let mut changed = root.clone();
            // an item that is found by its own name or text is called otherwise once it is replaced
            let own = |found: &Node| found.own_name().or_else(|| found.as_text()).map(str::to_owned);
            let is_renamed = paths::get(&root, &path).is_ok_and(|found| own(found).as_ref() == path.steps().last());
            if paths::set(&mut changed, &path, part.clone()).is_ok() {
                prop_assert!(is_renamed || paths::get(&changed, &path).ok() == Some(&part));
            } else {
                prop_assert_eq!(&changed, &root);
            }
            let before = changed.clone();
            if paths::remove(&mut changed, &path).is_err() {
                prop_assert_eq!(&changed, &before);
            }
        }
    }
}
