// Values that must not change without a heading of their own in CHANGELOG.md. The tests of the
// library and those of the program both hold them.

const SEED: u64 = 20_215;
const REBUILDS: u64 = 20_000;

/// Rebuild, purpose, and the bits of a normal, a uniform, a normal and a uniform figure.
#[allow(dead_code, reason = "the program shows no single stream")]
const STREAMS: [(u64, usize, [u64; 4]); 3] = [
    (0, 0, [13836312007552782660, 4606885819748640848, 4600328717822192394, 4603085509273750812]),
    (1, 1, [4596443480819586982, 4595003702582054232, 13820929846134070180, 4603166321797129427]),
    (4_000_000_000, 2, [13831356078137739424, 4592278946468807704, 4607383368369336219, 4605866419785683003]),
];

/// Bits of: right at first assembly, right when handed over, assemblies, hours, hours at p80, mean
/// depth, sigma of backlash.
const ODDS: [u64; 7] = [4598464350641353602, 4605881328867670072, 4612624906359703968, 4620765421618220411, 4621461226554130432, 13778500079677434648, 4588836208298235397];
