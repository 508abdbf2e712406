//! The same axle with the other kind of pinion preload: a solid spacer for a crush sleeve, or the
//! reverse.

use shimcast_sim::axle::PreloadBy;

use crate::files::{
    BUILT_IN_AXLE, BUILT_IN_SHOP, BuiltInFile, Loaded, Override, SECOND_AXLE, Source, load,
    load_axle_alone, load_shop,
};

/// An axle with the other kind of preload, and what had to be assumed for it.
pub struct OtherKind {
    /// The files with it.
    pub loaded: Loaded,
    /// What is said of it.
    pub assumed: String,
}

/// What a kind of preload is called.
pub fn word(by: &PreloadBy) -> &'static str {
    match by {
        PreloadBy::Sleeve { .. } => "sleeve",
        PreloadBy::Spacer { .. } => "spacer",
    }
}

/// What it is called in full.
pub fn in_full(by: &PreloadBy) -> &'static str {
    match by {
        PreloadBy::Sleeve { .. } => "crush sleeve",
        PreloadBy::Spacer { .. } => "solid spacer",
    }
}

/// Reads the files once more with the other kind of preload. What they leave out for it is that of the
/// built-in axle of that kind.
///
/// # Errors
/// In words, where there is no such axle.
pub fn other_kind(
    sources: &[Source; 2],
    set: &[Override],
    loaded: &Loaded,
) -> Result<OtherKind, String> {
    match loaded.axle.pinion_preload.by {
        PreloadBy::Sleeve { .. } => with_spacer(sources, set, loaded),
        PreloadBy::Spacer { .. } => with_sleeve(sources, set, loaded),
    }
}

fn with_sleeve(
    sources: &[Source; 2],
    set: &[Override],
    loaded: &Loaded,
) -> Result<OtherKind, String> {
    let with = read(sources, set, &["pinion_preload.by=\"sleeve\"".into()])?;
    let assumed = said(&with, loaded, BUILT_IN_AXLE, Vec::new());
    Ok(OtherKind {
        loaded: with.taken(loaded.anyway),
        assumed,
    })
}

fn with_spacer(
    sources: &[Source; 2],
    set: &[Override],
    loaded: &Loaded,
) -> Result<OtherKind, String> {
    let words = |problems: crate::files::Problems| problems.to_string();
    let example = load_axle_alone(&Source::Example(SECOND_AXLE), &[]).map_err(words)?;
    let PreloadBy::Spacer {
        stock: wanted,
        usual,
        ..
    } = &example.axle.pinion_preload.by
    else {
        return Err("the built-in axle has no spacer".into());
    };
    let in_unit = usual / loaded.axle_units.length.mm();
    // read with a series that the shop has, which is then the example's own
    let stand_in = &loaded.axle.pinion_shim.stock;
    let mut with = read(
        sources,
        set,
        &[
            "pinion_preload.by=\"spacer\"".into(),
            format!("pinion_preload.stock={stand_in:?}"),
            format!("pinion_preload.usual={in_unit}"),
        ],
    )?;
    if let PreloadBy::Spacer { stock, .. } = &mut with.axle.pinion_preload.by {
        stock.clone_from(wanted);
    }
    let print = loaded.printed();
    let mut given = vec![
        format!("pinion_preload.stock = {wanted}"),
        format!("pinion_preload.usual = {}", print.given(*usual)),
    ];
    if with.shop.series(wanted).is_none() {
        let built_in = load_shop(&Source::BuiltIn, &[]).map_err(words)?;
        let Some(series) = built_in.shop.series(wanted) else {
            return Err(format!("the built-in shop has no series {wanted}"));
        };
        with.shop.shims.push(series.clone());
        given.push(format!("series {wanted} of {}", BUILT_IN_SHOP.name));
    }
    let assumed = said(&with, loaded, SECOND_AXLE, given);
    Ok(OtherKind {
        loaded: with.taken(loaded.anyway),
        assumed,
    })
}

fn read(sources: &[Source; 2], set: &[Override], more: &[String]) -> Result<Loaded, String> {
    let more = more.iter().map(|typed| typed.parse::<Override>());
    let more = more.collect::<Result<Vec<Override>, _>>();
    let set = [set, &more.map_err(|e| e.to_string())?].concat();
    let [axle, shop] = sources;
    load(axle, shop, &set).map_err(|problems| problems.to_string())
}

/// What the other kind takes that the files do not say.
fn said(with: &Loaded, own: &Loaded, example: BuiltInFile, mut given: Vec<String>) -> String {
    let known = |key: &str| own.assumptions.iter().any(|a| a.key == key);
    let new = with.assumptions.iter().filter(|a| !known(&a.key));
    given.extend(new.map(|a| a.text.clone()));
    let (own, other) = (&own.axle.pinion_preload.by, &with.axle.pinion_preload.by);
    format!(
        "This axle has a {}; the rows with a {} are the same axle with the other kind of preload. What \
         the file does not say of that kind is assumed, as in a short file and in {}: {}.",
        in_full(own),
        in_full(other),
        example.name,
        given.join("; ")
    )
}
