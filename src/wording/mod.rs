//! The only room that makes sentences and text pictures.
//!
//! Takes data (replies, problems, explanations) and gives text; knows the words, the layout and
//! the rounding, and decides nothing about golf. Untrusted text passes [`clean`] here.

mod arc_picture;
mod asking;
mod book;
mod calculator;
mod called;
mod clashes;
mod drawing;
mod entry;
mod explain;
mod flight_lines;
mod heard;
pub mod json;
pub mod learning;
mod limits;
mod meaning;
mod metric;
mod note;
mod number;
mod page;
mod pictures;
mod practice;
mod problem;
mod reply;
mod sheet;
mod shift;
mod shot_file;
mod trial;
mod worked_out;

pub use book::{
    book_begun, book_condition, book_trouble, forgotten_page, fresh_book, kept_again, list_page,
    repaired_page, verified_page,
};
pub use calculator::{Drawn, arc_json, arc_lines, ball_on, disagreement_lines, refusal};
pub use called::{Called, called, kinds, list_of};
pub use drawing::{
    BallOn, Drawing, side_sentence, side_view, svg_side_view, svg_view_from_above, view_from_above,
};
pub use entry::entry_page;
pub use explain::cause_name;
pub use flight_lines::{LoftFrom, flight_json, flight_lines};
pub use note::welcome_page;
pub use number::{
    Manner, amount, capital, chance, chance_count, chance_word, listed, range, rounded,
};
pub use page::{Page, Role, Style, clean, shortened};
pub use problem::problems;
pub use reply::page;
pub use sheet::{sheet_html, sheet_page};
pub use shot_file::{
    bad_row_line, club_lines, left_out_line, means_line, not_judged_line, rows_lines, telling_line,
};
pub use trial::{
    Trial, changes_line, changes_lines, compared_lines, differences_lines, effects_lines,
    figures_lines,
};
