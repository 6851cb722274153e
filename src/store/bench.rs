//! The bench: whose chain a record belongs to.

use std::io::ErrorKind;
use std::path::Path;

use serde::{Deserialize, Serialize};

use super::disk::{Existing, put, read_up_to};
use super::id::random_suffix;
use super::{Store, StoreError};
use crate::practice;
use crate::quantity::text::{NAME_MAX, accept_line, visible};

/// A file of one line is not larger.
const MOST: u64 = 64 * 1024;

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Bench {
    name: String,
}

impl Store {
    /// The name of the bench. Where there is none yet, one is made up, with an end that no other bench has.
    ///
    /// # Errors
    /// Where the file does not hold a name that can be used, or the disk fails.
    pub fn bench(&self) -> Result<String, StoreError> {
        let path = self.root().join("bench.toml");
        if let Some(name) = read(&path)? {
            return Ok(name);
        }
        let _lock = self.lock()?;
        if let Some(name) = read(&path)? {
            return Ok(name);
        }
        let name = format!("bench-{}", random_suffix());
        let text = format!(
            "# The name of this bench. Its records form one chain, so change it only for another bench.\nname = \"{name}\"\n"
        );
        put(&path, text.as_bytes(), Existing::Stays)?;
        Ok(name)
    }
}

fn read(path: &Path) -> Result<Option<String>, StoreError> {
    let bytes = match read_up_to(path, MOST) {
        Ok(bytes) => bytes,
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(StoreError::disk("read", path, error)),
    };
    let refused = |what: String| StoreError::Bench { path: path.to_owned(), what };
    let text = String::from_utf8(bytes).map_err(|_| refused("the file is not UTF-8 text".to_owned()))?;
    let bench: Bench = toml::from_str(&text).map_err(|error| refused(visible(error.message())))?;
    if practice::Bench::from_name(&bench.name).is_some() {
        return Err(refused(format!("`{}` is the name of a simulated bench", bench.name)));
    }
    accept_line("name", &bench.name, NAME_MAX).map(Some).map_err(|refusal| refused(refusal.to_string()))
}
