//! Handing over and back: both sides end equal, and nothing hostile or damaged gets in.

use std::collections::BTreeMap;
use std::fs::File;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};

use crate::common::scratch;
use jiff::civil::date;
use proptest::prelude::*;
use soundbead::notebook::handover::Handover;
use soundbead::notebook::{
    Author, Content, Filter, Help, Id, ListRange, NewAttempt, NewNote, NewSession, NewWriting, NoteBody, NoteSubject,
    Notebook, NotebookError, Ruling, Writing, WritingFilter, WritingSource,
};
use soundbead_data::course::Choice;
use soundbead_data::{Rules, Sound};
use soundbead_dsp::audio::Clip;
use soundbead_dsp::judgement::Verdict;

const ALL: ListRange = ListRange { skip: 0, take: 1000 };

fn go_on(_: f32) -> bool {
    true
}

/// A fresh folder for each use of a name.
fn fresh(name: &str) -> PathBuf {
    use std::sync::atomic::{AtomicU32, Ordering};
    static NEXT: AtomicU32 = AtomicU32::new(0);
    scratch("handover").join(format!("{name}-{}", NEXT.fetch_add(1, Ordering::Relaxed)))
}

fn whole() -> Handover {
    Handover {
        recordings: true,
        ..Handover::default()
    }
}

fn clip(seed: u16) -> Clip {
    Clip {
        samples: (0..400u16)
            .map(|i| f32::from(i.wrapping_mul(seed.wrapping_add(77)) % 999) / 1_000.0 - 0.5)
            .collect(),
    }
}

fn note(on: NoteSubject, author: Author, text: &str) -> NewNote {
    NewNote {
        on,
        author,
        body: NoteBody {
            text: text.into(),
            ..NoteBody::default()
        },
    }
}

/// A parent's notebook with a learner, two attempts with recordings, a ruling and a note.
fn parents() -> (Notebook, Id) {
    let mut notebook = Notebook::open_in(&fresh("parent")).unwrap();
    let learner = notebook.add_learner("Juno", &Rules::default()).unwrap().id;
    let session = notebook.begin_session(learner, &NewSession::default()).unwrap().id;
    for (seed, word) in [(1, "pig"), (2, "wig")] {
        let clip = clip(seed);
        let sounds = [Sound::P, Sound::IH, Sound::G];
        let new = NewAttempt {
            word,
            sounds: &sounds,
            child: Some(3),
            clip: Some(&clip),
            ..NewAttempt::default()
        };
        let id = notebook.record(session, &new).unwrap().id;
        notebook.rule(id, ruling(Verdict::Same, Author::Parent)).unwrap();
    }
    notebook
        .add_note(
            learner,
            &note(NoteSubject::Sound(Sound::TH), Author::Parent, "Said as f."),
        )
        .unwrap();
    notebook.end_session(session).unwrap();
    (notebook, learner)
}

fn ruling(verdict: Verdict, by: Author) -> Ruling {
    Ruling::new(verdict, by)
}

/// Everything of a learner as the archive has it, but for the manifest.
fn contents(notebook: &mut Notebook, learner: Id) -> BTreeMap<String, Vec<u8>> {
    let path = fresh("contents").with_extension("soundbead");
    notebook.hand_over(learner, &whole(), &path, &go_on).unwrap();
    let mut members = members(&path);
    members.remove("manifest.json");
    members
}

fn members(archive: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut zip = zip::ZipArchive::new(File::open(archive).unwrap()).unwrap();
    let count = zip.len();
    let read = |i| {
        let mut member = zip.by_index(i).unwrap();
        let mut bytes = Vec::new();
        member.read_to_end(&mut bytes).unwrap();
        (member.name().unwrap().into_owned(), bytes)
    };
    (0..count).map(read).collect()
}

fn send(from: &mut Notebook, learner: Id, to: &mut Notebook) -> soundbead::notebook::handover::Merged {
    let path = fresh("send").with_extension("soundbead");
    from.hand_over(learner, &whole(), &path, &go_on).unwrap();
    to.take_in(&path, None, &go_on).unwrap()
}

fn consultants() -> Notebook {
    Notebook::open_in(&fresh("consultant")).unwrap()
}

#[test]
fn what_goes_over_comes_back_with_notes_and_both_are_equal() {
    let (mut parent, learner) = parents();
    let mut consultant = consultants();
    let came = send(&mut parent, learner, &mut consultant);
    assert!(came.new && came.learner.name == "Juno" && came.recordings == 2);
    let attempts = consultant.attempts(learner, &Filter::default(), ALL).unwrap();
    assert_eq!(attempts, parent.attempts(learner, &Filter::default(), ALL).unwrap());
    assert!(
        attempts
            .iter()
            .all(|a| consultant.recording(a.recording.unwrap()).is_ok())
    );
    consultant
        .add_note(
            learner,
            &note(NoteSubject::Attempt(attempts[0].id), Author::Consultant, "Clear."),
        )
        .unwrap();
    consultant
        .rule(attempts[1].id, ruling(Verdict::Fewer, Author::Consultant))
        .unwrap();
    assert!(
        send(&mut parent, learner, &mut consultant).nothing_new(),
        "the parent did nothing meanwhile"
    );
    let back = send(&mut consultant, learner, &mut parent);
    assert_eq!((back.new, back.added, back.changed), (false, 1, 1));
    assert_eq!(contents(&mut parent, learner), contents(&mut consultant, learner));
    assert!(send(&mut consultant, learner, &mut parent).nothing_new());
    // The parent's ruling stands beside the consultant's, and nothing gave way.
    let rulings = parent.attempt(attempts[1].id).unwrap().unwrap().edits.rulings;
    assert_eq!(
        rulings.iter().map(|r| r.by).collect::<Vec<_>>(),
        [Author::Parent, Author::Consultant]
    );
    assert_eq!(parent.earlier(attempts[1].id).unwrap(), []);
}

#[test]
fn what_is_taken_back_on_one_side_goes_on_the_other() {
    let (mut parent, learner) = parents();
    let mut consultant = consultants();
    send(&mut parent, learner, &mut consultant);
    let written = parent.notes(learner).unwrap().remove(0);
    parent.remove_note(written.id).unwrap();
    let session = parent.sessions(learner).unwrap()[0].id;
    let undone = parent.undo_last(session).unwrap().unwrap();
    parent.end_session(session).unwrap();
    consultant
        .add_note(
            learner,
            &note(NoteSubject::Attempt(undone.id), Author::Consultant, "Listen."),
        )
        .unwrap();
    send(&mut consultant, learner, &mut parent);
    assert!(parent.attempt(undone.id).unwrap().is_none(), "it does not come back");
    let over = send(&mut parent, learner, &mut consultant);
    // The attempt, the note on it, and the note on a sound.
    assert_eq!(over.removed, 3);
    assert!(consultant.notes(learner).unwrap().is_empty());
    assert!(!consultant.has_recording(undone.recording.unwrap()));
    send(&mut consultant, learner, &mut parent);
    assert_eq!(contents(&mut parent, learner), contents(&mut consultant, learner));
}

