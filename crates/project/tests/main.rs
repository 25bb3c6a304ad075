//! Reading, writing and saving of project files.

#[path = "main/door.rs"]
mod door;
#[path = "main/lossless.rs"]
mod lossless;
#[path = "main/round_trip.rs"]
mod round_trip;
#[path = "main/saving.rs"]
mod saving;
#[path = "main/size.rs"]
mod size;
