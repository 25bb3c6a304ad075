//! What an edit did, as the history keeps it: nothing has to be read out of its name again.

use aircraft::revise::Revision;
use std::fmt;

/// Where an edit went, as it is told while a variant is on screen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Went {
    /// Into the base design, which is on screen.
    Here,
    /// Into the base design, while a variant is on screen.
    IntoBase,
    /// Into the variant of this name only.
    IntoVariant(String),
}

/// An edit of the project.
#[derive(Debug, Clone, PartialEq)]
pub enum Edit {
    /// An input was set.
    Set {
        /// Its address.
        path: String,
        /// What was typed.
        text: String,
        /// Where it went.
        went: Went,
    },
    /// The value of the base design was taken in the place of a variant's own.
    DropOwn {
        /// Address of the input.
        path: String,
        /// Name of the variant.
        variant: String,
    },
    /// A thing was renamed, copied, moved, added or taken away.
    Revise {
        /// What was done.
        revision: Box<Revision>,
        /// Where it went.
        went: Went,
    },
    /// A design was kept as a variant of this name.
    KeepVariant(String),
}

impl fmt::Display for Went {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Here => Ok(()),
            Self::IntoBase => write!(f, " in the base design"),
            Self::IntoVariant(name) => write!(f, " in {name}"),
        }
    }
}

impl fmt::Display for Edit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Set { path, text, went } => write!(f, "{path} = {text}{went}"),
            Self::DropOwn { path, variant } => write!(f, "{path} of {variant} as in the base design"),
            Self::Revise { revision, went } => write!(f, "{}{went}", revision.title()),
            Self::KeepVariant(name) => write!(f, "keep the variant {name}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_edit_says_what_it_did_and_where() {
        let set = |went| Edit::Set { path: "loops.x.cap".into(), text: "50 kPag".into(), went };
        assert_eq!(set(Went::Here).to_string(), "loops.x.cap = 50 kPag");
        assert_eq!(set(Went::IntoBase).to_string(), "loops.x.cap = 50 kPag in the base design");
        assert_eq!(set(Went::IntoVariant("light".into())).to_string(), "loops.x.cap = 50 kPag in light");
        let revise =
            Edit::Revise { revision: Box::new(Revision::RemoveLoop("x".into())), went: Went::IntoBase };
        assert_eq!(revise.to_string(), "remove the loop x in the base design");
    }
}