#[test]
fn a_note_on_what_the_other_side_took_back_goes_with_it_on_both() {
    let (mut parent, learner) = parents();
    let mut consultant = consultants();
    send(&mut parent, learner, &mut consultant);
    let attempts = parent.attempts(learner, &Filter::default(), ALL).unwrap();
    let last = attempts.iter().max_by_key(|a| a.at).unwrap();
    let new = note(NoteSubject::Attempt(last.id), Author::Parent, "Said twice.");
    parent.add_note(learner, &new).unwrap();
    act(&mut consultant, learner, Author::Consultant, &Deed::Undo);
    send(&mut parent, learner, &mut consultant);
    send(&mut consultant, learner, &mut parent);
    assert_eq!(contents(&mut parent, learner), contents(&mut consultant, learner));
    assert!(
        parent
            .notes(learner)
            .unwrap()
            .iter()
            .all(|n| n.body.text != "Said twice.")
    );
    assert!(send(&mut consultant, learner, &mut parent).nothing_new());
}

#[test]
fn a_range_of_days_and_no_recordings() {
    let mut parent = Notebook::open_in(&fresh("range")).unwrap();
    let learner = parent.add_learner("Juno", &Rules::default()).unwrap().id;
    let clip = clip(5);
    for (day, word) in [(1, "pig"), (15, "peg"), (30, "beg")] {
        let day = jiff::civil::date(2026, 9, day);
        let at = soundbead::notebook::Moment(day.in_tz("UTC").unwrap().timestamp().as_millisecond());
        let session = parent
            .begin_session(
                learner,
                &NewSession {
                    began: Some((at, day)),
                    ..Default::default()
                },
            )
            .unwrap();
        let sounds = [Sound::P, Sound::EH, Sound::G];
        let new = NewAttempt {
            word,
            sounds: &sounds,
            clip: Some(&clip),
            at: Some((at, day)),
            ..NewAttempt::default()
        };
        parent.record(session.id, &new).unwrap();
    }
    let mut consultant = consultants();
    let path = fresh("range").with_extension("soundbead");
    let what = Handover {
        from: Some(jiff::civil::date(2026, 9, 2)),
        to: Some(jiff::civil::date(2026, 9, 29)),
        ..Handover::default()
    };
    let written = parent.hand_over(learner, &what, &path, &go_on).unwrap();
    assert_eq!((written.attempts, written.recordings), (1, 0));
    consultant.take_in(&path, None, &go_on).unwrap();
    let came = consultant.attempts(learner, &Filter::default(), ALL).unwrap();
    assert_eq!(came.iter().map(|a| a.word.as_str()).collect::<Vec<_>>(), ["peg"]);
    assert!(!consultant.has_recording(came[0].recording.unwrap()));
    // The rest, and the recordings, can come later.
    assert_eq!(send(&mut parent, learner, &mut consultant).added, 4);
    assert!(consultant.has_recording(came[0].recording.unwrap()));
    assert_eq!(contents(&mut parent, learner), contents(&mut consultant, learner));
}

#[test]
fn a_passphrase_locks_it() {
    let (mut parent, learner) = parents();
    let path = fresh("locked").with_extension("soundbead");
    let what = Handover {
        passphrase: Some("damson row nine".into()),
        ..whole()
    };
    parent.hand_over(learner, &what, &path, &go_on).unwrap();
    let bytes = std::fs::read(&path).unwrap();
    // The format's first line (age-encryption.org/v1): version, then the one recipient of a passphrase file.
    assert!(bytes.starts_with(b"age-encryption.org/v1\n-> scrypt "));
    assert!(!bytes.windows(4).any(|w| w == b"Juno"));
    let mut consultant = consultants();
    let mut fault = |passphrase| consultant.take_in(&path, passphrase, &go_on).unwrap_err().to_string();
    assert!(fault(None).contains("passphrase"), "{}", fault(None));
    assert!(
        fault(Some("damson row eight")).contains("does not open"),
        "{}",
        fault(Some("x"))
    );
    assert!(consultant.take_in(&path, Some("damson row nine"), &go_on).unwrap().new);
    std::fs::write(&path, &bytes[..bytes.len() - 40]).unwrap();
    let fault = consultants()
        .take_in(&path, Some("damson row nine"), &go_on)
        .unwrap_err()
        .to_string();
    assert!(fault.contains("cut short"), "{fault}");
}

#[test]
fn a_locked_archive_that_asks_for_much_work_is_refused_before_any() {
    // The header of a passphrase file (age-encryption.org/v1), asking for 8 GiB, and one of stanzas without end.
    let (salt, key) = ("m".repeat(22), "I".repeat(43));
    let costly = format!("age-encryption.org/v1\n-> scrypt {salt} 23\n{key}\n--- {key}\n0123456789abcdef");
    let endless = format!("age-encryption.org/v1\n{}", "-> x a\n\n".repeat(20_000));
    for (text, why) in [(costly, "too long"), (endless, "another way")] {
        let path = crate::common::file(&scratch("handover"), "costly.soundbead", text.as_bytes());
        let fault = consultants()
            .take_in(&path, Some("damson"), &go_on)
            .unwrap_err()
            .to_string();
        assert!(fault.contains(why), "{fault}");
    }
}

/// Nothing in clear is ever in the notebook's folder while a locked archive is written: a program that is ended then
/// leaves none.
#[test]
fn a_locked_export_writes_nothing_in_clear() {
    let (mut parent, learner) = parents();
    let own = fresh("streamed");
    std::fs::create_dir_all(&own).unwrap();
    let path = own.join("juno.soundbead");
    let what = Handover {
        passphrase: Some("damson row nine".into()),
        ..whole()
    };
    let folder = parent.folder().to_owned();
    let before = files(&folder);
    let look = |_: f32| {
        for file in files(&own) {
            let start = std::fs::read(&file).unwrap();
            assert!(
                start.is_empty() || start.starts_with(b"age-encryption.org"),
                "{}",
                file.display()
            );
        }
        // The one file that is there meanwhile names the archive, and nothing of what is in it.
        let mut now = files(&folder);
        now.retain(|file| file.extension().is_none_or(|e| e != "lock"));
        assert_eq!(now, before);
        true
    };
    parent.hand_over(learner, &what, &path, &look).unwrap();
    assert!(
        consultants()
            .take_in(&path, Some("damson row nine"), &go_on)
            .unwrap()
            .new
    );
}

