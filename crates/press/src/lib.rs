//! From a debrief to SVG, self-contained HTML and PDF.
