//! An audit as a page: the result first, then what was found by kind, the chains, and who sets how well.

use super::html;
use crate::audit::{Audit, Finding, Kind, Weight};
use crate::quantity::text::short_id;
use crate::screens::{
    AuditGroup, Emphasis, GROUPS_MEAN, Row, Table, audit_counts, audit_groups, audit_headline, chains_table, day,
    group_tables, missing_ranges, vouched_for,
};

/// What stands where a finding has nothing to say.
const NOTHING: &str = "-";

/// The whole audit of these stores; `made_at` is the time as a person reads it.
pub fn audit_page(audit: &Audit, stores: &[String], made_at: &str) -> String {
    let (emphasis, headline) = audit_headline(audit);
    // Something to look at is no alarm.
    let is_alarm = audit.findings.iter().any(|finding| finding.kind.weight() == Weight::Broken);
    let class = if emphasis == Emphasis::Good || is_alarm { html::word_of(emphasis).unwrap_or_default() } else { "" };
    let mut body = html::element("p", "over", &format!("Audit of records, {made_at}"));
    body.push_str(&html::element("h1", "", &headline));
    let counts: String = audit_counts(audit).iter().map(|count| html::element("p", "", count)).collect();
    body.push_str(&format!("<div class=\"answer {class}\">\n{counts}</div>\n"));
    if !audit.warnings.is_empty() {
        body.push_str(&html::list(&audit.warnings));
    }
    if !stores.is_empty() {
        body.push_str(&html::element("p", "", "Looked at:"));
        body.push_str(&html::list(stores));
    }
    let groups = audit_groups(audit);
    for (weight, heading) in
        [(Weight::Broken, "Broken"), (Weight::Outstanding, "To look at"), (Weight::Note, "To know")]
    {
        let of_weight: Vec<_> = groups.iter().filter(|group| group.kind.weight() == weight).collect();
        if !of_weight.is_empty() {
            body.push_str(&html::element("h2", "", heading));
            body.push_str(&of_weight.into_iter().map(found).collect::<String>());
        }
    }
    if !audit.chains.is_empty() {
        body.push_str(&html::element("h2", "", "Chains"));
        let caption = "Every record of a bench names the one before it. Kept elsewhere, the digest of the last one shows \
                       later whether records were taken away from the end.";
        body.push_str(&html::table("names", caption, &chains_table(audit, true)));
        let vouched = vouched_for(audit);
        body.push_str(&if vouched.is_empty() { String::new() } else { html::list(&vouched) });
    }
    let tables = group_tables(audit);
    if !tables.is_empty() {
        body.push_str(&html::element("h2", "", "Who sets how well"));
        body.push_str(&html::element("p", "", GROUPS_MEAN));
        for (name, table) in &tables {
            body.push_str(&html::table("names", &format!("By {name}"), table));
        }
    }
    html::page(&format!("Audit of records: {headline}"), &body)
}

/// The findings of a kind with what they mean, all of them in a table.
fn found(group: &AuditGroup<'_>) -> String {
    let kind = group.kind;
    let ranges = if kind == Kind::Missing { missing_ranges(&group.findings) } else { vec![] };
    let (headings, rows) = if ranges.is_empty() {
        (
            ["record", "signed off", "technician", "job", "what exactly"].as_slice(),
            group.findings.iter().map(|one| row(one)).collect(),
        )
    } else {
        let row = |(bench, numbers)| Row { cells: vec![bench, numbers], emphasis: Emphasis::Plain };
        (["bench", "numbers"].as_slice(), ranges.into_iter().map(row).collect())
    };
    let table = Table { headings: headings.iter().map(|heading| (*heading).to_owned()).collect(), rows };
    format!(
        "{}{}{}{}",
        html::element("h3", "", &format!("{}: {}", kind.title(), group.findings.len())),
        html::element("p", "", kind.meaning()),
        html::element("p", "", &format!("To do: {}", kind.advice())),
        html::table("found", kind.title(), &table)
    )
}

/// A finding: its record, or what else names it.
fn row(finding: &Finding) -> Row {
    let number = finding.bench.as_deref().zip(finding.sequence).map(|(bench, place)| format!("{bench} number {place}"));
    let or_nothing = |text: Option<String>| text.unwrap_or_else(|| NOTHING.to_owned());
    Row {
        cells: vec![
            or_nothing(
                finding.id.as_deref().map(|id| short_id(id).to_owned()).or_else(|| finding.path.clone()).or(number),
            ),
            or_nothing(finding.at.map(day)),
            or_nothing(finding.technician.clone()),
            or_nothing(finding.job.clone()),
            finding.detail.clone(),
        ],
        emphasis: Emphasis::Plain,
    }
}
