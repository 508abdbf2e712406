//! Files that are wrong: each flaw is told once, at its place, with a reason and a way out.

use shimcast::files::{BUILT_IN_AXLE, BUILT_IN_SHOP, Kind, Problem, Source};

use crate::given::{Folder, flaws};

/// A change to a full file: `put` in place of `find`. The span between « and » is what the carets
/// must stand under.
struct Case {
    find: &'static str,
    put: &'static str,
    reason: &'static str,
    help: &'static str,
}

const fn case(
    find: &'static str,
    put: &'static str,
    reason: &'static str,
    help: &'static str,
) -> Case {
    Case {
        find,
        put,
        reason,
        help,
    }
}

/// The changed text, and the line, column and width that are marked in it.
fn marked(text: &str, case: &Case) -> (String, (u32, u32, u32)) {
    assert!(text.contains(case.find), "the file holds `{}`", case.find);
    let text = text.replacen(case.find, case.put, 1);
    let count = |s: &str| u32::try_from(s.chars().count()).unwrap();
    let (before, rest) = text.split_once('«').expect("a place is marked");
    let (span, after) = rest.split_once('»').expect("the mark is closed");
    let line = before.rsplit('\n').next().unwrap_or("");
    let place = (
        1 + u32::try_from(before.matches('\n').count()).unwrap(),
        1 + count(line),
        count(span).max(1),
    );
    (format!("{before}{span}{after}"), place)
}

fn check(name: &str, text: &str, cases: &[Case]) {
    let folder = Folder::new("bad");
    let mut failed = Vec::new();
    for case in cases {
        let (changed, place) = marked(text, case);
        let source = folder.file(name, changed.as_bytes());
        let (axle, shop) = if name.ends_with(".axle.toml") {
            (source, Source::BuiltIn)
        } else {
            (Source::BuiltIn, source)
        };
        let problems = flaws(&axle, &shop, &[]);
        let as_wanted = |p: &Problem| {
            (p.line, p.column, p.width) == place
                && p.kind == Kind::BadInput
                && p.reason.contains(case.reason)
                && p.help.as_deref().unwrap_or("").contains(case.help)
        };
        if problems.0.len() != 1 || !as_wanted(&problems.0[0]) {
            failed.push(format!(
                "{}: wanted {place:?} `{}` `{}`\n{problems}",
                case.put, case.reason, case.help
            ));
        }
    }
    assert!(failed.is_empty(), "{}", failed.join("\n\n"));
}

