//! Safety at the bench: the page of cautions that a session shows, with the reasons.

use super::Step;
use super::bench::{self, LOAD, REFERENCE};
use super::page::Page;
use super::questions::{Number, Word};
use crate::learn::form::Form;
use crate::plan::HAZARDOUS;
use crate::quantity::ranges::Quantity;
use crate::quantity::{Watts, show};
use crate::screens::{Line, Screen};
use crate::session::CAUTIONS;

pub(super) const PROMISE: &str = "say what to look at before the first tone is played";

pub(super) fn steps() -> Vec<Step> {
    vec![
        Step { shown: before, exercise: what_first().exercise() },
        Step { shown: touch, exercise: volts_of_power().exercise() },
        Step { shown: way_back, exercise: order().exercise() },
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
             spanner, and gives off gas that burns while it is charged. In an amplifier for the mains, parts stay \
             charged after the plug is pulled: its cover stays on. A meter with a lead in a current socket is a short \
             circuit across the output.",
        )
        .says("The volts can be read without a load, unless the maker's manual asks for one.")
        .done()
}

fn what_first() -> Word {
    Word {
        form: Form::SafeBench,
        ask: "The amplifier is on the bench, the speakers are still connected. What comes first: the tone, or taking \
              the speakers off?"
            .to_owned(),
        given: vec![],
        right: "speakers",
        of: &["speakers", "tone"],
        working: vec!["speakers off every output, then the tone: what is not connected cannot be damaged".to_owned()],
        mistakes: vec![(
            "tone",
            "A low tone at the level of the measurement can ruin the driver before the first reading is taken."
                .to_owned(),
        )],
    }
}

fn touch(screen: Screen) -> Vec<Line> {
    let [_, touch, bridged, ..] = CAUTIONS;
    let powers = [16.0, 64.0, 144.0, 400.0, 1000.0].map(Watts::new);
    Page::new(screen, "What must not be touched")
        .item(touch)
        .item(bridged)
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

fn volts_of_power() -> Number {
    let power = Watts::new(320.0);
    let volts = power.voltage_across(LOAD);
    Number {
        form: Form::VoltsOfPower,
        ask: format!(
            "An amplifier gives {} into {}. How many volts are at its output then?",
            show::watts(power),
            show::ohms(LOAD)
        ),
        given: vec![("power_w", power.watts()), ("load_ohm", LOAD.ohms())],
        value: volts.volts(),
        quantity: Quantity::Voltage,
        working: vec![
            format!("{} x {} = {:.0}", power.watts(), LOAD.ohms(), power.watts() * LOAD.ohms()),
            format!(
                "root of {:.0} = {:.1} V, above {:.0} V: hazardous to touch",
                power.watts() * LOAD.ohms(),
                volts.volts(),
                HAZARDOUS.volts()
            ),
        ],
        mistakes: vec![
            (power.watts() * LOAD.ohms(), "The root is left out: volts are the root of power x load.".to_owned()),
            (power.watts() / LOAD.ohms(), "That is power / load. Volts are the root of power x load.".to_owned()),
            (
                (power.watts() / LOAD.ohms()).sqrt(),
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
            "Level down before a filter is switched or a lead is moved: a thump or an open input can be far louder \
             than the tone.",
        )
        .row("3 back", "Level down, tone off, amplifier off. Then the meter comes off and the speakers go on.")
        .row("4 listen", "The first sound after that is quiet music, not a test tone.")
        .says(
            "Once speakers are on, a low tone can be far louder than it sounds. A smell or smoke: power off at the \
             supply first.",
        )
        .remember("speakers off first, hands off always, level down before anything is moved.")
}

fn order() -> Word {
    Word {
        form: Form::SafeBench,
        ask: "The knob stands right. What comes first now: level down, or speakers on?".to_owned(),
        given: vec![],
        right: "level",
        of: &["level", "speakers"],
        working: vec![
            "level down, tone off, amplifier off; then the meter comes off and the speakers go on".to_owned(),
        ],
        mistakes: vec![(
            "speakers",
            "The tone still plays at the level of the reference. It would go straight into the driver.".to_owned(),
        )],
    }
}

/// The reference of the lessons is no hazard.
const _: () = assert!(REFERENCE.volts() < HAZARDOUS.volts());
