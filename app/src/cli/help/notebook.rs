//! The pages of the notebook's commands.

pub const LEARNER: &str = r#"soundbead learner [list] [--json]
soundbead learner add NAME [--rule NAME=VALUE ...] [--rules SET]
soundbead learner rename NAME NEW
soundbead learner erase NAME --yes NAME

The children in the notebook, and the counting rules that each is taught.

  --rule, --rules   the learner's counting rules (see `soundbead rules`)
  --yes NAME        the name once more: without it nothing is erased
  --json            one JSON object a line

Erasing removes every attempt, note, draft and recording of the learner from this
computer's notebook, and clears what the database would keep of them. It cannot be
undone. Hand-overs and reports that you made elsewhere are not touched.
Where two learners have one name, give the beginning of the id that the list shows.
The notebook lies in SOUNDBEAD_HOME, or where your system keeps programs' data."#;

pub const ATTEMPTS: &str = r#"soundbead attempts LEARNER [--word WORD] [--sounds SOUND] [--verdict VERDICT]
                [--speaking HOW] [--disagree] [--from DAY] [--to DAY]
                [--length N] [--json]

What a learner said, the latest first.

  --word WORD       this word
  --sounds SOUND    words that have this sound, in ARPAbet
  --verdict V       what the program found: same, fewer, more, changed or unsure
  --disagree        where a person ruled otherwise than the program
  --from, --to DAY  from and to these days: 2026-11-25
  --length N        at most N of them; 50 when not given
  --json            one JSON object a line, with the recording's path"#;

pub const NOTE: &str = r#"soundbead note LEARNER [--word WORD | --sounds SOUND | --attempt ID] [--json]
soundbead note LEARNER TEXT [--word WORD | --sounds SOUND | --attempt ID]
                [--by parent|consultant]

Reads the notes on a learner, or writes one: on a word, a sound, one attempt, or
the learner. Write what you saw and heard; what it means is for those who are
trained to say so.

  --by WHO          who writes; the parent when not given
  --attempt ID      as `soundbead attempts --json` shows it"#;

pub const PROGRESS: &str = r#"soundbead progress LEARNER [--from DAY] [--to DAY] [--json]

How often the child's count was the expected one: in all, week by week, by the
length of the word, the way of speaking, by cluster and by sound; which miscounts
are a pattern; and what to practise next, with a chain for it.

  --from, --to DAY  from and to these days: 2026-11-25
  --json            one JSON object with every figure

Beside each share stands where the true one may lie (95 %, Wilson 1927). A cause,
such as counting letters, is called a pattern only when counts that would follow
from it are surely more frequent at words that it touches than misses to the same
side are at words that nothing of the kind touches; and only from 12 attempts at
5 different words on."#;

pub const REPORT: &str = r#"soundbead report LEARNER --out FILE.pdf|FILE.html [--from DAY] [--to DAY]
                [--paper letter|a4] [--force]

A few pages for the parent, the consultant, and whoever they choose to show them
to: what was said and counted, the patterns, what to practise next, counts over
time, sounds heard against sounds expected, vowels where they were measured, the
notes, the counting rules, and how far to trust it.

  --out FILE        .pdf, or .html, one file that needs nothing else
  --from, --to DAY  from and to these days: 2026-11-25
  --paper SIZE      letter (when nothing is given) or a4
  --force           replace a file that is there; without it none is touched

The file is yours: erasing the learner from the notebook does not remove it. It is
a record about a child; there may be rules on who may keep and see it."#;

pub const HANDOVER: &str = r#"soundbead handover export LEARNER --out FILE.soundbead [--recordings]
                [--from DAY] [--to DAY] [--passphrase FILE] [--force] [--json]
soundbead handover import FILE.soundbead [--passphrase FILE] [--json]

Hands a learner over to another notebook, such as the consultant's, and back. What
comes in is merged: nothing is doubled, notes and rulings are added, of two changes
to one thing the later stands and the other is kept. Both sides end equal.

  --recordings      the recordings too
  --from, --to DAY  from and to these days: 2026-11-25
  --passphrase FILE lock or unlock it by the passphrase in FILE, or on standard
                    input where FILE is -
  --force           put the new file in the place of one that is there
  --json            what was written or came in, as one JSON object

An archive that was changed, cut short, or is not this program's is refused whole.
Its format is described in app/src/notebook/FORMAT.md. Ask your local rules on
records of children before you send one."#;

pub const EXPORT: &str = r#"soundbead export csv|json LEARNER --out FILE [--from DAY] [--to DAY] [--force]

Writes a learner's attempts for other programs.

  csv               RFC 4180, UTF-8, one attempt a line: id, day, at (UTC), word,
                    sounds, before, speaking, rules, model, expected, child, heard,
                    verdict, sure, ruling, ruled_by, ruled_sounds, letters,
                    pointed_right, recording (the SHA-256 that names its file).
                    Text that begins as a formula does gets an apostrophe before it
  json              one object: learner, attempts, notes, vowels, with every field
                    as FORMAT.md describes it
  --from, --to DAY  from and to these days: 2026-11-25
  --force           put the new file in the place of one that is there"#;
