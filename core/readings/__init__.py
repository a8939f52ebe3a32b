"""How gaps are read: gauges with their errors, templates with their signs."""
