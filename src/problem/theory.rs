//! From a case of theory and a number to what one problem shows.

use crate::bank::{
    Case, Choice, ChoiceCase, JudgementCase, MatchingCase, OrderingCase, selection, ways,
};
use crate::draw::Stream;

use super::{ChoiceKey, JudgementKey, MatchingKey, OrderingKey, Response};

/// What a problem shows of a case: the selection of that number, shuffled by the presentation.
///
/// `None` when the case has no selection of that number, or one that is no question.
pub(super) fn respond(case: &Case, number: u128, presentation: &mut Stream) -> Option<Response> {
    if number >= case.ways()? {
        return None;
    }
    Some(match case {
        Case::Choice(case) => Response::Choice(choice(case, number, presentation)?),
        Case::Judgement(case) => Response::Judgement(judgement(case, number, presentation)),
        Case::Matching(case) => Response::Matching(matching(case, number, presentation)?),
        Case::Ordering(case) => Response::Ordering(ordering(case, number, presentation)?),
        Case::Text(case) => Response::Text(case.clone()),
        Case::Range(case) => Response::Range(case.clone()),
        Case::Written(case) => Response::Written(case.clone()),
    })
}

/// The sentences a part shows: what is longer than a name and would be known again in another part.
pub(super) fn sentences(response: &Response) -> Vec<String> {
    let is_long = |text: &&str| text.split_whitespace().count() > 3;
    response.key().texts().into_iter().filter(is_long).map(str::to_lowercase).collect()
}

/// Whether two options are on one point, so that one says or denies the other; where no point is named,
/// the same reason tells it.
fn says_and_denies(options: &[Choice]) -> bool {
    let clash = |one: &Choice, other: &Choice| match (one.point.as_str(), other.point.as_str()) {
        ("", _) | (_, "") => !one.because.is_empty() && one.because == other.because,
        (one, other) => one == other,
    };
    options
        .iter()
        .enumerate()
        .any(|(n, option)| options.iter().take(n).any(|before| clash(before, option)))
}

fn choice(case: &ChoiceCase, mut number: u128, presentation: &mut Stream) -> Option<ChoiceKey> {
    for rights in case.least..=case.most {
        let rest = case.show.checked_sub(rights)?;
        let true_ways = ways(case.rights.len(), rights)?;
        let here = true_ways.checked_mul(ways(case.wrongs.len(), rest)?)?;
        if number >= here {
            number -= here;
            continue;
        }
        let trues = selection(case.rights.len(), rights, number.checked_rem(true_ways)?);
        let falses = selection(case.wrongs.len(), rest, number.checked_div(true_ways)?);
        // Places count through the right ones first, then through the wrong ones.
        let first = case.rights.len();
        let mut indices: Vec<usize> =
            trues.into_iter().chain(falses.into_iter().map(|index| first + index)).collect();
        match &case.lines {
            Some(lines) => indices.sort_by_key(|index| lines.get(*index)),
            None => presentation.shuffle(&mut indices),
        }
        let all: Vec<&Choice> = case.rights.iter().chain(&case.wrongs).collect();
        let options: Vec<Choice> =
            indices.iter().filter_map(|index| all.get(*index)).copied().cloned().collect();
        if case.exclusive && says_and_denies(&options) {
            return None;
        }
        return Some(ChoiceKey {
            options,
            right: indices.iter().map(|index| *index < first).collect(),
            several: case.several,
            is_procedure: case.lines.is_some(),
        });
    }
    None
}

fn judgement(case: &JudgementCase, number: u128, presentation: &mut Stream) -> JudgementKey {
    let mut key = JudgementKey {
        statement: case.statement.clone(),
        truth: case.truth,
        source: case.source.clone(),
        because: case.because.clone(),
        reasons: Vec::new(),
        right: None,
    };
    let Some(reason) = &case.reason else { return key };
    let others = selection(case.others.len(), case.show.saturating_sub(1), number);
    let mut reasons: Vec<&Choice> =
        others.iter().filter_map(|index| case.others.get(*index)).collect();
    reasons.push(reason);
    let mut indices: Vec<usize> = (0..reasons.len()).collect();
    presentation.shuffle(&mut indices);
    key.right = indices.iter().position(|index| index + 1 == reasons.len());
    key.reasons = indices.iter().map(|index| reasons[*index].clone()).collect();
    key
}

/// How many of the things in these groups belong to the fullest of them.
fn most_in_a_group(groups: impl IntoIterator<Item = usize>, number: usize) -> usize {
    sizes(groups, number).into_iter().max().unwrap_or(0)
}

