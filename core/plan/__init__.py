"""From remaining work to passes."""