#[test]
fn work_that_is_stopped_changes_nothing() {
    let (mut parent, learner) = parents();
    let path = fresh("stopped").with_extension("soundbead");
    assert!(parent.hand_over(learner, &whole(), &path, &|_| false).is_err());
    assert!(!path.exists());
    parent.hand_over(learner, &whole(), &path, &go_on).unwrap();
    let mut consultant = consultants();
    assert!(consultant.take_in(&path, None, &|share| share < 0.8).is_err());
    untouched(&consultant);
    let inside = parent.folder().join("here.soundbead");
    assert!(
        parent
            .hand_over(learner, &whole(), &inside, &go_on)
            .unwrap_err()
            .to_string()
            .contains("own folder")
    );
}

/// Every file under a folder, by name.
fn files(folder: &Path) -> Vec<PathBuf> {
    let (mut open, mut all) = (vec![folder.to_owned()], Vec::new());
    while let Some(path) = open.pop() {
        match std::fs::read_dir(&path) {
            Ok(list) => open.extend(list.map(|e| e.unwrap().path())),
            Err(_) => all.push(path),
        }
    }
    all.sort();
    all
}

/// Nothing was taken in: no learner, no recording, no file left of the unpacking.
fn untouched(notebook: &Notebook) {
    assert!(notebook.learners().unwrap().is_empty());
    let mut open = vec![notebook.folder().to_owned()];
    while let Some(path) = open.pop() {
        for entry in std::fs::read_dir(&path).unwrap().map(|e| e.unwrap().path()) {
            let name = entry.file_name().unwrap().to_string_lossy().into_owned();
            assert!(!name.ends_with(".wav") && !name.starts_with("incoming"), "{name}");
            open.extend(entry.is_dir().then_some(entry));
        }
    }
}

/// An archive of these members, as any tool could write it; `mode` is given to every member.
fn pack(members: &[(String, Vec<u8>)], mode: Option<u32>) -> PathBuf {
    let path = fresh("made").with_extension("soundbead");
    let mut zip = zip::ZipWriter::new(File::create(&path).unwrap());
    let options = zip::write::SimpleFileOptions::default().compression_method(zip::CompressionMethod::Deflated);
    for (name, bytes) in members {
        let named = mode.filter(|_| name == "learner.json");
        zip.start_file(name.as_str(), named.map_or(options, |m| options.unix_permissions(m)))
            .unwrap();
        zip.write_all(bytes).unwrap();
    }
    zip.finish().unwrap();
    path
}

/// The members with a manifest that is right for them, whatever they are.
fn sealed(mut members: Vec<(String, Vec<u8>)>, change: impl Fn(&mut serde_json::Value)) -> Vec<(String, Vec<u8>)> {
    let at = members.iter().position(|(name, _)| name == "manifest.json").unwrap();
    let (_, manifest) = members.remove(at);
    let mut manifest: serde_json::Value = serde_json::from_slice(&manifest).unwrap();
    let row = |(name, bytes): &(String, Vec<u8>)| serde_json::json!({"name": name, "bytes": bytes.len(), "sha256": Content::of(bytes).to_string()});
    manifest["members"] = members.iter().map(row).collect();
    change(&mut manifest);
    members.push(("manifest.json".into(), serde_json::to_vec(&manifest).unwrap()));
    members
}

/// A good archive's members.
fn good() -> Vec<(String, Vec<u8>)> {
    let (mut parent, learner) = parents();
    let path = fresh("good").with_extension("soundbead");
    parent.hand_over(learner, &whole(), &path, &go_on).unwrap();
    members(&path).into_iter().collect()
}

/// The archive comes in but for one row, of which it is said why.
fn set_aside(path: &Path, why: &str) {
    let came = consultants().take_in(path, None, &go_on).unwrap();
    let [aside] = &came.aside[..] else {
        panic!("expected `{why}`: {:?}", came.aside)
    };
    assert!(
        aside.in_a_line().contains(why),
        "expected `{why}`: {}",
        aside.in_a_line()
    );
}

/// The archive is refused with one line that names the file and says `why`.
fn refused(path: &Path, why: &str) {
    let mut notebook = consultants();
    let fault: NotebookError = match notebook.take_in(path, None, &go_on) {
        Ok(_) => panic!("it was taken in; expected: {why}"),
        Err(e) => e,
    };
    let line = fault.to_string();
    assert!(
        line.contains(why) && line.contains("made-") && line.lines().count() == 1,
        "expected `{why}`: {line}"
    );
    untouched(&notebook);
}

#[test]
fn what_is_packed_again_rightly_is_taken_in() {
    // So that the refusals below are for what was changed, and not for how this test packs.
    assert!(
        consultants()
            .take_in(&pack(&sealed(good(), |_| ()), None), None, &go_on)
            .unwrap()
            .new
    );
}

#[test]
fn paths_that_lead_elsewhere_are_refused() {
    for (name, why) in [
        ("../../evil.wav", "leads out"),
        ("recordings/../../x.wav", "leads out"),
        ("..\\evil.wav", "leads out"),
        ("/etc/evil", "absolute"),
        ("C:\\evil", "absolute"),
        ("\\\\host\\evil", "absolute"),
        ("recordings/note.wav", "nothing that a hand-over holds"),
        ("recordings/", "nothing that a hand-over holds"),
        ("extra.txt", "nothing that a hand-over holds"),
    ] {
        let mut members = good();
        members.push((name.into(), b"x".to_vec()));
        refused(&pack(&sealed(members, |_| ()), None), why);
    }
}

#[test]
fn links_and_other_things_are_refused() {
    // POSIX file types in the upper bits of the mode: symbolic link, device, pipe.
    for kind in [0o120_777, 0o060_600, 0o010_600] {
        let path = pack(&sealed(good(), |_| ()), Some(0o600));
        let mut bytes = std::fs::read(&path).unwrap();
        // The mode lies in the upper half of the external attributes of the directory's entry (APPNOTE 4.3.12, at 38);
        // the writing library sets the file type itself, so it is put in by hand.
        let entry = bytes
            .windows(4)
            .rposition(|w| w == b"PK\x01\x02")
            .map(|_| ())
            .and_then(|()| {
                (0..bytes.len() - 46)
                    .find(|&i| bytes[i..].starts_with(b"PK\x01\x02") && bytes[i + 46..].starts_with(b"learner.json"))
            });
        let at = entry.unwrap() + 40;
        bytes[at..at + 2].copy_from_slice(&(kind as u16).to_le_bytes());
        std::fs::write(&path, bytes).unwrap();
        refused(&path, "is a link");
    }
}

