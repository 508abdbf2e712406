//! The steps from a source to a finished axle or shop.

use super::axle::{self, ShopFacts};
use super::loops::{self, Nominals, Var};
use super::notes::{Assumption, Notes};
use super::places::Places;
use super::problem::{Kind, Place, Problem, Problems, Text};
use super::set::{self, Override, Target};
use super::supply::Supply;
use super::tree::{Entry, Node, Value};
use super::{
    BUILT_IN_AXLE, BUILT_IN_SHOP, BuiltInFile, LoadedAxle, LoadedShop, Source, checks, shop, syntax,
};
use crate::units::{Length, Units};
use shimcast_sim::axle::Axle;
use shimcast_sim::axle::tolerance::Tolerance;
use shimcast_sim::shop::Shop;

/// Number of the text that holds the built-in file, beside the file itself as 0.
const USUAL: usize = 1;

/// A tree that is ready to be read.
struct OpenFile {
    notes: Notes,
    root: Node,
}

/// The tree of a file that is part of the program.
fn tree_of(built_in: BuiltInFile) -> Node {
    syntax::parse(&built_in.as_text(), USUAL).expect("a file of the program parses")
}

/// Parses a file and puts the keys of `set` that belong to it into its tree.
fn open(
    source: &Source,
    built_in: BuiltInFile,
    set: &[Override],
    target: Target,
    recorded: bool,
    prepare: impl FnOnce(&mut Node, &Notes, &[&Override]),
) -> Result<OpenFile, Problems> {
    let text = source.text(built_in)?;
    let mut root = syntax::parse(&text, 0).map_err(Problems)?;
    is_of_kind(&text, &root, target)?;
    let set: Vec<&Override> = set.iter().filter(|o| o.target() == target).collect();
    let mut texts = vec![text, built_in.as_text()];
    texts.extend(set.iter().map(|o| o.text()));
    let first_set = texts.len() - set.len();
    let notes = Notes::new(texts, Some(tree_of(built_in))).recording(recorded);
    prepare(&mut root, &notes, &set);
    for (i, o) in set.iter().enumerate() {
        if let Err(problem) = o.apply(&mut root, first_set + i) {
            notes.problems.borrow_mut().push(problem);
        }
    }
    Ok(OpenFile { notes, root })
}

/// Refuses at once what would otherwise give one error for each key.
fn is_of_kind(text: &Text, root: &Node, target: Target) -> Result<(), Problem> {
    let Value::Table(entries) = &root.value else {
        return Ok(());
    };
    let whole = |reason: String, help: String| {
        Err(Problem::whole(
            Kind::BadInput,
            text.origin.clone(),
            reason,
            Some(help),
        ))
    };
    if root.get("assemblies").is_some() || root.get("known").is_some() {
        return whole(
            "this is a job file: one axle on the bench".to_owned(),
            "ask `shimcast next FILE` about it; it names its own axle file".to_owned(),
        );
    }
    let (this, other) = match target {
        Target::Axle => ("an axle", "a shop"),
        Target::Shop => ("a shop", "an axle"),
    };
    if entries.is_empty() {
        return whole(
            "there is nothing in the file".to_owned(),
            format!("give {this} file; one of the examples is a good start"),
        );
    }
    let belongs = |to: Target| {
        entries
            .iter()
            .filter(|e| set::target(&e.key).is_some_and(|(t, _)| t == to))
            .count()
    };
    let of_other = entries.len() > 1 && belongs(target) == 0;
    let swapped = match target {
        Target::Axle => of_other && belongs(Target::Shop) > 0,
        Target::Shop => of_other && belongs(Target::Axle) > 0,
    };
    if swapped {
        return whole(
            format!("this is {other} file, not {this} file"),
            match target {
                Target::Axle => "a shop file is named with --shop FILE",
                Target::Shop => "an axle file is named by itself; --shop names the shop file",
            }
            .to_owned(),
        );
    }
    Ok(())
}

/// A shop without series of its own can buy the built-in ones.
fn stand_in_series(root: &mut Node, usual: &Node, notes: &Notes) {
    let Value::Table(entries) = &mut root.value else {
        return;
    };
    if entries.iter().any(|e| e.key == "shims") {
        return;
    }
    let Some(mut shims) = usual.entry("shims").cloned() else {
        return;
    };
    let mut names = Vec::new();
    if let Value::List(list) = &mut shims.node.value {
        for series in list {
            names.extend(series.get("series").and_then(Node::text).map(str::to_owned));
            // their sizes stay in the unit they were written in, whatever this file's is
            if series.get("length").is_none()
                && let Some(unit) = usual.get("length").cloned()
                && let Value::Table(keys) = &mut series.value
            {
                keys.push(Entry {
                    key: "length".to_owned(),
                    place: unit.place,
                    node: unit,
                });
            }
        }
    }
    notes.assume(Assumption {
        others: Vec::new(),
        key: "shims".to_owned(),
        text: format!("shims = {} (built-in)", names.join(", ")),
        fill: vec![("shims".to_owned(), shims.node.written())],
    });
    entries.push(shims);
}

type Remarks = (Vec<Assumption>, Vec<Problem>, Places);

