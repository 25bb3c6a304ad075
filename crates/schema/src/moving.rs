//! Moving the numbers of decoded records: much faster than to change the tree and decode it again.
//!
//! The numbers of a record are counted in the order of [`super::list_inputs`], so that entry `n` of that list is number `n` here.

use super::decode::Decode;

/// All numbers of a record, in SI.
pub fn numbers_si<T: Decode>(record: &mut T) -> Vec<f64> {
    let mut all = Vec::new();
    record.visit_numbers(&mut |number| all.push(number.si()));
    all
}

/// Moves one number of a record to a value in SI. False, and nothing is moved, if its kind cannot have the value.
pub fn move_number<T: Decode>(record: &mut T, index: usize, si: f64) -> bool {
    move_numbers(record, &[(index, si)])
}

/// Moves several numbers, given by rising index. False if one of them was not moved.
pub fn move_numbers<T: Decode>(record: &mut T, to_si: &[(usize, f64)]) -> bool {
    let (mut next, mut index, mut all_moved) = (to_si.iter().peekable(), 0, true);
    record.visit_numbers(&mut |number| {
        if let Some(&(_, si)) = next.next_if(|(wanted, _)| *wanted == index) {
            all_moved &= number.move_to(si);
        }
        index += 1;
    });
    all_moved && next.peek().is_none()
}

#[cfg(test)]
mod tests {
    #![allow(unreachable_pub, reason = "the macro declares a public type, here in a test module")]

    use super::{move_number, move_numbers, numbers_si};
    use crate::prelude::*;

    record! {
        /// For the test.
        pub struct Pipe {
            /// Name.
            pub name: Name,
            /// Length.
            pub length: Input<Length>,
            /// How many.
            pub count: Count = 2,
            /// Temperature.
            pub warmth: Option<Input<Temperature>>,
            /// Curve.
            pub curve: Option<Curve<Length, Power>>,
        }
    }

    #[test]
    fn numbers_are_moved_by_index() {
        let node = Node::record(
            "Pipe",
            vec![
                ("name", Node::text("a")),
                ("length", Node::text("3 mm")),
                (
                    "curve",
                    Node::list(vec![
                        Node::tuple("", vec![Node::text("1 m"), Node::text("4 kW")]),
                        Node::tuple("", vec![Node::text("2 m"), Node::text("5 kW")]),
                    ]),
                ),
            ],
        );
        let mut pipe = decode::<Pipe>(&node).value.unwrap();
        assert_eq!(numbers_si(&mut pipe), [0.003, 2.0, 1.0, 4000.0, 2.0, 5000.0]);
        assert!(move_numbers(&mut pipe, &[(0, 0.004), (1, 3.2), (5, 6000.0)]));
        assert_eq!((pipe.length.text(), pipe.count), ("4 mm", 3));
        assert_eq!(numbers_si(&mut pipe), [0.004, 3.0, 1.0, 4000.0, 2.0, 6000.0]);
        // not a length, and not a number of the record
        assert!(!move_number(&mut pipe, 0, f64::NAN) && !move_number(&mut pipe, 6, 1.0));
        assert_eq!(pipe.length.si(), 0.004);
    }
}
