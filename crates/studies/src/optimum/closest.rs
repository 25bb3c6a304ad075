//! The limits that are closest.

use super::look;
use super::look::Field;
use crate::size::judge::{CaseVerdict, Terms};
use crate::size::{Binding, LimitName};

/// The closest limit of every case, closest first; reserves are over all that is asked.
pub(super) fn closest(field: &Field<'_>, verdicts: &[CaseVerdict]) -> Vec<Binding> {
    let terms = Terms { relaxed: None, aside: field.aside.clone() };
    let of = |verdict: &CaseVerdict| {
        let binding = field.judge.binding(verdict, &terms);
        if field.left_over_k == 0.0 || !verdict.status.can_be_judged() {
            return binding;
        }
        let judged = verdict.margins.iter().filter(|(margin, _)| !field.is_aside(verdict.case, margin));
        let reserve = |margin: &model::result::Margin| {
            Some(field.reserve(verdict.case, margin)).filter(|r| !r.is_nan()).unwrap_or(f64::NEG_INFINITY)
        };
        match judged.min_by(|a, b| reserve(&a.0).total_cmp(&reserve(&b.0))) {
            Some((margin, time_s)) => {
                Binding { margin: Some(margin.clone()), time_s: *time_s, reserve: reserve(margin), ..binding }
            }
            None => binding,
        }
    };
    let mut all: Vec<Binding> = verdicts.iter().map(of).collect();
    all.sort_by(|a, b| a.reserve.total_cmp(&b.reserve));
    all
}

/// Every limit where it is closest over all cases, closest first.
pub(super) fn closest_limits(field: &Field<'_>, verdicts: &[CaseVerdict]) -> Vec<Binding> {
    let mut all: Vec<Binding> = Vec::new();
    for verdict in verdicts {
        for (margin, time_s) in verdict.margins.iter().filter(|(m, _)| !field.is_aside(verdict.case, m)) {
            let limit = LimitName::of(margin);
            let known = all.iter_mut().find(|b| b.margin.as_ref().is_some_and(|m| LimitName::of(m) == limit));
            if known.as_ref().is_some_and(|known| known.reserve <= margin.reserve()) {
                continue;
            }
            let alone = CaseVerdict { margins: vec![(margin.clone(), *time_s)], ..verdict.clone() };
            let binding = field.judge.binding(&alone, &Terms::default());
            match known {
                Some(known) => *known = binding,
                None => all.push(binding),
            }
        }
    }
    let scaled = |b: &Binding| b.margin.as_ref().map_or(b.reserve, |m| look::scaled(m, b.reserve));
    all.sort_by(|a, b| scaled(a).total_cmp(&scaled(b)));
    all
}
