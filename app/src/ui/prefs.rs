//! What a family sets once: counting rules, voice, look and text size. Kept as `settings.toml` in the data folder.

use std::fs;
use std::io::ErrorKind;
use std::path::Path;

use serde::{Deserialize, Serialize};
use soundbead_data::Rules;
use soundbead_dsp::formant::VoiceKind;

use crate::notebook::Author;
use crate::sheet::Paper;
use crate::storage::{self, Access};

/// The settings.
#[derive(Clone, Debug, PartialEq)]
pub struct Prefs {
    /// The counting rules in force.
    pub rules: Rules,
    /// Whose voice the charts show and the model sounds have.
    pub voice: VoiceKind,
    /// Light, dark or as the desktop.
    pub look: ThemeChoice,
    /// Size of everything, 1 being the plain size; one of [`TEXT_SIZES`].
    pub text: f32,
    /// The paper that is printed on.
    pub paper: Paper,
    /// Who sits at the window: whose rulings and notes they are.
    pub author: Author,
}

/// Light or dark.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum ThemeChoice {
    /// As the desktop has it.
    #[default]
    System,
    /// Ink on paper.
    Light,
    /// Chalk on slate.
    Dark,
}

/// The text sizes there are, with their names.
pub const TEXT_SIZES: [(&str, f32); 4] = [("Small", 0.9), ("Plain", 1.0), ("Large", 1.2), ("Largest", 1.5)];

impl Default for Prefs {
    fn default() -> Self {
        Prefs {
            rules: Rules::default(),
            voice: VoiceKind::Child,
            look: ThemeChoice::System,
            text: 1.0,
            paper: Paper::default(),
            author: Author::Parent,
        }
    }
}

/// The file's own form: everything may be left out.
#[derive(Default, Serialize, Deserialize)]
#[serde(default)]
struct PrefsFile {
    voice: Option<String>,
    look: ThemeChoice,
    text: Option<f32>,
    paper: Option<String>,
    author: Option<Author>,
    rules: std::collections::BTreeMap<String, String>,
}

const FILE: &str = "settings.toml";

impl Prefs {
    /// Reads the settings in `folder`; the plain ones when there are none yet.
    ///
    /// # Errors
    /// When the file is there but cannot be read; the line says what is wrong. A rule or voice that this version does
    /// not know is left at its plain value.
    pub fn load(folder: &Path) -> Result<Prefs, String> {
        let path = folder.join(FILE);
        let text = match fs::read_to_string(&path) {
            Err(e) if e.kind() == ErrorKind::NotFound => return Ok(Prefs::default()),
            other => other.map_err(|e| format!("{}: cannot be read: {e}", path.display()))?,
        };
        let written: PrefsFile = toml::from_str(&text).map_err(|e| format!("{}: {}", path.display(), e.message()))?;
        let mut prefs = Prefs {
            look: written.look,
            ..Prefs::default()
        };
        prefs.voice = written.voice.and_then(|v| v.parse().ok()).unwrap_or(prefs.voice);
        let nearest = |size: f32| {
            let off = |known: &f32| (known - size).abs();
            TEXT_SIZES
                .map(|(_, s)| s)
                .into_iter()
                .min_by(|a, b| off(a).total_cmp(&off(b)))
        };
        prefs.text = written.text.and_then(nearest).unwrap_or(1.0);
        prefs.paper = written.paper.and_then(|p| p.parse().ok()).unwrap_or(prefs.paper);
        prefs.author = written.author.unwrap_or(prefs.author);
        for (rule, value) in &written.rules {
            // A rule of another version: nothing to set here.
            let _ = prefs.rules.set(rule, value);
        }
        Ok(prefs)
    }

    /// Writes the settings into `folder`, which is made if it is not there. The old file stays whole until the new one is.
    ///
    /// # Errors
    /// When it cannot be written; the line says where and why.
    pub fn save(&self, folder: &Path) -> Result<(), String> {
        let written = PrefsFile {
            voice: Some(self.voice.to_string()),
            look: self.look,
            text: Some(self.text),
            paper: Some(self.paper.to_string()),
            author: Some(self.author),
            rules: self
                .rules
                .iter()
                .map(|(rule, value)| (rule.to_owned(), value.to_owned()))
                .collect(),
        };
        let path = folder.join(FILE);
        let text = toml::to_string(&written).map_err(|e| format!("{}: cannot be written: {e}", path.display()))?;
        let written =
            storage::folder(folder, Access::Usual).and_then(|()| storage::write(&path, text.as_bytes(), Access::Usual));
        written.map_err(storage::cannot_write(&path))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn folder(name: &str) -> std::path::PathBuf {
        let folder = std::env::temp_dir().join(format!("soundbead-prefs-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&folder);
        folder
    }

    #[test]
    fn what_was_set_is_there_again() {
        let folder = folder("again");
        let mut prefs = Prefs {
            voice: VoiceKind::Woman,
            look: ThemeChoice::Dark,
            text: 1.2,
            ..Prefs::default()
        };
        prefs.rules.set("r_vowels", "one").expect("the rule exists");
        assert_eq!(Prefs::load(&folder), Ok(Prefs::default()), "nothing kept yet");
        prefs.save(&folder).expect("a temporary folder can be written");
        assert_eq!(Prefs::load(&folder), Ok(prefs));
        fs::remove_dir_all(&folder).expect("made above");
    }

    #[test]
    fn a_file_that_is_not_settings_is_said_plainly_and_a_strange_rule_is_passed_over() {
        let folder = folder("strange");
        fs::create_dir_all(&folder).expect("a temporary folder can be made");
        fs::write(folder.join(FILE), "look = 7").expect("writable");
        let line = Prefs::load(&folder).expect_err("7 is no look");
        assert!(line.contains("settings.toml") && !line.contains('\n'), "{line}");
        fs::write(
            folder.join(FILE),
            "text = 1.19\n[rules]\nnext_year = \"one\"\nx = \"one\"\n",
        )
        .expect("writable");
        let prefs = Prefs::load(&folder).expect("readable");
        assert_eq!((prefs.text, prefs.rules.x), (1.2, soundbead_data::rule::Counted::One));
        fs::remove_dir_all(&folder).expect("made above");
    }
}
