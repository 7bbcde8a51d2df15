//! `soundbead batch`: many recordings, answered in the order of the list.

use std::fs::File;
use std::io::{self, BufRead, BufReader, IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread;
use std::time::{Duration, Instant};

use clap::Args;

use super::{options, values};
use crate::ask::ear::SteadyEar;
use crate::ask::line::{self, Reply, Setting};
use crate::clips::Clips;
use crate::fault::{Fault, Unusable, one_line, unusable};
use crate::manifest::{Lines, ManifestLine};
use crate::page::OutputPage;
use crate::say::many;
use crate::store;

/// Most threads that may be asked for.
const MOST_JOBS: usize = 256;
/// Lines under way for each thread: enough that none waits while an earlier, slower one is still out.
const AHEAD: usize = 4;

#[derive(Args)]
#[command(after_help = MORE)]
pub struct BatchArgs {
    /// The manifest, a file with one JSON object a line; - reads the lines from standard input
    manifest: PathBuf,
    /// At most N threads; as many as there are processor cores when not given, and never more
    #[arg(long, value_name = "N", value_parser = values::number("a number of threads", 1..=MOST_JOBS))]
    jobs: Option<usize>,
    #[command(flatten)]
    spoken: options::SpeakingArgs,
    #[command(flatten)]
    counting: options::CountingArgs,
    /// The form of the answers; it is the only one, so it may be left out
    #[arg(long)]
    json: bool,
}

const MORE: &str = r#"Answers many questions, one JSON object a line, in the order of the manifest,
each as soon as it is there. With - for MANIFEST the lines come from standard
input and paths start at the working folder; memory stays the same however many
lines there are.

A manifest line:
  {"id": "a1", "audio": "pig.wav", "start_s": 0.0, "end_s": 1.2, "word": "pig",
   "sounds": ["P","IH","G"], "speaking": "whole", "rules": {"r_vowels": "one"}}
Only id and audio must be there. Paths start at the manifest's folder. start_s
and end_s cut a word out of a long file, which is decoded once; each end is
moved out to where the speech falls quiet, if that is near. Times in the answer
are seconds from the start of the file. With no word and no sounds the count is
blind. --speaking and the rules are for lines that do not say. The answer is
that of `soundbead count`.
  {"id": "a2", "audio": "pig.wav", "words": ["pig", "peg"]}
  {"id": "a3", "audio": "pig.wav", "choices": [["P","IH","G"], ["P","EH","G"]]}
ask which was said: {"id": "a2", "best": 0, "probabilities": [0.97, 0.03]}.
A line that cannot be used is answered {"id": ..., "error": "line 4, ..."} and
the rest go on. Fields of your own are passed over.

For example:
  $ soundbead batch recordings-demo/manifest.jsonl --json
  {"id":"01-goat","word":"goat","speaking":"whole","expected":3,...
  ..."#;

impl BatchArgs {
    /// Answers line by line.
    ///
    /// # Errors
    /// One line for what was asked and cannot be done, or when nothing can be written to standard output.
    pub fn run(self, page: &mut OutputPage) -> Result<(), Fault> {
        let setting = Setting {
            rules: self.counting.rules()?,
            speaking: self.spoken.speaking(),
            overrides: store::overrides()?,
            folder: self.manifest.parent().unwrap_or(Path::new("")).to_owned(),
            clips: Clips::default(),
        };
        // Each thread has an ear and a recording in hand, and keeps a core busy: more threads than cores would cost
        // memory and save no time.
        let cores = thread::available_parallelism().map_or(1, |n| n.get());
        let jobs = self.jobs.unwrap_or(cores).min(cores);
        let source: Box<dyn BufRead + Send> = match self.manifest.as_os_str() == "-" {
            true => Box::new(BufReader::new(io::stdin())),
            false => Box::new(open(&self.manifest)?),
        };
        answer_all(source, &self.manifest, setting, jobs, page)
    }
}

fn open(path: &Path) -> Result<BufReader<File>, Fault> {
    let fault = |what: &str| Fault::input(format_args!("{}: {what}", path.display()));
    let file = File::open(path).map_err(|e| match e.kind() {
        io::ErrorKind::NotFound => fault("there is no such manifest; check the name and the folder"),
        _ => unusable(path, "the manifest cannot be opened", &e),
    })?;
    if file.metadata().is_ok_and(|m| m.is_dir()) {
        return Err(fault(
            "this is a folder, wanted a manifest file with one JSON object a line",
        ));
    }
    Ok(BufReader::new(file))
}

/// A line and where its reply goes.
type Job = (ManifestLine, SyncSender<Reply>);

/// What comes of the next line: where its reply will be, or why no more lines can be read.
type NextReply = Result<Receiver<Reply>, String>;

/// One thread reads lines; the others answer them, whichever is free; replies are written here in the order of the lines,
/// each as soon as it is there. At most `AHEAD` lines a thread are under way, so memory does not grow with the manifest.
///
/// The threads are not waited for: when whoever reads our answers has gone, the reading thread may still be waiting for
/// a line that never comes.
fn answer_all(
    source: Box<dyn BufRead + Send>,
    name: &Path,
    setting: Setting,
    jobs: usize,
    page: &mut OutputPage,
) -> Result<(), Fault> {
    let ears = (0..jobs).map(|_| SteadyEar::loaded()).collect::<Result<Vec<_>, _>>()?;
    let (to_workers, for_workers) = sync_channel::<Job>(jobs * AHEAD);
    let (announce, coming) = sync_channel::<NextReply>(jobs * AHEAD);
    let shared = Arc::new((setting, Mutex::new(for_workers)));
    for ear in ears {
        let shared = shared.clone();
        thread::spawn(move || work(ear, &shared.0, &shared.1));
    }
    thread::spawn(move || read(source, &to_workers, &announce));
    let mut progress = BatchProgress::new();
    for inbox in coming {
        let inbox = inbox.map_err(|why| Fault::input(format_args!("{}: {why}", name.display())))?;
        let reply = inbox
            .recv()
            .map_err(|_| Fault::internal("a worker stopped before its reply"))?;
        progress.count(matches!(reply, Reply::Error(_)));
        page.json(&reply)?;
        page.flush()?;
    }
    progress.finish(name);
    Ok(())
}

/// Reads lines until there are no more, or nobody wants them.
fn read(source: Box<dyn BufRead + Send>, workers: &SyncSender<Job>, announce: &SyncSender<NextReply>) {
    let mut lines = Lines::new(source);
    loop {
        let line = match lines.next() {
            Ok(None) => return,
            Ok(Some(line)) => line,
            Err(why) => {
                let _ = announce.send(Err(why));
                return;
            }
        };
        let (reply, inbox) = sync_channel(1);
        if announce.send(Ok(inbox)).is_err() {
            return;
        }
        let sent = match line {
            Ok(line) => workers.send((line, reply)).is_ok(),
            Err(bad) => reply.send(Reply::Error(bad)).is_ok(),
        };
        if !sent {
            return;
        }
    }
}

fn work(mut ear: SteadyEar, setting: &Setting, jobs: &Mutex<Receiver<Job>>) {
    loop {
        let next = jobs.lock().unwrap_or_else(PoisonError::into_inner).recv();
        let Ok((line, reply)) = next else { return };
        // A fault of the program on one line must not take the answers to the others with it.
        let made = ear.ask(|ear| line::reply(ear, setting, &line));
        let made = made.unwrap_or_else(|_| {
            let error = format!(
                "line {}: the program itself failed on this line; please report it",
                line.number
            );
            Reply::Error(Unusable { id: line.id, error })
        });
        // The main thread may have stopped listening (a closed pipe): the reply is then of no use to anyone.
        let _ = reply.send(made);
    }
}

/// How far the run is, on standard error when that is a terminal.
struct BatchProgress {
    done: usize,
    bad: usize,
    shown: Option<Instant>,
    terminal: bool,
}

impl BatchProgress {
    fn new() -> BatchProgress {
        BatchProgress {
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
                "soundbead: {}: {} answered, {bad} of them with an error",
                one_line(&name.display().to_string()),
                many(self.done, "line")
            );
        }
    }
}
