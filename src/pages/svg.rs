//! Drawings with a logarithmic axis of frequency, as SVG that stands alone or in a page: light and dark, and every line
//! told from the others by its dashes and its label, not by its colour.

use super::html::escape;
use crate::quantity::{Hertz, show};
use crate::screens::{Steps, round_frequencies, share, units_held};

/// The whole drawing, and the part in which curves run.
const WIDTH: f64 = 760.0;
const HEIGHT: f64 = 400.0;
const LEFT: f64 = 58.0;
/// The right end of the part in which curves run.
pub(super) const RIGHT: f64 = 746.0;
/// Its upper end.
pub(super) const TOP: f64 = 34.0;
/// Its lower end.
pub(super) const BOTTOM: f64 = 350.0;
/// About as many characters stand side by side, in the heading and elsewhere.
const HEADING_CHARACTERS: usize = 74;
const CHARACTERS: usize = 104;
/// Between a line and its label.
pub(super) const GAP: f64 = 8.0;
/// The height of a line of text.
pub(super) const TEXT: f64 = 16.0;
/// Labels of the upright axis, at most.
const MOST_STEPS: usize = 7;

const STYLE: &str = "\
.draw{--paper:#fbfaf6;--ink:#23281f;--soft:#5c6456;--hair:#e1e2d8;--one:#a4501c;--two:#1c5f63;background:var(--paper)}
@media screen and (prefers-color-scheme:dark){.draw{--paper:#171a16;--ink:#e4e6dc;--soft:#9ca394;--hair:#30352d;\
--one:#eba271;--two:#82c5c8}}
@media print{.draw{--paper:#fff}}
.draw text{font:13px system-ui,sans-serif;fill:var(--ink);stroke:var(--paper);stroke-width:4px;paint-order:stroke;\
stroke-linejoin:round}
.draw .heading{font-size:17px;font-weight:600}
.draw .soft{fill:var(--soft)}
.draw .paper{fill:var(--paper)}
.draw .hair{stroke:var(--hair);stroke-width:1}
.draw .axis{stroke:var(--soft);stroke-width:1}
.draw polyline{fill:none;stroke-width:2.4;stroke-linejoin:round}
.draw .one{stroke:var(--one);stroke-dasharray:9 5}
.draw .two{stroke:var(--two)}
.draw .dashes{stroke:var(--ink);stroke-width:1.2;stroke-dasharray:14 6}
.draw .dots{stroke:var(--ink);stroke-width:2.2;stroke-dasharray:.1 6;stroke-linecap:round}
.draw .plumb{stroke:var(--soft);stroke-width:1;stroke-dasharray:2 3}
.draw .mark,.draw .full{fill:var(--ink)}
.draw .band{fill:var(--two);fill-opacity:.2}
.draw .bracket,.draw .hollow,.draw .cross{fill:none;stroke:var(--ink);stroke-width:1.6}
.draw .hollow{fill:var(--paper)}
.draw .of-one{fill:var(--one);font-weight:600}
.draw .of-two{fill:var(--two);font-weight:600}";

/// On which side of its point a label stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Anchor {
    Start,
    Middle,
    End,
}

/// Frequency along, something else upright in even steps.
#[derive(Debug, Clone, Copy)]
pub(super) struct Axes {
    pub low: Hertz,
    pub high: Hertz,
    /// The values at the upper and the lower end of the upright axis: whole steps.
    pub top: f64,
    bottom: f64,
    step: f64,
}

impl Axes {
    /// Axes from nought that reach so high.
    pub fn to(low: Hertz, high: Hertz, top: f64) -> Self {
        let steps = Steps::to(top, MOST_STEPS);
        Self { low, high, top: steps.top(), bottom: 0.0, step: steps.size }
    }

    /// Axes that reach so far up and so far down from nought, which is one of the steps.
    pub fn around(low: Hertz, high: Hertz, up: f64, down: f64) -> Self {
        let step = Steps::to(up + down, MOST_STEPS).size;
        Self { low, high, top: (up / step).ceil() * step, bottom: -(down / step).ceil() * step, step }
    }

    pub fn x(&self, frequency: Hertz) -> f64 {
        LEFT + share(frequency, self.low, self.high) * (RIGHT - LEFT)
    }

    pub fn y(&self, value: f64) -> f64 {
        BOTTOM - (value - self.bottom) / (self.top - self.bottom) * (BOTTOM - TOP)
    }

    /// The height of a value, moved to the edge where it lies outside, and whether it does.
    pub fn y_within(&self, value: f64) -> (f64, bool) {
        (self.y(value.clamp(self.bottom, self.top)), !(self.bottom..=self.top).contains(&value))
    }

    /// The lines of both axes with their labels; `unit` stands over the upright one.
    pub fn grid(&self, unit: &str) -> String {
        let mut grid = String::new();
        let count = ((self.top - self.bottom) / self.step).round() as usize;
        for number in 0..=count {
            let value = self.bottom + self.step * number as f64;
            let y = self.y(value);
            let class = if number == 0 || value == 0.0 { "axis" } else { "hair" };
            grid.push_str(&line(class, [LEFT, y], [RIGHT, y]));
            grid.push_str(&text("soft", Anchor::End, [LEFT - GAP, y + 4.5], &show::figures(value)));
        }
        let frequencies = round_frequencies(self.low, self.high);
        for frequency in &frequencies {
            let x = self.x(*frequency);
            grid.push_str(&line("hair", [x, TOP], [x, BOTTOM]));
            grid.push_str(&text("soft", Anchor::Middle, [x, BOTTOM + TEXT + 2.0], &show::figures(frequency.hz())));
        }
        grid.push_str(&text("soft", Anchor::End, [LEFT - GAP, TOP - TEXT], unit));
        grid.push_str(&text("soft", Anchor::End, [RIGHT, BOTTOM + 2.0 * TEXT + 6.0], "frequency, Hz"));
        grid
    }

    /// A curve; what is above the drawing is left out.
    pub fn curve(&self, class: &str, points: impl Iterator<Item = (Hertz, f64)>) -> String {
        format!("<polyline class=\"{class}\" clip-path=\"url(#area)\" points=\"{}\"/>\n", self.points(points))
    }

    /// The area that a curve encloses.
    pub fn area(&self, class: &str, points: impl Iterator<Item = (Hertz, f64)>) -> String {
        format!("<polygon class=\"{class}\" clip-path=\"url(#area)\" points=\"{}\"/>\n", self.points(points))
    }

    /// A level may have no bound, as that of a filter without any damping at its own corner, and SVG has no word for that.
    fn points(&self, points: impl Iterator<Item = (Hertz, f64)>) -> String {
        /// Far outside of any drawing.
        const FAR: f64 = 9999.0;
        let points: Vec<String> = points
            .map(|(at, value)| (self.x(at), self.y(value).clamp(-FAR, FAR)))
            .filter(|(x, y)| x.is_finite() && y.is_finite())
            .map(|(x, y)| format!("{x:.1},{y:.1}"))
            .collect();
        points.join(" ")
    }

    /// A line across at a value.
    pub fn level(&self, class: &str, value: f64) -> String {
        let y = self.y(value);
        line(class, [LEFT, y], [RIGHT, y])
    }

    /// A mark at a frequency: a line down to the axis, and what it is above. One that lies outside is only named.
    pub fn mark(&self, frequency: Hertz, label: &str) -> String {
        let x = self.x(frequency);
        if x < LEFT {
            return text("", Anchor::Start, [LEFT, TOP - 12.0], &format!("< {label}"));
        }
        let above = [within(x, width(label)), TOP - 12.0];
        format!(
            "{}<path class=\"mark\" d=\"M{x:.1} {TOP} l-5 -8 h10 z\"/>\n{}",
            line("plumb", [x, TOP], [x, BOTTOM]),
            text("", Anchor::Middle, above, label)
        )
    }

    /// A label, moved so far that it stays in the drawing.
    pub fn label(&self, class: &str, anchor: Anchor, at: [f64; 2], label: &str) -> String {
        let width = width(label);
        let x = match anchor {
            Anchor::Start => at[0].min(RIGHT - width),
            Anchor::Middle => within(at[0], width),
            Anchor::End => at[0].max(LEFT + width),
        };
        text(class, anchor, [x, at[1].clamp(TOP + TEXT, BOTTOM - GAP)], label)
    }
}

/// A place at which the middle of something so wide stands in the drawing; its middle where it is too wide.
fn within(at: f64, width: f64) -> f64 {
    let (low, high) = (LEFT + width / 2.0, RIGHT - width / 2.0);
    if low <= high { at.clamp(low, high) } else { f64::midpoint(LEFT, RIGHT) }
}

/// About how wide a label is.
pub(super) fn width(label: &str) -> f64 {
    /// Of the characters of a text of this size, on average.
    const A_CHARACTER: f64 = 7.0;
    label.chars().count() as f64 * A_CHARACTER
}

pub(super) fn line(class: &str, from: [f64; 2], to: [f64; 2]) -> String {
    let ([x1, y1], [x2, y2]) = (from, to);
    format!("<line class=\"{class}\" x1=\"{x1:.1}\" y1=\"{y1:.1}\" x2=\"{x2:.1}\" y2=\"{y2:.1}\"/>\n")
}

pub(super) fn text(class: &str, anchor: Anchor, [x, y]: [f64; 2], text: &str) -> String {
    let anchor = match anchor {
        Anchor::Start => "start",
        Anchor::Middle => "middle",
        Anchor::End => "end",
    };
    let class = if class.is_empty() { String::new() } else { format!(" class=\"{class}\"") };
    format!("<text{class} text-anchor=\"{anchor}\" x=\"{x:.1}\" y=\"{y:.1}\">{}</text>\n", escape(text))
}

/// A drawing in a page: its title and description are for those who do not see it.
pub(super) fn drawing(title: &str, description: &str, body: &str) -> String {
    svg(title, description, 0.0, body)
}

/// A drawing that stands alone, with its title over it and some lines below that.
pub(super) fn document(title: &str, below: &[String], description: &str, body: &str) -> String {
    const LINE: f64 = TEXT + 4.0;
    let (held, below) = (units_held(title), below.iter().map(|text| units_held(text)).collect::<Vec<_>>());
    let headings = textwrap::wrap(&held, HEADING_CHARACTERS).into_iter().map(|line| ("heading", line));
    let below = below.iter().flat_map(|text| textwrap::wrap(text, CHARACTERS)).map(|line| ("soft", line));
    let lines: Vec<_> = headings.chain(below).collect();
    let above = LINE * lines.len() as f64 + GAP;
    let heading: String = lines
        .iter()
        .zip(1..)
        .map(|((class, line), number)| text(class, Anchor::Start, [GAP, LINE * f64::from(number) - above], line))
        .collect();
    let svg = svg(title, description, above, &format!("{heading}{body}"));
    format!("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n{svg}")
}

fn svg(title: &str, description: &str, above: f64, body: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"draw\" role=\"img\" aria-labelledby=\"title description\" \
         width=\"{WIDTH}\" height=\"{height}\" viewBox=\"0 {up} {WIDTH} {height}\">\n\
         <title id=\"title\">{}</title>\n<desc id=\"description\">{}</desc>\n<style>\n{STYLE}\n</style>\n\
         <clipPath id=\"area\"><rect x=\"{LEFT}\" y=\"{TOP}\" width=\"{}\" height=\"{}\"/></clipPath>\n\
         <rect class=\"paper\" x=\"0\" y=\"{up}\" width=\"{WIDTH}\" height=\"{height}\"/>\n{body}</svg>\n",
        escape(title),
        escape(description),
        RIGHT - LEFT,
        BOTTOM - TOP,
        height = HEIGHT + above,
        up = 0.0 - above,
    )
}
