//! A job file that says how its job ended.

use crate::given::has;
use crate::next::{deep, flowing, json, screen};

/// A finished job says so before all else, and is believed to be what it was.
#[test]
fn a_finished_job_says_that_it_is() {
    let done = "\n[done]\nverdict = \"right\"\nhours = 4.5\nsleeves = 1\n\
                spoiled = { P-38 = 1, S-80 = 2 }\ncomeback = \"unknown\"\ndate = \"2031-04-09\"\n";
    let finished = format!("{}{done}", deep());
    let told = screen(&finished, &[]);
    has(
        &flowing(&told),
        "This job was finished on 2031-04-09: handed over right, 4.5 hours, 1 sleeve, 1 P-38 shim \
         spoiled, 2 S-80 shims spoiled, whether it comes back is not known yet.",
    );
    let [before, after] = [deep(), finished].map(|text| json(&text, &[]));
    assert_eq!(before["belief"], after["belief"]);
    assert_eq!(before["moves"], after["moves"]);
    let told = &after["job"]["done"];
    assert_eq!(
        (&told["verdict"], &told["hours"]),
        (&"right".into(), &4.5.into())
    );
    assert_eq!(told["spoiled"], serde_json::json!({ "P-38": 1, "S-80": 2 }));
    has(
        &screen(&format!("{}[done]", deep()), &[]),
        "This job is finished.",
    );
}
