//! A watched folder: whatever a card reader (or a person) puts there is brought into the record.
//!
//! The folder is looked at every [`EVERY_S`] seconds; no notices of the operating system, since cards, network drives
//! and the readers' own drivers do not all send them. A file is read once its size and time have stood still for
//! [`STILL`] looks, so that nothing is read while it is being copied. Nothing is moved, changed or deleted.

mod folder;

use folder::{Mark, files, read};
use school::import::{Given, LARGEST_BYTES, Via};
use school::{Actor, School, SchoolError};
use std::collections::{BTreeMap, HashMap};
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// How often the folder is looked at, s.
pub const EVERY_S: u64 = 2;
/// Looks over which a file must stand still before it is read.
pub const STILL: u32 = 2;
/// Longest pause between two tries of a file that could not be read or kept, in looks (five minutes).
const LONGEST_PAUSE: u32 = 150;
/// Failed tries after which it is told among the arrivals: some fifteen seconds.
const TOLD_AFTER: u32 = 2;

/// Watches until its task is ended. Trouble is told in the log and, where it concerns a file, among the arrivals.
pub async fn watch(school: School, folder: PathBuf, by: Actor) {
    let mut watcher = Watcher::new(school, folder, by);
    loop {
        watcher.look().await;
        tokio::time::sleep(Duration::from_secs(EVERY_S)).await;
    }
}

/// What was seen of a folder.
pub struct Watcher {
    school: School,
    folder: PathBuf,
    by: Actor,
    /// Files that are done with, as they were then. They stay when the card is pulled out.
    done: HashMap<PathBuf, Mark>,
    /// Files that are waited for.
    waiting: BTreeMap<PathBuf, Waiting>,
    /// What the last look at the folder met with: it is told once, not every two seconds.
    trouble: Option<String>,
}

/// A file that is waited for.
struct Waiting {
    mark: Mark,
    /// Looks since it last changed.
    still: u32,
    /// Tries that failed.
    failed: u32,
    /// Looks until the next try.
    pause: u32,
}

/// What one look gave.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Looked {
    /// Files that were brought in.
    pub brought: u32,
    /// Files whose bytes were in the record already.
    pub known: u32,
    /// Files that will be tried again.
    pub failed: u32,
    /// Files that are refused for good.
    pub refused: u32,
    /// Files that have not stood still yet, or wait for another try.
    pub waiting: u32,
    /// The folder could not be read: the card is out.
    pub away: bool,
}

/// What became of one file.
enum Fate {
    Brought,
    Known,
    Refused(String),
    /// It cannot be read or kept now.
    Later(String),
    /// It changed while it was read.
    Changed,
}

impl Watcher {
    /// Begins to watch `folder` in the name of `by`.
    #[must_use]
    pub fn new(school: School, folder: PathBuf, by: Actor) -> Watcher {
        Watcher {
            school,
            folder,
            by,
            done: HashMap::new(),
            waiting: BTreeMap::new(),
            trouble: None,
        }
    }

    /// Looks once, and brings in what has stood still.
    pub async fn look(&mut self) -> Looked {
        let mut looked = Looked::default();
        match files(&self.folder).await {
            Ok(there) => {
                self.say(there.trouble);
                self.note(there.files);
            }
            Err(error) => {
                looked.away = true;
                let words = match error.kind() {
                    ErrorKind::NotFound => "it is not there".to_owned(),
                    _ => error.to_string(),
                };
                // A file that was half-copied when the card was pulled out begins anew.
                self.waiting.clear();
                self.say(Some(words));
            }
        }
        for path in self.due() {
            let fate = self.bring(&path).await;
            self.settle(path, fate, &mut looked).await;
        }
        looked.waiting = u32::try_from(self.waiting.len()).unwrap_or(u32::MAX);
        looked
    }

    /// Tells what is wrong with the folder, when that has changed.
    fn say(&mut self, trouble: Option<String>) {
        if self.trouble == trouble {
            return;
        }
        let folder = self.folder.display();
        match &trouble {
            Some(words) => {
                tracing::warn!(%folder, "watched folder: {words}; it is looked at again by itself")
            }
            None => tracing::info!(%folder, "the watched folder is there again"),
        }
        self.trouble = trouble;
    }