/// How many things of a grouping may belong to one group: as few as the table allows, so that no group is
/// the likely answer to everything.
fn even_share(case: &MatchingCase) -> usize {
    let sizes = sizes(case.rows.iter().map(|(_, group, _)| *group), case.rights.len());
    let room = |most: usize| sizes.iter().map(|size| most.min(*size)).sum::<usize>();
    (1..case.pairs).find(|most| room(*most) >= case.pairs).unwrap_or(case.pairs)
}

fn sizes(groups: impl IntoIterator<Item = usize>, number: usize) -> Vec<usize> {
    let mut sizes = vec![0; number];
    for group in groups {
        if let Some(size) = sizes.get_mut(group) {
            *size += 1;
        }
    }
    sizes
}

fn matching(case: &MatchingCase, number: u128, presentation: &mut Stream) -> Option<MatchingKey> {
    let pair_ways = ways(case.rows.len(), case.pairs)?;
    let shown = selection(case.rows.len(), case.pairs, number.checked_rem(pair_ways)?);
    let rows: Vec<_> = shown.iter().filter_map(|index| case.rows.get(*index)).collect();
    let mut rights: Vec<usize> = if case.shared {
        (0..case.rights.len()).collect()
    } else {
        let rest: Vec<usize> =
            (0..case.rows.len()).filter(|index| !shown.contains(index)).collect();
        let extra = selection(rest.len(), case.extra, number.checked_div(pair_ways)?);
        let extra = extra.iter().filter_map(|index| case.rows.get(*rest.get(*index)?));
        rows.iter().copied().chain(extra).map(|(_, right, _)| *right).collect()
    };
    if case.shared {
        let here = rows.iter().map(|(_, group, _)| *group);
        if most_in_a_group(here, case.rights.len()) > even_share(case) {
            return None;
        }
    } else {
        presentation.shuffle(&mut rights);
    }
    let answer = |right: &usize| rights.iter().position(|index| index == right);
    let mut rows = rows;
    if case.shared {
        presentation.shuffle(&mut rows);
    }
    Some(MatchingKey {
        left: rows.iter().map(|(text, ..)| text.clone()).collect(),
        answers: rows.iter().map(|(_, right, _)| answer(right)).collect::<Option<_>>()?,
        sources: rows.iter().map(|(.., source)| source.clone()).collect(),
        right: rights
            .iter()
            .map(|index| case.rights.get(*index).cloned())
            .collect::<Option<_>>()?,
        shared: case.shared,
    })
}

