//! Safety at the bench: the page of cautions that a session shows, with the reasons.

use super::Step;
use super::bench::{self, LOAD, REFERENCE};
use super::page::Page;
use super::questions::Number;
use crate::learn::form::Form;
use crate::learn::form::safety::{BEFORE_SPEAKERS, EVERY_OUTPUT, FIRST_SOUND, WHAT_FIRST, bench_case};
use crate::plan::HAZARDOUS;
use crate::quantity::ranges::Quantity;
use crate::quantity::{Ohms, Watts, show};
use crate::screens::{Line, Screen};
use crate::session::CAUTIONS;

pub(super) const PROMISE: &str = "say what to look at before the first tone is played";

pub(super) fn steps() -> Vec<Step> {
    vec![
        Step { shown: before, exercise: bench_case(WHAT_FIRST), again: bench_case(EVERY_OUTPUT) },
        Step {
            shown: touch,
            exercise: volts_of_power(320.0, LOAD).exercise(),
            again: volts_of_power(180.0, Ohms::new(8.0)).exercise(),
        },
        Step { shown: way_back, exercise: bench_case(BEFORE_SPEAKERS), again: bench_case(FIRST_SOUND) },
    ]
}

fn before(screen: Screen) -> Vec<Line> {
    let [speakers, _, _, meter, _, supply, first] = CAUTIONS;
    Page::first(screen, PROMISE, "Before anything is connected")
        .item(first)
        .item(speakers)
        .item(supply)
        .item(meter)
        .says(
            "Why: a steady low tone heats a voice coil and throws a cone. A battery gives hundreds of amperes into a \
             spanner, and its gas burns. In an amplifier for the mains, parts stay \
             charged after the plug is pulled: its cover stays on. A meter with a lead in a current socket is a short \
             circuit across the output.",
        )
        .says("The volts can be read without a load, unless the maker's manual asks for one.")
        .done()
}

fn touch(screen: Screen) -> Vec<Line> {
    let [_, touch, bridged, ..] = CAUTIONS;
    let powers = [16.0, 64.0, 144.0, 400.0, 1000.0].map(Watts::new);
    Page::new(screen, "What must not be touched")
        .item(touch)
        .item(bridged)
        .says("rms is what a meter on AC shows; bridged are two amplifiers that drive one speaker between them.")
        .says(&format!("Volts at the output are the root of power x load. Into {}:", show::ohms(LOAD)))
        .table(
            ["power", "volts", ""],
            powers.map(|power| {
                let volts = power.voltage_across(LOAD);
                let said = if volts > HAZARDOUS { "hazardous to touch" } else { "" };
                [show::watts(power), format!("{:.1} V", volts.volts()), said.to_owned()]
            }),
        )
        .says(&format!(
            "{} is {} there, and that is enough to set a filter by. There is no reason to measure at full power.",
            bench::volts(REFERENCE),
            show::watts(REFERENCE.power_into(LOAD)),
        ))
        .done()
}

fn volts_of_power(power: f64, load: Ohms) -> Number {
    let power = Watts::new(power);
    let volts = power.voltage_across(load);
    Number {
        form: Form::VoltsOfPower,
        ask: format!(
            "An amplifier gives {} into {}. How many volts are at its output then?",
            show::watts(power),
            show::ohms(load)
        ),
        given: vec![("power_w", power.watts()), ("load_ohm", load.ohms())],
        value: volts.volts(),
        quantity: Quantity::Voltage,
        working: vec![
            format!("{} x {} = {:.0}", power.watts(), load.ohms(), power.watts() * load.ohms()),
            format!(
                "root of {:.0} = {:.1} V, above {:.0} V: hazardous to touch",
                power.watts() * load.ohms(),
                volts.volts(),
                HAZARDOUS.volts()
            ),
        ],
        mistakes: vec![
            (power.watts() * load.ohms(), "The root is left out: volts are the root of power x load.".to_owned()),
            (power.watts() / load.ohms(), "That is power / load. Volts are the root of power x load.".to_owned()),
            (
                (power.watts() / load.ohms()).sqrt(),
                "That is the current in amperes: the root of power / load.".to_owned(),
            ),
        ],
    }
}

fn way_back(screen: Screen) -> Vec<Line> {
    let [_, _, _, _, level, ..] = CAUTIONS;
    Page::new(screen, "While the tone plays, and the way back")
        .item(level)
        .says("In this order, every time:")
        .row("1 up", "The tone plays, the level comes up from nothing to the reference, no higher.")
        .row(
            "2 switch",
            "The filter is switched in, the level stays as it is: the two readings belong together. The speakers are \
             off and hands stay off.",
        )
        .row(
            "3 back",
            "Level down before a lead is moved. Tone off, amplifier off; then the meter comes off and the speakers go on.",
        )
        .row("4 listen", "The first sound after that is quiet music, not a test tone.")
        .says(
            "Once speakers are on, a low tone can be far louder than it sounds. A smell or smoke: power off at the \
             supply first.",
        )
        .remember("speakers off first, hands off always, level down before a lead is moved or speakers go on.")
}

/// The reference of the lessons is no hazard.
const _: () = assert!(REFERENCE.volts() < HAZARDOUS.volts());
