//! Reading: what window and command line know of a file.

use schema::Severity;
use session::{Opened, Snapshot};

use crate::RIG;

fn opened(text: &str) -> Opened {
    Opened::new(text.as_bytes().to_vec())
}

#[test]
fn a_demo_is_read_without_a_problem_and_written_as_it_was() {
    let opened = opened(RIG);
    assert!(opened.all_problems().iter().all(|problem| problem.severity != Severity::Error));
    let varied = opened.design(Some("small radiator")).expect("it holds");
    assert_eq!((varied.name.as_str(), varied.project.name.as_str()), ("small radiator", "Bench rig"));
    let (snapshot, _) = opened.snapshot().expect("it holds");
    assert_eq!(snapshot.to_bytes().as_deref(), Ok(RIG.as_bytes()));
    assert_eq!(snapshot.choices().variants, ["base", "small radiator"]);
}

/// A slip in a unit is told by every way into the project, with its line.
#[test]
fn a_mistake_is_told_with_its_place_by_the_list_of_problems_and_by_the_window() {
    let slip = RIG.replace("240 mm", "240 kPa");
    let line = slip.lines().position(|line| line.contains("240 kPa")).expect("it is there") + 1;
    let opened = opened(&slip);
    let listed = opened.all_problems();
    let told = opened.rendered(&listed, "slip.ron").join("\n");
    assert!(told.contains(&format!("slip.ron:{line}:")), "{told}");
    assert!(opened.design(None).is_err());
    let findings = opened.snapshot().expect_err("it is no project");
    assert!(
        findings.iter().any(|found| found.is_error && found.place.is_some_and(|(at, _)| at as usize == line))
    );
    assert!(findings.iter().all(|found| !found.place_text().is_empty() && !found.line.is_empty()));
}

/// A broken variant is a mistake of the file, not only of the one who shows it.
#[test]
fn a_variant_that_makes_no_sense_keeps_a_project_from_being_opened() {
    let broken = RIG.replace(
        r#"Set("cores.radiator.transfer.width", "120 mm")"#,
        r#"Set("cores.radiator.transfer.wide", "120 mm")"#,
    );
    assert!(opened(&broken).design(None).is_ok(), "the base design holds");
    assert!(opened(&broken).all_problems().has_errors());
    let findings = Snapshot::from_bytes(broken.as_bytes()).expect_err("a variant does not");
    assert!(findings[0].message.contains("small radiator"), "{findings:?}");
}

/// The header is looked at by every way into the project.
#[test]
fn a_file_of_another_format_or_a_newer_version_is_refused() {
    let other = RIG.replace("format: \"heatledger\"", "format: \"notes\"");
    assert!(opened(&other).all_problems().has_errors() && opened(&other).design(None).is_err());
    assert!(Snapshot::from_bytes(other.as_bytes()).is_err());
    let newer = RIG.replace("version: 1", "version: 2");
    assert!(opened(&newer).all_problems().has_errors() && opened(&newer).design(None).is_err());
    assert!(Snapshot::from_bytes(newer.as_bytes()).is_err());
}

#[test]
fn nothing_in_a_file_is_no_project() {
    let empty = opened("");
    assert!(empty.design(None).is_err());
    assert!(empty.snapshot().is_err());
}
