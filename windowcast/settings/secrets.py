"""Secrets whose place ``outfit.toml`` names, read from there when somebody needs them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from windowcast.problems import ConfigProblem, Fault
from windowcast.settings.mail import MailSetting
from windowcast.settings.posts import PostSetting
from windowcast.settings.sources import SourceSetting
from windowcast.settings.text_files import read_text

_CAP_BYTES = 4096


@dataclass(frozen=True, slots=True, kw_only=True)
class _Kept:
    """A secret by what it is called, its key in the file without its ending, and its places."""

    called: str
    field: str
    variable: str | None
    file: Path | None


def api_key_of(source: SourceSetting, environment: Mapping[str, str]) -> str | None:
    """The customer key of a source, None where it names none; ConfigProblem if it is not there."""
    field = f"{source.name}.api_key"
    key = _Kept(called="key", field=field, variable=source.api_key_env, file=source.api_key_file)
    return _word(key, environment)


def token_of(post: PostSetting, environment: Mapping[str, str]) -> str | None:
    """The token of a post, None where it names none; ConfigProblem if it is not there."""
    field = f"posts.{post.name}.token"
    token = _Kept(called="token", field=field, variable=post.token_env, file=post.token_file)
    return _word(token, environment)


def password_of(mail: MailSetting, environment: Mapping[str, str]) -> str | None:
    """The password of the mail's user, None where it names none; ConfigProblem if not there.

    It may hold spaces and letters of any alphabet, but is one line.
    """
    password = _Kept(
        called="password",
        field="mail.password",
        variable=mail.password_env,
        file=mail.password_file,
    )
    line = _line(password, environment)
    if line is not None and not line.isprintable():
        raise _problem(password, "more than a password")
    return line


def _word(kept: _Kept, environment: Mapping[str, str]) -> str | None:
    """A secret that goes into a header: one word of plain letters, figures and signs."""
    word = _line(kept, environment)
    if word is not None and not (word.isascii() and word.isprintable() and " " not in word):
        raise _problem(kept, f"more than a {kept.called}")
    return word


def _line(kept: _Kept, environment: Mapping[str, str]) -> str | None:
    """What stands at the place, without the space around it; never empty."""
    if kept.variable is not None:
        line = environment.get(kept.variable, "").strip()
    elif kept.file is not None:
        line = _content(kept, kept.file).strip()
    else:
        return None
    if not line:
        raise _problem(kept, f"no {kept.called}")
    return line


def _content(kept: _Kept, file: Path) -> str:
    cure = f"write your {kept.called} into it"
    try:
        return read_text(file, cap_bytes=_CAP_BYTES, if_missing=cure)
    except ConfigProblem as problem:
        faults = (
            Fault(
                file="outfit.toml",
                field=f"{kept.field}_file",
                found=f"the file {file.name} {fault.found}",
                cure=fault.cure,
            )
            for fault in problem.faults
        )
        raise ConfigProblem(list(faults)) from problem


def _problem(kept: _Kept, found: str) -> ConfigProblem:
    if kept.variable is not None:
        place, ending = f"the environment variable {kept.variable}", "env"
    else:
        place, ending = f"the file {kept.file.name if kept.file else ''}", "file"
    cure = f"put your {kept.called} there, and nothing else"
    field = f"{kept.field}_{ending}"
    return ConfigProblem(
        [Fault(file="outfit.toml", field=field, found=f"{place} holds {found}", cure=cure)]
    )
