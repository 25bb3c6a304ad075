//! Whole projects put together, solved and flown.

#[path = "main/bench.rs"]
mod bench;
#[path = "main/budget.rs"]
mod budget;
#[path = "main/demos.rs"]
mod demos;
#[path = "main/documentation.rs"]
mod documentation;
#[path = "main/doors.rs"]
mod doors;
#[path = "main/estimates.rs"]
mod estimates;
#[path = "main/evidence.rs"]
mod evidence;
#[path = "main/failures.rs"]
mod failures;
#[path = "main/films.rs"]
mod films;
#[path = "main/flown.rs"]
mod flown;
#[path = "main/freezing.rs"]
mod freezing;
#[path = "main/ground.rs"]
mod ground;
#[path = "main/hot_spots.rs"]
mod hot_spots;
#[path = "main/inlets.rs"]
mod inlets;
#[path = "main/junctions.rs"]
mod junctions;
#[path = "main/limit_cycle.rs"]
mod limit_cycle;
#[path = "main/measured.rs"]
mod measured;
#[path = "main/missions.rs"]
mod missions;
#[path = "main/mistakes.rs"]
mod mistakes;
#[path = "main/motor_maps.rs"]
mod motor_maps;
#[path = "main/new_aircraft.rs"]
mod new_aircraft;
#[path = "main/outages.rs"]
mod outages;
#[path = "main/power_path.rs"]
mod power_path;
#[path = "main/pumps.rs"]
mod pumps;
#[path = "main/ratings.rs"]
mod ratings;
#[path = "main/stages.rs"]
mod stages;
#[path = "main/start_margin.rs"]
mod start_margin;
#[path = "main/surroundings.rs"]
mod surroundings;
#[path = "main/together.rs"]
mod together;
#[path = "main/validity.rs"]
mod validity;
#[path = "main/variants.rs"]
mod variants;
