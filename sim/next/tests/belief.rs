use crate::axle::tolerance::Tolerance;
use crate::chance::dice::Address;
use crate::demo;
use crate::next::model::Told;
use crate::next::population::{Population, Wanted};
use crate::next::{BenchJob, Fitted, Known};

pub(super) fn demo_job() -> BenchJob {
    BenchJob {
        known: Known {
            mark_old: Some(-0.02),
            mark_new: Some(0.05),
            pinion_pack: Some(0.94),
            ring_pack: Some(1.98),
            far_pack: Some(2.11),
            head_height: Some([28.08, 28.11]),
            gauge: Some(0.86),
            ..Known::default()
        },
        assemblies: vec![
            Fitted {
                on_setup_bearings: true,
                zero_total: Some(3.93),
                pinion: 0.87,
                ring: 1.99,
                far: 2.12,
                backlash: vec![0.15, 0.17, 0.18, 0.15],
                drive: Some(0.15),
                coast: Some(0.0),
                ..Fitted::default()
            },
            Fitted {
                on_setup_bearings: true,
                pinion: 0.92,
                ring: 1.97,
                far: 2.14,
                backlash: vec![0.16, 0.18, 0.18, 0.16],
                drive: Some(0.0),
                coast: Some(-0.05),
                ..Fitted::default()
            },
        ],
    }
}

#[test]
fn look() {
    let setup = demo::setup();
    let job = demo_job();
    let side = Tolerance::normal(0.0, 0.03).unwrap();
    for read in 0..=2 {
        let told = Told {
            setup: &setup,
            old_side_closure: &side,
            job: &job,
            entries: 2,
            read,
            assumed: &[],
            amiss: None,
        };
        let wanted = Wanted {
            draws: 16384,
            effective: 0.0,
        };
        let begun = std::time::Instant::now();
        let found = Population::new(&told, Address::new(1, 0), wanted);
        println!(
            "{read}: {} vars, effective {} of {} in {:?}, evidence {}",
            found.model.variables.all.len(),
            found.effective,
            found.len(),
            begun.elapsed(),
            found.log_evidence
        );
        let last = found.model.assemblies.last().unwrap();
        for (name, form) in [
            ("depth", &last.depth),
            ("backlash", &last.backlash),
            ("closure", &last.closure),
            ("drive", &last.profile[0]),
        ] {
            let values = found.values(form);
            let mean: f64 = values.iter().zip(&found.weights).map(|(x, w)| x * w).sum();
            let var: f64 = values
                .iter()
                .zip(&found.weights)
                .map(|(x, w)| w * (x - mean) * (x - mean))
                .sum();
            println!(
                "  {name}: {mean:.4} {:.4} near {:?}",
                var.sqrt(),
                found.near.spread(form)
            );
        }
    }
}

#[test]
fn look_next() {
    let setup = demo::setup();
    let job = demo_job();
    for entries in [2, 1, 0] {
        let mut job = job.clone();
        job.assemblies.truncate(entries);
        let begun = std::time::Instant::now();
        let next = crate::next::next(&crate::next::Question::of(&setup, &job, 1)).unwrap();
        println!(
            "{entries}: {:?} effective {} of {}",
            begun.elapsed(),
            next.effective,
            next.draws
        );
        println!("{:#?}", next.surprises);
        println!("{:?}", next.as_it_stands);
        println!(
            "{:?}\n{:?}\n{:?}\n{:?}",
            next.belief.depth, next.expected, next.would_narrow, next.remarks
        );
        for m in next.moves.iter().take(8) {
            println!(
                "{:.3} {:.3} {:.3} acc {} reads {:.3?} right {:.3} out {:.3} as {:.2} h {:.2} cost {:.1} ({:.1}..{:.1}) dearer {:.1} less {}",
                m.pinion,
                m.ring,
                m.far,
                m.accept,
                m.reads_inside.map(|e| e.value),
                m.right.value,
                m.clearly_out.value,
                m.assemblies.value,
                m.hours.value,
                m.cost.value,
                m.cost.low,
                m.cost.high,
                m.dearer.value,
                m.less_than_best
            );
        }
        println!("{} moves", next.moves.len());
    }
}
