//! What the inputs of a job are called.

use shimcast_sim::axle::Condition;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::causes::{Input, Loop};

/// Behind an input that is renewed in the job: the new part has a say, and the old one.
const NEW_AND_OLD: &str = ", new and old";

/// An input in a workshop's words.
pub fn words(input: Input, setup: &Setup) -> &'static str {
    let kept = match input {
        Input::HeadBearing | Input::TailBearing | Input::SideBearings => {
            setup.bearings == Condition::Kept
        }
        Input::DepthDeviation | Input::RingDeviation => setup.gears == Condition::Kept,
        _ => false,
    };
    let words = match input {
        Input::HeadSeat => "head-bearing seat",
        Input::RingSeat => "side seat, ring-gear side",
        Input::FarSeat => "side seat, far side",
        Input::Offset => "pinion offset",
        Input::ShaftAngle => "shaft angle",
        Input::Shoulders => "carrier between its shoulders",
        Input::ShoulderRing => "carrier shoulder to ring-gear face",
        Input::FaceRunout => "runout of the ring-gear face",
        Input::ToothRunout => "runout of the teeth",
        Input::HeadBearing => "head bearing height, new and old",
        Input::TailBearing => "tail bearing height, new and old",
        Input::SideBearings => "side bearing heights, new and old",
        Input::DepthDeviation => "best depth of the pair, new and old",
        Input::RingDeviation => "best ring position, new and old",
        Input::MarkError => "error of the mark",
        Input::MarkStep => "rounding of the mark",
        Input::ScatterLength => "pattern scatter along the tooth",
        Input::ScatterProfile => "pattern scatter up the profile",
        Input::PinionFriction => "friction of the pinion bearings",
        Input::SideFriction => "friction of the side bearings",
        Input::SealDrag => "seal drag",
        Input::OldDepth => "old depth against its mark",
        Input::OldBacklash => "old backlash against its window",
        Input::OldClosure => "old preload of the spacer",
        Input::Gap => "gap that the spacer fills",
        Input::Spacer => "length of the spacer",
        Input::MarkSlip => "marks taken the wrong way round",
        Input::SetupBearing => "set-up bearings against real ones",
        Input::Height => "measuring bearing heights",
        Input::Thickness if setup.shop.instruments.micrometer.is_some() => "micrometer",
        Input::Thickness => "shim thickness, as bought",
        Input::DepthGauge => "depth gauge",
        Input::EndPlay => "finding zero end play",
        Input::Dial => "dial indicator, its error",
        Input::DialStep => "dial indicator, its graduation",
        Input::Pattern => "reading the pattern",
        Input::Torque => "reading torque",
        Input::Nut => "turning the pinion nut",
        Input::Minutes => "pace and times of the work",
    };
    if kept {
        words.strip_suffix(NEW_AND_OLD).unwrap_or(words)
    } else {
        words
    }
}

/// A loop in words.
pub fn loop_words(which: Loop) -> &'static str {
    match which {
        Loop::Depth => "Pinion depth",
        Loop::Backlash => "Mean backlash",
        Loop::Closure => "Side preload",
    }
}

/// A loop's name in answers.
pub fn loop_key(which: Loop) -> &'static str {
    match which {
        Loop::Depth => "depth",
        Loop::Backlash => "backlash",
        Loop::Closure => "side_closure",
    }
}
