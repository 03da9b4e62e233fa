//! What words sound like: laws, and a slow oracle that counts words the plain way.

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;
use swingwhy::reading::Likeness;
use swingwhy::vocabulary::{CauseId, Hand};

/// Words that the stemmer leaves alone, sides among them.
const WORDS: [&str; 12] = [
    "glov", "palm", "knuckl", "left", "right", "wobbl", "mud", "stick", "photo", "chair", "nin",
    "cold",
];

/// What was told of which cause; of none under `NOTHING`.
type Told = Vec<(usize, Vec<usize>)>;

const NOTHING: usize = 5;

fn cause(of: usize) -> Option<CauseId> {
    (of != NOTHING).then(|| CauseId::from_index(of))
}

fn text(words: &[usize]) -> String {
    let words: Vec<&str> = words.iter().map(|w| WORDS[*w]).collect();
    words.join(" ")
}

fn learned(told: &Told) -> Likeness {
    let texts = told
        .iter()
        .map(|(of, words)| (text(words), vec![cause(*of)], 1.0));
    Likeness::of(texts, [])
}

fn ratios(likeness: &Likeness, text: &str, hand: Hand) -> BTreeMap<CauseId, f64> {
    let sounds = likeness.compare(text, hand);
    sounds.into_iter().map(|s| (s.cause, s.ratio)).collect()
}

/// Words and pairs, as text.
fn features(words: &[usize]) -> BTreeSet<String> {
    let singles = words.iter().map(|w| WORDS[*w].to_owned());
    let pairs = words.windows(2).map(text);
    singles.chain(pairs).collect()
}

/// The ratios by the formula of the module head, counted the plain way.
fn oracle(told: &Told, said: &[usize]) -> BTreeMap<usize, f64> {
    let mut counts: BTreeMap<String, BTreeMap<usize, f64>> = BTreeMap::new();
    let mut of_cause: BTreeMap<usize, f64> = BTreeMap::new();
    for (cause, words) in told {
        for feature in features(words) {
            *counts
                .entry(feature)
                .or_default()
                .entry(*cause)
                .or_default() += 1.0;
            *of_cause.entry(*cause).or_default() += 1.0;
        }
    }
    let all: f64 = of_cause.values().sum();
    let (drawn, chance) = (10_000.0, 2.0);
    let said: Vec<&BTreeMap<usize, f64>> = features(said)
        .iter()
        .filter_map(|f| counts.get(f))
        .collect();
    let speaks = |cause: usize, of: &BTreeMap<usize, f64>| {
        let usual = drawn * (of.values().sum::<f64>() + chance) / all;
        of.get(&cause).map_or(0.0, |n| (n / usual).ln_1p())
    };
    let mut out: BTreeMap<usize, f64> = BTreeMap::new();
    let ratio = |cause: usize, of: f64| {
        let for_it: f64 = said.iter().map(|f| speaks(cause, f)).sum();
        for_it - said.len() as f64 * (of / drawn).ln_1p()
    };
    let nothing = of_cause.remove(&NOTHING);
    let nothing = nothing.map_or(0.0, |of| ratio(NOTHING, of).max(0.0));
    for (cause, of) in &of_cause {
        if said.iter().any(|f| f.contains_key(cause)) {
            out.insert(*cause, ratio(*cause, *of) - nothing);
        }
    }
    // The likest takes half of what it shares with the others.
    let first = out
        .iter()
        .max_by(|a, b| a.1.total_cmp(b.1).then(b.0.cmp(a.0)))
        .map(|(cause, _)| *cause);
    if let Some(first) = first {
        for (cause, ratio) in out.iter_mut().filter(|(c, _)| **c != first) {
            let shared: f64 = said
                .iter()
                .map(|f| speaks(*cause, f).min(speaks(first, f)))
                .sum();
            *ratio -= 0.5 * shared;
        }
    }
    out
}

fn tellings() -> impl Strategy<Value = Told> {
    let words = prop::collection::vec(0..WORDS.len(), 1..8);
    prop::collection::vec((0..=NOTHING, words), 1..25)
}

