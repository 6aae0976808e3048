"""windowcast: which winter days and hours suit vaporising oxalic acid, yard by yard."""

__version__ = "0.1.0"
