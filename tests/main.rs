//! Checks of the whole project against the outside.

mod architecture;
mod cell_tables;
mod charging_points;
mod gates;
mod glossary;
mod module_circles;
mod validation;
