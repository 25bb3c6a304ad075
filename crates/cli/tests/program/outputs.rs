//! What is written is whole or not there, and never stands over what must stay.

use crate::run::{file, run};
use std::path::Path;

const RIG: &str = include_str!("../../../../demo-projects/rig.ron");

fn text(path: &Path) -> &str {
    path.to_str().expect("a plain path")
}

#[test]
fn a_sweep_does_not_replace_the_project_nor_any_file_unless_told() {
    let (_kept, project) = file(RIG.as_bytes());
    let folder = tempfile::tempdir().expect("a temporary folder can be made");
    let sweep = |file: &str, more: &[&str]| {
        let mut asked = vec![
            "sweep",
            &*project,
            "--set",
            "cores.radiator.blocked=0..0.1/2",
            "--show",
            "temperature:lab/full heat:heater block",
            "--csv",
            file,
        ];
        asked.extend(more);
        run(&asked)
    };
    for more in [&[][..], &["--overwrite"]] {
        let refused = sweep(&project, more);
        assert_eq!(refused.code, 1, "{}", refused.err);
        assert!(refused.err.contains("is a project and was not changed"), "{}", refused.err);
        assert_eq!(std::fs::read_to_string(&project).expect("still there"), RIG);
    }
    let table = folder.path().join("rows.csv");
    std::fs::write(&table, "mine").expect("written");
    let refused = sweep(text(&table), &[]);
    assert_eq!(refused.code, 1);
    assert!(refused.err.contains("add --overwrite"), "{}", refused.err);
    assert_eq!(std::fs::read_to_string(&table).expect("still there"), "mine");
    let told = sweep(text(&table), &["--overwrite"]);
    assert_eq!(told.code, 0, "{}", told.err);
    assert_eq!(std::fs::read_to_string(&table).expect("there").lines().count(), 3);
    assert_eq!(std::fs::read_dir(folder.path()).expect("a folder").count(), 1, "nothing else is left");
}

/// A shell lets no file grow: every write fails as on a full disk.
#[cfg(unix)]
#[test]
fn a_refused_write_ends_with_3_one_path_and_a_remedy_and_leaves_nothing() {
    let folder = tempfile::tempdir().expect("a temporary folder can be made");
    let full = |command: &str| {
        let script = format!("trap '' XFSZ; ulimit -f 0; exec \"$0\" {command}");
        let program = env!("CARGO_BIN_EXE_heatledger");
        let ended = std::process::Command::new("sh")
            .args(["-c", &script, program])
            .current_dir(folder.path())
            .output()
            .expect("a shell");
        (ended.status.code(), String::from_utf8_lossy(&ended.stderr).into_owned())
    };
    for (command, name) in [
        ("new -o new.ron", "new.ron"),
        ("edit demo:rig --set cores.radiator.blocked=0.1 -o edited.ron", "edited.ron"),
        (
            "sweep demo:rig --set cores.radiator.blocked=0..0.1/2 --show 'temperature:lab/full heat:heater block' --csv rows.csv",
            "rows.csv",
        ),
        ("curves demo --csv curves", "curves"),
    ] {
        let (code, told) = full(command);
        assert_eq!(code, Some(3), "{command}: {told}");
        assert_eq!(told.matches(name).count(), 1, "{told}");
        assert!(told.contains("name another place"), "{told}");
        assert!(!told.contains(".tmp"), "{told}");
        assert_eq!(
            std::fs::read_dir(folder.path()).expect("a folder").count(),
            0,
            "{command} leaves something"
        );
    }
    let nowhere = run(&["new", "-o", text(&folder.path().join("none").join("a.ron"))]);
    assert_eq!(nowhere.code, 3, "{}", nowhere.err);
    assert!(nowhere.err.contains("its folder does not exist"), "{}", nowhere.err);
}
