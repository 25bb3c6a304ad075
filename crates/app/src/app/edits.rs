//! Edits of the project, and what of them stays in the fields.

use aircraft::revise::Revision;
use session::{Question, Scope};

use super::Window;
use crate::question::QuestionKind;
use crate::views::field::Draft;
use crate::views::loops::Revising;

impl Window {
    /// Where edits of inputs go.
    fn scope(&self) -> Scope {
        if self.state.drafts.scope.is_variant_only { Scope::VariantOnly } else { Scope::Design }
    }

    pub(super) fn edit(&mut self, path: String, text: String) {
        let scope = self.scope();
        match self.session.edit(&path, &text, scope) {
            Ok(()) => {
                self.state.drafts.remove(&path);
            }
            Err(reason) => {
                self.state.drafts.insert(path, Draft { text, problem: Some(reason) });
            }
        }
    }

    /// A step of a gesture; the field shows its text until the gesture ends.
    pub(super) fn step_input(&mut self, path: String, text: String, is_new: bool) {
        let scope = self.scope();
        if let Err(reason) = self.session.step(&path, &text, scope, is_new) {
            self.state.drafts.insert(path, Draft { text, problem: Some(reason) });
        }
    }

    /// Takes the value of the base design in the place of the variant's own.
    pub(super) fn drop_own(&mut self, path: String) {
        match self.session.drop_own(&path) {
            Ok(()) => {
                self.state.drafts.remove(&path);
            }
            Err(reason) => {
                let text = self.state.drafts.get(&path).map_or_else(String::new, |draft| draft.text.clone());
                self.state.drafts.insert(path, Draft { text, problem: Some(reason) });
            }
        }
    }

    pub(super) fn revise(&mut self, revision: &Revision) {
        match self.session.revise(revision) {
            Ok(()) => {
                self.state.drafts.clear();
                self.state.revising = Revising::default();
                self.follow_revision(revision);
            }
            Err(reason) => self.state.revising.refused = Some(reason),
        }
    }

    /// What is marked or shown goes by its new name; what is new is shown.
    pub(super) fn follow_revision(&mut self, revision: &Revision) {
        match revision {
            Revision::Rename { path, to } => {
                let (to, old) = (to.trim().to_owned(), path.rsplit('.').next().unwrap_or_default());
                for shown in [&mut self.state.strip, &mut self.state.device] {
                    if shown.as_deref() == Some(old) {
                        *shown = Some(to.clone());
                    }
                }
                if self.state.names.chosen.as_ref() == Some(path) {
                    let owner = path.strip_suffix(old).unwrap_or_default();
                    self.state.names.chosen = Some(format!("{owner}{to}"));
                }
            }
            Revision::AddLoop { name, .. } | Revision::AddDuct(name) => self.state.strip = Some(name.clone()),
            _ => {}
        }
    }

    /// Adds the design on the page Trades as a variant, and shows it beside the others.
    pub(super) fn keep_variant(&mut self, name: &str) {
        let picked = self.state.trades.picked;
        let found = self.screen.trades.as_ref().and_then(|trades| trades.proposals.get(picked).cloned());
        let Some((_, proposal)) = found else { return };
        match self.session.keep_variant(&proposal, name) {
            Ok(()) => {
                self.state.trades.name.clear();
                self.state.trades.name_refused = None;
                self.state.trades.asked = Question::Variants;
                self.state.trades.sort = QuestionKind::Variants;
            }
            Err(reason) => self.state.trades.name_refused = Some(reason),
        }
    }
}
