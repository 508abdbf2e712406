//! The choice of gear set as JSON. An E here lies between limits; it is no confidence interval.

use serde_json::{Value, json};

use shimcast_sim::ratio::{Between, Gearing, axles_agree};

use super::choice::{Fit, GearChoice, Wheel};
use crate::questions::json::{head, joined, list};

/// The choice of gear set. Nothing is simulated, so the head has no seed, shop, gears or bearings.
pub(super) fn json(asked: &GearChoice) -> Value {
    let gearing = &asked.gearing;
    let answer = json!({
        "axle": asked.axle,
        "shop": null,
        "gears": null,
        "bearings": null,
        "assumptions": assumptions(asked),
        "ratio": gearing.ratio,
        "target": gearing.target,
        "effective": between(gearing.effective(gearing.ratio)),
        "wanted": between(gearing.wanted()),
        "speedometer": between(gearing.speedometer(gearing.ratio)),
        "tyres": asked.tyres.as_ref().map(|[old, new]| json!({
            "old": wheel(old),
            "new": wheel(new),
            "new_loaded_circumference": asked.loaded(),
        })),
        "pairs": list(asked.fits(), |fit| pair(asked, &fit)),
        "engine_speed": engine_speed(asked),
        "other_axle": asked.other_axle.map(|other| json!({
            "ratio": other,
            "apart": Gearing::apart(gearing.ratio, other),
            "agrees": axles_agree(gearing.ratio, other),
        })),
    });
    joined(head("ratio", None, 0, false), answer)
}

fn between(between: Between) -> Value {
    json!({ "value": between.value, "low": between.low, "high": between.high })
}

fn assumptions(asked: &GearChoice) -> Vec<&'static str> {
    let mut wheels = asked.tyres.iter().flatten();
    let rolls = "a tyre rolls 0.96 to 0.97 of its free circumference where that was not measured";
    let unmeasured = wheels.any(|wheel| !wheel.measured);
    unmeasured.then_some(rolls).into_iter().collect()
}

fn wheel(wheel: &Wheel) -> Value {
    json!({
        "size": wheel.size.typed,
        "diameter": wheel.tyre.diameter,
        "free_circumference": wheel.tyre.free(),
        "rolling_circumference": between(wheel.tyre.rolling),
        "measured": wheel.measured,
    })
}

fn pair(asked: &GearChoice, fit: &Fit<'_>) -> Value {
    let teeth = fit.pair.teeth;
    json!({
        "ring_teeth": teeth.ring,
        "pinion_teeth": teeth.pinion,
        "ratio": teeth.ratio(),
        "hunting": teeth.hunting(),
        "effective": between(fit.effective),
        "off": between(fit.off),
        "speedometer": between(fit.speedometer),
        "engine_speed": gears(asked, &fit.engine),
        "other_axle": fit.other_axle,
        "note": fit.pair.note,
    })
}

fn engine_speed(asked: &GearChoice) -> Value {
    let (Some(speed), Some([old, new])) = (&asked.speed, &asked.tyres) else {
        return Value::Null;
    };
    let ratio = asked.gearing.ratio;
    let on = |rolling| gears(asked, &asked.engine(ratio, rolling));
    json!({
        "metres_per_second": speed.metres_per_second,
        "old_tyres": on(old.tyre.rolling),
        "new_tyres": on(new.tyre.rolling),
        "by_free_circumference": on(Between::exactly(new.tyre.free())),
        "by_loaded_circumference": asked.loaded().map(|mm| on(Between::exactly(mm))),
    })
}

fn gears(asked: &GearChoice, speeds: &[Between]) -> Value {
    list(
        asked.gearbox.iter().zip(speeds),
        |(gear, speed)| json!({ "gearbox": gear, "a_minute": between(*speed) }),
    )
}
