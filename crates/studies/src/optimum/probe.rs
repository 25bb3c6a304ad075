//! Designs that are judged before the search.

use super::closest::closest;
use super::look::Field;
use super::search::FIRST_CASES;
use super::space::Point;

use crate::StudyError;
use crate::size::judge::{CaseVerdict, Terms};
use crate::size::{Binding, LimitName};

/// A limit is moved by the sizes if its reserve differs by more than this between small and large, K.
const MOVED: f64 = 0.02;

/// What the designs tried before the search say.
pub(super) struct Probes {
    pub(super) beyond: Vec<Binding>,
    /// What is short with the largest cores.
    pub(super) short: Vec<Binding>,
    /// Designs and the verdicts on every case, the largest last.
    pub(super) judged: Vec<(Point, Vec<CaseVerdict>)>,
}

/// Judges the present, the middle and the largest design by every case: sets aside what no size moves.
pub(super) fn probe(field: &mut Field<'_>) -> Result<Probes, StudyError> {
    let (judge, space) = (field.judge, field.space);
    let present = space.present();
    let middle = space.at(&vec![0.5; space.variables.len() + space.lists.len()]);
    let points = [middle, present.clone(), space.largest(&present)];
    let mut all: Vec<Vec<CaseVerdict>> = Vec::new();
    for point in &points {
        all.push(judge.verdicts(&space.applied(field.project, point), &judge.all())?);
    }
    let mut beyond = Vec::new();
    for verdict in all.last().into_iter().flatten() {
        for (margin, time_s) in &verdict.margins {
            let limit = LimitName::of(margin);
            let reserves: Vec<f64> = all
                .iter()
                .filter_map(|verdicts| {
                    let same = &verdicts[verdict.case].margins;
                    same.iter().find(|(m, _)| LimitName::of(m) == limit).map(|(m, _)| m.reserve())
                })
                .collect();
            let spread = |f: fn(f64, f64) -> f64| reserves.iter().copied().reduce(f).unwrap_or(0.0);
            if spread(f64::max) - spread(f64::min) >= MOVED {
                continue;
            }
            field.unmoved.push((verdict.case, limit.clone()));
            if margin.is_short() {
                field.aside.push((verdict.case, limit));
                let alone = CaseVerdict { margins: vec![(margin.clone(), *time_s)], ..verdict.clone() };
                beyond.push(judge.binding(&alone, &Terms::default()));
            }
        }
    }
    let largest = all.last().map_or(&[][..], Vec::as_slice);
    let short = closest(field, largest).into_iter().filter(|binding| binding.reserve < 0.0).collect();
    Ok(Probes { beyond, short, judged: points.into_iter().zip(all).collect() })
}

/// The steady cases that decide at first: the closest of each design that was judged.
pub(super) fn first_cases(field: &Field<'_>, probes: &Probes) -> Vec<usize> {
    let steady = field.judge.steady();
    let mut cases: Vec<usize> = Vec::new();
    for (_, verdicts) in &probes.judged {
        let closest = closest(field, verdicts);
        for binding in closest.iter().filter(|b| steady.contains(&b.number)).take(FIRST_CASES) {
            if !cases.contains(&binding.number) {
                cases.push(binding.number);
            }
        }
    }
    cases.sort_unstable();
    cases
}
