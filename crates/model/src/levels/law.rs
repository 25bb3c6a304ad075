//! A law that can be given at several levels.

use crate::curves::{Level, MachineCurves, MachineKind, Value};
use aircraft::revise::Revision;
use units::Kind;

/// A law that can be given at several levels.
#[derive(Clone, Debug, PartialEq)]
pub struct Law {
    /// Its address in the project.
    pub path: String,
    /// What it gives: `film`, `pressure loss`.
    pub what: &'static str,
    /// Kind of what it gives.
    pub kind: Kind,
    /// Its levels, in the order of the file format.
    pub levels: Vec<Level>,
}

impl Law {
    /// The law of the losses of a machine, or of the resistance of a conductor; none if it has no levels.
    pub fn of_machine(machine: &MachineCurves) -> Option<Self> {
        let what = match machine.sort {
            MachineKind::Cable | MachineKind::Conductor => "resistance",
            _ => "losses",
        };
        (!machine.levels.is_empty()).then(|| Self {
            path: machine.law.clone(),
            what,
            kind: Kind::Power,
            levels: machine.levels.clone(),
        })
    }

    /// The change of the project that gives the law at a level; none for the level in use and where too little is known.
    pub fn switch(&self, level: &Level) -> Option<Revision> {
        let law = level.law.clone().filter(|_| !level.is_used)?;
        let title = format!("give the {} of {} as {}", self.what, self.owner(), level.name);
        let changes = std::iter::once((self.path.clone(), law)).chain(level.also.iter().cloned()).collect();
        Some(Revision::Replace { title, changes })
    }

    /// What a level gives at the case, with its unit; or why it gives nothing.
    pub fn result(&self, level: &Level) -> String {
        match (level.value, &level.law) {
            (Some(watts), _) if self.kind == Kind::Power => format!("{watts:.1} W"),
            (Some(si), _) => Value { name: self.what, kind: self.kind, si }.text(),
            (None, Some(_)) => "cannot be told".to_owned(),
            (None, None) => "too little is known".to_owned(),
        }
    }

    /// Name of the thing that has the law.
    pub fn owner(&self) -> &str {
        let mut steps = self.path.rsplit('.');
        let field = |step: &&str| matches!(*step, "transfer" | "liquid" | "air");
        steps.next();
        steps.find(|step| !field(step)).unwrap_or(&self.path)
    }
}
