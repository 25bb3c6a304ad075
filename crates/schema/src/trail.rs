//! The path of the place where a walk through a tree stands.

use std::borrow::Cow;

use super::path::is_flow_list;

/// Steps from the root to where a walk stands. Items of flow lists are addressed in the short
/// form, without the branches they sit in.
#[derive(Debug, Default)]
pub(crate) struct Trail {
    steps: Vec<Cow<'static, str>>,
    /// Number of steps down to the outermost flow list.
    flow: Option<usize>,
    /// Whether the list being walked is a flow list, or nested in one.
    in_flow_list: bool,
}

/// What [`Trail::leave`] needs to go back.
#[derive(Debug)]
pub(crate) struct Mark {
    dropped: Vec<Cow<'static, str>>,
    flow: Option<usize>,
    in_flow_list: bool,
}

impl Trail {
    pub(crate) fn enter_field(&mut self, name: Cow<'static, str>) -> Mark {
        let mark = Mark { dropped: Vec::new(), flow: self.flow, in_flow_list: self.in_flow_list };
        self.in_flow_list = is_flow_list(&name);
        self.steps.push(name);
        if self.in_flow_list && self.flow.is_none() {
            self.flow = Some(self.steps.len());
        }
        mark
    }

    /// Enters item `n`, counted from 0, of a list; by its name if it has one.
    pub(crate) fn enter_item(&mut self, name: Option<&str>, n: usize) -> Mark {
        let mut mark = Mark { dropped: Vec::new(), flow: self.flow, in_flow_list: self.in_flow_list };
        let Some(name) = name else {
            self.steps.push(Cow::Owned((n + 1).to_string()));
            return mark;
        };
        if let Some(flow) = self.flow.filter(|_| self.in_flow_list) {
            mark.dropped = self.steps.split_off(flow);
        }
        self.steps.push(Cow::Owned(name.to_owned()));
        mark
    }

    pub(crate) fn leave(&mut self, mark: Mark) {
        self.steps.pop();
        self.steps.extend(mark.dropped);
        self.flow = mark.flow;
        self.in_flow_list = mark.in_flow_list;
    }

    pub(crate) fn path(&self) -> String {
        self.steps.join(".")
    }

    /// The last step, for a message about a missing part; empty at the root.
    pub(crate) fn last(&self) -> &str {
        self.steps.last().map_or("", |step| step)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn items_in_branches_get_the_short_path() {
        let mut trail = Trail::default();
        let marks = [
            trail.enter_field("loops".into()),
            trail.enter_item(Some("stator"), 0),
            trail.enter_field("path".into()),
            trail.enter_item(Some("split"), 1),
            trail.enter_field("branches".into()),
            trail.enter_item(None, 1),
            trail.enter_field("path".into()),
            trail.enter_item(Some("thermostat"), 0),
            trail.enter_field("limits".into()),
            trail.enter_item(Some("coolant"), 0),
        ];
        assert_eq!(trail.path(), "loops.stator.path.thermostat.limits.coolant");
        for mark in marks.into_iter().rev().take(4) {
            trail.leave(mark);
        }
        assert_eq!(trail.path(), "loops.stator.path.split.branches.2");
    }
}
