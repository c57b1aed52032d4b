//! Devices that signed in before: a cookie that only this server can have made, naming login and device.
//!
//! It lets nobody in. It only gives the device a count of wrong passwords of its own (OWASP, *Slow Down Online
//! Guessing Attacks with Device Cookies*), so that somebody who guesses at the same address cannot lock it out.

use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use hmac::{Hmac, KeyInit, Mac};
use sha2::Sha256;
use std::io::{Error, Write};
use std::path::Path;

/// Longest text that is looked at.
const LONGEST: usize = 256;

/// Makes and checks the marks of devices.
pub struct Devices {
    key: [u8; 32],
}

impl Devices {
    /// With the key that is kept in `folder`, made when it is not there; without a folder, with a new key.
    ///
    /// # Errors
    /// When there is no randomness or the key cannot be read or kept.
    pub fn open(folder: Option<&Path>) -> std::io::Result<Devices> {
        let Some(folder) = folder else {
            return Ok(Devices { key: new_key()? });
        };
        let path = folder.join("known-devices.key");
        match std::fs::read(&path) {
            Ok(bytes) => {
                let wrong =
                    |_| Error::other(format!("{} is not 32 bytes; delete it", path.display()));
                Ok(Devices {
                    key: bytes.try_into().map_err(wrong)?,
                })
            }
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => {
                let key = new_key()?;
                keep(&path, &key)?;
                Ok(Devices { key })
            }
            Err(error) => Err(Error::new(
                error.kind(),
                format!("{}: {error}", path.display()),
            )),
        }
    }

    /// A mark for a device on which `login` just signed in: `device.signature`.
    ///
    /// # Errors
    /// When there is no randomness.
    pub fn mark(&self, login: &str) -> std::io::Result<String> {
        let mut bytes = [0u8; 16];
        getrandom::fill(&mut bytes).map_err(Error::other)?;
        let device = URL_SAFE_NO_PAD.encode(bytes);
        let signature = URL_SAFE_NO_PAD.encode(self.signer(login, &device).finalize().into_bytes());
        Ok(format!("{device}.{signature}"))
    }

    /// The device that a mark names, when this server made it for `login`.
    #[must_use]
    pub fn known(&self, login: &str, mark: &str) -> Option<String> {
        if mark.len() > LONGEST {
            return None;
        }
        let (device, signature) = mark.split_once('.')?;
        let signature = URL_SAFE_NO_PAD.decode(signature).ok()?;
        self.signer(login, device).verify_slice(&signature).ok()?;
        Some(device.to_owned())
    }

    fn signer(&self, login: &str, device: &str) -> Hmac<Sha256> {
        // HMAC pads a key to the block of its hash, 64 bytes for SHA-256, with zeros (RFC 2104 section 2).
        let mut block = [0u8; 64];
        block
            .iter_mut()
            .zip(self.key)
            .for_each(|(to, from)| *to = from);
        let mut mac = Hmac::<Sha256>::new(&block.into());
        // The length keeps apart what would otherwise join to the same text.
        mac.update(&(login.len() as u64).to_be_bytes());
        mac.update(login.as_bytes());
        mac.update(device.as_bytes());
        mac
    }
}

fn new_key() -> std::io::Result<[u8; 32]> {
    let mut key = [0u8; 32];
    getrandom::fill(&mut key).map_err(Error::other)?;
    Ok(key)
}

/// Keeps the key, readable by the program's own user only.
fn keep(path: &Path, key: &[u8]) -> std::io::Result<()> {
    let mut options = std::fs::OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut file = options.open(path)?;
    file.write_all(key)?;
    file.sync_all()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_only_own_marks_for_the_same_login_are_known() {
        let (ours, theirs) = (Devices::open(None).unwrap(), Devices::open(None).unwrap());
        let mark = ours.mark("rosa").unwrap();
        assert!(ours.known("rosa", &mark).is_some());
        assert!(ours.known("ros", &mark).is_none());
        assert!(theirs.known("rosa", &mark).is_none());
        assert!(ours.known("rosa", &mark.replace('.', "x.")).is_none());
        assert!(ours.known("rosa", "").is_none() && ours.known("rosa", "a.").is_none());
    }

    #[test]
    fn prop_the_key_outlives_a_restart() {
        let folder = tempfile::tempdir().unwrap();
        let mark = Devices::open(Some(folder.path()))
            .unwrap()
            .mark("rosa")
            .unwrap();
        assert!(
            Devices::open(Some(folder.path()))
                .unwrap()
                .known("rosa", &mark)
                .is_some()
        );
    }
}
