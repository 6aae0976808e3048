"""TOML and CSV to words; every fault is gathered before any is spoken."""

from windowcast.settings.load import Settings, load_settings
from windowcast.settings.outfit import FetchLimits, Outfit
from windowcast.settings.schema import settings_schemas
from windowcast.settings.secrets import api_key_of
from windowcast.settings.sources import SourceSetting

__all__ = [
    "FetchLimits",
    "Outfit",
    "Settings",
    "SourceSetting",
    "api_key_of",
    "load_settings",
    "settings_schemas",
]
