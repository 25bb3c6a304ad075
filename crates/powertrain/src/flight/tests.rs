mod rotor;
mod wing;

use super::*;

#[test]
fn steps_and_flags_can_be_printed() {
    let step = Step::new("thrust", 14_000.0, "N", "weight");
    assert_eq!(step.to_string(), "thrust (weight) = 14000 N");
    assert_eq!(Step::new("advance ratio", 0.25, "-", "V/U").to_string(), "advance ratio (V/U) = 0.25");
    let mut flags = Flags::default();
    assert!(flags.is_empty());
    flags.raise(Flag::Stall, true);
    flags.raise(Flag::Glide, true);
    flags.raise(Flag::AdvanceRatio, false);
    assert!(flags.contains(Flag::Stall) && !flags.contains(Flag::AdvanceRatio));
    assert_eq!(flags.iter().collect::<Vec<_>>(), [Flag::Stall, Flag::Glide]);
    // every flag has a bit and a sentence of its own
    let bits = Flag::ALL.iter().fold(0_u16, |all, flag| all ^ flag.bit());
    assert_eq!(bits.count_ones() as usize, Flag::ALL.len());
    assert!(Flag::ALL.iter().all(|flag| flag.to_string().len() > 20));
}
