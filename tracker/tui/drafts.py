"""Files of the screens: drafts of forms, and the log of a crash."""

from __future__ import annotations

import datetime as dt
import json
import os
from collections.abc import Mapping
from hashlib import sha256
from pathlib import Path
from traceback import extract_tb

from tracker.model.text import name_key
from tracker.output.whole_files import private_folder

Draft = dict[str, str]


def draft_name(form: str, swimmer: str = "") -> str:
    """Return the name of a draft: of the form, and of the swimmer without naming them."""
    return f"{form}-{sha256(name_key(swimmer).encode()).hexdigest()[:16]}" if swimmer else form


def save_copied_text(folder: Path, text: str) -> Path:
    """Write what was copied where any program can read it; return the file."""
    private_folder(folder)
    path = folder / "copied.txt"
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    with os.fdopen(handle, "w", encoding="utf-8") as file:
        file.write(text + "\n")
    return path


class Drafts:
    """One small file a form in `folder`; readable by its owner only."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def keep(self, form: str, fields: Mapping[str, str]) -> None:
        """Write the fields of a form; the old draft stays until the new one is complete."""
        private_folder(self._folder)
        path = self._path(form)
        part = path.with_suffix(".part")
        handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            json.dump(dict(fields), file, ensure_ascii=True)
        part.replace(path)

    def load(self, form: str) -> Draft | None:
        """Return a saved draft, or None where there is none or it cannot be read."""
        try:
            found = json.loads(self._path(form).read_text(encoding="utf-8"))
        except (OSError, ValueError):
            return None
        if not isinstance(found, dict):
            return None
        return {str(key): value for key, value in found.items() if isinstance(value, str)}

    def drop(self, form: str) -> None:
        """Forget a draft."""
        self._path(form).unlink(missing_ok=True)

    def _path(self, form: str) -> Path:
        return self._folder / f"{form}.json"


def write_log(folder: Path, error: BaseException, at: dt.datetime) -> Path:
    """Append where an error came from to the log, without any of its values; return the log's path."""
    private_folder(folder)
    path = folder / "screens.log"
    lines = [f"{at.isoformat(timespec='seconds')} {type(error).__name__}"]
    frames = extract_tb(error.__traceback__)
    lines += [f"  {Path(frame.filename).name}:{frame.lineno} {frame.name}" for frame in frames]
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)
    with os.fdopen(handle, "a", encoding="utf-8") as log:
        log.write("\n".join(lines) + "\n")
    return path
