//! Random figures, addressed by (seed, rebuild, purpose).
//!
//! Every rebuild has streams of its own, so results depend neither on threads nor on block size,
//! any rebuild can be replayed alone, and two ways of working meet the very same parts. The same
//! address gives the same bits on every platform: the generator is named, seeding is integer
//! arithmetic, and no draw leans on the platform's own `exp` or `ln`.

use rand::{RngExt, SeedableRng};
use rand_distr::{Distribution, StandardNormal, Triangular, UnitCircle};
use rand_xoshiro::Xoshiro256PlusPlus;

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
}

/// The key that addresses one rebuild.
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
    /// Nested mixing, not a sum: a sum would let neighbours share state.
    pub fn new(seed: u64, index: u64) -> Self {
        let seed = mix(seed ^ 0x5368_696d_5365_6564);
        Self(mix(seed ^ mix(index ^ 0x5265_6275_696c_6421)))
    }

    /// The address of a rebuild that has nothing in common with this one, nor with any of a seed's
    /// own: where other figures are taken from in place of some of this rebuild's.
    pub fn partner(self) -> Self {
        self.within(0x5061_7274_6e65_7221)
    }

    /// An address inside this one: a job in a year, a year in a sample.
    ///
    /// # Definition
    /// Mixed once more, so that no two paths of indices meet but by chance.
    pub fn within(self, index: u64) -> Self {
        Self(mix(self.0 ^ mix(index ^ 0x5769_7468_696e_2121)))
    }

    /// Figures of this address for one purpose that are asked for by number.
    pub fn numbered(self, purpose: Purpose) -> Numbered {
        Numbered(mix(self.0 ^ mix(purpose as u64 + 0x4e75_6d62_6572_6564)))
    }

    /// The stream of this rebuild for one purpose.
    pub fn stream(self, purpose: Purpose) -> Dice {
        Dice::keyed(mix(self.0 ^ mix(purpose as u64 + 0x4265_6e63_6821)))
    }
}

/// Uniform figures asked for by number, in any order: what one of them is does not depend on how
/// many were asked for before.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Numbered(u64);

impl Numbered {
    /// The figure of this number, uniform in 0 (with) … 1 (without).
    #[inline]
    pub fn uniform(self, number: u64) -> f64 {
        // a counter behind a key that is mixed already: one more mixing is enough
        let bits = mix(self
            .0
            .wrapping_add(number.wrapping_mul(0xd6e8_feb8_6659_fd93)));
        (bits >> 11) as f64 * (1.0 / (1_u64 << 53) as f64)
    }
}

/// One stream of random figures.
#[derive(Debug, Clone)]
pub struct Dice {
    rng: Xoshiro256PlusPlus,
    key: u64,
    spare: Option<Box<Dice>>,
    drawn: Drawn,
}

/// How many figures of each kind were taken from a stream.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Drawn {
    /// Standard normal ones.
    pub normal: u64,
    /// Uniform ones.
    pub uniform: u64,
    /// Uniform directions.
    pub direction: u64,
    /// Triangular ones.
    pub triangular: u64,
}

/// Where the ziggurat of `StandardNormal` ends and its tail begins.
const TAIL: f64 = 3.654_152_885_361_009;

impl Dice {
    fn keyed(key: u64) -> Self {
        Self {
            rng: Xoshiro256PlusPlus::seed_from_u64(key),
            key,
            spare: None,
            drawn: Drawn::default(),
        }
    }

    /// A stream for trying out a distribution, apart from any rebuild.
    pub(crate) fn for_trial() -> Self {
        Self::keyed(0)
    }

    /// The stream beside this one, for parts drawn again after an inspection threw one out.
    pub(crate) fn spare(&mut self) -> &mut Self {
        let key = mix(self.key ^ 0x5370_6172_6521);
        self.spare.get_or_insert_with(|| Box::new(Self::keyed(key)))
    }

    /// A standard normal figure.
    #[inline]
    pub fn normal(&mut self) -> f64 {
        self.drawn.normal += 1;
        let z: f64 = StandardNormal.sample(&mut self.rng);
        if z.abs() < TAIL {
            z
        } else {
            tail(&mut self.rng, z)
        }
    }

    /// Uniform in 0 (with) … 1 (without).
    #[inline]
    pub fn uniform(&mut self) -> f64 {
        self.drawn.uniform += 1;
        self.rng.random()
    }

    /// Whether something of this chance happens.
    #[inline]
    pub fn chance(&mut self, share: f64) -> bool {
        self.uniform() < share
    }

    /// Cosine and sine of a uniform angle.
    #[inline]
    pub fn direction(&mut self) -> [f64; 2] {
        self.drawn.direction += 1;
        UnitCircle.sample(&mut self.rng)
    }

    /// A figure from a triangular distribution; it takes no more than exactly rounded operations.
    #[inline]
    pub(crate) fn triangular(&mut self, triangular: &Triangular<f64>) -> f64 {
        self.drawn.triangular += 1;
        triangular.sample(&mut self.rng)
    }

    /// How many figures were taken so far.
    pub fn drawn(&self) -> Drawn {
        self.drawn
    }
}

/// The far tail anew: the ziggurat takes its logarithm from the platform (or not, depending on
/// what another crate switched on), and its last bits with it.
///
/// # Source
/// Marsaglia, "Generating a variable from the tail of the normal distribution", 1964.
#[cold]
fn tail(rng: &mut Xoshiro256PlusPlus, sign: f64) -> f64 {
    let mut exponential = || -libm::log(1.0 - rng.random::<f64>());
    loop {
        let x = exponential() / TAIL;
        let y = exponential();
        if y + y > x * x {
            return (TAIL + x).copysign(sign);
        }
    }
}
