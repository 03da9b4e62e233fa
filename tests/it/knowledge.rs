//! The built-in knowledge as a whole: complete enough, used, embedded as it stands in its folder.

use std::collections::BTreeSet;
use std::path::Path;

use crate::support::{base, root};
use swingwhy::knowledge::{Kind, builtin_files, load, load_and_lint};
use swingwhy::quantity::Unit;

#[test]
fn the_embedded_files_are_those_of_the_folder() {
    fn walk(at: &Path, top: &Path, out: &mut BTreeSet<String>) {
        for entry in std::fs::read_dir(at).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                walk(&path, top, out);
            } else if path.extension().is_some_and(|e| e == "yaml") {
                out.insert(
                    path.strip_prefix(top)
                        .unwrap()
                        .to_string_lossy()
                        .into_owned(),
                );
            }
        }
    }
    let mut there = BTreeSet::new();
    let top = root().join("knowledge");
    walk(&top, &top, &mut there);
    let here: BTreeSet<String> = builtin_files().into_iter().map(|f| f.path).collect();
    assert_eq!(here, there);
}

/// Compiled in, the texts are JSON; looked over, they are read as they are written.
#[test]
fn what_is_compiled_in_is_what_the_texts_say() {
    let files = builtin_files();
    let ready = load(&files).unwrap();
    let (read, _) = load_and_lint(&files).unwrap();
    assert!(format!("{ready:?}") == format!("{read:?}"));
    let mut changed = files;
    let file = changed
        .iter_mut()
        .find(|f| f.path == "drills.yaml")
        .unwrap();
    file.text = file.text.replacen("\n  name: ", "\n  name: other ", 1);
    assert!(format!("{:?}", load(&changed).unwrap().drills) != format!("{:?}", ready.drills));
}

#[test]
fn there_is_enough_of_everything() {
    let base = base();
    assert_eq!(base.groups.len(), 7);
    assert!(base.quantities.len() >= 12);
    assert!(base.symptoms.len() >= 60);
    assert!(base.effects.len() >= 24);
    assert!(base.causes.len() >= 40);
    assert!(base.checks.len() >= 40);
    assert!(base.drills.len() >= 20);
    assert!(base.cautions.len() >= 12);
    assert!(base.program.rules().len() >= 30);
    assert!(base.phrasings >= 350, "{}", base.phrasings);
}

#[test]
fn every_cause_acts_through_quantities_and_has_all_that_practice_needs() {
    let base = base();
    for (cause, model) in base.causes.iter().zip(&base.model.causes) {
        let acts = model
            .shifts
            .iter()
            .any(|group| group.iter().any(|s| s.mean != 0.0 || s.sd > 0.0));
        assert!(
            acts || !model.leads_to.is_empty(),
            "{} moves nothing",
            cause.id
        );
        assert!(
            cause.check.is_some() && !cause.drills.is_empty(),
            "{}",
            cause.id
        );
        assert!(
            cause.success.need <= cause.success.of && cause.success.need > 0,
            "{}",
            cause.id
        );
        assert!(
            cause.cue.split_whitespace().count() <= 8,
            "{}: {}",
            cause.id,
            cause.cue
        );
        for text in [
            &cause.is,
            &cause.because,
            &cause.mistake,
            &cause.folk.says,
            &cause.folk.but,
        ] {
            assert!(!text.trim().is_empty(), "{}", cause.id);
        }
    }
}

#[test]
fn published_numbers_name_their_source() {
    let base = base();
    for cause in &base.causes {
        assert!(
            cause.origin.kind != Kind::Published || cause.origin.source.is_some(),
            "{}",
            cause.id
        );
    }
    for source in &base.sources {
        assert!(
            ["text", "abstract", "memory"].contains(&source.seen.as_str()),
            "{}",
            source.id
        );
    }
}

#[test]
fn the_clubs_carry_the_geometry_of_common_practice() {
    // Common practice for a mid iron: low point ahead (in), attack down (deg). Tolerance of the
    // project: 0.4 deg.
    let base = base();
    let club = base.club(base.find_club("iron_7").unwrap());
    for (low_point, attack) in [(4.7, 5.1), (3.5, 4.0), (2.8, 3.4), (2.6, 3.0)] {
        let ahead = swingwhy::quantity::Length::inches(low_point);
        let level = swingwhy::quantity::Length::ZERO;
        let arc = swingwhy::geometry::arc::Arc::new(ahead, level, club.radius, club.plane).unwrap();
        let predicted = -arc.attack().as_degrees();
        assert!(
            (predicted - attack).abs() <= 0.4,
            "{low_point} in ahead: {predicted} against {attack}"
        );
    }
}

#[test]
fn longer_clubs_bottom_out_less_far_ahead_and_strike_less_down() {
    let base = base();
    let usual = |id: &str| {
        let group = base.find_group(id).unwrap().index();
        base.model.groups[group].low_point_in
    };
    let order = [
        "wedge",
        "short_iron",
        "mid_iron",
        "long_iron",
        "hybrid",
        "fairway",
        "driver",
    ];
    for pair in order.windows(2) {
        assert!(usual(pair[0]) >= usual(pair[1]), "{pair:?}");
    }
}

#[test]
fn every_quantity_is_shown_in_a_unit_with_a_plausible_range() {
    for quantity in &base().quantities {
        assert!(Unit::from_symbol(quantity.unit.symbol()).is_some());
        let (low, high) = quantity.plausible;
        assert!(low.base() < high.base(), "{}", quantity.id);
    }
}
