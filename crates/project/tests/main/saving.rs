//! Saving keeps the old file until the new one is complete.

use project::{InputHash, ProjectError, load, save};
use schema::{Node, Tree};

fn project(name: &str) -> Node {
    Node::record(
        "Project",
        vec![("format", Node::text("heatledger")), ("version", Node::count(1)), ("name", Node::text(name))],
    )
}

#[test]
fn a_saved_project_loads_with_the_same_content_and_hash() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("rig.ron");
    save(&path, &project("first")).unwrap();
    save(&path, &project("second")).unwrap();
    let loaded = load(&path).unwrap();
    assert!(loaded.problems.is_empty());
    assert_eq!(loaded.node, Some(project("second")));
    assert_eq!(loaded.hash, Some(InputHash::of(&project("second"))));
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1, "no temporary file is left");
}

#[test]
fn a_refused_save_leaves_the_old_file() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("rig.ron");
    save(&path, &project("good")).unwrap();
    let bad = Node::list(vec![Tree::Broken.into()]);
    assert!(matches!(save(&path, &bad), Err(ProjectError::Unreadable)));
    assert!(matches!(save(folder.path(), &project("x")), Err(ProjectError::Write { .. })));
    assert_eq!(load(&path).unwrap().node, Some(project("good")));
    let missing = load(&folder.path().join("none.ron")).unwrap_err();
    assert!(missing.to_string().starts_with("the project cannot be read: "), "{missing}");
    let nowhere = save(&folder.path().join("no/folder/rig.ron"), &project("x")).unwrap_err();
    assert!(matches!(nowhere, ProjectError::Write { .. }));
}

#[cfg(unix)]
#[test]
fn the_mode_and_links_are_kept() {
    use std::os::unix::fs::{PermissionsExt as _, symlink};
    let folder = tempfile::tempdir().unwrap();
    let (path, link) = (folder.path().join("rig.ron"), folder.path().join("link.ron"));
    let mode = |path: &std::path::Path| std::fs::metadata(path).unwrap().permissions().mode() & 0o777;
    save(&path, &project("first")).unwrap();
    assert_eq!(mode(&path), 0o644);
    std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o660)).unwrap();
    symlink(&path, &link).unwrap();
    save(&link, &project("second")).unwrap();
    assert_eq!(mode(&path), 0o660);
    assert!(std::fs::symlink_metadata(&link).unwrap().is_symlink());
    assert_eq!(load(&path).unwrap().node, Some(project("second")));
}
