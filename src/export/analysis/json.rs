//! The report as JSON: everything under a name that does not change.
//!
//! `castmark_analysis` is the version of the names, now 1. A statistic is an object with `value`, or
//! with `value` null and the reason under `why`.

use serde_json::{Value, json};

use crate::analysis::{
    Between, Chosen, Difference, GroupRow, Groups, Interval, Passing, Report, ReportItem, Sittings,
    Statistic, TemplateRow, Undefined,
};
use crate::export::CAUTION;

use super::figures::{discrimination, facility};

/// The version of the field names.
const VERSION: u32 = 1;

/// The report as JSON, ended by a line feed.
pub(in crate::export) fn analysis_json(report: &Report) -> String {
    let found = &report.reliability;
    let bands = &report.settings.bands;
    let slips = report.slips.iter().map(|slip| {
        json!({
            "template": slip.template,
            "slip": slip.slip,
            "title": slip.title,
            "candidates": slip.candidates,
            "set": slip.set,
            "says": slip.example.as_ref().map(|example| &example.says),
            "example_candidate": slip.example.as_ref().map(|example| &example.candidate),
        })
    });
    let objectives = report.objectives.iter().map(|row| {
        json!({
            "objective": row.objective,
            "topic": row.topic,
            "items": row.items,
            "candidates": row.candidates,
            "facility": statistic(row.facility),
            "error": statistic(row.error),
            "upper": statistic(row.by_group[0]),
            "middle": statistic(row.by_group[1]),
            "lower": statistic(row.by_group[2]),
        })
    });
    let document = json!({
        "castmark_analysis": VERSION,
        "title": report.title,
        "candidates": report.candidates,
        "absent": report.absent,
        "excused": report.excused,
        "withdrawn": report.withdrawn,
        "all_blank": report.all_blank,
        "waiting": report.waiting,
        "unread": report.unread,
        "is_small": report.is_small(),
        "group": { "per_cent": report.settings.group, "candidates": report.group_size },
        "bands": {
            "easy_from": bands.easy_from,
            "hard_below": bands.hard_below,
            "good_from": bands.good_from,
            "fair_from": bands.fair_from,
            "smallest_class": bands.smallest_class,
        },
        "whole": {
            "items": found.items,
            "questions": report.questions,
            "marks": report.of,
            "mean": statistic(found.mean),
            "deviation": statistic(found.deviation),
            "alpha": statistic(found.alpha),
            "alpha_interval": interval(found.alpha_interval),
            "alpha_by_question": statistic(report.alpha_by_question),
            "kr20": statistic(found.kr20),
            "kr21": statistic(found.kr21),
            "error_of_measurement": statistic(found.error),
            "distribution": report.distribution,
            "lower_quartile": statistic(report.quartiles[0]),
            "median": statistic(report.quartiles[1]),
            "upper_quartile": statistic(report.quartiles[2]),
        },
        "results": passing(&report.passing),
        "groups": report.groups.as_ref().map(groups),
        "sittings": report.sittings.as_ref().map(sittings),
        "items": report.items.iter().map(item).collect::<Vec<_>>(),
        "options": report.options.iter().map(options).collect::<Vec<_>>(),
        "templates": report.templates.iter().map(template).collect::<Vec<_>>(),
        "slips": slips.collect::<Vec<_>>(),
        "objectives": objectives.collect::<Vec<_>>(),
        "caution": CAUTION,
    });
    format!("{document:#}\n")
}

fn passing(passing: &Passing) -> Value {
    let near = passing.near.iter().map(|it| {
        json!({ "candidate": it.candidate, "marks": it.marks, "of": it.of, "passed": it.passed })
    });
    let grades =
        passing.grades.iter().map(|(grade, count)| json!({ "grade": grade, "candidates": count }));
    json!({
        "candidates": passing.candidates,
        "pass_mark": passing.pass,
        "passed": passing.passed,
        "near_the_pass_mark": near.collect::<Vec<_>>(),
        "grades": grades.collect::<Vec<_>>(),
    })
}

fn groups(groups: &Groups) -> Value {
    json!({
        "groups": groups.rows.iter().map(group).collect::<Vec<_>>(),
        "chance": statistic(groups.chance),
    })
}

