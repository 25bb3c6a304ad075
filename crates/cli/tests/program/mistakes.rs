//! Bad input: a message with a place, exit code 1, nothing on standard output but what was asked for.

use crate::run::{PLATE, file, program, run};
use std::io::Read as _;
use std::process::Stdio;

/// Ten mistakes and the line and column of each.
const TEN: &str = r#"Project(
    format: "heatledger",
    version: 1,
    name: "ten mistakes",
    conditions: [
        Condition(name: "warm", day: Fixed("40 kPa")),
        Condition(name: "warm", day: Standard),
        Condition(name: "high", pressure_altitude: "3 furlong", day: Standard),
    ],
    components: [
        Component(name: "plate", capacity: "-1 kJ/K"),
        Component(name: "block", capacty: "2 kJ/K"),
    ],
    links: [
        Link(from: "plate", to: "outside air", law: Conductance("NaN W/K")),
        Link(from: "plate", to: "block", law: Conductence("5 W/K")),
    ],
    heats: [Heat(name: "heater", into: "plate", law: Fixed(200))],
    points: [Point(name: "full", state_of_charge: 1.4)],
    casess: [],
)
"#;

const PLACES: [&str; 10] =
    ["6:44", "7:25", "8:52", "11:44", "12:34", "15:65", "16:47", "18:60", "19:51", "20:5"];

#[test]
fn ten_mistakes_are_ten_messages_with_their_places() {
    let (_file, path) = file(TEN.as_bytes());
    let ended = run(&["check", &path]);
    assert_eq!(ended.code, 1);
    for place in PLACES {
        assert!(ended.out.contains(&format!("{path}:{place}: error: ")), "{place}\n{}", ended.out);
    }
    assert_eq!(ended.out.matches(": error: ").count(), 10, "{}", ended.out);
    assert!(ended.out.contains("10 errors, 0 warnings"), "{}", ended.out);

    // the same messages where the project is to be solved, on the other stream
    let solved = run(&["margins", &path]);
    assert_eq!((solved.code, solved.out.as_str()), (1, ""));
    assert!(
        PLACES.iter().all(|place| solved.err.contains(&format!("{path}:{place}: error: "))),
        "{}",
        solved.err
    );
}

#[test]
fn files_that_are_no_project() {
    for (bytes, said) in [
        (&b""[..], "the file is empty"),
        (b"   \n\n", "the file is empty"),
        (b"{\"json\": 1}", "error"),
        (b"\xff\xfeP\0r\0", "UTF-16"),
        (b"\x00\x01\x02\xff", "error"),
        (b"Project(", "error"),
        (b"Project()", "error"),
    ] {
        let (_file, path) = file(bytes);
        for command in ["check", "solve", "margins"] {
            let ended = run(&[command, &path]);
            assert_eq!(ended.code, 1, "{command} {bytes:?}: {} {}", ended.out, ended.err);
            let all = ended.out + &ended.err;
            assert!(all.contains(said) && !all.contains("panicked"), "{command} {bytes:?}: {all}");
        }
    }
}

#[test]
fn a_file_that_is_not_there_is_named() {
    for arguments in [["check", "no such file.ron"], ["margins", "no such file.ron"]] {
        let ended = run(&arguments);
        assert_eq!((ended.code, ended.out.as_str()), (1, ""));
        assert!(ended.err.contains("no such file.ron"), "{}", ended.err);
    }
}

#[test]
fn a_name_that_nothing_has_is_told_with_its_place() {
    let (_file, path) = file(PLATE.replace("from: \"plate\"", "from: \"plat\"").as_bytes());
    let ended = run(&["check", &path]);
    assert_eq!(ended.code, 1);
    assert!(ended.out.contains("\"plat\"") && ended.out.contains(".ron:10:"), "{}", ended.out);
}

#[test]
fn a_mistake_on_the_command_line_ends_with_1() {
    for arguments in
        [&["solv", "demo", "--json"][..], &["solve"], &["solve", "demo", "--cases", "x"], &["fluid", "water"]]
    {
        let ended = run(arguments);
        assert_eq!((ended.code, ended.out.as_str()), (1, ""), "{arguments:?}");
        assert!(!ended.err.is_empty());
    }
}

#[test]
fn help_and_version_are_results() {
    let help = run(&["--help"]);
    assert_eq!(help.code, 0);
    for word in ["check", "solve", "margins", "fluid", "relation", "not airworthiness approval"] {
        assert!(help.out.contains(word), "{word}");
    }
    let version = run(&["--version"]);
    assert_eq!((version.code, version.out.trim()), (0, concat!("heatledger ", env!("CARGO_PKG_VERSION"))));
}

#[test]
fn the_demos_check_clean() {
    for demo in ["demo", "demo:rescue", "demo:rig"] {
        let ended = run(&["check", demo]);
        assert_eq!(ended.code, 0, "{}", ended.out);
        assert!(ended.out.contains(": 0 errors"), "{}", ended.out);
    }
}

/// What `head` does: it reads a little and closes its end. The JSON of all cases is longer than any pipe holds.
#[test]
fn a_closed_pipe_is_no_failure() {
    let mut child = program(&["solve", "demo", "--json"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut out = child.stdout.take().expect("piped");
    let mut few = [0; 16];
    out.read_exact(&mut few).expect("there is a first line");
    drop(out);
    let output = child.wait_with_output().expect("the program ends");
    let err = String::from_utf8_lossy(&output.stderr);
    assert!(!err.contains("panicked"), "{err}");
    assert!(matches!(output.status.code(), Some(0 | 2)), "{err}");
}
