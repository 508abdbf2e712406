//! The jobs that the two implementations are compared on.

use crate::given::text_of;

/// One job to compare on: files, edits of them, what is kept.
pub struct Case {
    pub name: &'static str,
    axle: &'static str,
    shop: &'static str,
    edits: Vec<(&'static str, &'static str)>,
    /// Keys of the shop file with their groups and values, whether it states them or not.
    stated: Vec<[&'static str; 3]>,
    pub kept: (bool, bool),
}

impl Case {
    fn on(axle: &'static str, name: &'static str) -> Self {
        Self {
            name,
            axle,
            shop: "north-bench.shop.toml",
            edits: Vec::new(),
            stated: Vec::new(),
            kept: (false, false),
        }
    }

    fn edit(mut self, from: &'static str, to: &'static str) -> Self {
        self.edits.push((from, to));
        self
    }

    fn stating(mut self, group: &'static str, key: &'static str, value: &'static str) -> Self {
        self.stated.push([group, key, value]);
        self
    }

    fn in_shop(mut self, shop: &'static str) -> Self {
        self.shop = shop;
        self
    }

    fn kept(mut self, gears: bool, bearings: bool) -> Self {
        self.kept = (gears, bearings);
        self
    }

    /// Both files with the edits made; each edit must meet its text in one of them.
    pub fn texts(&self) -> (String, String) {
        let mut axle = text_of(self.axle).to_owned();
        let mut shop = text_of(self.shop).to_owned();
        for (from, to) in &self.edits {
            let met = axle.contains(from) || shop.contains(from);
            assert!(met, "{}: nothing to edit at {from:?}", self.name);
            axle = axle.replacen(from, to, 1);
            shop = shop.replacen(from, to, 1);
        }
        for [group, key, value] in &self.stated {
            let of_key = |line: &&str| line.split('=').next().is_some_and(|k| k.trim() == *key);
            let mut lines: Vec<&str> = shop.lines().filter(|line| !of_key(line)).collect();
            let header = lines.iter().position(|line| line.starts_with(group));
            let line = format!("{key} = {value}");
            lines.insert(header.expect("the group is there") + 1, &line);
            shop = lines.join("\n");
        }
        (axle, shop)
    }
}

fn rowan(name: &'static str) -> Case {
    Case::on("rowan-215.axle.toml", name)
}

fn sorrel(name: &'static str) -> Case {
    Case::on("sorrel-71.axle.toml", name)
}

pub fn cases() -> Vec<Case> {
    let mut cases = usual();
    cases.extend(hard());
    cases
}

fn usual() -> Vec<Case> {
    let mut cases = vec![
        rowan("as it stands"),
        rowan("shim behind the head cup")
            .edit("\"under head bearing\"   #", "\"behind head cup\" #"),
        rowan("cartridge flange")
            .edit("\"under head bearing\"   #", "\"cartridge flange\" #")
            .edit("nominal = 121.00", "nominal = 119.20"),
        rowan("side shims behind the bearings")
            .edit("seat  = \"outboard\"", "seat = \"behind side bearings\""),
        rowan("screw adjusters")
            .edit("seat  = \"outboard\"", "seat = \"screw adjusters\"")
            .edit("stock = \"S-80\"\n", ""),
        rowan("bevel gears").edit("offset            = 34.0", "offset = 0"),
        rowan("the book square to the tooth").edit(
            "indicator          = \"plane of rotation\"",
            "indicator = \"square to the tooth\"",
        ),
        rowan("shop square to the tooth").edit(
            "step = 0.01, indicator = \"plane of rotation\"",
            "step = 0.01, indicator = \"square to the tooth\"",
        ),
        rowan("gauge and zero lash")
            .edit("\"old pack\"     #", "\"gauge\" #")
            .edit("\"old packs\"    #", "\"zero lash\" #"),
        rowan("usual packs")
            .edit("\"old pack\"     #", "\"usual\" #")
            .edit("\"old packs\"    #", "\"usual\" #"),
        rowan("halving").edit(
            "\"measured\"     # \"measured\": the move",
            "\"halving\" # the move",
        ),
        rowan("torque rise").edit("\"shim rule\"", "\"torque rise\""),
        rowan("nothing learned, marks often slipped")
            .edit("learns         = true", "learns = false")
            .edit("mark_slip      = 0.02", "mark_slip = 0.3"),
        rowan("heights measured, no set-up bearings")
            .edit("\"ignored\"", "\"measured\"")
            .edit("setup_bearings = true", "setup_bearings = false"),
        rowan("no micrometer").edit("micrometer     = { sigma = 0.003 }", ""),
        rowan("given up early").edit("most_assemblies    = 12", "most_assemblies = 3"),
        rowan("often reseated").edit("backlash_variation = 0.07", "backlash_variation = 0.03"),
        rowan("six points and no graduation")
            .edit("backlash_points    = 4", "backlash_points = 6")
            .edit(
                "dial           = { sigma = 0.005, step = 0.01",
                "dial = { sigma = 0.005, step = 0",
            ),
        rowan("gears kept").kept(true, false),
        rowan("bearings kept").kept(false, true),
        rowan("both kept, torque rise")
            .kept(true, true)
            .edit("\"shim rule\"", "\"torque rise\""),
        rowan("other shapes")
            .edit(
                "head_seat   = { nominal = 121.00, tol = 0.06 }",
                "head_seat = { nominal = 121.00, tol = 0.06, shape = \"uniform\" }",
            )
            .edit(
                "ring_seat   = { nominal = 96.01, tol = 0.08 }",
                "ring_seat = { nominal = 96.01, tol = 0.08, shape = \"triangular\" }",
            )
            .edit(
                "shoulders     = { nominal = 140.00, tol = 0.05 }",
                "shoulders = { shape = \"measured\", values = [139.97, 140.0, 140.01, 140.02] }",
            )
            .edit(
                "offset      = { tol = 0.03 }",
                "offset = { shape = \"discrete\", values = [-0.03, 0.02], weights = [2, 3] }",
            )
            .edit(
                "torque_per_force = { nominal = 0.28, cv = 0.12 }",
                "torque_per_force = { nominal = 0.28, cv = 0.2, shape = \"lognormal\" }",
            )
            .edit(
                "ring_deviation    = { tol = 0.09 }",
                "ring_deviation = { minus = 0.05, plus = 0.09, cpk = 0.6, inspected = true }",
            ),
        sorrel("as it stands"),
        sorrel("bearings kept").kept(false, true),
        sorrel("spacer from the usual pack").edit("\"old pack\"     #", "\"usual\" #"),
        sorrel("heights measured").edit("\"ignored\"", "\"measured\""),
        sorrel("spacer at a cartridge flange")
            .edit("seat  = \"behind head cup\"", "seat = \"cartridge flange\"")
            .edit("nominal = 4.1540", "nominal = 4.0840"),
    ];
    cases.push(
        Case::on("tamarack-88.axle.toml", "the third axle in the second shop")
            .in_shop("quay-lane.shop.toml"),
    );
    cases.push(Case::on("short.axle.toml", "a short axle file"));
    cases
}

/// Edits that several cases make.
impl Case {
    fn guard(self, share: &'static str) -> Self {
        self.stating("[bench]", "guard", share)
    }

