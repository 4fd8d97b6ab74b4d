//! `size`: gauge of every wire and rating of every fuse, least copper.

use super::figures::{above_zero, listed, size as one_size};
use super::save::save_all;
use super::{Answer, CircuitArgs, Failure, Loaded, Reply};
use crate::circuit::Circuit;
use crate::present::json::Object;
use crate::present::json::solution::with_columns;
use crate::quantities::{Amps, WireSize};
use crate::sizing::{
    ShoppingList, SizedFuse, SizedWire, Sizing, Stock, cutting_list, document, rewritten, runs,
    size,
};
use crate::tables::fuses::FuseStyle;
use std::ffi::OsStr;
use std::path::{Path, PathBuf};

const EXAMPLES: &str = "\
Examples:
  ampkeel size boat.toml
  ampkeel size boat.toml -o sized.toml
  ampkeel size boat.toml --stock \"16, 14 and 10 AWG\" --fuses \"5 and 10 A, strip 30 A\"
  ampkeel size boat.toml --never-thinner --list

Wires, fuses, breakers and slots with `keep = true` stay as they are.
Exit status: 0 everything is met, 1 a rule is broken or rules collide, 2 could not run.";

/// Size a whole circuit: gauge of every wire, rating of every fuse, least copper
#[derive(Debug, clap::Args)]
#[command(after_help = EXAMPLES)]
#[allow(
    clippy::struct_excessive_bools,
    reason = "flags of a command line are no state"
)]
pub(super) struct Args {
    #[command(flatten)]
    circuit: CircuitArgs,
    /// Wire sizes at hand, as "16, 14 and 10 AWG"; all listed sizes where left out
    #[arg(
        long,
        visible_alias = "allow",
        value_name = "SIZES",
        value_parser = |text: &str| listed(text, one_size)
    )]
    stock: Vec<Vec<WireSize>>,
    /// Fuse ratings at hand, as "5, 10 and 15 A", with the style before one where it matters
    #[arg(
        long,
        value_name = "RATINGS",
        value_parser = |text: &str| listed(text, rating)
    )]
    fuses: Vec<Vec<StockedFuse>>,
    /// Mend what is there: wires that are good enough stay, least new wire
    #[arg(long, alias = "mend")]
    never_thinner: bool,
    /// Thicken wires until no overload outlasts them either (a caution of `protect`)
    #[arg(long)]
    overloads: bool,
    /// Show the cutting list: every wire, run by run, with size and length
    #[arg(long)]
    list: bool,
    /// Write the circuit file with its new sizes here, comments and order kept;
    /// a wire list goes beside it under the same name
    #[arg(short, long = "output", value_name = "NEW")]
    output: Option<PathBuf>,
    /// Replace the file if it is already there
    #[arg(long, requires = "output")]
    force: bool,
}

type StockedFuse = (Option<FuseStyle>, Amps);

/// `10 A` or `strip 30 A`.
fn rating(text: &str) -> Result<StockedFuse, String> {
    let text = text.trim();
    let (word, rest) = text.split_once(' ').unwrap_or((text, ""));
    match FuseStyle::from_word(word) {
        Some(style) => Ok((Some(style), above_zero(rest)?)),
        None => Ok((None, above_zero(text)?)),
    }
}

impl Args {
    pub(super) fn run(&self) -> Result<Reply, Failure> {
        let loaded = self.circuit.load()?;
        let stock = Stock {
            sizes: (!self.stock.is_empty()).then(|| self.stock.concat()),
            ratings: (!self.fuses.is_empty()).then(|| self.fuses.concat()),
            never_thinner: self.never_thinner,
            overloads: self.overloads,
        };
        let sizing =
            size(&loaded.circuit, &stock).map_err(|why| Failure::Unsolved(why.to_string()))?;
        let mut document = document(&loaded.circuit, &sizing);
        if let Some(line) = &loaded.about {
            document.about(line);
        }
        if self.list {
            document.table(cutting_list(&loaded.circuit, &sizing));
        }
        if let Some((path, list)) = self.write(&loaded, &sizing)? {
            let list = list.map_or_else(String::new, |list| {
                format!(", its wire list in `{}`", list.display())
            });
            let unread = match sizing.unread_wires().count() {
                0 => "",
                _ => {
                    " Wires nobody read stand in it with the size they need: write what you read in their place."
                }
            };
            document.paragraph(format!(
                "The circuit with these sizes is in `{}`{list}; `ampkeel solve` shows what it does.{unread}",
                path.display()
            ));
        }
        let body = body(&loaded.circuit, &sizing);
        let mut findings = loaded.findings;
        findings.extend(sizing.collisions);
        findings.extend(sizing.solution.findings);
        findings.extend(sizing.protection);
        let answer = Answer {
            command: "size",
            document,
            body,
            text: Some(loaded.text),
            findings,
            assumed: sizing.solution.assumed,
            ..Answer::default()
        };
        Ok(answer.into())
    }

