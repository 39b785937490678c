//! The tasks of a rehearsal, and the order in which they make sense.

use uom::si::f64::Time;

use super::inner::Inner;
use super::{Reported, Resolver};
use crate::rig::problem::Problem;
use crate::rig::{Pause, RigTask, TaskGroup};

/// More tasks than anybody writes down.
const MOST: usize = 1000;
/// What the tasks themselves say, so that `[cycle]` must not.
pub(in crate::rig) const SAID_BY_TASKS: [(&str, &str); 3] = [
    ("cycle.lifts", "write do = \"repeat\" with `times` after what is to be worked more than once"),
    ("cycle.hold", "each task with do = \"hold\" says how long"),
    ("cycle.rest", "each task with do = \"rest\" says how long"),
];

/// A table `[[task]]` as it is written.
#[derive(Debug, Clone, Copy)]
enum Entry {
    Task(RigTask),
    Repeat(u32),
}

/// What has come about up to a task.
#[derive(Debug, Clone, Copy)]
struct Course {
    /// Whether the load is up; `None` after a task that cannot be read.
    up: Option<bool>,
    /// Whether it was when the group began.
    up_at_start: Option<bool>,
    /// The least time that the group has taken.
    clock: Time,
}

impl<'d> Resolver<'d> {
    /// The tasks, in groups; none if the file has none.
    ///
    /// # Errors
    /// If a task is wrong, or makes no sense after those before it.
    pub(super) fn tasks(&mut self) -> Result<Vec<TaskGroup>, Reported> {
        let items =
            self.repeated("task", "this task", MOST, "let do = \"repeat\" work tasks more than once")?;
        if items.is_empty() {
            return Ok(Vec::new());
        }
        let mut wrong = None;
        for (path, instead) in SAID_BY_TASKS {
            if self.is_stated(path) {
                let message = format!("`{path}` does not go together with [[task]], which says it");
                let hint = format!("delete it; {instead}");
                wrong = Some(self.report(Problem::new(self.place_of(path), message).hint(hint)));
            }
        }
        let mut groups = Vec::new();
        let mut tasks = Vec::new();
        let mut course = Course { up: Some(false), up_at_start: Some(false), clock: Time::default() };
        let mut entries = 0;
        for item in &items {
            let word = self.required_word_in(*item, "task.do");
            let judged = match word.and_then(|word| self.task(*item, word)) {
                Ok(Entry::Task(task)) => {
                    tasks.push(task);
                    self.follows(*item, task, &mut course)
                }
                Ok(Entry::Repeat(times)) => {
                    groups.push(TaskGroup { tasks: std::mem::take(&mut tasks), times });
                    self.repeats(*item, times, entries == 0, &mut course)
                }
                Err(reported) => {
                    course.up = match word {
                        Ok("raise") => Some(true),
                        Ok("lower") => Some(false),
                        Ok(_) => course.up,
                        Err(_) => None,
                    };
                    Err(reported)
                }
            };
            entries = if word == Ok("repeat") { 0 } else { entries + 1 };
            wrong = judged.err().or(wrong);
        }
        if !tasks.is_empty() {
            groups.push(TaskGroup { tasks, times: 1 });
        }
        if let Some(reported) = wrong {
            return Err(reported);
        }
        if !groups.iter().any(|group| group.tasks.contains(&RigTask::Raise)) {
            let message = "no task raises the load";
            let problem = Problem::new(self.place_of("task.do"), message)
                .hint("add a [[task]] with do = \"raise\", or delete all tasks");
            return Err(self.report(problem));
        }
        Ok(groups)
    }

