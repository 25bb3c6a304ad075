//! The limits that are closest.

use super::look::Field;
use crate::size::judge::{CaseVerdict, Terms};
use crate::size::{Binding, LimitName};
use model::result::Margin;

/// The closest limit of every case, closest first; reserves are over all that is asked.
pub(super) fn closest(field: &Field<'_>, verdicts: &[CaseVerdict]) -> Vec<Binding> {
    let terms = Terms { relaxed: None, aside: field.aside.clone() };
    let of = |verdict: &CaseVerdict| {
        let binding = field.judge.binding(verdict, &terms);
        if field.left_over_k == 0.0 || !verdict.status.can_be_judged() {
            return binding;
        }
        let judged = verdict.margins.iter().filter(|(margin, _)| !field.is_aside(verdict.case, margin));
        let reserve = |margin: &Margin| {
            Some(field.reserve(verdict.case, margin)).filter(|r| !r.is_nan()).unwrap_or(f64::NEG_INFINITY)
        };
        let rank = |margin: &Margin| margin.rank_against(margin.margin - reserve(margin));
        match judged.min_by_key(|(margin, _)| rank(margin)) {
            Some((margin, time_s)) => {
                Binding { margin: Some(margin.clone()), time_s: *time_s, reserve: reserve(margin), ..binding }
            }
            None => binding,
        }
    };
    let mut all: Vec<Binding> = verdicts.iter().map(of).collect();
    all.sort_by_key(Binding::rank);
    all
}

/// Every limit where it is closest over all cases, closest first.
pub(super) fn closest_limits(field: &Field<'_>, verdicts: &[CaseVerdict]) -> Vec<Binding> {
    let mut all: Vec<Binding> = Vec::new();
    for verdict in verdicts {
        for (margin, time_s) in verdict.margins.iter().filter(|(m, _)| !field.is_aside(verdict.case, m)) {
            let limit = LimitName::of(margin);
            let known = all.iter_mut().find(|b| b.margin.as_ref().is_some_and(|m| LimitName::of(m) == limit));
            if known.as_ref().is_some_and(|known| known.rank() <= margin.rank()) {
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
    all.sort_by_key(Binding::rank);
    all
}
