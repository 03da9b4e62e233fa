//! Files of measured shots: text in, statistics and bad rows out.

use proptest::prelude::*;
use std::io::{BufReader, Read};
use swingwhy::geometry::consistency::{ConsistencyRule, MeasuredName};
use swingwhy::geometry::shots::{ShotStatistics, Tally};
use swingwhy::quantity::{Amount, Dimension, Length, Unit};
use swingwhy::shots::{
    BadRow, COLUMNS, Column, ColumnMap, Limit, MapProblem, OTHER_CLUBS, ShotOptions, ShotReport,
    ShotsError, read_shots,
};
use swingwhy::vocabulary::Hand;

fn options(hand: Hand) -> ShotOptions {
    ShotOptions::of_hand(hand)
}

fn read(text: &str) -> ShotReport {
    read_shots(text.as_bytes(), &options(Hand::Right)).unwrap()
}

#[track_caller]
fn mean(shots: &ShotStatistics, name: MeasuredName, unit: Unit, expected: f64) {
    let got = shots.summary(name).unwrap().mean.value_in(unit).unwrap();
    assert!(
        (got - expected).abs() < 1e-9,
        "{name:?}: {got}, expected {expected}"
    );
}

/// Clubs apart, missing cells left out, bad rows by line, nothing silent.
#[test]
fn clubs_missing_cells_and_bad_rows() {
    let text = "\
Club, Attack (deg), low_point_in, Ball Speed mph, remarks
7i, -4.0, 3.5, 106, first
7I, -5.0, , n/a, second

driver, +2, -2.5, 150, third
7i, steep, 3.0, 100, fourth
7i, -4.5, 3.0, 104
7i, -4.5, 3e99, 104, sixth
7i, -, , , seventh
\"7i\",\"-4.5\",\"4.0\",\"105\",\"a, b\"
";
    let report = read(text);
    assert_eq!((report.rows, report.used, report.bad_count), (8, 4, 4));
    let bad: Vec<_> = report
        .bad
        .iter()
        .map(|(line, why)| (*line, why.to_string()))
        .collect();
    assert_eq!(
        bad,
        [
            (6, "Attack (deg): not a number: steep".to_owned()),
            (7, "4 cells where the first line has 5".to_owned()),
            (8, "low_point_in: out of all range: 3e99".to_owned()),
            (9, "no number in the row".to_owned()),
        ]
    );
    assert_eq!(
        report.columns[4].column, None,
        "remarks are reported as not used"
    );
    assert_eq!(
        report.columns[1].column,
        Some(Column::Number(MeasuredName::Attack, Unit::Degree))
    );
    let clubs: Vec<_> = report.clubs.keys().map(String::as_str).collect();
    assert_eq!(clubs, ["7 iron", "driver"]);
    let seven = &report.clubs["7 iron"];
    assert_eq!(seven.shots(), 3);
    mean(seven, MeasuredName::Attack, Unit::Degree, -4.5);
    mean(seven, MeasuredName::LowPoint, Unit::Inch, 3.75);
    let attack = seven.summary(MeasuredName::Attack).unwrap();
    let sd = attack.sd.unwrap().value_in(Unit::Degree).unwrap();
    assert!((sd - 0.5).abs() < 1e-9);
    // Student: 4.303 * 0.5 / sqrt(3) on either side.
    let (low, high) = attack.interval.unwrap();
    let half = 0.5 * (high.base() - low.base()).to_degrees();
    assert!((half - 4.303 * 0.5 / 3f64.sqrt()).abs() < 1e-9, "{half}");
    let one = report.clubs["driver"]
        .summary(MeasuredName::Attack)
        .unwrap();
    assert!(
        one.sd.is_none() && one.interval.is_none(),
        "one shot has no spread"
    );
    assert_eq!(seven.summary(MeasuredName::Spin), None);
}

/// Every documented name is understood with a unit of its kind.
#[test]
fn every_documented_column_is_understood() {
    for (column, name) in COLUMNS {
        let unit = match name.dimension() {
            Dimension::Length => "in",
            Dimension::Angle => "deg",
            Dimension::Speed => "mph",
            Dimension::Spin => "rpm",
            Dimension::Time | Dimension::Ratio | Dimension::Temperature => "s",
        };
        let report = read(&format!("{column}_{unit}\n1\n"));
        assert!(report.clubs[""].summary(name).is_some(), "{column}");
        let bare = read_shots(format!("{column}\n1\n").as_bytes(), &options(Hand::Right));
        match bare {
            Ok(report) => assert!(report.columns[0].taken_unit().is_some(), "{column}"),
            // Heights are usual in feet and in yards.
            Err(ShotsError::NoColumns { .. }) => assert_eq!(name, MeasuredName::Apex),
            Err(other) => panic!("{column}: {other}"),
        }
    }
    let report = read("turf_entry_in,ball_speed_m/s,carry_m\n2,50,140\n");
    mean(
        &report.clubs[""],
        MeasuredName::DivotStart,
        Unit::Inch,
        -2.0,
    );
    mean(
        &report.clubs[""],
        MeasuredName::BallSpeed,
        Unit::MetrePerSecond,
        50.0,
    );
}

