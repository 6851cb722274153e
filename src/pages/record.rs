//! A record as a page to hand to a customer: the verdict first, and at the end how anyone can check it.

use super::html;
use super::setting;
use crate::audit::Standing;
use crate::meter::Verdict;
use crate::record::Record;
use crate::screens::{
    Alarm, Emphasis, alarms, cautions_sentence, check_steps, circumstances, corner_said, doubt, fit_sentence, happened,
    minute, pairs_table, readings_table, scripted, signature_says, signed_by, target, verdict_emphasis,
    verdict_sentences, wanted,
};

/// A record on one page.
pub fn record_page(record: &Record, standing: &Standing) -> String {
    let alarms = alarms(record, standing);
    let mut body = html::element("p", "over", "Record of a low-cut corner");
    body.push_str(&html::element("h1", "", &record.job));
    body.push_str(&answer(record, &alarms));
    body.push_str(&alarms.iter().map(|alarm| html::element("p", "alarm", &alarm.whole())).collect::<String>());
    let mut remarks: Vec<String> = scripted(record).into_iter().map(str::to_owned).collect();
    remarks.extend(record.plan.warnings.iter().cloned());
    if !remarks.is_empty() {
        body.push_str(&html::list(&remarks));
    }
    body.push_str(&match setting::drawing(record) {
        Some(drawing) => format!("<figure>\n{drawing}</figure>\n"),
        None => html::element("p", "", "The numbers of this record make no drawing."),
    });
    body.push_str(&readings(record));
    body.push_str(&html::element("h2", "", "What it was worked out from"));
    body.push_str(&html::pairs(&[circumstances(record), target(record)].concat()));
    body.push_str(&happenings(record));
    body.push_str(&sign_off(record, standing));
    body.push_str(&checking(record));
    html::page(&format!("{}: {}", record.job, corner_said(record)), &body)
}

/// The verdict in a sentence, and what was wanted; without good news where the record is not to be relied on.
fn answer(record: &Record, alarms: &[Alarm]) -> String {
    let emphasis = if alarms.is_empty() { verdict_emphasis(record) } else { Emphasis::Warn };
    let class = html::word_of(emphasis).unwrap_or_default();
    let corner = corner_said(record);
    let stands = match corner.strip_prefix("corner ") {
        Some(at) => format!("the corner stands at {at}"),
        None => "the last reading says no single corner".to_owned(),
    };
    let reason = record.outcome.reason.as_ref().map_or_else(String::new, |reason| {
        html::element("p", "", &format!("Why it was accepted all the same: {reason}"))
    });
    let but = doubt(record).map_or_else(String::new, |(words, _)| format!(", {words}"));
    let verdict = format!("{}{}{but}", Alarm::words(alarms), verdict_word(record));
    format!(
        "<div class=\"answer {class}\">\n<p><strong>{}: {}</strong></p>\n{}{reason}</div>\n",
        html::escape(&verdict),
        html::escape(&stands),
        html::element("p", "", &format!("Wanted was {}. {}", wanted(record), verdict_sentences(record))),
    )
}

/// The verdict in a word that speaks of the setting, where the verdict itself speaks of the voltage.
fn verdict_word(record: &Record) -> &'static str {
    match record.outcome.verdict {
        Verdict::Inside => "INSIDE",
        Verdict::Borderline => "ACCEPTED BORDERLINE",
        Verdict::Above | Verdict::Below => "ACCEPTED OUTSIDE",
    }
}

/// The readings at the tone, those at other tones, and what these say.
fn readings(record: &Record) -> String {
    let mut part = html::element("h2", "", "Readings");
    let out = if record.plan.reference_mark_hz.is_some() { "reckoned out" } else { "out" };
    let caption =
        format!("While the knob was turned. Level is the voltage against the reference with the filter {out}.");
    part.push_str(&html::table("log", &caption, &readings_table(record)));
    if let Some(table) = pairs_table(record) {
        let caption = if record.plan.reference_mark_hz.is_some() {
            "At other tones. Level is against the reference as it was read, with the filter at its mark."
        } else {
            "At other tones. Level is against the reference with the filter out."
        };
        part.push_str(&html::table("log", caption, &table));
    }
    part.push_str(&fit_sentence(record).map_or_else(String::new, |text| html::element("p", "", &text)));
    part
}

/// What the tables do not have: references, strikes, notes; and the cautions. How the program was worked is in the record.
fn happenings(record: &Record) -> String {
    let items: Vec<String> = happened(record)
        .into_iter()
        .filter(|event| !event.is_reading && !event.is_of_typing)
        .map(|event| format!("{} {}", event.at, event.text))
        .collect();
    format!(
        "{}{}{}",
        html::element("h2", "", "What else happened"),
        if items.is_empty() { String::new() } else { html::list(&items) },
        html::element("p", "", &cautions_sentence(record))
    )
}

fn sign_off(record: &Record, standing: &Standing) -> String {
    let sign_off = &record.sign_off;
    let mut part = html::element("h2", "", "Sign-off");
    part.push_str(&html::pairs(&[
        ("name", signed_by(record)),
        ("time", format!("{} (UTC {})", minute(sign_off.at), sign_off.at.time().format("%:z"))),
        ("statement", sign_off.statement.clone()),
        ("record", record.id.clone()),
        ("digest", sign_off.digest.clone()),
    ]));
    part.push_str(&html::element("p", "", &signature_says(record, standing).1));
    part.push_str(&sign_off.signature.as_deref().map_or_else(String::new, html::verbatim));
    part
}

/// How to check it by hand, in numbered steps.
fn checking(record: &Record) -> String {
    let steps: String = check_steps(record)
        .iter()
        .map(|step| {
            format!(
                "<li>{}\n<pre>{}</pre>\n{}</li>\n",
                html::escape(&step.text),
                html::escape(&step.command),
                html::escape(&step.then)
            )
        })
        .collect();
    format!("{}<ol>\n{steps}</ol>\n", html::element("h2", "", "How to check it"))
}
