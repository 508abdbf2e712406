//! Events of a drawer, one by one, as the day book sums them up.

/// An event of one series.
#[derive(Debug, Clone, PartialEq)]
pub enum DrawerEvent {
    /// Ordered: count of each size.
    Ordered(Vec<u32>),
    /// Delivered: count of each size.
    Delivered(Vec<u32>),
    /// A job begins: its number on the tape.
    Job(u32),
    /// An old pack came out: printed thickness, mm, good shims, all shims.
    Old(f64, u32, u32),
    /// The pack fitted at a place came out: place, good shims, all shims.
    Out(u8, u32, u32),
    /// A wanted pack was built: place, printed thickness, mm, size and count of each kind, and
    /// shims from the bench.
    Built(u8, f64, Vec<(usize, u32)>, u32),
    /// A wanted pack could not be built: place, printed thickness, mm, and the sizes and counts
    /// ordered specially.
    Missing(u8, f64, Vec<(usize, u32)>),
    /// The job left: good shims put back into the drawer, and scrapped ones.
    Left(u32, u32),
}
