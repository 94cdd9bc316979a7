//! Tables: solved, written, read, saved; checked against outside references named beside each check.

mod accuracy;
mod adjustment;
mod bad_readings;
mod contours;
mod files;
mod homography;
mod lenses;
mod misreadings;
mod photo;
mod plane_data;
mod proof;
mod saving;
mod stack;
pub mod synthetic;