/// Semicolons with decimal commas, tabs, a byte-order mark, carriage returns.
#[test]
fn separators_and_line_ends() {
    let report = read("\u{feff}club;attack_deg;face_deg\r\n7i;-4,5;1,5\r\n7i;-3,5;0.5 L\r\n");
    mean(
        &report.clubs["7 iron"],
        MeasuredName::Attack,
        Unit::Degree,
        -4.0,
    );
    mean(
        &report.clubs["7 iron"],
        MeasuredName::Face,
        Unit::Degree,
        0.5,
    );
    let report = read("attack_deg\tclub\n-4\tsix iron, old\n");
    mean(
        &report.clubs["six iron, old"],
        MeasuredName::Attack,
        Unit::Degree,
        -4.0,
    );
}

/// The trade's plain headings, with or without a unit, as they are typed.
#[test]
fn plain_headings_take_their_usual_units() {
    let text = "Club,attack,Club Path,face-angle,Ball Speed,carry,Low Point,face to path deg,\
                strike across mm,Smash\n\
                7,-4,2 R,1.5,106,150,3.5,-0.5,8 heel,1.3\n\
                7i,4 down,2,1.5 L,170 km/h,140 m,9 cm,1 open,-8,1.3\n";
    let report = read(text);
    let taken: Vec<_> = report
        .columns
        .iter()
        .map(|c| c.taken_unit().map_or("", Unit::symbol))
        .collect();
    assert_eq!(
        taken,
        ["", "deg", "deg", "deg", "mph", "yd", "in", "", "", ""]
    );
    assert_eq!(report.columns[9].column, None);
    let shots = &report.clubs["7 iron"];
    assert_eq!(shots.shots(), 2);
    mean(shots, MeasuredName::Attack, Unit::Degree, -4.0);
    mean(shots, MeasuredName::Path, Unit::Degree, 2.0);
    mean(shots, MeasuredName::Face, Unit::Degree, 0.0);
    let speed = 0.5 * (106.0 * 0.447_04 + 170.0 / 3.6);
    mean(shots, MeasuredName::BallSpeed, Unit::MetrePerSecond, speed);
    let carry = 0.5 * (150.0 * 0.9144 + 140.0);
    mean(shots, MeasuredName::Carry, Unit::Metre, carry);
    let low = 0.5 * (3.5 * 2.54 + 9.0);
    mean(shots, MeasuredName::LowPoint, Unit::Centimetre, low);
    mean(shots, MeasuredName::FaceToPath, Unit::Degree, 0.25);
    mean(shots, MeasuredName::StrikeAcross, Unit::Millimetre, -8.0);
    // Every cell with a unit: none was taken. Thousands in quotation marks are one number.
    let report = read("ball speed,spin\n106 mph,\"6,400\"\n");
    assert_eq!(report.columns[0].taken_unit(), None);
    mean(&report.clubs[""], MeasuredName::Spin, Unit::Rpm, 6400.0);
    // A unit that does not fit is no number; the same words in any dress are one heading.
    let report = read("attack\n4 in\n-4\n");
    assert_eq!((report.used, report.bad_count), (1, 1));
    for heading in [
        "Attack Angle",
        "ATTACK_ANGLE",
        "attack-angle [deg]",
        "AttackAngle (\u{b0})",
    ] {
        assert!(
            read(&format!("{heading}\n-4\n")).columns[0]
                .column
                .is_some(),
            "{heading}"
        );
    }
}

