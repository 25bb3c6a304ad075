//! Quantities: parse, format and convert text with a unit.
