//! Who may come in: devices by the hash of their session, one-time keys, and the passphrase.

use std::collections::BTreeMap;
use std::net::IpAddr;
use std::sync::{Mutex, MutexGuard, PoisonError};

use jiff::{SignedDuration, Timestamp};
use serde::{Deserialize, Serialize};

use crate::outside::{Outside, Secret};
use crate::patience::Patience;
use crate::{WebError, passphrase, spelled};

/// Letters of a session and of the link that `serve` prints: 130 bits.
const LONG: usize = 26;
/// Letters of a pairing code, short enough to type: 50 bits, for two minutes, once.
const SHORT: usize = 10;
/// How long a pairing code holds.
const PAIRING: SignedDuration = SignedDuration::from_mins(2);
/// How long a device stays signed in (judgement).
const SESSION: SignedDuration = SignedDuration::from_hours(30 * 24);
/// Most devices signed in; the oldest goes first.
const MOST_DEVICES: usize = 50;
/// Most one-time keys that wait at once; the oldest goes first.
const MOST_KEYS: usize = 20;
/// Most characters of a device's name.
const LONGEST_NAME: usize = 40;

/// A device that is signed in.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Device {
    /// SHA-256 of its session; the session itself is nowhere but in the browser.
    pub hash: String,
    /// What the person calls it.
    pub name: String,
    /// When it signed in.
    pub since: Timestamp,
}

/// What is kept from one run to the next.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Kept {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    passphrase: Option<String>,
    #[serde(default)]
    device: Vec<Device>,
}

#[derive(Debug, Clone, Copy)]
struct Key {
    made: Timestamp,
    until: Option<Timestamp>,
}

#[derive(Debug, Default)]
struct Inside {
    kept: Kept,
    /// One-time keys by their hash.
    keys: BTreeMap<String, Key>,
    patience: Patience,
}

/// Why a key doesn't open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Shut {
    /// It is wrong, used or too old.
    WrongKey,
    /// Too many wrong keys: wait this many seconds.
    Wait(i64),
}

/// Who may come in.
#[derive(Debug, Default)]
pub struct Access {
    inside: Mutex<Inside>,
}

impl Access {
    /// From the record as it was kept; an empty text is nobody yet.
    ///
    /// # Errors
    /// When the record can't be read.
    pub fn read(kept: &str) -> Result<Self, WebError> {
        let kept: Kept =
            toml::from_str(kept).map_err(|e| WebError::AccessRecord { reason: e.message().to_owned() })?;
        Ok(Self { inside: Mutex::new(Inside { kept, ..Inside::default() }) })
    }

    /// Sets the passphrase; all devices sign in anew.
    ///
    /// # Errors
    /// When it is too short, or nothing can be kept.
    pub fn set_passphrase(&self, passphrase: &str, outside: &Outside) -> Result<(), WebError> {
        let secret = (outside.secret)().map_err(WebError::NoSecret)?;
        let hash = passphrase::hashed(passphrase, &secret)?;
        let mut inside = self.inside();
        inside.kept.passphrase = Some(hash);
        inside.kept.device.clear();
        keep(&inside.kept, outside)
    }

    /// Whether a passphrase is set.
    #[must_use]
    pub fn has_passphrase(&self) -> bool {
        self.inside().kept.passphrase.is_some()
    }

    /// A key for the link that is printed when the app opens: it opens once, as long as the app runs.
    ///
    /// # Errors
    /// When the system gives no secrets.
    pub fn first_key(&self, outside: &Outside) -> Result<String, WebError> {
        self.key(outside, LONG, None)
    }

    /// A key for another device: it opens once, within two minutes.
    pub(crate) fn pairing_key(&self, outside: &Outside) -> Result<String, WebError> {
        self.key(outside, SHORT, Some(PAIRING))
    }

    fn key(
        &self,
        outside: &Outside,
        letters: usize,
        holds: Option<SignedDuration>,
    ) -> Result<String, WebError> {
        let key = spelled::spelled(&(outside.secret)().map_err(WebError::NoSecret)?, letters);
        let made = (outside.now)().at;
        let mut inside = self.inside();
        if inside.keys.len() >= MOST_KEYS {
            let oldest = inside.keys.iter().min_by_key(|(_, key)| key.made).map(|(hash, _)| hash.clone());
            if let Some(oldest) = oldest {
                inside.keys.remove(&oldest);
            }
        }
        inside.keys.insert(spelled::hash(&key), Key { made, until: holds.map(|holds| made + holds) });
        Ok(key)
    }