    /// Writes the sized file where one was asked for, with its wire list if it has one.
    fn write(
        &self,
        loaded: &Loaded,
        sizing: &Sizing,
    ) -> Result<Option<(&Path, Option<PathBuf>)>, Failure> {
        let Some(path) = &self.output else {
            return Ok(None);
        };
        if path.as_os_str() == "-" {
            let why = "`-o -` would mix the file with the answer; name a file";
            return Err(Failure::Refused(why.into()));
        }
        let list = loaded.text.list.as_ref();
        let list = list.map(|_| list_beside(path)).transpose()?;
        let name = list.as_deref().and_then(Path::file_name);
        let name = name.and_then(OsStr::to_str);
        let new = rewritten(&loaded.text, &loaded.circuit, sizing, name)
            .map_err(|why| Failure::Refused(why.to_string()))?;
        let mut files = vec![(path.as_path(), new.text.as_str())];
        if let (Some(list), Some((_, text))) = (&list, &new.list) {
            // Before the file that asks for it.
            files.insert(0, (list, text));
        }
        save_all(&files, self.force)?;
        Ok(Some((path, list)))
    }
}

/// Where the wire list of a new file goes: beside it, under its name.
fn list_beside(path: &Path) -> Result<PathBuf, Failure> {
    let stem = path.file_stem().and_then(|stem| stem.to_str());
    let plain = |stem: &&str| !stem.contains(['\\', ':']) && !stem.chars().any(char::is_control);
    let stem = stem.filter(plain).ok_or_else(|| {
        let why = format!("`{}` is no name for a circuit file", path.display());
        Failure::Refused(why)
    })?;
    let list = path.with_file_name(format!("{stem}.csv"));
    Ok(if list == *path {
        path.with_file_name(format!("{stem}-wires.csv"))
    } else {
        list
    })
}

fn body(circuit: &Circuit, sizing: &Sizing) -> Object {
    let fuses = sizing.fuses.iter();
    let runs = runs(circuit);
    let wires = sizing.wires.iter();
    Object::new()
        .objects(
            "wires",
            wires.map(|sized| {
                let length = sizing.circuit.wires[sized.wire].length.value;
                wire(circuit, sized)
                    .number("length_m", length.typical.si())
                    .count("run", runs[sized.wire])
            }),
        )
        .object(
            "fuses",
            fuses.fold(Object::new(), |object, sized| {
                object.object(&sized.name, fuse(sized))
            }),
        )
        .number("copper_kg", sizing.copper_kg)
        .number("was_kg", sizing.was_kg)
        .number("new_kg", sizing.new_kg)
        .text(
            "bounds",
            if sizing.bounds_new {
                "new_kg"
            } else {
                "copper_kg"
            },
        )
        .number("bound_kg", sizing.bound_kg)
        .number("bound_same_currents_kg", sizing.bound_same_currents_kg)
        .flag("at_rest", sizing.at_rest)
        .object("shopping", shopping(&sizing.shopping))
}

fn wire(circuit: &Circuit, sized: &SizedWire) -> Object {
    let given = &circuit.wires[sized.wire];
    let name = given.name.as_ref().map(|name| name.value.as_str());
    let was = sized.was.to_string();
    let object = Object::new()
        .text_or_null("name", name)
        .text("from", &circuit.terminal(given.from).label)
        .text("to", &circuit.terminal(given.to).label)
        .text("size", &sized.size.to_string())
        .text_or_null("was", (!sized.is_unread).then_some(was.as_str()))
        .text("binding", sized.binding.word())
        .text("because", &sized.because)
        .number("copper_kg", sized.kg)
        .text_or_null("colour", given.colour.as_ref().map(|c| c.value.as_str()));
    with_columns(object, &given.columns)
}

fn fuse(sized: &SizedFuse) -> Object {
    Object::new()
        .number("rating_a", sized.rating_a)
        .number("was_a", sized.was_a)
        .text("binding", sized.binding.word())
        .text("because", &sized.because)
        .object(
            "checks",
            sized
                .checks
                .iter()
                .fold(Object::new(), |object, (kind, verdict)| {
                    object.text(kind.word(), verdict.word())
                }),
        )
}

fn shopping(list: &ShoppingList) -> Object {
    let wires = list.wires.iter().map(|row| {
        Object::new()
            .text("size", &row.size)
            .text_or_null("colour", row.colour.as_deref())
            .number("changed_m", row.changed_m)
            .number("all_m", row.all_m)
    });
    let fuses = list.fuses.iter().map(|row| {
        Object::new()
            .text("style", row.style.map_or("breaker", FuseStyle::word))
            .number("rating_a", row.rating_a)
            .count("changed", row.changed)
            .count("all", row.all)
    });
    let terminals = list.terminals.iter().map(|row| {
        Object::new()
            .text("size", &row.size)
            .text("kind", row.kind.name())
            .count("changed", row.changed)
            .count("all", row.all)
    });
    Object::new()
        .objects("wires", wires)
        .objects("fuses", fuses)
        .objects("terminals", terminals)
}