#[rustfmt::skip]
const AXLE: [Case; 68] = [
    // spelling and structure
    case("ring_teeth        = 41", "«ring_teet»        = 41", "[gears] has no key `ring_teet`", "did you mean `ring_teeth`?"),
    case("name   = \"Rowan 215\"", "name   = \"Rowan 215\"\n«stiffness» = 45.0", "the file has no key `stiffness`", "belongs under [housing]"),
    case("ring_teeth        = 41", "ring_teeth        = 41\n«backlash» = [0.13, 0.20]", "[gears] has no key `backlash`", "belongs under [as_built] or [windows]"),
    case("backlash           = [ 0.13, 0.20 ]", "backlash           = [ «0,013», 0,020 ]", "a comma inside a number", "write a decimal point: 0.013"),
    case("ring_diameter     = 215.0", "ring_diameter     = «215.0mm»", "follows right behind the number", "write 215.0 alone"),
    case("ring_diameter     = 215.0", "ring_diameter     = «1e300»", "is larger than 10000 mm: check the point and the unit", "a number of mm"),
    case("ring_diameter     = 215.0", "ring_diameter     = «1e-300»", "is nearer to 0 than anything measured", "a number of mm"),
    case("ring_diameter     = 215.0 ", "«ring_diameter: 215.0» ", "a colon in place of the `=`", "write ring_diameter = 215.0"),
    case("length = \"mm\"      # unit of every length in this file: \"mm\" or \"in\"", "«length = “mm”»", "curly quotes mean nothing here", "straight ones"),
    case("stock = \"P-38\" ", "stock = «\"P-28\"» ", "no shim series `P-28`", "did you mean `P-28in`?"),
    case("[as_built] ", "[«as_bilt»] ", "the file has no key `as_bilt`", "did you mean `as_built`?"),
    case("ring_share  = 0.5", "ring_share  = 0.5\n«ring_share» = 0.4", "`ring_share` is given twice", "keep one"),
    case("[as_built] ", "[«housing»] ", "`housing` is given twice", "opened once"),
    case("offset      = { tol = 0.03 }", "offset      = { «tool» = 0.03 }", "[housing.offset] has no key `tool`", "did you mean `tol`?"),
    case("[carrier]\n", "[carrier]\n«wheelbase» = 3\n", "no key `wheelbase`", "its keys are shoulders, shoulder_ring, face_runout"),
    case("pattern            = { length = 0.20, profile = 0.12 }", "pattern            = «0.20»", "windows.pattern should be a group of keys; this is a number", "length"),
    // syntax
    case("face_width        = 34.0", "face_width        = «34,0»", "a comma inside a number", "write a decimal point: 34.0"),
    case("name   = \"Rowan 215\"", "name   = «\"Rowan 215»", "not closed", "second quote"),
    case("name   = \"Rowan 215\"", "name   = «Rowan 215»", "neither a number nor text in quotes", "put text in quotes"),
    case("usual = [ 2.00, 2.10 ] ", "usual = «[ 2.00, 2.10»\n", "never closed", "close it with `]`"),
    case("usual = [ 2.00, 2.10 ]", "usual = [ «2.00 2.10» ]", "a comma is missing", "separate the values"),
    case("ring_teeth        = 41", "ring_teeth        = «41 teeth»", "neither a number", "without its unit"),
    case("ring_teeth        = 41", "ring_teeth        «41»", "a key without a value", "key = value"),
    case("face_width        = 34.0", "face_width        = «34.»\n", "not complete", "5.0"),
    case("[carrier]\n", "«[carrier»\n", "not closed", "[housing]"),
    // wrong words
    case("length = \"mm\"", "length = «\"cm\"»", "length can't be \"cm\"", "mm"),
    case("torque = \"N.m\"", "torque = «\"kg.cm\"»", "torque can't be \"kg.cm\"", "write one of \"N.m\", \"lbf.in\""),
    case("torque = \"N.m\"", "torque = «\"ft-lb\"»", "torque can't be \"ft-lb\"", "every torque times 12"),
    // ranges as people type them, and a pinion's own mark
    case("backlash           = [ 0.13, 0.20 ]", "backlash           = «\"0.13-0.20\"»", "should be a list of 2 numbers", "backlash = [0.13, 0.2]"),
    case("backlash           = [ 0.13, 0.20 ]", "backlash           = «\"0.15 ± 0.02\"»", "should be a list of 2 numbers", "backlash = [0.13, 0.17]"),
    case("backlash           = [ 0.13, 0.20 ]", "backlash           = «0.13-0.20»", "this is a range", "backlash = [0.13, 0.2]"),
    case("backlash           = [ 0.13, 0.20 ]", "backlash           = «[0.13-0.20]»", "this is a range", "backlash = [0.13, 0.2]"),
    case("{ nominal = 121.00, tol = 0.06 }", "«\"121 ± 0.06\"»", "needs its tolerance too", "head_seat = { nominal = 121.0, tol = 0.06 }"),
    case("stiffness   = 45.0", "stiffness   = «\"40 to 50\"»", "this is text", "one number is wanted"),
    case("ring_teeth        = 41", "ring_teeth        = 41\n«mark_new» = 2", "[gears] has no key `mark_new`", "belongs in the job file"),
    case("seat  = \"outboard\"", "seat  = «\"outbord\"»", "side_shims.seat can't be", "did you mean `outboard`?"),
    case("plus  = \"farther\"", "plus  = «true»", "should be one of \"farther\", \"deeper\"; this is true or false", ""),
    case("stock = \"P-38\"", "stock = «\"P-83\"»", "north-bench.shop.toml has no shim series `P-83`", "did you mean `P-38`?"),
    case("stock = \"S-80\"", "stock = «\"Zebra\"»", "has no shim series `Zebra`", "--shop FILE; the built-in shop, which is used without it, has `P-38`, `S-80`"),
    case("name   = \"Rowan 215\"", "name   = «\" \"»", "name is empty", "give the axle a name"),
    case("name   = \"Rowan 215\"", "name   = «215»", "should be text in quotes; this is a number", "name"),
    // wrong kinds of figures
    case("face_width        = 34.0", "face_width        = «\"34.0\"»", "a number of mm, e.g. 34; this is text", "without quotes: 34.0"),
    case("face_width        = 34.0", "face_width\t=\t«\"34 mm\"»", "this is text", "without its unit: 34"),
    case("pinion_teeth      = 11", "pinion_teeth      = «11.0»", "should be a whole number", "without the point: 11"),
    case("pinion_teeth      = 11", "pinion_teeth      = «11.5»", "should be a whole number", "between 3 and 400"),
    case("pinion_teeth      = 11", "pinion_teeth      = «1»", "must lie between 3 and 400", "inside these limits"),
    case("face_width        = 34.0", "face_width        = «inf»", "not a finite number", "e.g. 34"),
    case("stiffness   = 45.0", "stiffness   = «nan»", "not a finite number", "N/µm"),
    case("stiffness   = 45.0", "stiffness   = «0»", "housing.stiffness must be above 0", "e.g. 45"),
    case("offset            = 34.0", "offset            = «-34.0»", "must not be negative", "a number of mm"),
    case("ring_share  = 0.5", "ring_share  = «1.5»", "must lie between 0 and 1", "a number"),
    case("pressure_angle    = 21.0", "pressure_angle    = «90»", "above 0 and below 45", "degrees"),
    case("ring_diameter     = 215.0", "ring_diameter     = «2024-05-01»", "this is a date", ""),
    // lists
    case("usual = [ 2.00, 2.10 ]", "usual = «[ 2.00 ]»", "should have 2 numbers", "usual = [2.0, 2.1]"),
    case("backlash           = [ 0.13, 0.20 ]", "backlash           = «[ 0,13, 0,20 ]»", "this has 4", "a decimal point is written `.`"),
    case("backlash           = [ 0.13, 0.20 ]", "backlash           = «[ 0.20, 0.13 ]»", "lower end must be below", "lower end first"),
    case("backlash           = [ 0.13, 0.20 ]", "backlash           = [ «\"0.13\"», 0.20 ]", "number 1 of windows.backlash", "without quotes"),
    case("side_closure       = [ 0.12, 0.24 ]", "side_closure       = «0.18»", "should be a list of 2 numbers", "[0.12, 0.24]"),
    // tolerances
    case("{ nominal = 121.00, tol = 0.06 }", "«121.0»", "needs its tolerance too; this is a number alone", "{ nominal = 121.0, tol = 0.06 }"),
    case("{ nominal = 121.00, tol = 0.06 }", "{ nominal = 121.00, tol = «-0.06» }", "housing.head_seat.tol must not be negative", "mm"),
    case("{ nominal = 121.00, tol = 0.06 }", "«{ nominal = 121.00, tol = 0.06, sigma = 0.02 }»", "in more than one way: tol, sigma", "keep one of"),
    case("{ nominal = 121.00, tol = 0.06 }", "«{ nominal = 121.00, plus = 0.06 }»", "has one limit only", "both minus and plus"),
    case("{ nominal = 121.00, tol = 0.06 }", "«{ nominal = 121.00, sigma = 0.06, inspected = true }»", "is inspected, which needs limits", "give tol"),
    case("{ nominal = 121.00, tol = 0.06 }", "«{ nominal = 121.00, sigma = 0.06, cpk = 1.0 }»", "has a cpk, which needs limits", "take cpk out"),
    case("{ nominal = 121.00, tol = 0.06 }", "{ nominal = 121.00, tol = 0.06, shape = «\"gauss\"» }", "shape can't be \"gauss\"", "\"uniform\""),
    case("{ nominal = 121.00, tol = 0.06 }", "«{ shape = \"discrete\", values = [1, 2], weights = [1] }»", "weights must be as many", "one weight for each"),
    case("{ nominal = 121.00, tol = 0.06 }", "«{ nominal = 121.0, shape = \"measured\", values = [1] }»", "a nominal has no meaning", "take the nominal out"),
    case("pinion_torque      = [ 1.70, 2.80 ]", "pinion_torque      = «[ 0.10, 0.20 ]»", "the seal's drag alone", "unit of torque"),
];

