//! `soundbead batch`: many recordings, answered in the order of the list.

use std::collections::VecDeque;
use std::fs::File;
use std::io::{self, BufReader, IsTerminal, Write};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use std::sync::{Mutex, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

use soundbead_dsp::ear::Ear;

use super::args::{Common, Given, Next};
use crate::ask::{self, Reply, Setting};
use crate::clips::Clips;
use crate::fault::Fault;
use crate::manifest::{Line, Lines};
use crate::page::Page;
use crate::store;

/// Most threads that may be asked for.
const MOST_JOBS: usize = 256;
/// Lines under way for each thread: enough that none waits while an earlier, slower one is still out.
const AHEAD: usize = 4;

/// Reads the options, then answers line by line.
pub fn run(mut given: Given, page: &mut Page) -> Result<(), Fault> {
    let (mut common, mut manifest, mut jobs) = (Common::default(), None, None);
    while let Some(arg) = given.next()? {
        match arg {
            Next::Flag("jobs") => jobs = Some(given.text()?),
            Next::Flag(flag) if common.take_spoken(flag, &mut given)? => {}
            Next::Flag(flag) => return Err(given.strange(flag)),
            Next::Value(path) if manifest.is_none() => manifest = Some(PathBuf::from(path)),
            Next::Value(more) => return Err(given.too_many(&more)),
        }
    }
    let manifest = manifest.ok_or_else(|| given.missing("the manifest, a file with one JSON object a line,"))?;
    let jobs = threads(jobs.as_deref())?;
    let setting = Setting {
        rules: common.rules()?,
        speaking: common.speaking()?,
        overrides: store::overrides()?,
        folder: manifest.parent().unwrap_or(Path::new("")).to_owned(),
        clips: Clips::default(),
    };
    answer_all(open(&manifest)?, &manifest, &setting, jobs, page)
}

fn threads(text: Option<&str>) -> Result<usize, Fault> {
    let Some(text) = text else {
        return Ok(thread::available_parallelism().map_or(1, |n| n.get()));
    };
    let wanted = format!("--jobs: found `{text}`, wanted a number of threads from 1 to {MOST_JOBS}");
    text.parse()
        .ok()
        .filter(|n| (1..=MOST_JOBS).contains(n))
        .ok_or_else(|| Fault::input(wanted))
}

fn open(path: &Path) -> Result<BufReader<File>, Fault> {
    let fault = |what: &dyn std::fmt::Display| Fault::input(format_args!("{}: {what}", path.display()));
    let file = File::open(path).map_err(|e| match e.kind() {
        io::ErrorKind::NotFound => fault(&"there is no such manifest; check the name and the folder"),
        _ => fault(&format_args!(
            "the manifest cannot be opened: {e}; check that it may be read"
        )),
    })?;
    if file.metadata().is_ok_and(|m| m.is_dir()) {
        return Err(fault(
            &"this is a folder, wanted a manifest file with one JSON object a line",
        ));
    }
    Ok(BufReader::new(file))
}

/// A line and where its reply goes.
type Job = (Line, SyncSender<Reply>);

/// Lines go to whichever thread is free; replies are taken in the order of the lines. At most
/// `AHEAD` lines a thread are under way, so memory does not grow with the manifest.
fn answer_all(
    source: BufReader<File>,
    name: &Path,
    setting: &Setting,
    jobs: usize,
    page: &mut Page,
) -> Result<(), Fault> {
    let ears = (0..jobs).map(|_| ask::ear()).collect::<Result<Vec<_>, _>>()?;
    let (sender, receiver) = sync_channel::<Job>(jobs * AHEAD);
    let receiver = Mutex::new(receiver);
    thread::scope(|scope| {
        for ear in ears {
            scope.spawn(|| work(ear, setting, &receiver));
        }
        // Moved in, so that it is dropped, and the threads end, however this closure ends.
        let sender = sender;
        let mut waiting = VecDeque::new();
        let mut lines = Lines::new(source);
        let mut progress = Progress::new();
        while let Some(line) = lines
            .next()
            .map_err(|e| Fault::input(format_args!("{}: {e}", name.display())))?
        {
            let (reply, inbox) = sync_channel(1);
            match line {
                Ok(line) => sender
                    .send((line, reply))
                    .map_err(|_| Fault::internal("every worker has stopped"))?,
                Err(bad) => reply
                    .send(Reply::Error {
                        id: bad.id,
                        error: bad.error,
                    })
                    .expect("the inbox is here"),
            }
            waiting.push_back(inbox);
            if waiting.len() >= jobs * AHEAD {
                take(&mut waiting, page, &mut progress)?;
            }
        }
        while !waiting.is_empty() {
            take(&mut waiting, page, &mut progress)?;
        }
        progress.finish(name);
        Ok(())
    })
}

/// Writes the reply that is next in order, once it is there.
fn take(waiting: &mut VecDeque<Receiver<Reply>>, page: &mut Page, progress: &mut Progress) -> Result<(), Fault> {
    let Some(inbox) = waiting.pop_front() else {
        return Ok(());
    };
    let reply = inbox
        .recv()
        .map_err(|_| Fault::internal("a worker stopped before its reply"))?;
    progress.count(matches!(reply, Reply::Error { .. }));
    page.json(&reply)?;
    Ok(page.flush()?)
}

fn work(mut ear: Ear, setting: &Setting, jobs: &Mutex<Receiver<Job>>) {
    loop {
        let next = jobs.lock().unwrap_or_else(PoisonError::into_inner).recv();
        let Ok((line, reply)) = next else { return };
        // A fault of the program on one line must not take the answers to the others with it.
        let made = catch_unwind(AssertUnwindSafe(|| ask::reply(&mut ear, setting, &line)));
        let whole = made.is_ok();
        let made = made.unwrap_or_else(|_| Reply::Error {
            error: format!(
                "line {}: the program itself failed on this line; please report it",
                line.number
            ),
            id: line.id,
        });
        // The main thread may have stopped listening (a closed pipe): the reply is then of no use to anyone.
        let _ = reply.send(made);
        if !whole {
            // What the failure left in the ear's working space is not to be relied on.
            let Ok(fresh) = ask::ear() else { return };
            ear = fresh;
        }
    }
}

/// How far the run is, on standard error when that is a terminal.
struct Progress {
    done: usize,
    bad: usize,
    shown: Option<Instant>,
    terminal: bool,
}

impl Progress {
    fn new() -> Progress {
        Progress {
            done: 0,
            bad: 0,
            shown: None,
            terminal: io::stderr().is_terminal(),
        }
    }

    fn count(&mut self, bad: bool) {
        self.done += 1;
        self.bad += usize::from(bad);
        let due = self.shown.is_none_or(|t| t.elapsed() > Duration::from_millis(200));
        if self.terminal && due {
            self.shown = Some(Instant::now());
            // Progress that cannot be shown is no reason to stop.
            let _ = write!(io::stderr(), "\r{} done", self.done);
        }
    }

    fn finish(&self, name: &Path) {
        if self.terminal {
            let _ = write!(io::stderr(), "\r");
        }
        if self.bad > 0 || self.terminal {
            let bad = self.bad;
            let _ = writeln!(
                io::stderr(),
                "soundbead: {}: {} lines answered, {bad} of them with an error",
                name.display(),
                self.done
            );
        }
    }
}