/// A number beyond what its quantity can be is left out by its line; the row's others stay.
#[test]
fn impossible_numbers_are_left_out_by_line() {
    let text = "club,attack,low point\n7,-4,3.5\n7,-5,4.4\n7,-40,3.5\n7,-4,-3.5\n7,-41,\n";
    let degrees = |v: f64| Amount::new(v, Unit::Degree).unwrap();
    let options = ShotOptions {
        limits: vec![Limit {
            name: MeasuredName::Attack,
            low: degrees(-15.0),
            high: degrees(12.0),
        }],
        ..ShotOptions::of_hand(Hand::Right)
    };
    let report = read_shots(text.as_bytes(), &options).unwrap();
    assert_eq!(
        (report.used, report.bad_count, report.left_out_count),
        (4, 1, 1)
    );
    assert_eq!(report.left_out[0].0, 4);
    assert_eq!(report.left_out[0].1.to_string(), "attack cannot be -40");
    assert_eq!(
        (report.bad[0].0, report.bad[0].1.to_string()),
        (6, "attack cannot be -41".to_owned())
    );
    let shots = &report.clubs["7 iron"];
    assert_eq!(shots.summary(MeasuredName::Attack).unwrap().count, 3);
    assert_eq!(shots.summary(MeasuredName::LowPoint).unwrap().count, 4);
    let conflicts = &report.conflicts["7 iron"];
    assert_eq!(conflicts.len(), 1);
    assert_eq!(
        (conflicts[0].0, conflicts[0].1.rule),
        (5, ConsistencyRule::LowPointSign)
    );
}

/// Directions are + to the right in a file; a left-hander's are turned to the push side.
#[test]
fn directions_follow_the_hand() {
    let text = "face_deg,path_deg,attack_deg\n2,-1,-4\n";
    let left = read_shots(text.as_bytes(), &options(Hand::Left)).unwrap();
    let shots = &left.clubs[""];
    mean(shots, MeasuredName::Face, Unit::Degree, -2.0);
    mean(shots, MeasuredName::Path, Unit::Degree, 1.0);
    mean(shots, MeasuredName::Attack, Unit::Degree, -4.0);
    mean(&read(text).clubs[""], MeasuredName::Face, Unit::Degree, 2.0);
}

/// A map file gives other names to columns; what is wrong with it is said by line.
#[test]
fn map_files() {
    let map = ColumnMap::parse(
        "# my machine\n\nAttack Ang. = attack deg\nKlub = club\nLP [mm] = low_point mm\nNo = ignore\n",
    )
    .unwrap();
    let options = ShotOptions {
        map,
        ..ShotOptions::of_hand(Hand::Right)
    };
    let text = "No,Klub,Attack Ang.,LP [mm]\n1,7i,-4,90\n";
    let report = read_shots(text.as_bytes(), &options).unwrap();
    mean(
        &report.clubs["7 iron"],
        MeasuredName::LowPoint,
        Unit::Millimetre,
        90.0,
    );
    for (text, line, problem) in [
        ("a = attack deg\nb attack", 2, MapProblem::Shape),
        ("a = attack", 1, MapProblem::Unit),
        ("a = attack furlongs", 1, MapProblem::Unit),
        ("a = attack in", 1, MapProblem::Dimension),
        ("a = height in", 1, MapProblem::Name),
        ("= attack deg", 1, MapProblem::Shape),
    ] {
        let Err(ShotsError::Map {
            line: at,
            problem: what,
            ..
        }) = ColumnMap::parse(text)
        else {
            panic!("{text}")
        };
        assert_eq!((at, what), (line, problem), "{text}");
    }
}

/// What makes a whole file useless.
#[test]
fn useless_files() {
    let right = options(Hand::Right);
    assert!(matches!(
        read_shots(&b""[..], &right),
        Err(ShotsError::Empty)
    ));
    assert!(matches!(
        read_shots(&b"\n \n"[..], &right),
        Err(ShotsError::Empty)
    ));
    let none = read_shots(&b"foo,bar\n1,2\n"[..], &right);
    let Err(ShotsError::NoColumns { headers }) = none else {
        panic!("{none:?}")
    };
    assert_eq!(headers, ["foo", "bar"]);
    // Two columns of one number: the second is reported as not used.
    let report = read("attack_deg,attack_rad\n-4,0\n");
    assert_eq!(report.columns[1].column, None);
    // Lines that are no rows do not swallow the next ones.
    let mut bytes = b"attack_deg\n-4\n\"-5\n\xff\xfe\n".to_vec();
    bytes.extend(vec![b'9'; 200_000]);
    bytes.extend(b"\n-6\n");
    let report = read_shots(&bytes[..], &right).unwrap();
    let bad: Vec<_> = report.bad.iter().collect();
    assert_eq!(
        bad,
        [
            &(3, BadRow::OpenQuote),
            &(4, BadRow::NotText),
            &(5, BadRow::TooLong)
        ]
    );
    assert_eq!((report.used, report.bad_count, report.rows), (2, 3, 5));
    mean(&report.clubs[""], MeasuredName::Attack, Unit::Degree, -5.0);
}

