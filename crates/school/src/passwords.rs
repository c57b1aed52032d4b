//! Passwords: kept as argon2id, checked with bounded memory.
//!
//! Sources: RFC 9106 (Argon2); OWASP Password Storage Cheat Sheet (argon2id with m = 19 MiB, t = 2, p = 1); NIST
//! SP 800-63B section 5.1.1.2 (length instead of composition rules, Unicode normalized, known passwords refused).

use crate::error::{Result, SchoolError};
use crate::secret::new_secret;
use argon2::password_hash::phc::PasswordHash;
use argon2::password_hash::{PasswordHasher, PasswordVerifier};
use argon2::{Algorithm, Argon2, Params, Version};
use std::sync::Arc;
use tokio::sync::{OnceCell, OwnedSemaphorePermit, Semaphore};
use unicode_normalization::UnicodeNormalization;

/// Fewest characters. NIST SP 800-63B asks for 8; we ask for more, since the record is meant to be believed.
pub const SHORTEST: usize = 12;
/// Most characters: beyond this the work to normalize is a way to tire the machine (NIST asks to allow 64).
pub const LONGEST: usize = 256;
/// Memory, KiB (OWASP: 19 MiB).
const MEMORY_KIB: u32 = 19 * 1024;
/// Passes (OWASP: 2).
const PASSES: u32 = 2;
/// Lanes (OWASP: 1).
const LANES: u32 = 1;
/// Hashes worked at once: two cores, 38 MiB.
const AT_ONCE: usize = 2;
/// Hashes waiting for their turn; more are turned away rather than kept waiting for seconds.
const WAITING: usize = 64;

/// What a check of a password gave.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Checked {
    /// Not the password (or nobody has that login).
    Wrong,
    /// The password.
    Right,
    /// The password, kept with parameters that are no longer ours: hash it anew.
    RightButOld,
}

/// Hashes and checks passwords.
#[derive(Debug)]
pub struct Passwords {
    turns: Arc<Semaphore>,
    queue: Arc<Semaphore>,
    /// Hash of a password that nobody has: checked for logins that nobody has, so that these take as long. Made at the
    /// first check, whoever asks.
    nobody: OnceCell<String>,
}

impl Passwords {
    /// Makes ready.
    pub(crate) fn new() -> Passwords {
        Passwords {
            turns: Arc::new(Semaphore::new(AT_ONCE)),
            queue: Arc::new(Semaphore::new(WAITING)),
            nobody: OnceCell::new(),
        }
    }

    /// The text to keep of a password.
    pub(crate) async fn hash(&self, password: &str) -> Result<String> {
        let password = normalized(password);
        self.work(move || {
            let mut salt = [0u8; 16];
            getrandom::fill(&mut salt).map_err(|error| SchoolError::store("make a salt", error))?;
            let hash: PasswordHash = ours()?
                .hash_password_with_salt(password.as_bytes(), &salt)
                .map_err(|error| SchoolError::store("keep the password", error.to_string()))?;
            Ok(hash.to_string())
        })
        .await
    }

    /// Checks a password against what is kept; with `None` does the same work and says `Wrong`.
    pub(crate) async fn check(&self, password: &str, kept: Option<&str>) -> Result<Checked> {
        let password = normalized(password);
        let somebody = kept.is_some();
        let nobody = self
            .nobody
            .get_or_try_init(async || self.hash(&new_secret()?).await)
            .await?;
        let kept = kept.unwrap_or(nobody).to_owned();
        self.work(move || {
            let unreadable = |error: argon2::password_hash::Error| {
                SchoolError::store("check the password", error.to_string())
            };
            let hash = PasswordHash::new(&kept)
                .map_err(|error| SchoolError::store("check the password", error.to_string()))?;
            match ours()?.verify_password(password.as_bytes(), &hash) {
                Ok(()) if somebody && is_current(&hash) => Ok(Checked::Right),
                Ok(()) if somebody => Ok(Checked::RightButOld),
                Ok(()) | Err(argon2::password_hash::Error::PasswordInvalid) => Ok(Checked::Wrong),
                Err(error) => Err(unreadable(error)),
            }
        })
        .await
    }

    /// Does the work on a thread of its own when its turn comes.
    async fn work<T: Send + 'static>(
        &self,
        work: impl FnOnce() -> Result<T> + Send + 'static,
    ) -> Result<T> {
        let _place: OwnedSemaphorePermit =
            Arc::clone(&self.queue).try_acquire_owned().map_err(|_| {
                SchoolError::conflict(
                    "Too many people sign in at this moment.",
                    "Try again in a few seconds.",
                )
            })?;
        let turn = Arc::clone(&self.turns)
            .acquire_owned()
            .await
            .map_err(|error| SchoolError::store("check the password", error))?;
        // The turn goes with the work: a request that is given up does not let another one in meanwhile.
        let done = tokio::task::spawn_blocking(move || {
            let _turn = turn;
            work()
        });
        done.await
            .map_err(|error| SchoolError::store("check the password", error))?
    }
}