    fn narrow_backlash(self) -> Self {
        self.edit("[ 0.13, 0.20 ]", "[0.15, 0.19]")
    }

    fn narrow_pattern(self) -> Self {
        self.edit("profile = 0.12 }", "profile = 0.09 }")
    }

    /// Side packs a tenth of a millimetre apart and nothing in between.
    fn coarse_side_shims(self) -> Self {
        self.edit(
            "[ 0.10, 0.12, 0.15, 0.20, 0.25, 0.30, 0.40, 0.50, 0.70, 1.00, 1.50, 1.80, 2.00 ]",
            "[0.10, 0.20, 0.50, 1.00, 2.00]",
        )
    }

    /// Spacer packs two thousandths apart and nothing in between.
    fn coarse_spacer_shims(self) -> Self {
        self.edit(
            "[ 0.0010, 0.0015, 0.003, 0.005, 0.010, 0.020, 0.025 ]",
            "[0.002, 0.004, 0.010, 0.020]",
        )
    }

    fn narrow_torque(self) -> Self {
        self.edit("[ 14.0, 24.0 ]", "[17.0, 20.0]")
    }

    fn screws(self) -> Self {
        self.edit("seat  = \"outboard\"", "seat = \"screw adjusters\"")
            .edit("stock = \"S-80\"\n", "")
    }

    fn behind_the_bearings(self) -> Self {
        self.edit("seat  = \"outboard\"", "seat = \"behind side bearings\"")
    }

    fn no_setup_bearings(self) -> Self {
        self.edit("setup_bearings = true", "setup_bearings = false")
    }

