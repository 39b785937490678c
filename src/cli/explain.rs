//! `lungful explain`: one formula in words, symbols and source.

use std::io::Write;

use super::args::Global;
use super::{Screen, Status, Stop};
use crate::formulas::{find, nearest};
use crate::report::{document, formula};

pub(super) fn run(
    topic: Option<&str>,
    global: Global,
    out: &mut impl Write,
    screen: Screen,
) -> Result<Status, Stop> {
    let Some(topic) = topic else {
        if global.json {
            write!(out, "{}", document::pretty(&formula::all()))?;
        } else {
            write!(out, "{}", formula::list(screen.columns()))?;
        }
        return Ok(Status::Fine);
    };
    let Some(found) = find(topic) else {
        let near = nearest(topic);
        let hint = if near.is_empty() {
            "`lungful explain` lists all topics".to_owned()
        } else {
            format!("did you mean {}? `lungful explain` lists all topics", near.join(" or "))
        };
        return Err(Stop::Request { message: format!("there is no topic `{topic}`"), hint });
    };
    if global.json {
        write!(out, "{}", document::pretty(&formula::entry(found)))?;
    } else {
        write!(out, "{}", formula::text(found, screen.columns()))?;
    }
    Ok(Status::Fine)
}