fn ordering(case: &OrderingCase, number: u128, presentation: &mut Stream) -> Option<OrderingKey> {
    let lines = selection(case.lines.len(), case.show, number);
    let is_free = |one: usize, other: usize| {
        let pair = (lines.get(one), lines.get(other));
        case.either_way.iter().any(|(free, also)| pair == (Some(free), Some(also)))
    };
    // The pairs of lines of which the first comes before the second, by index among those shown.
    let mut pairs = Vec::new();
    for one in 0..lines.len() {
        pairs.extend(
            (one + 1..lines.len()).filter(|other| !is_free(one, *other)).map(|other| (one, other)),
        );
    }
    // Lines of which few have an order ask little: half of the pairs must have one.
    if pairs.len() * 4 < lines.len() * lines.len().saturating_sub(1) {
        return None;
    }
    let mut indices: Vec<usize> = (0..lines.len()).collect();
    let mut order = indices.clone();
    let in_order = |order: &[usize]| pairs.iter().all(|(one, other)| order[*one] < order[*other]);
    // Lines that stand in an order that is right already would ask nothing.
    while in_order(&order) && indices.len() > 1 {
        presentation.shuffle(&mut indices);
        for (shown, index) in indices.iter().enumerate() {
            order[*index] = shown;
        }
    }
    let items = indices.iter().filter_map(|index| case.lines.get(*lines.get(*index)?));
    Some(OrderingKey {
        items: items.cloned().collect(),
        before: pairs.iter().map(|(one, other)| (order[*one], order[*other])).collect(),
        order,
        source: case.source.clone(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::draw::Seed;

    #[test]
    fn a_sentence_is_longer_than_a_name_and_known_in_any_case() {
        let option = |text: &str| Choice { text: text.to_owned(), ..Choice::default() };
        let options = vec![option("It melts in the Hand"), option("theobroma oil, grated")];
        let key =
            ChoiceKey { options, right: vec![true, false], several: false, is_procedure: false };
        assert_eq!(sentences(&Response::Choice(key)), ["it melts in the hand"]);
    }

    #[test]
    fn two_options_on_one_point_say_or_deny_each_other() {
        let option = |point: &str, because: &str| Choice {
            point: point.to_owned(),
            because: because.to_owned(),
            ..Choice::default()
        };
        for (one, other, clash) in [
            (option("melting", ""), option("melting", ""), true),
            (option("melting", "It melts."), option("colour", "It melts."), false),
            (option("", "It melts."), option("", "It melts."), true),
            (option("melting", "It melts."), option("", "It melts."), true),
            (option("", "It melts."), option("", "It is white."), false),
            (option("", ""), option("", ""), false),
        ] {
            assert_eq!(says_and_denies(&[one.clone(), other.clone()]), clash, "{one:?} {other:?}");
        }
        assert!(!says_and_denies(&[option("melting", "")]));
    }

    #[test]
    fn options_with_one_right_come_first_and_those_with_two_behind_them() {
        let options = |texts: [&str; 2]| {
            texts.map(|text| Choice { text: text.to_owned(), ..Choice::default() }).to_vec()
        };
        let case = ChoiceCase {
            rights: options(["oily", "waxy"]),
            wrongs: options(["dry", "sweet"]),
            show: 2,
            least: 1,
            most: 2,
            several: true,
            exclusive: false,
            lines: Some(vec![0, 1, 2, 3]),
        };
        let shown = |number: u128| {
            let key = choice(&case, number, &mut Stream::new(&Seed::from_bytes([3; 32])))?;
            Some(key.options.into_iter().map(|option| option.text).collect::<Vec<_>>())
        };
        // Two right ones times two wrong ones, then the two right ones.
        let mut singles: Vec<_> = (0..4).map(|number| shown(number).unwrap()).collect();
        singles.sort();
        singles.dedup();
        assert_eq!(singles.len(), 4, "{singles:?}");
        assert!(singles.iter().all(|texts| texts.len() == 2));
        assert!(!singles.contains(&vec!["oily".to_owned(), "waxy".to_owned()]));
        assert_eq!(shown(4).unwrap(), ["oily", "waxy"]);
        assert_eq!(shown(5), None);
    }

    /// Things that belong to these groups, of two, so many of which are shown.
    fn grouping(groups: &[usize], pairs: usize) -> MatchingCase {
        let row = |(n, group): (usize, &usize)| (format!("thing {n}"), *group, String::new());
        MatchingCase {
            rows: groups.iter().enumerate().map(row).collect(),
            rights: ["oily", "watery"].map(str::to_owned).to_vec(),
            pairs,
            extra: 0,
            shared: true,
        }
    }

    #[test]
    fn no_group_is_fuller_than_the_table_makes_it() {
        for (groups, pairs, most) in [
            (&[0, 0, 0, 1, 1, 1][..], 4, 2),
            (&[0, 0, 0, 1, 1, 1], 5, 3),
            (&[0, 0, 0, 0, 1], 4, 3),
            (&[0, 0, 0, 0], 3, 3),
            (&[0, 1], 1, 1),
        ] {
            let case = grouping(groups, pairs);
            assert_eq!(even_share(&case), most, "{groups:?}, {pairs}");
            let all = ways(groups.len(), pairs).unwrap();
            let mut stream = Stream::new(&Seed::from_bytes([3; 32]));
            let keys: Vec<_> =
                (0..all).filter_map(|number| matching(&case, number, &mut stream)).collect();
            assert!(!keys.is_empty());
            for key in keys {
                assert_eq!(key.left.len(), pairs);
                let fullest = most_in_a_group(key.answers.iter().copied(), 2);
                assert!(fullest <= most, "{:?}", key.answers);
            }
        }
    }

    #[test]
    fn what_goes_with_none_of_the_things_is_shown_besides_and_goes_with_others() {
        let row = |n: usize| (format!("thing {n}"), n, String::new());
        let case = MatchingCase {
            rows: (0..5).map(row).collect(),
            rights: (0..5).map(|n| format!("use {n}")).collect(),
            pairs: 2,
            extra: 2,
            shared: false,
        };
        let mut stream = Stream::new(&Seed::from_bytes([3; 32]));
        for number in 0..30 {
            let key = matching(&case, number, &mut stream).unwrap();
            let mut shown = key.right.clone();
            shown.sort();
            shown.dedup();
            assert_eq!((key.left.len(), key.right.len(), shown.len()), (2, 4, 4), "{number}");
            for (thing, answer) in key.left.iter().zip(&key.answers) {
                assert_eq!(thing.replace("thing", "use"), key.right[*answer]);
            }
        }
    }

    #[test]
    fn an_order_is_asked_where_half_of_the_pairs_have_one() {
        let ask = |either_way: &[(usize, usize)]| {
            let case = OrderingCase {
                lines: ["weigh", "melt", "mix", "pour"].map(str::to_owned).to_vec(),
                either_way: either_way.to_vec(),
                show: 4,
                source: "guide".to_owned(),
            };
            ordering(&case, 0, &mut Stream::new(&Seed::from_bytes([3; 32])))
        };
        let free = [(0, 1), (0, 2), (1, 2), (0, 3)];
        assert_eq!(ask(&free[..3]).map(|key| key.before.len()), Some(3));
        assert!(ask(&free).is_none());
    }
}
