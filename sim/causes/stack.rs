//! The textbook stack of the first assembly: each dimension loop as a sum of contributors, at the
//! worst and by root-sum-square.

use super::Input;
use crate::axle::Condition;
use crate::axle::packs::PackTable;
use crate::bench::setup::{Setup, SideStock};
use crate::shop::{PinionStart, SideStart};

/// The loops of the first assembly.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Loop {
    /// Pinion depth against the pair's own best.
    Depth,
    /// Backlash, mean of a turn.
    Backlash,
    /// Side closure.
    Closure,
}

impl Loop {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Depth, Self::Backlash, Self::Closure];
}

/// Contributor to a loop.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Contributor {
    /// An input.
    Input(Input),
    /// Rounding to the nearest pack or notch.
    Rounding,
}

/// One contributor with its effect on a loop.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Link {
    /// Who.
    pub contributor: Contributor,
    /// Its largest effect on the loop either way, with everything that belongs to it at its worst,
    /// mm.
    pub worst: f64,
    /// The same with what belongs to it combined by root-sum-square, mm.
    pub root_sum_square: f64,
}

/// The stack of one loop.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Stack {
    /// Which.
    pub of: Loop,
    /// Its contributors, the largest first.
    pub links: Vec<Link>,
}

impl Stack {
    /// Works out a loop as the first assembly of this setup closes it.
    ///
    /// # Definition
    /// Each drawn figure adds its coefficient times its largest deviation: its limits where the
    /// files state them, otherwise three sigmas; half a step where a figure is rounded.
    ///
    /// # Accuracy
    /// First order. Marks with a misread sign are in no stack; the side closure is taken to stay
    /// above zero.
    pub fn of(setup: &Setup, which: Loop) -> Self {
        let sum = match which {
            Loop::Depth => depth(setup),
            Loop::Backlash => backlash(setup),
            Loop::Closure => closure(),
        };
        let mut links: Vec<Link> = Vec::new();
        for (drawn, coefficient) in sum.0 {
            let worst = (coefficient * drawn.limit(setup)).abs();
            let contributor = drawn.contributor();
            if worst < 1e-9 {
                continue;
            }
            match links.iter_mut().find(|l| l.contributor == contributor) {
                Some(link) => {
                    link.worst += worst;
                    link.root_sum_square = link.root_sum_square.hypot(worst);
                }
                None => links.push(Link {
                    contributor,
                    worst,
                    root_sum_square: worst,
                }),
            }
        }
        links.sort_by(|a, b| b.root_sum_square.total_cmp(&a.root_sum_square));
        Self { of: which, links }
    }

    /// Everything at its worst at once, mm.
    pub fn worst(&self) -> f64 {
        self.links.iter().map(|link| link.worst).sum()
    }

    /// By root-sum-square, mm.
    pub fn root_sum_square(&self) -> f64 {
        let squares = self.links.iter().map(|link| link.root_sum_square.powi(2));
        squares.sum::<f64>().sqrt()
    }
}

/// One figure that is drawn and enters a loop.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum DrawnFigure {
    /// A part that exists once.
    Part(Input),
    /// The part in the job, where there is a new and an old one.
    InJob(Input),
    /// Rounding the mark in the job.
    Etched,
    /// Rounding the old mark.
    OldEtched,
    /// The one that came out.
    Old(Input),
    /// A slip-fit cone: head, or ring side.
    Cone(usize),
    /// Measuring a bearing height: new or old, head or ring side.
    Height(usize),
    /// Measuring the old pack: pinion, or ring side.
    Measured(usize),
    /// The depth gauge.
    Gauge,
    /// Finding zero end play, or zero backlash.
    EndPlay(usize),
    /// The real thickness of a pack: pinion, ring side, far side.
    Thickness(usize),
    /// The nearest pack: pinion, ring side, far side.
    Nearest(usize),
}

/// A sum of drawn figures with their coefficients.
#[derive(Default)]
struct Sum(Vec<(DrawnFigure, f64)>);

impl Sum {
    fn add(&mut self, drawn: DrawnFigure, coefficient: f64) {
        match self.0.iter_mut().find(|(have, _)| *have == drawn) {
            Some((_, sum)) => *sum += coefficient,
            None => self.0.push((drawn, coefficient)),
        }
    }

    fn add_all(&mut self, other: &Self, times: f64) {
        for (drawn, coefficient) in &other.0 {
            self.add(*drawn, times * coefficient);
        }
    }
}

