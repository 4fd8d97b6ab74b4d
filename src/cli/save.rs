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
/// finished beside its place before the first takes it. No file system changes two
/// names at once: one that another names goes first, so that none names a missing one.
///
/// # Errors
/// A file that is already there without `force`, or cannot be written.
pub fn save_all(files: &[(&Path, &str)], force: bool) -> Result<(), Failure> {
    for (path, _) in files {
        may_take(path, force)?;
    }
    let finish = |(path, text): &(&Path, &str)| {
        let file = Finished::of(path, text).map_err(|reason| unwritable(path, reason))?;
        Ok((path.to_path_buf(), file))
    };
    let finished: Vec<_> = files.iter().map(finish).collect::<Result<_, Failure>>()?;
    for (path, file) in finished {
        file.place().map_err(|reason| unwritable(&path, reason))?;
    }
    Ok(())
}

fn unwritable(path: &Path, reason: io::Error) -> Failure {
    Failure::Unwritable {
        path: path.to_owned(),
        reason,
    }
}

/// Whether a file may be put there.
fn may_take(path: &Path, force: bool) -> Result<(), Failure> {
    let there = fs::metadata(path).ok();
    if there.as_ref().is_some_and(|there| !there.is_file()) {
        let words = "it is a folder, a device or a pipe, and no file takes its place";
        return Err(unwritable(path, io::Error::other(words)));
    }
    if !force && path.symlink_metadata().is_ok() {
        return Err(Failure::AlreadyThere {
            path: path.to_owned(),
        });
    }
    Ok(())
}

/// A whole file beside its place; gone again where it does not take it.
struct Finished {
    temporary: PathBuf,
    target: PathBuf,
}

impl Finished {
    fn of(path: &Path, text: &str) -> io::Result<Self> {
        // A link is written through, not replaced.
        let target = path.canonicalize().unwrap_or_else(|_| path.to_owned());
        let temporary = beside(&target);
        let file = Self { temporary, target };
        write(&file.temporary, text)?;
        if let Ok(there) = fs::metadata(&file.target) {
            fs::set_permissions(&file.temporary, there.permissions())?;
        }
        Ok(file)
    }

    fn place(self) -> io::Result<()> {
        fs::rename(&self.temporary, &self.target)
    }
}

impl Drop for Finished {
    /// After [`Self::place`] nothing is left of it to remove.
    fn drop(&mut self) {
        drop(fs::remove_file(&self.temporary));
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
