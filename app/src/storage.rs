//! The one way a file is written: beside its place, brought to the disk, then renamed into place. Whatever happens
//! meanwhile, there is afterwards the whole new file or what was there before.
//!
//! ```
//! use soundbead::storage::{self, Access};
//!
//! let folder = std::env::temp_dir().join(format!("soundbead-storage-doc-{}", std::process::id()));
//! storage::folder(&folder, Access::Private)?;
//! storage::write(&folder.join("note.txt"), b"pig, peg", Access::Private)?;
//! assert_eq!(std::fs::read(folder.join("note.txt"))?, b"pig, peg");
//! # std::fs::remove_dir_all(&folder)?;
//! # std::io::Result::Ok(())
//! ```

use std::ffi::OsString;
use std::fs::{self, File, TryLockError};
use std::io::{self, Cursor, ErrorKind, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use hound::{SampleFormat, WavSpec, WavWriter};
use soundbead_dsp::audio::RATE;
use tempfile::{Builder, NamedTempFile};

/// How the name of a file begins that is not whole yet. One that is left over was broken off, and may be removed.
pub const UNFINISHED: &str = ".soundbead-unfinished-";

/// Who may read what is written (on Unix; elsewhere the folder's own permissions hold).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Access {
    /// Its user alone: files of mode 0600, folders of mode 0700. For all that holds what a family said.
    Private,
    /// Whoever may read the user's other files, by the process's umask. For sheets, plans and settings.
    Usual,
}

impl Access {
    /// The mode of a file, before the umask.
    #[cfg(unix)]
    fn file_mode(self) -> u32 {
        match self {
            Access::Private => 0o600,
            Access::Usual => 0o666,
        }
    }

    /// The mode of a folder, before the umask.
    #[cfg(unix)]
    fn folder_mode(self) -> u32 {
        match self {
            Access::Private => 0o700,
            Access::Usual => 0o777,
        }
    }
}

/// A file on its way. It takes its place with [`NewFile::put`]; dropped before that, it leaves nothing behind.
///
/// Writes are not buffered.
#[derive(Debug)]
pub struct NewFile {
    file: NamedTempFile,
    path: PathBuf,
}

impl NewFile {
    /// Begins a file that is to lie at `path`, whose folder must be there.
    ///
    /// # Errors
    /// When nothing can be written in that folder.
    pub fn begin(path: &Path, access: Access) -> io::Result<NewFile> {
        let mut builder = Builder::new();
        builder.prefix(UNFINISHED);
        #[cfg(unix)]
        builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(access.file_mode()));
        #[cfg(not(unix))]
        let _ = access;
        Ok(NewFile {
            file: builder.tempfile_in(parent(path))?,
            path: path.to_owned(),
        })
    }

    /// Where it lies until then.
    pub fn half(&self) -> &Path {
        self.file.path()
    }

    /// Puts the file in its place, and in the place of what was there. It is on the disk when this returns.
    ///
    /// # Errors
    /// When it cannot be brought to the disk or renamed; what was there before is untouched.
    pub fn put(self) -> io::Result<()> {
        self.file.as_file().sync_all()?;
        self.file.persist(&self.path)?;
        sync_name(&self.path)
    }

    /// As [`NewFile::put`], where nothing may be replaced.
    ///
    /// # Errors
    /// As [`NewFile::put`]; [`ErrorKind::AlreadyExists`] when something is there.
    pub fn put_new(self) -> io::Result<()> {
        self.file.as_file().sync_all()?;
        match self.file.persist_noclobber(&self.path) {
            Ok(_) => {}
            Err(e) if e.error.kind() == ErrorKind::AlreadyExists || self.path.exists() => {
                return Err(ErrorKind::AlreadyExists.into());
            }
            // Some file systems can't rename without replacing; there, having looked must do.
            Err(e) => drop(e.file.persist(&self.path)?),
        }
        sync_name(&self.path)
    }
}

impl Write for NewFile {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.file.write(bytes)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.file.flush()
    }
}

impl Read for NewFile {
    fn read(&mut self, bytes: &mut [u8]) -> io::Result<usize> {
        self.file.read(bytes)
    }
}

impl Seek for NewFile {
    fn seek(&mut self, to: SeekFrom) -> io::Result<u64> {
        self.file.seek(to)
    }
}

