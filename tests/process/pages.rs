//! Pages: written whole, well-formed, self-contained, and drawn by a browser without a word of complaint.

use std::fs;
use std::process::Command;

use crate::common::Shop;
use crate::common::browser::{browse, has_browser};
use crate::common::outside::{needs, runs};
use crate::support::VENTED;

/// A name that would act if it could.
const NAME: &str = "12\" & <script>alert('x')</script>";

/// A shop with a driver file in it.
fn shop() -> Shop {
    let shop = Shop::new();
    let name = NAME.replace('"', "\\\"");
    fs::write(shop.path().join("driver.toml"), VENTED.replace("Sample driver 12", &name)).unwrap();
    shop
}

/// The page that is made under this name.
fn page(shop: &Shop, name: &str) -> String {
    shop.run(&["excursion", "driver.toml", "-o", name]).expect(0);
    fs::read_to_string(shop.path().join(name)).unwrap()
}

#[test]
fn a_page_comes_with_the_screen_and_says_where_it_is() {
    let shop = shop();
    let screen = shop.run(&["excursion", "driver.toml"]).expect(0).stdout;
    for name in ["page.html", "PAGE.HTM", "drawing.svg"] {
        let ran = shop.run(&["excursion", "driver.toml", "--output", name]).expect(0);
        let path = shop.path().canonicalize().unwrap().join(name);
        assert_eq!(ran.stdout, format!("{screen}  {}\n", path.display()));
        assert!(fs::metadata(path).unwrap().len() > 5000);
        // Again, in the place of the first; and with a document, nothing else is said.
        let ran = shop.run(&["excursion", "driver.toml", "-o", name, "--json"]).expect(0);
        assert_eq!((&ran.json()["needed"], ran.stderr.as_str()), (&serde_json::json!(true), ""));
    }
    assert_eq!(fs::read_dir(shop.path()).unwrap().count(), 4, "no temporary file stays");
}

#[test]
fn what_cannot_be_written_is_said_with_its_exit_code() {
    let shop = shop();
    for name in ["page", "page.pdf", "page.html.txt", ".html", ""] {
        let ran = shop.run(&["excursion", "driver.toml", "-o", name]).expect(2);
        assert!(ran.stdout.is_empty() && ran.stderr.contains("output"), "{name}: {ran:?}");
    }
    fs::create_dir(shop.path().join("folder.html")).unwrap();
    for name in ["folder.html", "nowhere/page.html", "driver.toml/page.svg"] {
        let ran = shop.run(&["excursion", "driver.toml", "-o", name]).expect(3);
        assert!(
            ran.stdout.is_empty() && ran.stderr.starts_with(&format!("cornerset: cannot write {name}: ")),
            "{ran:?}"
        );
        assert_eq!(ran.stderr.lines().count(), 1);
    }
    // A file that is refused makes no page.
    fs::write(shop.path().join("empty.toml"), "").unwrap();
    shop.run(&["excursion", "empty.toml", "-o", "page.html"]).expect(2);
    assert!(!shop.path().join("page.html").exists());
}

#[test]
fn nothing_in_a_page_acts_or_is_fetched() {
    let shop = shop();
    for name in ["page.html", "drawing.svg"] {
        let page = page(&shop, name);
        assert!(page.contains("12&quot; &amp; &lt;script&gt;alert(&#39;x&#39;)&lt;/script&gt;"), "{name}");
        for acts in
            ["<script", "<link", "<img", "<iframe", "<a ", " href", " src=", " onload", "javascript:", "@import"]
        {
            assert!(!page.contains(acts), "{name}: {acts}");
        }
        // The one address in it names the language, and nobody goes there.
        for address in page.split("http").skip(1) {
            assert!(
                address.starts_with("://www.w3.org/") || address.starts_with("-equiv"),
                "{name}: http{address:.40}"
            );
        }
        assert!(!page.contains("url(") || page.matches("url(").count() == page.matches("url(#area)").count());
    }
    let html = page(&shop, "page.html");
    for holds in
        ["<html lang=\"en\"", "default-src 'none'; style-src 'unsafe-inline'", "<h1>", "scope=\"col\"", "scope=\"row\""]
    {
        assert!(html.contains(holds), "{holds}");
    }
}

/// The drawing tells its curves apart by dashes and words, and tells those who do not see it what it shows.
#[test]
fn a_drawing_needs_no_colour_and_no_eyes() {
    let drawing = page(&shop(), "drawing.svg");
    for holds in [
        "role=\"img\"",
        "<title id=\"title\">",
        "<desc id=\"description\">NEEDED: Butterworth 24\u{a0}dB/octave, corner at ",
        "stroke-dasharray:9 5",
        ">filter out</text>",
        ">filter in</text>",
        ">Xmax 13\u{a0}mm</text>",
        ">Xmech 27\u{a0}mm</text>",
        ">lowest safe corner 2",
        ">frequency, Hz</text>",
        "prefers-color-scheme:dark",
    ] {
        assert!(drawing.contains(holds), "{holds}");
    }
    assert_eq!(drawing.matches("<polyline").count(), 2);
}

/// Both are XML, which HTML need not be.
#[test]
fn pages_are_well_formed() {
    if !needs("python3", runs("python3", &["--version"])) {
        return;
    }
    let shop = shop();
    for name in ["page.html", "drawing.svg"] {
        page(&shop, name);
        let script = "import sys, xml.dom.minidom; print(xml.dom.minidom.parse(sys.argv[1]).documentElement.tagName)";
        let parsed = Command::new("python3").args(["-c", script]).arg(shop.path().join(name)).output().unwrap();
        let root = if name == "page.html" { "html\n" } else { "svg\n" };
        assert_eq!(String::from_utf8_lossy(&parsed.stdout), root, "{}", String::from_utf8_lossy(&parsed.stderr));
    }
}

/// Every page is drawn, in a browser, and nothing in it is refused by its own policy or complained of.
#[test]
fn a_browser_draws_the_pages() {
    if !has_browser() {
        return;
    }
    let shop = shop();
    for (name, holds) in [("page.html", "<h1>12\" &amp; &lt;script&gt;"), ("drawing.svg", ">filter in</text>")] {
        page(&shop, name);
        let path = shop.path().join(name);
        let picture = shop.path().join(format!("{name}.png"));
        let (_, complaints) =
            browse(shop.path(), &path, &[&format!("--screenshot={}", picture.display()), "--window-size=900,1300"]);
        let drawn = fs::metadata(&picture).map_or(0, |picture| picture.len());
        // An empty window of this size makes some 5 kB.
        assert!(drawn > 20_000, "{name}: {drawn} bytes\n{complaints}");
        let (document, more) = browse(shop.path(), &path, &["--dump-dom"]);
        assert!(document.contains(holds), "{name}: {document}");
        for complaint in [complaints, more] {
            assert!(!complaint.contains("CONSOLE"), "{name}: {complaint}");
        }
    }
    // The policy is at work: a style that is let in and a script that is not, and the browser says so.
    let broken = page(&shop, "page.html").replace("<h1>", "<script>alert(1)</script><h1>");
    fs::write(shop.path().join("broken.html"), broken).unwrap();
    let (_, complaint) = browse(shop.path(), &shop.path().join("broken.html"), &["--dump-dom"]);
    assert!(complaint.contains("CONSOLE") && complaint.contains("Content Security Policy"), "{complaint}");
}
