"""Where each key of a TOML text stands: no reader of the format says, and a message without a line helps nobody.

The text has been read by the standard reader already, so it is known to be sound; only places are looked for here.
"""

from __future__ import annotations

import re

Path = tuple[str | int, ...]

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_SPACE = re.compile(r"[ \t]*")
_LITERAL = re.compile(r"'''.*?'''(?:'{0,2}(?!'))|'[^'\n]*'", re.DOTALL)
_BASIC = re.compile(r'"""(?:\\.|[^\\])*?"""(?:"{0,2}(?!"))|"(?:\\.|[^"\\\n])*"', re.DOTALL)
_PLAIN = re.compile(r"[^,\]}#\n]+")
_ESCAPE = re.compile(r"\\(u[0-9A-Fa-f]{4}|U[0-9A-Fa-f]{8}|.)", re.DOTALL)
_ESCAPED = {"b": "\b", "t": "\t", "n": "\n", "f": "\f", "r": "\r"}


def places(text: str) -> dict[Path, int]:
    """Return the line, counted from 1, of every table, key and element of an array, by its path.

    Parameters
    ----------
    text
        Sound TOML.
    """
    return _Scanner(text).scan()


def line_of(found: dict[Path, int], path: Path) -> int:
    """Return the line of a path, or of the nearest thing that holds it; 1 for the file as a whole."""
    for length in range(len(path), 0, -1):
        if path[:length] in found:
            return found[path[:length]]
    return 1


class _Scanner:
    """Walks a text once, from the first sign to the last."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.found: dict[Path, int] = {}
        self.entries: dict[Path, int] = {}  # arrays of tables to the index of their last entry
        self.counted, self.line = 0, 1

    def scan(self) -> dict[Path, int]:
        here: Path = ()
        while self._skip(_BLANK) < len(self.text):
            here = self._header() if self.text[self.at] == "[" else self._pair(here)
        return self.found

    def _skip(self, pattern: re.Pattern[str]) -> int:
        found = pattern.match(self.text, self.at)
        if found is not None:
            self.at = found.end()
        return self.at

    def _note(self, path: Path) -> None:
        """Note the line of a path; the scan only moves forward, so lines are counted on."""
        self.line += self.text.count("\n", self.counted, self.at)
        self.counted = self.at
        for length in range(1, len(path) + 1):
            self.found.setdefault(path[:length], self.line)

    def _header(self) -> Path:
        start = self.at
        array = self.text.startswith("[[", self.at)
        self.at += 2 if array else 1
        *way, last = self._keys()
        path: Path = ()
        for part in way:
            path = self._inside((*path, part))
        path = (*path, last)
        if array:
            self.entries[path] = self.entries.get(path, -1) + 1
        path = self._inside(path)
        self._skip(_SPACE)
        self.at += 2 if array else 1
        after, self.at = self.at, start
        self._note(path)
        self.at = after
        return path

    def _inside(self, path: Path) -> Path:
        """Return the path of the last entry where it is an array of tables."""
        return (*path, self.entries[path]) if path in self.entries else path

    def _keys(self) -> list[str]:
        """Read a key and its dots."""
        keys = []
        while True:
            self._skip(_SPACE)
            keys.append(self._key())
            self._skip(_SPACE)
            if not self.text.startswith(".", self.at):
                return keys
            self.at += 1

    def _key(self) -> str:
        start = self.at
        if self.text[start] == "'":
            return self.text[start + 1 : self._skip(_LITERAL) - 1]
        if self.text[start] == '"':
            return _ESCAPE.sub(_unescaped, self.text[start + 1 : self._skip(_BASIC) - 1])
        return self.text[start : self._skip(_BARE)]

    def _pair(self, here: Path) -> Path:
        """Read a key, its sign and its value; return the table it stands in."""
        self._skip(_SPACE)
        start = self.at
        path = (*here, *self._keys())
        after, self.at = self.at, start
        self._note(path)
        self.at = after + 1  # past the equals sign
        self._value(path)
        return here

    def _value(self, path: Path) -> None:
        self._skip(_SPACE)
        sign = self.text[self.at : self.at + 1]
        if sign == "[":
            self._list(path)
        elif sign == "{":
            self._inline(path)
        else:
            self._skip({"'": _LITERAL, '"': _BASIC}.get(sign, _PLAIN))

    def _list(self, path: Path) -> None:
        self.at += 1
        index = 0
        while self._more("]"):
            self._note((*path, index))
            self._value((*path, index))
            index += 1

    def _inline(self, path: Path) -> None:
        self.at += 1
        while self._more("}"):
            self._pair(path)

    def _more(self, end: str) -> bool:
        """Go to the next element; past the end when there is none."""
        self._skip(_BLANK)
        if self.text.startswith(",", self.at):
            self.at += 1
            self._skip(_BLANK)
        if self.text.startswith(end, self.at) or self.at >= len(self.text):
            self.at += 1
            return False
        return True


def _unescaped(found: re.Match[str]) -> str:
    sign = found[1]
    return chr(int(sign[1:], 16)) if sign[0] in "uU" and len(sign) > 1 else _ESCAPED.get(sign, sign)
