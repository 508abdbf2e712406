//! What the figures and choices of the files are called here, and to which group each belongs.

use shimcast_sim::bench::minutes::Task;
use shimcast_sim::bench::setup::Setup;
use shimcast_sim::causes::Input;

use super::Base;
use crate::{inputs, tasks};

/// Figures and choices that belong together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Part {
    /// What is renewed.
    Job,
    /// How the work is done.
    Work,
    /// What is measured with.
    Instruments,
    /// How much parts vary.
    Spreads,
    /// What else the axle does.
    Axle,
    /// The windows to land in.
    Windows,
    /// The shims of this axle.
    Shims,
    /// How long the work takes.
    Minutes,
    /// What things cost.
    Prices,
}

impl Part {
    /// All of them, in the order shown.
    pub(super) const ALL: [Self; 9] = [
        Self::Job,
        Self::Work,
        Self::Instruments,
        Self::Spreads,
        Self::Axle,
        Self::Windows,
        Self::Shims,
        Self::Minutes,
        Self::Prices,
    ];

    /// Over its fields.
    pub(super) fn heading(self) -> &'static str {
        match self {
            Self::Job => "What is renewed",
            Self::Work => "How the work is done",
            Self::Instruments => "What is measured with",
            Self::Spreads => "How much parts vary",
            Self::Axle => "What else the axle does",
            Self::Windows => "The windows to land in",
            Self::Shims => "The shims",
            Self::Minutes => "How long the work takes",
            Self::Prices => "What things cost",
        }
    }

    /// What is said of its fields.
    pub(super) fn said(self) -> Option<&'static str> {
        match self {
            Self::Instruments => Some("Errors are one sigma: two readings in three are nearer."),
            Self::Windows => Some(
                "The service manual sets these. Moving one shows what it asks of a bench; it is no \
                 leave to work to another.",
            ),
            Self::Minutes => Some("Usual minutes for one go; least and most stay as they are."),
            _ => None,
        }
    }

    /// Whether its fields are errors and spreads: things of which there might be none.
    pub(super) fn is_error(self) -> bool {
        matches!(self, Self::Instruments | Self::Spreads)
    }

    /// Whether its fields can be among those that matter most. What the manual sets, and what is
    /// paid and taken for the work whatever way it is done, is not what a bench chooses.
    pub(super) fn is_weighed(self) -> bool {
        matches!(
            self,
            Self::Job | Self::Work | Self::Instruments | Self::Spreads | Self::Shims
        )
    }
}

/// A figure as it is called.
struct Named {
    key: &'static str,
    part: Part,
    name: &'static str,
    help: &'static str,
}

/// A row a figure, in the order shown: its key, what it is called, and what helps to set it.
macro_rules! named {
    ($($part:ident { $($key:literal is $name:literal $(, $help:literal)?;)+ })+) => {
        &[$($(Named {
            key: $key,
            part: Part::$part,
            name: $name,
            help: named!(@help $($help)?),
        }),+),+]
    };
    (@help) => { "" };
    (@help $help:literal) => { $help };
}

