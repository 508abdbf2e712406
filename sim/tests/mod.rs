#[test]
fn look() {
    use crate::dice::*;
    let setup = crate::fixture::setup();
    let n = 400_000u64;
    for _ in 0..3 {
        let t = std::time::Instant::now();
        let mut x = 0.0;
        for i in 0..n {
            let a = Address::new(1, i);
            let r = setup.rebuild(a);
            x += r.last.depth + setup.minutes(a, &r);
        }
        println!("engine {:?} {x}", t.elapsed() / n as u32);
        let t = std::time::Instant::now();
        for i in 0..n {
            let a = Address::new(1, i);
            let mut d = a.stream(Purpose::Parts);
            let parts = crate::parts::Parts::draw(&setup.axle, setup.gears, setup.bearings, &mut d);
            x += parts.head_seat;
        }
        println!("parts {:?} {x}", t.elapsed() / n as u32);
        let t = std::time::Instant::now();
        for i in 0..n {
            let a = Address::new(1, i);
            let r = setup.rebuild(a);
            x += r.last.depth;
        }
        println!("parts+bench {:?} {x}", t.elapsed() / n as u32);
        let t = std::time::Instant::now();
        let mut d = Address::new(1, 1).stream(Purpose::Parts);
        for _ in 0..n * 99 {
            x += d.normal();
        }
        for _ in 0..n * 13 {
            x += d.uniform();
        }
        println!("floor buffered {:?} {x}", t.elapsed() / n as u32);
        use rand::*;
        use rand_distr::Distribution;
        let mut rng = rand_xoshiro::Xoshiro256PlusPlus::seed_from_u64(1);
        let t = std::time::Instant::now();
        for _ in 0..n * 99 {
            x += <rand_distr::StandardNormal as Distribution<f64>>::sample(
                &rand_distr::StandardNormal,
                &mut rng,
            );
        }
        for _ in 0..n * 13 {
            x += rng.random::<f64>();
        }
        println!("floor one by one {:?} {x}", t.elapsed() / n as u32);
    }
}
#[test]
fn counted() {
    use crate::dice::*;
    let setup = crate::fixture::setup();
    let n: u64 = std::env::var("N").unwrap().parse().unwrap();
    let mut x = 0.0;
    for i in 0..n {
        let a = Address::new(1, i);
        let r = setup.rebuild(a);
        x += r.last.depth + setup.minutes(a, &r);
    }
    println!("{x}");
}