    /// Lets a device in by a one-time key, which is then used up; gives its session.
    pub(crate) fn enter_by_key(
        &self,
        typed: &str,
        name: &str,
        from: Option<IpAddr>,
        outside: &Outside,
    ) -> Result<Result<String, Shut>, WebError> {
        let now = (outside.now)().at;
        let mut inside = self.inside();
        if let Some(seconds) = inside.patience.wait(from, now) {
            return Ok(Err(Shut::Wait(seconds)));
        }
        let key = inside.keys.remove(&spelled::hash(&spelled::as_spelled(typed)));
        let opens = key.is_some_and(|key| key.until.is_none_or(|until| now < until));
        if !opens {
            inside.patience.wrong(from, now);
            return Ok(Err(Shut::WrongKey));
        }
        let secret = (outside.secret)().map_err(WebError::NoSecret)?;
        inside.admit(&secret, name, from, outside).map(Ok)
    }

    /// Lets a device in by the passphrase; slow on purpose, so call it where blocking is allowed.
    pub(crate) fn enter_by_passphrase(
        &self,
        typed: &str,
        name: &str,
        from: Option<IpAddr>,
        outside: &Outside,
    ) -> Result<Result<String, Shut>, WebError> {
        let now = (outside.now)().at;
        let hash = {
            let mut inside = self.inside();
            if let Some(seconds) = inside.patience.wait(from, now) {
                return Ok(Err(Shut::Wait(seconds)));
            }
            // Counted before it is tried, so that many tries at once are no way around the count.
            inside.patience.wrong(from, now);
            inside.kept.passphrase.clone()
        };
        if !hash.is_some_and(|hash| passphrase::is(typed, &hash)) {
            return Ok(Err(Shut::WrongKey));
        }
        let secret = (outside.secret)().map_err(WebError::NoSecret)?;
        self.inside().admit(&secret, name, from, outside).map(Ok)
    }

    /// The device of a session, while it holds.
    pub(crate) fn device(&self, session: &str, now: Timestamp) -> Option<Device> {
        let hash = spelled::hash(session);
        let inside = self.inside();
        inside.kept.device.iter().find(|device| device.hash == hash && holds(device, now)).cloned()
    }

    /// All devices that are signed in, the latest first.
    pub(crate) fn devices(&self, now: Timestamp) -> Vec<Device> {
        self.inside().kept.device.iter().rev().filter(|device| holds(device, now)).cloned().collect()
    }

    /// Signs a device out, by its hash.
    pub(crate) fn sign_out(&self, hash: &str, outside: &Outside) -> Result<(), WebError> {
        let mut inside = self.inside();
        inside.kept.device.retain(|device| device.hash != hash);
        keep(&inside.kept, outside)
    }

    /// Nothing in here is left half done when a thread ends early, so a poisoned lock is still good.
    fn inside(&self) -> MutexGuard<'_, Inside> {
        self.inside.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Inside {
    fn admit(
        &mut self,
        secret: &Secret,
        name: &str,
        from: Option<IpAddr>,
        outside: &Outside,
    ) -> Result<String, WebError> {
        let since = (outside.now)().at;
        let session = spelled::spelled(secret, LONG);
        let name: String =
            name.trim().chars().filter(|letter| !letter.is_control()).take(LONGEST_NAME).collect();
        let name = if name.is_empty() { format!("device {}", self.kept.device.len() + 1) } else { name };
        self.kept.device.retain(|device| holds(device, since));
        if self.kept.device.len() >= MOST_DEVICES {
            self.kept.device.remove(0);
        }
        self.kept.device.push(Device { hash: spelled::hash(&session), name, since });
        self.patience.right(from);
        keep(&self.kept, outside)?;
        Ok(session)
    }
}

fn holds(device: &Device, now: Timestamp) -> bool {
    now.duration_since(device.since) < SESSION
}

fn keep(kept: &Kept, outside: &Outside) -> Result<(), WebError> {
    let text = toml::to_string(kept).map_err(|e| WebError::NotKept(e.to_string()))?;
    (outside.keep)(&text).map_err(WebError::NotKept)
}

#[cfg(test)]
mod tests {
    use super::{Access, PAIRING, SESSION, Shut};
    use crate::outside::{Moment, Outside};
    use jiff::{SignedDuration, Timestamp};
    use std::sync::atomic::{AtomicI64, AtomicU8, Ordering};
    use std::sync::{Arc, Mutex};

    struct World {
        outside: Outside,
        seconds: Arc<AtomicI64>,
        kept: Arc<Mutex<String>>,
    }

