//! Seventh floor: every screen as text. Nothing here prints or asks; a terminal only renders these lines.

mod audit;
mod audit_facts;
mod axes;
mod banner;
mod choices;
mod closing;
mod columns;
mod cone;
mod digests;
mod driver;
mod excursion;
mod findings;
mod gauge;
mod help;
mod line;
mod news;
mod plan;
mod plot;
mod practice;
mod question;
mod reading;
mod record;
mod record_facts;
mod record_log;
mod session;
mod tables;
mod tones;
mod tones_written;
mod trust;
mod tuning;
mod when;

pub use audit::audit;
pub use audit_facts::{
    AuditGroup, GROUPS_MEAN, audit_counts, audit_groups, audit_headline, chains_table, group_tables, missing_ranges,
    vouched_for,
};
pub use axes::{Steps, reach, round_frequencies, share};
pub use choices::{choices, curve_in_numbers, drawn_corner};
pub use closing::summary;
pub use columns::{Row, Table};
pub use driver::{driver_help, driver_opening, driver_prompt, driver_question};
pub use excursion::{Answer, Excursion};
pub use findings::{explored, swept};
pub use gauge::Gauge;
pub use help::help;
pub use line::{Emphasis, Line, Screen, WIDEST, units_held};
pub use news::{all_working, news};
pub use plan::{plan, working};
pub use practice::{bench_moved, bench_panel, bench_truth};
pub use question::{prompt, question};
pub use reading::reading;
pub use record::{ListedRecord, Listing, record, records_list};
pub use record_facts::{
    alignment, cautions_sentence, circumstances, corner_said, doubt, fit_sentence, signed_by, target, verdict_emphasis,
    verdict_sentences, wanted,
};
pub use record_log::{Fate, Happened, fates, happened, pairs_table, readings_table};
pub use session::{Unfinished, gain_voltage, opening, recap, stopped, taken, unfinished};
pub use tables::{corner_table, fit_table, targets_table};
pub use tones_written::{
    TRACK_LIST_TITLE, tone_cautions, tone_file, tone_playing, tone_table, tone_warnings, track_list,
};
pub use trust::{Alarm, Step, alarms, check_steps, scripted, signature_says};
pub use tuning::{
    tuning, tuning_account, tuning_help, tuning_in_session, tuning_left, tuning_note, tuning_opening, tuning_prompt,
    tuning_question, tuning_taken, tuning_use,
};
pub use when::{day, minute};
