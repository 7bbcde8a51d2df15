//! A file or a folder opened as the desktop opens it: by the program that it has for such a file.

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::Arc;

/// Opens what lies at a path. It returns when the desktop has it, or may stay until its program is closed: never on the
/// window's thread.
pub type FileOpener = Arc<dyn Fn(&Path) -> Result<(), String> + Send + Sync>;

/// The one of this desktop; none where it has none.
pub fn of_this_desktop() -> Option<FileOpener> {
    let program = in_path(match std::env::consts::OS {
        "macos" => "open",
        "windows" => "explorer.exe",
        _ => "xdg-open",
    })?;
    Some(Arc::new(move |path| open_by(&program, path)))
}

fn in_path(name: &str) -> Option<PathBuf> {
    let paths = std::env::var_os("PATH")?;
    let mut all = std::env::split_paths(&paths).map(|folder| folder.join(name));
    all.find(|file| file.is_file())
}

fn open_by(program: &Path, path: &Path) -> Result<(), String> {
    let cannot = |why: String| format!("{} could not be opened here ({why}).", path.display());
    // Whole from the root: a name of its own cannot be taken for an option or an address.
    let whole = std::path::absolute(path).map_err(|e| cannot(e.to_string()))?;
    let mut command = Command::new(program);
    command
        .arg(whole)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    let ended = command.status().map_err(|e| cannot(e.to_string()))?;
    // The one of Windows ends with 1 when all went well.
    match ended.success() || cfg!(windows) {
        true => Ok(()),
        false => Err(cannot("no program for it was found".into())),
    }
}

#[cfg(all(test, unix))]
mod tests {
    use super::*;

    #[test]
    fn the_desktops_program_gets_the_whole_path_and_its_failure_is_told() {
        let folder = std::env::temp_dir().join(format!("soundbead-opener-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&folder);
        std::fs::create_dir_all(&folder).unwrap();
        let file = folder.join("-a file.pdf");
        // It makes the file that it is given; a name that it took for an option would be refused.
        open_by(&in_path("touch").unwrap(), &file).unwrap();
        assert!(file.is_file());
        let line = open_by(&in_path("false").unwrap(), &file).unwrap_err();
        assert!(line.contains("-a file.pdf could not be opened here"), "{line}");
        assert!(open_by(&folder.join("none"), &file).is_err());
        std::fs::remove_dir_all(&folder).unwrap();
    }
}
