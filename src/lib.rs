//! How thick a warped board comes out when it is milled flat, before the first cut.
//!
//! Modules stand in the order in which a board travels; a module uses those above it, never those below.

pub mod length;
pub mod readings;

pub mod board;

pub mod surface;

pub mod warp;

pub mod flatten;

pub mod shop;

pub mod cutting;

pub mod milling;

pub mod book;

pub mod report;

#[cfg(feature = "view")]
pub mod view;

pub mod cli;
