// Values that must not change without a heading of their own in CHANGELOG.md. The tests of the
// library and those of the program both hold them.

const SEED: u64 = 20_215;
const REBUILDS: u64 = 20_000;

/// Rebuild, purpose, and the bits of a normal, a uniform, a normal and a uniform figure.
#[allow(dead_code, reason = "the program shows no single stream")]
const STREAMS: [(u64, usize, [u64; 4]); 3] = [
    (0, 0, [13835280985967336145, 4606885819748640848, 4603792490887916992, 4603085509273750812]),
    (1, 1, [4599537956281328926, 4595003702582054232, 13821679845999400364, 4603166321797129427]),
    (4_000_000_000, 2, [13830044823793806308, 4592278946468807704, 4604059450535022257, 4605866419785683003]),
];

/// Bits of: right at first assembly, right when handed over, assemblies, hours, hours at p80, mean
/// depth, sigma of backlash.
const ODDS: [u64; 7] = [4598581444231665235, 4605893038226701235, 4612617025060356070, 4620764013339862906, 4621462326065758208, 13782028962900133332, 4588773336317262365];
