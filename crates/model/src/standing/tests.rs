use super::{CaseStanding, Rank, Standing, Why};
use crate::case_name::CaseName;
use crate::evidence::RequiredBy;
use crate::result::{Margin, MarginKind, Notice, Status};

fn margin(place: &str, kind: MarginKind, limit_value: f64, margin: f64, required: f64) -> Margin {
    Margin {
        place: place.to_owned(),
        limit: "limit".to_owned(),
        kind,
        value: limit_value - margin,
        limit_value,
        nominal_limit: None,
        margin,
        required,
        required_by: RequiredBy::Limit,
        source: None,
        owner: None,
    }
}

fn celsius(place: &str, distance: f64, required: f64) -> Margin {
    margin(place, MarginKind::Maximum, 423.15, distance, required)
}

#[test]
fn a_margin_stands_against_what_is_required_of_it() {
    let stands = |distance, required| celsius("", distance, required).standing();
    assert_eq!(stands(5.0, 5.0), Standing::Holds);
    assert_eq!(stands(5.0 - 9e-10, 5.0), Standing::Holds, "the last digit decides nothing");
    assert_eq!(stands(5.0 - 2e-9, 5.0), Standing::Short);
    assert_eq!(stands(0.0, 5.0), Standing::Short, "at the limit is inside it");
    assert_eq!(stands(-0.1, 5.0), Standing::PastLimit);
    assert_eq!(stands(-0.1, -1.0), Standing::PastLimit, "whatever is required");
    for nothing in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        assert_eq!(stands(nothing, 5.0), Standing::NoResult);
        assert_eq!(stands(5.0, nothing), Standing::NoResult);
    }
    assert_eq!(Standing::ALL.map(Standing::exit_code), [2, 2, 2, 0]);
    assert!(Standing::ALL.is_sorted(), "worst first");
}

/// By hand, reserve = margin - required, one per cent of the limit ranks as 1 K:
/// ```text
/// cells      60 degC, at 64 degC, 15 K required     past    -4 - 15 = -19 K                          -> -19
/// motor      100 kW, at 101.5 kW                    past    -1500 W / (100 kW / 100)                 -> -1.5
/// pump       50 kPa, 10 kPa required, 4 kPa left    short   (4 - 10) kPa / (50 kPa / 100)            -> -12
/// winding    5 K left, 15 K required                short   5 - 15 = -10 K                           -> -10
/// draw       limit 0 W, 200 W required, 190 W left  short   -10 W / (200 W / 100)                    -> -5
/// shaft      400 N m, 396 N m                       holds   4 N m / (400 N m / 100)                  -> +1
/// oil        20 K left, 15 K required               holds   20 - 15 = +5 K                           -> +5
/// bus        100 kW, 40 kW                          holds   60 kW / (100 kW / 100)                   -> +60
/// ```
/// By bare numbers the 60 000 W and -1500 W would drown every kelvin.
#[test]
fn one_per_cent_of_the_limit_ranks_as_one_kelvin() {
    use MarginKind::{RatedTorque, Rating};
    // the scale of a pressure is that of every unit but K; no kind of margin is a pressure yet, so torque stands in for the number
    let worst_first = [
        (celsius("cells", -4.0, 15.0), Standing::PastLimit, -19.0),
        (margin("motor", Rating, 100e3, -1500.0, 0.0), Standing::PastLimit, -1.5),
        (margin("pump", RatedTorque, 50e3, 4e3, 10e3), Standing::Short, -12.0),
        (celsius("winding", 5.0, 15.0), Standing::Short, -10.0),
        (margin("draw", Rating, 0.0, 190.0, 200.0), Standing::Short, -5.0),
        (margin("shaft", RatedTorque, 400.0, 4.0, 0.0), Standing::Holds, 1.0),
        (celsius("oil", 20.0, 15.0), Standing::Holds, 5.0),
        (margin("bus", Rating, 100e3, 60e3, 0.0), Standing::Holds, 60.0),
    ];
    for (margin, standing, scaled) in &worst_first {
        assert_eq!(margin.standing(), *standing, "{}", margin.place);
        assert!((margin.rank().scaled() - scaled).abs() < 1e-9, "{}: {:?}", margin.place, margin.rank());
    }
    let mut sorted: Vec<Margin> = worst_first.iter().rev().map(|(margin, ..)| margin.clone()).collect();
    sorted.push(celsius("nothing", f64::NAN, 15.0));
    sorted.sort_by(Margin::worst_first);
    let places: Vec<&str> = sorted.iter().map(|margin| margin.place.as_str()).collect();
    assert_eq!(places, ["nothing", "cells", "motor", "pump", "winding", "draw", "shaft", "oil", "bus"]);
}

