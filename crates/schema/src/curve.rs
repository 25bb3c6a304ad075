//! Measured curves as inputs: pairs of quantities.

use std::ops::Deref;

use super::decode::{Decode, Decoder, decode_items};
use super::input::{Input, InputKind};
use super::movable::Movable;
use super::rule::Rule;
use super::shape::Shape;
use super::tree::{Node, Tree};

/// A measured curve: at least two points whose first values rise.
///
/// In a file: `[("0 L/min", "60 kPa"), ("10 L/min", "55 kPa"), ("25 L/min", "30 kPa")]`.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve<X: InputKind, Y: InputKind> {
    points: Vec<(Input<X>, Input<Y>)>,
}

impl<X: InputKind, Y: InputKind> Curve<X, Y> {
    /// A curve of these points, if there are two at least and their first values rise.
    pub fn new(points: Vec<(Input<X>, Input<Y>)>) -> Option<Self> {
        let rises = points.windows(2).all(|pair| pair[1].0.si() > pair[0].0.si());
        (points.len() >= 2 && rises).then_some(Self { points })
    }

    /// The points as typed.
    pub fn points(&self) -> &[(Input<X>, Input<Y>)] {
        &self.points
    }

    /// The points in SI units.
    pub fn si(&self) -> Vec<(f64, f64)> {
        self.points.iter().map(|(x, y)| (x.si(), y.si())).collect()
    }
}

impl<X: InputKind, Y: InputKind> Deref for Curve<X, Y> {
    type Target = [(Input<X>, Input<Y>)];
    fn deref(&self) -> &Self::Target {
        &self.points
    }
}

impl<X: InputKind, Y: InputKind> Decode for Curve<X, Y> {
    fn shape() -> Shape {
        Shape::Curve(X::KIND, Y::KIND)
    }

    fn decode(node: &Node, decoder: &mut Decoder) -> Option<Self> {
        let example = super::example::example(Self::shape());
        let Tree::List(items) = &node.tree else {
            decoder.expected(node, "a list of points", &example);
            return None;
        };
        let points = decode_items::<(Input<X>, Input<Y>)>(items, decoder)?;
        if points.len() < 2 {
            let message = format!("a curve needs two points at least, here are {}", points.len());
            decoder.error(node.place, message, format!("write {example}"));
            return None;
        }
        let first: Vec<f64> = points.iter().map(|(x, _)| x.si()).collect();
        if let Some((n, _)) = Rule::Rising.check_order(&first) {
            let message = format!(
                "point {} begins with {:?}, which is not above {:?} before it",
                n + 1,
                points[n].0.text(),
                points[n - 1].0.text()
            );
            decoder.error(items[n].place, message, "sort the points by their first value and give each once");
            return None;
        }
        Some(Self { points })
    }

    fn encode(&self) -> Node {
        self.points.encode()
    }

    fn visit_numbers(&mut self, visit: &mut dyn FnMut(&mut dyn Movable)) {
        self.points.visit_numbers(visit);
    }

    /// Order rules apply along the second values, all others to each second value.
    fn check(&self, rules: &[Rule], node: &Node, decoder: &mut Decoder) {
        let Tree::List(items) = &node.tree else { return };
        for (n, ((_, y), item)) in self.points.iter().zip(items).enumerate() {
            decoder.in_item(item, n, |decoder| y.check(rules, item, decoder));
        }
        for over in rules.iter().filter_map(|rule| rule.over()) {
            for (n, ((x, _), item)) in self.points.iter().zip(items).enumerate() {
                decoder.in_item(item, n, |decoder| x.check(&[over], item, decoder));
            }
        }
        let second: Vec<f64> = self.points.iter().map(|(_, y)| y.si()).collect();
        for (n, direction) in rules.iter().filter_map(|rule| rule.check_order(&second)) {
            let message = format!(
                "point {} gives {:?} after {:?}: the curve must {direction}",
                n + 1,
                self.points[n].1.text(),
                self.points[n - 1].1.text()
            );
            decoder.error(items[n].place, message, "correct the point, or remove it");
        }
    }
}
