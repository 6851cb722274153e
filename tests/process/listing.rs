//! `cornerset records list --limit` in a store of many records: what it says is what reading every record says.

use std::fs;
use std::path::{Path, PathBuf};
use std::thread;
use std::time::Duration;

use chrono::TimeDelta;
use cornerset::chance::Chance;
use cornerset::record::{Record, digest, file_bytes};
use cornerset::session::Moment;
use serde_json::Value;

use crate::common::Shop;
use crate::common::lines::Lines;

/// More than a store has before an order is kept.
const MANY: usize = 210;
/// So long after a change a folder's time can be relied on.
const SETTLED: Duration = Duration::from_millis(4200);
/// So many rows are a page.
const PAGE: usize = 7;

/// A store of many records, every one made from one that was signed off.
struct Many {
    shop: Shop,
    record: Record,
    made: u32,
}

impl Many {
    fn new() -> Self {
        let shop = Shop::new();
        shop.script(&Lines::required().text()).expect(0);
        let record: Record = serde_json::from_value(shop.record()).unwrap();
        let mut many = Self { shop, record, made: 0 };
        for minute in 0..MANY {
            // Opened in one order and closed in another.
            many.add(minute as i64 * 7 % 101);
        }
        many
    }

    /// The bytes of a record with this id that was closed so many minutes after the first one.
    fn bytes(&self, id: &str, minutes: i64) -> Vec<u8> {
        let mut record = self.record.clone();
        id.clone_into(&mut record.id);
        record.closed_at = Moment::new(self.record.closed_at.time() + TimeDelta::minutes(minutes));
        record.sign_off.digest = digest(&record).unwrap();
        file_bytes(&record).unwrap()
    }

    /// Puts a record in place as the program does: written, then renamed.
    fn put(&self, path: &Path, minutes: i64) {
        let id = path.file_stem().unwrap().to_str().unwrap();
        let part = path.with_extension("part");
        fs::write(&part, self.bytes(id, minutes)).unwrap();
        fs::rename(part, path).unwrap();
    }

    /// One more record.
    fn add(&mut self, minutes: i64) -> PathBuf {
        self.made += 1;
        let path = self.records_of("2026").join(format!("019cbd1a-{:04x}-7000-8000-000000000501.json", self.made));
        self.put(&path, minutes);
        path
    }

    fn records_of(&self, year: &str) -> PathBuf {
        let folder = self.shop.store().join("records").join(year);
        fs::create_dir_all(&folder).unwrap();
        folder
    }

    fn order(&self) -> PathBuf {
        self.shop.store().join("list.cache")
    }

    fn list(&self, options: &[&str]) -> Value {
        self.shop.run(&[&["records", "list", "--json"][..], options].concat()).expect(0).json()
    }

    /// The page is the beginning of the whole list; the ids on it.
    #[track_caller]
    fn agrees(&self, options: &[&str], why: &str) -> Vec<String> {
        let limit = PAGE.to_string();
        let page = self.list(&[&["--limit", &limit][..], options].concat());
        let mut whole = self.list(options);
        whole["records"].as_array_mut().unwrap().truncate(PAGE);
        assert_eq!(page, whole, "{why}");
        let records = page["records"].as_array().unwrap();
        records.iter().map(|record| record["id"].as_str().unwrap().to_owned()).collect()
    }

    /// The stamps of the folders in the kept order: none where they could change unseen.
    fn stamps(&self) -> Vec<Value> {
        let text = fs::read_to_string(self.order()).unwrap();
        let head: Value = serde_json::from_str(text.lines().next().unwrap()).unwrap();
        head["folders"].as_array().unwrap().iter().map(|folder| folder[1].clone()).collect()
    }
}