#[test]
fn bombs_are_refused() {
    // A gibibyte of spaces packs to about a mebibyte; the limits stop it by the ratio, before it is unpacked.
    let mut members = good();
    let zeros = vec![b' '; 64 << 20];
    members.iter_mut().find(|(n, _)| n == "notes.jsonl").unwrap().1 = zeros;
    refused(&pack(&sealed(members, |_| ()), None), "unpack to far more");
    // A directory that lies about it is stopped as it unpacks: a recording longer than one may be.
    let mut members = good();
    let long = vec![0u8; 20 << 20];
    let name = format!("recordings/{}.wav", Content::of(&long));
    members.push((name.clone(), long));
    let path = pack(&sealed(members, |_| ()), None);
    let mut bytes = std::fs::read(&path).unwrap();
    // The unpacked length of the directory's entry is at 24 (APPNOTE 4.3.12).
    let at = (0..bytes.len() - 46)
        .find(|&i| bytes[i..].starts_with(b"PK\x01\x02") && bytes[i + 46..].starts_with(name.as_bytes()))
        .unwrap();
    bytes[at + 24..at + 28].copy_from_slice(&1_000u32.to_le_bytes());
    std::fs::write(&path, bytes).unwrap();
    refused(&path, "its member `recordings/");
}

#[test]
fn wrong_sums_and_other_versions_are_refused() {
    let mut changed = good();
    changed.iter_mut().find(|(n, _)| n == "learner.json").unwrap().1[10] ^= 1;
    refused(&pack(&changed, None), "the sum of its member `learner.json` is wrong");
    refused(&pack(&sealed(good(), |m| m["version"] = 9.into()), None), "version 9");
    refused(
        &pack(&sealed(good(), |m| m["format"] = "other".into()), None),
        "not one of this program's",
    );
    let forget = |m: &mut serde_json::Value| drop(m["members"].as_array_mut().unwrap().remove(0));
    refused(&pack(&sealed(good(), forget), None), "does not name what is in it");
    let mut short = good();
    short.retain(|(name, _)| name != "gone.jsonl");
    refused(&pack(&sealed(short, |_| ()), None), "`gone.jsonl` is missing");
    let mut bare = good();
    bare.retain(|(name, _)| name != "manifest.json");
    refused(&pack(&bare, None), "no manifest");
}

/// A good archive in one of whose members a text is another.
fn changed(member: &str, from: &str, to: &str) -> PathBuf {
    let mut members = good();
    let bytes = &mut members.iter_mut().find(|(n, _)| n == member).unwrap().1;
    let text = String::from_utf8(bytes.clone()).unwrap();
    assert!(text.contains(from), "{text}");
    // In the first line alone.
    *bytes = text.replacen(from, to, 1).into_bytes();
    pack(&sealed(members, |_| ()), None)
}

#[test]
fn a_row_that_no_notebook_writes_is_set_aside_and_the_rest_comes_in() {
    let long = format!("\"word\":\"{}\"", "a".repeat(501));
    for (member, from, to, why) in [
        ("attempts.jsonl", "\"IH\"", "\"QQ\"", "QQ"),
        (
            "attempts.jsonl",
            "\"expected\":3",
            "\"expected\":999",
            "expected sounds: 999",
        ),
        (
            "attempts.jsonl",
            "\"speaking\":\"whole\"",
            "\"speaking\":\"sung\"",
            "sung",
        ),
        (
            "attempts.jsonl",
            "\"r_vowels\":\"two\"",
            "\"r_vowels\":\"nine\"",
            "nine",
        ),
        ("attempts.jsonl", "\"day\":\"2", "\"day\":\"-00999", "-00999"),
        ("attempts.jsonl", "\"day\":\"20", "\"day\":\"19", "before 2000"),
        ("attempts.jsonl", "\"day\":\"20", "\"day\":\"22", "in the future"),
        ("attempts.jsonl", "\"child\":3", "\"child\":61", "counters: 61"),
        ("attempts.jsonl", "\"word\":\"", "\"wort\":\"", "wort"),
        ("attempts.jsonl", "{\"attempt\"", "{\"attempt", "line 1"),
        ("notes.jsonl", "Said as f.", "", "empty"),
        ("notes.jsonl", "{\"sound\":\"TH\"}", "{\"sound\":\"QQ\"}", "QQ"),
        (
            "notes.jsonl",
            "{\"sound\":\"TH\"}",
            &format!("{{{long}}}"),
            "501 letters",
        ),
    ] {
        let mut notebook = consultants();
        let came = notebook.take_in(&changed(member, from, to), None, &go_on).unwrap();
        let [aside] = &came.aside[..] else {
            panic!("{to}: {:?}", came.aside)
        };
        assert_eq!((aside.member.as_str(), aside.line), (member, 1), "{to}");
        assert!(aside.in_a_line().contains(why), "{to}: {}", aside.in_a_line());
        assert_eq!(aside.in_a_line().lines().count(), 1);
        // The learner and the session, two attempts and a note, less the one.
        let there = notebook.attempts(came.learner.id, &Filter::default(), ALL).unwrap();
        let notes = notebook.notes(came.learner.id).unwrap();
        assert_eq!((came.added, there.len() + notes.len()), (3, 2), "{to}");
        // A recording of which only that row speaks stays where it is.
        let sounds = files(&notebook.folder().join("recordings")).len();
        assert_eq!((sounds, came.recordings), (there.len(), there.len() as u64), "{to}");
        assert!(there.iter().all(|a| notebook.has_recording(a.recording.unwrap())));
        assert!(
            came.besides()
                .iter()
                .any(|line| line.contains("1 row could not be taken in"))
        );
        // It hands on what it has, and another takes all of it.
        assert_eq!(send(&mut notebook, came.learner.id, &mut consultants()).aside, []);
    }
}

#[test]
fn what_hangs_on_a_row_that_is_set_aside_stays_with_it() {
    let mut notebook = consultants();
    let path = changed("sessions.jsonl", "\"day\":\"2", "\"day\":\"x");
    let came = notebook.take_in(&path, None, &go_on).unwrap();
    // The session, and the two attempts in it.
    assert_eq!(
        (came.aside.len(), came.added, came.recordings),
        (3, 1, 0),
        "{:?}",
        came.aside
    );
    assert!(came.aside[0].why.contains("its session"), "{:?}", came.aside);
    let told = came.besides().join(" ");
    assert!(told.contains("3 rows could not be taken in"), "{told}");
}

