//! The page to take home: as text it fits, as HTML it stands alone, escapes what was typed, prints on
//! one sheet and does not run over the side of a phone. The last two are looked at with a browser
//! where one is installed (`apt-get install chromium`); without one that test says so and passes.

use std::path::PathBuf;
use std::process::Command;

use swingwhy::conversation::{Session, Sheet};
use swingwhy::lesson::Moment;
use swingwhy::wording::{Manner, Style, sheet_html, sheet_page};

use crate::support::session;

fn lesson(golfer: &str, lines: &[&str]) -> (Session, Sheet) {
    let mut talk = session();
    talk.tell_time(Moment::from_unix_seconds(1_775_406_600));
    talk.remember(golfer, &[]);
    for line in lines {
        talk.respond(line);
    }
    let sheet = talk.lesson_sheet().expect("something was told");
    (talk, sheet)
}

fn manner(session: &Session) -> Manner {
    Manner {
        metric: session.metric(),
        hand: session.hand(),
    }
}

const TALK: [&str; 6] = [
    "7 iron, chunked three, divot starts 2 in behind the ball, then thinned one. leftie",
    "driver starts right and slices left",
    "same again with the 8 iron <b>&\"'",
    "quick",
    "4 of 20",
    "15 of 20",
];

#[test]
fn the_sheet_as_text() {
    let (session, sheet) = lesson("Ann", &TALK);
    let text = sheet_page(session.base(), &sheet, manner(&session)).render(Style::default());
    assert!(text.lines().all(|l| l.chars().count() <= 78), "{text}");
    insta::assert_snapshot!(text);
}

#[test]
fn the_sheet_as_html_stands_alone_and_escapes_what_was_typed() {
    let (session, sheet) = lesson("<script>alert('x')</script>&\u{202e}", &TALK);
    let html = sheet_html(session.base(), &sheet, manner(&session));
    assert!(!html.contains("<script"), "{html}");
    assert!(html.contains("&lt;script&gt;alert(&#39;x&#39;)"), "{html}");
    assert!(!html.contains('\u{202e}'));
    for reaching_out in ["http:", "https:", "src=", "href=", "url(", "@import"] {
        let found: Vec<&str> = html.lines().filter(|l| l.contains(reaching_out)).collect();
        let only_names = found.iter().all(|l| l.contains("xmlns="));
        assert!(only_names, "{reaching_out}: {found:?}");
    }
    let pictures = html.matches("<svg").count();
    assert_eq!(
        pictures, 1,
        "the counts; nothing was said of where the driver bottoms"
    );
    let told = [
        "7 iron fat, divot starts 2 in behind the ball",
        "quick",
        "4 of 20",
        "15 of 20",
    ];
    let (other, measured) = lesson("Ann", &told);
    let with_arc = sheet_html(other.base(), &measured, manner(&other));
    assert_eq!(
        with_arc.matches("<svg").count(),
        2,
        "the arc and the counts"
    );
    // Every element that is opened is closed, in order.
    let mut open: Vec<&str> = Vec::new();
    for tag in html.split('<').skip(1) {
        let name = tag.split(['>', ' ', '\n', '/']).next().unwrap();
        if let Some(closed) = tag.strip_prefix('/') {
            let closed = closed.split('>').next().unwrap();
            assert_eq!(open.pop(), Some(closed), "{closed} closed out of order");
        } else if !(["!DOCTYPE", "meta"].contains(&name)
            || tag.split('>').next().unwrap().ends_with('/'))
        {
            open.push(name);
        }
    }
    assert!(open.is_empty(), "{open:?}");
}

#[test]
fn a_stopped_golfer_gets_no_drill_on_the_sheet() {
    let (session, sheet) = lesson("", &["7 iron fat", "quick", "sharp pain in my wrist"]);
    let text = sheet_page(session.base(), &sheet, manner(&session)).render(Style::default());
    assert!(!text.contains("Work on this"), "{text}");
    assert!(text.contains("Stop swinging"), "{text}");
}

fn browser() -> Option<PathBuf> {
    let path = std::env::var_os("PATH")?;
    std::env::split_paths(&path)
        .flat_map(|folder| {
            ["chromium", "chromium-browser", "google-chrome"].map(|name| folder.join(name))
        })
        .find(|file| file.exists())
}

#[test]
fn a_browser_prints_one_sheet_and_fits_a_phone() {
    let Some(browser) = browser() else {
        println!("skipped: no headless browser (apt-get install chromium)");
        return;
    };
    let folder = std::env::temp_dir().join(format!("swingwhy-sheet-{}", std::process::id()));
    std::fs::create_dir_all(&folder).unwrap();
    let (session, sheet) = lesson("Ann", &TALK);
    let html = sheet_html(session.base(), &sheet, manner(&session));
    let (page, probe, pdf) = (
        folder.join("sheet.html"),
        folder.join("probe.html"),
        folder.join("sheet.pdf"),
    );
    std::fs::write(&page, &html).unwrap();
    // The copy says how wide it is on a phone of 360 columns.
    let measuring = "<script>document.title = 'wide ' + document.documentElement.scrollWidth + ' of ' + innerWidth</script></body>";
    std::fs::write(&probe, html.replace("</body>", measuring)).unwrap();
    let run = |args: &[&str]| {
        Command::new(&browser)
            .args([
                "--headless",
                "--no-sandbox",
                "--disable-gpu",
                "--window-size=360,740",
            ])
            .arg(format!(
                "--user-data-dir={}",
                folder.join("profile").display()
            ))
            .args(args)
            .output()
            .unwrap()
    };
    run(&[
        "--no-pdf-header-footer",
        &format!("--print-to-pdf={}", pdf.display()),
        page.to_str().unwrap(),
    ]);
    let printed = std::fs::read(&pdf).expect("the browser printed");
    let text = String::from_utf8_lossy(&printed);
    let pages = text.matches("/Type /Page\n").count() + text.matches("/Type /Page ").count();
    let dumped = run(&["--dump-dom", probe.to_str().unwrap()]);
    let dom = String::from_utf8_lossy(&dumped.stdout).into_owned();
    std::fs::remove_dir_all(&folder).unwrap();
    assert_eq!(pages, 1, "pages printed");
    let said = dom
        .split("<title>wide ")
        .nth(1)
        .and_then(|t| t.split("</title>").next())
        .expect("the width was said");
    let (wide, window) = said.split_once(" of ").unwrap();
    let (wide, window): (u32, u32) = (wide.parse().unwrap(), window.parse().unwrap());
    assert!(wide <= window, "{wide} wide on a screen of {window}");
}
