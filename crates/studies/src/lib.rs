//! Margins over cases and other studies made of many solves.