proptest! {
    #[test]
    fn equals_counting_the_plain_way(told in tellings(), said in prop::collection::vec(0..WORDS.len(), 0..10)) {
        let fast = ratios(&learned(&told), &text(&said), Hand::Right);
        let slow = oracle(&told, &said);
        prop_assert_eq!(fast.len(), slow.len());
        for (cause, ratio) in slow {
            let found = fast[&CauseId::from_index(cause)];
            prop_assert!((found - ratio).abs() < 1e-9, "{cause}: {found} {ratio}");
        }
    }

    #[test]
    fn a_left_hander_with_the_sides_turned_sounds_the_same(told in tellings(), said in prop::collection::vec(0..WORDS.len(), 0..10)) {
        let likeness = learned(&told);
        let turned: Vec<usize> = said.iter().map(|w| match w { 3 => 4, 4 => 3, w => *w }).collect();
        prop_assert_eq!(
            ratios(&likeness, &text(&said), Hand::Right),
            ratios(&likeness, &text(&turned), Hand::Left)
        );
    }

    #[test]
    fn what_is_said_twice_sounds_as_what_is_said_once(told in tellings(), said in prop::collection::vec(0..WORDS.len(), 0..10)) {
        let likeness = learned(&told);
        let once = text(&said);
        let twice = format!("{once}. {once}");
        prop_assert_eq!(ratios(&likeness, &once, Hand::Right), ratios(&likeness, &twice, Hand::Right));
    }
}

/// From where the conversation hears a cause of which nothing else was told.
const ALONE: f64 = 4.5;

/// Each half of the tellings against the other half: unseen tellings are known for what they tell,
/// and those that tell of no cause sound like none.
#[test]
fn tellings_left_out_sound_like_their_cause() {
    let base = crate::support::base();
    let all: Vec<(Option<CauseId>, &str)> = base
        .tellings
        .iter()
        .flat_map(|t| t.told.lines().map(|text| (t.cause, text)))
        .collect();
    let (mut told, mut right, mut nothing, mut loud) = (0_u32, 0_u32, 0_u32, 0_u32);
    for half in 0..2 {
        let odd = |place: usize| place % 2 == half;
        let kept = all.iter().enumerate().filter(|(i, _)| odd(*i));
        let likeness = Likeness::of(kept.map(|(_, (c, text))| (*text, vec![*c], 1.0)), []);
        for (cause, text) in all
            .iter()
            .enumerate()
            .filter(|(i, _)| !odd(*i))
            .map(|(_, t)| t)
        {
            let sounds = likeness.compare(text, Hand::Right);
            if let Some(cause) = cause {
                told += 1;
                right += u32::from(sounds.iter().take(3).any(|s| s.cause == *cause));
            } else {
                nothing += 1;
                loud += u32::from(sounds.first().is_some_and(|s| s.ratio >= ALONE));
            }
        }
    }
    let share = f64::from(right) / f64::from(told);
    assert!(share > 0.5, "{right} of {told}: {share:.3}");
    let share = f64::from(loud) / f64::from(nothing);
    assert!(
        share < 0.1,
        "{loud} of {nothing} that tell of no cause: {share:.3}"
    );
}

#[test]
fn the_words_shown_do_not_overlap_and_say_something() {
    let cause = CauseId::from_index(0);
    let texts = [(
        "the hole in my glove is in the palm",
        vec![Some(cause)],
        1.0,
    )];
    let likeness = Likeness::of(texts, ["the", "in", "is", "my"]);
    let said = "there is a hole in the glove, in the palm";
    let sounds = likeness.compare(said, Hand::Right);
    let words: Vec<&str> = sounds[0].words.iter().map(|s| s.of(said)).collect();
    let mut ends = 0;
    let mut spans = sounds[0].words.clone();
    spans.sort_unstable();
    for span in spans {
        assert!(span.start >= ends, "{words:?}");
        ends = span.end;
    }
    assert!(
        !words.contains(&"the") && !words.contains(&"in the"),
        "{words:?}"
    );
    assert!(words.iter().any(|w| w.contains("hole")), "{words:?}");
}
