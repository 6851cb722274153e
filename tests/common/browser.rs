//! A browser with nothing of this machine's in it.

#![allow(dead_code, reason = "not every test file that includes the harness looks at pages")]

use std::path::Path;
use std::process::{Command, Stdio};

use super::outside::{needs, runs};

/// Whether there is one. Says so where there is not.
pub fn has_browser() -> bool {
    needs("chromium", runs("chromium", &["--version"]))
}

/// Opens a page, in this folder for its own files; gives what it printed and what it complained of.
pub fn browse(folder: &Path, page: &Path, options: &[&str]) -> (String, String) {
    let output = Command::new("chromium")
        .args(["--headless", "--no-sandbox", "--disable-gpu", "--hide-scrollbars", "--enable-logging=stderr"])
        .arg(format!("--user-data-dir={}", folder.join("browser").display()))
        .args(options)
        .arg(format!("file://{}", page.display()))
        .env("HOME", folder)
        .stdin(Stdio::null())
        .output()
        .expect("the browser starts");
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    (text(&output.stdout), text(&output.stderr))
}
