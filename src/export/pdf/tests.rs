//! The whole file, looked into by others.
