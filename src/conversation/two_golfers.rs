//! One golfer at a time: two pupils told of in one talk are kept apart.
//!
//! Takes a line; finds the golfers that it tells of ("two pupils: Ann slices, Bob hooks", "one of my
//! pupils ..., another one ...", "pupil B ..." after pupil A) and asks which is meant, or goes on with
//! the one that is named. Invariant: what is told of one golfer is never weighed for another. Where a
//! lesson book is kept, each has a book, so that the book is to be opened first. Judges nothing.

use super::note::Note;
use super::reply::{Block, Reply};
use super::talk::Talk;
use super::{Session, command};

/// A golfer told of in this talk.
#[derive(Debug, Clone, PartialEq)]
struct Golfer {
    /// What the coach calls them: "Ann", "pupil B", "the first".
    label: String,
    /// What was told before anything was asked; empty once it was read.
    told: String,
    /// The talk about them, while another goes on.
    kept: Option<Box<Talk>>,
}

/// The golfers of a talk, and which of them it is about.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Golfers {
    all: Vec<Golfer>,
    now: Option<usize>,
}

/// Words for another golfer than the one told of first.
const ANOTHER: [&str; 7] = [
    " another one of them ",
    " another one ",
    " another ",
    " the other one ",
    " the other ",
    " the second one ",
    " the second ",
];

/// Words before the name of a golfer that is gone on with.
const GO_ON: [&str; 22] = [
    "what about ",
    "how about ",
    "back to ",
    "now ",
    "go on with ",
    "go back to ",
    "take ",
    "let's take ",
    "lets take ",
    "start with ",
    "first ",
    "let's do ",
    "lets do ",
    "with ",
    "and ",
    "ok ",
    "then ",
    "now for ",
    "on to ",
    "switch to ",
    "for ",
    "now take ",
];

impl Session {
    /// The reply to a line that tells of several golfers, or names one of those told of.
    pub(super) fn one_golfer(&mut self, line: &str) -> Option<Reply> {
        if let Some(at) = self.golfers.named(line) {
            return Some(self.go_on_with(at));
        }
        let words: Vec<String> = self.base().pupil_words.clone();
        let known = |word: &str| self.phrases.knows(word);
        if let Some(two) = two_told(line, &words, &known) {
            let telling = two
                .iter()
                .filter(|(_, told)| self.tells_of_shots(told))
                .count();
            if telling > 1 {
                return Some(self.ask_which(two));
            }
        }
        let relative = || self.relative(line).map(|label| (label, line.to_owned()));
        let (label, rest) = labelled(line, &words).or_else(relative)?;
        let known = self.golfers.all.iter().position(|g| g.label == label);
        if known == self.golfers.now && known.is_some() {
            return None;
        }
        if !self.tells_of_shots(&rest) {
            return None;
        }
        let fresh = self.talk.is_empty() && self.golfers.all.is_empty();
        if self.notebook.backed && !fresh {
            return Some(Reply::note(Note::OneGolferABook(label)));
        }
        let name = label.clone();
        let at = known.unwrap_or_else(|| {
            self.golfers.all.push(Golfer {
                label,
                told: String::new(),
                kept: None,
            });
            self.golfers.all.len() - 1
        });
        // The golfer told of so far gets a name.
        let first = [" A", " 1", " one"].iter().any(|end| name.ends_with(end));
        let named = name.chars().count() > name.find(' ').map_or(0, |at| at + 2);
        if fresh || self.golfers.all.len() == 1 && (first || named) {
            self.golfers.now = Some(at);
            return None;
        }
        let mut reply = self.go_on_with(at);
        reply.blocks.retain(|b| matches!(b, Block::Note(_)));
        reply.blocks.truncate(1);
        reply.blocks.extend(self.talk_line(&rest).blocks);
        Some(reply)
    }

    /// "My son hooks": another of the golfers that somebody tells of, if the talk is about such.
    fn relative(&self, line: &str) -> Option<String> {
        let begun = match self.golfers.now.and_then(|at| self.golfers.all.get(at)) {
            Some(golfer) => golfer.label.starts_with("your "),
            None => self.talk.is_empty() && self.golfers.all.is_empty(),
        };
        relative_named(line).filter(|_| begun)
    }

    /// True if a golfer's shots are told of.
    fn tells_of_shots(&self, text: &str) -> bool {
        let reading = self.read(text);
        let other = reading
            .history
            .iter()
            .any(|a| a.why == crate::reading::Why::Other);
        !reading.findings.is_empty() || !reading.hints.is_empty() || other
    }

