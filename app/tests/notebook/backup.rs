//! Copies of the notebook, and a notebook that cannot be written: opened for reading, said, and put back by one command.

use std::path::{Path, PathBuf};

use crate::common::{command, finish, run_in, scratch};
use soundbead::notebook::{Filter, Id, ListRange, NewAttempt, NewSession, Notebook, backup};
use soundbead_data::{Rules, Sound};

const ALL: ListRange = ListRange { skip: 0, take: 5_000 };

/// A notebook in which Juno said a word so many times, closed again.
fn filled(folder: &Path, times: u16) -> Id {
    let mut notebook = Notebook::open_in(folder).unwrap();
    let learner = notebook.add_learner("Juno", &Rules::default()).unwrap().id;
    let session = notebook.begin_session(learner, &NewSession::default()).unwrap().id;
    for _ in 0..times {
        let new = NewAttempt {
            word: "pig",
            sounds: &[Sound::P, Sound::IH, Sound::G],
            child: Some(3),
            ..NewAttempt::default()
        };
        notebook.record(session, &new).unwrap();
    }
    learner
}

fn names(folder: &Path) -> Vec<String> {
    let all = backup::all(folder).unwrap();
    all.iter()
        .map(|b| b.path.file_name().unwrap().to_string_lossy().into_owned())
        .collect()
}

#[test]
fn a_copy_is_made_each_week_and_three_are_kept() {
    let folder = scratch("backup").join("weekly");
    filled(&folder, 2);
    assert_eq!(names(&folder), [""; 0], "nobody was in it when it was opened");
    drop(Notebook::open_in(&folder).unwrap());
    drop(Notebook::open_in(&folder).unwrap());
    let [today] = &backup::all(&folder).unwrap()[..] else {
        panic!("{:?}", names(&folder))
    };
    let held = today.held().unwrap();
    assert_eq!((held.learners, held.attempts), (1, 2));
    // As it looks some weeks later.
    for day in ["2026-01-01", "2026-01-08", "2026-01-15"] {
        std::fs::copy(&today.path, folder.join("backups").join(format!("notebook-{day}.db"))).unwrap();
    }
    std::fs::remove_file(&today.path).unwrap();
    drop(Notebook::open_in(&folder).unwrap());
    let mut left = names(&folder);
    assert!(left.remove(0).starts_with("notebook-20"), "this week's");
    assert_eq!(left, ["notebook-2026-01-15.db", "notebook-2026-01-08.db"]);
}

#[test]
fn a_copy_is_made_before_a_new_version_changes_the_notebook() {
    let folder = scratch("backup").join("version");
    std::fs::create_dir_all(&folder).unwrap();
    let sql = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/notebooks/version-1.sql");
    let db = rusqlite::Connection::open(folder.join("notebook.db")).unwrap();
    db.execute_batch(&std::fs::read_to_string(sql).unwrap()).unwrap();
    drop(db);
    drop(Notebook::open_in(&folder).unwrap());
    let all = backup::all(&folder).unwrap();
    let before = all.iter().find(|b| b.tag == "version-1").expect("the copy");
    let copy = rusqlite::Connection::open(&before.path).unwrap();
    let version: i64 = copy.query_row("PRAGMA user_version", [], |row| row.get(0)).unwrap();
    assert_eq!(version, 1);
}

#[test]
fn copies_go_with_a_learner_who_is_erased_and_the_others_have_a_fresh_one() {
    let folder = scratch("backup").join("erased");
    let learner = filled(&folder, 1);
    let mut notebook = Notebook::open_in(&folder).unwrap();
    notebook.add_learner("Alby", &Rules::default()).unwrap();
    assert_eq!(names(&folder).len(), 1);
    notebook.erase(learner).unwrap();
    let bytes = |path: &PathBuf| std::fs::read(path).unwrap();
    let all = backup::all(&folder).unwrap();
    assert_eq!(all.len(), 1, "{all:?}");
    assert!(all.iter().all(|b| !bytes(&b.path).windows(4).any(|w| w == b"Juno")));
    assert!(all.iter().all(|b| bytes(&b.path).windows(4).any(|w| w == b"Alby")));
}

/// Writes over pages in the middle of the file.
fn damage(path: &Path) -> Vec<u8> {
    let mut bytes = std::fs::read(path).unwrap();
    let middle = bytes.len() / 2 / 4_096 * 4_096;
    bytes[middle..middle + 8_192].fill(0xa5);
    std::fs::write(path, &bytes).unwrap();
    bytes
}

#[test]
fn a_damaged_notebook_is_read_not_written_and_put_back_by_one_command() {
    let folder = scratch("backup").join("damaged");
    let learner = filled(&folder, 200);
    drop(Notebook::open_in(&folder).unwrap());
    let path = folder.join("notebook.db");
    let bytes = damage(&path);
    let mut notebook = Notebook::open_in(&folder).unwrap();
    let told = notebook.cautions().join(" ");
    assert!(told.contains("damaged") && told.contains("soundbead restore"), "{told}");
    assert!(told.contains("for reading only") && told.lines().count() == 1, "{told}");
    let fault = notebook.add_learner("Alby", &Rules::default()).unwrap_err().to_string();
    assert!(fault.contains("damaged"), "{fault}");
    drop(notebook);
    assert!(std::fs::read(&path).unwrap() == bytes, "nothing was written into it");
    let listed = run_in(&folder, &["restore"]).well().out;
    assert!(listed.contains("1 learner, 200 attempts"), "{listed}");
    let day = listed.split_whitespace().next().unwrap().to_owned();
    let none = run_in(&folder, &["restore", "1999-01-01"]);
    assert!(none.refused("no such day").contains("no copy"));
    let done = run_in(&folder, &["restore", &day]).well().out;
    assert!(done.contains("is put back") && done.contains("replaced"), "{done}");
    let notebook = Notebook::open_in(&folder).unwrap();
    assert!(notebook.cautions().is_empty());
    assert_eq!(notebook.attempts(learner, &Filter::default(), ALL).unwrap().len(), 200);
    let aside = backup::all(&folder)
        .unwrap()
        .into_iter()
        .find(|b| b.tag.starts_with("replaced"));
    assert_eq!(std::fs::read(aside.expect("what was there").path).unwrap(), bytes);
}

