//! `cornerset excursion`: does this driver in this box need the filter, and where.

use std::fs;
use std::path::{Path, PathBuf};

use clap::Args;

use super::error::{CommandError, Exit};
use crate::displacement::{Analysis, ExcursionDocument, Fields};
use crate::pages;
use crate::quantity::text::visible;
use crate::quantity::{Refusal, entry, ranges};
use crate::screens::{self, Line};
use crate::store;
use crate::terminal::{Voice, file_shown, read_driver_file};

/// Does this driver in this box need the filter, and where
///
/// From the driver's parameters, its box and the drive: how far the cone travels with the filter out, the lowest corner
/// that keeps it within Xmax, and what each rule's corner does and costs. The driver file is TOML with the sections
/// [driver], [box], [drive] and [filter]; sample-sessions/driver-and-box.toml explains every key.
#[derive(Debug, Args)]
pub(super) struct Excursion {
    /// The driver file, or - for standard input
    #[arg(value_name = "FILE.toml")]
    file: PathBuf,
    /// The amplifier's power, in place of the file's
    #[arg(long, value_name = "W", allow_hyphen_values = true)]
    power: Option<String>,
    /// The load, in place of the file's
    #[arg(long, value_name = "OHM", allow_hyphen_values = true)]
    load: Option<String>,
    /// Make a page of it as well: FILE.html, or FILE.svg for the drawing alone
    #[arg(short, long, value_name = "FILE")]
    output: Option<PathBuf>,
}

/// What a page is made as.
#[derive(Debug, Clone, Copy)]
enum Kind {
    Html,
    Svg,
}

impl Excursion {
    pub fn run(&self, voice: &Voice) -> Result<Exit, CommandError> {
        let kind = self.output.as_deref().map(Kind::of).transpose()?;
        let fields = self.with_options(read_driver_file(&self.file).map_err(CommandError::Usage)?)?;
        let refused =
            |refusal: Refusal| CommandError::Usage(format!("{}: {}", file_shown(&self.file), or_by_option(refusal)));
        let name = fields.name().map_err(refused)?;
        let analysis = Analysis::of(fields.setup().map_err(refused)?);
        let remarks = fields.remarks(&analysis);
        if let Some(output) = &self.output
            && let (Ok(one), Ok(other)) = (fs::canonicalize(output), fs::canonicalize(&self.file))
            && one == other
        {
            let given = output.display().to_string();
            return Err(Refusal::new("output", given, "is the driver file itself", "another name").into());
        }
        let excursion = screens::Excursion { analysis: &analysis, name: name.as_deref(), remarks: &remarks };
        let written = match (&self.output, kind) {
            (Some(path), Some(kind)) => Some(
                store::write_page(path, kind.page(excursion).as_bytes())
                    .map_err(|error| CommandError::Storage(error.to_string()))?,
            ),
            _ => None,
        };
        if voice.style().json {
            let warnings = [remarks.clone(), analysis.warnings()].concat();
            voice.document(&ExcursionDocument::new(&analysis, warnings))?;
            return Ok(Exit::Done);
        }
        let mut lines = excursion.screen(voice.screen());
        lines.extend(written.map(|path| Line::plain(format!("  {}", visible(&path.display().to_string())))));
        voice.print(&lines)?;
        Ok(Exit::Done)
    }

    /// What the file says, with the options in place of it.
    fn with_options(&self, mut fields: Fields) -> Result<Fields, Refusal> {
        for (key, option, range) in
            [("power_w", &self.power, ranges::RATED_POWER), ("load_ohm", &self.load, ranges::LOAD)]
        {
            if let Some(text) = option {
                entry::parse(text, &range)?;
                fields = fields.with(key, text.clone());
            }
        }
        Ok(fields)
    }
}

/// Says where what is missing can be given as an option too.
fn or_by_option(mut refusal: Refusal) -> Refusal {
    if refusal.given.is_empty() {
        match refusal.field.as_str() {
            "power_w" => refusal.accepted.push_str(", or --power"),
            "load_ohm" => refusal.accepted.push_str(", or --load"),
            _ => {}
        }
    }
    refusal
}

impl Kind {
    /// What a name ends with decides.
    fn of(path: &Path) -> Result<Self, Refusal> {
        let end = path.extension().map(|end| end.to_string_lossy().to_lowercase());
        match end.as_deref() {
            Some("html" | "htm") => Ok(Self::Html),
            Some("svg") => Ok(Self::Svg),
            _ => Err(Refusal::new(
                "output",
                path.display().to_string(),
                "ends with neither .html nor .svg",
                "a name that ends with .html or .svg",
            )),
        }
    }

    fn page(self, excursion: screens::Excursion<'_>) -> String {
        match self {
            Self::Html => pages::excursion(excursion),
            Self::Svg => pages::excursion_drawing(excursion),
        }
    }
}