    fn ask_which(&mut self, two: Vec<(String, String)>) -> Reply {
        let labels: Vec<String> = two.iter().map(|(label, _)| label.clone()).collect();
        if self.notebook.backed {
            return Reply::note(Note::WhichGolfer {
                labels,
                books: true,
            });
        }
        self.keep_this_one();
        for (label, told) in two {
            self.golfers.all.retain(|g| g.label != label);
            self.golfers.all.push(Golfer {
                label,
                told,
                kept: None,
            });
        }
        self.golfers.now = None;
        Reply::note(Note::WhichGolfer {
            labels,
            books: false,
        })
    }

    /// Keeps the talk about the present golfer and begins a new one.
    fn keep_this_one(&mut self) {
        let hand = self.hand_given;
        let talk = std::mem::replace(&mut self.talk, Talk::new(hand));
        let now = self.golfers.now.take();
        match now.and_then(|at| self.golfers.all.get_mut(at)) {
            Some(golfer) => golfer.kept = Some(Box::new(talk)),
            None if !talk.is_empty() => self.golfers.all.push(Golfer {
                label: "the first".to_owned(),
                told: String::new(),
                kept: Some(Box::new(talk)),
            }),
            None => {}
        }
        self.past.clear();
        self.last = None;
    }

    /// Goes on with one of the golfers told of.
    fn go_on_with(&mut self, at: usize) -> Reply {
        if self.golfers.now != Some(at) {
            self.keep_this_one();
            self.golfers.now = Some(at);
        }
        let Some(golfer) = self.golfers.all.get_mut(at) else {
            return Reply::note(Note::NothingKnown);
        };
        let label = golfer.label.clone();
        let told = std::mem::take(&mut golfer.told);
        let kept = golfer.kept.take();
        let mut blocks = vec![Block::Note(Note::NowOf(label))];
        if let Some(talk) = kept {
            self.talk = *talk;
            self.judge();
            if !self.talk.is_empty() {
                blocks.push(Block::Known(self.known()));
            }
            if let Some(question) = self.talk.pending.clone() {
                blocks.push(Block::Ask {
                    question,
                    value: None,
                });
            }
        }
        if !told.is_empty() {
            self.talk.of_a_pupil = true;
            blocks.extend(self.talk_line(&told).blocks);
        }
        Reply {
            blocks,
            leave: false,
        }
    }
}

impl Golfers {
    /// The golfer that a line names and does no more.
    fn named(&self, line: &str) -> Option<usize> {
        if self.all.is_empty() {
            return None;
        }
        let text = command::plain(line);
        let mut text = text.as_str();
        for whose in ["my ", "the "] {
            let rest = text.strip_prefix(whose);
            let known = |rest: &&str| self.all.iter().any(|g| g.label == format!("your {rest}"));
            text = rest.filter(known).unwrap_or(text);
        }
        while let Some(rest) = GO_ON.iter().find_map(|way| text.strip_prefix(way)) {
            text = rest;
        }
        let text = text
            .trim_end_matches(" again")
            .trim_end_matches(" now")
            .trim_end_matches(" then")
            .trim_end_matches(" first")
            .trim();
        let short = |label: &str| {
            let plain = label.to_lowercase();
            let last = plain.rsplit(' ').next().unwrap_or("").to_owned();
            text == plain
                || text == last
                || text == format!("{last} one")
                || text == format!("the {last} one")
                || text == format!("the {last} pupil")
                || text.strip_suffix(" please") == Some(plain.as_str())
        };
        if let Some(at) = self.all.iter().position(|g| short(&g.label)) {
            return Some(at);
        }
        let other = [
            "the other one",
            "the other",
            "other one",
            "the other pupil",
            "the other golfer",
            "the next one",
        ];
        if other.contains(&text) {
            return match self.now {
                Some(now) => (0..self.all.len()).rev().find(|at| *at != now),
                None => None,
            };
        }
        let first = [
            "the first one",
            "first one",
            "first",
            "the first",
            "number one",
            "1",
        ];
        let second = [
            "the second one",
            "second one",
            "second",
            "the second",
            "number two",
            "2",
            "the latter",
        ];
        match () {
            () if first.contains(&text) => Some(0),
            () if second.contains(&text) && self.all.len() > 1 => Some(1),
            () => None,
        }
    }
}

