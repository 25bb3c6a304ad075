//! Handbook relations in dimensionless groups.
