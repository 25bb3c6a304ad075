//! The window opens, or says why it cannot.

use app::{Choice, Page, Start};

use crate::invented::Invented;
use crate::open;

#[test]
fn an_unknown_first_choice_becomes_the_first_there_is() {
    let start = Start {
        choice: Choice {
            variant: "none".into(),
            case: "standard day/none".parse().expect("a name of a case"),
            ..Choice::default()
        },
        ..Start::new(Invented::new())
    };
    let settled = app::Subject::choices(&start.subject).settle(&start.choice);
    assert_eq!(
        (settled.variant.as_str(), settled.case.to_string().as_str()),
        ("Base design", "standard day/hover")
    );
}

#[test]
fn a_window_has_results_soon_after_it_opens() {
    let harness = open(Page::Ledger);
    assert!(harness.state().is_settled());
    assert_eq!(harness.state().screen().strips.len(), 5);
}
