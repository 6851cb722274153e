//! Test tones that were written: what each file holds, the list to print, and what to mind before the first one is played.

use super::line::{Emphasis, Line, Screen, WIDEST};
use crate::plan::Inputs;
use crate::quantity::show;
use crate::quantity::text::visible;
use crate::session::CAUTIONS;
use crate::tone::{Passage, Purpose, Sound, TRACK_LIST, Track, share_of_reference};

/// How a track list begins.
pub const TRACK_LIST_TITLE: &str = "TEST TONES FOR SETTING A LOW-CUT FILTER";

/// What hurts drivers, ears and people, said with every tone: the cautions of a session that speak of tones, and what only
/// someone who plays a file must know.
pub fn tone_cautions() -> Vec<String> {
    let [speakers, _, _, _, level, _, manual] = CAUTIONS;
    let own = "Volume down before the first tone: the level of the file says nothing of the level of the amplifier.";
    [speakers, own, level, manual].map(str::to_owned).to_vec()
}

/// Warnings, each behind a mark.
pub fn tone_warnings(warnings: &[String], screen: Screen) -> Vec<Line> {
    warnings.iter().flat_map(|warning| screen.item("! ", Emphasis::Warn, &visible(warning))).collect()
}

/// That a tone plays now.
pub fn tone_playing(player: &str, screen: Screen) -> Vec<Line> {
    screen.paragraph(0, Emphasis::Strong, &format!("Playing it with {player}. Ctrl-C stops it."))
}

/// One file; its name where it was kept.
pub fn tone_file(track: &Track, kept: bool, screen: Screen) -> Vec<Line> {
    let sound = &track.sound;
    let mut lines = if kept { screen.row("file", &track.name) } else { vec![] };
    let lasts = sound.passages().first().map(|passage| sound.lasts(passage));
    let each = if sound.passages().len() > 1 { " each" } else { "" };
    let tone = match sound.passages() {
        [only] => show::tone(only.tone),
        several => show::plural(several.len(), "tone"),
    };
    let lasts = lasts.map_or_else(String::new, show::seconds);
    lines.extend(screen.row("tone", &format!("{tone}, {lasts}{each} at {}", show::full_scale(sound.level()))));
    let size = show::bytes(sound.file_bytes());
    lines.extend(screen.row("format", &format!("WAV, {}; {size}, {}", sound.format(), length(sound))));
    if sound.passages().len() > 1 {
        lines.push(Line::empty());
        lines.extend(begins(track).into_iter().map(Line::plain));
    }
    lines
}

/// The files of a plan as a table.
pub fn tone_table(tracks: &[Track], screen: Screen) -> Vec<Line> {
    let rows = rows(tracks);
    let fits = rows.iter().all(|row| row.chars().count() <= screen.width());
    let mut rows = rows.into_iter();
    let head = rows.next().map(Line::strong);
    if fits {
        return head.into_iter().chain(rows.map(Line::plain)).collect();
    }
    // A narrow window has no room for what the list says once for all.
    let short = tracks.iter().map(|track| {
        let (tone, purpose) = tone_and_purpose(track);
        Line::plain(format!("  {}  {tone}  {purpose}", track.name).trim_end().to_owned())
    });
    short.collect()
}

/// The list of a folder's files, to be printed: 80 columns, plain ASCII but for the name of a job.
pub fn track_list(inputs: &Inputs, origin: Option<&str>, tracks: &[Track]) -> String {
    let screen = Screen::new(WIDEST, true);
    let paragraph = |text: &str| screen.paragraph(0, Emphasis::Plain, text);
    let mut lines = vec![Line::plain(TRACK_LIST_TITLE), Line::empty()];
    lines.extend(origin.into_iter().flat_map(paragraph));
    lines.extend(paragraph(&plan_sentence(inputs)));
    if let Some(track) = tracks.last() {
        lines.extend(paragraph(&format!("All files: WAV, {}.", track.sound.format())));
    }
    lines.push(Line::empty());
    lines.extend(tone_cautions().iter().flat_map(|text| screen.item("! ", Emphasis::Plain, text)));
    lines.push(Line::empty());
    lines.extend(rows(tracks).into_iter().map(Line::plain));
    lines.push(Line::empty());
    let reference = match inputs.reference.mark {
        None => "filter out".to_owned(),
        Some(mark) => format!("knob at its mark of {}", show::hertz(mark.at)),
    };
    for text in [
        "x: what should be read there is the reference times this.".to_owned(),
        format!("set: play it, read the reference with the {reference}, then turn the knob to the target."),
        "check: read it with the knob left alone; it tells whether the filter is what its label says.".to_owned(),
        "dB down: a filter that stands right takes off this much of the reference there.".to_owned(),
    ] {
        lines.extend(screen.item("  ", Emphasis::Plain, &text));
    }
    if let Some(all) = tracks.last().filter(|track| track.sound.passages().len() > 1) {
        lines.push(Line::empty());
        lines.extend(paragraph(&format!("{}, from the minute and second on:", all.name)));
        lines.extend(readings(all, inputs, &reference).into_iter().map(Line::plain));
    }
    let mut text = lines.into_iter().map(|line| line.text + "\n").collect::<String>();
    text.push_str(&format!("\nThis list is {TRACK_LIST}; the files beside it are in the order of the work.\n"));
    text
}

