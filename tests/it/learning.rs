//! Golfers for new coaches: drawn, heard, watched, compared.

use std::sync::Arc;

use crate::support::base;
use swingwhy::diagnosis::Mind;
use swingwhy::learning::{Wanted, draw, reads_back};
use swingwhy::reading::Phrases;
use swingwhy::wording::learning::speech;

#[test]
fn try_out() {
    let base = base();
    let mut mind = Mind::new(Arc::clone(&base)).unwrap();
    let phrases = Phrases::compile(&base.lexicon);
    let mut bad = 0;
    let t = std::time::Instant::now();
    for seed in 0..150 {
        let level = base
            .levels
            .iter()
            .nth(seed as usize % base.levels.len())
            .unwrap();
        let wanted = Wanted::of(&level.wish);
        match draw(&mut mind, &phrases, seed, &wanted) {
            Ok(pupil) => {
                let said = speech(&base, &pupil);
                let ok = reads_back(&phrases, &pupil, &said);
                if !ok {
                    bad += 1;
                }
                if seed < 25 || !ok {
                    println!(
                        "{seed} {} {ok} {said}\n   {:?} fault {}",
                        level.id,
                        pupil
                            .worths
                            .iter()
                            .map(|w| (
                                base.cause(w.cause).id.clone(),
                                (w.gain.clean * 10.0).round() / 10.0,
                                (w.gain.playable * 10.0).round() / 10.0
                            ))
                            .collect::<Vec<_>>(),
                        base.effect(pupil.fault).id
                    );
                }
            }
            Err(e) => println!("{seed} {} {e}", level.id),
        }
    }
    println!("bad {bad} {:?}", t.elapsed());
    for (li, lesson) in base.lessons.iter().enumerate() {
        for (ci, wish) in lesson.cases.iter().enumerate() {
            let t = std::time::Instant::now();
            match draw(
                &mut mind,
                &phrases,
                1000 + li as u64 * 10 + ci as u64,
                &Wanted::of(wish),
            ) {
                Ok(p) => println!("{} {ci} {:?} {:?}", lesson.id, p.number, t.elapsed()),
                Err(e) => println!("{} {ci} {e} {:?}", lesson.id, t.elapsed()),
            }
        }
    }
}