#[test]
fn an_archive_of_bad_rows_alone_is_refused_whole() {
    let mut members = good();
    members.iter_mut().find(|(n, _)| n == "notes.jsonl").unwrap().1 = b"x\n".repeat(10_001);
    refused(&pack(&sealed(members, |_| ()), None), "more than 10000 of its rows");
}

#[test]
fn a_line_longer_than_one_may_be_is_set_aside_and_the_next_is_read() {
    let mut members = good();
    let notes = &mut members.iter_mut().find(|(n, _)| n == "notes.jsonl").unwrap().1;
    let long = [b" ".repeat((1 << 20) + 5), b"\n".to_vec()].concat();
    *notes = [long, notes.clone()].concat();
    let mut notebook = consultants();
    let came = notebook
        .take_in(&pack(&sealed(members, |_| ()), None), None, &go_on)
        .unwrap();
    assert_eq!((came.aside.len(), came.aside[0].line), (1, 1));
    assert!(came.aside[0].why.contains("longer than a line"), "{:?}", came.aside);
    assert_eq!(notebook.notes(came.learner.id).unwrap().len(), 1);
}

#[test]
fn a_learner_that_cannot_be_taken_in_closes_the_archive() {
    refused(&changed("learner.json", "Juno", ""), "needs a name");
    refused(&changed("learner.json", "Juno", "Juno "), "stray space");
}

/// Milliseconds of a day.
const DAY_MS: i64 = 86_400_000;

/// A good archive all of whose times are so many days later than they were, as a machine with a wrong clock writes it.
fn written_days_ahead(members: Vec<(String, Vec<u8>)>, days: i64) -> PathBuf {
    let late = |mut members: Vec<(String, Vec<u8>)>| {
        for (_, bytes) in members.iter_mut().filter(|(name, _)| name.ends_with(".jsonl")) {
            let lines = String::from_utf8(bytes.clone()).unwrap();
            let rows = lines.lines().map(|line| {
                let mut row: serde_json::Value = serde_json::from_str(line).unwrap();
                later(&mut row, days);
                row.to_string() + "\n"
            });
            *bytes = rows.collect::<String>().into_bytes();
        }
        members
    };
    pack(&sealed(late(members), |m| later(m, days)), None)
}

/// Moves every time and day in a row.
fn later(row: &mut serde_json::Value, days: i64) {
    let Some(fields) = row.as_object_mut() else { return };
    for (name, value) in fields {
        match (name.as_str(), value.as_i64(), value.as_str()) {
            ("at" | "began" | "ended" | "made" | "changed", Some(ms), _) => *value = (ms + days * DAY_MS).into(),
            ("day", _, Some(day)) => {
                let day: jiff::civil::Date = day.parse().unwrap();
                *value = day
                    .checked_add(jiff::Span::new().days(days))
                    .unwrap()
                    .to_string()
                    .into();
            }
            _ if value.is_object() => later(value, days),
            _ => {}
        }
    }
}

#[test]
fn what_a_wrong_clock_wrote_comes_in_dated_today_and_loses_to_what_is_done_later() {
    let path = written_days_ahead(good(), 5);
    let mut notebook = consultants();
    let came = notebook.take_in(&path, None, &go_on).unwrap();
    // A session, two attempts, a note.
    assert_eq!(
        (came.added, came.redated, came.days_ahead),
        (4, 4, Some(5)),
        "{:?}",
        came.aside
    );
    let told = came.besides().join(" ");
    assert!(
        told.contains("5 days ahead") && told.contains("gave 4 rows a date that cannot be"),
        "{told}"
    );
    let learner = came.learner.id;
    let today = jiff::Zoned::now().date();
    let attempts = notebook.attempts(learner, &Filter::default(), ALL).unwrap();
    assert!(
        attempts.iter().all(|a| (today - a.day).get_days().abs() <= 1),
        "{attempts:?}"
    );
    assert!(notebook.cautions().is_empty(), "nothing in it lies in the future");
    // What is done here afterwards is later than all that came, and stays when the same comes again.
    let note = notebook.notes(learner).unwrap().remove(0);
    notebook
        .change_note(
            note.id,
            &self::note(NoteSubject::Learner, Author::Parent, "Said as th.").body,
        )
        .unwrap();
    assert!(notebook.take_in(&path, None, &go_on).unwrap().nothing_new());
    assert_eq!(notebook.notes(learner).unwrap()[0].body.text, "Said as th.");
    assert_eq!(
        notebook.earlier(note.id).unwrap().len(),
        1,
        "the text before, and no note of the clock"
    );
    // Others take it without a question.
    let on = send(&mut notebook, learner, &mut consultants());
    assert_eq!((on.redated, on.aside.len()), (0, 0));
}

#[test]
fn a_clock_that_began_at_1970_is_put_to_the_first_day_that_can_be() {
    let path = written_days_ahead(good(), -365 * 40);
    let mut notebook = consultants();
    let came = notebook.take_in(&path, None, &go_on).unwrap();
    assert_eq!(
        (came.added, came.redated, came.days_ahead),
        (4, 4, None),
        "{:?}",
        came.aside
    );
    let attempts = notebook.attempts(came.learner.id, &Filter::default(), ALL).unwrap();
    assert!(attempts.iter().all(|a| a.day == jiff::civil::date(2000, 1, 1)));
    assert!(notebook.take_in(&path, None, &go_on).unwrap().nothing_new());
}