/// "Pupil B fats his 7 iron": whom it is about, and the line.
fn labelled(line: &str, pupils: &[String]) -> Option<(String, String)> {
    let mut said = line.split_whitespace();
    let mut first = said.next()?;
    if ["my", "and", "then", "now", "next", "the"].contains(&first.to_lowercase().as_str()) {
        first = said.next()?;
    }
    let first = first.to_lowercase();
    if !pupils.contains(&first) && first != "golfer" && first != "player" {
        return None;
    }
    let name = said.next()?.trim_end_matches([':', ',', '\'']);
    let name = name.strip_suffix("'s").unwrap_or(name);
    let letter = name.chars().count() == 1
        && name.chars().all(char::is_alphanumeric)
        && name != "a"
        && name != "i";
    let number = ["one", "two", "three"].contains(&name);
    let mut letters = name.chars();
    let named = letters.next().is_some_and(char::is_uppercase)
        && letters.clone().next().is_some()
        && letters.all(char::is_lowercase);
    let label = format!("{first} {name}");
    (letter || number || named).then(|| {
        let rest = line.replacen(&format!(" {name}"), "", 1);
        (label, rest)
    })
}

/// People of whom golfers tell.
const RELATIVES: [&str; 23] = [
    "wife",
    "husband",
    "son",
    "daughter",
    "brother",
    "sister",
    "dad",
    "father",
    "mum",
    "mom",
    "mother",
    "friend",
    "mate",
    "buddy",
    "partner",
    "girlfriend",
    "boyfriend",
    "uncle",
    "grandson",
    "nephew",
    "boss",
    "neighbour",
    "colleague",
];

/// "My wife ...": what the program calls her.
fn relative_named(text: &str) -> Option<String> {
    let lower = text.trim().to_lowercase();
    let rest = ["and ", "but ", "while "]
        .iter()
        .find_map(|w| lower.strip_prefix(w))
        .unwrap_or(&lower);
    let mut said = rest.strip_prefix("my ")?.split_whitespace();
    let who = said.next()?.trim_end_matches([',', ':']);
    let who = who.strip_suffix("'s").unwrap_or(who);
    // "My wife says I slice" is not about her.
    let next = said.next().unwrap_or("");
    let tells = [
        "says", "said", "thinks", "told", "reckons", "keeps", "saw", "noticed",
    ];
    let says = tells.contains(&next) && !rest.contains("keeps hit");
    let about = RELATIVES.contains(&who) && !says;
    about.then(|| format!("your {who}"))
}

/// "My wife slices, my son hooks".
fn two_relatives(line: &str) -> Option<Vec<(String, String)>> {
    let mut out: Vec<(String, String)> = Vec::new();
    for part in parts(
        &line
            .replace(" while my ", ", my ")
            .replace(" but my ", ", my "),
    ) {
        let new = relative_named(&part).filter(|label| out.iter().all(|(l, _)| l != label));
        if let Some(label) = new {
            out.push((label, part));
        } else {
            let (_, told) = out.last_mut()?;
            told.push_str(", ");
            told.push_str(&part);
        }
    }
    (out.len() > 1).then_some(out)
}

/// What a golfer called by name is told to do.
const DOES: [&str; 22] = [
    "slices", "hooks", "tops", "thins", "fats", "chunks", "shanks", "duffs", "pulls", "pushes",
    "hits", "fades", "draws", "skies", "heels", "toes", "curves", "catches", "blades", "skulls",
    "keeps", "starts",
];

/// Words that begin a sentence before such a verb and are no names.
const OF_THE_GAME: [&str; 24] = [
    "ball",
    "face",
    "path",
    "club",
    "grip",
    "contact",
    "shot",
    "divot",
    "mark",
    "everything",
    "nothing",
    "mostly",
    "always",
    "usually",
    "sometimes",
    "only",
    "still",
    "also",
    "then",
    "now",
    "never",
    "this",
    "that",
    "what",
];

/// The name that a sentence begins with, if somebody called by it does something: "Ann slices her driver".
fn called(sentence: &str, known: &dyn Fn(&str) -> bool) -> Option<String> {
    let mut said = sentence.split_whitespace();
    let name = said.next()?.trim_end_matches([':', ',']);
    let verb = said.next()?.to_lowercase();
    let mut letters = name.chars();
    let capital = letters.next().is_some_and(char::is_uppercase);
    let rest: Vec<char> = letters.collect();
    let written = capital && rest.len() > 1 && rest.iter().all(|c| c.is_lowercase());
    // "Contact is thin": a word of the game is no name.
    let lower = name.to_lowercase();
    let a_word = known(&lower) || OF_THE_GAME.contains(&lower.as_str());
    (written && DOES.contains(&verb.as_str()) && !a_word).then(|| name.to_owned())
}

