//! Problems as text for a person.

use std::fmt::Write as _;
use std::ops::Range;

use annotate_snippets::{AnnotationKind, Element, Level, Origin, Renderer, Snippet};

use super::problem::{Place, Problem, Problems, Style};
use super::source::Source;

/// More problems than this are only counted: nobody mends more in one go, and a file that is no rig file
/// at all must not flood the terminal.
const SHOWN_AT_MOST: usize = 40;

/// All problems with a closing count.
pub(super) fn problems(problems: &Problems, style: Style) -> String {
    let renderer = match style {
        Style::Plain => Renderer::plain(),
        Style::Coloured => Renderer::styled(),
    };
    let mut text = String::new();
    for problem in problems.iter().take(SHOWN_AT_MOST) {
        text.push_str(&one(problem, problems.source(), &renderer));
        text.push_str("\n\n");
    }
    if problems.len() > SHOWN_AT_MOST {
        // Writing to a string cannot fail.
        let over = if problems.is_cut() { "over " } else { "" };
        let _ = writeln!(text, "... and {over}{} more\n", problems.len() - SHOWN_AT_MOST);
    }
    let over = if problems.is_cut() { "more than " } else { "" };
    let noun = if problems.len() == 1 { "problem" } else { "problems" };
    let _ = writeln!(text, "{over}{} {noun} in {}", problems.len(), where_they_are(problems));
    text
}

/// The file, the flags, or both.
fn where_they_are(problems: &Problems) -> String {
    const FLAGS: &str = "the flags";
    let in_flags = problems.iter().filter(|problem| matches!(problem.place, Place::Flag { .. })).count();
    match problems.source().map(Source::name) {
        Some(file) if in_flags == 0 => file.to_owned(),
        Some(file) if in_flags < problems.len() => format!("{file} and {FLAGS}"),
        _ => FLAGS.to_owned(),
    }
}

fn one(problem: &Problem, source: Option<&Source>, renderer: &Renderer) -> String {
    let mut group = Level::ERROR.primary_title(problem.message.as_str()).elements(Vec::<Element<'_>>::new());
    match (&problem.place, source) {
        (Place::Text { line, span, .. }, Some(source)) => {
            let (content, mark) = line_with_mark(source.text(), span);
            group = group.element(
                Snippet::source(content)
                    .line_start(*line)
                    .path(source.name())
                    .annotation(AnnotationKind::Primary.span(mark).label(problem.label.as_deref())),
            );
        }
        (Place::Flag { flag, text }, _) => {
            let typed = format!("{flag} {:?}", super::problem::shown(text));
            let mark = flag.len() + 1..typed.len();
            group = group.element(
                Snippet::source(typed)
                    .line_numbering(false)
                    .annotation(AnnotationKind::Primary.span(mark).label(problem.label.as_deref())),
            );
        }
        (_, Some(source)) => group = group.element(Origin::path(source.name())),
        (_, None) => {}
    }
    if let Some(hint) = &problem.hint {
        group = group.element(Level::HELP.message(hint.as_str()));
    }
    renderer.render(&[group])
}

/// The line on which a span starts, and the part of the span that lies on it.
fn line_with_mark<'a>(text: &'a str, span: &Range<usize>) -> (&'a str, Range<usize>) {
    let start = span.start.min(text.len());
    let line_start = text.get(..start).and_then(|before| before.rfind('\n')).map_or(0, |newline| newline + 1);
    let rest = text.get(line_start..).unwrap_or("");
    let line = rest.split('\n').next().unwrap_or("").trim_end_matches('\r');
    let from = start.saturating_sub(line_start).min(line.len());
    let to = span.end.saturating_sub(line_start).clamp(from, line.len());
    (line, from..to)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_closing_line_says_where_and_how_many() {
        let in_file =
            |line: usize| Problem::new(Place::Text { line, column: 1, span: line..line + 1 }, "in the file");
        let in_flags = || Problem::new(Place::Flag { flag: "--set".into(), text: "6".into() }, "in a flag");
        let closing = |list: Vec<Problem>| {
            let source = Source::new("A.toml", &"\n".repeat(500));
            let text = Problems::new(Some(source), list).to_string();
            text.trim_end().lines().last().unwrap_or_default().to_owned()
        };
        assert_eq!(closing(vec![in_file(1)]), "1 problem in A.toml");
        assert_eq!(closing(vec![in_flags()]), "1 problem in the flags");
        assert_eq!(closing(vec![in_flags(), in_file(1)]), "2 problems in A.toml and the flags");
        assert_eq!(closing((0..200).map(in_file).collect()), "200 problems in A.toml");
        assert_eq!(closing((0..201).map(in_file).collect()), "more than 200 problems in A.toml");
    }

    #[test]
    fn the_mark_stays_on_the_line_where_the_problem_starts() {
        assert_eq!(line_with_mark("a = 1\r\nb = [\r\n2]", &(11..16)), ("b = [", 4..5));
        assert_eq!(line_with_mark("a = 1\n", &(6..6)), ("", 0..0));
        assert_eq!(line_with_mark("", &(0..0)), ("", 0..0));
    }
}