#[rustfmt::skip]
const SHOP: [Case; 35] = [
    case("pinion_start   = \"old pack\"", "pinion_start   = «\"guage\"»", "bench.pinion_start can't be \"guage\"", "did you mean `gauge`?"),
    case("learns         = true", "learns         = «\"yes\"»", "should be true or false; this is text", "without quotes"),
    case("guard          = 0.0", "guard          = «0.5»", "bench.guard must lie between 0 and 0.45", ""),
    case("cone_spoiled   = 0.10", "cone_spoiled   = «1.2»", "bench.cone_spoiled must lie between 0 and 1", ""),
    case("keep_surplus     = 0", "keep_surplus     = «-1»", "must lie between 0 and 1000", ""),
    case("mark_slip      = 0.02", "mark_slip      = «2»", "must lie between 0 and 1", ""),
    case("backlash_points    = 4", "backlash_points    = «0»", "must lie between 1 and 200", ""),
    case("sleeve_step    = 4.0", "sleeve_step    = «0.5»", "must be at least 1", "degrees"),
    case("end_play       = { sigma = 0.020 }", "end_play       = «0.020»", "should be a group of keys; this is a number", "sigma"),
    case("micrometer     = { sigma = 0.003 }", "micrometer     = «0.003»", "or \"none\"", "{ sigma = 0.003 }"),
    case("strip            = [ 80, 115, 190 ]", "strip            = «[ 80, 200, 190 ]»", "must not fall", "least, usual and most"),
    case("strip            = [ 80, 115, 190 ]", "strip            = «[ 80, 190 ]»", "should have 3 numbers", "strip = [80.0, 115.0, 190.0]"),
    case("\"outboard\" = [15, 20, 30]", "«\"outbord\"» = [15, 20, 30]", "no key `outbord`", "did you mean `outboard`?"),
    case("hour         = 92.0", "hour         = «-92.0»", "must not be negative", "a price"),
    case("# hour_cost  = 60.0", "hour_cost  = «-60.0»", "prices.hour_cost must not be negative", "a price"),
    case("cone         = 38.0", "cone         = «-38.0»", "prices.cone must not be negative", "a price"),
    case("given_up     = 250.0", "given_up     = «-250.0»", "prices.given_up must not be negative", "a price"),
    case("series   = \"S-80\"", "series   = «\"P-38\"»", "there is a series `P-38` already", "a name of its own"),
    case("sizes    = [ 0.08, 0.10, 0.12, 0.15", "sizes    = [ 0.08, 0.12, «0.10», 0.15", "number 3 of shims.P-38.sizes is thinner", "from thin to thick"),
    case("sizes    = [ 0.08, 0.10, 0.12, 0.15", "sizes    = [ 0.08, 0.10, «0.10», 0.15", "is the same as the one before it", "take one out"),
    case("sizes    = [ 0.08, 0.10, 0.12, 0.15", "sizes    = [ «0», 0.10, 0.12, 0.15", "must be above 0", "mm"),
    case("sizes    = [ 0.0010, 0.0015, 0.003, 0.005, 0.010, 0.020, 0.025 ]", "sizes    = «[]»", "shims.T-11in.sizes is empty", "thin to thick"),
    case("most_in_pack = 3", "most_in_pack = «9»", "must lie between 1 and 8", ""),
    case("tol      = \"fine\"", "tol      = «\"finest\"»", "shims.P-38.tol can't be", "\"normal\", \"fine\""),
    case("# least_order  = 1 ", "least_order  = «0» ", "shims.P-38.least_order must lie between 1 and 1000", "whole number"),
    case("# least_order  = 1 ", "least_order  = «2.5» ", "should be a whole number", "between 1 and 1000"),
    case("# supplier     = \"…\"", "supplier     = «\"\"»", "shims.P-38.supplier is empty", "or leave supplier out"),
    case("# supplier     = \"…\"", "«supplyer»     = \"…\"", "has no key `supplyer`", "did you mean `supplier`?"),
    case("# part_numbers = [ \"…\", \"…\" ]", "part_numbers = «[ \"a\", \"b\" ]»", "shims.P-38.part_numbers has 2 part numbers for 15 sizes", "\"\" for a size without one"),
    case("# part_numbers = [ \"…\", \"…\" ]", "part_numbers = «\"a\"»", "should be a list of texts", "for each of the sizes"),
    case("# part_numbers = [ \"…\", \"…\" ]", "part_numbers = [\"a\",\"b\",\"\",\"\",«\"a\"»,\"c\",\"d\",\"e\",\"f\",\"g\",\"h\",\"i\",\"j\",\"k\",\"l\"]", "number 5 of shims.P-38.part_numbers is the part number of a size before it", "give each size its own"),
    case("# part_numbers = [ \"…\", \"…\" ]", "part_numbers = [\"a\",«4711»,\"\",\"\",\"\",\"c\",\"d\",\"e\",\"f\",\"g\",\"h\",\"i\",\"j\",\"k\",\"l\"]", "number 2 of shims.P-38.part_numbers should be text in quotes", "write \"4711\""),
    case("job_fill         = 0.95", "job_fill         = «1.0»", "above 0 and below 1", ""),
    case("per_month = 6", "per_month = «0»", "jobs.1.per_month must be above 0", ""),
    case("gears     = \"kept\"", "gears     = «\"old\"»", "jobs.2.gears can't be \"old\"", "\"new\", \"kept\""),
];

#[test]
fn axle_files() {
    check("bad.axle.toml", BUILT_IN_AXLE.text, &AXLE);
}

#[test]
fn shop_files() {
    check("bad.shop.toml", BUILT_IN_SHOP.text, &SHOP);
}
