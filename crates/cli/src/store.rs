//! The one place that touches files: lists a folder, reads, and writes so that nothing is ever half
//! written.

#![expect(clippy::disallowed_methods, reason = "this is the one place that touches files")]
#![expect(clippy::wildcard_enum_match_arm, reason = "the operating system's errors are no enum of ours")]

use std::fs::{self, File, OpenOptions};
use std::io::{self, ErrorKind, Read, Write};
use std::path::{Path, PathBuf};

use solderside_profile::{Complaint, LONGEST_FILE, SourceFile};

use crate::interrupt::held_back;
use crate::trouble::Trouble;

/// Lists the paths that end in `.toml` directly in a folder, in their order.
///
/// # Errors
/// Says why the folder cannot be listed.
pub fn list(folder: &Path) -> io::Result<Vec<PathBuf>> {
    let mut paths = Vec::new();
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        // So that files of the current folder are called by their bare names.
        let path = path.strip_prefix(".").map(Path::to_owned).unwrap_or(path);
        if path.extension().is_some_and(|ending| ending == "toml") {
            paths.push(path);
        }
    }
    paths.sort_unstable();
    Ok(paths)
}

/// Reads a file that should be a page of text.
///
/// Its kind and its length are looked at before it is opened: opening a pipe waits for a writer, and
/// nobody's profile has 100 MB.
///
/// # Errors
/// Refuses what is no file or no page of text.
pub fn read(path: &Path) -> Result<SourceFile, Box<Complaint>> {
    let name = path.display().to_string();
    let refuse = |headline: String, help: &str| {
        let top = SourceFile::new(name.as_str(), "").top();
        Box::new(Complaint::new(top, headline).help(help))
    };
    let unreadable = |error: io::Error| refuse(why(&error), "see that it is there and may be read");
    let about = fs::metadata(path).map_err(unreadable)?;
    if about.is_dir() {
        return Err(refuse("this is a folder, expected a file".to_owned(), "give the folder another name"));
    }
    if !about.is_file() {
        let headline = "this is a device or a pipe, expected a file".to_owned();
        return Err(refuse(headline, "put a page of text here"));
    }
    if about.len() > LONGEST_FILE as u64 {
        let headline = format!("the file has {} bytes, more than 1 MiB", about.len());
        return Err(refuse(headline, "give the file of a profile or a lead: each is a page of text"));
    }
    let mut bytes = Vec::new();
    // A file may grow after its length was asked for: one byte too many is enough to refuse it.
    let mut head = File::open(path).map_err(unreadable)?.take(LONGEST_FILE as u64 + 1);
    head.read_to_end(&mut bytes).map_err(unreadable)?;
    SourceFile::from_bytes(name.as_str(), &bytes)
}

/// Whether something stands at a path.
pub fn is_there(path: &Path) -> bool {
    fs::symlink_metadata(path).is_ok()
}

/// Whether two paths lead to one folder; the empty path is the current one.
pub fn same_folder(one: &Path, other: &Path) -> bool {
    let real =
        |folder: &Path| fs::canonicalize(if folder.as_os_str().is_empty() { Path::new(".") } else { folder });
    real(one).is_ok_and(|one| real(other).is_ok_and(|other| one == other))
}

/// Refuses to replace a file without `force`, and ever to replace what is no file.
///
/// # Errors
/// Says what stands in the way.
pub fn may_write(path: &Path, force: bool) -> Result<(), Trouble> {
    let shown = path.display();
    match fs::symlink_metadata(path) {
        Ok(about) if about.is_symlink() => {
            let text = format!("`{shown}` is a symbolic link, which writing would replace");
            Err(Trouble::new(text, "name the file that it leads to"))
        }
        Ok(about) if !about.is_file() => {
            Err(Trouble::new(format!("`{shown}` is there and is no file"), "name a file"))
        }
        Ok(_) if !force => {
            let help = "add `--force` to replace it, or name another file";
            Err(Trouble::new(format!("`{shown}` is there already"), help))
        }
        Ok(_) => Ok(()),
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(()),
        Err(error) => Err(unwritten(path, &error)),
    }
}

/// Writes a file whole or not at all: a new file beside it takes its place when it is safely on disk. An interrupt
/// waits for that, so that it leaves no half of a file either.
///
/// # Errors
/// Refuses what [`may_write`] refuses, and says why a file could not be written.
pub fn write(path: &Path, text: &str, force: bool) -> Result<(), Trouble> {
    // Between this look and the renaming somebody else may write the same file. Not closed here: what
    // could close it (a hard link instead of the renaming) is missing on the disks of cameras and sticks.
    may_write(path, force)?;
    let name = path.file_name().unwrap_or_default().to_string_lossy();
    let beside = path.with_file_name(format!(".{name}.{}.part", std::process::id()));
    held_back(|| {
        let written = fill(&beside, text).and_then(|()| fs::rename(&beside, path));
        written.map_err(|error| {
            _ = fs::remove_file(&beside);
            unwritten(path, &error)
        })
    })
}

fn fill(path: &Path, text: &str) -> io::Result<()> {
    let mut file = OpenOptions::new().write(true).create_new(true).open(path)?;
    file.write_all(text.as_bytes())?;
    file.sync_all()
}

fn unwritten(path: &Path, error: &io::Error) -> Trouble {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let text = format!("`{}` cannot be written: {}", path.display(), why(error));
    let help = match error.kind() {
        ErrorKind::NotFound | ErrorKind::NotADirectory => {
            format!("make the folder `{}` first", folder.display())
        }
        ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => {
            format!("write into another folder than `{}`, or make it writable", folder.display())
        }
        ErrorKind::StorageFull => "make room on the disk".to_owned(),
        _ => "write into another folder".to_owned(),
    };
    Trouble::new(text, help)
}

/// Says in words of ours what the operating system says in its own.
pub fn why(error: &io::Error) -> String {
    match error.kind() {
        ErrorKind::NotFound => "there is no such file or folder".to_owned(),
        ErrorKind::PermissionDenied => "permission is denied".to_owned(),
        ErrorKind::ReadOnlyFilesystem => "the disk is read-only".to_owned(),
        ErrorKind::StorageFull => "the disk is full".to_owned(),
        ErrorKind::NotADirectory => "a part of its path is no folder".to_owned(),
        _ => error.to_string(),
    }
}
