//! HTML that stands alone: no script, nothing fetched, light and dark, on a screen and on paper.
//!
//! Everything is well-formed XML too, so that any reader of either takes it.

use crate::quantity::text::visible;
use crate::screens::{Emphasis, Table, units_held};

/// Nothing may be loaded or run; the style is the page's own.
const POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'";

/// Ink on paper, one column, room around; figures stand under figures.
const STYLE: &str = "\
:root{color-scheme:light dark;--paper:#fbfaf6;--ink:#23281f;--soft:#5c6456;--hair:#d8d9cd;--alarm:#9c2f1b;--good:#2f6237}
@media screen and (prefers-color-scheme:dark){:root{--paper:#171a16;--ink:#e4e6dc;--soft:#9ca394;--hair:#3a4037;\
--alarm:#f0957e;--good:#93c79a}}
html{background:var(--paper)}
body{margin:0 auto;padding:2.5rem 1.25rem 3rem;max-width:50rem;color:var(--ink);background:var(--paper);\
font:1rem/1.5 system-ui,sans-serif}
h1,h2{font-family:ui-serif,serif;font-weight:600;line-height:1.25}
h1{margin:0 0 1.25rem;font-size:1.7rem;text-wrap:balance}
h2{margin:2.25rem 0 .5rem;font-size:1.15rem}
h3{margin:1.5rem 0 .3rem;font-size:1rem}
p{margin:.4rem 0}
h1,p,li{overflow-wrap:anywhere}
code,pre{font-size:.8125rem;overflow-wrap:anywhere}
pre{margin:.5rem 0;font-size:.75rem;line-height:1.35;white-space:pre-wrap}
.over{margin:0;color:var(--soft);font-size:.875rem;letter-spacing:.04em}
.answer{padding:.1rem 0 .1rem 1rem;border-left:.3rem solid var(--ink)}
.answer strong{font-size:1.2rem}
.good{border-color:var(--good)}
.warn{border-color:var(--alarm)}
.alarm{margin:1rem 0;padding:.6rem 1rem;border:.15rem solid var(--alarm);font-weight:600}
figure{margin:1.5rem 0;overflow-x:auto}
figure svg{display:block;width:100%;min-width:34rem;height:auto}
.wide{overflow-x:auto}
.wide+.wide,.wide+p{margin-top:1rem}
table{border-collapse:collapse;width:100%;font-variant-numeric:tabular-nums}
th,td{padding:.3rem .5rem;border-bottom:1px solid var(--hair);text-align:right;vertical-align:top;white-space:nowrap}
th{font-weight:600}
thead th{border-bottom-color:var(--soft);color:var(--soft);font-size:.875rem}
th:first-child{padding-left:0;text-align:left}
th:last-child,td:last-child{padding-right:0}
tbody th{font-weight:400}
caption{padding-bottom:.3rem;text-align:left;color:var(--soft);font-size:.875rem}
.log th,.log td{padding-right:.4rem;padding-left:.4rem}
.log th:first-child{padding-left:0}
.log th:nth-child(3),.log td:nth-child(3),.log th:last-child,.log td:last-child{text-align:left}
.log td:nth-child(3){min-width:6.5rem}
.log td:nth-child(3),.log td:last-child{white-space:normal;overflow-wrap:anywhere}
.found th,.found td{text-align:left}
.found tbody th,.found td{white-space:normal;overflow-wrap:anywhere}
.found tbody th{width:8rem}
.found td:nth-child(3),.found td:nth-child(4){overflow-wrap:break-word;min-width:6rem}
.names td:last-child{white-space:normal;overflow-wrap:anywhere}
.found caption{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
.found td:nth-child(2){white-space:nowrap}
.names tbody th{white-space:normal;overflow-wrap:anywhere}
.narrow{width:auto;min-width:24rem}
.strong th,.strong td,.warn th,.warn td{font-weight:700}
tr.warn th,tr.warn td{color:var(--alarm)}
tr.faint th,tr.faint td{color:var(--soft)}
.pairs td{white-space:normal;overflow-wrap:anywhere}
.pairs th,.pairs td{text-align:left}
.pairs th{width:6rem;color:var(--soft)}
ul,ol{padding-left:1.2rem}
footer{margin-top:2.5rem;padding-top:.6rem;border-top:1px solid var(--hair);color:var(--soft);font-size:.875rem}
@page{margin:14mm}
@media print{:root{--paper:#fff}html{font-size:9pt}body{padding:0;max-width:none;line-height:1.35}\
h2{margin-top:1.2rem}th,td{padding-top:.15rem;padding-bottom:.15rem}.wide{overflow:visible}\
figure{margin:.8rem 0;overflow:visible}figure svg{min-width:0;max-height:75mm}footer{margin-top:1rem}\
figure,tr,.answer,.alarm{break-inside:avoid}h2{break-after:avoid}}";

/// Text in a page: what a reader would act on is spelled out, and a number stays with its unit.
pub(super) fn escape(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    // A line may end after a hyphen even where a blank that holds follows it; a word joiner forbids that.
    for character in units_held(&visible(text)).replace("+-\u{a0}", "+-\u{2060}\u{a0}").chars() {
        match character {
            '&' => escaped.push_str("&amp;"),
            '<' => escaped.push_str("&lt;"),
            '>' => escaped.push_str("&gt;"),
            '"' => escaped.push_str("&quot;"),
            '\'' => escaped.push_str("&#39;"),
            // Not allowed in XML, though no control.
            '\u{FFFE}' | '\u{FFFF}' => escaped.push('\u{FFFD}'),
            other => escaped.push(other),
        }
    }
    escaped
}

/// A whole page.
pub(super) fn page(title: &str, body: &str) -> String {
    let title = escape(title);
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\" xmlns=\"http://www.w3.org/1999/xhtml\">\n<head>\n<meta charset=\"utf-8\"/>\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"{POLICY}\"/>\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n<title>{title}</title>\n\
         <style>\n{STYLE}\n</style>\n</head>\n<body>\n<main>\n{body}</main>\n\
         <footer>Made with Cornerset {}.</footer>\n</body>\n</html>\n",
        env!("CARGO_PKG_VERSION")
    )
}

/// An element with text in it.
pub(super) fn element(name: &str, class: &str, text: &str) -> String {
    let class = if class.is_empty() { String::new() } else { format!(" class=\"{class}\"") };
    format!("<{name}{class}>{}</{name}>\n", escape(text))
}

/// A list of sentences.
pub(super) fn list(items: &[String]) -> String {
    let items: String = items.iter().map(|item| element("li", "", item)).collect();
    format!("<ul>\n{items}</ul>\n")
}

/// What stands as it was made, line by line.
pub(super) fn verbatim(text: &str) -> String {
    let lines: Vec<String> = text.lines().map(escape).collect();
    format!("<pre>{}</pre>\n", lines.join("\n"))
}

/// A table with its headings, and a caption where there is one.
pub(super) fn table(class: &str, caption: &str, table: &Table) -> String {
    let caption = if caption.is_empty() { String::new() } else { element("caption", "", caption) };
    let headings: String =
        table.headings.iter().map(|heading| format!("<th scope=\"col\">{}</th>", escape(heading))).collect();
    let row = |cells: &[String]| {
        let (name, rest) = cells.split_first().map_or(("", cells), |(name, rest)| (name.as_str(), rest));
        let rest: String = rest.iter().map(|cell| format!("<td>{}</td>", escape(cell))).collect();
        format!("<th scope=\"row\">{}</th>{rest}", escape(name))
    };
    let rows: String =
        table.rows.iter().map(|line| format!("<tr{}>{}</tr>\n", class_of(line.emphasis), row(&line.cells))).collect();
    format!(
        "<div class=\"wide\"><table class=\"{class}\">\n{caption}<thead><tr>{headings}</tr></thead>\n<tbody>\n{rows}</tbody>\n</table></div>\n"
    )
}

/// Names and what belongs to each.
pub(super) fn pairs(pairs: &[(&str, String)]) -> String {
    let rows: String = pairs
        .iter()
        .map(|(name, text)| format!("<tr><th scope=\"row\">{}</th><td>{}</td></tr>\n", escape(name), escape(text)))
        .collect();
    format!("<table class=\"pairs\">\n<tbody>\n{rows}</tbody>\n</table>\n")
}

fn class_of(emphasis: Emphasis) -> String {
    word_of(emphasis).map_or_else(String::new, |word| format!(" class=\"{word}\""))
}

/// The class of an emphasis.
pub(super) const fn word_of(emphasis: Emphasis) -> Option<&'static str> {
    match emphasis {
        Emphasis::Plain => None,
        Emphasis::Faint => Some("faint"),
        Emphasis::Strong => Some("strong"),
        Emphasis::Good => Some("good"),
        Emphasis::Warn => Some("warn"),
    }
}
