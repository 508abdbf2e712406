//! What chance does at the bench, figure by figure: from dice of its own, or as it fell elsewhere.

use super::dice::Dice;
use super::tolerance::Tolerance;
use std::collections::VecDeque;
use std::f64::consts::TAU;

const NEAR: f64 = 1e-9;

/// What a figure drawn at the bench is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Figure {
    MarksTurned,
    SetupBearing,
    Height,
    Thickness,
    DepthGauge,
    EndPlay,
    Dial,
    Pattern,
    /// An error of a torque reading.
    Torque,
    Nut,
    Slip,
}

const FIGURES: usize = Figure::Slip as usize + 1;

/// What a torque is read for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TorqueOf {
    Pinion,
    SideRise,
}

/// A runout's size, peak to peak, and the angle of its highest point.
#[derive(Clone, Copy, Debug)]
pub struct Runout {
    pub size: f64,
    pub phase: f64,
}

impl Runout {
    pub fn draw(size: &Tolerance, dice: &mut Dice) -> Self {
        Runout {
            size: size.draw(dice),
            phase: dice.between(0.0, TAU),
        }
    }
}

pub trait Chance {
    /// N(0, 1).
    fn standard(&mut self, figure: Figure) -> f64;

    /// Whether something of this chance happens.
    fn happens(&mut self, figure: Figure, share: f64) -> bool;

    /// The error of a torque reading: N(0, `of_truth`) and N(0, sigma) together.
    fn torque_error(&mut self, of_truth: f64, sigma: f64) -> f64;

    /// What is read of a true torque.
    fn read_torque(&mut self, what: TorqueOf, truth: f64, read: &dyn Fn(f64) -> f64) -> f64;

    /// How the ring gear's face seats once more.
    fn reseat(&mut self, face: &Tolerance) -> Runout;

    /// The minutes of one go.
    fn minutes(&mut self, span: [f64; 3]) -> f64;

    /// The pace of a whole job, as a factor of its minutes.
    fn pace(&mut self, spread: f64) -> f64;

    /// N(0, sigma).
    fn normal(&mut self, figure: Figure, sigma: f64) -> f64 {
        sigma * self.standard(figure)
    }
}

impl Chance for Dice {
    fn standard(&mut self, _: Figure) -> f64 {
        Dice::normal(self, 1.0)
    }

    fn happens(&mut self, _: Figure, share: f64) -> bool {
        self.chance(share)
    }

    fn torque_error(&mut self, of_truth: f64, sigma: f64) -> f64 {
        Dice::normal(self, of_truth) + Dice::normal(self, sigma)
    }

    fn read_torque(&mut self, _: TorqueOf, truth: f64, read: &dyn Fn(f64) -> f64) -> f64 {
        read(truth)
    }

    fn reseat(&mut self, face: &Tolerance) -> Runout {
        Runout::draw(face, self)
    }

    fn minutes(&mut self, span: [f64; 3]) -> f64 {
        self.triangular(span)
    }

    fn pace(&mut self, spread: f64) -> f64 {
        (Dice::normal(self, spread) - spread * spread / 2.0).exp()
    }
}

/// What fell at another bench, in order, to play the same rebuild once more.
#[derive(Clone, Debug, Default)]
pub struct Tape {
    figures: [VecDeque<f64>; FIGURES],
    reseats: VecDeque<Runout>,
    /// What was read there of the pinion's torque, and of the side pair's.
    readings: [VecDeque<f64>; 2],
    /// How far true torques there may lie from those found here, N·m.
    torque_slack: f64,
    /// Whether more was asked for than there is.
    pub ran_out: bool,
    /// Torque readings that are one graduation off for a true torque that is a hair off.
    pub on_the_edge: u32,
}

impl Tape {
    pub fn new(torque_slack: f64) -> Self {
        Tape {
            torque_slack,
            ..Tape::default()
        }
    }

    /// A standard normal figure, or one uniform in 0 … 1 for what happens or not.
    pub fn record(&mut self, figure: Figure, value: f64) {
        self.figures[figure as usize].push_back(value);
    }

    pub fn record_reseat(&mut self, face: Runout) {
        self.reseats.push_back(face);
    }

    pub fn record_reading(&mut self, what: TorqueOf, reading: f64) {
        self.readings[what as usize].push_back(reading);
    }

    /// Figures recorded for this and not asked for.
    pub fn left_of(&self, figure: Figure) -> usize {
        self.figures[figure as usize].len()
    }

    /// Everything recorded and not asked for.
    pub fn left(&self) -> usize {
        let figures: usize = self.figures.iter().map(VecDeque::len).sum();
        let readings: usize = self.readings.iter().map(VecDeque::len).sum();
        figures + readings + self.reseats.len()
    }

    fn next(&mut self, figure: Figure) -> f64 {
        let next = self.figures[figure as usize].pop_front();
        self.ran_out |= next.is_none();
        next.unwrap_or(0.5)
    }
}

impl Chance for Tape {
    fn standard(&mut self, figure: Figure) -> f64 {
        self.next(figure)
    }

    fn happens(&mut self, figure: Figure, share: f64) -> bool {
        self.next(figure) < share
    }

    /// One figure stands for both errors together, as two normal errors that add up are one.
    fn torque_error(&mut self, of_truth: f64, sigma: f64) -> f64 {
        of_truth.hypot(sigma) * self.next(Figure::Torque)
    }

    /// The reading made there, where a true torque within the slack reads as much; else what is
    /// read here.
    fn read_torque(&mut self, what: TorqueOf, truth: f64, read: &dyn Fn(f64) -> f64) -> f64 {
        let own = read(truth);
        let Some(there) = self.readings[what as usize].pop_front() else {
            self.ran_out = true;
            return own;
        };
        let [low, high] = [-1.0, 1.0].map(|side| read(truth + side * self.torque_slack));
        if there < low - NEAR || there > high + NEAR {
            return own;
        }
        self.on_the_edge += u32::from((there - own).abs() > 2.0 * self.torque_slack);
        there
    }

    fn reseat(&mut self, _: &Tolerance) -> Runout {
        let next = self.reseats.pop_front();
        self.ran_out |= next.is_none();
        next.unwrap_or(Runout {
            size: 0.0,
            phase: 0.0,
        })
    }

    /// Times are not on the tape.
    fn minutes(&mut self, [_, usual, _]: [f64; 3]) -> f64 {
        usual
    }

    fn pace(&mut self, _: f64) -> f64 {
        1.0
    }
}
