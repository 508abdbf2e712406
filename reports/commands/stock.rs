//! `shimcast stock`.
use super::{Ended, Failure, drawer, on_so_many_threads, print};
use crate::args::Stock;
use crate::terminal::Ink;
use shimcast_sim::stock::*;

pub(super) fn run(args: &Stock, _ink: Ink) -> Result<Ended, Failure> {
    let work = drawer::read(&args.files)?;
    let lines = work.lines();
    let aim = match args.budget { Some(b) => Aim::Budget(b), None => Aim::Fill(work.shop.shop.drawer.job_fill) };
    let q = Question { lines: &lines, shelves: &work.shelves, drawer: &work.shop.shop.drawer, aim, have: None, seed: args.run.seed };
    let t = std::time::Instant::now();
    let a = on_so_many_threads(args.run.threads, |w| stock(&q, &mut |s| { eprintln!("{:?} {s:?}", t.elapsed()); w.see_step(s.doing, s.done) }))?.unwrap();
    let mut text = format!("{:?}\n{:?} money {} levels {:?}\n", t.elapsed(), a.plan.service.job_fill, a.plan.money, a.plan.levels);
    for p in &a.curve { text += &format!("{:.2} {:.4} {:.4} {:.4}\n", p.money, p.service.job_fill.value, p.service.job_fill.low, p.service.job_fill.high); }
    let e = &a.equal; text += &format!("same money {} {:?} same service {:?}\n", e.same_money.0, e.same_money.1.service.job_fill, e.same_service.as_ref().map(|(n,p)| (n, p.money, p.service.job_fill)));
    print(&text)?;
    Ok(Ended::Done)
}
