"""Where weather comes from: one file for each source, and what they share."""
