//! "How much does hanging back move the low point?": the size of what a cause does.
//!
//! Takes a question; gives the shifts of the cause it names, where it asks for a size. Judges nothing and
//! notes nothing.

use super::Session;
use super::worked_out::WorkedOut;

/// A cause is asked about by how far it moves things.
pub(super) const SIZES: [&str; 13] = [
    " prior of ",
    " prior for ",
    " base rate of ",
    "how common is ",
    "how common are ",
    "how usual is ",
    "how frequent is ",
    "how many golfers have ",
    "how many golfers are ",
    "how many people have ",
    "how likely is ",
    "how big is the effect of ",
    "how much is the effect of ",
];

impl Session {
    /// "What does hanging back do to the low point?", "what is the prior of hanging back?".
    pub(super) fn size_asked(&self, padded: &str) -> Option<WorkedOut> {
        let after = SIZES
            .iter()
            .find_map(|way| padded.split_once(way).map(|(_, rest)| rest));
        let when = || {
            let how = [" how far ", " how much "]
                .iter()
                .any(|h| padded.starts_with(h));
            let (_, rest) = [" when ", " if "]
                .iter()
                .find_map(|w| padded.split_once(w))?;
            how.then_some(rest)
        };
        let moves = || {
            let (_, rest) = [
                " how far does ",
                " how much does ",
                " how far do ",
                " how much do ",
            ]
            .iter()
            .find_map(|w| padded.split_once(w))?;
            let (cause, _) = [
                " move ", " shift ", " change ", " cost ", " do ", " take ", " add ",
            ]
            .iter()
            .find_map(|w| rest.split_once(w))?;
            Some(cause)
        };
        let does = || {
            let starts = [
                " what does ",
                " what do ",
                " how does ",
                " how do ",
                " how would ",
            ];
            let rest = starts.iter().find_map(|w| padded.strip_prefix(w))?;
            let ways = [
                " do to ",
                " do with ",
                " do ",
                " change ",
                " move ",
                " affect ",
                " shift ",
                " alter ",
            ];
            let (cause, _) = ways.iter().find_map(|w| rest.split_once(w))?;
            Some(cause)
        };
        let texts = [after, when(), moves(), does()];
        let cause = texts
            .into_iter()
            .flatten()
            .filter(|text| self.of_the_club(text).is_empty())
            .find_map(|text| self.general_cause(text.trim()))?;
        let reading = self.read(padded.trim());
        Some(WorkedOut::Size {
            cause,
            groups: self.groups_asked(&reading),
        })
    }
}