/// What is kept here can be taken there: the same bounds hold for both.
#[test]
fn what_another_notebook_would_not_take_is_not_written() {
    let (mut parent, learner) = parents();
    let session = parent.begin_session(learner, &NewSession::default()).unwrap().id;
    let (most, more) = ("a".repeat(500), "a".repeat(501));
    let on = |word: &str| note(NoteSubject::Word(word.to_owned()), Author::Parent, "Long.");
    parent.add_note(learner, &on(&most)).unwrap();
    let fault = parent.add_note(learner, &on(&more)).unwrap_err().to_string();
    assert!(fault.contains("501 letters"), "{fault}");
    let new = |word, sounds, at| NewAttempt {
        word,
        sounds,
        at,
        ..NewAttempt::default()
    };
    let (few, many) = (vec![Sound::P; 60], vec![Sound::P; 61]);
    let kept = parent.record(session, &new(&most, &few, None)).unwrap().id;
    assert!(parent.record(session, &new(&more, &few, None)).is_err());
    assert!(parent.record(session, &new("pig", &many, None)).is_err());
    for (year, ms) in [(-9999, 0), (1999, 946_000_000_000), (2200, 7_258_118_400_000)] {
        let at = Some((soundbead::notebook::Moment(ms), jiff::civil::date(year, 1, 1)));
        assert!(parent.record(session, &new("pig", &few, at)).is_err(), "{year}");
        let began = NewSession {
            began: at,
            ..NewSession::default()
        };
        assert!(parent.begin_session(learner, &began).is_err(), "{year}");
    }
    assert!(parent.edit(kept, |e| e.letters = vec![more.clone()]).is_err());
    assert!(parent.edit(kept, |e| e.child = Some(61)).is_err());
    parent
        .edit(kept, |e| (e.letters, e.child) = (vec![most.clone()], Some(60)))
        .unwrap();
    let mut consultant = consultants();
    assert_eq!(send(&mut parent, learner, &mut consultant).aside, []);
    assert_eq!(contents(&mut parent, learner), contents(&mut consultant, learner));
}

/// A row that an earlier version took in: the list, the report and the hand-over go on without it, and say so.
#[test]
fn a_bad_row_in_the_notebook_is_passed_over_with_a_line() {
    let (mut parent, learner) = parents();
    {
        let db = rusqlite::Connection::open(parent.folder().join("notebook.db")).unwrap();
        let copy = |day: &str, id: &str| {
            db.execute_batch(&format!(
                "INSERT INTO attempt (id, learner, session, at, day, item, speaking, rules, model, expected, edits, changed)
                 SELECT randomblob(16), learner, session, at, {day}, item, speaking, rules, model, expected, {id}, changed
                 FROM attempt WHERE n = 1"
            ))
            .unwrap();
        };
        copy("-99990101", "'{}'");
        copy("day", "'no JSON'");
        db.execute_batch(
            "INSERT INTO note SELECT NULL, randomblob(16), learner, 9, about, author, made, day, body, changed FROM note;
             INSERT INTO session (id, learner, began, day, ended, plan, changed)
             SELECT randomblob(16), learner, began, -99990101, ended, plan, changed FROM session;",
        )
        .unwrap();
    }
    assert_eq!(parent.attempts(learner, &Filter::default(), ALL).unwrap().len(), 2);
    let told = parent.cautions().join(" ");
    assert!(told.contains("an attempt cannot be read"), "{told}");
    assert!(parent.cautions().is_empty(), "said once");
    assert_eq!(
        (
            parent.notes(learner).unwrap().len(),
            parent.sessions(learner).unwrap().len()
        ),
        (1, 1)
    );
    parent.progress(learner, Default::default()).unwrap();
    soundbead::report::collect(&parent, learner, None, None).unwrap();
    for form in [
        soundbead::notebook::export::ExportForm::Csv,
        soundbead::notebook::export::ExportForm::Json,
    ] {
        let mut out = Vec::new();
        let count =
            soundbead::notebook::export::write_to(&parent, learner, Default::default(), form, &mut out).unwrap();
        assert_eq!(count, 2);
    }
    let mut consultant = consultants();
    let came = send(&mut parent, learner, &mut consultant);
    assert_eq!((came.added, came.aside.len()), (4, 0));
    // One that was taken back before it was seen to be bad closes nothing either, and goes for good.
    rusqlite::Connection::open(parent.folder().join("notebook.db"))
        .unwrap()
        .execute_batch("UPDATE attempt SET undone = 1, changed = 0 WHERE edits = 'no JSON'")
        .unwrap();
    let again = Notebook::open_in(parent.folder()).unwrap();
    assert_eq!(again.count_attempts(learner, &Filter::default()).unwrap(), 3);
}

#[test]
fn what_no_notebook_puts_beside_its_rows_is_refused() {
    let mut stray = good();
    let (wav, text) = (
        stray.iter().find(|(n, _)| n.ends_with(".wav")).unwrap().1.clone(),
        b"no sound".to_vec(),
    );
    let mut longer = wav;
    longer.extend([0; 4]);
    let named = |bytes: &[u8]| format!("recordings/{}.wav", Content::of(bytes));
    stray.push((named(&longer), longer));
    refused(&pack(&sealed(stray, |_| ()), None), "no attempt and no vowel speaks");
    let mut other = good();
    other.push((named(&text), text));
    refused(&pack(&sealed(other, |_| ()), None), "is no WAV file");
}

#[test]
fn an_archive_cut_short_anywhere_is_refused() {
    let path = pack(&sealed(good(), |_| ()), None);
    let bytes = std::fs::read(&path).unwrap();
    for part in 0..20 {
        let cut = fresh("made").with_extension("soundbead");
        std::fs::write(&cut, &bytes[..bytes.len() * part / 20]).unwrap();
        refused(&cut, "cut short");
    }
    let text = crate::common::file(
        &scratch("handover"),
        "made-letter.soundbead",
        b"Dear Gran, the goat is back.",
    );
    refused(&text, "no hand-over archive");
}

#[test]
fn an_archive_cannot_reach_into_another_learner() {
    let (mut parent, learner) = parents();
    let before = contents(&mut parent, learner);
    let session = parent.sessions(learner).unwrap()[0].id.to_string();
    // An archive of another learner that claims a session of this one.
    let mut members = good();
    let own = members.iter().find(|(n, _)| n == "sessions.jsonl").unwrap().1.clone();
    let own: serde_json::Value = serde_json::from_slice(&own).unwrap();
    let own = own["id"].as_str().unwrap().to_owned();
    for (_, bytes) in members.iter_mut().filter(|(n, _)| n.ends_with(".jsonl")) {
        *bytes = String::from_utf8(bytes.clone())
            .unwrap()
            .replace(&own, &session)
            .into_bytes();
    }
    let fault = parent
        .take_in(&pack(&sealed(members, |_| ()), None), None, &go_on)
        .unwrap_err()
        .to_string();
    assert!(fault.contains("another learner"), "{fault}");
    assert_eq!(contents(&mut parent, learner), before);
    assert_eq!(parent.learners().unwrap().len(), 1);
}

/// What one side does between two hand-overs.
#[derive(Clone, Debug)]
enum Deed {
    Attempt(u16),
    Rule(usize, usize),
    Letters(usize, String),
    Note(usize, String),
    Rewrite(usize, String),
    Remove(usize),
    Rename(String),
    Undo,
    Write(String),
    Again(usize, String, usize),
    Unwrite(usize),
    Choice(usize, Option<bool>),
}

