//! What the shims of a job are charged at: what it uses up of the shop's drawer; and what a drawer's packs do
//! at the bench.

use serde_json::Value;

use crate::given::{Folder, estimate, has, json, list, number, refused, run};

const ROWAN: &str = "examples/rowan-215.axle.toml";
const SORREL: &str = "examples/sorrel-71.axle.toml";

fn shims(quote: &Value) -> [f64; 3] {
    estimate(&quote["money"]["shims"])
}

/// The built-in shop's jobs, each as often as it comes in a year, use what its drawer uses. False alarms: less
/// than 1 in 20 for any seed.
#[test]
fn quotes_charge_what_the_drawer_uses() {
    let seed = ["--json", "--seed", "4"];
    let few = ["--rebuilds", "4000"];
    let rowan = json(&[&["quote", ROWAN], &few[..], &seed[..]].concat());
    let kept_gears = ["quote", SORREL, "--gears", "kept"];
    let sorrel = json(&[&kept_gears[..], &few[..], &seed[..]].concat());
    let stock = json(&[&["stock"], &seed[..]].concat());
    let bought = number(&stock["yearly"]["shims"]);
    let ends = list(&stock["yearly"]["intervals"]["shims"]);
    let mut half = (number(&ends[1]) - number(&ends[0])) / 2.0;
    let mut used = 0.0;
    for (quote, a_year) in [(&rowan, 72.0), (&sorrel, 36.0)] {
        let [low, value, high] = shims(quote);
        used += a_year * value;
        half = half.hypot(a_year * (high - low) / 2.0);
        assert_eq!(quote["money"]["shims_from"], "used up of the drawer");
        assert!((high - low) / value < 0.04, "{low} {value} {high}");
    }
    assert!((used - bought).abs() < half, "{used} {bought} ± {half}");
    assert!(half < 0.02 * bought);
}

#[test]
fn what_is_charged_is_said() {
    let of = |more: &[&str]| {
        let asked = [&["quote", ROWAN, "--json", "--rebuilds", "4000"], more].concat();
        json(&asked)
    };
    let fitted = of(&["--no-stock"]);
    assert_eq!(fitted["money"]["shims_from"], "finally fitted");
    let of_drawer = of(&[]);
    // old shims serve again
    assert!(shims(&of_drawer)[2] < 0.75 * shims(&fitted)[0]);
    let less = shims(&fitted)[1] - shims(&of_drawer)[1];
    for key in ["cost", "consumables"] {
        let [with, without] = [&fitted, &of_drawer].map(|quote| estimate(&quote["money"][key])[1]);
        assert!((with - without - less).abs() < 1e-8, "{key}");
    }
    let garage = of(&["--shop", "examples/home-garage.shop.toml"]);
    assert_eq!(garage["money"]["shims_from"], "bought as needed");
    let (_, text, _) = run(&[
        "quote",
        ROWAN,
        "--all",
        "--rebuilds",
        "4000",
        "--shop",
        "examples/home-garage.shop.toml",
    ]);
    has(&text, "bought as needed, since no [[jobs]] are stated");
}

/// A shop whose other jobs can't be read can quote all the same.
#[test]
fn a_job_whose_axle_is_not_there_is_no_reason_not_to_quote() {
    let folder = Folder::new("no-axle");
    let shop = std::fs::read_to_string("examples/north-bench.shop.toml").expect("the example");
    let shop = shop.replace("sorrel-71.axle.toml", "nowhere.axle.toml");
    folder.file("shop.toml", shop.as_bytes());
    let axle = std::fs::read(ROWAN).expect("the example");
    folder.file("rowan-215.axle.toml", &axle);
    let path = folder.path("shop.toml");
    let path = path.to_str().expect("text");
    let (code, text, told) = run(&[
        "quote",
        ROWAN,
        "--shop",
        path,
        "--rebuilds",
        "4000",
        "--all",
    ]);
    assert_eq!(code, 0, "{told}");
    has(
        &told,
        "shims are charged as those finally fitted, all bought",
    );
    has(&told, "nowhere.axle.toml");
    has(&text, "those finally fitted, all bought");
}

/// The smallest sizes left out: cheaper at the till, and dearer at the bench.
#[test]
fn a_size_left_out_is_judged_at_the_bench() {
    let without = ["--without", "P-38=0.12", "--without", "S-80=0.12"];
    let stock = json(&[&["stock", "--json"], &without[..]].concat());
    let against = &stock["against_own"];
    assert!(estimate(&against["money_a_year"])[0] > 0.0);
    assert!(estimate(&against["right"])[2] < 0.0);
    assert!(estimate(&against["clearly_out"])[0] > 0.0);
    assert!(number(&stock["to_pay"]) < number(&against["own_money"]));
    // what it spares in the drawer, and loses at the bench
    let [_, drawer, _] = estimate(&against["drawer_a_year"]);
    assert!(drawer < 0.0 && -drawer < estimate(&against["money_a_year"])[1]);
    let together = estimate(&against["together_a_year"])[1];
    let [bench, drawer] =
        [&against["money_a_year"], &against["drawer_a_year"]].map(|e| estimate(e)[1]);
    assert!((together - bench - drawer).abs() < 1e-9 && together > 0.0);
    let has_size = list(&stock["series"]).iter().any(|series| {
        let sizes = list(&series["sizes"]).iter();
        series["name"] == "P-38" && sizes.clone().any(|size| number(&size["size"]) == 0.12)
    });
    assert!(!has_size);
    let (_, text, _) = run(&[&["stock"], &without[..]].concat());
    has(
        &text,
        "The shim drawer of North Bench without P-38 0.12 mm and S-80 0.12 mm",
    );
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    has(
        &text,
        "A drawer without P-38 0.12 mm and S-80 0.12 mm is cheaper at the till, but costs more at the bench \
         every year than it spares in the drawer and hands over",
    );
    for (typed, said) in [
        ("P-38=0.13", "the nearest is 0.12; sizes are in mm here"),
        ("S-31in=0.15", "the nearest is 0.06; sizes are in in here"),
        ("P38=0.12", "did you mean `P-38`?"),
        ("P-38", "a series and one of its sizes are wanted"),
    ] {
        has(&refused(&["stock", "--without", typed], 2), said);
    }
}

/// Packs far off that stand in hand over fewer right axles, and that is said before anything else.
#[test]
fn packs_that_stand_in_are_judged_at_the_bench() {
    let wide = ["stock", "--set", "drawer.near_enough=0.06"];
    let stock = json(&[&wide[..], &["--json"]].concat());
    let bench = &stock["stand_ins"]["bench"];
    assert!(estimate(&bench["right"])[2] < -0.05);
    assert!(estimate(&bench["clearly_out"])[0] > 0.02);
    assert!(estimate(&bench["money_a_year"])[0] > 1000.0);
    let (_, text, _) = run(&wide);
    has(
        &text,
        "Packs that stand in for those wanted (near_enough) hand over",
    );
    let tried = json(&["stock", "--stand-ins", "--json"]);
    let tried = list(&tried["stand_ins"]["near_enough"]);
    let of = |place: usize, key: &str| estimate(&tried[place]["bench"][key])[1];
    // the farther off they may be, the cheaper the drawer, and the more is lost at the bench
    let last = tried.len() - 1;
    assert!(number(&tried[last]["money"]) < number(&tried[0]["money"]));
    assert!(of(0, "money_a_year").abs() < 1e-9 && of(last, "money_a_year") > 200.0);
    assert!(of(last, "right") < -0.01);
}
