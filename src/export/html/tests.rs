//! The page's structure.
