//! What single figures of a job are called, in words and in its file.

use shimcast_sim::bench::PackPlace;
use shimcast_sim::next::Reading;

/// The dotted key of a figure; entry 0 is what was known before.
pub(super) fn key(entry: usize, reading: Reading) -> String {
    let key = match reading {
        Reading::MarkOld => "mark_old",
        Reading::MarkNew => "mark_new",
        Reading::PinionPack => "pinion_pack",
        Reading::RingPack => "ring_pack",
        Reading::FarPack => "far_pack",
        Reading::PreloadPack => "preload_pack",
        Reading::HeadHeight => "head_height",
        Reading::TailHeight => "tail_height",
        Reading::RingHeight => "ring_height",
        Reading::FarHeight => "far_height",
        Reading::Gauge => "gauge",
        Reading::ZeroTotal => "zero_total",
        Reading::Backlash(_) => "backlash",
        Reading::Drive => "drive",
        Reading::Coast => "coast",
        Reading::Rise => "rise",
        Reading::Torque(_) => "torque",
    };
    match entry {
        0 => format!("known.{key}"),
        entry => format!("assemblies.{entry}.{key}"),
    }
}

/// The dotted key of a pack that was fitted.
pub(super) fn key_of_pack(entry: usize, place: PackPlace) -> String {
    let key = match place {
        PackPlace::Pinion => "pinion",
        PackPlace::RingSide => "ring",
        PackPlace::FarSide => "far",
        PackPlace::Spacer => "preload",
    };
    format!("assemblies.{entry}.{key}")
}

/// A figure in the words of the trade.
pub(super) fn reading(reading: Reading) -> String {
    let words = match reading {
        Reading::MarkOld => "the mark of the pinion that came out",
        Reading::MarkNew => "the mark of the pinion that goes in",
        Reading::PinionPack => "the pinion pack that came out",
        Reading::RingPack => "the ring-side pack that came out",
        Reading::FarPack => "the far-side pack that came out",
        Reading::PreloadPack => "the spacer's pack that came out",
        Reading::HeadHeight => "the heights of the head bearing",
        Reading::TailHeight => "the heights of the tail bearing",
        Reading::RingHeight => "the heights of the ring-side bearing",
        Reading::FarHeight => "the heights of the far-side bearing",
        Reading::Gauge => "the depth gauge's pack",
        Reading::ZeroTotal => "the side packs at zero end play",
        Reading::Backlash(at) => return format!("backlash reading {}", at + 1),
        Reading::Drive => "the drive-side pattern",
        Reading::Coast => "the coast-side pattern",
        Reading::Rise => "the rise of the turning torque",
        Reading::Torque(at) => return format!("torque reading {}", at + 1),
    };
    words.to_owned()
}

/// A pack in the words of the trade.
pub(super) fn pack(place: PackPlace) -> &'static str {
    match place {
        PackPlace::Pinion => "the pinion pack",
        PackPlace::RingSide => "the ring-side pack",
        PackPlace::FarSide => "the far-side pack",
        PackPlace::Spacer => "the spacer's pack",
    }
}

/// Whose figure it is; entry 0 is what was known before.
pub(super) fn entry(entry: usize) -> String {
    match entry {
        0 => "what was known before".to_owned(),
        entry => format!("assembly {entry}"),
    }
}
