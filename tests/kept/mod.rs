//! Lays that are kept in a file: is one cut as it was found, and none that doesn't fit?

mod command;
mod file;
