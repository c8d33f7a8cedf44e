//! What a candidate works with to answer a part.

use crate::problem::AnswerSpace;
use crate::words::worth;

use super::answer::{FALSE, HIGH, LOW, REASON, TEXT, TRUE, line, option, partner};
use super::identifier::answer;
use super::xml::{Element, paragraph, plain, qti};
use crate::export::EntryPart;

/// How part marks come about where wrong choices cost some, for the candidate.
const OPTIONS_RULE: &str = "Choose all that apply. Wrong options cost marks: the share of the correct \
     options chosen, less the share of the wrong options chosen, earns the marks.";
const ORDER_RULE: &str = "Each pair of lines in the correct order earns marks, and each pair in the \
     wrong order costs as much.";

/// The question of a part, its marks, and the room for its answer.
pub(super) fn part(part: &EntryPart, place: usize, letter: &str) -> Element {
    let letter = if letter.is_empty() { String::new() } else { format!("({letter}) ") };
    let ask = format!("{letter}{} [{}]", part.ask, worth(part.marks));
    plain("div").child(paragraph(&ask)).children(room(&part.space, place))
}

/// The room for an answer. Options stay in the order in which they were drawn.
fn room(space: &AnswerSpace, place: usize) -> Vec<Element> {
    let bound = |name: &'static str| qti(name).with("responseIdentifier", answer(place, ""));
    match space {
        AnswerSpace::Number { unit, .. } => {
            let entry = number(&answer(place, ""));
            vec![plain("p").text("Answer: ").child(entry).text(&behind(unit))]
        }
        AnswerSpace::Range { unit } => {
            let [low, high] = [LOW, HIGH].map(|end| number(&answer(place, end)));
            let line = plain("p").text("Answer: from ").child(low).text(" to ").child(high);
            vec![line.text(&behind(unit))]
        }
        AnswerSpace::Options { options, multiple } => {
            let (most, prompt) = if *multiple { ("0", OPTIONS_RULE) } else { ("1", "Choose one.") };
            let choices =
                bound("choiceInteraction").with("shuffle", "false").with("maxChoices", most);
            vec![choices.child(qti("prompt").text(prompt)).children(lettered(options))]
        }
        AnswerSpace::Judgement { reasons, with_reason } => {
            let truths = [(TRUE, "true"), (FALSE, "false")]
                .map(|(id, word)| qti("simpleChoice").with("identifier", id).text(word));
            let judged =
                bound("choiceInteraction").with("shuffle", "false").with("maxChoices", "1");
            let prompt = qti("prompt").text("True or false?");
            let mut both = vec![judged.child(prompt).children(truths)];
            both.extend(with_reason.then(|| {
                let prompt = qti("prompt").text(
                    "For what reason? It earns marks only with the correct choice of true or false.",
                );
                qti("choiceInteraction")
                    .with("responseIdentifier", answer(place, REASON))
                    .with("shuffle", "false")
                    .with("maxChoices", "1")
                    .child(prompt)
                    .children(lettered(reasons))
            }));
            both
        }
        AnswerSpace::Match { left, right, again } => vec![
            bound("matchInteraction")
                .with("shuffle", "false")
                .with("maxAssociations", left.len().to_string())
                .child(qti("prompt").text("Match each line with one on the other side."))
                .child(side(left, line, "1"))
                .child(side(right, partner, if *again { "0" } else { "1" })),
        ],
        AnswerSpace::Order { items } => vec![
            bound("orderInteraction")
                .with("shuffle", "false")
                .child(qti("prompt").text(&format!("Put the first line first. {ORDER_RULE}")))
                .children(lettered(items)),
        ],
        AnswerSpace::Lines { count } => {
            vec![bound("extendedTextInteraction").with("expectedLines", count.to_string())]
        }
        AnswerSpace::Text => {
            let entry = bound("textEntryInteraction").with("expectedLength", "30");
            vec![plain("p").text("Answer: ").child(entry)]
        }
    }
}

/// A box for a number, of which the platform keeps the text as well.
fn number(answer: &str) -> Element {
    qti("textEntryInteraction")
        .with("responseIdentifier", answer)
        .with("stringIdentifier", format!("{answer}{TEXT}"))
        .with("expectedLength", "12")
}

/// The unit behind a box.
fn behind(unit: &str) -> String {
    if unit.is_empty() { String::new() } else { format!(" {unit}") }
}

fn lettered(texts: &[String]) -> impl Iterator<Item = Element> + '_ {
    texts
        .iter()
        .enumerate()
        .map(|(place, text)| qti("simpleChoice").with("identifier", option(place)).text(text))
}

/// One side of what is matched.
fn side(texts: &[String], name: fn(usize) -> String, most: &str) -> Element {
    let choices = texts.iter().enumerate().map(|(place, text)| {
        qti("simpleAssociableChoice")
            .with("identifier", name(place))
            .with("matchMax", most)
            .text(text)
    });
    qti("simpleMatchSet").children(choices)
}