/// Writes `bytes` to `path`, in the place of what was there; its folder must be there. It is on the disk when this
/// returns.
///
/// # Errors
/// When it cannot be written; what was there before is untouched.
pub fn write(path: &Path, bytes: &[u8], access: Access) -> io::Result<()> {
    filled(path, bytes, access)?.put()
}

/// As [`write`], where nothing may be replaced.
///
/// # Errors
/// As [`write`]; [`ErrorKind::AlreadyExists`] when something is there.
pub fn write_new(path: &Path, bytes: &[u8], access: Access) -> io::Result<()> {
    if path.exists() {
        return Err(ErrorKind::AlreadyExists.into());
    }
    filled(path, bytes, access)?.put_new()
}

fn filled(path: &Path, bytes: &[u8], access: Access) -> io::Result<NewFile> {
    let mut file = NewFile::begin(path, access)?;
    file.write_all(bytes)?;
    Ok(file)
}

/// Copies a file, in the place of what was at `to`. It is on the disk when this returns.
///
/// # Errors
/// When one cannot be read or the other written.
pub fn copy(from: &Path, to: &Path, access: Access) -> io::Result<()> {
    let mut file = NewFile::begin(to, access)?;
    io::copy(&mut File::open(from)?, &mut file)?;
    file.put()
}

/// Moves a whole file to its place on the same disk. It is on the disk when this returns.
///
/// # Errors
/// When it cannot be brought to the disk or renamed.
pub fn adopt(from: &Path, to: &Path) -> io::Result<()> {
    File::open(from)?.sync_all()?;
    fs::rename(from, to)?;
    sync_name(to)
}

/// Makes a folder and those above it, where they are not there. One that is there keeps its mode, whoever made it: a family
/// may share it on purpose, and what lies in it is closed file by file.
///
/// # Errors
/// When it cannot be made.
pub fn folder(path: &Path, access: Access) -> io::Result<()> {
    if path.is_dir() {
        return Ok(());
    }
    let mut make = fs::DirBuilder::new();
    make.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut make, access.folder_mode());
    #[cfg(not(unix))]
    let _ = access;
    make.create(path)
}

/// Holds `path` for this program alone, until what is given is dropped or the program ends, however it ends. Another that
/// asks for it waits.
///
/// # Errors
/// When the file cannot be made or held.
pub fn hold(path: &Path) -> io::Result<File> {
    let file = scratch(path)?;
    file.lock()?;
    Ok(file)
}

/// As [`hold`], without waiting: none when another program holds it.
///
/// # Errors
/// As [`hold`].
pub fn try_hold(path: &Path) -> io::Result<Option<File>> {
    let file = scratch(path)?;
    match file.try_lock() {
        Ok(()) => Ok(Some(file)),
        Err(TryLockError::WouldBlock) => Ok(None),
        Err(TryLockError::Error(e)) => Err(e),
    }
}

