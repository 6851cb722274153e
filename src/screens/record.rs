//! A record on a screen, and a list of records.

use super::digests::breakable;
use super::line::{Emphasis, Line, Screen};
use super::record_facts::{
    cautions_sentence, circumstances, fit_sentence, signed_by, target, verdict_emphasis, verdict_line,
    verdict_sentences, wanted,
};
use super::record_log::happened;
use super::trust::{Alarm, alarms, check_steps, scripted, signature_says};
use super::when::minute;
use crate::audit::Standing;
use crate::quantity::show;
use crate::quantity::text::visible;
use crate::record::Record;

/// Everything that a record says: the verdict, how far to believe it, and how it came about.
pub fn record(record: &Record, standing: &Standing, path: Option<&str>, screen: Screen) -> Vec<Line> {
    let alarms = alarms(record, standing);
    let emphasis = if alarms.is_empty() { verdict_emphasis(record) } else { Emphasis::Warn };
    let mut lines = alarms
        .iter()
        .flat_map(|alarm| screen.item("!! ", Emphasis::Warn, &visible(&alarm.whole())))
        .collect::<Vec<_>>();
    let mut head = screen.paragraph(0, emphasis, &format!("{}{}", Alarm::words(&alarms), verdict_line(record)));
    head.extend(screen.paragraph(
        0,
        Emphasis::Plain,
        &format!("Wanted {}. {}", wanted(record), verdict_sentences(record)),
    ));
    // The verdict first, and at once what takes it back.
    lines.splice(0..0, head);
    lines.extend(scripted(record).into_iter().flat_map(|text| screen.item("! ", Emphasis::Warn, text)));
    let warnings = record.plan.warnings.iter();
    lines.extend(warnings.flat_map(|warning| screen.item("! ", Emphasis::Warn, &visible(warning))));
    lines.push(Line::empty());
    lines.extend(rows(&circumstances(record), screen));
    lines.push(Line::empty());
    lines.extend(rows(&target(record), screen));
    lines.push(Line::empty());
    lines.push(Line::strong("What happened"));
    lines.extend(
        happened(record)
            .iter()
            .flat_map(|event| screen.item(&format!("  {}  ", event.at), event.emphasis, &visible(&event.text))),
    );
    lines.push(Line::empty());
    lines.extend(fit_sentence(record).into_iter().flat_map(|text| screen.paragraph(0, Emphasis::Plain, &text)));
    lines.extend(screen.paragraph(0, Emphasis::Plain, &cautions_sentence(record)));
    let reason = record.outcome.reason.iter();
    lines.extend(reason.flat_map(|why| {
        screen.paragraph(0, Emphasis::Plain, &visible(&format!("Why it was accepted all the same: {why}")))
    }));
    lines.push(Line::empty());
    lines.extend(sign_off(record, standing, screen));
    lines.extend(path.map(|path| Line::plain(format!("  {}", visible(path)))));
    lines
}

/// Who stands for it, what the signature says, and how anyone can check it.
fn sign_off(record: &Record, standing: &Standing, screen: Screen) -> Vec<Line> {
    let sign_off = &record.sign_off;
    let mut lines = screen.paragraph(
        0,
        Emphasis::Strong,
        &visible(&format!("Signed off by {}, {}", signed_by(record), minute(sign_off.at))),
    );
    let (emphasis, says) = signature_says(record, standing);
    lines.extend(screen.paragraph(2, Emphasis::Plain, &visible(&format!("`{}`", sign_off.statement))));
    lines.extend(screen.paragraph(2, emphasis, &visible(&says)));
    lines.extend(screen.paragraph(2, Emphasis::Plain, &breakable(&visible(&sign_off.digest), screen.width() - 2)));
    lines.push(Line::strong("To check it"));
    for (step, number) in check_steps(record).iter().zip(1..) {
        lines.extend(screen.item(&format!("  {number}  "), Emphasis::Plain, &visible(&step.text)));
        lines.push(Line::plain(format!("     {}", visible(&step.command))));
        lines.extend(screen.paragraph(5, Emphasis::Faint, &visible(&step.then)));
    }
    lines
}

