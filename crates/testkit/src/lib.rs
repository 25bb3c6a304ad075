//! Fixtures, tolerances and the reader of reference tables, for tests only.