fn deed() -> impl Strategy<Value = Deed> {
    let text = || "[a-z]{1,6}";
    prop_oneof![
        (0..9u16).prop_map(Deed::Attempt),
        (0..9usize, 0..5usize).prop_map(|(a, v)| Deed::Rule(a, v)),
        (0..9usize, text()).prop_map(|(a, t)| Deed::Letters(a, t)),
        (0..9usize, text()).prop_map(|(a, t)| Deed::Note(a, t)),
        (0..9usize, text()).prop_map(|(n, t)| Deed::Rewrite(n, t)),
        (0..9usize).prop_map(Deed::Remove),
        text().prop_map(Deed::Rename),
        Just(Deed::Undo),
        text().prop_map(Deed::Write),
        (0..9usize, text(), 0..3usize).prop_map(|(w, t, h)| Deed::Again(w, t, h)),
        (0..9usize).prop_map(Deed::Unwrite),
        (0..4usize, any::<Option<bool>>()).prop_map(|(c, t)| Deed::Choice(c, t)),
    ]
}

/// The deeds that have to do with writing.
fn write(notebook: &mut Notebook, learner: Id, deed: &Deed) {
    let rows = notebook.writings(learner, &WritingFilter::default(), ALL).unwrap();
    let own: Vec<&Writing> = rows.iter().filter(|w| w.source != WritingSource::Boxes).collect();
    match deed {
        Deed::Write(text) => {
            let session = notebook.begin_session(learner, &NewSession::default()).unwrap().id;
            notebook.keep_writing(learner, &dictated(Some(session), text)).unwrap();
        }
        Deed::Again(i, text, help) if *i < own.len() => {
            // A word that has all its tries takes no more.
            let _ = notebook.add_try(own[*i].id, Some(text), Help::ALL[*help]);
        }
        Deed::Unwrite(i) if *i < own.len() => {
            notebook.take_back_writing(own[*i].id).unwrap();
            notebook.end_session(own[*i].session.unwrap()).unwrap();
        }
        Deed::Choice(i, taught) => drop(notebook.name_choice(learner, Choice::ALL[*i], *taught).unwrap()),
        _ => {}
    }
}

/// *bridge*, as it was written in a dictation.
fn dictated(session: Option<Id>, tried: &str) -> NewWriting {
    NewWriting {
        session,
        word: "bridge".into(),
        tries: vec![tried.into()],
        source: WritingSource::Dictation,
        help: Help::None,
        day: date(2026, 11, 3),
    }
}

#[test]
fn writing_goes_over_and_comes_back_the_same() {
    let (mut parent, learner) = parents();
    let session = parent.begin_session(learner, &NewSession::default()).unwrap().id;
    let first = parent.keep_writing(learner, &dictated(Some(session), "Brij")).unwrap();
    parent.add_try(first.id, Some("bridge"), Help::AfterFirst).unwrap();
    let paper = NewWriting {
        source: WritingSource::Paper,
        day: date(2026, 9, 1),
        ..dictated(None, "bri4ge \u{1f600}")
    };
    let early = parent.keep_writing(learner, &paper).unwrap();
    parent.name_choice(learner, Choice::JSpelling, Some(false)).unwrap();
    let mut consultant = consultants();
    send(&mut parent, learner, &mut consultant);
    let rows = |n: &Notebook| n.writings(learner, &WritingFilter::default(), ALL).unwrap();
    assert_eq!(rows(&consultant), rows(&parent));
    assert_eq!(rows(&consultant).len(), 2);
    assert_eq!(
        consultant.named_choices(learner).unwrap(),
        parent.named_choices(learner).unwrap()
    );
    // Both add a try; the later stands, the other is kept, and the first is as it was.
    parent.add_try(first.id, Some("bridg"), Help::AfterFirst).unwrap();
    consultant.add_try(first.id, Some("bredge"), Help::AfterFirst).unwrap();
    send(&mut parent, learner, &mut consultant);
    send(&mut consultant, learner, &mut parent);
    assert_eq!(rows(&consultant), rows(&parent));
    let row = parent.writing_row(first.id).unwrap().unwrap();
    assert_eq!((row.first(), row.tries.len()), ("Brij", 3));
    let tries = |n: &Notebook| {
        let earlier = n.earlier(first.id).unwrap();
        earlier.iter().map(|e| e.body["tries"][2].clone()).collect::<Vec<_>>()
    };
    assert_eq!(tries(&parent).len(), 1);
    assert_eq!(tries(&parent), tries(&consultant));
    // A range of days takes that writing along, with its session.
    let path = fresh("days").with_extension("soundbead");
    let november = Handover {
        from: Some(date(2026, 11, 1)),
        ..whole()
    };
    let written = parent.hand_over(learner, &november, &path, &go_on).unwrap();
    assert_eq!(written.writings, 1);
    let mut fresh_one = consultants();
    fresh_one.take_in(&path, None, &go_on).unwrap();
    assert_eq!(rows(&fresh_one).iter().map(|w| w.id).collect::<Vec<_>>(), [first.id]);
    assert_ne!(first.id, early.id);
}

/// Both sides must choose the same of two tries that were kept in one millisecond, whichever way the first archive goes.
#[test]
fn of_two_tries_of_one_millisecond_the_same_stands_on_both_sides() {
    for (parents_try, consultants_try) in [("bridg", "bredge"), ("bredge", "bridg")] {
        let (mut parent, learner) = parents();
        let kept = parent.keep_writing(learner, &dictated(None, "Brij")).unwrap();
        let mut consultant = consultants();
        send(&mut parent, learner, &mut consultant);
        for (notebook, written) in [(&mut parent, parents_try), (&mut consultant, consultants_try)] {
            notebook.add_try(kept.id, Some(written), Help::AfterFirst).unwrap();
            let db = rusqlite::Connection::open(notebook.folder().join("notebook.db")).unwrap();
            db.execute("UPDATE writing SET changed = 1795912788489", []).unwrap();
        }
        send(&mut parent, learner, &mut consultant);
        send(&mut consultant, learner, &mut parent);
        let row = |n: &Notebook| n.writing_row(kept.id).unwrap().unwrap();
        assert_eq!(row(&parent), row(&consultant));
        let lost = |n: &Notebook| n.earlier(kept.id).unwrap().len();
        assert_eq!((lost(&parent), lost(&consultant)), (1, 1));
    }
}