/// "Ann slices her driver, path -7. Bob slices his, path +2": each with what is told after the name.
fn two_names(line: &str, known: &dyn Fn(&str) -> bool) -> Option<Vec<(String, String)>> {
    let mut out: Vec<(String, String)> = Vec::new();
    let line = line
        .replace(" while ", ". ")
        .replace(", and ", ". ")
        .replace("; ", ". ");
    for sentence in line.split(". ").map(str::trim).filter(|s| !s.is_empty()) {
        match called(sentence, known) {
            Some(name) if out.iter().all(|(label, _)| *label != name) => {
                let told = sentence.get(name.len()..).unwrap_or("");
                out.push((name, format!("he{told}")));
            }
            _ => {
                let (_, told) = out.last_mut()?;
                told.push_str(". ");
                told.push_str(sentence);
            }
        }
    }
    (out.len() > 1).then_some(out)
}

/// The golfers that one line tells of, each with what is told of them.
fn two_told(
    line: &str,
    pupils: &[String],
    known: &dyn Fn(&str) -> bool,
) -> Option<Vec<(String, String)>> {
    if let Some(two) = two_relatives(line).or_else(|| two_names(line, known)) {
        return Some(two);
    }
    let plain = line.replace(['\u{2018}', '\u{2019}'], "'");
    let lower = format!(" {} ", plain.to_lowercase().replace([',', ';', '.'], " , "));
    let pupil =
        |word: &str| pupils.iter().any(|p| p == word) || word == "golfers" || word == "players";
    let says: Vec<&str> = lower.split_whitespace().collect();
    let two = says.windows(2).any(|w| {
        matches!(w, [n, p] if ["two", "2", "both", "three", "3"].contains(n) && pupil(p.trim_end_matches(':')))
    });
    if two {
        let rest = plain
            .split_once([':', ',', '.', ';'])
            .map_or(plain.as_str(), |(_, rest)| rest);
        let parts = parts(rest);
        if parts.len() > 1 {
            return Some(named_parts(&parts));
        }
    }
    let one = says
        .windows(4)
        .any(|w| matches!(w, ["one", "of", _, p] if pupil(p)))
        || says.windows(2).any(|w| matches!(w, ["one", p] if pupil(p)));
    let many = says.iter().filter(|w| pupil(w)).count() > 1;
    if one || many {
        let spaced = format!(" {} ", plain.to_lowercase());
        if spaced.len() == plain.len() + 2 {
            let cut = ANOTHER.iter().find_map(|way| spaced.find(way));
            // The text is the line with a space before it, so the same place stands one byte earlier.
            let cut = cut.filter(|at| *at > 3);
            if let Some((a, b)) = cut.and_then(|at| plain.split_at_checked(at)) {
                let a = a.trim().trim_end_matches([',', ';', '.']);
                let a = a.trim_end_matches(" and").trim_end_matches(" but");
                let b = b.trim();
                let way = ANOTHER
                    .iter()
                    .find(|way| format!(" {b} ").starts_with(**way));
                let b = way
                    .and_then(|way| b.get(way.len().saturating_sub(2)..))
                    .unwrap_or(b);
                let of = a
                    .split_whitespace()
                    .take(4)
                    .last()
                    .unwrap_or("")
                    .to_lowercase();
                let one = a.to_lowercase().starts_with("one of ") && pupil(&of);
                let a: Vec<&str> = a.split_whitespace().skip(if one { 4 } else { 0 }).collect();
                let a = format!("{}{}", if one { "he " } else { "" }, a.join(" "));
                let b = b.trim();
                let again = b.split_whitespace().next().is_some_and(&pupil);
                let b = if again {
                    format!("another {b}")
                } else {
                    format!("he {b}")
                };
                return Some(vec![
                    ("the first".to_owned(), a),
                    ("the second".to_owned(), b),
                ]);
            }
        }
    }
    // "Pupil A slices, pupil B hooks".
    if many {
        let parts = parts(&plain);
        let labels: Vec<(String, String)> =
            parts.iter().filter_map(|p| labelled(p, pupils)).collect();
        let apart = labels
            .iter()
            .zip(labels.iter().skip(1))
            .all(|(a, b)| a.0 != b.0);
        if labels.len() > 1 && labels.len() == parts.len() && apart {
            return Some(labels);
        }
    }
    None
}

