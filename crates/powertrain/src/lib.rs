//! Losses of motors, inverters, gearboxes and cells.