/// `*` stands for a series.
static FIGURES: &[Named] = named! {
    Work {
        "bench.ring_belief" is "backlash expected per ring-gear move",
            "corrected by what moves did, where the technician learns";
        "bench.depth_belief" is "pattern shift expected per pinion move", "share of the tooth";
        "bench.first_move" is "first pinion move", "where moves are halved";
        "bench.smallest_move" is "smallest pinion move made";
        "bench.torque_readings" is "torque readings averaged", "where side preload is read";
        "bench.side_preload_added" is "side preload aimed for, past zero end play";
        "bench.backlash_points" is "teeth at which backlash is read";
        "bench.most_assemblies" is "assemblies before the job is given up";
        "bench.guard" is "margin kept inside each window", "share of its width, at either end";
        "bench.mark_slip" is "chance that marks are taken the wrong way round";
        "bench.sleeve_aim" is "how far into its window the torque is taken", "share of the window";
        "bench.sleeve_step" is "most that the nut is turned at one go";
        "bench.notch" is "ring-gear move of one adjuster notch";
        "bench.cone_spoiled" is "chance that a pulled cone is spoiled";
    }
    Instruments {
        "instruments.dial.sigma" is "backlash dial, its error";
        "instruments.dial.step" is "backlash dial, its graduation";
        "instruments.depth_gauge.sigma" is "depth gauge, its error";
        "instruments.depth_gauge.step" is "depth gauge, its graduation";
        "instruments.end_play.sigma" is "error of finding zero end play";
        "instruments.height.sigma" is "error of a bearing height", "where heights are measured";
        "instruments.torque.sigma" is "error of a torque reading";
        "instruments.torque.share" is "error of a torque reading, share of the torque";
        "instruments.torque.step" is "torque wrench or scale, its graduation";
        "instruments.pattern.profile" is "error of reading the pattern", "share of the tooth";
        "instruments.pattern.step" is "pattern read to", "share of the tooth";
        "instruments.micrometer.sigma" is "error of a shim as measured";
        "instruments.setup_bearing.sigma" is "set-up bearing against the real one";
        "instruments.nut.sigma" is "error of turning the nut";
        "instruments.nut.slip" is "chance that the nut slips further";
        "instruments.nut.slip_by" is "how far the nut slips then";
    }
    Spreads {
        "gears.mark.step" is "mark, rounded to";
        "gears.pattern.scatter.length" is "pattern scatter along the tooth",
            "one sigma, share of the tooth";
        "gears.pattern.scatter.profile" is "pattern scatter up the profile",
            "one sigma, share of the tooth";
    }
    Axle {
        "housing.stiffness" is "stiffness of the housing";
        "housing.ring_share" is "share of the closing on the ring-gear side";
        "bearings.used_friction" is "turning torque of run-in bearings against new ones";
        "pinion_preload.path_stiffness" is "stiffness around the pinion bearings";
    }
    Windows {
        "windows.backlash.1" is "backlash, least";
        "windows.backlash.2" is "backlash, most";
        "windows.backlash_variation" is "variation of backlash round the ring, most";
        "windows.depth" is "pinion depth, either way from the best";
        "windows.pattern.length" is "pattern along the tooth, either way from its centre",
            "share of the tooth";
        "windows.pattern.profile" is "pattern up the profile, either way from its centre",
            "share of the tooth";
        "windows.pinion_torque.1" is "torque to turn the pinion, new bearings, least";
        "windows.pinion_torque.2" is "torque to turn the pinion, new bearings, most";
        "windows.pinion_torque_used.1" is "torque to turn the pinion, old bearings, least";
        "windows.pinion_torque_used.2" is "torque to turn the pinion, old bearings, most";
        "windows.side_closure.1" is "side preload past zero end play, least";
        "windows.side_closure.2" is "side preload past zero end play, most";
    }
    Shims {
        "shims.*.tol" is "shim thickness, either way from the size printed";
        "shims.*.most_in_pack" is "most shims in one pack";
    }
    Minutes {
        "minutes.setup_bearing_saves" is "set-up bearings save, each change";
        "minutes.job_spread" is "a whole job runs long or short by", "one sigma, share of it";
    }
    Prices {
        "prices.hour" is "an hour, as charged";
        "prices.hour_cost" is "what an hour costs the shop";
        "prices.sleeve" is "a crush sleeve";
        "prices.cone" is "a bearing cone that was spoiled";
        "prices.comeback" is "a job that comes back";
        "prices.comeback_share" is "share of jobs clearly out that come back";
        "prices.given_up" is "a job given up";
    }
};

/// What a figure of a file is called, where it has a name here.
pub fn name_of(key: &str) -> Option<&'static str> {
    of_figure(key).map(|(_, name, _)| name)
}

/// A figure as it is called: its group, its name, and what helps.
pub(super) fn of_figure(key: &str) -> Option<(Part, &'static str, &'static str)> {
    let general = match key
        .strip_prefix("shims.")
        .and_then(|of| of.rsplit_once('.'))
    {
        Some((_, last)) => format!("shims.*.{last}"),
        None => key.to_owned(),
    };
    let known = FIGURES.iter().find(|known| known.key == general)?;
    Some((known.part, known.name, known.help))
}

/// What a tolerance is called whose spread has this key; `None` where it belongs to no part.
pub(super) fn of_spread(key: &str, setup: &Setup) -> Option<&'static str> {
    let input = Input::ALL
        .into_iter()
        .find(|input| input.key(setup) == key)?;
    Some(inputs::words(input, setup))
}

/// What an operation is called whose minutes have this key below `minutes`; `None` where the axle has
/// no such operation.
pub(super) fn of_operation(key: &str, base: &Base) -> Option<&'static str> {
    let setup = &base.setup;
    let (operation, seat) = key.split_once('.').unwrap_or((key, ""));
    let own_seat = match operation {
        "side_change" => "side_shims.seat",
        _ => "pinion_shim.seat",
    };
    if !seat.is_empty() && base.word_of(own_seat).as_deref() != Some(seat) {
        return None;
    }
    let has_sleeve = setup.axle.pinion_preload.stock().is_none();
    match operation {
        "sleeve" | "sleeve_again" if !has_sleeve => None,
        "spacer_change" if has_sleeve => None,
        "sleeve_again" => Some("crush a further sleeve"),
        _ => {
            let task = Task::ALL
                .into_iter()
                .find(|task| tasks::key(*task) == operation)?;
            Some(tasks::words(task, setup))
        }
    }
}
