//! Reading a settings file of practice.

use std::fmt;

use crate::formula::nearest;
use crate::words::{Complaint, Complaints, quoted};

use super::Settings;

/// One thing wrong in a settings file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SettingsFileProblem {
    /// The line, counted from 1; `None` when it is about the file as a whole.
    pub line: Option<usize>,
    /// What is expected, what was found, and what to do.
    pub what: String,
}

impl fmt::Display for SettingsFileProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.line {
            Some(line) => write!(f, "line {line}: {}", self.what),
            None => f.write_str(&self.what),
        }
    }
}

impl Complaint for SettingsFileProblem {
    fn saying(self, what: String) -> Self {
        Self { what, ..self }
    }
}

const NAMES: [&str; 6] =
    ["known_at_start", "learnt_each_time", "lucky", "careless", "mastered_from", "days"];

/// Reads settings, one on a line as `lucky: 0.05` or `days: 0, 1, 3, 5, 14`; what a file does not
/// name stays as it is by default, and what follows a `#` is a remark.
///
/// # Errors
/// Everything that is wrong, all at once.
pub fn read_settings(text: &str) -> Result<Settings, Vec<SettingsFileProblem>> {
    let mut settings = Settings::default();
    let mut problems = Complaints::new();
    let mut seen: Vec<(String, usize)> = Vec::new();
    for (number, line) in text.lines().enumerate().map(|(index, line)| (index + 1, line)) {
        let line = line.split('#').next().unwrap_or_default().trim();
        if line.is_empty() {
            continue;
        }
        if let Err(what) = read_line(line, number, &mut settings, &mut seen) {
            problems.push(SettingsFileProblem { line: Some(number), what });
        }
    }
    if problems.is_empty() {
        problems.extend(settings.problems().into_iter().map(|problem| SettingsFileProblem {
            line: seen.iter().find(|(name, _)| name == problem.setting).map(|(_, line)| *line),
            what: problem.to_string(),
        }));
    }
    problems.finish(settings)
}

fn read_line(
    line: &str,
    number: usize,
    settings: &mut Settings,
    seen: &mut Vec<(String, usize)>,
) -> Result<(), String> {
    let (name, value) = line.split_once(':').ok_or_else(|| {
        "expected a setting and its value, as in `lucky: 0.05`, found no colon".to_owned()
    })?;
    let (name, value) = (name.trim(), value.trim());
    if let Some((_, before)) = seen.iter().find(|(other, _)| other == name) {
        return Err(format!("`{name}` stands on line {before} already; keep one of the two"));
    }
    let chance = || {
        value.parse::<f64>().map_err(|_| {
            format!(
                "`{name}`: expected a number such as 0.05, found `{}`; write a point and no comma",
                quoted(value, 40)
            )
        })
    };
    match name {
        "known_at_start" => settings.known_at_start = chance()?,
        "learnt_each_time" => settings.learnt_each_time = chance()?,
        "lucky" => settings.lucky = chance()?,
        "careless" => settings.careless = chance()?,
        "mastered_from" => settings.mastered_from = chance()?,
        "days" => settings.days = days(value)?,
        _ => {
            let what_to_do = match nearest(name, NAMES) {
                Some(near) => format!("did you mean `{near}`?"),
                None => format!("there are {}", NAMES.join(", ")),
            };
            return Err(format!("there is no setting `{}`; {what_to_do}", quoted(name, 40)));
        }
    }
    seen.push((name.to_owned(), number));
    Ok(())
}

fn days(value: &str) -> Result<Vec<u32>, String> {
    let inner = value.strip_prefix('[').and_then(|rest| rest.strip_suffix(']')).unwrap_or(value);
    let day = |day: &str| {
        day.trim().parse::<u32>().map_err(|_| {
            format!(
                "`days`: expected whole numbers with commas between, found `{}`",
                quoted(value, 40)
            )
        })
    };
    inner.split(',').map(day).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check_refused(text: &str, expected: &[&str]) {
        let problems = read_settings(text).unwrap_err();
        let found: Vec<String> = problems.iter().map(ToString::to_string).collect();
        assert_eq!(found, expected);
    }

    #[test]
    fn reads_what_is_named_and_keeps_the_rest() {
        let settings =
            read_settings("# ours\nlucky: 0.1 # guessed\n\ndays: [0, 2, 9]\nmastered_from:0.9")
                .unwrap();
        let expected =
            Settings { lucky: 0.1, days: vec![0, 2, 9], mastered_from: 0.9, ..Settings::default() };
        assert_eq!(settings, expected);
        assert_eq!(read_settings("").unwrap(), Settings::default());
        assert_eq!(read_settings(&expected.written()), Ok(expected));
    }

    #[test]
    fn tells_everything_that_cannot_be_read_with_its_line() {
        check_refused(
            "luky: 0.1\ncareless: 0,1\ndays: soon\nlucky\nlucky: 0.1\nlucky: 0.2",
            &[
                "line 1: there is no setting `luky`; did you mean `lucky`?",
                "line 2: `careless`: expected a number such as 0.05, found `0,1`; write a point and no comma",
                "line 3: `days`: expected whole numbers with commas between, found `soon`",
                "line 4: expected a setting and its value, as in `lucky: 0.05`, found no colon",
                "line 6: `lucky` stands on line 5 already; keep one of the two",
            ],
        );
    }

    #[test]
    fn tells_what_is_out_of_range_with_its_line() {
        check_refused(
            "lucky: 0.7\ndays: 3, 1",
            &[
                "line 1: `lucky`: expected a number from 0 to 0.3, found 0.7; give one in that range",
                "line 2: `days`: expected days that rise from box to box, such as [0, 1, 3, 5, 14]",
            ],
        );
    }
}
