//! Records by what they have in common: how many, how far off, how much scatter.

use std::collections::BTreeMap;

use super::examine::Facts;
use super::found::Group;
use crate::quantity::Decibels;

/// Groups records by a name, the largest group first.
pub(super) fn by<'a>(records: impl IntoIterator<Item = &'a Facts>, name: impl Fn(&Facts) -> &str) -> Vec<Group> {
    let mut groups: BTreeMap<String, Vec<&Facts>> = BTreeMap::new();
    for facts in records {
        groups.entry(name(facts).to_owned()).or_default().push(facts);
    }
    let mut groups: Vec<Group> = groups.into_iter().map(|(name, records)| group(name, &records)).collect();
    groups.sort_by(|one, other| other.records.cmp(&one.records).then_with(|| one.name.cmp(&other.name)));
    groups
}

fn group(name: String, records: &[&Facts]) -> Group {
    let misses: Vec<f64> = records.iter().filter_map(|facts| Some(facts.miss?.db())).collect();
    let dials: Vec<f64> = records.iter().filter_map(|facts| Some(facts.dial?.percent())).collect();
    Group {
        name,
        records: records.len(),
        inside: records.iter().filter(|facts| facts.inside).count(),
        bias: mean(&misses).map(Decibels::new),
        spread: deviation(&misses).map(Decibels::new),
        dial_percent: mean(&dials),
        dial_spread_percent: deviation(&dials),
        dial_records: dials.len(),
    }
}

fn mean(values: &[f64]) -> Option<f64> {
    (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
}

/// The experimental standard deviation (JCGM 100:2008, 4.2.2), of two values or more.
fn deviation(values: &[f64]) -> Option<f64> {
    let middle = mean(values).filter(|_| values.len() > 1)?;
    let squares: f64 = values.iter().map(|value| (value - middle).powi(2)).sum();
    Some((squares / (values.len() as f64 - 1.0)).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked by hand: the squares of the differences from 4 add up to 8.
    #[test]
    fn mean_and_deviation_of_a_few() {
        assert_eq!((mean(&[]), deviation(&[1.0])), (None, None));
        assert_eq!(mean(&[2.0, 4.0, 4.0, 6.0]), Some(4.0));
        assert!((deviation(&[2.0, 4.0, 4.0, 6.0]).unwrap() - (8.0f64 / 3.0).sqrt()).abs() < 1e-15);
    }
}
