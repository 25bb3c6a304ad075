//! Edits of an open project: each is one step of undo, goes where it should, and leaves the text of the file alone elsewhere.

use aircraft::revise::Revision;
use session::{Choice, Extent, Proposal, Question, Scope, Study};

use crate::{begun, rig, until};

const WIDTH: &str = "cores.radiator.transfer.width";

fn on(variant: &str) -> session::Session<session::Found> {
    begun(rig(), &Choice { variant: variant.to_owned(), ..Choice::default() })
}

fn text(session: &session::Session<session::Found>) -> String {
    String::from_utf8(session.snapshot().to_bytes().expect("it can be written")).expect("it is text")
}

fn undo_name(session: &session::Session<session::Found>) -> String {
    session.history().to_undo().map(ToString::to_string).unwrap_or_default()
}

#[test]
fn an_input_is_set_undone_and_done_again() {
    let mut session = on("base");
    let before = text(&session);
    session.edit(WIDTH, "9 in", Scope::Design).expect("it is a length");
    assert!(session.history().is_unsaved() && text(&session).contains("\"9 in\""));
    assert_eq!(undo_name(&session), format!("{WIDTH} = 9 in"));
    assert!(session.undo());
    assert_eq!(text(&session), before);
    assert!(session.redo() && !session.redo());
    let refused = session.edit(WIDTH, "wide", Scope::Design).expect_err("it is no length");
    assert!(refused.contains("wide"), "{refused}");
    assert!(text(&session).contains("\"9 in\""), "nothing has changed");
}

#[test]
fn an_edit_beside_a_variant_says_where_it_went() {
    let mut session = on("small radiator");
    session.edit(WIDTH, "130 mm", Scope::Design).expect("it is a length");
    assert_eq!(undo_name(&session), format!("{WIDTH} = 130 mm in small radiator"));
    let hose = "loops.glycol.path.feed hose.length";
    session.edit(hose, "3 m", Scope::Design).expect("it is a length");
    assert_eq!(undo_name(&session), format!("{hose} = 3 m in the base design"));
    session.edit(hose, "4 m", Scope::VariantOnly).expect("it is a length");
    assert_eq!(undo_name(&session), format!("{hose} = 4 m in small radiator"));
    assert!(text(&session).contains(r#"length: "3 m""#), "the base design stays");
    session.drop_own(hose).expect("it has one");
    assert!(session.drop_own(hose).is_err(), "it has none any more");
    let hidden = Revision::Replace {
        title: "another width".to_owned(),
        changes: vec![(WIDTH.to_owned(), schema::Node::text("300 mm"))],
    };
    let reason = session.revise(&hidden).expect_err("it would not be seen");
    assert!(reason.contains("is set by the variant small radiator"), "{reason}");
}

#[test]
fn a_design_that_was_found_is_kept_and_asked_for_beside_the_others() {
    let mut session = on("base");
    let from = aircraft::variant::BASE.to_owned();
    let proposal = Proposal { from, note: "as it is".to_owned(), changes: std::sync::Arc::default() };
    session.keep_variant(&proposal, "as it is").expect("the name is free");
    assert_eq!(session.choice().variant, "as it is");
    assert_eq!(session.choice().study, Study::Trades(Question::Variants));
    assert!(session.keep_variant(&proposal, "as it is").is_err(), "the name is taken");
    assert!(session.undo());
    assert_eq!(session.choice().variant, "base", "the nearest that is left");
}

/// Whoever edits waits for the design on screen only: what an edit does to another variant is found beside it, and taken back.
#[test]
fn an_edit_that_leaves_a_variant_without_sense_is_refused_and_taken_back() {
    // In the variant the pump raises 60 kPa at 20 L/min: less than the 82 kPa at 10 L/min, so that its curve falls.
    let width = r#"Set("cores.radiator.transfer.width", "120 mm")"#;
    let point = r#"Set("loops.glycol.path.pump.curve.3.2", "60 kPa")"#;
    let text = crate::RIG.replace(width, &format!("{width}, {point}"));
    let mut session = begun(crate::read(&text), &Choice::default());
    let before = session.snapshot().node().clone();
    // 95, 50, 45, 5 kPa falls; 95, 50, 60, 5 kPa in the variant does not.
    session
        .edit("loops.glycol.path.pump.curve.2.2", "50 kPa", Scope::Design)
        .expect("the design on screen takes it");
    assert_ne!(*session.snapshot().node(), before);
    assert!(session.snapshot().to_bytes().is_err(), "such a file could not be opened again");
    let refused = until(&mut session, "refused", |session, _| session.is_settled());
    assert!(
        matches!(&refused.extent, Extent::Refused(reason) if reason.contains("small radiator")),
        "{:?}",
        refused.extent
    );
    let edit = session.withdraw().expect("there is an edit");
    assert_eq!(edit.to_string(), "loops.glycol.path.pump.curve.2.2 = 50 kPa");
    assert_eq!(*session.snapshot().node(), before);
    let whole = until(&mut session, "the state before", |session, _| session.is_settled());
    assert_eq!(whole.extent, Extent::Whole);
}
