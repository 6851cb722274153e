//! Where the rows of a record lie in a warehouse of many shops: by shop and month, in folders of Hive's form.
//!
//! A bench's name is free text, and may be anyone's: it never becomes a part of a path as it is.

use crate::record::{Record, digest_of};

/// So many characters of a bench's name stand in its folder's.
const SEEN: usize = 40;
/// So many digits of the digest of the whole name come after them: names that look alike do not share a folder.
const DIGITS: usize = 8;

/// A shop's bench and a month.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Partition {
    shop: String,
    month: String,
}

impl Partition {
    /// That of a record: its bench, and the month in which it was signed off, by the clock of the shop.
    pub fn of(record: &Record) -> Self {
        Self { shop: shop(&record.bench), month: record.closed_at.time().format("%Y-%m").to_string() }
    }

    /// Its folders, outermost first: `shop=bench-a1b2c3-5f0c9d1e` and `month=2026-05`.
    pub fn folders(&self) -> [String; 2] {
        [format!("shop={}", self.shop), format!("month={}", self.month)]
    }
}

/// A bench's name as a part of a path: its ASCII letters and digits in lower case, anything between them one hyphen, and the
/// first digits of its SHA-256.
fn shop(bench: &str) -> String {
    let mut seen = String::new();
    for character in bench.chars() {
        if character.is_ascii_alphanumeric() {
            seen.push(character.to_ascii_lowercase());
        } else if !seen.ends_with('-') {
            seen.push('-');
        }
    }
    seen.truncate(SEEN);
    let digest = digest_of(bench.as_bytes());
    let digits = digest.split_once(':').map_or(&*digest, |(_, digits)| digits);
    format!("{seen}-{}", digits.get(..DIGITS).unwrap_or(digits))
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// The digits are those of `printf %s NAME | sha256sum`.
    #[test]
    fn a_bench_becomes_a_part_of_a_path() {
        for (bench, part) in [
            ("bench-a1b2c3", "bench-a1b2c3-7b871c26"),
            ("../../etc/passwd", "-etc-passwd-3754d6cb"),
            ("Shop 7 / Bench B", "shop-7-bench-b-2469f02e"),
            ("", "-e3b0c442"),
        ] {
            assert_eq!(shop(bench), part);
        }
        assert_ne!(shop("Bench"), shop("bench"));
    }

    proptest! {
        #[test]
        fn no_name_leaves_its_folder(bench in any::<String>()) {
            let part = shop(&bench);
            prop_assert!(part.len() <= SEEN + 1 + DIGITS);
            prop_assert!(part.bytes().all(|byte| byte == b'-' || byte.is_ascii_digit() || byte.is_ascii_lowercase()), "{part}");
        }
    }
}
