//! How long the geometry takes: `cargo bench --bench geometry`.
//!
//! Each line is the median of repeated batches with the wall clock, and its ratio to the aim.
#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    missing_docs,
    reason = "a benchmark prints"
)]

use std::hint::black_box;
use std::time::Instant;
use swingwhy::geometry::air::Air;
use swingwhy::geometry::arc::{Arc, Shape};
use swingwhy::geometry::flight::{Ball, Launch, Wind, fly};
use swingwhy::geometry::rates::{Scatter, Spread, Tail, class_rates, teed_rates};
use swingwhy::geometry::strike::{StrikeWindow, height_thresholds, strike};
use swingwhy::geometry::teed::TeedWindow;
use swingwhy::quantity::{Angle, Length, Ratio, Speed, Spin, Temperature};

/// Median nanoseconds of one call, over 31 batches of `calls`.
fn median(calls: u32, mut call: impl FnMut(u32)) -> f64 {
    let mut batches: Vec<f64> = (0..31)
        .map(|_| {
            let start = Instant::now();
            for i in 0..calls {
                call(i);
            }
            start.elapsed().as_secs_f64() * 1e9 / f64::from(calls)
        })
        .collect();
    batches.sort_by(f64::total_cmp);
    batches[15]
}

fn report(what: &str, nanoseconds: f64, aim: f64) {
    println!(
        "{what:<44} {nanoseconds:>10.0} ns   {:>6.2} of the aim",
        nanoseconds / aim
    );
}

fn main() {
    let shape = Shape::new(Length::metres(1.114), Angle::degrees(60.0)).unwrap();
    let window = StrikeWindow::MID_IRON;
    let scatter = |i: u32, tail: Option<Tail>| Scatter {
        low_point: Spread {
            mean: Length::millimetres(40.0 + f64::from(i % 64)),
            sd: Length::millimetres(28.0),
        },
        height: Spread {
            mean: Length::millimetres(-3.0),
            sd: Length::millimetres(2.1),
        },
        tail,
    };
    let tail = Tail {
        share: Ratio::percent(7.0),
        low_point_factor: Ratio::of_one(2.24),
        height_factor: Ratio::of_one(5.0),
        lift: Length::millimetres(3.4),
    };
    let time = median(2000, |i| {
        let arc = Arc::of_shape(
            Length::millimetres(f64::from(i % 100)),
            Length::millimetres(-3.0),
            shape,
        );
        black_box(strike(arc.unwrap(), window).unwrap());
    });
    report("one strike", time, 1000.0);
    let time = median(2000, |i| {
        let low = Length::millimetres(f64::from(i % 100));
        black_box(height_thresholds(black_box(low), shape, window).unwrap());
    });
    report("height thresholds", time, 200.0);
    let time = median(2000, |i| {
        black_box(class_rates(shape, window, black_box(scatter(i, None))).unwrap());
    });
    report("strike-class rates of a golfer", time, 2000.0);
    let time = median(2000, |i| {
        black_box(class_rates(shape, window, black_box(scatter(i, Some(tail)))).unwrap());
    });
    report("the same with a tail of poor swings", time, 2000.0);
    let time = median(2000, |i| {
        black_box(
            teed_rates(shape, TeedWindow::DRIVER, black_box(scatter(i, Some(tail)))).unwrap(),
        );
    });
    report("rates off a tee with a tail", time, 2000.0);
    let air = Air::new(Temperature::celsius(25.0), Length::ZERO, Ratio::ZERO).unwrap();
    let time = median(100, |i| {
        let drive = Launch {
            ball_speed: Speed::mph(140.0 + f64::from(i % 16)),
            launch: Angle::degrees(12.0),
            start: Angle::degrees(1.0),
            spin: Spin::rpm(2700.0),
            axis_tilt: Angle::degrees(5.0),
        };
        black_box(fly(black_box(drive), Ball::USUAL, air, Wind::default()).unwrap());
    });
    report("one flight (a drive)", time, 50_000.0);
}