/// A limit of 0 W with nothing required has no per cent: -3 W is the worst that is past its limit, 0 W holds with no reserve, 3 W is
/// the last that holds.
#[test]
fn without_any_scale_only_the_sign_counts() {
    let watts = |place, distance| margin(place, MarginKind::Rating, 0.0, distance, 0.0);
    let mut all = [
        watts("above", 3.0),
        celsius("far", 500.0, 15.0),
        celsius("near", 15.5, 15.0),
        watts("at", 0.0),
        celsius("cells", -400.0, 15.0),
        watts("below", -3.0),
    ];
    all.sort_by(Margin::worst_first);
    let places: Vec<&str> = all.iter().map(|margin| margin.place.as_str()).collect();
    assert_eq!(places, ["below", "cells", "at", "near", "far", "above"]);
    assert_eq!(watts("", -0.0).rank(), watts("", 0.0).rank());
}

#[test]
fn the_rule_asks_for_maxima_of_temperatures_alone() {
    use MarginKind::{Boiling, Freezing, Minimum, RatedSpeed, RatedTorque, Rating};
    assert_eq!(celsius("", 2.0, 15.0).rule_standing(), Some(Standing::Holds));
    assert_eq!(celsius("", -2.0, 15.0).rule_standing(), Some(Standing::PastLimit));
    assert_eq!(celsius("", f64::NAN, 15.0).rule_standing(), Some(Standing::NoResult));
    for kind in [Boiling, Freezing, Minimum, RatedSpeed, RatedTorque, Rating] {
        assert_eq!(margin("", kind, 100.0, 2.0, 0.0).rule_standing(), None, "{kind:?}");
    }
}

#[test]
fn a_case_stands_as_its_worst_margin_and_without_a_state_as_no_result() {
    let case: CaseName = "hot/hover".parse().expect("a name");
    let (short, holds) = (celsius("cells", 5.0, 15.0), margin("motor", MarginKind::Rating, 1e5, 10.0, 0.0));
    let notice = |kind| Notice { kind, place: "pump".into(), about: "", message: "why".into() };
    let notices = [notice("derate"), notice("no_equilibrium")];
    let of = |status, margins| CaseStanding::of(&case, status, &notices, margins);
    let both = || vec![(&holds, None), (&short, Some(3.0))];

    let solved = of(Status::Solved, both());
    assert_eq!(solved.standing, Standing::Short);
    assert!(matches!(solved.why, Why::Margin(margin, Some(3.0)) if margin.place == "cells"));
    assert_eq!(of(Status::Hunting, both()).standing, Standing::Short, "its worst moments are judged");

    let failed = of(Status::NoEquilibrium, both());
    assert_eq!((failed.standing, failed.rank()), (Standing::NoResult, Rank::NO_RESULT));
    let Why::NoState(Status::NoEquilibrium, Some(told)) = failed.why else { panic!("{:?}", failed.why) };
    assert_eq!(told.kind, "no_equilibrium");

    let free = of(Status::Solved, vec![]);
    assert!(free.standing.holds() && matches!(free.why, Why::NoLimits));
    let worst = CaseStanding::worst([free, solved, failed]).expect("there are three");
    assert_eq!(worst.standing, Standing::NoResult);
}
