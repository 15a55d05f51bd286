"""undial: rewrites dial-oven recipes for a heat-storage range."""

__version__ = "0.1.0"
