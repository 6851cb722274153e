//! What an audit found, in sentences and tables: for the screen and the page. Nothing in the cells is made harmless yet;
//! whoever shows them does that.

use std::collections::BTreeMap;

use super::columns::{Row, Table};
use super::line::Emphasis;
use crate::audit::{Audit, Chain, Finding, Group, Kind, Weight};
use crate::quantity::{Decibels, Percent, show};

/// What stands where there is nothing to say.
const NOTHING: &str = "none";

/// Findings of a kind.
#[derive(Debug, Clone, PartialEq)]
pub struct AuditGroup<'a> {
    /// The kind.
    pub kind: Kind,
    /// The findings, in order.
    pub findings: Vec<&'a Finding>,
}

/// How many findings weigh so much.
fn count(audit: &Audit, weight: Weight) -> usize {
    audit.findings.iter().filter(|finding| finding.kind.weight() == weight).count()
}

/// The result in a line.
pub fn audit_headline(audit: &Audit) -> (Emphasis, String) {
    let of = format!("in {}{}", show::plural(audit.records, "record"), benches(audit));
    let broken = count(audit, Weight::Broken);
    let outstanding = count(audit, Weight::Outstanding);
    let things = |count: usize| if count == 1 { "THING" } else { "THINGS" };
    match (broken, outstanding) {
        (0, 0) if audit.records == 0 => (Emphasis::Warn, "NO RECORDS HERE".to_owned()),
        (0, 0) => (Emphasis::Good, format!("NOTHING OUT OF LINE {of}")),
        (0, look) => (Emphasis::Warn, format!("NOTHING BROKEN, {look} {} TO LOOK AT {of}", things(look))),
        (broken, 0) => (Emphasis::Warn, format!("{broken} {} BROKEN {of}", things(broken))),
        (broken, look) => (Emphasis::Warn, format!("{broken} {} BROKEN, {look} TO LOOK AT {of}", things(broken))),
    }
}

fn benches(audit: &Audit) -> String {
    match audit.chains.len() {
        0 => String::new(),
        1 => " of 1 bench".to_owned(),
        count => format!(" of {count} benches"),
    }
}

/// What the records are worth that nothing is wrong with: intact, signed, scripted, practice.
pub fn audit_counts(audit: &Audit) -> Vec<String> {
    if audit.records == 0 && audit.practice == 0 {
        return vec![];
    }
    let unsigned = audit.of_kind(Kind::Unsigned).count();
    let mut counts = vec![
        format!("{} of {} are as they were signed off", audit.intact, audit.records),
        format!("{} signed with a key", audit.signed),
        format!("{unsigned} by a typed name alone"),
    ];
    if audit.scripted > 0 {
        counts.push(format!("{} typed by a script", audit.scripted));
    }
    if audit.practice > 0 {
        counts.push(format!("{} practice, not counted", audit.practice));
    }
    counts
}

/// The findings by kind, the worst kind first.
pub fn audit_groups(audit: &Audit) -> Vec<AuditGroup<'_>> {
    Kind::ALL
        .iter()
        .map(|&kind| AuditGroup { kind, findings: audit.findings.iter().filter(|one| one.kind == kind).collect() })
        .filter(|group| !group.findings.is_empty())
        .collect()
}

/// Numbers of a bench that no record has, as ranges: the bench and `42 to 45`.
pub fn missing_ranges(findings: &[&Finding]) -> Vec<(String, String)> {
    let mut places: Vec<(&str, u64)> =
        findings.iter().filter_map(|one| Some((one.bench.as_deref().unwrap_or_default(), one.sequence?))).collect();
    places.sort_unstable();
    places.dedup();
    let mut ranges: Vec<(&str, u64, u64)> = vec![];
    for (bench, place) in places {
        match ranges.last_mut() {
            Some((same, _, last)) if *same == bench && last.checked_add(1) == Some(place) => *last = place,
            _ => ranges.push((bench, place, place)),
        }
    }
    ranges.into_iter().map(|(bench, first, last)| (bench.to_owned(), range_shown(first, last))).collect()
}

fn range_shown(first: u64, last: u64) -> String {
    if first == last { first.to_string() } else { format!("{first} to {last}") }
}

