"""From gaps to remaining work and response."""
