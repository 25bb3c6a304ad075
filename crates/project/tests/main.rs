//! Reading, writing and saving of project files.

#[path = "main/demos.rs"]
mod demos;
#[path = "main/documentation.rs"]
mod documentation;
#[path = "main/estimates.rs"]
mod estimates;
#[path = "main/failures.rs"]
mod failures;
#[path = "main/ground.rs"]
mod ground;
#[path = "main/missions.rs"]
mod missions;
#[path = "main/mistakes.rs"]
mod mistakes;
#[path = "main/round_trip.rs"]
mod round_trip;
#[path = "main/saving.rs"]
mod saving;
#[path = "main/size.rs"]
mod size;
