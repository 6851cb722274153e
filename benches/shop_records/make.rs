//! Makes signed records of a chain of shops, to measure and to test with: not shipped.
//!
//! `cargo run --release --example shop_records -- --records 100000 -o DIR` writes a store;
//! `... --records 1000000 --shops 200 --ndjson --signers allowed_signers > records.ndjson` writes lines, and the keys of those who
//! signed, for `cornerset audit --stream --allowed-signers allowed_signers < records.ndjson`.
//! What was made, and what was damaged on purpose, is told on standard error as one line of JSON.

mod maker;

use std::io::{self, BufWriter, Write};
use std::path::PathBuf;
use std::process::ExitCode;

use clap::Parser;

use maker::Order;
use maker::damage::Wanted;
use maker::written;

/// Makes signed records, the same for the same seed
#[derive(Debug, Parser)]
struct Arguments {
    /// How many records in all
    #[arg(long)]
    records: usize,
    /// By how many shops, each with one bench
    #[arg(long, default_value_t = 1)]
    shops: usize,
    /// Over how many months
    #[arg(long, default_value_t = 12)]
    months: usize,
    /// From which seed
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// A store; a folder of stores, named after their benches, for several shops
    #[arg(short, long, value_name = "DIR", required_unless_present = "ndjson", conflicts_with = "ndjson")]
    output: Option<PathBuf>,
    /// One record a line on standard output, those of several shops in turn
    #[arg(long)]
    ndjson: bool,
    /// The trust list of all shops
    #[arg(long, value_name = "FILE", requires = "ndjson")]
    signers: Option<PathBuf>,
    /// The end of every chain as its shop remembers it, one a line
    #[arg(long, value_name = "FILE")]
    ends: Option<PathBuf>,
    /// How many of a hundred are signed off by name alone
    #[arg(long, default_value_t = 1.0)]
    unsigned: f64,
    /// How many of a hundred stand out: accepted outside, or a filter that is another one
    #[arg(long, default_value_t = 2.0)]
    outside: f64,
    /// Change so many after they were signed off
    #[arg(long, default_value_t = 0)]
    tamper: usize,
    /// Take so many away
    #[arg(long, default_value_t = 0)]
    remove: usize,
    /// Let a key that is in no trust list sign so many
    #[arg(long, default_value_t = 0)]
    foreign: usize,
    /// Put a second record in the place of so many
    #[arg(long, default_value_t = 0)]
    double: usize,
}

impl Arguments {
    fn order(&self) -> Order {
        Order {
            records: self.records,
            shops: self.shops.max(1),
            months: self.months.max(1),
            seed: self.seed,
            unsigned_percent: self.unsigned,
            outside_percent: self.outside,
            damage: Wanted { tampered: self.tamper, removed: self.remove, foreign: self.foreign, doubled: self.double },
        }
    }

    fn make(&self) -> Result<written::Report, String> {
        let failed = |error: io::Error| error.to_string();
        let report = match &self.output {
            Some(folder) => written::stores(&self.order(), folder)?,
            None => {
                let trust = written::file(self.signers.as_deref()).map_err(failed)?;
                written::lines(&self.order(), BufWriter::with_capacity(1 << 20, io::stdout().lock()), trust)?
            }
        };
        let mut ends = written::file(self.ends.as_deref()).map_err(failed)?;
        ends.write_all(report.ends.concat().as_bytes()).and_then(|()| ends.flush()).map_err(failed)?;
        Ok(report)
    }
}

#[expect(clippy::print_stderr, reason = "an example reports on standard error")]
fn main() -> ExitCode {
    match Arguments::parse().make() {
        Ok(report) => {
            eprintln!("{}", serde_json::to_string(&report).expect("a report is written"));
            ExitCode::SUCCESS
        }
        Err(why) => {
            eprintln!("{why}");
            ExitCode::FAILURE
        }
    }
}
