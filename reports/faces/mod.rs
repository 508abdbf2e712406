//! Faces: how a document looks somewhere. Each is a pure function of the document.

pub mod csv;
pub mod html;
pub mod terminal;
