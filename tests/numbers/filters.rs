//! Every filter against scipy.signal: `filters.csv`, made by `filters.py`; the version stands in the table's header.

use cornerset::filter::Alignment;
use cornerset::quantity::{Decibels, Hertz};

use crate::table::{alignment, rows};

/// How far a loss may lie from the table's, in dB. The table is evaluated from poles in double precision; forty-digit
/// arithmetic (mpmath 1.4.1) found no row of it further than 5e-14 dB off.
const TABLE_DB: f64 = 1e-12;

/// How far, as a share, a corner found from the table's loss may lie from the one the table was made for.
const INVERSE: f64 = 1e-9;

/// Below this loss the table's own 5e-14 dB is too large a share of it for the corner to be known to [`INVERSE`].
const INVERSE_FROM_DB: f64 = 1e-3;

/// A corner of our own; the table is in tone over corner.
const CORNER_HZ: f64 = 27.0;

struct Row {
    alignment: Alignment,
    tone: Hertz,
    loss: Decibels,
}

fn table() -> Vec<Row> {
    rows("filters.csv")
        .iter()
        .map(|row| {
            let cells: Vec<&str> = row.split(',').collect();
            let [family, slope, q, tone_over_corner, loss] = cells[..] else { panic!("{row}") };
            let q = if q.is_empty() { None } else { Some(q.parse().unwrap()) };
            Row {
                alignment: alignment(family, slope.parse().unwrap(), q),
                tone: Hertz::new(CORNER_HZ * tone_over_corner.parse::<f64>().unwrap()),
                loss: Decibels::new(loss.parse().unwrap()),
            }
        })
        .collect()
}

#[test]
fn every_filter_is_in_the_table_from_a_tenth_of_its_corner_to_five_times_it() {
    let table = table();
    let reaches = |alignment: Alignment, x: f64| {
        table.iter().any(|row| row.alignment == alignment && (row.tone.hz() / CORNER_HZ - x).abs() < 1e-12)
    };
    for alignment in Alignment::candidates() {
        assert!(reaches(alignment, 0.1) && reaches(alignment, 1.0) && reaches(alignment, 5.0), "{alignment}");
    }
    let mut qs: Vec<f64> = table.iter().filter_map(|row| row.alignment.q()).collect();
    qs.dedup();
    assert!(qs.len() >= 8, "{qs:?}");
}

#[test]
fn the_loss_is_that_of_the_table() {
    for Row { alignment, tone, loss } in table() {
        let computed = alignment.response(tone, Hertz::new(CORNER_HZ)).down();
        assert!(
            (computed.db() - loss.db()).abs() < TABLE_DB,
            "{alignment} at {} Hz: {} against {} dB",
            tone.hz(),
            computed.db(),
            loss.db()
        );
    }
}

#[test]
fn the_corner_is_found_again_from_the_loss_in_the_table() {
    for Row { alignment, tone, loss } in table().into_iter().filter(|row| row.loss.db().abs() > INVERSE_FROM_DB) {
        let corners = alignment.corners_from_down(tone, loss).all();
        let found = corners.iter().any(|corner| (corner.hz() / CORNER_HZ - 1.0).abs() < INVERSE);
        assert!(found, "{alignment}, {} dB down at {} Hz: {corners:?}", loss.db(), tone.hz());
        let expected = if loss.db() < 0.0 { 2 } else { 1 };
        assert_eq!(corners.len(), expected, "{alignment}, {} dB down at {} Hz: {corners:?}", loss.db(), tone.hz());
    }
}

#[test]
fn the_tone_is_found_again_from_the_loss_in_the_table() {
    for Row { alignment, tone, loss } in table().into_iter().filter(|row| row.loss.db().abs() > INVERSE_FROM_DB) {
        let found = alignment.tone_at_down(Hertz::new(CORNER_HZ), loss);
        if loss.db() < 0.0 {
            assert_eq!(found, None, "{alignment}, {} dB", loss.db());
        } else {
            let share = found.unwrap().hz() / tone.hz();
            assert!((share - 1.0).abs() < INVERSE, "{alignment}, {} dB down at {} Hz", loss.db(), tone.hz());
        }
    }
}
