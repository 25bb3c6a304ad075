//! Project files: bytes to model and back, with diagnostics and safe saving.
