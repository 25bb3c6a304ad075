//! Numbered network of flows and temperatures: steady states and their heat ledger.
