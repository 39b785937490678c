//! How far a long run is, on one line that is gone at its end.

use std::io::Write;

/// Lifts from which a run shows how far it is.
const LONG_RUN: u32 = 500;

/// The line of a run.
#[derive(Debug)]
pub(super) struct Progress<W> {
    to: W,
    shows: bool,
    last: Option<u64>,
}

impl<W: Write> Progress<W> {
    /// Of a run of so many lifts. It is shown on a terminal only, where it can be drawn over.
    pub(super) const fn new(to: W, is_terminal: bool, lifts: u32) -> Self {
        Self { to, shows: is_terminal && lifts >= LONG_RUN, last: None }
    }

    /// So much of all is done; a line is drawn where the per cent has changed.
    pub(super) fn done(&mut self, done: u32, of: u32) {
        let percent = u64::from(done) * 100 / u64::from(of.max(1));
        if self.shows && self.last != Some(percent) {
            self.last = Some(percent);
            // A line that cannot be drawn is no reason to stop.
            let _ = write!(self.to, "\r{}", line(percent)).and_then(|()| self.to.flush());
        }
    }

    /// Wipes the line out, if one was drawn.
    pub(super) fn clear(mut self) {
        if self.last.is_some() {
            let blank = " ".repeat(line(100).len());
            let _ = write!(self.to, "\r{blank}\r").and_then(|()| self.to.flush());
        }
    }
}

fn line(percent: u64) -> String {
    format!("rehearsing: {percent:3} %")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What a run of so many lifts writes.
    fn written(is_terminal: bool, lifts: u32) -> String {
        let mut bytes = Vec::new();
        let mut progress = Progress::new(&mut bytes, is_terminal, lifts);
        (1..=lifts).for_each(|lift| progress.done(lift, lifts));
        progress.clear();
        String::from_utf8(bytes).unwrap()
    }

    /// What a terminal shows of it in the end: each return begins the line anew.
    fn left_on_screen(written: &str) -> String {
        let mut screen: Vec<char> = Vec::new();
        for part in written.split('\r') {
            for (column, letter) in part.chars().enumerate() {
                screen.truncate(screen.len().max(column));
                match screen.get_mut(column) {
                    Some(place) => *place = letter,
                    None => screen.push(letter),
                }
            }
        }
        screen.into_iter().collect::<String>().trim_end().to_owned()
    }

    #[test]
    fn nothing_is_written_off_a_terminal_or_on_a_short_run() {
        assert_eq!(written(false, 100_000), "");
        assert_eq!(written(true, LONG_RUN - 1), "");
    }

    #[test]
    fn a_long_run_shows_each_per_cent_once_on_one_line() {
        let text = written(true, 100_000);
        assert_eq!(text.matches("rehearsing:").count(), 101);
        assert!(text.contains("\rrehearsing:  57 %") && !text.contains('\n'));
        assert!(text.contains("rehearsing: 100 %"));
    }

    #[test]
    fn the_line_is_gone_at_the_end_and_from_wherever_it_stops() {
        let text = written(true, 600);
        assert_eq!(left_on_screen(&text), "");
        assert!(text.ends_with('\r'));
        // A run that stops half way leaves nothing either; one that never began writes nothing.
        let mut bytes = Vec::new();
        let mut progress = Progress::new(&mut bytes, true, 600);
        progress.done(300, 600);
        progress.clear();
        assert_eq!(left_on_screen(&String::from_utf8(bytes).unwrap()), "");
        let mut bytes = Vec::new();
        Progress::new(&mut bytes, true, 600).clear();
        assert!(bytes.is_empty());
    }

    #[test]
    fn a_line_that_cannot_be_drawn_stops_nothing() {
        // A slice of four bytes takes no more than that.
        let mut place = [0_u8; 4];
        let mut progress = Progress::new(place.as_mut_slice(), true, 600);
        progress.done(300, 600);
        progress.clear();
    }
}
