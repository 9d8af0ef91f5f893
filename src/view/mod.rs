//! A board in three dimensions: a scene as plain data, pictures without a window, solids for other programs, and the
//! window. It shows what other modules found and computes nothing of its own. The only user of kiss3d and its egui.

mod framed;
mod guard;
mod overlay;
mod picture;
pub mod scene;
mod solids;
mod stage;
mod window;

pub use guard::NoDrawing;
pub use picture::{Picture, picture};
pub use solids::{Solid, gltf, solids, stl};
pub use window::{
    Asked, Cell, Changes, Hands, Opening, Proposal, Reckon, Shown, Work, Write, changed, window,
};
