"""Target lines, cross-sections and exact bar geometry."""
