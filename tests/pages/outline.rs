//! A page as Python's own parsers read it.

use std::io::Write;
use std::process::{Command, Stdio};

use cornerset::audit::{SignatureStanding, Standing};
use cornerset::pages::{audit_page, record_page};
use serde_json::Value;

use crate::common::audits::{clean, everything};
use crate::common::outside::{needs, runs};
use crate::common::samples::{by_name, sample, standings, with_signature};

/// The names of the samples.
pub const SAMPLES: [&str; 7] = [
    "plain",
    "wrong-label",
    "filter-stays-in",
    "cone-decides",
    "accepted-outside",
    "unknown-family",
    "linkwitz-riley-off-the-corner",
];

/// Elements by name, attributes, headings in order, cells without a scope, tables by row, the whole text. The page must be
/// XML as well, with the same elements.
const SCRIPT: &str = r#"
import html.parser, json, sys, xml.dom.minidom

VOID = {"meta", "link", "img", "br", "hr", "input", "base"}

class Outline(html.parser.HTMLParser):
    def __init__(self):
        super().__init__(convert_charrefs=True)
        self.elements, self.attributes, self.headings, self.rows = {}, {}, [], []
        self.unscoped, self.uncaptioned, self.texts, self.path = 0, 0, [], []

    def handle_starttag(self, tag, attributes):
        self.elements[tag] = self.elements.get(tag, 0) + 1
        for name, value in attributes:
            self.attributes.setdefault(name, set()).add(value)
        names = dict(attributes)
        if tag in ("h1", "h2", "h3", "h4", "h5", "h6"):
            self.headings.append([tag, ""])
        if tag == "th" and names.get("scope") not in ("row", "col"):
            self.unscoped += 1
        if tag == "table":
            self.rows.append([])
        if tag == "tr":
            self.rows[-1].append([])
        if tag in ("td", "th"):
            self.rows[-1][-1].append("")
        if tag not in VOID:
            self.path.append(tag)

    def handle_startendtag(self, tag, attributes):
        depth = len(self.path)
        self.handle_starttag(tag, attributes)
        del self.path[depth:]

    def handle_endtag(self, tag):
        if tag in self.path:
            while self.path.pop() != tag:
                pass

    def handle_data(self, data):
        if "style" in self.path:
            return
        self.texts.append(data)
        if self.headings and self.path and self.path[-1] in ("h1", "h2", "h3"):
            self.headings[-1][1] += data
        if self.path and self.path[-1] in ("td", "th"):
            self.rows[-1][-1][-1] += data

page = sys.stdin.read()
outline = Outline()
outline.feed(page)
outline.close()
known = {}
svg = {}
if sys.argv[1] == "xml":
    def walk(node):
        known[node.tagName.lower()] = known.get(node.tagName.lower(), 0) + 1
        if node.tagName == "svg":
            for name in ("title", "desc"):
                svg[name] = node.getElementsByTagName(name)[0].firstChild.data
        for child in node.childNodes:
            if child.nodeType == child.ELEMENT_NODE:
                walk(child)
    walk(xml.dom.minidom.parseString(page.encode()).documentElement)
json.dump({
    "elements": outline.elements, "as_xml": known, "svg": svg,
    "attributes": {name: sorted(map(str, values)) for name, values in outline.attributes.items()},
    "headings": outline.headings, "unscoped": outline.unscoped, "rows": outline.rows, "text": "".join(outline.texts),
}, sys.stdout)
"#;

/// Whether the parsers are here.
pub fn can_read() -> bool {
    needs("python3", runs("python3", &["--version"]))
}

/// The outline of a page of ours, which is XML too.
pub fn outline(page: &str) -> Value {
    // Word joiners only keep a line from ending.
    let outline = read(&page.replace('\u{2060}', ""), "xml");
    let html: serde_json::Map<String, Value> = outline["elements"]
        .as_object()
        .expect("elements")
        .iter()
        .map(|(name, count)| (name.to_lowercase(), count.clone()))
        .collect();
    assert_eq!(Value::Object(html), outline["as_xml"], "as HTML and as XML");
    outline
}

