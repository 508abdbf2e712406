use super::*;

#[test]
fn what_every_example_says_is_not_said_again() {
    let said = |target, key: &str| {
        let meanings = Meanings::of(target, false);
        let comments = meanings.comments.into_iter();
        let mut of_key = comments.filter(|(of, _)| of == key);
        of_key.next().map(|(_, comment)| comment)
    };
    for (key, meaning) in OTHERS {
        let said = [FileKind::Axle, FileKind::Shop].map(|target| said(target, key));
        let again = said.iter().filter(|said| said.as_deref() == Some(meaning));
        assert!(again.count() < 2, "{key}");
    }
    let meanings = Meanings::of(FileKind::Axle, false);
    let ring = meanings.of_key("gears.ring_diameter", false);
    let comment = "outer pitch diameter of the ring gear".to_owned();
    assert_eq!(ring, (comment, String::new()));
}

#[test]
fn comments_are_found_behind_keys_that_are_commented_out() {
    let meanings = Meanings::of(FileKind::Shop, false);
    let (hour_cost, _) = meanings.of_key("prices.hour_cost", false);
    assert!(
        hour_cost.starts_with("what an hour costs the shop itself"),
        "{hour_cost}"
    );
    let (least, _) = meanings.of_key("shims.4.least_order", false);
    assert!(least.starts_with("packs of one size"), "{least}");
}
