use std::fs;

use super::*;
use crate::files::{Source, load_shop};

/// A file in a folder of its own, which is gone with the test.
struct OnDisk {
    _folder: tempfile::TempDir,
    path: PathBuf,
}

fn on_disk(text: &str) -> OnDisk {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let path = folder.path().join("drawer.csv");
    fs::write(&path, text).expect("a file");
    OnDisk {
        _folder: folder,
        path,
    }
}

impl OnDisk {
    fn open(&self) -> Counts {
        Counts::open(&self.path, &shop()).expect("a count")
    }

    fn text(&self) -> String {
        fs::read_to_string(&self.path).expect("a file")
    }

    fn book(&self, bookings: &[(&str, f64, Booking)]) -> Result<(), NotBooked> {
        let counts = self.open();
        let seen = counts.fingerprint();
        let bookings: Vec<_> = bookings
            .iter()
            .map(|(series, size, booking)| ((*series).to_owned(), *size, *booking))
            .collect();
        counts.book(&seen, &bookings)
    }
}

fn shop() -> Shop {
    load_shop(&Source::BuiltIn, &[]).expect("a shop").shop
}

const INCH: f64 = 25.4;

#[test]
fn only_what_was_booked_changes_in_the_file() {
    let file = on_disk(
        "# counted on Monday, with 5 P-38\nplace;series; size ;count;note\n3;P-38;0,25;\"4\";by hand; \n\n\
         # the thin ones\n1;P-38;0,10;2;\n;S-80;1,5;0\n7;T-11in;0,0015;3;a, b\n",
    );
    file.book(&[
        ("P-38", 0.25, Booking::TakenOut(3)),
        ("S-80", 1.5, Booking::PutIn(2)),
        ("T-11in", 0.0015 * INCH, Booking::Counted(9)),
        ("P-38", 0.12, Booking::PutIn(1)),
        ("P-28in", 0.020 * INCH, Booking::Counted(6)),
    ])
    .expect("booked");
    assert_eq!(
        file.text(),
        "# counted on Monday, with 5 P-38\nplace;series; size ;count;note\n3;P-38;0,25;1;by hand; \n\n\
         # the thin ones\n1;P-38;0,10;2;\n;P-38;0,12;1;\n;S-80;1,5;2\n7;T-11in;0,0015;9;a, b\n\
         ;P-28in;0,020;6;\n"
    );
    let again = file.open();
    let count = |series: &str, mm: f64| {
        let found = again.sizes().iter().find(|size| size.is(series, mm));
        found.expect("a size").count
    };
    assert_eq!(count("P-38", 0.12), 1);
    assert_eq!(count("P-28in", 0.508), 6);
    assert_eq!(count("P-38", 0.80), 0);
}

#[test]
fn an_order_gets_a_column_and_a_delivery_takes_from_it() {
    let file = on_disk("\u{feff}series,size,count\r\nP-38,0.1,2,\r\nS-80,0.20,1");
    let order = [
        ("S-80", 0.2, Booking::Ordered(4)),
        ("S-80", 0.3, Booking::Ordered(2)),
    ];
    file.book(&order).expect("booked");
    assert_eq!(
        file.text(),
        "\u{feff}series,size,count,on_order\r\nP-38,0.1,2,\r\nS-80,0.20,1,4\r\nS-80,0.30,0,2"
    );
    let came = [
        ("S-80", 0.2, Booking::Delivered(3)),
        ("S-80", 0.3, Booking::Delivered(6)),
    ];
    file.book(&came).expect("booked");
    assert_eq!(
        file.text(),
        "\u{feff}series,size,count,on_order\r\nP-38,0.1,2,\r\nS-80,0.20,4,1\r\nS-80,0.30,6,0"
    );
}

#[test]
fn where_one_size_is_short_nothing_is_written() {
    let text = "size,series,have,on_order\n0.10,P-38,2\n0.25,P-38,1,7\n0.003,P-28in,0\n";
    let file = on_disk(text);
    let refused = file.book(&[
        ("P-38", 0.10, Booking::TakenOut(1)),
        ("P-38", 0.25, Booking::TakenOut(2)),
        ("P-28in", 0.0762, Booking::TakenOut(1)),
        ("P-38", 0.11, Booking::PutIn(1)),
        ("S-80", 2.0, Booking::PutIn(MOST_PIECES + 1)),
    ]);
    let Err(NotBooked::Short(all)) = refused else {
        panic!("{refused:?}");
    };
    assert_eq!(
        all,
        [
            "P-38 0.25 mm: 2 are to be taken out and there is 1; count it again, or take fewer",
            "P-28in 0.003 in: 1 is to be taken out and there is none; count it again, or take fewer",
            "P-38: there is no size 0.11 mm",
            "S-80 2.00 mm: more than 100000 are more than any drawer holds",
        ]
    );
    assert_eq!(file.text(), text);
    // what is put back later in the list does not help what was taken before it
    let order = [
        ("P-38", 0.25, Booking::TakenOut(2)),
        ("P-38", 0.25, Booking::PutIn(1)),
    ];
    assert!(file.book(&order).is_err());
    let rows_that_end_early = [
        ("P-38", 0.10, Booking::TakenOut(2)),
        ("P-38", 0.10, Booking::Ordered(5)),
    ];
    file.book(&rows_that_end_early).expect("booked");
    assert_eq!(
        file.text(),
        "size,series,have,on_order\n0.10,P-38,0,5\n0.25,P-38,1,7\n0.003,P-28in,0\n"
    );
}

#[test]
fn a_file_that_changed_meanwhile_is_left_alone() {
    let file = on_disk("series,size,count\nP-38,0.10,2\n");
    let counts = file.open();
    let seen = counts.fingerprint();
    fs::write(&file.path, "series,size,count\nP-38,0.10,9\n").expect("a file");
    let booked = [("P-38".to_owned(), 0.10, Booking::TakenOut(1))];
    for counts in [counts, file.open()] {
        let refused = counts.book(&seen, &booked);
        assert!(
            matches!(refused, Err(NotBooked::Meanwhile(_))),
            "{refused:?}"
        );
    }
    assert_eq!(file.text(), "series,size,count\nP-38,0.10,9\n");
}

#[test]
fn a_new_count_holds_every_size_and_replaces_nothing() {
    let shop = shop();
    let file = on_disk("");
    let path = file.path.with_file_name("new.csv");
    let of = |series: &str, _| u32::from(series == "S-80");
    new_counts(&path, &shop, Decimal::Comma, of).expect("written");
    let text = fs::read_to_string(&path).expect("a file");
    assert!(
        text.starts_with("series;size;count;on_order\nP-38;0,08;0;0\n"),
        "{text}"
    );
    let counts = Counts::open(&path, &shop).expect("a count");
    let expected: usize = shop.shims.iter().map(|series| series.sizes.len()).sum();
    assert_eq!(
        (counts.sizes().len(), text.lines().count()),
        (expected, expected + 1)
    );
    let pieces: u32 = counts.sizes().iter().map(|size| size.count).sum();
    assert_eq!(
        pieces as usize,
        shop.series("S-80").expect("a series").sizes.len()
    );
    let refused = new_counts(&path, &shop, Decimal::Point, |_, _| 0).expect_err("it is there");
    assert!(refused.contains("is there already"), "{refused}");
}
