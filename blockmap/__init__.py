"""Maps of fuse panels and connectors: draw, tag, check and print them."""

__all__ = ["__version__"]

__version__ = "0.1.0"