fn plan_sentence(inputs: &Inputs) -> String {
    let corner = show::hertz(inputs.corner.corner());
    let filter = inputs.alignment;
    match (inputs.corner.tuning(), inputs.corner.rule()) {
        (Some(tuning), Some(rule)) => {
            format!("Corner {corner}: {rule} of a tuning of {}. Filter: {filter}.", show::hertz(tuning))
        }
        (Some(tuning), None) => format!("Corner {corner}, tuning {}. Filter: {filter}.", show::hertz(tuning)),
        (None, _) => format!("Corner {corner}. Filter: {filter}."),
    }
}

/// The table of a plan's files, its head first.
fn rows(tracks: &[Track]) -> Vec<String> {
    let row = |number: &str, file: &str, tone: &str, what: &str, level: &str, length: &str| {
        format!("{number:>2}  {file:<26}  {tone:>8}  {what:<17}  {level:>9}  {length:>6}").trim_end().to_owned()
    };
    let head = row("no", "file", "tone", "what for", "level", "length");
    let each = tracks.iter().zip(1..).map(|(track, number)| {
        let (tone, what) = tone_and_purpose(track);
        let level = show::full_scale(track.sound.level());
        row(&number.to_string(), &track.name, &tone, &what, &level, &length(&track.sound))
    });
    std::iter::once(head).chain(each).collect()
}

/// A short file's length in seconds and tenths, a longer one's as a player shows it.
fn length(sound: &Sound) -> String {
    let length = sound.length();
    if length.seconds() < 10.0 { format!("{:.1} s", length.seconds()) } else { show::minutes(length) }
}

/// The tone of a file and what for, or that it holds all of them.
fn tone_and_purpose(track: &Track) -> (String, String) {
    match (track.sound.passages(), track.purposes.as_slice()) {
        ([only], [purposes]) => (show::tone(only.tone), purposes_shown(purposes)),
        (several, _) => (format!("{} tones", several.len()), "all, in turn".to_owned()),
    }
}

/// A line for the reference and one for each tone of the file with all of them, each with room for what is read, and where that
/// is known with what should be: its share of the reference.
fn readings(all: &Track, inputs: &Inputs, reference: &str) -> Vec<String> {
    const BLANK: &str = "________ V";
    let reference = format!("  reference at {}, {reference}", show::tone(inputs.tone));
    let each = begins(all).into_iter().zip(all.sound.passages().iter().zip(&all.purposes));
    let tones = each.map(|(begins, (passage, purposes))| {
        let is_known = !purposes.is_empty();
        let share = if is_known { share_shown(share_of_reference(inputs, passage.tone)) } else { String::new() };
        format!("{begins:<46}  {share:<8}  {BLANK}")
    });
    std::iter::once(format!("{reference:<56}  {BLANK}")).chain(tones).collect()
}

/// `x 0.708`, `x 0.0631`: three figures, as many as meters show.
fn share_shown(share: f64) -> String {
    if share < 0.099_95 { format!("x {share:.4}") } else { format!("x {share:.3}") }
}

/// When each tone of a file begins, a line each.
fn begins(track: &Track) -> Vec<String> {
    let sound = &track.sound;
    let wide = show::minutes(sound.length()).len().max(5);
    let line = |(passage, purposes): (&Passage, &Vec<Purpose>)| {
        let (at, tone) = (show::minutes(sound.begins(passage)), show::tone(passage.tone));
        format!("  {at:>wide$}  {tone:>9}  {}", purposes_shown(purposes)).trim_end().to_owned()
    };
    sound.passages().iter().zip(&track.purposes).map(line).collect()
}

/// `set, 3 dB down`.
fn purposes_shown(purposes: &[Purpose]) -> String {
    let words = purposes.iter().map(|purpose| match purpose {
        Purpose::Set => "set".to_owned(),
        Purpose::Check => "check".to_owned(),
        Purpose::Down(down) => format!("{:.0} dB down", down.db()),
    });
    words.collect::<Vec<_>>().join(", ")
}
