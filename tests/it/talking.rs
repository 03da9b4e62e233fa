//! The talk at a terminal, driven through a pseudo-terminal as a person drives it, and what happens
//! to the lesson book when things go wrong in the middle.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::atomic::{AtomicU32, Ordering};

use rexpect::session::{PtySession, spawn_command};

use crate::support::swingwhy;

/// A home folder of one test, removed at its end.
struct Home(PathBuf);

impl Home {
    fn new() -> Self {
        static NEXT: AtomicU32 = AtomicU32::new(0);
        let number = NEXT.fetch_add(1, Ordering::Relaxed);
        let path =
            std::env::temp_dir().join(format!("swingwhy-home-{}-{number}", std::process::id()));
        std::fs::create_dir_all(&path).unwrap();
        Self(path)
    }

    fn books(&self) -> PathBuf {
        self.0.join(".local/share/swingwhy")
    }

    fn talk(&self, args: &[&str]) -> PtySession {
        // The shell says which process it becomes.
        let mut command = Command::new("/bin/sh");
        command
            .args(["-c", "echo \"process $$.\"; exec \"$0\" \"$@\""])
            .arg(env!("CARGO_BIN_EXE_swingwhy"))
            .args(args)
            .env_clear()
            .env("HOME", &self.0)
            .env("TERM", "xterm")
            .env("NO_COLOR", "1");
        spawn_command(command, Some(20_000)).unwrap()
    }

    fn lesson(&self, args: &[&str]) -> String {
        let books = self.books();
        let mut all = vec!["--lessons", books.to_str().unwrap(), "lesson"];
        all.extend(args);
        let out = swingwhy(&all, "");
        let text = String::from_utf8(out.stdout).unwrap();
        format!("{text}{}", String::from_utf8(out.stderr).unwrap())
    }
}

