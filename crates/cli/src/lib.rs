//! What the `proofwing` command is made of, usable from other programs of the workspace.

pub mod demo;
pub mod layout;
pub mod pipeline;
pub mod summary;
