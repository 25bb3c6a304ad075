use media::{Liquid, MediaError, property_table};

#[test]
fn every_listed_name_is_a_liquid_and_returns_itself() {
    let names = Liquid::all_names();
    assert!(names.len() >= 10);
    for name in names {
        let liquid = Liquid::named(&name).unwrap();
        assert_eq!(liquid.name(), name);
        assert!(!liquid.description().is_empty() && !liquid.source().is_empty());
        assert!(!liquid.spread().words.is_empty());
    }
}

#[test]
fn both_strengths_are_shown() {
    // 0.5 by mass of ethylene glycol is 47.3 % by volume: 0.5/1113.2 over (0.5/1113.2 + 0.5/998.2)
    let liquid = Liquid::named("Ethylene-Glycol:0.5").unwrap();
    assert_eq!(liquid.description(), "ethylene glycol 50.0 % by mass (47.3 % by volume) in water");
    assert_eq!(liquid.name(), "ethylene-glycol:0.5");
    let by_volume = Liquid::named("ethylene-glycol:0.5vol").unwrap();
    assert_eq!(by_volume.description(), "ethylene glycol 52.7 % by mass (50.0 % by volume) in water");
}

fn message(name: &str) -> String {
    Liquid::named(name).unwrap_err().to_string()
}

#[test]
fn wrong_names_say_what_to_do() {
    assert_eq!(message("watr"), "no fluid is called `watr`; did you mean `water`?");
    assert_eq!(message("quicksilver"), "no fluid is called `quicksilver`");
    assert!(message("ethylene-glicol:0.5").ends_with("did you mean `ethylene-glycol`?"));
    assert!(message("ethylene-glycol").contains("write `ethylene-glycol:0.5` for 50 % by mass"));
    assert!(message("ethylene-glycol:strong").contains("not a number"));
    assert!(message("propylene-glycol:0.9").contains("outside 0 to 0.63 by mass"));
    assert!(message("ethylene-glycol:50").contains("outside"));
    assert!(message("atf:0.5").contains("not a mixture"));
    assert!(message("iso-vg-33").contains("10, 15, 22, 32, 46"));
    assert_eq!(Liquid::named("air"), Err(MediaError::AirIsNotALiquid));
    for odd in ["", ":", "::", "water:", "é:½", "iso-vg-", "iso-vg-46:", "ethylene-glycol:vol"] {
        assert!(Liquid::named(odd).is_err(), "{odd:?}");
    }
}

#[test]
fn the_property_table_takes_liquids_and_air() {
    let rows = property_table("ethylene-glycol:0.5", &[333.15, 400.0], Some(150_000.0)).unwrap();
    assert!(rows[0].in_range && !rows[1].in_range);
    // held beyond 110 degC
    assert_eq!(
        rows[1].density_kg_m3,
        property_table("ethylene-glycol:0.5", &[383.15], None).unwrap()[0].density_kg_m3
    );
    assert!(rows[0].boiling_point_k.unwrap() > 383.0 && rows[0].freezing_point_k.unwrap() < 240.0);
    // ISO 2533: 1.225 kg/m3 at 288.15 K and standard pressure, the default
    let air = property_table("air", &[288.15], None).unwrap();
    testkit::assert_close("air", air[0].density_kg_m3, 1.225, 1e-5);
    assert!(property_table("air", &[288.15], Some(f64::NAN)).is_err());
    assert!(property_table("water", &[-3.0], None).is_err());
    assert!(property_table("sir", &[288.15], None).unwrap_err().to_string().contains("`air`"));
}