    fn torque_rise(self) -> Self {
        self.edit("\"shim rule\"", "\"torque rise\"")
    }

    fn most_assemblies(self, line: &'static str) -> Self {
        self.edit("most_assemblies    = 12", line)
    }
}

const SMALL_GUARD: &str = "0.08";
const WIDE_GUARD: &str = "0.3";

/// Jobs where readings seldom fall inside, so that brackets close, packs go back in, jobs are given
/// up and cones are pulled.
fn hard() -> Vec<Case> {
    vec![
        rowan("narrow windows").narrow_backlash().narrow_pattern(),
        rowan("coarse side shims").coarse_side_shims(),
        rowan("coarse side shims, nothing learned")
            .coarse_side_shims()
            .edit("learns         = true", "learns = false"),
        rowan("coarse side shims, often reseated")
            .coarse_side_shims()
            .edit("backlash_variation = 0.07", "backlash_variation = 0.04"),
        rowan("coarse side shims, narrow windows, few assemblies")
            .coarse_side_shims()
            .narrow_backlash()
            .narrow_pattern()
            .most_assemblies("most_assemblies = 4"),
        rowan("coarse screws")
            .screws()
            .narrow_backlash()
            .edit("notch          = 0.02", "notch = 0.06"),
        rowan("coarse screws, few assemblies")
            .screws()
            .narrow_backlash()
            .narrow_pattern()
            .torque_rise()
            .edit("notch          = 0.02", "notch = 0.06")
            .most_assemblies("most_assemblies = 2"),
        rowan("screws, one assembly")
            .screws()
            .narrow_backlash()
            .no_setup_bearings()
            .most_assemblies("most_assemblies = 1"),
        rowan("a small guard").guard(SMALL_GUARD),
        rowan("a wide guard").guard(WIDE_GUARD),
        rowan("torque rise and a small guard")
            .torque_rise()
            .guard(SMALL_GUARD),
        rowan("torque rise, coarse side shims, a wide guard")
            .torque_rise()
            .coarse_side_shims()
            .guard(WIDE_GUARD),
        rowan("halving and a wide guard")
            .edit(
                "\"measured\"     # \"measured\": the move",
                "\"halving\" # the move",
            )
            .narrow_pattern()
            .guard(WIDE_GUARD),
        rowan("an aim beyond the guard")
            .edit("sleeve_aim     = 0.25", "sleeve_aim = 0.72")
            .guard(WIDE_GUARD),
        rowan("both kept, a small guard")
            .kept(true, true)
            .guard(SMALL_GUARD),
        rowan("cones pulled: no set-up bearings")
            .behind_the_bearings()
            .no_setup_bearings()
            .narrow_backlash()
            .stating("[prices]", "hour_cost", "61.0")
            .stating("[prices]", "cone", "52.0"),
        rowan("cones pulled: bearings kept")
            .behind_the_bearings()
            .narrow_pattern()
            .kept(false, true),
        rowan("cones pulled, few assemblies")
            .behind_the_bearings()
            .no_setup_bearings()
            .coarse_side_shims()
            .stating("[bench]", "cone_spoiled", "0.4")
            .stating("[prices]", "given_up", "400.0")
            .most_assemblies("most_assemblies = 3"),
        sorrel("coarse spacer shims").coarse_spacer_shims(),
        sorrel("coarse spacer shims, a narrow torque window")
            .coarse_spacer_shims()
            .narrow_torque(),
        sorrel("a narrow torque window").narrow_torque(),
        sorrel("a narrow torque window, a wide guard")
            .narrow_torque()
            .guard(WIDE_GUARD),
        sorrel("narrow pattern, spacer often set anew")
            .narrow_torque()
            .edit("profile = 0.12 }", "profile = 0.05 }")
            .edit(
                "setup_bearing  = { sigma = 0.010 }",
                "setup_bearing = { sigma = 0.05 }",
            ),
        sorrel("many goes at the spacer")
            .narrow_torque()
            .edit("nominal = 0.26, cv = 0.12", "nominal = 0.26, cv = 0.6"),
        sorrel("narrow backlash").edit("[ 0.005, 0.009 ]", "[0.006, 0.0075]"),
        sorrel("a small guard").guard(SMALL_GUARD),
        sorrel("a poor micrometer").edit("{ sigma = 0.003 }", "{ sigma = 0.03 }"),
        Case::on("tamarack-88.axle.toml", "the third axle with a small guard")
            .in_shop("quay-lane.shop.toml")
            .guard(SMALL_GUARD),
    ]
}
