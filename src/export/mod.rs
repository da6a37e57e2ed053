//! The list as documents: one file per format, bytes out; writing to disk is elsewhere.