/// The old part where there is a new and an old one; the part in the job where it is kept.
fn old(condition: Condition, input: Input) -> DrawnFigure {
    match condition {
        Condition::New => DrawnFigure::Old(input),
        Condition::Kept => DrawnFigure::InJob(input),
    }
}

/// Error from the difference of the new and the old bearing height: as it is, or that of measuring
/// where the shop measures and corrects it.
fn bearing_grown(setup: &Setup, input: Input, place: usize, sum: &mut Sum) {
    if setup.shop.bench.measures_heights && setup.bearings == Condition::New {
        sum.add(DrawnFigure::Height(2 * place), 1.0);
        sum.add(DrawnFigure::Height(2 * place + 1), -1.0);
    } else {
        sum.add(old(setup.bearings, input), 1.0);
        sum.add(DrawnFigure::InJob(input), -1.0);
    }
}

/// What rounding the mark of the same pair adds to an error of a mark.
fn etched(mark: DrawnFigure) -> DrawnFigure {
    match mark {
        DrawnFigure::Old(_) => DrawnFigure::OldEtched,
        _ => DrawnFigure::Etched,
    }
}

/// dP of the first assembly.
fn depth(setup: &Setup) -> Sum {
    let mut sum = Sum::default();
    let deeper = setup.axle.pinion_shim.seat.depth_per_thickness();
    let mark = DrawnFigure::InJob(Input::MarkError);
    match setup.shop.bench.pinion_start {
        PinionStart::OldPack => {
            bearing_grown(setup, Input::HeadBearing, 0, &mut sum);
            sum.add(DrawnFigure::Part(Input::OldDepth), 1.0);
            sum.add(mark, 1.0);
            sum.add(etched(mark), 1.0);
            sum.add(DrawnFigure::Measured(0), -deeper);
            sum.add(DrawnFigure::Cone(0), -1.0);
        }
        PinionStart::Gauge => {
            // the gauge measures bearing and housing, so both cancel
            sum.add(DrawnFigure::Gauge, -1.0);
            sum.add(mark, 1.0);
            sum.add(etched(mark), 1.0);
        }
        PinionStart::Usual => {
            sum.add(DrawnFigure::Part(Input::HeadSeat), 1.0);
            sum.add(DrawnFigure::InJob(Input::HeadBearing), -1.0);
            sum.add(mark, 1.0);
            sum.add(etched(mark), 1.0);
            sum.add(DrawnFigure::Cone(0), -1.0);
        }
    }
    sum.add(DrawnFigure::Nearest(0), -deeper);
    sum.add(DrawnFigure::Thickness(0), -deeper);
    sum
}

/// c of the first assembly: the total found absorbs everything else.
fn closure() -> Sum {
    let mut sum = Sum::default();
    sum.add(DrawnFigure::EndPlay(0), 1.0);
    sum.add(DrawnFigure::Nearest(2), 1.0);
    sum.add(DrawnFigure::Thickness(1), 1.0);
    sum.add(DrawnFigure::Thickness(2), 1.0);
    sum
}

/// Backlash of the first assembly.
fn backlash(setup: &Setup) -> Sum {
    let rates = &setup.rates;
    let (kg, kp) = (rates.per_ring_move, rates.per_depth);
    let (ke, ks) = (rates.per_offset, rates.per_arcminute);
    let mut ring = Sum::default();
    let depth = depth(setup);
    match setup.shop.bench.side_start {
        SideStart::OldPacks => {
            bearing_grown(setup, Input::SideBearings, 1, &mut ring);
            ring.add(old(setup.gears, Input::RingDeviation), 1.0);
            ring.add(DrawnFigure::InJob(Input::RingDeviation), -1.0);
            ring.add(DrawnFigure::Cone(1), -1.0);
            ring.add(DrawnFigure::Measured(1), -1.0);
            // the old backlash was set at the old depth, offset and angle
            ring.add(DrawnFigure::Part(Input::OldBacklash), 1.0 / kg);
            ring.add(DrawnFigure::Part(Input::OldDepth), -kp / kg);
            let mark = old(setup.gears, Input::MarkError);
            ring.add(mark, -kp / kg);
            ring.add(etched(mark), -kp / kg);
            ring.add(DrawnFigure::Part(Input::Offset), -ke / kg);
            ring.add(DrawnFigure::Part(Input::ShaftAngle), -ks / kg);
        }
        SideStart::Usual => {
            ring.add(DrawnFigure::Part(Input::RingSeat), 1.0);
            ring.add(DrawnFigure::InJob(Input::SideBearings), -1.0);
            ring.add(DrawnFigure::Cone(1), -1.0);
            ring.add(DrawnFigure::Part(Input::ShoulderRing), -1.0);
            ring.add(DrawnFigure::InJob(Input::RingDeviation), -1.0);
        }
        SideStart::ZeroLash => {
            // measured from the tightest tooth, which lies half the variation below the mean
            ring.add(
                DrawnFigure::Part(Input::ToothRunout),
                0.5 * rates.tangential / kg,
            );
            ring.add(DrawnFigure::Part(Input::FaceRunout), 0.5);
            ring.add_all(&depth, -kp / kg);
            ring.add(DrawnFigure::Part(Input::Offset), -ke / kg);
            ring.add(DrawnFigure::Part(Input::ShaftAngle), -ks / kg);
            ring.add(DrawnFigure::EndPlay(1), 1.0);
        }
    }
    ring.add(DrawnFigure::Nearest(1), -1.0);
    ring.add(DrawnFigure::Thickness(1), -1.0);
    ring.add_all(&closure(), setup.axle.housing.ring_share);
    let mut sum = Sum::default();
    sum.add_all(&ring, kg);
    sum.add_all(&depth, kp);
    sum.add(DrawnFigure::Part(Input::Offset), ke);
    sum.add(DrawnFigure::Part(Input::ShaftAngle), ks);
    sum
}

