//! An account as plain text.

use crate::export::sheet::theory::points_wanted;
use crate::marking::{Account, AccountLine, Item, Standing};

use crate::export::CAUTION;
use crate::export::writing::escape::plain;
use crate::words::{out_of, worth};

/// How far the words about an answer are moved in.
const INDENT: &str = "    ";

/// The account as text in lines of that width; `tone` may put colour on the heading and on the word
/// for a standing.
pub fn account_text(
    account: &Account,
    width: usize,
    tone: &dyn Fn(Option<Standing>, &str) -> String,
) -> String {
    let title = format!("{}: {}", account.code, account.title);
    let mut text = tone(None, &title);
    text.push('\n');
    for line in &account.lines {
        text.push('\n');
        write_line(&mut text, line, width, tone, true);
    }
    let parts = account.lines.iter().filter(|line| matches!(line.item, Item::Part(_))).count();
    if parts > 1 {
        text += &["\n", &account.together(), "\n"].concat();
    }
    text + "\n" + &textwrap::fill(CAUTION, width) + "\n"
}

/// One answer as text, without the rule: for practice, where no marks are at stake.
pub fn account_line_text(
    line: &AccountLine,
    width: usize,
    tone: &dyn Fn(Option<Standing>, &str) -> String,
) -> String {
    let mut text = String::new();
    write_line(&mut text, line, width, tone, false);
    text
}

fn write_line(
    text: &mut String,
    line: &AccountLine,
    width: usize,
    tone: &dyn Fn(Option<Standing>, &str) -> String,
    with_rule: bool,
) {
    text.push_str(&heading(line, tone));
    text.push('\n');
    for said in line.said() {
        paragraph(text, width, said);
    }
    if let Some(rule) = line.rule_said().filter(|_| with_rule) {
        paragraph(text, width, &format!("Marking rule: {rule}"));
    }
    if !line.points.is_empty() {
        let wanted = points_wanted(line.points.len(), line.of_marks());
        paragraph(text, width, &format!("One mark each for {wanted}:"));
    }
    for point in &line.points {
        paragraph(text, width, &format!("- {point}"));
    }
}

fn heading(line: &AccountLine, tone: &dyn Fn(Option<Standing>, &str) -> String) -> String {
    let standing = tone(Some(line.standing), line.standing_words());
    let answer = plain(&line.quoted);
    if answer.is_empty() && line.standing == Standing::NotRead {
        let nothing = tone(Some(line.standing), "nothing was written");
        let marks = out_of(line.marks(), line.of_marks());
        return match line.item {
            Item::Part(_) => format!("{} {nothing}, {marks}", line.label),
            Item::Step(_) => format!("{}: {nothing}", line.label),
        };
    }
    match line.item {
        Item::Part(_) if line.standing == Standing::ByHand => {
            format!("{} is {standing}, worth {}", line.label, worth(line.of_marks()))
        }
        Item::Part(_) => {
            let marks = out_of(line.marks(), line.of_marks());
            format!("{} {answer} is {standing}, {marks}", line.label)
        }
        Item::Step(_) => format!("{}: {answer} is {standing}", line.label),
    }
}

fn paragraph(text: &mut String, width: usize, words: &str) {
    let options = textwrap::Options::new(width.max(30))
        .initial_indent(INDENT)
        .subsequent_indent(INDENT)
        .word_splitter(textwrap::WordSplitter::NoHyphenation);
    text.push_str(&textwrap::fill(&plain(words), options));
    text.push('\n');
}
