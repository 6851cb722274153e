//! The pages in a browser: drawn without a complaint, nothing fetched, the same elements, and few sheets of paper.

use std::fs;
use std::path::Path;

use tempfile::TempDir;

use crate::common::browser::{self, has_browser};
use crate::outline::{can_read, every_page, read};
use crate::{hostile, outline};

/// Opens a page that is at hand as text.
fn browse(folder: &Path, page: &str, options: &[&str]) -> (String, String) {
    let path = folder.join("page.html");
    fs::write(&path, page).unwrap();
    browser::browse(folder, &path, options)
}

/// The policy of the pages makes every attempt to fetch or run something a line on the browser's console: there is none, and
/// the browser sees the elements that were written. The last page shows that such a line would be seen.
#[test]
fn a_browser_draws_the_pages_and_fetches_nothing() {
    if !has_browser() || !can_read() {
        return;
    }
    let folder = TempDir::new().unwrap();
    let few = ["plain", "wrong-label", "filter-stays-in", "practice and altered", "audit"];
    let pages = every_page().into_iter().filter(|(name, _)| few.contains(&name.as_str())).chain(hostile::pages());
    let mut last = String::new();
    for (name, page) in pages {
        let (document, complaints) = browse(folder.path(), &page, &["--dump-dom"]);
        assert!(!complaints.contains("CONSOLE"), "{name}: {complaints}");
        let (seen, written) = (read(&document, "html"), outline::outline(&page));
        assert_eq!(seen["elements"], written["elements"], "{name}");
        last = page;
    }
    for acts in ["<img src=\"http://127.0.0.1:9/x.png\"/>", "<script>alert(1)</script>"] {
        let (_, complaint) = browse(folder.path(), &last.replace("<h1>", &format!("{acts}<h1>")), &["--dump-dom"]);
        assert!(complaint.contains("CONSOLE") && complaint.contains("Content Security Policy"), "{complaint}");
    }
}

/// A record takes two sheets at most, signed too, on A4 and on US Letter.
#[test]
fn a_record_takes_two_sheets_of_paper() {
    if !has_browser() {
        return;
    }
    let folder = TempDir::new().unwrap();
    for (name, page) in every_page() {
        if name.contains("audit") || (name.starts_with("signed") && name != "signed, another name") {
            continue;
        }
        for (paper, points) in [("A4", [595, 842]), ("letter", [612, 792])] {
            let sized = page.replace("@page{", &format!("@page{{size:{paper};"));
            assert_ne!(sized, page);
            let pdf = folder.path().join("page.pdf");
            let option = format!("--print-to-pdf={}", pdf.display());
            browse(folder.path(), &sized, &["--no-pdf-header-footer", &option]);
            let bytes = String::from_utf8_lossy(&fs::read(&pdf).expect("printed")).into_owned();
            fs::remove_file(&pdf).unwrap();
            // PDF (ISO 32000-1, 7.7.3): every page is an object of the type Page, its size the MediaBox.
            let sheets = bytes.matches("/Type /Page\n").count();
            let wanted = format!("/MediaBox [0 0 {}", points[0]);
            let rounded = format!("/MediaBox [0 0 {}", points[0] - 1);
            assert!(bytes.contains(&wanted) || bytes.contains(&rounded), "{name} on {paper}");
            assert!((1..=2).contains(&sheets), "{name} on {paper}: {sheets} sheets");
        }
    }
}
