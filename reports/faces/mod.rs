//! Faces: how a document looks somewhere. Each is a pure function of the document.

pub mod csv;
pub mod form;
pub mod html;
pub mod svg;
pub mod terminal;
mod xml;
