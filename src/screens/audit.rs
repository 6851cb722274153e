//! An audit on a screen: the result within seconds, then what was found, the worst first.

use std::ops::RangeInclusive;

use super::audit_facts::{
    AuditGroup, DIGESTS_MEAN, GROUPS_MEAN, audit_counts, audit_groups, audit_headline, chains_table, group_tables,
    missing_ranges, vouched_for,
};
use super::columns::Table;
use super::digests::breakable;
use super::line::{Emphasis, Line, Screen};
use super::record::cut;
use super::when::day;
use crate::audit::{Audit, Finding, Kind, Weight};
use crate::quantity::text::{short_id, visible};

/// Records of a kind that are named; a few more are not worth leaving out.
const SHOWN: usize = 10;
const FEW_MORE: usize = 2;
/// Columns of the names in a table, at least and at most.
const NAME_COLUMNS: RangeInclusive<usize> = 12..=26;

/// The whole audit of these stores.
pub fn audit(audit: &Audit, stores: &[String], screen: Screen) -> Vec<Line> {
    let (emphasis, headline) = audit_headline(audit);
    let mut lines = screen.paragraph(0, emphasis, &headline);
    let counts = audit_counts(audit);
    if !counts.is_empty() {
        lines.extend(screen.paragraph(0, Emphasis::Plain, &format!("{}.", counts.join("; "))));
    }
    lines.extend(stores.iter().map(|store| Line { text: format!("  {}", visible(store)), emphasis: Emphasis::Faint }));
    lines.extend(audit.warnings.iter().flat_map(|text| screen.item("! ", Emphasis::Warn, &visible(text))));
    for group in audit_groups(audit) {
        lines.extend(found(&group, screen));
    }
    if !audit.chains.is_empty() {
        lines.push(Line::empty());
        let heading = "Chains: every record of a bench names the one before it";
        lines.extend(screen.paragraph(0, Emphasis::Strong, heading));
        lines.extend(table(chains_table(audit, false), screen));
        lines.extend(screen.paragraph(0, Emphasis::Faint, DIGESTS_MEAN));
        for chain in &audit.chains {
            let name = format!("  {} number {}", visible(&chain.bench), chain.last);
            lines.push(Line::plain(cut(&name, screen.width())));
            lines.extend(screen.paragraph(4, Emphasis::Plain, &breakable(&visible(&chain.digest), screen.width() - 4)));
        }
    }
    for sentence in vouched_for(audit) {
        lines.extend(screen.paragraph(0, Emphasis::Plain, &visible(&sentence)));
    }
    let groups = group_tables(audit);
    for (_, group) in &groups {
        lines.push(Line::empty());
        lines.extend(table(group.clone(), screen));
    }
    if !groups.is_empty() {
        lines.extend(screen.paragraph(0, Emphasis::Faint, GROUPS_MEAN));
    }
    lines
}

/// The findings of a kind: how many, what it means, what to do, and where.
fn found(group: &AuditGroup<'_>, screen: Screen) -> Vec<Line> {
    let kind = group.kind;
    let (mark, emphasis) = match kind.weight() {
        Weight::Broken => ("!! ", Emphasis::Warn),
        Weight::Outstanding => ("! ", Emphasis::Strong),
        Weight::Note => ("", Emphasis::Plain),
    };
    let mut lines = vec![Line::empty()];
    lines.extend(screen.item(mark, emphasis, &format!("{}: {}", kind.title(), group.findings.len())));
    lines.extend(screen.paragraph(2, Emphasis::Plain, kind.meaning()));
    lines.extend(screen.paragraph(2, Emphasis::Plain, &format!("To do: {}", kind.advice())));
    let ranges = if kind == Kind::Missing { missing_ranges(&group.findings) } else { vec![] };
    if ranges.is_empty() {
        lines.extend(first(&group.findings, screen, |finding| where_it_is(finding, screen)));
    } else {
        lines.extend(first(&ranges, screen, |(bench, places)| {
            let noun = if places.contains(' ') { "numbers" } else { "number" };
            screen.item("    ", Emphasis::Plain, &visible(&format!("{bench}: {noun} {places}")))
        }));
    }
    lines
}

/// The first few, and how many more there are.
fn first<T>(all: &[T], screen: Screen, draw: impl Fn(&T) -> Vec<Line>) -> Vec<Line> {
    let shown = if all.len() <= SHOWN + FEW_MORE { all.len() } else { SHOWN };
    let mut lines: Vec<Line> = all[..shown].iter().flat_map(draw).collect();
    if shown < all.len() {
        let text = format!("and {} more: --json has all", all.len() - shown);
        lines.extend(screen.paragraph(4, Emphasis::Faint, &text));
    }
    lines
}

/// A record, or a file where there is none: what it is, and what exactly was found.
fn where_it_is(finding: &Finding, screen: Screen) -> Vec<Line> {
    let id = finding.id.as_deref().map(|id| short_id(id).to_owned());
    let number = finding.bench.as_deref().zip(finding.sequence).map(|(bench, place)| format!("{bench} number {place}"));
    let what = [id.or(number), finding.at.map(day), finding.technician.clone(), finding.job.clone()];
    let what = visible(&what.into_iter().flatten().collect::<Vec<_>>().join("  "));
    let mut lines = vec![];
    if !what.is_empty() {
        lines.push(Line::plain(format!("    {}", cut(&what, screen.width() - 4))));
    } else if let Some(path) = &finding.path {
        lines.push(Line::plain(format!("    {}", visible(path))));
    }
    let detail = breakable(&visible(&finding.detail), screen.width() - 6);
    lines.extend(if detail.is_empty() { vec![] } else { screen.paragraph(6, Emphasis::Plain, &detail) });
    lines
}

/// A table whose names are cut so far that it fits, unless that would leave too little of them.
fn table(table: Table, screen: Screen) -> Vec<Line> {
    let cut_to = |columns: usize| {
        let mut table = table.clone();
        for row in &mut table.rows {
            for (place, cell) in row.cells.iter_mut().enumerate() {
                *cell = visible(cell);
                if place == 0 {
                    *cell = cut(cell, columns);
                }
            }
        }
        table.lines(usize::MAX, screen)
    };
    let one_block = table.rows.len() + 1;
    NAME_COLUMNS.rev().map(cut_to).find(|lines| lines.len() == one_block).unwrap_or_else(|| cut_to(screen.width() / 3))
}
