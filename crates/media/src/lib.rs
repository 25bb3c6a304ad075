//! Coolants, oils, air and the atmosphere.
