//! The debrief room over HTTP.
