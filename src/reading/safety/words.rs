//! The words of a line for the safety reader: their places, their plain form and their clauses.
//!
//! Takes text; gives words in lower case without apostrophes ("doesn't" is `doesnt`), each with its
//! byte range and whether punctuation stands before it. Says which words may stand inside a phrase
//! without changing it, and when a word is another one mistyped. What a phrase means is not known
//! here.

use crate::reading::Span;

/// One word.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Token {
    /// Lower case, apostrophes folded, "his", "her", "your" ... as "my".
    pub(super) text: String,
    /// As typed, lower case, apostrophes folded: whose it is can still be told.
    pub(super) raw: String,
    /// Where it stands.
    pub(super) span: Span,
    /// Punctuation that ends a clause stands before it.
    pub(super) breaks: bool,
    /// The punctuation before it was a question mark.
    pub(super) asked: bool,
    /// Number of its clause, rising along the line.
    pub(super) clause: usize,
}

/// Words that may stand inside a phrase: strength, side, swearing.
const FILLER: &[&str] = &[
    "really", "very", "so", "quite", "pretty", "a", "bit", "little", "just", "kind", "sort", "of",
    "absolutely", "totally", "completely", "proper", "properly", "bloody", "fucking", "damn", "now",
    "all", "both", "right", "left", "lead", "trail", "lower", "upper", "inside", "outside", "still",
    "suddenly", "always", "constantly", "badly", "slightly", "old", "poor", "whole", "actually",
    "seriously", "super", "well", "also", "even", "only", "sharp", "bad", "nasty", "awful",
];

/// Ordinary words one slip away from a part or a hurt word; they mean themselves.
const MEANS_ITSELF: &[&str] = &[
    "waist", "waists", "angle", "angles", "spins", "spin", "looked", "looks", "arching", "hunting",
    "paint", "paints", "pairs", "plains", "plain", "pans", "chess", "cheat", "cheats", "thump",
    "spice", "spike", "spikes", "spire", "spite", "spin", "ships", "chins", "carves", "halves",
    "clamp", "clamps", "acres", "ached", "lender", "slender", "tenders", "smells", "spells",
    "groan", "groans", "grain", "grains", "grown", "kneel", "kneed", "joined", "joins", "points",
    "point", "hurdle", "cruised", "picked", "parked", "tacked", "licked", "lacked", "linked",
    "blocked", "flags", "flare", "playing", "staying", "handy", "hanks", "bands", "sands", "arms",
    "foots", "food", "fool", "foto", "bank", "bake", "beck", "pack", "neat", "next", "hind",
    "hard", "band", "held", "help", "hips", "hops", "hits", "shins", "shirt", "shirts", "short",
    "shorts", "sport", "store", "stored", "score", "scored", "some", "sure", "soar", "tune",
    "burnt", "burn", "burner", "burners", "bruiser", "turning", "turns", "strainer", "restrained",
    "stained", "trained", "string", "strings", "stride", "mussel", "tender", "tends", "bother",
    "bothers", "fibs", "ribbed", "thumbed", "finger", "fingered", "fringer", "linger", "singer",
    "elbowed", "wrest", "twist", "wristy", "heels", "heel", "heal", "heals", "healed", "knee",
    "thighs", "through", "though", "tight", "eight", "sigh", "soda", "slips", "flips", "swills",
    "swell", "swollen", "seized", "sized", "teased", "eased", "forearm", "forearms", "forewarm",
    "achieve", "aiming", "acing", "pacing", "facing", "cashing", "acting", "baking", "hurting",
    "hurling", "hunting", "curling", "spared", "spasm", "rigs", "rims", "rips", "chips", "jolts",
    "joist", "quid", "bidy", "bodies", "nerves", "never", "serve", "server", "verve", "back",
    "hurry", "hunts", "huts", "hurls", "pulled", "polled", "cramped", "tingly", "single", "singles",
    "tangle", "tinged", "mingle", "numbers", "number", "thrown", "throw", "throws", "throat",
    "torn", "toro", "kilts", "kilns", "fills", "kings", "muscled", "buster", "dusted", "rusted",
    "bused", "jarred", "barred", "pouch", "punch", "pitches", "punches", "pitch", "winch", "pinched",
    "pitching", "punching", "plinking", "grinning", "grounding", "ginding", "groin", "arm", "steps",
    "stem", "stomp", "gluten", "calved", "caves", "calve", "shine", "shiny", "backs", "baggy",
    "neck", "necks", "deck", "wreaked", "wrecker", "puff", "puffs", "fluffy", "buffy", "hamstrung",
    "shouldered", "spinal", "spines", "spinner", "twine", "twinned", "injure", "injures", "sprain",
    "strain", "strains", "tweaks", "tweak", "tweaking", "hurter", "backer", "sores", "sorts",
];

