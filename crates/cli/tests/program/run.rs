//! Runs the program.

use serde_json::Value;
use std::io::Write as _;
use std::process::{Command, Stdio};
use tempfile::NamedTempFile;

/// How a run ended.
pub(crate) struct Ended {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl Ended {
    pub(crate) fn json(&self) -> Value {
        serde_json::from_str(&self.out).unwrap_or_else(|error| panic!("{error}\n{}\n{}", self.out, self.err))
    }
}

/// The program without a display.
pub(crate) fn program(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_heatledger"));
    command.args(arguments).stdin(Stdio::null());
    for name in ["DISPLAY", "WAYLAND_DISPLAY", "WAYLAND_SOCKET"] {
        command.env_remove(name);
    }
    command
}

pub(crate) fn run(arguments: &[&str]) -> Ended {
    let output = program(arguments).output().expect("the program starts");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("the program writes UTF-8");
    Ended {
        code: output.status.code().expect("the program ends by itself"),
        out: text(output.stdout),
        err: text(output.stderr),
    }
}

/// A project file that lives as long as the test.
pub(crate) fn file(bytes: &[u8]) -> (NamedTempFile, String) {
    let mut file = NamedTempFile::with_suffix(".ron").expect("a temporary file can be made");
    file.write_all(bytes).expect("a temporary file can be written");
    let path = file.path().to_str().expect("a plain path").to_owned();
    (file, path)
}

/// The keys of an object must contain these.
pub(crate) fn has_keys(value: &Value, keys: &[&str]) {
    for key in keys {
        assert!(value.get(key).is_some(), "{key} is missing in {value}");
    }
}

/// A list that is not empty.
pub(crate) fn list<'a>(value: &'a Value, key: &str) -> &'a Vec<Value> {
    let items = value[key].as_array().unwrap_or_else(|| panic!("{key} is no list in {value}"));
    assert!(!items.is_empty(), "{key} is empty");
    items
}

/// A plate with a heater, its heat path and its limit, for what can be worked out by hand.
pub(crate) const PLATE: &str = r#"
Project(
    format: "heatledger",
    version: 1,
    name: "plate",
    conditions: [Condition(name: "warm", day: Fixed("40 degC"))],
    components: [
        Component(name: "plate", capacity: "1 kJ/K", limits: [Limit(value: "100 degC", required: "10 K")]),
    ],
    links: [Link(from: "plate", to: "outside air", law: Conductance("5 W/K"))],
    heats: [Heat(name: "heater", into: "plate", law: Fixed("200 W"))],
    points: [Point(name: "full")],
    cases: [CaseGroup(conditions: ["warm"], points: ["full"])],
    variants: [Variant(name: "hot", changes: [Set("heats.heater.law", Fixed("270 W"))])],
)
"#;