#[test]
fn writing_that_no_notebook_keeps_is_set_aside() {
    let (mut parent, learner) = parents();
    let session = parent.begin_session(learner, &NewSession::default()).unwrap().id;
    parent.keep_writing(learner, &dictated(Some(session), "brij")).unwrap();
    parent.name_choice(learner, Choice::Digraph, Some(true)).unwrap();
    let path = fresh("whole").with_extension("soundbead");
    parent.hand_over(learner, &whole(), &path, &go_on).unwrap();
    let change = |member: &str, from: &str, to: &str| {
        let mut members: Vec<(String, Vec<u8>)> = members(&path).into_iter().collect();
        let (_, bytes) = members.iter_mut().find(|(n, _)| n == member).unwrap();
        let text = String::from_utf8(bytes.clone()).unwrap();
        assert!(text.contains(from), "{text}");
        *bytes = text.replacen(from, to, 1).into_bytes();
        pack(&sealed(members, |_| ()), None)
    };
    let many = format!("[\"brij\"{}]", ",\"brij\"".repeat(20));
    let long = format!("\"{}\"", "b".repeat(101));
    let session_text = format!("\"session\":\"{session}\"");
    let no_session = session_text.replace(&session.to_string()[..4], "0000");
    for (from, to, why) in [
        ("\"brij\"", "\"\"", "nothing was written"),
        ("\"brij\"", "\" brij\"", "stray space"),
        ("\"brij\"", "\"br\\u0007ij\"", "cannot be seen"),
        ("\"brij\"", &long, "at most 100"),
        ("[\"brij\"]", "[]", "0 tries"),
        ("[\"brij\"]", &many, "21 tries"),
        ("\"bridge\"", "\"the bridge\"", "space"),
        ("\"bridge\"", "\"Bridge\"", "small letters"),
        ("\"dictation\"", "\"boxes\"", "attempt"),
        ("\"dictation\"", "\"dream\"", "dream"),
        ("\"help\":\"none\"", "\"help\":\"some\"", "some"),
        (&session_text, &no_session, "session"),
    ] {
        set_aside(&change("writing.jsonl", from, to), why);
    }
    set_aside(&change("choices.jsonl", "\"taught\":true", "\"taught\":7"), "line 1");
    set_aside(&change("choices.jsonl", "sh, ch, th, wh, ng, ph", ""), "no name");
    set_aside(&change("choices.jsonl", "\"changed\":1", "\"changed\":9"), "future");
    // A time that a wrong clock showed is put right.
    let late = change("writing.jsonl", "\"kept_at\":1", "\"kept_at\":9");
    let came = consultants().take_in(&late, None, &go_on).unwrap();
    assert_eq!((came.redated, came.aside.len()), (1, 0));
    let without = |name: &str| {
        let mut members: Vec<(String, Vec<u8>)> = members(&path).into_iter().collect();
        members.retain(|(n, _)| n != name);
        members
    };
    for name in ["writing.jsonl", "choices.jsonl"] {
        refused(&pack(&sealed(without(name), |_| ()), None), "is missing");
    }
    // What version 2 does not have may not come in by its name.
    let older = sealed(without("choices.jsonl"), |m| m["version"] = 2.into());
    refused(&pack(&older, None), "no member `writing.jsonl`");
    // A first try that is kept is not overwritten by an archive that says another.
    let fault = parent.take_in(&change("writing.jsonl", "\"brij\"", "\"brije\""), None, &go_on);
    assert!(fault.unwrap_err().to_string().contains("another first try"));
}

fn act(notebook: &mut Notebook, learner: Id, by: Author, deed: &Deed) {
    let attempts = notebook.attempts(learner, &Filter::default(), ALL).unwrap();
    let notes = notebook.notes(learner).unwrap();
    let verdicts = [
        Verdict::Same,
        Verdict::Fewer,
        Verdict::More,
        Verdict::Changed,
        Verdict::Unsure,
    ];
    match deed {
        Deed::Attempt(seed) => {
            let session = notebook.begin_session(learner, &NewSession::default()).unwrap().id;
            let clip = clip(*seed);
            let new = NewAttempt {
                word: "pig",
                sounds: &[Sound::P, Sound::IH],
                clip: Some(&clip),
                ..NewAttempt::default()
            };
            notebook.record(session, &new).unwrap();
        }
        Deed::Undo => {
            let session = notebook.sessions(learner).unwrap().first().map(|s| s.id);
            if let Some(session) = session {
                notebook.undo_last(session).unwrap();
                notebook.end_session(session).unwrap();
            }
        }
        Deed::Rename(name) => drop(notebook.change_learner(learner, name, &Rules::default()).unwrap()),
        Deed::Note(i, text) => {
            let on = attempts
                .get(*i)
                .map_or(NoteSubject::Learner, |a| NoteSubject::Attempt(a.id));
            notebook.add_note(learner, &note(on, by, text)).unwrap();
        }
        Deed::Rewrite(i, text) if *i < notes.len() => {
            notebook
                .change_note(notes[*i].id, &note(NoteSubject::Learner, by, text).body)
                .unwrap();
        }
        Deed::Remove(i) if *i < notes.len() => drop(notebook.remove_note(notes[*i].id).unwrap()),
        Deed::Rule(i, v) if *i < attempts.len() => {
            notebook.rule(attempts[*i].id, ruling(verdicts[*v], by)).unwrap();
        }
        Deed::Letters(i, text) if *i < attempts.len() => {
            notebook
                .edit(attempts[*i].id, |e| e.letters = vec![text.clone()])
                .unwrap();
        }
        other => write(notebook, learner, other),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, max_shrink_iters: 40, ..ProptestConfig::default() })]

    #[test]
    fn whatever_both_sides_do_they_end_equal(
        first in prop::collection::vec(deed(), 0..8),
        here in prop::collection::vec(deed(), 0..8),
        there in prop::collection::vec(deed(), 0..8),
    ) {
        let (mut parent, mut consultant) = (Notebook::open_in(&fresh("p")).unwrap(), consultants());
        let learner = parent.add_learner("Juno", &Rules::default()).unwrap().id;
        first.iter().for_each(|d| act(&mut parent, learner, Author::Parent, d));
        send(&mut parent, learner, &mut consultant);
        prop_assert_eq!(contents(&mut parent, learner), contents(&mut consultant, learner));
        here.iter().for_each(|d| act(&mut parent, learner, Author::Parent, d));
        there.iter().for_each(|d| act(&mut consultant, learner, Author::Consultant, d));
        send(&mut parent, learner, &mut consultant);
        send(&mut consultant, learner, &mut parent);
        prop_assert_eq!(contents(&mut parent, learner), contents(&mut consultant, learner));
        prop_assert!(send(&mut consultant, learner, &mut parent).nothing_new());
        prop_assert!(send(&mut parent, learner, &mut consultant).nothing_new());
    }
}
