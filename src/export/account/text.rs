//! An account as plain text.

use crate::marking::{Account, AccountLine, Item, Standing};

use super::super::escape::plain;
use super::{out_of, worth};

/// How far the words about an answer are moved in.
const INDENT: &str = "    ";

/// The account as text in lines of that width; `tone` may put colour on the word for a standing.
pub fn account_text(
    account: &Account,
    width: usize,
    tone: &dyn Fn(Standing, &str) -> String,
) -> String {
    let mut text = format!("{}: {}\n", account.code, account.title);
    for line in &account.lines {
        text.push('\n');
        text.push_str(&heading(line, tone));
        text.push('\n');
        for reason in &line.reasons {
            paragraph(&mut text, width, &reason.text);
        }
        // That a right answer has all marks goes without saying.
        if line.of > 0 && line.standing != Standing::Right && line.standing != Standing::ByHand {
            paragraph(&mut text, width, &format!("Rule: {}", line.rule_words));
        }
        if !line.points.is_empty() {
            paragraph(&mut text, width, "One mark for each of these points:");
        }
        for point in &line.points {
            paragraph(&mut text, width, &format!("- {point}"));
        }
    }
    let parts = account.lines.iter().filter(|line| matches!(line.item, Item::Part(_))).count();
    if parts > 1 {
        text.push_str(&format!("\nTogether {}.\n", out_of(account.marks, account.of)));
    }
    text
}

fn heading(line: &AccountLine, tone: &dyn Fn(Standing, &str) -> String) -> String {
    let standing = tone(line.standing, line.standing.name());
    let answer = plain(&line.answer);
    match line.item {
        Item::Part(_) if line.standing == Standing::ByHand => {
            format!("{} is {standing}, worth {}", line.label, worth(line.of))
        }
        Item::Part(_) => {
            format!("{}: {answer} is {standing}, {}", line.label, out_of(line.marks, line.of))
        }
        Item::Step(_) => format!("{}: {answer} is {standing}", line.label),
    }
}

fn paragraph(text: &mut String, width: usize, words: &str) {
    let options = textwrap::Options::new(width.max(30))
        .initial_indent(INDENT)
        .subsequent_indent(INDENT)
        .break_words(false);
    text.push_str(&textwrap::fill(&plain(words), options));
    text.push('\n');
}
