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
use std::io::{BufReader, Read};
use std::time::Instant;
use swingwhy::geometry::air::Air;
use swingwhy::geometry::arc::{Arc, Shape};
use swingwhy::geometry::flight::{Ball, Launch, Wind, fly};
use swingwhy::geometry::rates::{Scatter, Spread, Tail, class_rates, teed_rates};
use swingwhy::geometry::strike::{StrikeWindow, height_thresholds, strike};
use swingwhy::geometry::teed::TeedWindow;
use swingwhy::quantity::{Angle, Length, Ratio, Speed, Spin, Temperature};
use swingwhy::shots::{ShotOptions, read_shots};
use swingwhy::vocabulary::Hand;

/// Median nanoseconds of one call, over 301 batches of `calls`; batches are kept to a fraction of a
/// millisecond, so that other work on the machine falls between most of them.
fn median(calls: u32, mut call: impl FnMut(u32)) -> f64 {
    let mut batches: Vec<f64> = (0..301)
        .map(|_| {
            let start = Instant::now();
            for i in 0..calls {
                call(i);
            }
            start.elapsed().as_secs_f64() * 1e9 / f64::from(calls)
        })
        .collect();
    batches.sort_by(f64::total_cmp);
    batches[150]
}

fn report(what: &str, nanoseconds: f64, aim: f64) {
    println!(
        "{what:<44} {nanoseconds:>10.0} ns   {:>6.2} of the aim",
        nanoseconds / aim
    );
}

/// A file of shots that is made while it is read.
struct Rows {
    left: u32,
    line: Vec<u8>,
    given: usize,
}

impl Read for Rows {
    fn read(&mut self, out: &mut [u8]) -> std::io::Result<usize> {
        if self.given == self.line.len() {
            if self.left == 0 {
                return Ok(0);
            }
            self.left -= 1;
            self.given = 0;
            let (club, i) = (self.left % 9 + 2, self.left % 10);
            self.line = format!(
                "{club} iron,8{i}.1,11{i}.3,-4.{i},2{i}.5,1{i}.2,0.{i},1.{i},-0.{i},3.{i},6{i}01,1{i}5\n"
            )
            .into_bytes();
        }
        let n = out.len().min(self.line.len() - self.given);
        out[..n].copy_from_slice(&self.line[self.given..self.given + n]);
        self.given += n;
        Ok(n)
    }
}

/// Greatest memory this process has held so far, in megabytes, where the system tells.
fn peak_megabytes() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM"))?;
    let kilobytes: f64 = line.split_whitespace().nth(1)?.parse().ok()?;
    Some(kilobytes / 1024.0)
}

fn shots_of(rows: u32) {
    let header = "club,club_speed_mph,ball_speed_mph,attack_deg,dynamic_loft_deg,launch_deg,\
                  face_deg,path_deg,start_deg,low_point_in,spin_rpm,carry_yd\n";
    let file = Rows {
        left: rows,
        line: header.as_bytes().to_vec(),
        given: 0,
    };
    let options = ShotOptions::of_hand(Hand::Right);
    let start = Instant::now();
    let report = read_shots(BufReader::new(file), &options).unwrap();
    let seconds = start.elapsed().as_secs_f64();
    assert_eq!(report.used, u64::from(rows));
    println!(
        "shots file, {rows:>9} rows of 12 columns      {seconds:>10.2} s    peak memory {:.1} MB",
        peak_megabytes().unwrap_or(f64::NAN)
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
    let time = median(150, |i| {
        black_box(class_rates(shape, window, black_box(scatter(i, None))).unwrap());
    });
    report("strike-class rates of a golfer", time, 2000.0);
    let time = median(150, |i| {
        black_box(class_rates(shape, window, black_box(scatter(i, Some(tail)))).unwrap());
    });
    report("the same with a tail of poor swings", time, 2000.0);
    let time = median(150, |i| {
        black_box(
            teed_rates(shape, TeedWindow::DRIVER, black_box(scatter(i, Some(tail)))).unwrap(),
        );
    });
    report("rates off a tee with a tail", time, 2000.0);
    let air = Air::new(Temperature::celsius(25.0), Length::ZERO, Ratio::ZERO).unwrap();
    let time = median(12, |i| {
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
    shots_of(10_000);
    shots_of(1_000_000);
}
