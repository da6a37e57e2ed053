//! The job folder: one file that keeps everything, and the recordings and photos beside it.