/// Numbers that do not go together are counted, and the golfer's own arc comes out.
#[test]
fn conflicts_and_the_golfers_own_arc() {
    let report = read(
        "club,attack_deg,low_point_in\n7i,-5.1,4.7\n7i,-4,3.5\n7i,-3.4,2.8\n7i,-3,2.6\n\
         7i,-6,5.2\n7i,-2.6,2.5\npw,3,4\npw,-4.5,101.6\npw,,2\n",
    );
    let seven = &report.clubs["7 iron"];
    assert_eq!(seven.shots_in_conflict(), 0);
    let low_point = seven.means().low_point.unwrap();
    assert!((low_point.as_inches() - 3.55).abs() < 1e-9);
    let k = seven.vertical_radius().unwrap();
    // The six pairs of common practice: 50.64 in with a standard error of 0.92.
    assert!((k.mean() / 0.0254 - 50.644).abs() < 0.001);
    assert!((k.sd() / 0.0254 - 0.9154).abs() < 0.0005);
    let wedge = &report.clubs["pitching wedge"];
    assert_eq!(wedge.shots_in_conflict(), 2);
    assert_eq!(
        wedge.conflicts(),
        [
            (ConsistencyRule::LowPointSign, 1),
            (ConsistencyRule::LowPointSize, 1)
        ]
    );
}

/// Rows made as they are read, never held: a file larger than it would be wise to keep.
struct Rows {
    left: u32,
    line: Vec<u8>,
}

impl Read for Rows {
    fn read(&mut self, out: &mut [u8]) -> std::io::Result<usize> {
        if self.line.is_empty() {
            if self.left == 0 {
                return Ok(0);
            }
            self.left -= 1;
            let club = self.left % 250;
            self.line = format!("club {club},-4.{},3.5\n", self.left % 10).into_bytes();
        }
        let n = out.len().min(self.line.len());
        out[..n].copy_from_slice(&self.line[..n]);
        self.line.drain(..n);
        Ok(n)
    }
}

/// Many rows and many club names: what is kept stays small.
#[test]
fn what_is_kept_does_not_grow() {
    let rows = Rows {
        left: 50_000,
        line: b"club,attack_deg,low_point_in\n".to_vec(),
    };
    let report = read_shots(BufReader::new(rows), &options(Hand::Right)).unwrap();
    assert_eq!((report.used, report.bad_count), (50_000, 0));
    assert_eq!(report.clubs.len(), 101);
    assert!(report.clubs[OTHER_CLUBS].shots() > 20_000);
    let mut text = "attack_deg\n".to_owned();
    for _ in 0..3000 {
        text.push_str("oops\n");
    }
    let report = read(&text);
    assert_eq!((report.bad_count, report.bad.len()), (3000, 1000));
}

proptest! {
    /// The running mean and spread are those of the list.
    #[test]
    fn tally_agrees_with_the_list(values in prop::collection::vec(-50.0..50.0f64, 2..200), shift in -1e6..1e6f64) {
        let mut tally = Tally::default();
        for value in &values {
            tally.add(value + shift);
        }
        tally.add(f64::NAN);
        let summary = tally.summary(Dimension::Ratio).unwrap();
        let n = values.len() as f64;
        let mean = values.iter().sum::<f64>() / n;
        let sd = (values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / (n - 1.0)).sqrt();
        prop_assert!((summary.mean.base() - shift - mean).abs() < 1e-7);
        prop_assert!((summary.sd.unwrap().base() - sd).abs() < 1e-7 * (1.0 + sd));
        prop_assert_eq!(summary.count, values.len() as u64);
        let estimate = summary.shot_estimate().unwrap();
        prop_assert!((estimate.sd() - summary.sd.unwrap().base()).abs() < 1e-12);
        let none = summary.mean_estimate(Amount::from(Length::ZERO));
        prop_assert!(none.is_none(), "an instrument's error of another dimension");
    }

    /// Any bytes at all: a report or an error, and rows are used or bad.
    #[test]
    fn any_bytes(bytes in prop::collection::vec(any::<u8>(), 0..400), text in "[-0-9.,;\"a-z\n ]{0,300}") {
        for body in [bytes.as_slice(), text.as_bytes()] {
            let _ = read_shots(body, &options(Hand::Right));
            let mut file = b"club,attack_deg,face_deg\n".to_vec();
            file.extend(body);
            let report = read_shots(&file[..], &options(Hand::Left)).unwrap();
            prop_assert_eq!(report.rows, report.used + report.bad_count);
        }
        let _ = ColumnMap::parse(&text);
    }
}
