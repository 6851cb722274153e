//! A thousand benches set by the session's advice, beside the plain rule on the same benches.
//!
//! `cargo test --test practice followed -- --nocapture` prints the table.

use cornerset::meter::Verdict;
use cornerset::practice::Level;
use rayon::prelude::*;

use crate::follower::{Check, Ended, follow};

/// Benches of a level: the seeds from 1 up.
const SEEDS: u64 = 250;

/// How far off the true corners ended, in per cent.
#[derive(Debug, Clone, Copy)]
struct Errors {
    median: f64,
    most: f64,
    worst: f64,
}

impl Errors {
    fn of(ended: &[Ended], error: impl Fn(&Ended) -> f64) -> Self {
        let mut errors: Vec<f64> = ended.iter().map(|ended| error(ended).abs()).collect();
        errors.sort_by(f64::total_cmp);
        let at = |share: f64| errors[((errors.len() - 1) as f64 * share).round() as usize];
        Self { median: at(0.5), most: at(0.95), worst: at(1.0) }
    }
}

/// What came of a level's benches.
struct Followed {
    level: Level,
    session: Errors,
    plain: Errors,
    ended: Vec<Ended>,
}

fn all(level: Level, check: Check) -> Followed {
    let ended: Vec<Ended> = (1..=SEEDS).into_par_iter().map(|seed| follow(level, seed, check)).collect();
    let (session, plain) = (Errors::of(&ended, |one| one.error), Errors::of(&ended, |one| one.plain));
    let all = Followed { level, session, plain, ended };
    all.print(check);
    all
}

impl Followed {
    fn found(&self) -> usize {
        self.ended.iter().filter(|one| one.filter_found).count()
    }

    #[expect(clippy::print_stdout, reason = "the table is shown with --nocapture")]
    fn print(&self, check: Check) {
        let mean = |count: fn(&Ended) -> usize| self.ended.iter().map(count).sum::<usize>() as f64 / SEEDS as f64;
        let better = self.ended.iter().filter(|one| one.error.abs() <= one.plain.abs()).count();
        let said = |Errors { median, most, worst }: Errors| format!("{median:5.2} {most:6.2} {worst:6.2}");
        println!(
            "{:<9} {check:<14?} session {}  plain rule {}  readings {:.1}, turns {:.1}  filter right {}, nearer than the rule {}",
            self.level.word(),
            said(self.session),
            said(self.plain),
            mean(|one| one.readings),
            mean(|one| one.turns),
            self.found(),
            better,
        );
        let mut farthest: Vec<&Ended> = self.ended.iter().filter(|one| one.error.abs() > 5.0).collect();
        farthest.sort_by(|one, other| other.error.abs().total_cmp(&one.error.abs()));
        for Ended { seed, error, filter_found, verdict, confirmed, .. } in farthest {
            println!("    seed {seed}: {error:+.1} %, filter right {filter_found}, {verdict}, confirmed {confirmed:?}");
        }
    }
}

/// With the filter out for every reference the session holds its tolerance of 3 % on every bench, whatever the label leaves
/// out. On friendly benches the plain rule does so too: there a Butterworth is half a power down at its corner.
#[test]
fn followed_with_a_switch() {
    let friendly = all(Level::Friendly, Check::AsAsked);
    assert!(friendly.session.worst <= 3.0, "{:?}", friendly.session);
    assert!(friendly.plain.worst < 0.2, "{:?}", friendly.plain);
    let usual = all(Level::Usual, Check::AsAsked);
    assert!(usual.session.median < 1.0 && usual.session.worst <= 3.2, "{:?}", usual.session);
    assert!(usual.plain.median > 4.0 && usual.plain.most > 25.0, "{:?}", usual.plain);
    for of in [&friendly, &usual] {
        assert_eq!(of.found(), of.ended.len(), "filters that were found or believed rightly");
        let refused: Vec<&String> = of.ended.iter().flat_map(|one| &one.refused).collect();
        // A display of 0.00 is typed and refused while a steep filter stands far too high.
        assert!(refused.iter().all(|refusal| refusal.contains("`0.00`")), "{refused:?}");
        assert!(of.ended.iter().all(|one| one.verdict == Verdict::Inside || one.verdict == Verdict::Borderline));
    }
}

/// A filter that stays in, with references at the mark where the screen asks for them: where the first readings of the check
/// do not confirm the filter. Without those, a meter that droops has the session find Bessels for Linkwitz-Rileys.
#[test]
fn followed_without_a_switch() {
    let awkward = all(Level::Awkward, Check::AsAsked);
    // The mark's print and the meter's ranges are in it.
    assert!(awkward.session.median < 1.2, "{:?}", awkward.session);
    assert!(awkward.session.most < 3.2 && awkward.session.worst < 4.5, "{:?}", awkward.session);
    assert!(awkward.plain.median > 6.0 && awkward.plain.most > 15.0, "{:?}", awkward.plain);
    assert_eq!(awkward.found(), awkward.ended.len());
}

/// All of it, with a label that is wrong: as the screens ask, and with a reference at the mark for every tone of the check.
#[test]
fn followed_with_a_wrong_label() {
    for (check, most, wrong) in [(Check::AsAsked, 6.0, 15), (Check::OwnReferences, 4.0, 4)] {
        let nasty = all(Level::Nasty, check);
        assert!(nasty.session.median < 1.3, "{:?}", nasty.session);
        assert!(nasty.session.most < most, "{:?}", nasty.session);
        assert!(nasty.plain.median > 7.0 && nasty.plain.most > 15.0, "{:?}", nasty.plain);
        let missed = nasty.ended.len() - nasty.found();
        assert!(missed <= wrong, "wrong labels that were believed to the end: {missed}");
    }
}
