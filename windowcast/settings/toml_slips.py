"""Common slips in a line of TOML: what is wrong, the cure, and the line as it was meant.

The mended line lets the reader go on and find the faults that stand further down.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace

from windowcast.settings.spelling import printable, toml_text

_CURLY = str.maketrans({c: '"' for c in "“”„‟«»"} | {c: "'" for c in "‘’‚‛"})
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+(\.[A-Za-z0-9_-]+)*")

TWICE = "stands twice"
MOST_CHARS = 2000  # of a line that a person may have typed
_SECRET = re.compile(
    r"(?:^|[_-])(?:api)?(?:key|secret|token|pass|password|passwd|passphrase|pwd)(?:[_-]|$)"
).search
_KEYS = re.compile(r"""[A-Za-z0-9_-]+(?=["']?\s*[=:])|^\s*[A-Za-z0-9_-]+""").findall
_VARIABLE = re.compile(r"""\w+\s*[=:]\s*["'“”‘’]*[A-Z_][A-Z0-9_]*["'“”‘’]*\s*(#.*)?$""").match
_LOGIN = re.compile(r"://[^\s/]*:[^\s/]*@").search  # a password in an address

_LISTS = ("crews", "sources", "posts")  # headings of which there may be several


@dataclass(frozen=True, slots=True, kw_only=True)
class LineSlip:
    """``mended`` is the line as it was most likely meant, None where nobody can tell."""

    found: str
    cure: str
    mended: str | None = None
    key: str = ""


def is_secret(key: str) -> bool:
    """Whether a key seems to hold a secret itself, which no message may repeat."""
    return _SECRET(key.casefold()) is not None and not key.endswith(("_env", "_file"))


def is_hidden(key: str) -> bool:
    """Whether no message repeats what stands under a key: a secret, or an address with one."""
    return is_secret(key) or key.casefold() in ("url", "book")


def _hides(line: str) -> bool:
    """Whether a line tells something that no message repeats, wherever in it.

    What stands in the place of a variable's name and does not look like one may be the secret.
    """
    keys = [key.strip() for key in _KEYS(line)]
    misplaced = any(key.endswith("_env") for key in keys) and not _VARIABLE(line)
    return misplaced or any(map(is_hidden, keys)) or _LOGIN(line) is not None


def slip_in(line: str, told: str) -> LineSlip:
    """What is wrong with a line at which the TOML reader stopped saying ``told``."""
    if line.lstrip().startswith("[") and "=" not in line:
        return _header_slip(line, told)
    key, equals, _ = line.partition("=")
    named = equals and _BARE_KEY.fullmatch(key.strip())
    slip = _statement_slip(line, told)
    if _hides(line) and slip.found != TWICE:
        hidden = f'{key.strip()} = "hidden"' if named else None
        cure = "write one word, the = sign, and what it says in straight double quotes"
        slip = LineSlip(found="cannot be read as TOML", cure=cure, mended=slip.mended or hidden)
    return replace(slip, key=printable(key.strip()) if named else "")


def _statement_slip(line: str, told: str) -> LineSlip:
    if told.startswith("Cannot overwrite a value"):
        return LineSlip(found=TWICE, cure="keep one of the two", mended="")
    straight = line.translate(_CURLY)
    if straight != line:
        cure = f"type straight ones: {printable(straight.strip())}"
        return LineSlip(found="has curly quotes", cure=cure, mended=straight)
    key, equals, rest = line.partition("=")
    if equals:
        return _value_slip(key, rest, told)
    return _keyless_slip(line, told)


def _header_slip(line: str, told: str) -> LineSlip:
    word = line.partition("#")[0].strip().strip("[]").strip()
    double = "[[" in line or "]]" in line
    right = f"[[{word}]]" if double else f"[{word}]"
    if told.startswith(("Cannot declare", "Cannot overwrite")):
        cure = f"write [[{word}]] for each" if word in _LISTS else "move its keys below the first"
        return LineSlip(found=f"the heading [{printable(word)}] stands twice", cure=cure)
    if not _BARE_KEY.fullmatch(word):
        return LineSlip(found="is not a heading", cure="write a heading such as [[crews]]")
    found = f'"{printable(line.strip())}" is not a heading'
    return LineSlip(found=found, cure=f"write {printable(right)}", mended=right)


def _keyless_slip(line: str, told: str) -> LineSlip:
    key, colon, rest = line.partition(":")
    if colon and _BARE_KEY.fullmatch(key.strip()):
        mended = f"{key.strip()} ={rest if rest.startswith(' ') else f' {rest}'}"
        return LineSlip(
            found="has a colon after the key", cure=f"write {printable(mended)}", mended=mended
        )
    bare = _bare_words(line)
    if bare is not None and line.rstrip().endswith((",", "]")):
        return LineSlip(
            found="lacks quotes round text", cure=f"write {printable(bare.strip())}", mended=bare
        )
    return LineSlip(
        found=f'"{printable(line.strip())}" cannot be read as TOML ({_plain(told)})',
        cure="write key = value, text in double quotes, and begin remarks with #",
    )


def _value_slip(key: str, rest: str, told: str) -> LineSlip:
    name = key.strip()
    if not _BARE_KEY.fullmatch(name):
        return LineSlip(
            found=f'"{printable(name)}" is not a key',
            cure="write one word without spaces before the = sign, such as name",
        )
    value = rest.strip()
    for kind in (_no_value, _backslash, _foreign_remark, _bare_value):
        slip = kind(name, value)
        if slip is not None:
            return slip
    return LineSlip(
        found=f"{printable(value)} cannot be read as a value ({_plain(told)})",
        cure=f'write {name} = "..." for text, or a bare number, or true or false',
    )


def _no_value(name: str, value: str) -> LineSlip | None:
    if value and not value.startswith("#"):
        return None
    cure = f'write one, such as {name} = "...", or delete the line'
    return LineSlip(found="has no value", cure=cure, mended="")


def _backslash(name: str, value: str) -> LineSlip | None:
    if not re.fullmatch(r'"[^"]*\\[^"]*"(\s*#.*)?', value):
        return None
    right = value.replace("\\\\", "\\").replace("\\", "/")
    return LineSlip(
        found="has a backslash, which TOML reads as the start of a code",
        cure=f"write {name} = {printable(right)}",
        mended=f"{name} = {right}",
    )


def _foreign_remark(name: str, value: str) -> LineSlip | None:
    match = re.fullmatch(r'("[^"]*"|[0-9.]+|true|false)\s*(//|;|--).*', value)
    if match is None:
        return None
    return LineSlip(
        found=f"has a remark that begins with {match.group(2)}",
        cure=f"begin it with #, or end the line after {printable(match.group(1))}",
        mended=f"{name} = {match.group(1)}",
    )


def _bare_value(name: str, value: str) -> LineSlip | None:
    """A value without quotes, or with only one of the two."""
    bare, _, _ = value.partition(" #")
    bare = bare.strip()
    if bare.startswith("[") and bare.endswith("]"):
        right = _bare_words(bare)
        found = "lacks quotes round text"
    else:
        found, right = _scalar(bare)
    if right is None:
        return None
    return LineSlip(
        found=found, cure=f"write {name} = {printable(right)}", mended=f"{name} = {right}"
    )


def _scalar(bare: str) -> tuple[str, str | None]:
    """What is wrong with one bare value, and how it is written, None where nobody can tell."""
    quotes = bare.count('"') + bare.count("'")
    if quotes == 1 and (bare[0] in "\"'" or bare[-1] in "\"'"):
        return "a quote is not closed", toml_text(bare.strip("\"'"))
    if quotes or bare[0] in "[{":
        return "", None
    for pattern, wrong, right in _BARE:
        if re.fullmatch(pattern, bare, re.IGNORECASE):
            return f"{bare} {wrong}", right(bare)
    return f"{printable(bare)} lacks quotes", toml_text(bare)


# Bare values that TOML does not know: pattern, what is wrong, how it is written.
_BARE: tuple[tuple[str, str, Callable[[str], str]], ...] = (
    ("true|yes|on", "is not a value", lambda _: "true"),
    ("false|no|off", "is not a value", lambda _: "false"),
    (r"[+-]?[0-9]+,[0-9]+", "has a decimal comma", lambda bare: bare.replace(",", ".")),
    (r"[0-9]{1,2}:[0-9]{2}", "lacks quotes", lambda bare: f'"{bare:0>5}"'),
    (r"-?0[0-9]+", "has a leading zero", lambda bare: str(int(bare))),
)


def _bare_words(text: str) -> str | None:
    """A list or part of one with its bare words in quotes, None where it has quotes already."""
    if '"' in text or "'" in text or not re.fullmatch(r"[\s\[\],\w:/.-]*", text):
        return None
    quoted = re.sub(r"[^\s\[\],][^\[\],]*", lambda m: toml_text(m.group().strip()), text)
    return quoted if quoted != text else None


def _plain(told: str) -> str:
    return printable(told[:1].lower() + told[1:])
