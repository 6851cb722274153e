//! From a form to a question with numbers.

use super::draft::Draft;
use super::kind::Form;
use super::{cone, level, meter, octave, power, safety, slope, traps, window};
use crate::chance::Chance;
use crate::filter::Rule;
use crate::learn::exercise::{Exercise, Figures};

/// How often numbers are drawn again so that every known mistake can be told from the right answer and from the others.
const DRAWS: usize = 12;

impl Form {
    /// A question of this kind.
    ///
    /// Numbers are drawn until every known mistake stands apart; where that does not come about, the draw that keeps most
    /// of them is taken.
    pub fn exercise(self, figures: Figures, chance: &mut Chance) -> Exercise {
        let mut best: Option<(usize, Exercise)> = None;
        for _ in 0..DRAWS {
            let draft = self.draft(figures, chance);
            let all = draft.mistakes.len();
            let exercise = draft.into_exercise(self);
            let kept = exercise.mistakes.len();
            if best.as_ref().is_none_or(|(most, _)| kept > *most) {
                best = Some((kept, exercise));
            }
            if kept == all {
                break;
            }
        }
        best.map_or_else(|| self.draft(figures, chance).into_exercise(self), |(_, exercise)| exercise)
    }

    fn draft(self, figures: Figures, chance: &mut Chance) -> Draft {
        match self {
            Self::RatioOfDown => level::ratio_of_down(figures, chance),
            Self::DownOfRatio => level::down_of_ratio(figures, chance),
            Self::DownOfVolts => level::down_of_volts(figures, chance),
            Self::VoltsOfDown => level::volts_of_down(figures, chance),
            Self::PowerOfDown => power::power_of_down(figures, chance),
            Self::PowerOfVoltsShare => power::power_of_volts_share(figures, chance),
            Self::VoltsOfPower => power::volts_of_power(figures, chance),
            Self::PowerOfVolts => power::power_of_volts(figures, chance),
            Self::CornerThreeQuarters => octave::corner_of_tuning(Rule::ThreeQuarters, figures, chance),
            Self::CornerHalfOctave => octave::corner_of_tuning(Rule::HalfOctave, figures, chance),
            Self::CornerOctave => octave::corner_of_tuning(Rule::Octave, figures, chance),
            Self::OctavesBetween => octave::octaves_between(figures, chance),
            Self::OctavesBelow => octave::octaves_below(figures, chance),
            Self::OrderOfSlope => slope::order_of_slope(figures, chance),
            Self::SlopeOfOrder => slope::slope_of_order(figures, chance),
            Self::DownByThumb => slope::down_by_thumb(figures, chance),
            Self::ButterworthDown => slope::butterworth_down(figures, chance),
            Self::DownAtCorner => slope::down_at_corner(figures, chance),
            Self::VoltsOfQ => slope::volts_of_q(figures, chance),
            Self::TravelsMore => cone::travels_more(figures, chance),
            Self::TwoFilters => cone::two_filters(figures, chance),
            Self::FilterNeeded => cone::filter_needed(figures, chance),
            Self::TravelOfDown => cone::travel_of_down(figures, chance),
            Self::KnobForCone => cone::knob_for_cone(figures, chance),
            Self::LimitInVolts => meter::limit_in_volts(figures, chance),
            Self::LimitInPercent => meter::limit_in_percent(figures, chance),
            Self::DisplayStep => meter::display_step(figures, chance),
            Self::HuntingMiddle => meter::hunting_middle(figures, chance),
            Self::HuntingLimit => meter::hunting_limit(figures, chance),
            Self::GainError => meter::gain_error(figures, chance),
            Self::InBand => meter::in_band(figures, chance),
            Self::WindowEnd => window::window_end(figures, chance),
            Self::AcceptEnd => window::accept_end(figures, chance),
            Self::Verdict => window::verdict(figures, chance),
            Self::WhichWay => window::which_way(figures, chance),
            Self::TargetAtCorner => traps::target_at_corner(figures, chance),
            Self::VoltsAtTone => traps::volts_at_tone(figures, chance),
            Self::TrueReference => traps::true_reference(figures, chance),
            Self::CornerOfReading => traps::corner_of_reading(figures, chance),
            Self::OtherFamily => traps::other_family(figures, chance),
            Self::Hazard => safety::hazard(figures, chance),
            Self::SafeBench => safety::bench(figures, chance),
        }
    }
}
