//! What is left of a line without the words that only open it? Words in, the rest out; short forms of
//! question words are written whole. Knows no meaning of what is left.

/// The text without those of `words` that it opens with, each followed by one of `joints`. What
/// would leave nothing stays.
pub(super) fn without<'t>(text: &'t str, words: &[&str], joints: &[char]) -> &'t str {
    let mut text = text.trim();
    while let Some(rest) = words.iter().find_map(|word| {
        let rest = text.strip_prefix(word)?;
        rest.starts_with(joints)
            .then(|| rest.trim_start_matches(joints))
            .filter(|rest| !rest.is_empty())
    }) {
        text = rest;
    }
    text
}

/// Short forms whole: "what's" is "what is".
pub(super) fn whole_words(text: &str) -> String {
    const SHORT: [(&str, &str); 9] = [
        ("what's ", "what is "),
        ("whats ", "what is "),
        ("wots ", "what is "),
        ("wat is ", "what is "),
        ("what're ", "what are "),
        ("how's ", "how is "),
        ("hows ", "how is "),
        ("where's ", "where is "),
        ("who's ", "who is "),
    ];
    let mut whole = text.to_owned();
    for (short, long) in SHORT {
        if let Some(rest) = whole.strip_prefix(short) {
            whole = format!("{long}{rest}");
        }
    }
    whole
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn opening_words_go_and_the_last_one_stays() {
        let without = |text| without(text, &["ok", "so"], &[' ', ',']);
        assert_eq!(without(" ok, so what is lag"), "what is lag");
        assert_eq!(without("so"), "so");
        assert_eq!(without("ok, "), "ok,");
        assert_eq!(without("soft hands"), "soft hands");
        assert_eq!(whole_words("hows my grip"), "how is my grip");
    }
}