    /// Compares what is there with what was seen.
    fn note(&mut self, there: Vec<(PathBuf, Mark)>) {
        let mut before = std::mem::take(&mut self.waiting);
        for (path, mark) in there {
            // An empty file is one that has been begun.
            if mark.bytes == 0 || self.done.get(&path) == Some(&mark) {
                continue;
            }
            let waiting = match before.remove(&path) {
                Some(known) if known.mark == mark => Waiting {
                    still: known.still.saturating_add(1),
                    pause: known.pause.saturating_sub(1),
                    ..known
                },
                _ => Waiting {
                    mark,
                    still: 0,
                    failed: 0,
                    pause: 0,
                },
            };
            self.waiting.insert(path, waiting);
        }
    }

    fn due(&self) -> Vec<PathBuf> {
        let due = self
            .waiting
            .iter()
            .filter(|(_, file)| file.still >= STILL && file.pause == 0);
        due.map(|(path, _)| path.clone()).collect()
    }

    async fn bring(&self, path: &Path) -> Fate {
        let Some(file) = self.waiting.get(path) else {
            return Fate::Changed;
        };
        if file.mark.bytes > LARGEST_BYTES as u64 {
            let most = LARGEST_BYTES >> 20;
            return Fate::Refused(format!(
                "it is larger than {most} MB; pack it with gzip, or export the flights one by one"
            ));
        }
        let bytes = match read(path, file.mark).await {
            Ok(Some(bytes)) => bytes,
            Ok(None) => return Fate::Changed,
            Err(error) => return Fate::Later(error.to_string()),
        };
        let by = match self.still_teaches().await {
            Ok(by) => by,
            Err(words) => return Fate::Later(words),
        };
        let sha256 = bytes.sha256;
        if self.school.recording(&by, &sha256).await.is_ok() {
            return Fate::Known;
        }
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let given = Given::default();
        match self
            .school
            .import(&by, &name, bytes.bytes, Via::Folder, &given)
            .await
        {
            Ok(imported) if imported.known => Fate::Known,
            Ok(imported) => {
                let lessons = imported.lessons.len();
                tracing::info!(file = %path.display(), lessons, "brought in from the watched folder");
                if let (0, Some(note)) = (lessons, imported.recording.reading.notes.first()) {
                    tracing::warn!(file = %path.display(), "kept, but no lesson: {}", note.what);
                }
                Fate::Brought
            }
            Err(SchoolError::Invalid { message, .. }) => Fate::Refused(message),
            Err(error) => Fate::Later(error.for_log()),
        }
    }

    /// The person in whose name files come in, as they are now: nothing comes in the name of who has left.
    async fn still_teaches(&self) -> Result<Actor, String> {
        let people = self
            .school
            .people()
            .await
            .map_err(|error| error.for_log())?;
        let person = people.iter().find(|person| person.id == self.by.id);
        person
            .filter(|person| person.active && person.role.teaches())
            .map(Actor::from)
            .ok_or_else(|| {
                format!(
                    "{} brings no flights in any more; name another with --watch-as",
                    self.by.name
                )
            })
    }

    async fn settle(&mut self, path: PathBuf, fate: Fate, looked: &mut Looked) {
        let Some(mut file) = self.waiting.remove(&path) else {
            return;
        };
        match fate {
            Fate::Brought => looked.brought += 1,
            Fate::Known => looked.known += 1,
            Fate::Refused(words) => {
                looked.refused += 1;
                self.tell(&path, file.mark.bytes, &words, false).await;
            }
            Fate::Changed => {
                file.still = 0;
                self.waiting.insert(path, file);
                return;
            }
            Fate::Later(words) => {
                looked.failed += 1;
                file.pause = 1u32
                    .checked_shl(file.failed)
                    .unwrap_or(LONGEST_PAUSE)
                    .min(LONGEST_PAUSE);
                // Once it is told among the arrivals that a file does not come in; a try that fails for a moment is not.
                if file.failed == TOLD_AFTER {
                    self.tell(&path, file.mark.bytes, &words, true).await;
                } else {
                    tracing::warn!(file = %path.display(), "not brought in yet: {words}");
                }
                file.failed = file.failed.saturating_add(1);
                self.waiting.insert(path, file);
                return;
            }
        }
        self.done.insert(path, file.mark);
    }

    /// Tells that a file does not come in, in the log and among the arrivals.
    async fn tell(&self, path: &Path, bytes: u64, words: &str, again: bool) {
        tracing::error!(file = %path.display(), "not brought in: {words}");
        let name = path.file_name().unwrap_or_default().to_string_lossy();
        let refused = school::refused::Refusal {
            name: &name,
            bytes,
            why: words,
            tried_again: again,
        };
        if let Err(error) = self.school.tell_refused(&self.by, &refused).await {
            tracing::error!(file = %path.display(), "and that could not be written down: {}", error.for_log());
        }
    }
}