impl DrawnFigure {
    fn contributor(self) -> Contributor {
        Contributor::Input(match self {
            Self::Part(input) | Self::InJob(input) | Self::Old(input) => input,
            Self::Etched | Self::OldEtched => Input::MarkStep,
            Self::Cone(_) => Input::SetupBearing,
            Self::Height(_) => Input::Height,
            Self::Measured(_) | Self::Thickness(_) => Input::Thickness,
            Self::Gauge => Input::DepthGauge,
            Self::EndPlay(_) => Input::EndPlay,
            Self::Nearest(_) => return Contributor::Rounding,
        })
    }

    /// Its largest deviation, mm or arc-minutes.
    fn limit(self, setup: &Setup) -> f64 {
        const SIGMAS: f64 = 3.0;
        let axle = &setup.axle;
        let instruments = &setup.shop.instruments;
        let [ring, far] = axle.side_shims.usual;
        let usual = [axle.pinion_shim.usual, ring, far];
        let side_stock = axle.side_shims.stock.as_deref();
        match self {
            Self::Part(input) | Self::InJob(input) | Self::Old(input) => {
                input.tolerance(axle).map_or(0.0, |t| t.worst())
            }
            Self::Etched | Self::OldEtched => 0.5 * axle.gears.mark.step,
            Self::Cone(_) if setup.on_setup_bearings() => SIGMAS * instruments.setup_bearing,
            Self::Cone(_) => 0.0,
            Self::Height(_) => SIGMAS * instruments.height,
            Self::Measured(place) => {
                let stock = [Some(axle.pinion_shim.stock.as_str()), side_stock][place];
                SIGMAS * setup.old_pack_sigma(stock, usual[place])
            }
            Self::Gauge => {
                SIGMAS * instruments.depth_gauge.sigma + 0.5 * instruments.depth_gauge.step
            }
            Self::EndPlay(_) => SIGMAS * instruments.end_play,
            Self::Thickness(place) => table(setup, place).map_or(0.0, |table| {
                SIGMAS * table.all()[table.nearest(usual[place])].sigma
            }),
            Self::Nearest(place) => match (table(setup, place), &setup.side_stock) {
                (Some(table), _) => half_gap(table, usual[place]),
                (None, SideStock::Notches(notch)) => 0.5 * notch,
                (None, SideStock::Packs(_)) => 0.0,
            },
        }
    }
}

fn table(setup: &Setup, place: usize) -> Option<&PackTable> {
    match (place, &setup.side_stock) {
        (0, _) => Some(&setup.pinion_packs),
        (_, SideStock::Packs(table)) => Some(table),
        (_, SideStock::Notches(_)) => None,
    }
}

/// Half the widest gap between packs near a thickness, mm.
fn half_gap(table: &PackTable, usual: f64) -> f64 {
    const NEAR: f64 = 0.15;
    let near: Vec<f64> = table
        .all()
        .iter()
        .map(|pack| pack.printed)
        .filter(|printed| (printed - usual).abs() <= NEAR)
        .collect();
    let gaps = near.windows(2).map(|pair| pair[1] - pair[0]);
    0.5 * gaps.fold(0.0, f64::max)
}
