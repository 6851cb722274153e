//! `cornerset audit --witness`: digests that were noted outside, as the screen gives them.

use serde_json::json;

use crate::common::lines::Lines;
use crate::common::{Ran, Shop};

fn digest(shop: &Shop) -> String {
    shop.run(&["audit", "--json"]).json()["chains"][0]["last_digest"].as_str().unwrap().to_owned()
}

/// A shop with so many records.
fn shop_with(sessions: usize) -> Shop {
    let shop = Shop::new();
    for _ in 0..sessions {
        shop.script(&Lines::required().text()).expect(0);
    }
    shop
}

fn audited(shop: &Shop, digests: &[&str]) -> Ran {
    let witnesses = digests.iter().flat_map(|digest| ["--witness", digest]);
    shop.run(&["audit", "--json"].into_iter().chain(witnesses).collect::<Vec<_>>())
}

#[test]
fn a_noted_digest_shows_that_a_store_was_put_back() {
    let shop = shop_with(2);
    let first = digest(&shop);
    let kept = shop.path().join("kept");
    fs_copy(&shop, &kept);
    shop.script(&Lines::required().text()).expect(0);
    let last = digest(&shop);
    let audit = audited(&shop, &[&first, last.strip_prefix("sha256:").unwrap(), &last.to_uppercase()]).expect(0).json();
    assert_eq!(audit["witnesses"].as_array().unwrap().len(), 2, "{}", audit["witnesses"]);
    let (bench, id) =
        (&audit["chains"][0]["bench"], shop.records()[2].file_stem().unwrap().to_str().unwrap().to_owned());
    let expected =
        json!({"digest": last, "here": true, "id": id, "bench": bench, "first_sequence": 1, "last_sequence": 3});
    assert_eq!(audit["witnesses"][1], expected);
    let said = shop.run(&["audit", "--witness", &first]).expect(0).stdout;
    assert!(
        said.contains(&format!("Noted digests vouch for numbers 1 to 2 of {}, not 3.", bench.as_str().unwrap())),
        "{said}"
    );
    // The store is put back as a whole: it says nothing of that itself.
    let put_back = kept.to_str().unwrap();
    assert!(shop.run(&["audit", put_back]).expect(0).stdout.starts_with("NOTHING OUT OF LINE"));
    let found = shop.run(&["audit", put_back, "--json", "--witness", &last]).expect(1).json();
    let finding = &found["findings"][0];
    assert_eq!((&finding["kind"], &found["missing"]), (&json!("noted-missing"), &json!([])), "{found}");
    let detail = format!(
        "The record whose digest was noted as {last} is not here: records were taken away or put back to an older state."
    );
    assert_eq!(finding["detail"], detail);
    let nothing = json!({"digest": last, "here": false, "id": null, "bench": null, "first_sequence": null, "last_sequence": null});
    assert_eq!(found["witnesses"], json!([nothing]));
    shop.run(&["audit", put_back, "-o", "page.html", "--witness", &last, "--witness", &first]).expect(1);
    let page = std::fs::read_to_string(shop.path().join("page.html")).unwrap();
    assert!(
        page.contains(&format!("noted as {last} is not here")) && page.contains("vouch for numbers 1 to 2 of"),
        "{page}"
    );
}

fn fs_copy(shop: &Shop, to: &std::path::Path) {
    let copied = std::process::Command::new("cp").arg("-R").arg(shop.store()).arg(to).status().unwrap();
    assert!(copied.success());
}

/// What the screen shows is taken as it was copied, on a wide screen and on a narrow one.
#[test]
fn the_screen_shows_a_digest_that_can_be_copied() {
    let shop = shop_with(1);
    let digest = digest(&shop);
    let said = shop.run(&["audit"]).expect(0).stdout;
    let copied: Vec<&str> = said.lines().skip_while(|line| !line.contains("sha256:")).take(2).collect();
    assert!(said.contains(&digest) || copied.concat().replace(' ', "") == digest, "{said}");
    let (one, two) = digest.split_at("sha256:".len() + 32);
    for typed in [format!("{one} {two}"), format!("    {one}\n    {two}\n")] {
        audited(&shop, &[&typed]).expect(0);
    }
}

#[test]
fn what_is_no_digest_is_refused() {
    let shop = shop_with(1);
    let digest = digest(&shop);
    for wrong in ["", "sha256:", &digest[..19], &format!("{digest}0"), &digest.replace("sha256", "sha512"), "bench-1"] {
        let refused = audited(&shop, &[wrong]).expect(2).stderr;
        assert!(refused.contains("witness") && refused.contains("the 64 hexadecimal figures"), "{wrong}: {refused}");
    }
    shop.run_with_input(&["audit", "--stream", "--witness", &digest], b"").expect(2);
}
