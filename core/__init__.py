"""Parts, gaps and the next pass."""
