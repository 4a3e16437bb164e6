//! How many wrong keys are borne before the door stays shut for a while.

use std::collections::{BTreeMap, VecDeque};
use std::net::IpAddr;

use jiff::{SignedDuration, Timestamp};

/// Wrong tries of one device within [`WINDOW`] (judgement).
const OF_ONE: usize = 5;
/// Wrong tries of all devices together within [`WINDOW`] (judgement).
const OF_ALL: usize = 30;
/// How long a wrong try counts (judgement).
const WINDOW: SignedDuration = SignedDuration::from_mins(5);
/// Devices remembered at once; the longest silent is forgotten first.
const REMEMBERED: usize = 1000;

/// Wrong tries, by the address they came from; `None` is an address that isn't known.
#[derive(Debug, Default)]
pub(crate) struct Patience {
    tries: BTreeMap<Option<IpAddr>, VecDeque<Timestamp>>,
}

impl Patience {
    /// Seconds that this device has to wait; `None` when it may try.
    pub(crate) fn wait(&mut self, from: Option<IpAddr>, now: Timestamp) -> Option<i64> {
        self.forget(now);
        let full = |tries: Option<&Timestamp>| {
            tries.map(|first| (*first + WINDOW).duration_since(now).as_secs().max(1))
        };
        let own = self.tries.get(&from).filter(|tries| tries.len() >= OF_ONE).and_then(VecDeque::front);
        let all: usize = self.tries.values().map(VecDeque::len).sum();
        let first = self.tries.values().filter_map(VecDeque::front).min();
        full(own).or_else(|| full(first.filter(|_| all >= OF_ALL)))
    }

    /// Notes a wrong try.
    pub(crate) fn wrong(&mut self, from: Option<IpAddr>, now: Timestamp) {
        self.forget(now);
        if self.tries.len() >= REMEMBERED && !self.tries.contains_key(&from) {
            let silent =
                self.tries.iter().min_by_key(|(_, tries)| tries.back().copied()).map(|(from, _)| *from);
            if let Some(silent) = silent {
                self.tries.remove(&silent);
            }
        }
        self.tries.entry(from).or_default().push_back(now);
    }

    /// Forgets a device's wrong tries after a right one.
    pub(crate) fn right(&mut self, from: Option<IpAddr>) {
        self.tries.remove(&from);
    }

    fn forget(&mut self, now: Timestamp) {
        for tries in self.tries.values_mut() {
            while tries.front().is_some_and(|tried| now.duration_since(*tried) >= WINDOW) {
                tries.pop_front();
            }
        }
        self.tries.retain(|_, tries| !tries.is_empty());
    }
}

#[cfg(test)]
mod tests {
    use super::{OF_ALL, OF_ONE, Patience, WINDOW};
    use jiff::{SignedDuration, Timestamp};
    use std::net::{IpAddr, Ipv4Addr};

    fn at(seconds: i64) -> Timestamp {
        Timestamp::UNIX_EPOCH + SignedDuration::from_secs(seconds)
    }

    fn device(number: u8) -> Option<IpAddr> {
        Some(IpAddr::V4(Ipv4Addr::new(192, 0, 2, number)))
    }

    #[test]
    fn after_five_wrong_tries_a_device_waits_until_the_first_is_forgotten() {
        let mut patience = Patience::default();
        for k in 0..OF_ONE as i64 {
            assert_eq!(patience.wait(device(1), at(k)), None);
            patience.wrong(device(1), at(k));
        }
        assert_eq!(patience.wait(device(1), at(10)), Some(WINDOW.as_secs() - 10));
        assert_eq!(patience.wait(device(2), at(10)), None, "another device may try");
        assert_eq!(patience.wait(device(1), at(WINDOW.as_secs())), None);
    }

    #[test]
    fn many_devices_together_run_out_of_patience_too() {
        let mut patience = Patience::default();
        for k in 0..OF_ALL {
            patience.wrong(device(k as u8), at(0));
        }
        assert!(patience.wait(device(200), at(1)).is_some());
    }

    #[test]
    fn a_right_key_clears_the_slate() {
        let mut patience = Patience::default();
        for _ in 0..OF_ONE {
            patience.wrong(None, at(0));
        }
        patience.right(None);
        assert_eq!(patience.wait(None, at(1)), None);
    }
}