#[test]
fn a_damaged_copy_is_not_put_back() {
    let folder = scratch("backup").join("bad-copy");
    filled(&folder, 200);
    drop(Notebook::open_in(&folder).unwrap());
    let copy = backup::all(&folder).unwrap().remove(0);
    damage(&copy.path);
    let before = std::fs::read(folder.join("notebook.db")).unwrap();
    let fault = backup::restore(&folder, &copy).unwrap_err().to_string();
    assert!(fault.contains("cannot be put back"), "{fault}");
    assert!(std::fs::read(folder.join("notebook.db")).unwrap() == before);
}

/// A notebook in another user's folder, which all may read: it is read, and what cannot be kept is said.
#[cfg(unix)]
#[test]
fn another_users_notebook_is_read() {
    use std::os::unix::fs::PermissionsExt;
    use std::os::unix::process::CommandExt;
    let folder = scratch("backup").join("theirs");
    filled(&folder, 2);
    let open = |mode| std::fs::Permissions::from_mode(mode);
    std::fs::set_permissions(folder.join("notebook.db"), open(0o444)).unwrap();
    std::fs::set_permissions(&folder, open(0o555)).unwrap();
    // Root may write anywhere, so it asks as nobody, whose number is 65534 on Linux.
    let root = std::fs::metadata(&folder).is_ok_and(|_| std::fs::write(folder.join("probe"), "").is_ok());
    let _ = std::fs::remove_file(folder.join("probe"));
    let ask = |args: &[&str]| {
        let mut asked = command(&folder);
        if root {
            asked.uid(65_534).gid(65_534);
        }
        asked.args(args).output().ok()
    };
    // Where nobody may not even run the program, there is nothing to see.
    if ask(&["--version"]).is_none_or(|ran| !ran.status.success()) {
        println!("left out: nobody may not run the program here");
        return;
    }
    let listed = ask(&["attempts", "Juno"]).unwrap();
    let (out, said) = (
        String::from_utf8_lossy(&listed.stdout),
        String::from_utf8_lossy(&listed.stderr),
    );
    assert!(listed.status.success() && out.lines().count() == 2, "{out}{said}");
    assert!(said.contains("for reading only") && said.lines().count() == 1, "{said}");
    let refused = ask(&["note", "Juno", "Said twice."]).unwrap();
    let said = String::from_utf8_lossy(&refused.stderr);
    assert_eq!(refused.status.code(), Some(2), "{said}");
    assert!(said.contains("nothing is kept"), "{said}");
    std::fs::set_permissions(&folder, open(0o755)).unwrap();
}

/// A small disk of its own, where that can be had: root in Linux.
#[cfg(target_os = "linux")]
struct Disk(PathBuf);

#[cfg(target_os = "linux")]
impl Disk {
    fn new(name: &str) -> Option<Disk> {
        let at = scratch("backup").join(name);
        std::fs::create_dir_all(&at).unwrap();
        let disk = Disk(at);
        disk.run("mount", &["-t", "tmpfs", "-o", "size=2m", "tmpfs"])
            .then_some(disk)
    }

    fn run(&self, what: &str, args: &[&str]) -> bool {
        let ran = std::process::Command::new(what).args(args).arg(&self.0).output();
        ran.is_ok_and(|ran| ran.status.success())
    }
}

#[cfg(target_os = "linux")]
impl Drop for Disk {
    fn drop(&mut self) {
        self.run("umount", &[]);
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_disk_that_is_full_or_can_only_be_read_is_said_and_nothing_is_lost() {
    let Some(disk) = Disk::new("disk") else {
        println!("left out: no disk can be mounted here");
        return;
    };
    let home = disk.0.join("home");
    let learner = filled(&home, 3);
    let ballast = disk.0.join("ballast");
    // All the room that is left, to the last byte.
    let full = std::fs::write(&ballast, vec![7; 4 << 20]);
    assert!(full.is_err());
    let mut notebook = Notebook::open_in(&home).unwrap();
    assert_eq!(notebook.attempts(learner, &Filter::default(), ALL).unwrap().len(), 3);
    let long = "a".repeat(400);
    let mut fault = None;
    for _ in 0..200 {
        fault = notebook.add_learner("Alby", &Rules::default()).err();
        fault = fault.or_else(|| notebook.keep_draft(None, &long, &long.repeat(200)).err());
        if fault.is_some() {
            break;
        }
    }
    let fault = fault.expect("there is no room").to_string();
    assert!(fault.contains("full") || fault.contains("reading only"), "{fault}");
    drop(notebook);
    std::fs::remove_file(&ballast).unwrap();
    assert_eq!(
        Notebook::open_in(&home)
            .unwrap()
            .count_attempts(learner, &Filter::default())
            .unwrap(),
        3
    );
    assert!(disk.run("mount", &["-o", "remount,ro"]));
    let ran = finish(command(&home).args(["attempts", "Juno"]));
    assert_eq!((ran.code, ran.out.lines().count()), (0, 3), "{}{}", ran.out, ran.err);
    assert!(
        ran.err.contains("can only be read") || ran.err.contains("cannot be written"),
        "{}",
        ran.err
    );
}
