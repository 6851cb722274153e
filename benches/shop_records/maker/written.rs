//! Records written: as lines, or as stores.

use std::collections::BTreeMap;
use std::fs;
use std::io::{self, BufWriter, Write};
use std::path::Path;

use chrono::Datelike;
use cornerset::record::{Record, file_bytes};
use rayon::prelude::*;
use serde::Serialize;

use super::Order;
use super::damage::{Damage, Place, places};
use super::memory::chain_json;
use super::pool::{Kind, pool};
use super::shop::{Draft, Shop};

/// So many shops are at work at once, and so many records in all are held.
const AT_ONCE: usize = 256;
const HELD: usize = 4096;
/// So many records of a shop are signed at once where stores are written.
const BATCH: usize = 256;

/// A record that an audit has to name.
#[derive(Debug, Clone, Serialize)]
pub struct Named {
    pub bench: String,
    pub sequence: u64,
    pub id: String,
    pub damage: Damage,
}

/// What was made.
#[derive(Debug, Default, Serialize)]
pub struct Report {
    /// Records that are there.
    pub records: usize,
    pub shops: usize,
    pub bytes: u64,
    pub signed: usize,
    pub unsigned: usize,
    /// Records in which something stands out: accepted outside, or a filter that is another one.
    pub stand_out: usize,
    pub tampered: Vec<Named>,
    pub removed: Vec<Named>,
    pub foreign: Vec<Named>,
    /// Both records of each place.
    pub doubled: Vec<Named>,
    /// The end of every chain, as its store remembers it.
    #[serde(skip)]
    pub ends: Vec<String>,
}

impl Report {
    fn count(&mut self, shop: &str, draft: &Draft<'_>) {
        let named =
            |damage| Named { bench: shop.to_owned(), sequence: draft.sequence(), id: draft.id().to_owned(), damage };
        match draft.damage {
            Some(Damage::Removed) => return self.removed.push(named(Damage::Removed)),
            Some(Damage::Foreign) => self.foreign.push(named(Damage::Foreign)),
            Some(Damage::Doubled) => self.doubled.push(named(Damage::Doubled)),
            Some(damage) => self.tampered.push(named(damage)),
            None => {}
        }
        self.records += 1;
        let signed = draft.is_signed() && draft.damage != Some(Damage::SignatureGone);
        *(if signed { &mut self.signed } else { &mut self.unsigned }) += 1;
        self.stand_out += usize::from(draft.stands_out);
    }

    fn add(&mut self, other: Self) {
        self.records += other.records;
        self.bytes += other.bytes;
        self.signed += other.signed;
        self.unsigned += other.unsigned;
        self.stand_out += other.stand_out;
        self.tampered.extend(other.tampered);
        self.removed.extend(other.removed);
        self.foreign.extend(other.foreign);
        self.doubled.extend(other.doubled);
        self.ends.extend(other.ends);
    }
}

/// Everything that is fixed before the first record.
struct Plan {
    order: Order,
    pool: Vec<Kind>,
    sizes: Vec<usize>,
    damage: BTreeMap<Place, Damage>,
}

impl Plan {
    fn of(order: &Order) -> Result<Self, String> {
        let sizes = sizes(order);
        let damage = places(order.damage, &sizes, order.seed)?;
        // Few records need few kinds of amplifiers, and a small pool is soon there.
        let kinds = (order.records / 100).clamp(3, 48);
        Ok(Self { order: *order, pool: pool(order.seed, kinds), sizes, damage })
    }

    fn shop(&self, number: usize) -> Shop {
        Shop::new(&self.order, self.pool.len(), number, self.sizes[number])
    }

    fn next<'a>(&self, shop: &'a mut Shop, most: usize) -> Vec<Draft<'a>> {
        let number = shop.number;
        shop.next(&self.pool, most, &|sequence| self.damage.get(&(number, sequence)).copied())
    }
}

/// How many records each shop makes: some three times as many as others.
fn sizes(order: &Order) -> Vec<usize> {
    let weight = |shop: usize| 0.5 + (shop as f64 * 0.618_034).fract();
    let all: f64 = (0..order.shops).map(weight).sum();
    let mut end = 0.0;
    let ends: Vec<usize> = (0..order.shops)
        .map(|shop| {
            end += weight(shop) / all;
            (end * order.records as f64).round() as usize
        })
        .collect();
    let mut before = 0;
    let last = ends.len() - 1;
    ends.into_iter()
        .enumerate()
        .map(|(shop, end)| {
            let end = if shop == last { order.records } else { end };
            let size = end - before;
            before = end;
            size
        })
        .collect()
}