impl Drop for Home {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

fn say(talk: &mut PtySession, line: &str, until: &str) -> String {
    talk.send_line(line).unwrap();
    talk.exp_string(until)
        .unwrap_or_else(|e| panic!("after {line:?}, waiting for {until:?}: {e}"))
}

fn mode(path: &Path) -> u32 {
    use std::os::unix::fs::PermissionsExt as _;
    std::fs::metadata(path).unwrap().permissions().mode() & 0o777
}

#[test]
fn a_golfer_talks_leaves_and_is_greeted_with_what_was_agreed() {
    let home = Home::new();
    let mut talk = home.talk(&[]);
    talk.exp_string("Tell me what happened").unwrap();
    say(
        &mut talk,
        "7 iron fat, right handed",
        "Kept in your lesson book",
    );
    say(&mut talk, "quick", "Target");
    say(&mut talk, "4 of 20", "Start");
    say(&mut talk, "bye", "Good golf");
    talk.exp_eof().unwrap();
    let mut back = home.talk(&[]);
    back.exp_string("Welcome back").unwrap();
    back.exp_string("20 before").unwrap();
    // The hand is not asked again: left and right are read at once.
    let said = say(&mut back, "driver slices", "Question");
    assert!(!said.contains("right-handed or left-handed"), "{said}");
    back.send_control('d').unwrap();
    back.exp_eof().unwrap();
    assert!(home.lesson(&["list"]).contains("(no name): "));
    assert_eq!(mode(&home.books().join("g-.book")), 0o600);
}

#[test]
fn ctrl_c_keeps_the_talk_and_ctrl_d_ends_it() {
    let home = Home::new();
    let mut talk = home.talk(&["--no-book"]);
    talk.exp_string("> ").unwrap();
    say(&mut talk, "7 iron fat", "Question");
    talk.exp_string("> ").unwrap();
    talk.send("half a line").unwrap();
    talk.flush().unwrap();
    talk.exp_string("half a line").unwrap();
    talk.send_control('c').unwrap();
    talk.exp_string("> ").unwrap();
    say(&mut talk, "what do you know", "heavy");
    talk.exp_string("> ").unwrap();
    talk.send_control('c').unwrap();
    talk.exp_string("> ").unwrap();
    talk.send_control('c').unwrap();
    talk.exp_string("nothing is lost").unwrap();
    talk.send_control('d').unwrap();
    talk.exp_eof().unwrap();
    assert!(!home.books().exists(), "a book although none was wanted");
}

/// False where the tests were started to outlive a hang-up (`nohup`): what they start ignores it too.
fn a_hang_up_ends_what_is_started() -> bool {
    let script = ["-c", "kill -HUP $$; echo alive"];
    let out = Command::new("/bin/sh").args(script).output().unwrap();
    out.stdout.is_empty()
}

#[test]
fn a_talk_that_is_killed_loses_no_line_that_was_answered() {
    let mut signals = vec!["-TERM", "-KILL"];
    if a_hang_up_ends_what_is_started() {
        signals.push("-HUP");
    }
    for signal in signals {
        let home = Home::new();
        let mut talk = home.talk(&["--golfer", "Ann"]);
        // With what follows it, so that the number is whole.
        let (_, process) = talk.exp_regex("process [0-9]+[^0-9]").unwrap();
        talk.exp_string("> ").unwrap();
        say(&mut talk, "8 iron thin, leftie", "Kept in your lesson book");
        let pid: String = process.chars().filter(char::is_ascii_digit).collect();
        let killed = Command::new("kill").args([signal, &pid]).status().unwrap();
        assert!(killed.success());
        talk.exp_eof().unwrap();
        let shown = home.lesson(&["show", "--golfer", "Ann"]);
        assert!(shown.contains("8 iron thin, leftie"), "{signal:?}: {shown}");
        let verified = home.lesson(&["verify", "--golfer", "Ann"]);
        assert!(verified.contains("Whole."), "{signal:?}: {verified}");
    }
}

#[test]
fn something_in_the_way_of_the_book_is_said_and_the_talk_goes_on() {
    let home = Home::new();
    std::fs::create_dir_all(home.books().parent().unwrap()).unwrap();
    std::fs::write(home.books(), "a file where the folder should be").unwrap();
    let mut talk = home.talk(&[]);
    talk.exp_string("Not kept").unwrap();
    talk.exp_string("Tell me what happened").unwrap();
    say(&mut talk, "7 iron fat", "Question");
    say(&mut talk, "practise", "Target");
    say(&mut talk, "3 of 20", "Start");
    let said = say(&mut talk, "bye", "Good golf");
    assert!(!said.contains("Not kept"), "said twice: {said}");
    talk.exp_eof().unwrap();
}

#[test]
fn history_is_private_and_can_be_off() {
    let home = Home::new();
    let history = home.0.join(".local/state/swingwhy/history");
    let mut talk = home.talk(&["--no-history", "--no-book"]);
    talk.exp_string("> ").unwrap();
    say(&mut talk, "7 iron fat", "Question");
    say(&mut talk, "bye", "Good golf");
    talk.exp_eof().unwrap();
    assert!(!history.exists());
    let mut talk = home.talk(&["--no-book"]);
    talk.exp_string("> ").unwrap();
    say(&mut talk, "7 iron fat", "Question");
    say(&mut talk, "bye", "Good golf");
    talk.exp_eof().unwrap();
    assert_eq!(mode(&history), 0o600);
}

#[test]
fn plain_talk_is_seven_bit_without_pictures() {
    let out = swingwhy(
        &["--plain"],
        "7 iron fat \u{2014} caf\u{e9} \u{1f3cc}, divot starts 2 in behind\ndraw\nbye\n",
    );
    let text = String::from_utf8(out.stdout).unwrap();
    assert!(text.is_ascii(), "{text}");
    assert!(
        text.contains("The 7 iron bottoms"),
        "the sentence stays: {text}"
    );
    assert!(!text.contains("turf ~"), "no picture: {text}");
    let drawn = swingwhy(&[], "7 iron fat, divot starts 2 in behind\ndraw\nbye\n");
    let drawn = String::from_utf8(drawn.stdout).unwrap();
    let lines = |t: &str| t.lines().count();
    assert!(
        lines(&drawn) > lines(&text) + 5,
        "the picture is there: {drawn}"
    );
}

#[test]
fn books_are_carried_out_brought_in_and_forgotten() {
    let (home, other) = (Home::new(), Home::new());
    let books = home.books();
    let with = |args: &[&str], input: &str| {
        let mut all = vec!["--lessons", books.to_str().unwrap(), "--golfer", "Ann"];
        all.extend(args);
        swingwhy(&all, input)
    };
    let talked = with(
        &[],
        "7 iron fat, right handed\nquick\n5 of 20\n14 of 20\nbye\n",
    );
    assert!(String::from_utf8(talked.stdout).unwrap().contains("Helped"));
    let progress = String::from_utf8(with(&["lesson", "progress"], "").stdout).unwrap();
    assert!(
        progress.contains("14 of 20") && progress.contains('#'),
        "{progress}"
    );
    let sheet = String::from_utf8(with(&["lesson", "sheet"], "").stdout).unwrap();
    assert!(sheet.contains("Lesson sheet for Ann"), "{sheet}");
    assert!(sheet.lines().all(|l| l.chars().count() <= 78), "{sheet}");
    let exported = with(&["lesson", "export"], "").stdout;
    let brought = Command::new(env!("CARGO_BIN_EXE_swingwhy"))
        .args([
            "--lessons",
            other.books().to_str().unwrap(),
            "lesson",
            "import",
        ])
        .arg({
            let file = other.0.join("ann.txt");
            std::fs::write(&file, &exported).unwrap();
            file
        })
        .output()
        .unwrap();
    assert_eq!(brought.status.code(), Some(0), "{brought:?}");
    let file = |home: &Home| std::fs::read(home.books().join("g-_41nn.book")).unwrap();
    assert_eq!(file(&home), file(&other));
    assert_eq!(with(&["lesson", "forget"], "").status.code(), Some(2));
    assert_eq!(
        with(&["lesson", "forget", "--yes"], "").status.code(),
        Some(0)
    );
    assert_eq!(with(&["lesson", "show"], "").status.code(), Some(65));
}

#[test]
fn a_damaged_book_is_shown_not_written_and_repaired() {
    let home = Home::new();
    let books = home.books();
    let with = |args: &[&str], input: &str| {
        let mut all = vec!["--lessons", books.to_str().unwrap()];
        all.extend(args);
        swingwhy(&all, input)
    };
    with(&[], "7 iron fat, right handed\nquick\n5 of 20\nbye\n");
    let file = books.join("g-.book");
    let mut bytes = std::fs::read(&file).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 4;
    std::fs::write(&file, &bytes).unwrap();
    let talked = String::from_utf8(with(&[], "8 iron thin\nbye\n").stdout).unwrap();
    assert!(talked.contains("damaged"), "{talked}");
    assert_eq!(std::fs::read(&file).unwrap(), bytes, "written over damage");
    assert_eq!(with(&["lesson", "verify"], "").status.code(), Some(1));
    assert_eq!(with(&["lesson", "repair"], "").status.code(), Some(0));
    assert_eq!(with(&["lesson", "verify"], "").status.code(), Some(0));
}

/// The process is killed at any moment, again and again, in one book: every line that was answered is
/// in the book, in order, and nothing else is. `KILL_ROUNDS=3000` is the long run.
#[test]
fn killed_at_any_moment_no_answered_line_is_lost_and_none_invented() {
    use std::io::{BufRead as _, BufReader, Write as _};
    use std::time::Duration;
    use swingwhy::lesson::{Entry, GolferKey, Lessons};

    let rounds: u64 = std::env::var("KILL_ROUNDS")
        .ok()
        .and_then(|n| n.parse().ok())
        .unwrap_or(8);
    let mut home = Home::new();
    let (mut answered, mut kept_in_all) = (0_usize, 0_usize);
    let mut sent_in_all: Vec<String> = Vec::new();
    for round in 0..rounds {
        // A new book now and then, so that reading it does not become the work.
        if round % 40 == 39 {
            home = Home::new();
            sent_in_all.clear();
        }
        let mut child = Command::new(env!("CARGO_BIN_EXE_swingwhy"))
            .args(["--lessons", home.books().to_str().unwrap()])
            .stdin(std::process::Stdio::piped())
            .stdout(std::process::Stdio::piped())
            .stderr(std::process::Stdio::null())
            .spawn()
            .unwrap();
        let mut input = child.stdin.take().unwrap();
        let output = child.stdout.take().unwrap();
        let lines: Vec<String> = (0..400).map(|n| format!("thanks {round} {n}")).collect();
        let all = lines.join("\n") + "\n";
        let writer = std::thread::spawn(move || {
            // The pipe breaks when the process is killed.
            let _ = input.write_all(all.as_bytes());
        });
        let reader = std::thread::spawn(move || {
            BufReader::new(output)
                .lines()
                .map_while(Result::ok)
                .filter(String::is_empty)
                .count()
        });
        // A spread of moments, from before the knowledge is read to deep in the talk.
        std::thread::sleep(Duration::from_millis(40 + (round * 37) % 260));
        child.kill().unwrap();
        child.wait().unwrap();
        writer.join().unwrap();
        let seen = reader.join().unwrap();
        answered += seen;
        let shelf = Lessons::in_folder(home.books());
        let Some(book) = shelf.open(&GolferKey::of_name("")).unwrap() else {
            assert_eq!(seen, 0, "answered and no book");
            continue;
        };
        let kept: Vec<String> = book
            .records()
            .iter()
            .filter_map(|r| match r.entry() {
                Some(Entry::Turn(turn)) => Some(turn.said.clone()),
                _ => None,
            })
            .collect();
        let own = kept
            .iter()
            .filter(|k| k.starts_with(&format!("thanks {round} ")))
            .count();
        assert!(own >= seen, "round {round}: {seen} answered, {own} kept");
        kept_in_all += own;
        sent_in_all.extend(lines.into_iter().take(own));
        assert_eq!(kept, sent_in_all, "round {round}");
    }
    println!("{rounds} rounds, {answered} lines answered, {kept_in_all} kept");
}

#[test]
fn tables_of_measured_shots_are_blocks_of_practice() {
    let home = Home::new();
    let books = home.books();
    let with = |args: &[&str], input: &str| {
        let mut all = vec!["--lessons", books.to_str().unwrap(), "--golfer", "Ann"];
        all.extend(args);
        let out = swingwhy(&all, input);
        (out.status.code(), String::from_utf8(out.stdout).unwrap())
    };
    let table = |low_points: &[f64]| {
        let rows: Vec<String> = low_points.iter().map(|v| format!("7i,{v}")).collect();
        // A shot with another club is left out.
        format!("club,low_point_in\n{}\n8i,4\n", rows.join("\n"))
    };
    let block = |stage: &str, low_points: &[f64]| {
        with(
            &["shots", "--block", stage, "--club", "7i", "-"],
            &table(low_points),
        )
    };
    let before = [-1.0, -0.5, 0.2, -1.4, 0.0, -0.8, 0.4, -1.1];
    let after = [2.1, 2.8, 1.9, 3.2, 2.4, 2.0, 3.1, 2.6];
    assert_eq!(block("start", &before).0, Some(65), "nothing is agreed yet");
    with(
        &[],
        "7 iron fat, low point 1 in behind, right handed\nquick\nbye\n",
    );
    let (code, said) = block("start", &before);
    assert_eq!(code, Some(0));
    assert!(said.contains("-0.5 in over 8 balls"), "{said}");
    let (_, said) = block("practice", &after);
    assert!(
        said.contains("Helped") && said.contains("2.5 in over 8 balls"),
        "{said}"
    );
    let (_, said) = block("retest", &after);
    assert!(said.contains("less than a day"), "{said}");
}
