//! `shimcast generate`: what is known of keys and commands, for editors, shells and readers.

mod beside;
mod markdown;
mod schema;
mod words;

use crate::cli::{Generate, What, completions, man};
use crate::files::FileKind;
use crate::printable::Shown;
use crate::questions::context::{Failure, new_file, print, warn};

pub(crate) use beside::{head_of, pointer_of, schemas};
pub use markdown::reference;

/// The schema of a kind of file, as its file has it.
pub fn schema(kind: FileKind) -> String {
    format!("{:#}\n", schema::schema(kind))
}

/// Makes what was asked for, and prints it or writes it to its file.
///
/// # Errors
/// Where it can't be written.
pub(crate) fn generate(args: &Generate) -> Result<(), Failure> {
    let place = args.output.as_deref().map(new_file).transpose()?;
    let text = match args.what {
        What::Schema { kind } => schema(kind.into()),
        What::Completions { shell } => completions(shell),
        What::Man => man(),
        What::Reference => reference(),
    };
    match place {
        None => print(&text),
        Some(place) => {
            let path = place.fill_with(&text).map_err(Failure::CannotAccess)?;
            warn(format!("written: {}", path.shown()));
            Ok(())
        }
    }
}
