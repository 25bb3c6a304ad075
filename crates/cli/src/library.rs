//! `fluid` and `relation`: property tables and handbook relations, without a project.

use crate::arguments::{Fluid, Relation};
use crate::page::{Outcome, Page};
use crate::study::json_text;
use anyhow::anyhow;
use units::{Kind, Quantity};

/// The list of fluids, or the property table of one.
pub(crate) fn fluid(fluid: &Fluid) -> anyhow::Result<Page> {
    let Some(name) = &fluid.name else {
        let all = media::listed();
        let text = if fluid.json {
            json_text(&report::properties::list_json(&all))?
        } else {
            report::properties::list_text(&all)
        };
        return Ok(Page { text, outcome: Outcome::Fine });
    };
    let at: Vec<f64> = fluid
        .at
        .iter()
        .map(|text| Quantity::parse(text.trim(), Kind::Temperature).map(|q| q.si()))
        .collect::<Result<_, _>>()?;
    let pressure = match &fluid.pressure {
        Some(text) => Some(Quantity::parse(text, Kind::AbsolutePressure)?.si()),
        None => None,
    };
    let rows = media::property_table(name, &at, pressure)?;
    let text = if fluid.json {
        json_text(&report::properties::json(&rows))?
    } else {
        report::properties::text(name, &rows)
    };
    Ok(Page { text, outcome: Outcome::Fine })
}

/// The list of relations, what one of them takes, or one evaluated.
pub(crate) fn relation(relation: &Relation) -> anyhow::Result<Page> {
    let one = relation
        .name
        .as_deref()
        .filter(|_| relation.inputs.is_empty())
        .and_then(report::relations::named)
        .filter(|r| !r.inputs.is_empty());
    let text = match (&relation.name, one) {
        (None, _) => relation_list(correlations::relations(), relation.json)?,
        (Some(_), Some(one)) if relation.json => json_text(&report::relations::list_json(&[*one]))?,
        (Some(_), Some(one)) => report::relations::described(one),
        (Some(name), None) => {
            let inputs: Vec<(&str, &str)> = relation
                .inputs
                .iter()
                .map(|pair| pair.split_once('=').ok_or_else(|| anyhow!("{pair:?} is no key=value")))
                .collect::<Result<_, _>>()?;
            let evaluated = correlations::evaluate_words(name, &inputs)?;
            if relation.json {
                json_text(&report::json::evaluated(&evaluated))?
            } else {
                report::relations::text(&evaluated)
            }
        }
    };
    Ok(Page { text, outcome: Outcome::Fine })
}

fn relation_list(relations: &[correlations::Relation], json: bool) -> anyhow::Result<String> {
    if json {
        json_text(&report::relations::list_json(relations))
    } else {
        Ok(report::relations::list_text(relations))
    }
}
