//! Tables: solved, written, read, saved; checked against outside references named beside each check.

mod files;
mod homography;
mod saving;
