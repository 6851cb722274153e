//! Driver files: what is taken is in range, worked out to numbers, and the same as the one line that a session keeps.

use cornerset::displacement::{Analysis, Dialogue, Driver, ExcursionDocument, Fields};
use cornerset::pages;
use cornerset::quantity::ranges::{self, Range};
use cornerset::quantity::text::json_escaped;
use cornerset::screens::{Answer, Excursion};

use super::shown;

/// A file, or the same keys as one line.
pub fn run(data: &[u8]) {
    let Ok(text) = str::from_utf8(data) else { return };
    for read in [Fields::from_toml(text), Fields::from_line(text)] {
        match read {
            Ok(fields) => check(&fields, text),
            Err(refusal) => shown::text(&refusal.to_string(), text),
        }
    }
}

fn check(fields: &Fields, given: &str) {
    let line = fields.driver_and_box();
    shown::harmless(&line);
    let again = Fields::from_line(&line).expect("the line that a session keeps is read again");
    // A kind of box that is none may be written in another way.
    if fields.enclosure().is_ok() {
        assert_eq!(again.driver_and_box(), line, "a line is written the same again");
    }
    if let (Ok(one), Ok(other)) = (fields.driver(), again.driver()) {
        assert_eq!(one, other);
        assert_eq!((fields.enclosure().ok(), fields.drive().ok()), (again.enclosure().ok(), again.drive().ok()));
    }
    let mut dialogue = Dialogue::of_file(fields.clone());
    for answer in ["", "300", "4", "25"] {
        match dialogue.answer(answer) {
            Ok(taken) => shown::text(&taken, given),
            Err(refusal) => shown::text(&refusal.to_string(), given),
        }
    }
    let setup = match fields.setup() {
        Ok(setup) => setup,
        Err(refusal) => return shown::text(&refusal.to_string(), given),
    };
    in_range(&setup.driver);
    within(setup.drive.power.watts(), &ranges::RATED_POWER);
    within(setup.drive.load.ohms(), &ranges::LOAD);
    within(setup.drive.lowest.hz(), &ranges::LOWEST);
    if let Some(corner) = setup.corner {
        within(corner.hz(), &ranges::CORNER);
    }
    analysed(&Analysis::of(setup), fields, given);
}

fn in_range(driver: &Driver) {
    within(driver.re.ohms(), &ranges::RE);
    within(driver.xmax.mm(), &ranges::XMAX);
    if let Some(xmech) = driver.xmech {
        within(xmech.mm(), &ranges::XMECH);
    }
}

#[track_caller]
fn within(value: f64, range: &Range) {
    assert!(range.contains(value), "{} is {value}", range.field);
}

fn analysed(analysis: &Analysis, fields: &Fields, given: &str) {
    let remarks = fields.remarks(analysis);
    let name = fields.name().ok().flatten();
    let excursion = Excursion { analysis, name: name.as_deref(), remarks: &remarks };
    for screen in shown::screens() {
        shown::lines(&excursion.screen(screen), given);
    }
    let Answer { headline, sentences, .. } = excursion.answer();
    for text in sentences.iter().chain([&headline]).chain(&analysis.warnings()) {
        shown::text(text, given);
    }
    let page = pages::excursion(excursion);
    shown::page(&page, given);
    assert!(!page.contains("<script"));
    if let Some(safe) = analysis.lowest_safe {
        assert!(safe.within_xmax, "the lowest safe corner is safe: {safe:?}");
    }
    // Quantities refuse to be written where they are no numbers.
    let document = serde_json::to_string(&ExcursionDocument::new(analysis, remarks)).expect("every number is one");
    shown::harmless(&json_escaped(&document));
}