    fn world() -> World {
        let (seconds, count) = (Arc::new(AtomicI64::new(0)), AtomicU8::new(0));
        let kept = Arc::new(Mutex::new(String::new()));
        let (clock, shelf) = (Arc::clone(&seconds), Arc::clone(&kept));
        let outside = Outside {
            now: Arc::new(move || Moment {
                at: Timestamp::UNIX_EPOCH + SignedDuration::from_secs(clock.load(Ordering::SeqCst)),
                day: jiff::civil::date(2026, 3, 2),
            }),
            secret: Arc::new(move || Ok([count.fetch_add(1, Ordering::SeqCst).wrapping_mul(37); 32])),
            keep: Arc::new(move |text| {
                text.clone_into(&mut shelf.lock().expect("no test panics with it"));
                Ok(())
            }),
        };
        World { outside, seconds, kept }
    }

    #[test]
    fn a_key_opens_once_and_only_the_hash_of_the_session_is_kept() {
        let (access, world) = (Access::default(), world());
        let key = access.first_key(&world.outside).expect("secrets");
        let session = access
            .enter_by_key(&key.to_uppercase(), "laptop", None, &world.outside)
            .expect("kept")
            .expect("the key");
        assert_eq!(access.enter_by_key(&key, "", None, &world.outside), Ok(Err(Shut::WrongKey)));
        let kept = world.kept.lock().expect("not poisoned").clone();
        assert!(kept.contains("laptop") && !kept.contains(&session) && !kept.contains(&key));
        // The next run knows the device by what was kept.
        let again = Access::read(&kept).expect("our own record");
        assert_eq!(again.device(&session, Timestamp::UNIX_EPOCH).expect("signed in").name, "laptop");
        assert!(again.device(&key, Timestamp::UNIX_EPOCH).is_none());
    }

    #[test]
    fn a_pairing_key_holds_two_minutes_and_the_first_key_as_long_as_the_app_runs() {
        let (access, world) = (Access::default(), world());
        let (late, long) = (
            access.pairing_key(&world.outside).expect("a key"),
            access.first_key(&world.outside).expect("one"),
        );
        world.seconds.store(PAIRING.as_secs() - 1, Ordering::SeqCst);
        let timely = access.pairing_key(&world.outside).expect("a key");
        world.seconds.store(PAIRING.as_secs(), Ordering::SeqCst);
        assert_eq!(access.enter_by_key(&late, "", None, &world.outside), Ok(Err(Shut::WrongKey)));
        assert!(access.enter_by_key(&timely, "", None, &world.outside).expect("kept").is_ok());
        world.seconds.store(1_000_000, Ordering::SeqCst);
        assert!(access.enter_by_key(&long, "", None, &world.outside).expect("kept").is_ok());
    }

    #[test]
    fn a_session_ends_and_can_be_ended() {
        let (access, world) = (Access::default(), world());
        let enter = || {
            let key = access.first_key(&world.outside).expect("a key");
            access.enter_by_key(&key, "", None, &world.outside).expect("kept").expect("let in")
        };
        let (one, other) = (enter(), enter());
        let now = Timestamp::UNIX_EPOCH;
        assert_eq!(access.devices(now).len(), 2);
        access.sign_out(&access.device(&one, now).expect("in").hash, &world.outside).expect("kept");
        assert!(access.device(&one, now).is_none() && access.device(&other, now).is_some());
        assert!(access.device(&other, now + SESSION).is_none());
    }

    #[test]
    fn many_wrong_keys_make_even_the_right_one_wait() {
        let (access, world) = (Access::default(), world());
        access.set_passphrase("four plain words here", &world.outside).expect("long enough");
        let key = access.first_key(&world.outside).expect("a key");
        for _ in 0..2 {
            let wrong = access.enter_by_passphrase("not it, surely", "", None, &world.outside);
            assert_eq!(wrong, Ok(Err(Shut::WrongKey)));
        }
        for _ in 0..3 {
            assert_eq!(access.enter_by_key("nope", "", None, &world.outside), Ok(Err(Shut::WrongKey)));
        }
        assert!(matches!(access.enter_by_key(&key, "", None, &world.outside), Ok(Err(Shut::Wait(_)))));
        let right = access.enter_by_passphrase("four plain words here", "", None, &world.outside);
        assert!(matches!(right, Ok(Err(Shut::Wait(_)))));
        world.seconds.store(301, Ordering::SeqCst);
        let right = access.enter_by_passphrase("four plain words here", "", None, &world.outside);
        assert!(right.expect("kept").is_ok());
        assert!(access.enter_by_key(&key, "", None, &world.outside).expect("kept").is_ok());
    }

    #[test]
    fn a_new_passphrase_signs_every_device_out() {
        let (access, world) = (Access::default(), world());
        let key = access.first_key(&world.outside).expect("a key");
        let session = access.enter_by_key(&key, "", None, &world.outside).expect("kept").expect("in");
        access.set_passphrase("other plain words here", &world.outside).expect("long enough");
        assert!(access.device(&session, Timestamp::UNIX_EPOCH).is_none());
        assert!(Access::read("passphrase = 3").is_err());
    }
}
