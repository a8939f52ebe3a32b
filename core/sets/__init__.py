"""Parts alike, made one after another: how the response goes from part to part, and what the next starts
from."""
