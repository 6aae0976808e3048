"""TOML and CSV to words; every fault is gathered before any is spoken."""

from windowcast.settings.load import Settings, load_settings
from windowcast.settings.mail import MailSetting
from windowcast.settings.outfit import FetchLimits, Outfit
from windowcast.settings.posts import PostSetting
from windowcast.settings.schema import settings_schemas
from windowcast.settings.secrets import api_key_of, password_of, token_of
from windowcast.settings.sources import SourceSetting

__all__ = [
    "FetchLimits",
    "MailSetting",
    "Outfit",
    "PostSetting",
    "Settings",
    "SourceSetting",
    "api_key_of",
    "load_settings",
    "password_of",
    "settings_schemas",
    "token_of",
]
