use shimcast_sim::chance::dice::Address;
use shimcast_sim::learn::{FinishedJob, recorded};

use super::*;
use crate::files::{
    AXLE_IN_INCHES, GARAGE_SHOP, SECOND_AXLE, SHOP_IN_INCHES, SHORT_AXLE, SHORT_AXLE_IN_INCHES,
};
use crate::questions::context::set_up_as;
use shimcast_sim::axle::Condition;

/// Whatever jobs teach can be written into these files, and is read as it was learned: long ones and short
/// ones, in millimetres and in inches.
#[test]
fn every_lesson_is_written_as_it_was_learned() {
    let example = Source::Example;
    for (axle, shop) in [
        (Source::BuiltIn, Source::BuiltIn),
        (example(AXLE_IN_INCHES), example(SHOP_IN_INCHES)),
        (example(SECOND_AXLE), Source::BuiltIn),
        (example(SHORT_AXLE), example(GARAGE_SHOP)),
        (example(SHORT_AXLE_IN_INCHES), example(SHOP_IN_INCHES)),
    ] {
        let loaded = load(&axle, &shop, &[]).expect("files");
        let setup = set_up_as(&loaded, Condition::New, Condition::New).expect("a job");
        let jobs: Vec<(usize, FinishedJob)> = (0..12)
            .map(|number| (0, recorded(&setup, Address::new(5, number))))
            .collect();
        let lessons = shimcast_sim::learn::lessons(&shimcast_sim::learn::Taught {
            kinds: std::slice::from_ref(&setup),
            jobs: &jobs,
            trust: 2.0,
            seed: 1,
        });
        let lessons: Vec<&Lesson> = lessons.iter().collect();
        assert!(lessons.len() > 30, "{}", lessons.len());
        let of = Taught {
            setup: &setup,
            loaded: &loaded,
            jobs: jobs.len(),
        };
        let into = Path::new("new");
        let opened = |source, built_in| opened(source, built_in, into).expect("a file");
        let mut files = [opened(&axle, BUILT_IN_AXLE), opened(&shop, BUILT_IN_SHOP)];
        for (file, of_axle) in files.iter_mut().zip([true, false]) {
            let put = of.put(file, &lessons, of_axle);
            assert_eq!(put.left, [""; 0], "{axle:?}");
            let own = lessons
                .iter()
                .filter(|lesson| of.named(lesson).of_axle == of_axle);
            assert_eq!(put.written.len(), own.count());
            let remarks = file
                .written()
                .matches("learned from 12 jobs; before ")
                .count();
            assert_eq!(remarks, put.written.len());
        }
        let [axle, shop] = &files;
        assert_eq!(of.reads_as_learned(&lessons, [axle, shop]), Ok(()));
    }
}
