//! `chain.json` as a store leaves it after its last record: see `src/store/chain.rs`, whose file this follows.
//!
//! A store reads it back and closes its next record without looking at all the others; `tests/shop_records.rs` holds
//! the two together.

use std::collections::BTreeMap;

use serde_json::json;
use sha2::{Digest, Sha256};

use super::shop::Shop;

/// The text, for a shop whose record files had these names, `YEAR/ID.json`, when its last record was closed.
pub fn chain_json(shop: &Shop, names: &mut [String]) -> Option<String> {
    let claim = shop.head.as_ref()?;
    names.sort_unstable();
    let claimed = format!("/{}.json", claim.id);
    let names = names
        .iter()
        .filter(|name| !name.ends_with(&claimed))
        .fold(sum("", b""), |before, name| sum(&before, name.as_bytes()));
    let others: BTreeMap<String, u64> = BTreeMap::new();
    let text = json!(["cornerset-chain", 1, shop.bench, names, shop.before, claim, others]).to_string();
    let kept = json!({
        "format": "cornerset-chain", "version": 1, "bench": shop.bench, "names": names,
        "previous": shop.before, "claim": claim, "others": others, "sum": sum("", text.as_bytes()),
    });
    Some(format!("{kept:#}\n"))
}

fn sum(before: &str, bytes: &[u8]) -> String {
    let hash = Sha256::new().chain_update(before).chain_update(bytes).finalize();
    hash.iter().take(8).map(|byte| format!("{byte:02x}")).collect()
}