/// Whatever is done to the files, the first page is that of the whole list. What is not looked for here, because a page does
/// not show it: a record that is not on it and is changed where it lies, without its folder being touched.
#[test]
fn a_page_is_the_beginning_of_the_whole_list() {
    let (mut many, mut chance) = (Many::new(), Chance::of(20_260_305, 1));
    many.agrees(&[], "at first");
    for step in 0..14 {
        let records = many.shop.records();
        let one = chance.one_of(&records).clone();
        let on_page = many.list(&["--limit", "3"])["records"][2]["path"].as_str().map(PathBuf::from).unwrap();
        // Each once, then by chance.
        let what = if step < 10 { step * 7 % 10 } else { chance.below(10) };
        match what {
            0 => drop(many.add(chance.below(300) as i64)),
            1 => fs::remove_file(&one).unwrap(),
            2 => many.put(&one, chance.below(300) as i64),
            3 => {
                let text = fs::read_to_string(&on_page).unwrap();
                fs::write(&on_page, text.replace("Work order 0501", "Work order 0502")).unwrap();
            }
            4 => fs::write(&on_page, many.bytes(on_page.file_stem().unwrap().to_str().unwrap(), -5)).unwrap(),
            5 => fs::File::open(&one).unwrap().set_modified(std::time::SystemTime::UNIX_EPOCH).unwrap(),
            6 => fs::rename(&one, many.records_of("2025").join(one.file_name().unwrap())).unwrap(),
            7 => {
                // As an editor does it.
                let part = one.with_extension("part");
                fs::write(&part, "{").unwrap();
                fs::rename(part, &one).unwrap();
            }
            8 => {
                // Another file of the same record, and one that is named after another.
                fs::copy(&on_page, many.records_of("2025").join(on_page.file_name().unwrap())).unwrap();
                fs::copy(&one, many.records_of("2025").join("other.json")).unwrap();
            }
            _ => fs::remove_file(many.order()).unwrap(),
        }
        // Now and then the folders rest, so that their stamps count.
        if step % 5 == 3 {
            thread::sleep(SETTLED);
            many.agrees(&[], &format!("step {step}, {what}, rested"));
            many.agrees(&["--job", "* 0502"], &format!("step {step}, {what}, one job"));
            assert!(many.stamps().iter().all(Value::is_u64), "step {step}: {:?}", many.stamps());
        }
        many.agrees(&[], &format!("step {step}, {what}"));
    }
    many.agrees(&["--until", "2020-01-01"], "none");
    many.agrees(&["--technician", "nobody"], "nobody");
}

/// A session that was opened long before and closed last comes first; one more record in the same tick is not missed; the
/// order is kept only once a folder's time can be relied on.
#[test]
fn what_was_closed_last_comes_first() {
    let mut many = Many::new();
    for minutes in 500..506 {
        let late = many.shop.records()[0].clone();
        many.put(&late, minutes);
        let ids = many.agrees(&[], "closed late");
        assert!(late.to_string_lossy().contains(&ids[0]), "{ids:?}");
        assert_eq!(many.stamps(), [Value::Null, Value::Null][..many.stamps().len()], "changed a moment ago");
        let added = many.add(minutes);
        let ids = many.agrees(&[], "in the same tick");
        assert!(added.to_string_lossy().contains(&ids[0]), "{ids:?}");
    }
    // Another program's record, with an id of any length, does not keep the order from being kept.
    fs::write(many.records_of("2026").join("long.json"), many.bytes(&"x".repeat(5000), 510)).unwrap();
    thread::sleep(SETTLED);
    many.agrees(&[], "rested");
    let before = fs::metadata(many.order()).unwrap().modified().unwrap();
    many.agrees(&[], "nothing changed");
    assert_eq!(fs::metadata(many.order()).unwrap().modified().unwrap(), before, "it is not written again");
    // Time that is set back does not hide a change.
    let folder = many.records_of("2026");
    let earlier = fs::metadata(&folder).unwrap().modified().unwrap();
    let added = many.add(600);
    fs::File::open(&folder).unwrap().set_modified(earlier).unwrap();
    let ids = many.agrees(&[], "set back");
    assert!(!cfg!(unix) || added.to_string_lossy().contains(&ids[0]), "{ids:?}");
}

