//! Writing a result to a file: never over another one unless told, never half.

use super::{Failure, Reply};
use std::ffi::OsString;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Options of commands that can write a file.
#[derive(Debug, Clone, clap::Args)]
pub struct SaveArgs {
    /// Write to this file instead of printing
    #[arg(short, long = "output", value_name = "NEW")]
    pub output: Option<PathBuf>,
    /// Replace the file if it is already there
    #[arg(long, requires = "output")]
    pub force: bool,
}

impl SaveArgs {
    /// Writes `text` to the file asked for, or hands it back to be printed.
    ///
    /// # Errors
    /// A file that is already there or cannot be written.
    pub fn save(&self, text: String) -> Result<Reply, Failure> {
        match &self.output {
            Some(path) if path.as_os_str() != "-" => {
                save(path, &text, self.force)?;
                Ok(Reply::Text(String::new()))
            }
            _ => Ok(Reply::Text(text)),
        }
    }
}

/// Writes `text` to `path` through a temporary file beside it.
///
/// # Errors
/// A file that is already there without `force`, or cannot be written.
pub fn save(path: &Path, text: &str, force: bool) -> Result<(), Failure> {
    save_all(&[(path, text)], force)
}

/// Writes files that belong together: all are asked for first, and each is
/// finished beside its place before the first takes it.
///
/// # Errors
/// A file that is already there without `force`, or cannot be written.
pub fn save_all(files: &[(&Path, &str)], force: bool) -> Result<(), Failure> {
    for (path, _) in files {
        may_take(path, force)?;
    }
    let mut finished = Vec::new();
    let mut failed = None;
    for (path, text) in files {
        match finish(path, text) {
            Ok(one) => finished.push((path, one)),
            Err(reason) => {
                failed = Some((*path, reason));
                break;
            }
        }
    }
    for (path, (temporary, target)) in finished {
        let placed = match &failed {
            None => fs::rename(&temporary, &target),
            Some(_) => fs::remove_file(&temporary),
        };
        if let (Err(reason), None) = (placed, &failed) {
            drop(fs::remove_file(&temporary));
            failed = Some((path, reason));
        }
    }
    failed.map_or(Ok(()), |(path, reason)| {
        Err(Failure::Unwritable {
            path: path.to_owned(),
            reason,
        })
    })
}

/// Whether a file may be put there.
fn may_take(path: &Path, force: bool) -> Result<(), Failure> {
    let unwritable = |reason| Failure::Unwritable {
        path: path.to_owned(),
        reason,
    };
    let there = fs::metadata(path).ok();
    if there.as_ref().is_some_and(|there| !there.is_file()) {
        let words = "it is a folder, a device or a pipe, and no file takes its place";
        return Err(unwritable(io::Error::other(words)));
    }
    if !force && path.symlink_metadata().is_ok() {
        return Err(Failure::AlreadyThere {
            path: path.to_owned(),
        });
    }
    Ok(())
}

/// The whole file beside its place, and the place.
fn finish(path: &Path, text: &str) -> io::Result<(PathBuf, PathBuf)> {
    // A link is written through, not replaced.
    let target = path.canonicalize().unwrap_or_else(|_| path.to_owned());
    let temporary = beside(&target);
    let written = write(&temporary, text).and_then(|()| match fs::metadata(&target).ok() {
        Some(there) => fs::set_permissions(&temporary, there.permissions()),
        None => Ok(()),
    });
    match written {
        Ok(()) => Ok((temporary, target)),
        Err(reason) => {
            drop(fs::remove_file(&temporary));
            Err(reason)
        }
    }
}

fn beside(target: &Path) -> PathBuf {
    let mut name = OsString::from(".");
    name.push(target.file_name().unwrap_or_default());
    name.push(format!(".{}.part", std::process::id()));
    target.with_file_name(name)
}

fn write(path: &Path, text: &str) -> io::Result<()> {
    let mut file = File::create_new(path)?;
    file.write_all(text.as_bytes())?;
    file.sync_all()
}
