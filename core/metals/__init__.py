"""Sheet metals: the figures known of each, where they are from, and what to watch for.

Young's modulus cancels for a bar of one metal; Poisson's ratio enters the twisting of a Z and of a
channel worked on one flange. How the metal answers the tool is never taken from here: it is learned.
"""

from core.metals.metal import FAMILIES, Figure, Metal
from core.metals.table import METALS, metal_from, metals_with_own

__all__ = ["FAMILIES", "METALS", "Figure", "Metal", "metal_from", "metals_with_own"]
