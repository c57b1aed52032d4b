//! How often somebody may try to sign in.
//!
//! A wrong password counts against *this login from this client's network* and against *this client's network*,
//! never against the login alone: nobody can lock another person out from elsewhere. A device that signed in before
//! (`devices.rs`) has a count of its own, so that somebody at the same address cannot either.
//!
//! After [`FREE`] wrong ones the wait doubles each time from 1 s up to [`LONGEST_S`] (OWASP Authentication Cheat
//! Sheet, *Login Throttling*; NIST SP 800-63B section 5.2.2 asks for a limit on failed attempts). Memory is bounded
//! by [`PLACES`]; the counts that were quiet longest go first.

use crate::client::Network;
use std::collections::HashMap;
use std::hash::Hash;
use std::sync::{Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

/// Wrong passwords without a wait.
const FREE: u32 = 4;
/// Wrong passwords from one client, over all logins, without a wait: a class that signs in at one address.
const FREE_PER_CLIENT: u32 = 30;
/// Longest wait, s.
const LONGEST_S: u64 = 300;
/// Quiet for this long, a count is forgotten.
const FORGOTTEN: Duration = Duration::from_secs(3600);
/// Counts kept at most, per table.
const PLACES: usize = 10_000;

/// Who tries.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub enum Trier {
    /// A login from a network.
    Stranger(String, Network),
    /// A login on a device that signed in with it before.
    Device(String, String),
}

/// Counts of wrong passwords.
#[derive(Debug, Default)]
pub struct Throttle {
    triers: Mutex<Counts<Trier>>,
    clients: Mutex<Counts<Network>>,
}

#[derive(Debug)]
struct Counts<K> {
    map: HashMap<K, Count>,
}

impl<K> Default for Counts<K> {
    fn default() -> Counts<K> {
        Counts {
            map: HashMap::new(),
        }
    }
}

#[derive(Clone, Copy, Debug)]
struct Count {
    wrong: u32,
    last: Instant,
}

impl Throttle {
    /// Counts an attempt before its password is looked at, so that many at once count as many; a right password
    /// takes it back ([`Throttle::right`]). An attempt that is refused is not counted: hammering does not make the
    /// wait longer for others at the same address.
    ///
    /// # Errors
    /// The seconds to wait, when it is too soon.
    pub fn attempt(&self, trier: &Trier, network: Network, now: Instant) -> Result<(), u64> {
        let mut triers = locked(&self.triers);
        triers.check(trier, FREE, now)?;
        if let Trier::Stranger(..) = trier {
            let mut clients = locked(&self.clients);
            clients.check(&network, FREE_PER_CLIENT, now)?;
            clients.count(&network, now);
        }
        triers.count(trier, now);
        Ok(())
    }

    /// The password was right: the trier's count is cleared and the client's attempt is not held against it.
    pub fn right(&self, trier: &Trier, network: Network) {
        locked(&self.triers).map.remove(trier);
        if let Trier::Stranger(..) = trier
            && let Some(count) = locked(&self.clients).map.get_mut(&network)
        {
            count.wrong = count.wrong.saturating_sub(1);
        }
    }
}

impl<K: Clone + Eq + Hash> Counts<K> {
    fn now(&self, key: &K, now: Instant) -> Count {
        match self.map.get(key) {
            Some(count) if now.saturating_duration_since(count.last) < FORGOTTEN => *count,
            _ => Count {
                wrong: 0,
                last: now,
            },
        }
    }

    fn check(&self, key: &K, free: u32, now: Instant) -> Result<(), u64> {
        let count = self.now(key, now);
        let wait = Duration::from_secs(wait_s(count.wrong, free));
        let passed = now.saturating_duration_since(count.last);
        if passed < wait {
            Err((wait - passed).as_secs() + 1)
        } else {
            Ok(())
        }
    }

    fn count(&mut self, key: &K, now: Instant) {
        let wrong = self.now(key, now).wrong.saturating_add(1);
        self.make_room(now);
        self.map.insert(key.clone(), Count { wrong, last: now });
    }

