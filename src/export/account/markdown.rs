//! An account as Markdown.

use crate::export::sheet::theory::points_wanted;
use crate::export::writing::escape::{markdown, plain};
use crate::export::writing::markdown::{block, cautioned};
use crate::marking::{Account, AccountLine, Item, Standing};
use crate::words::{out_of, worth};

/// The account, a heading for each answer.
pub(in crate::export) fn account_markdown(account: &Account) -> String {
    let mut out = String::new();
    block(&mut out, "# ", &format!("{}: {}", account.code, account.title));
    for line in &account.lines {
        write_line(&mut out, line);
    }
    block(&mut out, "", &account.together());
    cautioned(out)
}

fn write_line(out: &mut String, line: &AccountLine) {
    block(out, "## ", &line.label);
    if !line.ask.is_empty() {
        block(out, "", &line.ask);
    }
    if line.standing == Standing::ByHand {
        block(out, "", &format!("To be marked by hand, worth {}.", worth(line.of_marks())));
    } else {
        let written = if line.quoted.is_empty() { "Nothing was written" } else { "Written: " };
        markdown(out, &plain(&[written, &line.quoted].concat()));
        out.push_str(" \u{2013} **");
        markdown(out, line.standing_words());
        out.push_str("**");
        if matches!(line.item, Item::Part(_)) {
            out.push_str(", ");
            markdown(out, &out_of(line.marks(), line.of_marks()));
        }
        out.push_str("\n\n");
    }
    for text in line.said() {
        block(out, "", text);
    }
    if let Some(rule) = line.rule_said() {
        block(out, "", &format!("Marking rule: {rule}"));
    }
    if !line.points.is_empty() {
        let wanted = points_wanted(line.points.len(), line.of_marks());
        block(out, "", &format!("One mark each for {wanted}:"));
        for point in &line.points {
            out.push_str("- ");
            markdown(out, &plain(point));
            out.push('\n');
        }
        out.push('\n');
    }
}
