//! Checks of the relations against published tables, worked examples and their own smoothness.

mod exchangers;
mod inside;
mod listed;
mod outside;
mod properties;
mod rotors;
mod smooth;
mod support;
mod tubes;
mod worked;