/// Whether a password may be taken; `about` are words that are easily guessed for this person (login, name, school).
pub(crate) fn check_new(password: &str, about: &[&str]) -> Result<()> {
    let refuse = |message: &str, hint: &str| Err(SchoolError::invalid("password", message, hint));
    let length = normalized(password).chars().count();
    if length < SHORTEST {
        return refuse(
            "The password is shorter than 12 characters.",
            "Take a few words that you can remember; spaces are welcome.",
        );
    }
    if length > LONGEST {
        return refuse(
            "The password is longer than 256 characters.",
            "Take a shorter one.",
        );
    }
    let plain = bare(password);
    let guessed = about
        .iter()
        .map(|word| bare(word))
        .any(|word| word.len() >= 4 && plain.contains(&word) && plain.len() < word.len() + 4);
    if guessed || plain.is_empty() || COMMON.contains(&plain.as_str()) || is_a_row(password) {
        return refuse(
            "This password is among the first that others would try.",
            "Take a few words that do not belong together.",
        );
    }
    Ok(())
}

/// Letters only, lower case: what is left of `Password-2026!` is `password`.
fn bare(text: &str) -> String {
    text.chars()
        .filter(|c| c.is_alphabetic())
        .flat_map(char::to_lowercase)
        .collect()
}

/// Repetitions and rows: `aaaaaaaaaaaa`, `123412341234`, `abcdefghijkl`.
fn is_a_row(password: &str) -> bool {
    let letters: Vec<char> = password.to_lowercase().chars().collect();
    let repeats = (1..=4).any(|period| {
        letters
            .iter()
            .zip(letters.iter().skip(period))
            .all(|(a, b)| a == b)
    });
    let steps: Vec<i64> = letters
        .iter()
        .zip(letters.iter().skip(1))
        .map(|(a, b)| i64::from(u32::from(*b)) - i64::from(u32::from(*a)))
        .collect();
    repeats || steps.iter().filter(|step| step.abs() <= 1).count() + 2 >= letters.len()
}

/// What is left, letters only, of passwords that others try first (from memory; common practice, no source).
const COMMON: &[&str] = &[
    "password",
    "passwordpassword",
    "passwort",
    "passphrase",
    "motdepasse",
    "contrasena",
    "qwerty",
    "qwertyuiop",
    "qwertyqwerty",
    "qwertyuiopasdfghjkl",
    "asdfghjkl",
    "asdfghjklqwertyuiop",
    "zxcvbnm",
    "qwertz",
    "qwertzuiop",
    "azerty",
    "azertyuiop",
    "qazwsx",
    "qazwsxedc",
    "qwe",
    "abc",
    "abcabc",
    "letmein",
    "letmeinletmein",
    "letmeinplease",
    "iloveyou",
    "iloveyouiloveyou",
    "welcome",
    "welcomewelcome",
    "welcometo",
    "admin",
    "adminadmin",
    "administrator",
    "changeme",
    "changemenow",
    "pleasechangeme",
    "secret",
    "topsecret",
    "supersecret",
    "default",
    "trustno",
    "trustnoone",
    "monkey",
    "dragon",
    "football",
    "baseball",
    "sunshine",
    "princess",
    "superman",
    "batman",
    "starwars",
    "whatever",
    "nothing",
    "password is password",
    "mypassword",
    "thisismypassword",
    "thepassword",
    "newpassword",
    "temppassword",
    "testpassword",
    "passwordtest",
    "testtest",
    "testtesttest",
    "guestguest",
    "computer",
    "internet",
    "correcthorsebatterystaple",
    "proofwing",
    "proofwingproofwing",
    "flightschool",
    "flyingschool",
    "flightinstructor",
    "chiefinstructor",
    "instructor",
    "student",
    "aviation",
    "airplane",
    "pilotpilot",
    "ilovetofly",
    "iloveflying",
];

/// NIST SP 800-63B: normalize, so that the same password typed on another keyboard is the same bytes.
fn normalized(password: &str) -> String {
    password.chars().take(LONGEST + 1).nfkc().collect()
}

fn ours() -> Result<Argon2<'static>> {
    let params = Params::new(MEMORY_KIB, PASSES, LANES, None)
        .map_err(|error| SchoolError::store("keep the password", error.to_string()))?;
    Ok(Argon2::new(Algorithm::Argon2id, Version::V0x13, params))
}

fn is_current(hash: &PasswordHash) -> bool {
    hash.algorithm.as_str() == "argon2id"
        && hash.version == Some(19)
        && Params::try_from(hash).is_ok_and(|params| {
            (params.m_cost(), params.t_cost(), params.p_cost()) == (MEMORY_KIB, PASSES, LANES)
        })
}