    /// One task by itself.
    fn task(&mut self, task: Inner<'d>, word: &'static str) -> Result<Entry, Reported> {
        let lasts = self.optional_in::<Time>(task, "task.for");
        let until = self.optional_in::<Time>(task, "task.until");
        let times = self.written_in(task, "task.times").and_then(|written| self.count_of(written));
        let (lasts, until, times) = (lasts?, until?, times?);
        let (pauses, repeats) = (matches!(word, "hold" | "rest"), word == "repeat");
        for (key, belongs) in [("for", pauses), ("until", pauses), ("times", repeats)] {
            if task.entry(key).is_some() && !belongs {
                let (message, hint) = match (key, word) {
                    ("times", _) => (
                        format!("do = \"{word}\" has no `times`"),
                        "write it in a [[task]] of its own, with do = \"repeat\", after the tasks meant",
                    ),
                    (_, "repeat") => (
                        format!("do = \"repeat\" has no `{key}`"),
                        "say with `times` how often, and how long in a task with do = \"hold\" or \"rest\"",
                    ),
                    _ => (
                        format!("do = \"{word}\" has no `{key}`: it lasts until the load has arrived"),
                        "delete it; `cycle.raise-within` and `cycle.lower-within` say when a load is given up",
                    ),
                };
                let problem = Problem::new(self.place_of_key(task, key), message).hint(hint);
                return Err(self.report(problem));
            }
        }
        if repeats {
            return times.map(Entry::Repeat).ok_or_else(|| self.missing_in(task, "task.times"));
        }
        let pause = match (lasts, until) {
            (Some(_), Some(_)) => {
                let message =
                    format!("`for` and `until` are both given; either says how long this {word} lasts");
                let problem = Problem::new(self.place_of_key(task, "until"), message)
                    .hint("keep the one that you mean and delete the other");
                return Err(self.report(problem));
            }
            (Some(time), None) => Pause::For(time),
            (None, Some(time)) => Pause::Until(time),
            (None, None) if pauses => {
                let problem = Problem::new(self.place_in(task), format!("this {word} has no end"))
                    .hint("add `for = \"20 s\"`, or `until = \"12 min\"` by the clock");
                return Err(self.report(problem));
            }
            (None, None) => Pause::For(Time::default()),
        };
        Ok(Entry::Task(match word {
            "raise" => RigTask::Raise,
            "hold" => RigTask::Hold(pause),
            "lower" => RigTask::Lower,
            _ => RigTask::Rest(pause),
        }))
    }

    /// Whether a task makes sense where it stands.
    fn follows(&mut self, item: Inner<'d>, task: RigTask, course: &mut Course) -> Result<(), Reported> {
        let refuse = |resolver: &mut Self, message: &str, hint: &str| {
            let problem = Problem::new(resolver.place_of_key(item, "do"), message).hint(hint);
            Err(resolver.report(problem))
        };
        let order = match (task, course.up) {
            (RigTask::Raise, Some(true)) => refuse(
                self,
                "do = \"raise\", but the load is up already",
                "lower it first: add a [[task]] with do = \"lower\" before",
            ),
            (RigTask::Lower, Some(false)) => refuse(
                self,
                "do = \"lower\", but the load is down already",
                "raise it first: add a [[task]] with do = \"raise\" before, or delete this one",
            ),
            (RigTask::Hold(_), Some(false)) => refuse(
                self,
                "do = \"hold\", but the load is down: there is nothing to hold",
                "write do = \"rest\", or raise the load before",
            ),
            (RigTask::Rest(_), Some(true)) => refuse(
                self,
                "do = \"rest\", but the load is up: a rest opens the valves, so that it would come down",
                "write do = \"hold\" to keep it up, or lower it before",
            ),
            _ => Ok(()),
        };
        match task {
            RigTask::Raise => course.up = Some(true),
            RigTask::Lower => course.up = Some(false),
            RigTask::Hold(Pause::For(time)) | RigTask::Rest(Pause::For(time)) => course.clock += time,
            RigTask::Hold(Pause::Until(time)) | RigTask::Rest(Pause::Until(time)) => {
                if time <= course.clock && order.is_ok() {
                    let place = self.place_of_key(item, "until");
                    let taken = crate::units::display::show(
                        course.clock.value,
                        crate::units::Dimension::Time,
                        crate::units::display::UnitSystem::Metric,
                    );
                    let message =
                        format!("this is over before it begins: the tasks before it take {taken} or more");
                    let hint = "`until` counts from the start of the list, or from the `repeat` before; give a later \
                                time, or say with `for` how long it lasts";
                    return Err(self.report(Problem::new(place, message).hint(hint)));
                }
                course.clock = course.clock.max(time);
            }
        }
        order
    }

    /// Whether the tasks before a `repeat` can be worked again, and what comes after them.
    fn repeats(
        &mut self,
        item: Inner<'d>,
        times: u32,
        nothing: bool,
        course: &mut Course,
    ) -> Result<(), Reported> {
        let Course { up, up_at_start, .. } = *course;
        *course = Course { up, up_at_start: up, clock: Time::default() };
        let again = if times > 1 { up_at_start.zip(up) } else { None };
        let (message, hint) = if nothing {
            ("a repeat without tasks before it", "write what is to be repeated above it, or delete it")
        } else if again == Some((false, true)) {
            (
                "these tasks begin with the load down and end with it up, so that they cannot be repeated",
                "add a [[task]] with do = \"lower\" before the repeat",
            )
        } else if again == Some((true, false)) {
            (
                "these tasks begin with the load up and end with it down, so that they cannot be repeated",
                "let the tasks since the repeat before begin with do = \"raise\"",
            )
        } else {
            return Ok(());
        };
        let problem = Problem::new(self.place_of_key(item, "do"), message).hint(hint);
        Err(self.report(problem))
    }
}