    /// Forgets what was quiet long; when all are busy, a tenth of them, the quietest first.
    fn make_room(&mut self, now: Instant) {
        if self.map.len() < PLACES {
            return;
        }
        self.map
            .retain(|_, count| now.saturating_duration_since(count.last) < FORGOTTEN);
        if self.map.len() < PLACES {
            return;
        }
        let mut times: Vec<Instant> = self.map.values().map(|count| count.last).collect();
        times.sort_unstable();
        if let Some(edge) = times.get(PLACES / 10).copied() {
            self.map.retain(|_, count| count.last > edge);
        }
    }
}

/// Seconds to wait after so many wrong ones.
fn wait_s(wrong: u32, free: u32) -> u64 {
    match wrong.checked_sub(free) {
        None => 0,
        Some(over) => 1u64
            .checked_shl(over.min(16))
            .unwrap_or(LONGEST_S)
            .min(LONGEST_S),
    }
}

fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    // A panic while counting leaves counts that are still numbers.
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn network(text: &str) -> Network {
        Network::of(text.parse().unwrap())
    }

    fn stranger(login: &str, from: &str) -> Trier {
        Trier::Stranger(login.to_owned(), network(from))
    }

    #[test]
    fn prop_nobody_locks_another_out() {
        let throttle = Throttle::default();
        let now = Instant::now();
        let (bad, home) = ("203.0.113.9", "198.51.100.4");
        let mut refused = 0;
        for _ in 0..1000 {
            refused += u32::from(
                throttle
                    .attempt(&stranger("rosa", bad), network(bad), now)
                    .is_err(),
            );
        }
        assert!(
            refused >= 990,
            "only {refused} of 1000 guesses were refused"
        );
        // The same login from elsewhere, and from a known device at the very address of the attack.
        assert_eq!(
            throttle.attempt(&stranger("rosa", home), network(home), now),
            Ok(())
        );
        let device = Trier::Device("rosa".to_owned(), "d1".to_owned());
        assert_eq!(throttle.attempt(&device, network(bad), now), Ok(()));
    }

    #[test]
    fn prop_waits_grow_and_end() {
        let throttle = Throttle::default();
        let (trier, from) = (stranger("rosa", "203.0.113.9"), network("203.0.113.9"));
        let mut now = Instant::now();
        let mut waits = Vec::new();
        for _ in 0..16 {
            if let Err(seconds) = throttle.attempt(&trier, from, now) {
                waits.push(seconds);
                now += Duration::from_secs(seconds);
                assert_eq!(
                    throttle.attempt(&trier, from, now),
                    Ok(()),
                    "the wait that was told was not enough"
                );
            }
        }
        assert!(waits.windows(2).all(|pair| pair[0] <= pair[1]), "{waits:?}");
        assert!(
            waits.iter().all(|seconds| *seconds <= LONGEST_S + 1),
            "{waits:?}"
        );
        assert!(waits.last().unwrap() > &200, "{waits:?}");
        now += FORGOTTEN;
        assert_eq!(throttle.attempt(&trier, from, now), Ok(()));
    }

    #[test]
    fn prop_one_client_cannot_try_every_login() {
        let throttle = Throttle::default();
        let now = Instant::now();
        let from = "203.0.113.9";
        let let_in = (0..500)
            .filter(|n| {
                throttle
                    .attempt(&stranger(&format!("login{n}"), from), network(from), now)
                    .is_ok()
            })
            .count();
        assert_eq!(let_in, FREE_PER_CLIENT as usize);
    }

    #[test]
    fn prop_a_right_password_is_not_held_against_anybody() {
        let throttle = Throttle::default();
        let now = Instant::now();
        let from = "203.0.113.9";
        for n in 0..200 {
            let trier = stranger(&format!("pilot{}", n % 20), from);
            assert_eq!(
                throttle.attempt(&trier, network(from), now),
                Ok(()),
                "sign-in {n}"
            );
            throttle.right(&trier, network(from));
        }
    }

    #[test]
    fn prop_memory_is_bounded_and_the_busiest_stay() {
        let throttle = Throttle::default();
        let mut now = Instant::now();
        for n in 0..30_000u32 {
            let from = format!("10.{}.{}.{}", n >> 16, (n >> 8) & 255, n & 255);
            let _ = throttle.attempt(&stranger("rosa", &from), network(&from), now);
            now += Duration::from_millis(1);
        }
        assert!(locked(&throttle.triers).map.len() <= PLACES);
        assert!(locked(&throttle.clients).map.len() <= PLACES);
    }
}
