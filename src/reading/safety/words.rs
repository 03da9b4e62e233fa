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

/// Words of a body that moves badly; said with "doesn't hurt" they are only asked about.
pub(super) const STIFF: [&str; 5] = ["stiff", "stiffness", "stiffens", "tight", "tightness"];

/// Words for a part that is not what it was, whether it hurts or not.
pub(super) const BAD: [&str; 4] = ["bad", "dodgy", "gammy", "bum"];

/// Words that may stand inside a phrase: strength, side, swearing.
const FILLER: &[&str] = &[
    "really",
    "very",
    "so",
    "quite",
    "pretty",
    "a",
    "bit",
    "little",
    "just",
    "kind",
    "sort",
    "of",
    "absolutely",
    "totally",
    "completely",
    "proper",
    "properly",
    "bloody",
    "fucking",
    "damn",
    "now",
    "all",
    "both",
    "right",
    "left",
    "lead",
    "trail",
    "lower",
    "upper",
    "inside",
    "outside",
    "still",
    "suddenly",
    "always",
    "constantly",
    "badly",
    "slightly",
    "old",
    "poor",
    "whole",
    "actually",
    "seriously",
    "super",
    "area",
    "side",
    "middle",
    "ring",
    "index",
    "front",
    "big",
    "well",
    "also",
    "even",
    "only",
    "sharp",
    "bad",
    "nasty",
    "awful",
];

/// Ordinary words one slip away from a part or a hurt word; they mean themselves. Found by running
/// an English word list against the parts and hurts of the knowledge.
#[rustfmt::skip]
const MEANS_ITSELF: &[&str] = &[
    "buts", "crunched", "gooses", "scrams", "streams", "unbeatable", "yells", "goofed", "goose", "flecked", "scabs", "slabs", "stags", "strewed", "stubs", "swabs", "twanging", "twigging", "twining",
    "twinning", "stab",
    "abdomens", "aced", "aces", "acing", "acres", "angel", "angle", "angles", "arched", "arches",
    "arching", "barns", "basted", "bested", "blending", "braised", "breeding", "buns", "burnt",
    "burping", "burps", "burring", "burrs", "bursted", "burying", "bused", "bushed", "busied",
    "bustled", "butted", "calve", "camp", "camping", "camps", "cartilages", "carves", "caves",
    "champ", "champing", "champs", "cheat", "chess", "chests", "clamp", "clamping", "clamps",
    "clocked", "cocked", "cram", "cramming", "crams", "crap", "crashing", "crest", "cripple",
    "cripples", "croaked", "crooked", "crusting", "dodge", "finer", "firearm", "firearms",
    "gamma", "glue", "glues", "glut", "gluts", "grain", "grin", "grinning", "groan", "grown",
    "gummy", "hamstrung", "handsy", "handy", "harts", "heal", "heals", "heeds", "hells", "hinds",
    "hunting", "hunts", "hurling", "hurls", "hurtling", "huts", "inflated", "insured",
    "irrigated", "join", "joins", "kilns", "kilos", "kilts", "knacker", "kneel", "kneels",
    "lacked", "licked", "locker", "locket", "looked", "lucked", "lumber", "muscled", "number",
    "numbers", "pails", "paint", "paints", "pairs", "pales", "palls", "pals", "pans", "pawns",
    "pelves", "pelvic", "pelviss", "pitch", "pitches", "pitching", "plains", "point", "points",
    "psalms", "puff", "puffs", "pulling", "pulping", "punch", "punches", "punching", "pursing",
    "rapped", "rippled", "scabbing", "sell", "selling", "sells", "shell", "shelled", "shelling",
    "shells", "shies", "shine", "shines", "shiny", "ships", "shuns", "sine", "single", "sins",
    "sizing", "skins", "slabbing", "smell", "smelled", "smelling", "smells", "sniff", "solder",
    "spas", "spell", "spelled", "spelling", "spells", "spice", "spike", "spin", "spines", "spins",
    "spire", "spite", "stabling", "staff", "stain", "stained", "stains", "stiffs", "strainer",
    "strait", "straits", "streaming", "stubbing", "stuff", "swabbing", "sweller", "swill",
    "swilled", "swilling", "swills", "swine", "tangle", "tangles", "tangling", "taps", "tended",
    "tenders", "tenser", "throws", "thump", "thumps", "tinder", "tinge", "tinged", "tingeing",
    "tinges", "tinging", "tinkle", "tinkles", "tinkling", "tramps", "trap", "trays", "trips",
    "turning", "twanged", "tweak", "twigged", "twine", "twined", "twines", "twinned", "vertebras",
    "vertebrate", "waist", "waists", "wist", "wrecker", "wrest", "wrests", "wristy", "writ",
    "writs",
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
            let dash =
                matches!(letter, '-' | '\u{2013}') && (before.is_whitespace() || next == '-');
            let stop = matches!(
                letter,
                ',' | ';' | '.' | '!' | '?' | '(' | ')' | '\n' | '\u{2014}'
            );
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
    let text = if OTHERS.contains(&raw.as_str()) {
        "my".to_owned()
    } else {
        raw.clone()
    };
    Token {
        text,
        raw,
        span,
        breaks,
        asked,
        clause: 0,
    }
}

fn is_apostrophe(letter: char) -> bool {
    matches!(
        letter,
        '\'' | '`' | '\u{2019}' | '\u{2018}' | '\u{02bc}' | '\u{00b4}'
    )
}

/// Numbers the clauses: a new one starts at punctuation, at "but" and its kin, and at an "and" that
/// a new subject follows.
pub(super) fn cut(tokens: &mut [Token]) {
    let mut clause = 0;
    for at in 0..tokens.len() {
        let subject = tokens.get(at + 1).is_some_and(|t| is_subject(&t.text));
        let Some(token) = tokens.get_mut(at) else {
            return;
        };
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

/// True if "hurts" opens its clause: who is in pain often leaves out the rest ("rested it, hurts").
pub(super) fn opens_with_hurt(tokens: &[Token], at: usize) -> bool {
    let clause = |k: usize| tokens.get(k).map(|t| t.clause);
    let first = at.checked_sub(1).is_none_or(|before| {
        clause(before) != clause(at)
            || tokens
                .get(before)
                .is_some_and(|t| matches!(t.text.as_str(), "but" | "and"))
    });
    first
        && tokens
            .get(at)
            .is_some_and(|t| matches!(t.text.as_str(), "hurts" | "hurting"))
}

/// Words that begin a new statement.
pub(super) fn is_subject(word: &str) -> bool {
    matches!(
        word,
        "my" | "i"
            | "im"
            | "ive"
            | "id"
            | "it"
            | "its"
            | "the"
            | "now"
            | "then"
            | "he"
            | "hes"
            | "she"
            | "shes"
            | "we"
            | "they"
            | "also"
            | "still"
            | "this"
            | "that"
            | "thats"
            | "me"
    )
}

/// Words in `from..to`, leaving out "my", "the", "a" and "of"; more than a dozen is a dozen.
pub(super) fn counted(tokens: &[Token], from: usize, to: usize) -> usize {
    let small = |t: &&Token| !matches!(t.text.as_str(), "my" | "the" | "a" | "an" | "of" | "both");
    tokens
        .iter()
        .take(to)
        .skip(from)
        .take(12)
        .filter(small)
        .count()
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