/// Writes records as lines, those of several shops in turn, in constant memory; `trust` gets every trust line.
///
/// # Errors
/// Where the damage has no room, or what was made cannot be written.
pub fn lines(order: &Order, mut out: impl Write, mut trust: impl Write) -> Result<Report, String> {
    let plan = Plan::of(order)?;
    let mut report = Report { shops: order.shops, ..Report::default() };
    let failed = |error: io::Error| format!("the records cannot be written: {error}");
    for group in (0..order.shops).collect::<Vec<_>>().chunks(AT_ONCE) {
        let mut shops: Vec<Shop> = group.iter().map(|number| plan.shop(*number)).collect();
        let most = (HELD / shops.len()).max(1);
        for shop in &shops {
            trust.write_all(shop.trust_lines().as_bytes()).map_err(failed)?;
        }
        while shops.iter().any(|shop| shop.left() > 0) {
            let made: Vec<(Vec<u8>, Report)> = shops
                .par_iter_mut()
                .map(|shop| {
                    let mut counted = Report::default();
                    let bench = shop.bench.clone();
                    let drafts = plan.next(shop, most);
                    drafts.iter().for_each(|draft| counted.count(&bench, draft));
                    (drafts.into_par_iter().map(line).flatten().collect(), counted)
                })
                .collect();
            for (bytes, counted) in made {
                report.bytes += bytes.len() as u64;
                out.write_all(&bytes).map_err(failed)?;
                report.add(counted);
            }
        }
        report.ends.extend(shops.iter().filter_map(end));
    }
    out.flush().and_then(|()| trust.flush()).map_err(failed)?;
    Ok(report)
}

fn line(draft: Draft<'_>) -> Vec<u8> {
    draft.finish().map_or_else(Vec::new, |record| {
        let mut line = serde_json::to_vec(&record).expect("a record is written");
        line.push(b'\n');
        line
    })
}

fn end(shop: &Shop) -> Option<String> {
    let head = shop.head.as_ref()?;
    let end = serde_json::json!({"bench": shop.bench, "sequence": head.sequence, "digest": head.digest, "id": head.id});
    Some(format!("{end}\n"))
}

/// Writes one store, or a folder with a store for each shop, named after its bench.
///
/// # Errors
/// As [`lines`].
pub fn stores(order: &Order, folder: &Path) -> Result<Report, String> {
    let plan = Plan::of(order)?;
    let mut report = Report { shops: order.shops, ..Report::default() };
    let made: Result<Vec<Report>, String> = (0..order.shops)
        .into_par_iter()
        .map(|number| {
            let shop = plan.shop(number);
            let root = if order.shops == 1 { folder.to_owned() } else { folder.join(&shop.bench) };
            store(&plan, shop, &root).map_err(|error| format!("{} cannot be written: {error}", root.display()))
        })
        .collect();
    made?.into_iter().for_each(|made| report.add(made));
    Ok(report)
}

fn store(plan: &Plan, mut shop: Shop, root: &Path) -> io::Result<Report> {
    let mut report = Report::default();
    let (mut names, bench) = (vec![], shop.bench.clone());
    fs::create_dir_all(root.join("records"))?;
    while shop.left() > 0 {
        let drafts = plan.next(&mut shop, BATCH);
        for draft in &drafts {
            report.count(&bench, draft);
            // What is taken away later was there when the last record was closed; what was put beside it was not.
            if !draft.is_double {
                names.push(format!("{}/{}.json", draft.year(), draft.id()));
            }
        }
        let written: io::Result<Vec<u64>> =
            drafts.into_par_iter().filter_map(Draft::finish).map(|record| write_record(root, &record)).collect();
        report.bytes += written?.into_iter().sum::<u64>();
    }
    let text = "# The name of this bench. Its records form one chain, so change it only for another bench.\n";
    fs::write(root.join("bench.toml"), format!("{text}name = \"{bench}\"\n"))?;
    fs::write(root.join("allowed_signers"), shop.trust_lines())?;
    if let Some(chain) = chain_json(&shop, &mut names) {
        fs::write(root.join("chain.json"), chain)?;
    }
    report.ends.extend(end(&shop));
    Ok(report)
}

fn write_record(root: &Path, record: &Record) -> io::Result<u64> {
    let folder = root.join("records").join(format!("{:04}", record.closed_at.time().year()));
    fs::create_dir_all(&folder)?;
    let bytes = file_bytes(record)?;
    fs::write(folder.join(format!("{}.json", record.id)), &bytes)?;
    Ok(bytes.len() as u64)
}

/// A writer for a file that a person named, or for nothing.
///
/// # Errors
/// Where it cannot be made.
pub fn file(path: Option<&Path>) -> io::Result<Box<dyn Write>> {
    Ok(match path {
        Some(path) => Box::new(BufWriter::new(fs::File::create(path)?)),
        None => Box::new(io::sink()),
    })
}
