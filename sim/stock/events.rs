//! What happens to a drawer.

/// Something that happens to one series.
#[derive(Debug, Clone, PartialEq)]
pub enum DrawerEvent {
    /// Ordered: count of each size.
    Ordered(Vec<u32>),
    /// Delivered: count of each size.
    Delivered(Vec<u32>),
    /// A job begins: its number on the tape.
    Job(u32),
    /// An old pack of this printed thickness, mm, came out with so many good shims of so many.
    Old(f64, u32, u32),
    /// The pack fitted at a place came out with so many good shims of so many.
    Out(u8, u32, u32),
    /// A pack of this printed thickness, mm, was wanted at a place and built: of each kind the
    /// size and the count, and how many came from the bench.
    Built(u8, f64, Vec<(usize, u32)>, u32),
    /// It could not be built: the sizes and counts that come specially.
    Missing(u8, f64, Vec<(usize, u32)>),
    /// The job left: so many good shims went back into the drawer, so many were scrapped.
    Left(u32, u32),
}
