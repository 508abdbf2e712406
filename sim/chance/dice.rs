//! Random figures, addressed by (seed, rebuild, purpose).
//!
//! Every rebuild has its own streams, so results depend neither on threads nor on block size, any
//! rebuild can be replayed alone, and two ways of working meet the same parts. The same address
//! gives the same bits on every platform: the generator is named, seeding is integer arithmetic,
//! and no draw takes the platform's own `exp` or `ln`.

use std::convert::Infallible;

use rand::TryRng;
use wyrand::WyRand;

use crate::chance::ziggurat;

/// What a stream is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Purpose {
    /// The parts of one rebuild.
    Parts,
    /// What happens at the bench.
    Bench,
    /// How long each operation takes.
    Minutes,
    /// When jobs come to a shop, and which.
    Arrivals = 16,
    /// Which shims are spoiled when they come out.
    Spoiling = 17,
    /// How late deliveries are.
    Lateness = 18,
    /// When a job finds a drawer.
    Moments = 19,
    /// What is believed of an axle on the bench.
    Belief = 24,
    /// What may be read of it.
    Readings = 25,
    /// What goes on at the bench from there, and where.
    Onwards = 26,
    /// What a technician writes down of a job and the bench does not need.
    Records = 32,
    /// Which of many recorded jobs stand beside a shop's own.
    Beside = 33,
}

/// The key that addresses one rebuild.
///
/// # Example
/// ```
/// use shimcast_sim::chance::dice::{Address, Purpose};
///
/// let first = |purpose| Address::new(1, 0).stream(purpose).uniform();
/// assert_eq!(first(Purpose::Parts), first(Purpose::Parts));
/// assert_ne!(first(Purpose::Parts), first(Purpose::Bench));
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Address(u64);

