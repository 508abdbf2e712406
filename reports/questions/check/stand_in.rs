//! How far a pack that stands in for the wanted one may be off, against the windows that it is for.

use shimcast_sim::bench::setup::Setup;

use super::found::ring_room;
use crate::printed::Printed;
use crate::units::Units;

/// Doubts of `near_enough`: one that stand-ins use up half a window with, or none at all.
pub(super) fn near_doubts(setup: &Setup, shop: Units) -> Vec<String> {
    let near = setup.shop.drawer.near_enough;
    if near == 0.0 {
        return vec![
            "drawer.near_enough is 0: no pack may stand in for the one wanted, however near, so that \
             nearly every job waits."
                .into(),
        ];
    }
    let print = Printed::read_with(shop, &setup.shop.instruments);
    let mut windows = vec![("depth window", setup.axle.windows.depth)];
    if !setup.has_adjusters() {
        windows.push(("backlash window at the ring gear", 0.5 * ring_room(setup)));
    }
    windows
        .into_iter()
        .filter(|(_, half)| near > *half)
        .map(|(what, half)| {
            format!(
                "drawer.near_enough, {}, lets packs stand in that use up more than half of the {what} \
                 ({}).",
                print.given(near),
                print.length(half)
            )
        })
        .collect()
}
