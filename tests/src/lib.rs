//! Holds no code: the checks are in `main.rs` and its modules.
