//! What comes first, what later, and what is not worked out twice.

use session::{Choice, Compared, Extent, Found, Studied, Study, Work};

use crate::{mission, rig, solved, tug};

fn work(found: &Found) -> Work {
    found.extent.work().cloned().unwrap_or_default()
}

#[test]
fn steady_cases_do_not_wait_for_missions_nor_the_one_on_screen_for_the_others() {
    let rig = rig();
    let choice = rig.choices().settle(&Choice::default());
    let (parts, whole) = solved(&rig, &choice);
    assert!(
        matches!(&parts[0].extent, Extent::FirstCase(work) if work.done == 1 && work.of == 7),
        "{:?}",
        parts[0].extent
    );
    assert_eq!(parts[0].steady.results.len(), 1);
    assert_eq!(parts[0].steady(&choice.case), whole.steady(&choice.case), "the same bits");
    assert_eq!((whole.steady.results.len(), whole.flown.len()), (7, 3));
    assert!(parts.iter().all(|part| part.extent.work().is_some()) && whole.extent == Extent::Whole);
    let flown: Vec<usize> = parts.iter().map(|part| part.flown.len()).collect();
    assert!(flown.is_sorted() && flown.contains(&2), "missions come one by one: {flown:?}");
    let (again, same) = solved(&rig, &choice);
    assert!(again.is_empty(), "what is known is not solved again");
    assert_eq!(same.steady.results, whole.steady.results);
}

#[test]
fn missions_are_told_in_the_order_of_the_project_whichever_was_flown_first() {
    let rig = rig();
    let case = rig.choices().missions().last().cloned().expect("it flies");
    let choice = rig.choices().settle(&Choice { case: case.clone(), ..Choice::default() });
    let (parts, whole) = solved(&rig, &choice);
    let first = parts.iter().find(|part| !part.flown.is_empty()).expect("parts come");
    assert_eq!(first.flown[0].0, case, "the one on screen is flown first");
    let names: Vec<_> = whole.flown.iter().map(|(name, _)| name.clone()).collect();
    let listed: Vec<_> = rig.choices().missions().cloned().collect();
    assert_eq!(names, listed);
}

#[test]
fn another_variant_lies_beneath_once_it_has_been_flown() {
    let rig = rig();
    let choice = mission(&rig);
    let compared = Compared { variant: "small radiator".into(), case: choice.case.clone() };
    let (parts, whole) = solved(&rig, &Choice { compared: Some(compared), ..choice });
    assert!(
        parts.iter().any(|part| part.beneath.is_none() && !part.flown.is_empty()),
        "the own one comes first"
    );
    let beneath = whole.beneath.clone().expect("it was flown");
    let own = whole.mission(&beneath.mission.0).expect("it is there").as_ref().expect("it flies");
    let other = beneath.mission.1.expect("it flies");
    let hottest = |flown: &session::Flown| {
        flown.flight.component_k("heater block").into_iter().fold(f64::NEG_INFINITY, f64::max)
    };
    assert!(hottest(&other) > hottest(own) + 1.0, "half the radiator is hotter");
}

#[test]
fn a_study_is_worked_out_only_when_it_is_asked_for() {
    let tug = tug();
    let cases = tug.choices().settle(&Choice::default());
    let (_, without) = solved(&tug, &cases);
    assert!(matches!(without.studied, Studied::Nothing), "nobody has asked");
    let (parts, whole) = solved(&tug, &Choice { study: Study::Turnaround, ..cases });
    assert!(matches!(parts[0].studied, Studied::Nothing) && whole.extent == Extent::Whole);
    let has_tables = |found: &Found| match &found.studied {
        Studied::Turnaround(turned) => Some(turned.has_tables),
        _ => None,
    };
    assert!(parts.iter().any(|part| has_tables(part) == Some(false)), "the ways come before the tables");
    assert_eq!(has_tables(&whole), Some(true));
    let of_ways = parts.iter().map(work).filter(|work| work.what == "flights of every way" && work.done > 0);
    let of_ways: Vec<(usize, usize)> = of_ways.map(|work| (work.done, work.of)).collect();
    assert!(of_ways.iter().any(|(done, of)| done == of), "every flight is counted: {of_ways:?}");
}