/// Makes an empty file for its user alone where there is none, and closes one that is there to others. For files that
/// another library writes in place, such as a database.
///
/// # Errors
/// When it cannot be made or closed.
pub fn private_file(path: &Path) -> io::Result<()> {
    let mut options = File::options();
    options.append(true).create(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(path)?;
    close_to_others(path, 0o600)
}

/// Which file it is, whatever its name: by this it is noticed that another lies in its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FileId(u64, u64);

/// Which file lies at `path`.
///
/// # Errors
/// When none does, or it cannot be looked at.
pub fn file_id(path: &Path) -> io::Result<FileId> {
    let about = fs::metadata(path)?;
    #[cfg(unix)]
    return Ok(FileId(
        std::os::unix::fs::MetadataExt::dev(&about),
        std::os::unix::fs::MetadataExt::ino(&about),
    ));
    // Elsewhere a file that takes another's place was as a rule made later.
    #[cfg(not(unix))]
    Ok(FileId(
        0,
        about
            .created()?
            .duration_since(std::time::UNIX_EPOCH)
            .map_or(0, |d| d.as_millis() as u64),
    ))
}

/// A new, empty file for its user alone in a folder of work that is thrown away afterwards: it is written in place.
///
/// # Errors
/// When it cannot be made.
pub fn scratch(path: &Path) -> io::Result<File> {
    let mut options = File::options();
    options.read(true).write(true).create(true).truncate(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(path)
}

#[cfg(unix)]
fn close_to_others(path: &Path, mode: u32) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    match fs::metadata(path)?.permissions().mode() & 0o077 {
        0 => Ok(()),
        _ => fs::set_permissions(path, fs::Permissions::from_mode(mode)),
    }
}

#[cfg(not(unix))]
fn close_to_others(_: &Path, _: u32) -> io::Result<()> {
    Ok(())
}

/// Brings the name of a new file or folder to the disk.
///
/// # Errors
/// When its folder cannot be read or synced.
pub fn sync_name(path: &Path) -> io::Result<()> {
    // Folders can't be opened as files on Windows; there the rename itself is what there is.
    match cfg!(unix) {
        true => File::open(parent(path))?.sync_all(),
        false => Ok(()),
    }
}

/// The folder that a path lies in; the working folder for a bare name.
fn parent(path: &Path) -> &Path {
    path.parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."))
}

/// `path` with `-1`, `-2` and so on before its ending: one file of several. `number` counts from 1.
pub fn numbered(path: &Path, number: usize) -> PathBuf {
    let mut name = OsString::from(path.file_stem().unwrap_or_default());
    name.push(format!("-{number}"));
    if let Some(ending) = path.extension() {
        name.push(".");
        name.push(ending);
    }
    path.with_file_name(name)
}

/// Mono samples at 16 kHz, 1 being full scale, as the bytes of a 16-bit WAV file. What lies beyond full scale is
/// clipped to it.
pub fn wav(samples: &[f32]) -> Vec<u8> {
    let spec = WavSpec {
        channels: 1,
        sample_rate: RATE,
        bits_per_sample: 16,
        sample_format: SampleFormat::Int,
    };
    // The header of a plain WAV file has 44 bytes.
    let mut bytes = Cursor::new(Vec::with_capacity(44 + 2 * samples.len()));
    let mut write = || {
        let mut writer = WavWriter::new(&mut bytes, spec)?;
        for sample in samples {
            // The same scale by which 16-bit files are read: -32768 is -1.
            writer.write_sample((sample * 32_768.0).round().clamp(-32_768.0, 32_767.0) as i16)?;
        }
        writer.finalize()
    };
    write().expect("memory takes every byte, and one channel of 16 bits is a WAV file");
    bytes.into_inner()
}

/// The line on a file that cannot be written: where, and why in plain words.
pub fn cannot_write(path: &Path) -> impl Fn(io::Error) -> String {
    move |e| format!("{}: cannot be written: {}", path.display(), why(&e))
}

/// Why reading or writing failed, in plain words, without the system's error number.
pub fn why(error: &io::Error) -> String {
    let known = match error.kind() {
        ErrorKind::NotFound => "there is no such file or folder",
        ErrorKind::PermissionDenied => "you may not read or write there",
        ErrorKind::StorageFull => "the disk is full",
        ErrorKind::ReadOnlyFilesystem => "that disk can only be read",
        ErrorKind::IsADirectory => "that is a folder",
        ErrorKind::NotADirectory => "a file is where its folder should be",
        ErrorKind::InvalidData => "it is not text in UTF-8",
        _ => {
            let text = error.to_string();
            return text.split(" (os error").next().unwrap_or_default().to_owned();
        }
    };
    known.to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn scratch(name: &str) -> PathBuf {
        let path = std::env::temp_dir().join(format!("soundbead-storage-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&path);
        folder(&path, Access::Private).unwrap();
        path
    }

    fn names(folder: &Path) -> Vec<String> {
        let entries = fs::read_dir(folder).unwrap();
        entries.map(|e| e.unwrap().file_name().into_string().unwrap()).collect()
    }

    #[test]
    fn a_file_is_whole_or_as_it_was_and_nothing_is_left_beside_it() {
        let folder = scratch("whole");
        let path = folder.join("a.txt");
        write(&path, b"first", Access::Usual).unwrap();
        let mut broken_off = NewFile::begin(&path, Access::Usual).unwrap();
        broken_off.write_all(b"half").unwrap();
        assert!(names(&folder).iter().any(|n| n.starts_with(UNFINISHED)));
        drop(broken_off);
        assert_eq!(fs::read(&path).unwrap(), b"first");
        write(&path, b"second", Access::Usual).unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"second");
        assert_eq!(names(&folder), ["a.txt"]);
        fs::remove_dir_all(&folder).unwrap();
    }

    #[test]
    fn what_is_there_is_kept_where_nothing_may_be_replaced() {
        let folder = scratch("new");
        let path = folder.join("a.txt");
        write_new(&path, b"first", Access::Usual).unwrap();
        assert_eq!(
            write_new(&path, b"second", Access::Usual).unwrap_err().kind(),
            ErrorKind::AlreadyExists
        );
        let mut late = NewFile::begin(&path, Access::Usual).unwrap();
        late.write_all(b"third").unwrap();
        assert_eq!(late.put_new().unwrap_err().kind(), ErrorKind::AlreadyExists);
        assert_eq!(
            (fs::read(&path).unwrap().as_slice(), names(&folder).len()),
            (&b"first"[..], 1)
        );
        fs::remove_dir_all(&folder).unwrap();
    }

    #[test]
    fn a_fault_says_where_and_why_without_a_number() {
        let folder = scratch("fault");
        let path = folder.join("none").join("a.txt");
        let line = write(&path, b"x", Access::Usual)
            .map_err(cannot_write(&path))
            .unwrap_err();
        assert!(line.contains("a.txt: cannot be written: there is no such"), "{line}");
        assert!(!line.contains("os error"), "{line}");
        fs::remove_dir_all(&folder).unwrap();
    }

    #[cfg(unix)]
    #[test]
    fn what_a_family_said_is_for_its_user_alone() {
        use std::os::unix::fs::PermissionsExt;
        let folder = scratch("mode");
        let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
        let path = folder.join("a.wav");
        let shared = folder.join("shared");
        fs::create_dir(&shared).unwrap();
        fs::set_permissions(&shared, fs::Permissions::from_mode(0o770)).unwrap();
        super::folder(&shared, Access::Private).unwrap();
        assert_eq!(mode(&shared), 0o770, "a folder that others made keeps its mode");
        // A copy from elsewhere may have left it open.
        fs::write(&path, b"old").unwrap();
        fs::set_permissions(&path, fs::Permissions::from_mode(0o644)).unwrap();
        write(&path, b"new", Access::Private).unwrap();
        assert_eq!((mode(&folder), mode(&path)), (0o700, 0o600));
        fs::set_permissions(&path, fs::Permissions::from_mode(0o644)).unwrap();
        private_file(&path).unwrap();
        assert_eq!((mode(&path), fs::read(&path).unwrap().as_slice()), (0o600, &b"new"[..]));
        // As any other program's new file, whatever the umask is.
        let (ours, theirs) = (folder.join("b.txt"), folder.join("c.txt"));
        write(&ours, b"x", Access::Usual).unwrap();
        fs::write(&theirs, b"x").unwrap();
        assert_eq!(mode(&ours), mode(&theirs));
        fs::remove_dir_all(&folder).unwrap();
    }

    #[test]
    fn what_is_held_is_held_by_one() {
        let folder = scratch("held");
        let path = folder.join("lock");
        let held = hold(&path).unwrap();
        assert!(try_hold(&path).unwrap().is_none());
        drop(held);
        assert!(try_hold(&path).unwrap().is_some());
        fs::remove_dir_all(&folder).unwrap();
    }

    #[test]
    fn a_wav_file_comes_back_sample_for_sample() {
        let bytes = wav(&[0.0, 0.5, -1.0, 1.0 / 32_768.0, 32_767.0 / 32_768.0, 1.5]);
        let mut read = hound::WavReader::new(Cursor::new(bytes)).unwrap();
        let spec = read.spec();
        assert_eq!((spec.sample_rate, spec.channels, spec.bits_per_sample), (16_000, 1, 16));
        let samples: Vec<i16> = read.samples().map(|s| s.unwrap()).collect();
        assert_eq!(samples, [0, 16_384, -32_768, 1, 32_767, 32_767]);
    }

    #[test]
    fn numbers_go_before_the_ending() {
        assert_eq!(numbered(Path::new("x/peg.svg"), 2), Path::new("x/peg-2.svg"));
        assert_eq!(numbered(Path::new("peg"), 1), Path::new("peg-1"));
    }
}
