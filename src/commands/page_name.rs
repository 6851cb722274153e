//! Names of pages that are asked for.

use std::path::Path;

use super::error::CommandError;
use crate::quantity::text::visible;

/// Refuses a name that no browser would take for a page.
///
/// # Errors
/// The name, and what is accepted.
pub(super) fn check_page_name(path: &Path) -> Result<(), CommandError> {
    const ENDS: [&str; 3] = ["html", "htm", "xhtml"];
    if path.extension().is_some_and(|end| ENDS.iter().any(|known| end.eq_ignore_ascii_case(known))) {
        return Ok(());
    }
    let name = visible(&path.to_string_lossy());
    Err(CommandError::Usage(format!("output: `{name}` is no name of a page; accepted: a name that ends in .html")))
}