fn rows(pairs: &[(&str, String)], screen: Screen) -> Vec<Line> {
    pairs.iter().flat_map(|(name, text)| screen.row(name, &visible(text))).collect()
}

/// How a record in a list stands, as far as it is looked at there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Listing {
    /// A key signed it, and nothing speaks against that.
    Signed,
    /// A key signed it, and there is no trust list to say whose it is.
    Unlisted,
    /// A name was typed.
    ByName,
    /// Its signature is not good, or not to be trusted.
    Doubted,
    /// It is not as it was signed off.
    Altered,
    /// Its readings come from a simulated bench.
    Practice,
}

/// A record, as a list shows it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ListedRecord<'a> {
    /// As much of its id as names it.
    pub id: &'a str,
    /// When it was signed off, to the minute or the day.
    pub closed_at: &'a str,
    /// Its job.
    pub job: &'a str,
    /// Who turned the knob.
    pub technician: &'a str,
    /// The amplifier.
    pub amplifier: &'a str,
    /// The corner, as a frequency, or `none`.
    pub corner: &'a str,
    /// The verdict.
    pub verdict: &'a str,
    /// Whether a key signed it, or that it is not what was signed off.
    pub standing: Listing,
}

/// Records in a list, two lines each: what they say, and whose they are; and how many there are.
pub fn records_list(rows: &[ListedRecord<'_>], screen: Screen) -> Vec<Line> {
    let width = |cells: fn(&ListedRecord<'_>) -> usize| rows.iter().map(cells).max().unwrap_or(0);
    let id = width(|row| visible(row.id).chars().count());
    let closed = width(|row| visible(row.closed_at).chars().count());
    let corner = width(|row| visible(row.corner).chars().count());
    let verdict = width(|row| visible(row.verdict).chars().count());
    let mut lines = vec![];
    for row in rows {
        let line = format!(
            "{:<id$}  {:<closed$}  {:>corner$}  {:<verdict$}  {}",
            visible(row.id),
            visible(row.closed_at),
            visible(row.corner),
            visible(row.verdict),
            match row.standing {
                Listing::Signed => "signed",
                Listing::Unlisted => "unlisted key",
                Listing::ByName => "no key",
                Listing::Doubted => "NOT TRUSTED",
                Listing::Altered => "ALTERED",
                Listing::Practice => "PRACTICE",
            }
        );
        let is_sound = matches!(row.standing, Listing::Signed | Listing::Unlisted | Listing::ByName);
        let emphasis = if row.verdict == "inside" && is_sound { Emphasis::Strong } else { Emphasis::Warn };
        lines.push(Line { text: cut(&line, screen.width()), emphasis });
        let names = [row.job, row.technician, row.amplifier].map(visible);
        lines.push(Line::plain(format!("    {}", in_room(&names, " | ", screen.width() - 4))));
    }
    lines.push(Line { text: show::plural(rows.len(), "record"), emphasis: Emphasis::Faint });
    lines
}

/// Texts side by side in so many columns: the longest of them are cut first.
fn in_room(texts: &[String], between: &str, columns: usize) -> String {
    let room = columns - between.len() * texts.len().saturating_sub(1);
    let widths: Vec<usize> = texts.iter().map(|text| textwrap::core::display_width(text)).collect();
    // The widest that each may be, so that all of them fit.
    let most =
        (1..=room).rev().find(|most| widths.iter().map(|width| width.min(most)).sum::<usize>() <= room).unwrap_or(1);
    texts.iter().map(|text| cut(text, most)).collect::<Vec<_>>().join(between)
}

/// A text in so many columns, cut with `...` where it is longer.
pub(super) fn cut(text: &str, columns: usize) -> String {
    const MORE: &str = "...";
    if textwrap::core::display_width(text) <= columns {
        return text.to_owned();
    }
    let mut shown = String::new();
    for character in text.chars() {
        shown.push(character);
        if textwrap::core::display_width(&shown) + MORE.len() > columns {
            shown.pop();
            break;
        }
    }
    format!("{}{MORE}", shown.trim_end())
}