/// A line cut at commas, stops and "and" or "but".
fn parts(text: &str) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    for part in text.split([',', ';']) {
        for part in part.split(". ") {
            for part in part.split(" and ") {
                let part = part
                    .trim()
                    .trim_start_matches("and ")
                    .trim_start_matches("but ")
                    .trim();
                if !part.is_empty() {
                    out.push(part.trim_end_matches('.').to_owned());
                }
            }
        }
    }
    out
}

/// Each part with the name that it begins with, or its place.
fn named_parts(parts: &[String]) -> Vec<(String, String)> {
    let names: Vec<Option<&str>> = parts
        .iter()
        .map(|part| {
            let first = part.split_whitespace().next()?.trim_end_matches([':', ',']);
            let mut letters = first.chars();
            let name = letters.next().is_some_and(char::is_uppercase)
                && letters.clone().next().is_some()
                && letters.all(char::is_lowercase);
            (name && !["He", "She", "One", "The", "They", "His", "Her", "My"].contains(&first))
                .then_some(first)
        })
        .collect();
    let all = names.iter().all(Option::is_some);
    let places = ["the first", "the second", "the third", "the fourth"];
    let mut out: Vec<(String, String)> = Vec::new();
    for (at, (part, name)) in parts.iter().zip(&names).enumerate() {
        // A part without a name goes on with the golfer before it, if others are named.
        let begins = name.is_some() || names.iter().all(Option::is_none);
        if let (false, Some((_, told))) = (begins, out.last_mut()) {
            told.push_str(", ");
            told.push_str(part);
        } else {
            let label = match name {
                Some(name) => (*name).to_owned(),
                None => (*places.get(at).unwrap_or(&"another")).to_owned(),
            };
            let told = match name {
                Some(name) if all || part.starts_with(*name) => part
                    .strip_prefix(*name)
                    .unwrap_or(part)
                    .trim_start_matches([':', ',', ' '])
                    .to_owned(),
                _ => part.clone(),
            };
            out.push((label, format!("he {told}")));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::{labelled, two_told};

    fn pupils() -> Vec<String> {
        ["pupil", "pupils", "student"].map(str::to_owned).to_vec()
    }

    fn labels(line: &str) -> Vec<String> {
        let told = two_told(line, &pupils(), &|_| false);
        told.into_iter().flatten().map(|(label, _)| label).collect()
    }

    #[test]
    fn two_golfers_in_one_line_are_two() {
        assert_eq!(labels("two pupils: Ann slices, Bob hooks"), ["Ann", "Bob"]);
        assert_eq!(
            labels("one of my pupils fats his wedges, another one thins his irons"),
            ["the first", "the second"]
        );
        assert_eq!(
            labels("pupil A slices, pupil B hooks"),
            ["pupil A", "pupil B"]
        );
        assert!(labels("my pupil slices the driver, hooks the irons").is_empty());
        assert_eq!(
            labels("my wife slices, my son hooks"),
            ["your wife", "your son"]
        );
        assert_eq!(
            labels("my wife slices her driver and my son hooks his irons, always"),
            ["your wife", "your son"]
        );
        assert_eq!(
            labels("Ann slices her driver, path -7. Bob slices his, path +2"),
            ["Ann", "Bob"]
        );
        assert!(labels("Contact hits the heel. Face curves it").is_empty());
        assert!(labels("my wife says I slice, my son says I hook").is_empty());
        assert!(labels("I slice and my wife hooks").is_empty());
        assert!(labels("one fat, another thin").is_empty());
        assert!(labels("my pupil hits one fat, another thin").is_empty());
    }

    #[test]
    fn a_pupil_has_a_name() {
        let name = |line: &str| labelled(line, &pupils()).map(|(label, _)| label);
        assert_eq!(name("pupil B fats his 7 iron").as_deref(), Some("pupil B"));
        assert_eq!(
            name("my student Ann slices").as_deref(),
            Some("student Ann")
        );
        assert_eq!(name("my pupil slices"), None);
        assert_eq!(name("pupil a bit fat"), None);
    }
}
