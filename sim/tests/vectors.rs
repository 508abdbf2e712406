// Values that must not change without a heading of their own in CHANGELOG.md. The tests of the
// library and those of the program both hold them.

const SEED: u64 = 20_215;
const REBUILDS: u64 = 20_000;

/// Rebuild, purpose, and the bits of a normal, a uniform, a normal and a uniform figure.
#[allow(dead_code, reason = "the program shows no single stream")]
const STREAMS: [(u64, usize, [u64; 4]); 3] = [
    (0, 0, [4607692473529128247, 4585644393811254560, 4604764600740542103, 4603445142120082597]),
    (1, 1, [13828586570779956114, 4606942842781753761, 13824073530052440127, 4570313010198565376]),
    (4_000_000_000, 2, [4600543351351342356, 4596596042841864856, 13820801231725541845, 4602885859585815840]),
];

/// Bits of: right at first assembly, right when handed over, assemblies, hours, hours at p80, mean
/// depth, sigma of backlash.
const ODDS: [u64; 7] = [4598418413925154423, 4605916393643505736, 4612667352786191934, 4620777207714125592, 4621479918251802624, 4544025034573841694, 4588778668940139856];