/// A damaged or foreign order is made anew, and says nothing of its own; a small store has none; a practice store has its own.
#[test]
fn an_order_that_does_not_hold_is_made_anew() {
    let many = Many::new();
    thread::sleep(SETTLED);
    let right = many.agrees(&[], "at first");
    let whole = fs::read_to_string(many.order()).unwrap();
    let (head, lines) = whole.split_once('\n').unwrap();
    let (first, rest) = lines.split_once('\n').unwrap();
    let (second, after) = rest.split_once('\n').unwrap();
    assert!(lines.lines().count() >= MANY && !whole.contains("Sample"), "places and times, and nobody's name");
    let file = second.split('"').find(|text| text.ends_with(".json")).unwrap();
    let outside = format!("{}.json", "o".repeat(file.len() - "../../../.json".len()));
    fs::copy(many.shop.store().join("records/2026").join(file), many.shop.path().join(&outside)).unwrap();
    let another_id = format!("{}\n{rest}", first.replacen(",null,", ",\"zzzz\",", 1));
    let longer = format!("\"bytes\":{}", another_id.len());
    let counted = head.replacen(&format!("\"bytes\":{}", lines.len()), &longer, 1);
    for (what, damaged) in [
        ("empty", String::new()),
        ("cut off", whole[..whole.len() - 40].to_owned()),
        ("torn", format!("{}{}", &whole[..whole.len() - 4096], "\0".repeat(4096))),
        ("a torn line", whole.replacen(second, &"\0".repeat(second.len()), 1)),
        ("another id", format!("{counted}\n{another_id}")),
        ("another version", whole.replace("\"version\":1", "\"version\":2")),
        ("another format", whole.replace("cornerset-list", "cornerset-lost")),
        ("another order", format!("{head}\n{second}\n{first}\n{after}")),
        ("another time", whole.replacen("\n[1", "\n[9", 1)),
        ("another file", whole.replacen(file, &file.replace("-7000-", "-7001-"), 1)),
        ("a file elsewhere", whole.replacen(file, &format!("../../../{outside}"), 1)),
        ("no text", "\u{0}\u{1}\u{2}".repeat(5000)),
        ("no end", "[".repeat(9_000_000)),
    ] {
        assert_ne!(damaged, whole, "{what}");
        fs::write(many.order(), damaged).unwrap();
        assert_eq!(many.agrees(&[], what), right, "{what}");
        if what != "torn" {
            // The page stands before what is torn.
            assert_eq!(fs::read_to_string(many.order()).unwrap(), whole, "{what}: it is as it was");
        }
    }
    fs::remove_file(many.order()).unwrap();
    fs::create_dir(many.order()).unwrap();
    assert_eq!(many.agrees(&[], "a folder"), right);
    let small = Shop::new();
    small.script(&Lines::required().text()).expect(0);
    small.run(&["records", "list", "--limit", "5"]).expect(0);
    assert!(!small.store().join("list.cache").exists());
    let practice = many.shop.store().join("practice");
    fs::create_dir_all(&practice).unwrap();
    fs::rename(many.shop.store().join("records"), practice.join("records")).unwrap();
    let listed = many.list(&["--store", practice.to_str().unwrap(), "--limit", "3"]);
    assert_eq!(listed["records"][2]["id"], right[2].as_str());
    assert!(practice.join("list.cache").is_file());
}

/// The order is the store's own: nothing is written over it, and an audit does not look at it.
#[test]
fn an_audit_takes_no_notice_of_the_order() {
    let many = Many::new();
    many.list(&["--limit", "1"]);
    let said = many.shop.run(&["audit", "--json"]);
    let order = many.order();
    fs::write(&order, fs::read_to_string(&order).unwrap().replace("019cbd1a", "019cbd1b")).unwrap();
    assert_eq!(many.shop.run(&["audit", "--json"]).stdout, said.stdout);
    let refused = many.shop.run(&["records", "export", "--format", "csv", "-o", order.to_str().unwrap()]).expect(3);
    assert!(refused.stderr.contains("belongs to a store"), "{}", refused.stderr);
}

/// Several lists at once, while records come in, and then one more: each is right, and no temporary file stays.
#[test]
fn several_lists_at_once() {
    let mut many = Many::new();
    thread::scope(|scope| {
        let shop = &many.shop;
        let lists: Vec<_> = (0..4)
            .map(|_| scope.spawn(|| shop.run(&["records", "list", "--json", "--limit", "7"]).expect(0).json()))
            .collect();
        let lists: Vec<Value> = lists.into_iter().map(|list| list.join().unwrap()).collect();
        assert!(lists.iter().all(|list| *list == lists[0]));
    });
    many.add(700);
    many.agrees(&[], "afterwards");
    let left = fs::read_dir(many.shop.store())
        .unwrap()
        .filter(|entry| entry.as_ref().unwrap().file_name().to_string_lossy().ends_with(".part"));
    assert_eq!(left.count(), 0);
}

/// Where the store cannot be written, the page is right all the same, with an older order or none.
#[cfg(unix)]
#[test]
fn a_store_that_cannot_be_written() {
    use std::os::unix::fs::PermissionsExt;
    let mut many = Many::new();
    let locked = |many: &Many, mode| {
        fs::set_permissions(many.shop.store(), fs::Permissions::from_mode(mode)).unwrap();
        mode == 0o555 && fs::write(many.shop.store().join("probe"), "").is_ok()
    };
    if locked(&many, 0o555) {
        // Root writes everywhere: a name that cannot be replaced stands for it.
        fs::remove_file(many.shop.store().join("probe")).unwrap();
        locked(&many, 0o755);
        fs::create_dir_all(many.order().join("in the way")).unwrap();
        many.agrees(&[], "in the way");
        many.add(800);
        many.agrees(&[], "in the way, one more");
        assert!(many.order().is_dir());
        return;
    }
    many.agrees(&[], "without an order");
    assert!(!many.order().exists());
    locked(&many, 0o755);
    many.agrees(&[], "with one");
    many.add(800);
    locked(&many, 0o555);
    many.agrees(&[], "with an older one");
    locked(&many, 0o755);
}