/// The chain of every bench; the digest of its last record only where there is room for a column of it.
pub fn chains_table(audit: &Audit, has_digests: bool) -> Table {
    let columns = if has_digests { 5 } else { 4 };
    let row = |chain: &Chain| {
        let whole = if chain.whole { "yes" } else { "NO" };
        let cells = [&chain.bench, &chain.records.to_string(), &chain.last.to_string(), whole, &chain.digest]
            .map(str::to_owned);
        let emphasis = if chain.whole { Emphasis::Plain } else { Emphasis::Warn };
        Row { cells: cells[..columns].to_vec(), emphasis }
    };
    let headings = ["bench", "records", "last", "whole", "digest of the last"].map(str::to_owned);
    Table { headings: headings[..columns].to_vec(), rows: audit.chains.iter().map(row).collect() }
}

/// What the noted digests vouch for, a sentence a bench.
pub fn vouched_for(audit: &Audit) -> Vec<String> {
    let mut benches: BTreeMap<&str, Vec<(u64, u64)>> = BTreeMap::new();
    for reach in audit.noted.iter().filter_map(|noted| noted.reach.as_ref()) {
        benches.entry(&reach.bench).or_default().push((reach.first, reach.last));
    }
    let sentence = |(bench, mut reaches): (&str, Vec<(u64, u64)>)| {
        reaches.sort_unstable();
        let mut ranges: Vec<(u64, u64)> = vec![];
        for (first, last) in reaches {
            match ranges.last_mut() {
                Some((_, end)) if first <= end.saturating_add(1) => *end = last.max(*end),
                _ => ranges.push((first, last)),
            }
        }
        let end = ranges.last().map_or(0, |(_, last)| *last);
        let shown: Vec<String> = ranges.iter().map(|(first, last)| range_shown(*first, *last)).collect();
        let later = audit.chains.iter().filter(|chain| chain.bench == bench && chain.last > end);
        let later: String = later.map(|chain| format!(", not {}", range_shown(end + 1, chain.last))).collect();
        let noun = if shown.len() == 1 && !shown[0].contains(' ') { "number" } else { "numbers" };
        format!("Noted digests vouch for {noun} {} of {bench}{later}.", show::list_and(&shown))
    };
    benches.into_iter().map(sentence).collect()
}

/// What is to be said of the digests in the chains.
pub const DIGESTS_MEAN: &str = "The digest of the last record stands for all before it. Noted elsewhere, it shows later whether \
                                records were taken away or put back: `cornerset audit --witness DIGEST`.";

/// Records by technician, by amplifier and by meter; without tables that have no row.
pub fn group_tables(audit: &Audit) -> Vec<(&'static str, Table)> {
    [("technician", &audit.technicians, false), ("amplifier", &audit.amplifiers, true), ("meter", &audit.meters, false)]
        .into_iter()
        .filter(|(_, groups, _)| !groups.is_empty())
        .map(|(name, groups, has_dial)| {
            let has_dial = has_dial || groups.iter().any(|group| group.dial_records > 0);
            (name, group_table(name, groups, has_dial))
        })
        .collect()
}

fn group_table(name: &str, groups: &[Group], has_dial: bool) -> Table {
    let row = |group: &Group| {
        let mut cells = vec![
            group.name.clone(),
            group.records.to_string(),
            group.inside.to_string(),
            group.bias.map_or_else(|| NOTHING.to_owned(), signed_decibels),
            group.spread.map_or_else(|| NOTHING.to_owned(), show::decibels),
        ];
        if has_dial {
            cells.extend([dial(group), group.dial_records.to_string()]);
        }
        Row { cells, emphasis: Emphasis::Plain }
    };
    let mut headings = vec![name, "records", "inside", "bias", "spread"];
    if has_dial {
        headings.extend(["dial (spread)", "noted"]);
    }
    Table { headings: headings.into_iter().map(str::to_owned).collect(), rows: groups.iter().map(row).collect() }
}

/// The dial's error and how far it differs from record to record: `-4.2 % (1.2 %)`.
fn dial(group: &Group) -> String {
    let spread = group.dial_spread_percent.map_or_else(String::new, |spread| format!(" ({spread:.1} %)"));
    group
        .dial_percent
        .map_or_else(|| NOTHING.to_owned(), |share| format!("{}{spread}", show::signed_percent(Percent::new(share))))
}

/// A level with its sign: `+0.04 dB`.
fn signed_decibels(level: Decibels) -> String {
    let shown = show::decibels(level);
    if shown.starts_with('-') || shown.starts_with("0.00 ") { shown } else { format!("+{shown}") }
}

/// What the columns of these tables mean.
pub const GROUPS_MEAN: &str = "Bias is how far the accepted readings stand from their targets on average: above nought the \
                               meter showed more volts, so the corners stand lower than wanted. Spread is how far they \
                               differ among themselves, as a standard deviation. Dial is the printed mark against the \
                               corner that was measured, in per cent of the corner, over the records that noted the mark.";
