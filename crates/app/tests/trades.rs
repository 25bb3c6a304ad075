//! The page Trades: a question is put together, asked and answered; a design that was found is kept.

use app::views::trades::Question;
use app::{Page, Study};
use eframe::egui::{Key, Modifiers, Role};
use egui_kittest::kittest::Queryable as _;

use crate::{open, settle};

#[test]
fn variants_stand_side_by_side_without_being_asked_for() {
    let harness = open(Page::Trades);
    harness.get_by_label("mass and power");
    harness.get_by_label("16.90");
    assert_eq!(harness.state().choice().study, Study::Trades(Question::Variants));
}

#[test]
fn a_question_about_an_input_is_asked_by_name_and_answered_by_curves() {
    let mut harness = open(Page::Trades);
    harness.get_by_role_and_label(Role::Button, "Result over inputs").click();
    harness.run_steps(2);
    // the cell resistance stands there from the start: half to one and a half times 11 mOhm
    assert_eq!(harness.get_all_by_role_and_label(Role::TextInput, "from").count(), 1);
    harness.get_by_role_and_label(Role::Button, "Work out").click();
    harness.run_steps(2);
    settle(&mut harness);
    let axes = vec!["pack.cell.resistance=5.5 mOhm..16.5 mOhm/9".to_owned()];
    let asked = Question::Inputs { axes, watch: "worst".to_owned() };
    assert_eq!(harness.state().choice().study, Study::Trades(asked));
    harness.get_by_label("points");
    // another page and back: the answer is still that of the question
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Num1);
    harness.run_steps(2);
    harness.key_press_modifiers(Modifiers::COMMAND, Key::Num0);
    harness.run_steps(2);
    settle(&mut harness);
    harness.get_by_label("points");
}

#[test]
fn an_input_is_found_by_words_of_its_name() {
    let mut harness = open(Page::Trades);
    harness.get_by_role_and_label(Role::Button, "Result over inputs").click();
    harness.run_steps(2);
    let label = "Second input, a curve for each value (may stay empty)";
    harness.get_by_role_and_label(Role::TextInput, label).focus();
    harness.run_steps(1);
    harness.get_by_role_and_label(Role::TextInput, label).type_text("face core");
    harness.run_steps(2);
    harness.get_by_role_and_label(Role::Button, "Nose core.face area").click();
    harness.run_steps(2);
    harness.get_by_label("now 820 cm2");
}

#[test]
fn a_design_that_cannot_be_kept_says_why() {
    let mut harness = open(Page::Trades);
    harness.get_by_role_and_label(Role::Button, "Size a loop").click();
    harness.run_steps(2);
    harness.get_by_role_and_label(Role::Button, "Work out").click();
    harness.run_steps(2);
    settle(&mut harness);
    harness.get_by_role_and_label(Role::TextInput, "Name of the variant").focus();
    harness.run_steps(1);
    harness.get_by_role_and_label(Role::TextInput, "Name of the variant").type_text("light");
    harness.run_steps(2);
    harness.get_by_role_and_label(Role::Button, "Keep as a variant").click();
    harness.run_steps(2);
    harness.get_by_label("an invented project has no variants to add");
}
