//! The base design and its variants, each decoded once and not before it is asked for.

use model::design;
use std::sync::OnceLock;

use aircraft::variant::Varied;
use schema::{Node, Problems};

/// The designs of one tree.
#[derive(Debug)]
pub(crate) struct Designs {
    base: Varied,
    variants: Vec<Variant>,
}

#[derive(Debug)]
struct Variant {
    name: String,
    found: OnceLock<Result<Varied, Problems>>,
}

impl Designs {
    pub(crate) fn new(base: Varied) -> Self {
        let variant = |name: &str| Variant { name: name.to_owned(), found: OnceLock::new() };
        let variants = base.project.variants.iter().map(|v| variant(v.name.as_str())).collect();
        Self { base, variants }
    }

    pub(crate) fn base(&self) -> &Varied {
        &self.base
    }

    pub(crate) fn variant_names(&self) -> Vec<String> {
        self.variants.iter().map(|variant| variant.name.clone()).collect()
    }

    /// A design by name, from the tree they all come from; nothing if none has the name.
    pub(crate) fn design(&self, node: &Node, name: &str) -> Option<Result<&Varied, &Problems>> {
        if name == self.base.name {
            return Some(Ok(&self.base));
        }
        let variant = self.variants.iter().find(|variant| variant.name == name)?;
        Some(self.decoded(node, variant))
    }

    fn decoded<'a>(&'a self, node: &Node, variant: &'a Variant) -> Result<&'a Varied, &'a Problems> {
        variant.found.get_or_init(|| design::vary(node, &self.base.project, &variant.name)).as_ref()
    }

    /// Whether nothing is left to decode.
    pub(crate) fn are_decoded(&self) -> bool {
        self.variants.iter().all(|variant| variant.found.get().is_some())
    }

    /// Decodes every variant.
    ///
    /// # Errors
    /// The problems of the first variant that has any.
    pub(crate) fn decode_all(&self, node: &Node) -> Result<(), Problems> {
        if !self.are_decoded() {
            // what is wrong with one is told below
            studies::on_all_cores(&self.variants, |variant| {
                let _found = self.decoded(node, variant);
            });
        }
        let problems = self.variants.iter().find_map(|variant| self.decoded(node, variant).err());
        problems.map_or(Ok(()), |problems| Err(problems.clone()))
    }

    /// Every design that has been decoded without a problem, the base design first.
    pub(crate) fn all(&self) -> Vec<Varied> {
        let variants = self.variants.iter().filter_map(|variant| variant.found.get()?.as_ref().ok());
        std::iter::once(&self.base).chain(variants).cloned().collect()
    }
}