/// The outline of any page.
pub fn read(page: &str, how: &str) -> Value {
    let mut child = Command::new("python3")
        .args(["-c", SCRIPT, how])
        .env("PYTHONIOENCODING", "utf-8")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("python3");
    let mut stdin = child.stdin.take().expect("a pipe");
    let page = page.to_owned();
    let writer = std::thread::spawn(move || stdin.write_all(page.as_bytes()).expect("it reads"));
    let output = child.wait_with_output().expect("it ends");
    writer.join().expect("the writer ends");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).expect("JSON")
}

/// Every kind of page, by name.
pub fn every_page() -> Vec<(String, String)> {
    let mut pages: Vec<(String, String)> =
        SAMPLES.map(|name| (name.to_owned(), record_page(&sample(name), &by_name()))).to_vec();
    for (name, signature) in standings() {
        let standing = Standing { altered: vec![], signature };
        pages.push((format!("signed, {name}"), record_page(&with_signature(sample("plain")), &standing)));
    }
    let mut practice = sample("accepted-outside");
    practice.practice = true;
    let altered = Standing {
        altered: vec!["Its digest is that of other bytes.".to_owned()],
        signature: SignatureStanding::Bad { why: "It is over other bytes.".to_owned() },
    };
    pages.push(("practice and altered".to_owned(), record_page(&with_signature(practice), &altered)));
    let stores = ["/shop/records".to_owned()];
    pages.push(("audit".to_owned(), audit_page(&everything(), &stores, "2026-03-06 18:00")));
    pages.push(("clean audit".to_owned(), audit_page(&clean(), &stores, "2026-03-06 18:00")));
    pages.push(("empty audit".to_owned(), audit_page(&cornerset::audit::Audit::default(), &[], "2026-03-06 18:00")));
    pages
}

/// One first heading, the others in order without a gap, every heading of a table with its scope, nothing that acts or is
/// fetched. After the Web Content Accessibility Guidelines 2.2 (1.3.1) and its techniques H42 and H63.
#[test]
fn pages_are_well_formed_and_can_be_read_aloud() {
    if !can_read() {
        return;
    }
    for (name, page) in every_page() {
        let outline = outline(&page);
        let headings: Vec<u32> = outline["headings"]
            .as_array()
            .unwrap()
            .iter()
            .map(|heading| heading[0].as_str().unwrap()[1..].parse().unwrap())
            .collect();
        assert_eq!(headings.iter().filter(|level| **level == 1).count(), 1, "{name}");
        assert_eq!(headings[0], 1, "{name}");
        assert!(headings.windows(2).all(|pair| pair[1] <= pair[0] + 1), "{name}: {headings:?}");
        assert_eq!(outline["unscoped"], 0, "{name}");
        assert!(
            page.contains("default-src &#39;none&#39;")
                || page.contains("default-src 'none'; style-src 'unsafe-inline'")
        );
        let is_audit = name.contains("audit");
        let count = |element: &str| outline["elements"][element].as_u64().unwrap_or(0);
        for acts in ["script", "link", "img", "iframe", "a", "object", "form", "base"] {
            assert_eq!(count(acts), 0, "{name}: {acts}");
        }
        for fetches in ["href", "src", "onload", "style", "srcset"] {
            assert_eq!(outline["attributes"].get(fetches), None, "{name}: {fetches}");
        }
        assert_eq!(count("svg"), u64::from(!is_audit), "{name}");
        if !is_audit {
            assert_eq!(outline["svg"]["title"], "Level against frequency");
            assert!(
                outline["svg"]["desc"].as_str().unwrap().starts_with("The response of the wanted filter"),
                "{name}"
            );
        }
        // Tables of names and what belongs to each need no caption; every other one has it.
        let pairs = page.matches("<table class=\"pairs\">").count() as u64;
        assert_eq!(count("table") - pairs, count("caption"), "{name}");
    }
}
