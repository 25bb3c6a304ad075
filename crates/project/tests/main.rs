//! Reading, writing and saving of project files.

#[path = "main/door.rs"]
mod door;
#[path = "main/round_trip.rs"]
mod round_trip;
#[path = "main/saving.rs"]
mod saving;
#[path = "main/size.rs"]
mod size;
