//! Small projects on which an earlier version gave a wrong or unhelpful answer: each now has the right one.

use crate::run::{Ended, run};

fn repro(name: &str) -> String {
    format!("{}/../../tests/repro/{name}.ron", env!("CARGO_MANIFEST_DIR"))
}

fn check(name: &str) -> Ended {
    run(&["check", &repro(name)])
}

/// Every command that judges refuses what `check` refuses, and shows no number.
#[test]
fn what_no_part_can_have_is_refused_with_place_and_remedy() {
    for (name, place, told, remedy) in [
        ("pump-efficiency-0", ":47:39", "\"0\" makes no sense here", "give a ratio above zero"),
        ("fan-efficiency-0", ":86:39", "\"0\" makes no sense here", "give a ratio above zero"),
        ("tug-eff0", ":128:", "\"0\" makes no sense here", "give a ratio above zero"),
        ("pump-efficiency-1.5", ":47:39", "\"1.5\" makes no sense here", "at most 1"),
        ("pump-efficiency-minus", ":47:39", "makes no sense here", "give a ratio above zero"),
        ("fan-power-minus", ":86:", "\"-95 W\" makes no sense here", "zero or more"),
        ("drop-table-falls", ":55:62", "\"-9 kPa\" makes no sense here", "zero or more"),
        ("count-0", ":54:43", "0 makes no sense here", "at least 1"),
        ("segments-1e9", ":16:", "1000000000 makes no sense here", "at most 1000"),
        ("nons-segment_1000_h", ":103:", "\"1000 h\" makes no sense here", "at most"),
        (
            "empty-branch",
            ":60:48",
            "the branch \"a\" of \"x\" in \"glycol\" has no device",
            "add a device to its path",
        ),
        ("variant-base", ":125:", "\"base\" names the design without a variant", "another name"),
    ] {
        let checked = check(name);
        assert_eq!(checked.code, 1, "{name}: {}", checked.out);
        for part in [place, told, remedy] {
            assert!(checked.out.contains(part), "{name}: {part} is missing in\n{}", checked.out);
        }
        assert!(!checked.out.contains("Id("), "{name}: {}", checked.out);
        for command in ["solve", "margins"] {
            let judged = run(&[command, &repro(name)]);
            assert_eq!((judged.code, judged.out.as_str()), (1, ""), "{command} {name}: {}", judged.err);
        }
    }
}

/// A terminal sees no control character but line breaks, whatever a file holds.
#[test]
fn what_a_file_holds_cannot_steer_the_terminal() {
    let steers = |text: &str| text.contains(|c: char| c.is_control() && c != '\n' && c != '\t');
    for name in ["escape-in-source", "escape-in-fluid"] {
        for command in ["check", "margins", "solve"] {
            for option in ["--json", "--explain"] {
                let mut arguments = vec![command];
                let file = repro(name);
                arguments.push(&file);
                let takes_it = matches!((command, option), ("solve", _) | ("margins", "--json"));
                if takes_it {
                    arguments.push(option);
                }
                let ended = run(&arguments);
                assert!(!steers(&ended.out) && !steers(&ended.err), "{command} {name}");
            }
        }
    }
    let source = run(&["margins", &repro("escape-in-source")]);
    assert_eq!(source.code, 0, "{}", source.err);
    let fluid = check("escape-in-fluid");
    assert_eq!(fluid.code, 1);
    assert!(fluid.out.contains("\\u001b[31m") || fluid.out.contains("\\u{1b}[31m"), "{}", fluid.out);
}