fn group(row: &GroupRow) -> Value {
    json!({
        "name": row.name,
        "candidates": row.candidates,
        "mean": statistic(row.mean),
        "error": statistic(row.error),
        "deviation": statistic(row.deviation),
        "median": statistic(row.median),
        "passed": row.passed.map(statistic),
    })
}

fn sittings(sittings: &Sittings) -> Value {
    let both = sittings.both.iter().map(|both| {
        let candidates = both.candidates.iter().map(|(candidate, here, there)| {
            json!({ "candidate": candidate, "here": here, "there": there })
        });
        json!({
            "name": both.name,
            "candidates": candidates.collect::<Vec<_>>(),
            "change": both.change.as_ref().map(difference),
        })
    });
    let templates = sittings.templates.iter().map(|(title, facilities)| {
        let facilities = facilities.iter().map(|it| it.map(statistic));
        json!({ "title": title, "facilities": facilities.collect::<Vec<_>>() })
    });
    let differences = sittings.differences.iter().map(|it| it.as_ref().map(difference));
    json!({
        "sittings": sittings.rows.iter().map(group).collect::<Vec<_>>(),
        "differences": differences.collect::<Vec<_>>(),
        "questions": templates.collect::<Vec<_>>(),
        "both": both.collect::<Vec<_>>(),
    })
}

fn difference(difference: &Difference) -> Value {
    json!({ "by": difference.by, "interval": interval(difference.interval) })
}

fn item(row: &ReportItem) -> Value {
    let item = &row.item;
    json!({
        "item": item.name,
        "template": row.template,
        "part": row.part,
        "title": row.title,
        "objective": row.objective,
        "topic": row.topic,
        "marks": item.maximum,
        "candidates": row.set,
        "full": row.full,
        "blank": row.blank,
        "waiting": row.waiting,
        "facility": statistic(item.facility),
        "facility_error": statistic(item.facility_error),
        "facility_interval": interval(row.facility_interval),
        "upper_lower": statistic(item.upper_lower),
        "item_rest": statistic(item.item_rest),
        "item_rest_interval": interval(item.item_rest_interval),
        "alpha_without": statistic(item.alpha_without),
        "facility_in_words": row.facility_word.map(facility),
        "discrimination_in_words": row.discrimination_word.map(discrimination),
    })
}

fn options(chosen: &Chosen) -> Value {
    let options = chosen.options.iter().map(|option| {
        json!({
            "text": option.text,
            "is_right": option.is_right,
            "shown": option.shown,
            "chosen": option.chosen,
            "share": option.share,
            "upper": option.upper,
            "lower": option.lower,
            "choice_rest": statistic(option.choice_rest),
            "is_suspicious": option.is_suspicious,
        })
    });
    json!({
        "item": chosen.item,
        "title": chosen.title,
        "candidates": chosen.shown,
        "chose_wrong": chosen.wrong,
        "chose_none": chosen.none,
        "wrong_offered": chosen.wrong_offered,
        "efficiency": statistic(chosen.efficiency),
        "options": options.collect::<Vec<_>>(),
    })
}

fn template(row: &TemplateRow) -> Value {
    let variants = match &row.variants {
        Ok(compared) => json!(compared.iter().map(between).collect::<Vec<_>>()),
        Err(_) => Value::Null,
    };
    json!({
        "template": row.template,
        "title": row.title,
        "candidates": row.candidates,
        "questions": row.questions,
        "problems": row.problems,
        "facility": statistic(row.facility),
        "full": statistic(row.full),
        "variants": variants,
        "why": row.variants.as_ref().err().map(ToString::to_string),
    })
}

fn between((by, between): &(String, Between)) -> Value {
    let groups = between.groups.iter().map(|(name, candidates, full)| {
        json!({ "variant": name, "candidates": candidates, "full": full })
    });
    json!({
        "by": by,
        "range": between.range,
        "chance": statistic(between.chance),
        "groups": groups.collect::<Vec<_>>(),
    })
}

fn statistic(value: Statistic) -> Value {
    match value {
        Ok(value) => json!({ "value": value }),
        Err(why) => json!({ "value": null, "why": why.to_string() }),
    }
}

fn interval(value: Result<Interval, Undefined>) -> Value {
    match value {
        Ok(Interval { low, high }) => json!({ "low": low, "high": high }),
        Err(why) => json!({ "low": null, "high": null, "why": why.to_string() }),
    }
}