const OTHERS: &[&str] = &["his", "her", "their", "your", "our", "hers", "theirs"];

/// The words of the text with their places; clauses are not cut yet.
pub(super) fn tokens(text: &str) -> Vec<Token> {
    let mut found: Vec<Token> = Vec::new();
    let mut raw = String::new();
    let (mut start, mut end) = (0, 0);
    let (mut breaks, mut asked) = (false, false);
    let mut before = ' ';
    let mut letters = text.char_indices().peekable();
    while let Some((at, letter)) = letters.next() {
        let next = letters.peek().map_or(' ', |(_, c)| *c);
        if letter.is_alphanumeric() {
            if raw.is_empty() {
                start = at;
            }
            raw.extend(letter.to_lowercase());
            end = at + letter.len_utf8();
        } else if is_apostrophe(letter) {
            if !raw.is_empty() {
                end = if next.is_alphanumeric() { end } else { at };
            }
        } else {
            if !raw.is_empty() {
                found.push(token(&mut raw, Span { start, end }, breaks, asked));
                (breaks, asked) = (false, false);
            }
            let between_digits = before.is_ascii_digit() && next.is_ascii_digit();
            let dash = matches!(letter, '-' | '\u{2013}') && (before.is_whitespace() || next == '-');
            let stop = matches!(letter, ',' | ';' | '.' | '!' | '?' | '(' | ')' | '\n' | '\u{2014}');
            breaks |= (stop && !between_digits) || dash;
            asked |= letter == '?';
        }
        before = letter;
    }
    if !raw.is_empty() {
        found.push(token(&mut raw, Span { start, end }, breaks, asked));
    }
    found
}

fn token(raw: &mut String, span: Span, breaks: bool, asked: bool) -> Token {
    let raw = std::mem::take(raw);
    let text = if OTHERS.contains(&raw.as_str()) { "my".to_owned() } else { raw.clone() };
    Token { text, raw, span, breaks, asked, clause: 0 }
}

fn is_apostrophe(letter: char) -> bool {
    matches!(letter, '\'' | '`' | '\u{2019}' | '\u{2018}' | '\u{02bc}' | '\u{00b4}')
}

/// Numbers the clauses: a new one starts at punctuation, at "but" and its kin, and at an "and" that
/// a new subject follows.
pub(super) fn cut(tokens: &mut [Token]) {
    let mut clause = 0;
    for at in 0..tokens.len() {
        let subject = tokens.get(at + 1).is_some_and(|t| is_subject(&t.text));
        let Some(token) = tokens.get_mut(at) else { return };
        let turn = match token.text.as_str() {
            "but" | "though" | "although" | "however" | "because" | "cos" | "coz" | "cuz" => true,
            "and" | "then" | "while" | "so" | "yet" => subject,
            _ => false,
        };
        if (token.breaks || turn) && at > 0 {
            clause += 1;
        }
        token.clause = clause;
    }
}

/// Words that begin a new statement.
pub(super) fn is_subject(word: &str) -> bool {
    matches!(
        word,
        "my" | "i" | "im" | "ive" | "id" | "it" | "its" | "the" | "now" | "then" | "he" | "hes" | "she"
            | "shes" | "we" | "they" | "also" | "still" | "this" | "that" | "thats" | "me"
    )
}

/// True for words that may stand inside a phrase without changing it.
pub(super) fn is_filler(word: &str) -> bool {
    FILLER.contains(&word)
}

/// True for ordinary words that are never taken for a mistyped part or hurt word.
pub(super) fn means_itself(word: &str) -> bool {
    MEANS_ITSELF.contains(&word)
}

/// True if `typed` is `meant` with one letter changed, dropped, added or two neighbours swapped, the
/// first letter kept. Words of four letters are forgiven a swap only, shorter ones nothing.
pub(super) fn slip(typed: &str, meant: &str) -> bool {
    let (mut a, mut b) = (typed.chars(), meant.chars());
    let (first, wanted) = (a.next(), b.next());
    if first.is_none() || first != wanted || typed == meant {
        return false;
    }
    let a: Vec<char> = a.take(24).collect();
    let b: Vec<char> = b.take(24).collect();
    let same = a.iter().zip(&b).take_while(|(x, y)| x == y).count();
    let tail = |v: &[char], n: usize| v.get(n..).map(<[char]>::to_vec).unwrap_or_default();
    let swapped = a.len() == b.len()
        && a.get(same) == b.get(same + 1)
        && a.get(same + 1) == b.get(same)
        && tail(&a, same + 2) == tail(&b, same + 2);
    swapped
        || (b.len() >= 4
            && (tail(&a, same + 1) == tail(&b, same + 1)
                || tail(&a, same + 1) == tail(&b, same)
                || tail(&a, same) == tail(&b, same + 1)))
}
