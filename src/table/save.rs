//! Puts a file on the disc so that a killed process leaves either the old one or the new one, never a half.

use std::io::{self, Write};
use std::path::Path;

use tempfile::NamedTempFile;

use crate::remark::{Refusal, Remark, why_not};

/// Writes `bytes` beside `path`, makes sure that they are on the disc, and renames them into place.
///
/// # Errors
/// When the folder can't be written to; the old file is then as it was.
pub fn save_whole(path: &Path, bytes: &[u8]) -> Result<(), Refusal> {
    write_whole(path, bytes).map_err(|error| {
        Refusal::because(
            Remark::refusal(format!("can't be written: {}", why_not(&error)))
                .file(path.display().to_string())
                .remedy("choose a folder that exists and that you may write to"),
        )
    })
}

fn write_whole(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let folder = match path.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    let mut file = NamedTempFile::new_in(folder)?;
    file.write_all(bytes)?;
    keep_mode(path, &file)?;
    file.as_file().sync_all()?;
    file.persist(path).map_err(|error| error.error)?;
    sync_folder(folder)
}

/// A temporary file is private to its owner; what replaces her file keeps that file's mode, and a new one is readable.
#[cfg(unix)]
fn keep_mode(path: &Path, file: &NamedTempFile) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    const NEW_FILE_MODE: u32 = 0o644;
    let mode = std::fs::metadata(path).map_or(NEW_FILE_MODE, |old| old.permissions().mode());
    file.as_file().set_permissions(std::fs::Permissions::from_mode(mode))
}

#[cfg(not(unix))]
fn keep_mode(_: &Path, _: &NamedTempFile) -> io::Result<()> {
    Ok(())
}

/// The rename itself is on the disc only when the folder is.
#[cfg(unix)]
fn sync_folder(folder: &Path) -> io::Result<()> {
    std::fs::File::open(folder)?.sync_all()
}

#[cfg(not(unix))]
fn sync_folder(_: &Path) -> io::Result<()> {
    Ok(())
}