fn finish(notes: Notes, root: &Node) -> Result<Remarks, Problems> {
    let problems = Problems(notes.problems.take());
    if problems.0.is_empty() {
        let warnings = Problems(notes.warnings.take()).tidied().0;
        let assumptions = notes.assumptions.take();
        Ok((assumptions, warnings, Places::of(root, notes)))
    } else {
        Err(problems.tidied())
    }
}

/// What a shop file says, and what was found in it.
pub(super) struct ReadShop {
    pub shop: Shop,
    pub units: Units,
    pub supplies: Vec<Supply>,
    pub notes: Notes,
    pub root: Node,
}

pub(super) fn shop(source: &Source, set: &[Override]) -> Result<LoadedShop, Problems> {
    let ReadShop {
        shop,
        units,
        supplies,
        notes,
        root,
    } = read_shop(source, set, false)?;
    let (assumptions, warnings, places) = finish(notes, &root)?;
    Ok(LoadedShop {
        shop,
        supplies,
        source: source.clone(),
        units,
        assumptions,
        warnings,
        places,
    })
}

/// Reads a shop, with a record of what is asked for where that is wanted. What is wrong with single keys
/// is in the notes.
///
/// # Errors
/// Where the file can't be read at all.
pub(super) fn read_shop(
    source: &Source,
    set: &[Override],
    recorded: bool,
) -> Result<ReadShop, Problems> {
    let usual = tree_of(BUILT_IN_SHOP);
    let OpenFile { notes, root } = open(
        source,
        BUILT_IN_SHOP,
        set,
        Target::Shop,
        recorded,
        |root, notes, set| {
            if !set.iter().any(|o| o.replaces("shims")) {
                stand_in_series(root, &usual, notes);
            }
        },
    )?;
    let (shop, units, supplies) = shop::read(&notes, &root, Some(&usual));
    Ok(ReadShop {
        shop,
        units,
        supplies,
        notes,
        root,
    })
}

/// The default of every left-out nominal: the built-in one, scaled by the ring diameter.
fn scaled(root: &Node, usual: &Node) -> Nominals {
    let at = |node: &Node, path: &[&str]| -> Option<f64> {
        path.iter()
            .flat_map(|part| part.split('.'))
            .filter(|part| !part.is_empty())
            .try_fold(node, |n, part| n.get(part))?
            .figure()
    };
    let diameter = ["gears", "ring_diameter"];
    let unit = root.get("length").and_then(Node::text);
    let unit = unit.and_then(Length::of_word).map_or(1.0, Length::mm);
    let d = at(root, &diameter).map_or(f64::NAN, |d| d * unit);
    let size = d / at(usual, &diameter).unwrap_or(d);
    let figure = |var: Var| match var {
        // the built-in axle has a sleeve, so a spacer's length is of the usual proportions
        Var::Gap | Var::Spacer => 0.3 * d,
        _ => at(usual, &var.key()).map_or(f64::NAN, |x| x * size),
    };
    Nominals::new(figure, "built-in, scaled by the ring diameter")
}

/// What an axle file says, and what was found in it.
pub(super) struct ReadAxle {
    pub axle: Axle,
    pub units: Units,
    pub old_sides: Option<Tolerance>,
    pub notes: Notes,
    pub root: Node,
}

pub(super) fn axle(
    source: &Source,
    beside: &ShopFacts<'_>,
    set: &[Override],
) -> Result<LoadedAxle, Problems> {
    let ReadAxle {
        axle,
        units,
        old_sides,
        notes,
        root,
    } = read_axle(source, beside, set, false)?;
    let (assumptions, warnings, places) = finish(notes, &root)?;
    Ok(LoadedAxle {
        axle,
        old_sides,
        source: source.clone(),
        units,
        assumptions,
        warnings,
        places,
    })
}

/// As [`read_shop`], for an axle.
///
/// # Errors
/// Where the file can't be read at all.
pub(super) fn read_axle(
    source: &Source,
    beside: &ShopFacts<'_>,
    set: &[Override],
    recorded: bool,
) -> Result<ReadAxle, Problems> {
    let usual = tree_of(BUILT_IN_AXLE);
    let nothing = |_: &mut Node, _: &Notes, _: &[&Override]| {};
    let OpenFile { mut notes, root } =
        open(source, BUILT_IN_AXLE, set, Target::Axle, recorded, nothing)?;
    // once with scaled nominals, to see how far the loops are open; once more with those closed
    let nominals = scaled(&root, &usual);
    let axle::Read {
        mut axle,
        units,
        left_out,
        old_sides,
    } = axle::read(&notes, &root, Some(&usual), beside, &nominals);
    if notes.clean() && !left_out.is_empty() {
        let closed = loops::close(nominals, &axle, beside.side_preload_added, &left_out);
        notes = notes.afresh();
        axle = axle::read(&notes, &root, Some(&usual), beside, &closed).axle;
    }
    if notes.clean() {
        checks::seal(&notes, &root, &axle, units);
        checks::loops(&notes, &axle, units, beside.side_preload_added, &left_out);
    }
    Ok(ReadAxle {
        axle,
        units,
        old_sides,
        notes,
        root,
    })
}

/// The place of a dotted key of a tree, or of the nearest group around it that is stated.
pub(super) fn place_of(root: &Node, key: &str) -> Place {
    let mut node = root;
    for part in key.split('.') {
        match node.get(part) {
            Some(inner) => node = inner,
            None => break,
        }
    }
    node.place
}
