//! What is done to records after they were signed off, so that an audit has something to find.

use std::collections::BTreeMap;

use cornerset::chance::Chance;
use cornerset::quantity::Volts;
use cornerset::record::{Record, digest};
use cornerset::session::{LogEntry, Moment};
use serde::Serialize;

/// How many records of each sort are wanted.
#[derive(Debug, Clone, Copy, Default)]
pub struct Wanted {
    /// Changed after they were signed off.
    pub tampered: usize,
    /// Taken away.
    pub removed: usize,
    /// Signed by a key that is in no trust list.
    pub foreign: usize,
    /// With a second record in the same place.
    pub doubled: usize,
}

/// What was done to one record.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Damage {
    /// The volts of its first reading.
    Volts,
    /// The verdict of its outcome, and its reason.
    Reason,
    /// Its job.
    Job,
    /// The time of its sign-off.
    Time,
    /// The signature taken off.
    SignatureGone,
    /// Its job, and the digest made to fit, under the old signature.
    DigestAgain,
    /// Its job, in a record without a signature, and the digest made to fit: only the chain shows it.
    UnsignedDigestAgain,
    /// Taken away.
    Removed,
    /// Signed by a key that is in no trust list.
    Foreign,
    /// A second record in the same place, signed by a listed key.
    Doubled,
}

const TAMPERED: [Damage; 7] = [
    Damage::Volts,
    Damage::Reason,
    Damage::Job,
    Damage::Time,
    Damage::SignatureGone,
    Damage::DigestAgain,
    Damage::UnsignedDigestAgain,
];

impl Damage {
    /// Does it to a record that was signed off.
    pub fn spoil(self, record: &mut Record) {
        let again = |record: &mut Record| record.sign_off.digest = digest(record).expect("a digest");
        match self {
            Self::Volts => {
                let reading = record.log.iter_mut().find_map(|entry| match entry {
                    LogEntry::Reading(reading) => Some(reading),
                    _ => None,
                });
                let reading = reading.expect("a reading in every session");
                reading.volts = Volts::new(reading.volts.volts() + 0.01);
            }
            Self::Reason => record.outcome.reason = Some("seen and approved".to_owned()),
            Self::Job => record.job.push('0'),
            Self::Time => {
                record.closed_at = Moment::new(record.closed_at.time() - chrono::TimeDelta::minutes(30));
            }
            Self::SignatureGone => record.sign_off.signature = None,
            Self::DigestAgain | Self::UnsignedDigestAgain => {
                record.job.push('0');
                again(record);
            }
            Self::Removed | Self::Foreign | Self::Doubled => {}
        }
    }
}

/// A place in a shop's chain: the shop from 0, the number from 1.
pub type Place = (usize, u64);

/// Where which damage is done. Never to the first or the last of a bench, and never to two neighbours, so that what is
/// to be found is the same whatever stands around it.
///
/// # Errors
/// Where there is not room for all of it.
pub fn places(wanted: Wanted, sizes: &[usize], seed: u64) -> Result<BTreeMap<Place, Damage>, String> {
    let mut chance = Chance::of(seed, 4 << 40);
    let tampered = TAMPERED.into_iter().cycle().take(wanted.tampered);
    let others =
        [(Damage::Removed, wanted.removed), (Damage::Foreign, wanted.foreign), (Damage::Doubled, wanted.doubled)];
    let all = tampered.chain(others.into_iter().flat_map(|(damage, count)| std::iter::repeat_n(damage, count)));
    let ends: Vec<usize> = sizes
        .iter()
        .scan(0, |end, size| {
            *end += size;
            Some(*end)
        })
        .collect();
    let total = *ends.last().unwrap_or(&0);
    let mut places: BTreeMap<Place, Damage> = BTreeMap::new();
    let mut tries = 0;
    for damage in all {
        loop {
            tries += 1;
            if total == 0 || tries > 100_000 + 100 * total {
                return Err("there are not enough records for so much damage".to_owned());
            }
            let index = chance.below(total);
            let shop = ends.partition_point(|end| *end <= index);
            let number = (index - (ends[shop] - sizes[shop]) + 1) as u64;
            let inside = number > 1 && number < sizes[shop] as u64;
            if inside && (number - 1..=number + 1).all(|near| !places.contains_key(&(shop, near))) {
                places.insert((shop, number), damage);
                break;
            }
        }
    }
    Ok(places)
}
