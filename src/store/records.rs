//! The folder of records.

use std::ffi::OsStr;
use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use super::error::shown;
use super::id::{Part, is_id};
use super::{Store, StoreError};

impl Store {
    pub(super) fn records_folder(&self) -> PathBuf {
        self.root().join("records")
    }

    /// Everything that has the name of a record, sorted by year and id. What is in it is another question.
    ///
    /// # Errors
    /// Where a folder cannot be read.
    pub fn records(&self) -> Result<Vec<PathBuf>, StoreError> {
        let mut files = Vec::new();
        for year in self.years()? {
            files.extend(json_files(&year)?);
        }
        Ok(files)
    }

    /// The record with an id, or the only one whose id starts or ends so.
    ///
    /// # Errors
    /// Where none or several fit, or a folder cannot be read.
    pub fn find_record(&self, id_or_part: &str) -> Result<PathBuf, StoreError> {
        let part = Part::parse(id_or_part)?;
        let files = self.records()?;
        let stem =
            |path: &Path| path.file_stem().and_then(|stem| stem.to_str()).filter(|id| is_id(id)).map(str::to_owned);
        let id = part.choose(files.iter().filter_map(|path| stem(path)))?;
        let mut fitting = files.into_iter().filter(|path| id.is_some() && stem(path) == id);
        let found = fitting.next();
        if let (Some(path), Some(other)) = (&found, fitting.next()) {
            let what = format!("{} has the same name", shown(&other));
            return Err(StoreError::Record { path: path.clone(), what });
        }
        found.ok_or_else(|| StoreError::NoRecord { part: part.text().to_owned(), root: self.root().to_owned() })
    }

    /// The record file of a whole id, where there is one.
    pub(super) fn record_of(&self, id: &str) -> Result<Option<PathBuf>, StoreError> {
        let name = format!("{id}.json");
        for year in self.years()? {
            let path = year.join(&name);
            match fs::symlink_metadata(&path) {
                Ok(_) => return Ok(Some(path)),
                Err(error) if error.kind() == ErrorKind::NotFound => {}
                Err(why) => return Err(StoreError::disk("look at", &path, why)),
            }
        }
        Ok(None)
    }

    /// The folders in the folder of records.
    pub(super) fn years(&self) -> Result<Vec<PathBuf>, StoreError> {
        let mut years = Vec::new();
        for path in entries(&self.records_folder())? {
            match fs::metadata(&path) {
                Ok(data) if data.is_dir() => years.push(path),
                // A year that the disk does not let be seen must not pass for none; a link that leads nowhere is none.
                Err(why) if !fs::symlink_metadata(&path).is_ok_and(|data| data.is_symlink()) => {
                    return Err(StoreError::disk("look at", &path, why));
                }
                _ => {}
            }
        }
        Ok(years)
    }
}

/// What has the name of a record in a folder, sorted.
pub(super) fn json_files(folder: &Path) -> Result<Vec<PathBuf>, StoreError> {
    let mut files = entries(folder)?;
    files.retain(|path| path.file_name().is_some_and(is_record_name));
    Ok(files)
}

/// Whether a file has the name of a record.
pub(super) fn is_record_name(name: &OsStr) -> bool {
    let hidden = name.as_encoded_bytes().starts_with(b".");
    !hidden && Path::new(name).extension().is_some_and(|extension| extension == "json")
}

/// What is in a folder, sorted; nothing where it is not there.
pub(super) fn entries(folder: &Path) -> Result<Vec<PathBuf>, StoreError> {
    let failed = |why| StoreError::disk("read the folder", folder, why);
    let read = match fs::read_dir(folder) {
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(Vec::new()),
        other => other.map_err(failed)?,
    };
    let mut names =
        read.map(|entry| entry.map(|entry| entry.file_name())).collect::<Result<Vec<_>, _>>().map_err(failed)?;
    names.sort();
    Ok(names.into_iter().map(|name| folder.join(name)).collect())
}