/// Mixes all bits of `x` into all bits of the answer.
///
/// # Source
/// Stafford, "Better bit mixing", variant 13 of the 64-bit finalizer.
fn mix(mut x: u64) -> u64 {
    x = (x ^ (x >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    x = (x ^ (x >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    x ^ (x >> 31)
}

impl Address {
    /// The address of rebuild `index` under `seed`.
    ///
    /// # Definition
    /// Nested mixing: with a sum, neighbouring addresses would share state.
    pub fn new(seed: u64, index: u64) -> Self {
        let seed = mix(seed ^ 0x5368_696d_5365_6564);
        Self(mix(seed ^ mix(index ^ 0x5265_6275_696c_6421)))
    }

    /// The address of a rebuild independent of this one and of all others of a seed: the source of
    /// figures that replace some of this rebuild's.
    pub fn partner(self) -> Self {
        self.within(0x5061_7274_6e65_7221)
    }

    /// An address inside this one: a job in a year, a year in a sample.
    ///
    /// # Definition
    /// Mixed once more, so that two paths of indices coincide only by chance.
    pub fn within(self, index: u64) -> Self {
        Self(mix(self.0 ^ mix(index ^ 0x5769_7468_696e_2121)))
    }

    /// The figures of this address for one purpose, addressed by number.
    #[doc(hidden)]
    pub fn numbered(self, purpose: Purpose) -> NumberedFigures {
        NumberedFigures(mix(self.0 ^ mix(purpose as u64 + 0x4e75_6d62_6572_6564)))
    }

    /// The stream of this rebuild for one purpose.
    pub fn stream(self, purpose: Purpose) -> Dice {
        Dice::keyed(mix(self.0 ^ mix(purpose as u64 + 0x4265_6e63_6821)))
    }
}

/// Figures addressed by number: the value of one does not depend on which were drawn before.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[doc(hidden)]
pub struct NumberedFigures(u64);

impl NumberedFigures {
    /// The figure of this number, uniform in 0 (with) … 1 (without).
    #[inline]
    pub fn uniform(self, number: u64) -> f64 {
        ziggurat::uniform(self.bits(number))
    }

    /// The smaller and the larger of two uniform figures of this number, 0 … 2³² − 1.
    #[inline(always)]
    pub(crate) fn two(self, number: u64) -> [u32; 2] {
        let bits = self.bits(number);
        let (one, other) = ((bits >> 32) as u32, bits as u32);
        [one.min(other), one.max(other)]
    }

    #[inline(always)]
    fn bits(self, number: u64) -> u64 {
        // a counter added to a mixed key, as in a stream
        let counter = number.wrapping_mul(0xd6e8_feb8_6659_fd93);
        WyRand::new(self.0.wrapping_add(counter)).rand()
    }
}

/// One stream of random figures. Each takes one step of its generator, a counter added to a mixed
/// key: no state is set up, and no figure depends on the one before.
///
/// # Source
/// Wang Yi, wyrand, final version 4.2.
#[derive(Debug, Clone)]
pub struct Dice(WyRand);

impl Dice {
    fn keyed(key: u64) -> Self {
        Self(WyRand::new(key))
    }

    /// A stream for testing a distribution, apart from any rebuild.
    pub(crate) fn for_trial() -> Self {
        Self::keyed(0)
    }

    /// A stream derived from this position, for a part drawn again after an inspection rejected it.
    pub(crate) fn aside(&self) -> Self {
        let mut here = self.0.clone();
        Self::keyed(mix(here.rand() ^ 0x5370_6172_6521))
    }

    /// The next 64 random bits.
    #[inline(always)]
    pub(crate) fn bits(&mut self) -> u64 {
        self.0.rand()
    }

    /// A standard normal figure.
    #[inline(always)]
    pub fn normal(&mut self) -> f64 {
        ziggurat::normal(self.bits())
    }

    /// Uniform in 0 (with) … 1 (without).
    #[inline]
    pub fn uniform(&mut self) -> f64 {
        ziggurat::uniform(self.bits())
    }

    /// A whole number below this one, each as likely.
    pub(crate) fn below(&mut self, count: usize) -> usize {
        ((self.uniform() * count as f64) as usize).min(count - 1)
    }

    /// Puts these into an order that has nothing to do with them.
    pub(crate) fn shuffle<T>(&mut self, all: &mut [T]) {
        for at in (1..all.len()).rev() {
            all.swap(at, self.below(at + 1));
        }
    }

    /// Whether an event of this probability happens.
    #[inline]
    pub fn chance(&mut self, share: f64) -> bool {
        self.uniform() < share
    }

    /// Cosine and sine of a uniform angle.
    #[inline]
    pub fn direction(&mut self) -> [f64; 2] {
        direction(self.bits())
    }
}

/// For the distributions of `rand_distr`.
impl TryRng for Dice {
    type Error = Infallible;

    fn try_next_u32(&mut self) -> Result<u32, Infallible> {
        self.0.try_next_u32()
    }

    fn try_next_u64(&mut self) -> Result<u64, Infallible> {
        self.0.try_next_u64()
    }

    fn try_fill_bytes(&mut self, bytes: &mut [u8]) -> Result<(), Infallible> {
        self.0.try_fill_bytes(bytes)
    }
}

/// Cosine and sine of a uniform angle: a series for an angle up to an eighth of a turn either way,
/// mirrored into the other eighths by three further bits. Products and sums alone, so the bits are
/// the same on every platform.
///
/// # Accuracy
/// 10⁻¹⁵.
///
/// # Source
/// The polynomials of the kernels of sine and cosine in fdlibm, which hold up to an eighth of a
/// turn.
#[inline(always)]
fn direction(bits: u64) -> [f64; 2] {
    // the mantissa of a figure in 1 … 2, moved to −½ … ½
    let share = f64::from_bits((bits >> 12) | 0x3ff0_0000_0000_0000) - 1.5;
    let x = share * std::f64::consts::FRAC_PI_2;
    let z = x * x;
    let sine = x + x
        * z
        * (-1.666_666_666_666_663_243e-1
            + z * (8.333_333_333_322_489_461e-3
                + z * (-1.984_126_982_985_794_931e-4
                    + z * (2.755_731_370_707_006_768e-6
                        + z * (-2.505_076_025_340_686_342e-8
                            + z * 1.589_690_995_211_550_102e-10)))));
    let cosine = 1.0 - 0.5 * z
        + z * z
            * (4.166_666_666_666_660_19e-2
                + z * (-1.388_888_888_887_410_957e-3
                    + z * (2.480_158_728_947_672_942e-5
                        + z * (-2.755_731_435_139_066_330e-7
                            + z * (2.087_572_321_298_174_828e-9
                                + z * -1.135_964_755_778_819_483e-11)))));
    let swap = (bits & 1).wrapping_neg();
    let differ = (sine.to_bits() ^ cosine.to_bits()) & swap;
    let sign = |bit: u32| (bits >> bit) << 63;
    [
        f64::from_bits(cosine.to_bits() ^ differ ^ sign(1)),
        f64::from_bits(sine.to_bits() ^ differ ^ sign(2)),
    ]
}

#[cfg(test)]
#[path = "../tests/dice.rs"]
mod tests;
