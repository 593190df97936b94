"""The settings of an installation, from one table; read at the edge, handed down as values."""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit

SECRET_BYTES = 32
LONGEST_ADDRESS = 160
SECRET_FILE, SIGNING_KEY_FILE = "secret", "signing-key"


class ConfigError(ValueError):
    """A setting that cannot be used: its name, what was read, what to do."""

    def __init__(self, name: str, wrong: str, mend: str) -> None:
        super().__init__(f"{name}: {wrong} {mend}")
        self.name, self.wrong, self.mend = name, wrong, mend


@dataclass(frozen=True)
class Setting:
    """One row of the table: the variable's name, its default, what it is for."""

    name: str
    default: str
    help: str


SETTINGS = (
    Setting(
        "STRINGLINE_DATA_FOLDER", "site-data", "Folder for the database, the secret and the signing key."
    ),
    Setting(
        "DATABASE_URL",
        "",
        "Where records are kept: sqlite:///FILE or postgresql+psycopg://…; empty means a SQLite file "
        "in the data folder.",
    ),
    Setting(
        "STRINGLINE_SECRET_FILE",
        "",
        "File with the secret (64 hex digits); empty means `secret` in the data folder.",
    ),
    Setting(
        "STRINGLINE_SIGNING_KEY_FILE",
        "",
        "File with the key that signs certificates (64 hex digits); empty means `signing-key` in the data folder.",
    ),
    Setting(
        "STRINGLINE_ADDRESS",
        "",
        "The address that people reach it by, such as `https://wash.example`; certificates name it for their "
        "status lists.",
    ),
    Setting("STRINGLINE_HOST", "127.0.0.1", "Address to listen on."),
    Setting("STRINGLINE_PORT", "8020", "Port to listen on, 1 to 65535."),
    Setting(
        "STRINGLINE_HTTPS", "no", "`yes` when people reach it by https: cookies then travel by https alone."
    ),
    Setting(
        "STRINGLINE_PROXIES", "0", "How many trusted proxies stand in front and name the caller's address."
    ),
)


@dataclass(frozen=True)
class Config:
    """Everything an installation is told from outside."""

    data_folder: Path
    database_url: str
    secret: bytes
    signing_key: bytes
    host: str
    port: int
    https: bool
    proxies: int
    address: str = ""

    def key_for(self, purpose: str) -> bytes:
        """A key of its own for each purpose: whoever learns one learns neither the secret nor another.

        HMAC-SHA256 as a pseudo-random function of the secret.
        """
        return hmac.new(self.secret, f"stringline {purpose}".encode(), hashlib.sha256).digest()


def read_settings(environ: Mapping[str, str]) -> dict[str, str]:
    """Each setting's text, from the environment or the default; an unknown STRINGLINE_ name is an error."""
    known = {setting.name for setting in SETTINGS}
    for name in sorted(environ):
        if name.startswith("STRINGLINE_") and name not in known:
            raise ConfigError(name, "there is no such setting.", f"Known are: {', '.join(sorted(known))}.")
    return {setting.name: environ.get(setting.name) or setting.default for setting in SETTINGS}


def read_config(environ: Mapping[str, str]) -> Config:
    """The settings as values. Raises ConfigError with the name and the mend."""
    texts = read_settings(environ)
    return Config(
        data_folder=Path(texts["STRINGLINE_DATA_FOLDER"]),
        database_url=database_address(texts),
        secret=_key_file("STRINGLINE_SECRET_FILE", texts, SECRET_FILE),
        signing_key=_key_file("STRINGLINE_SIGNING_KEY_FILE", texts, SIGNING_KEY_FILE),
        host=texts["STRINGLINE_HOST"],
        port=_whole("STRINGLINE_PORT", texts, 1, 65535),
        https=_yes("STRINGLINE_HTTPS", texts),
        proxies=_whole("STRINGLINE_PROXIES", texts, 0, 9),
        address=_address("STRINGLINE_ADDRESS", texts),
    )


def database_address(texts: Mapping[str, str]) -> str:
    """Where records are kept: as set, or a SQLite file in the data folder."""
    folder = Path(texts["STRINGLINE_DATA_FOLDER"])
    return texts["DATABASE_URL"] or f"sqlite:///{folder / 'stringline.sqlite3'}"


def key_path(texts: Mapping[str, str], name: str, usual: str) -> Path:
    """Where a key file stands: as set, or under its usual name in the data folder."""
    return Path(texts[name]) if texts[name] else Path(texts["STRINGLINE_DATA_FOLDER"]) / usual


def _key_file(name: str, texts: Mapping[str, str], usual: str) -> bytes:
    path = key_path(texts, name, usual)
    mend = "Run `stringline prepare` once to make it, and keep a copy of it apart from the database."
    try:
        key = bytes.fromhex(path.read_text("ascii").strip())
    except FileNotFoundError:
        raise ConfigError(name, f"there is no file {path}.", mend) from None
    except (OSError, ValueError) as error:
        raise ConfigError(name, f"{path} cannot be read as hex digits ({error}).", mend) from None
    if len(key) != SECRET_BYTES:
        raise ConfigError(name, f"{path} holds {len(key)} bytes, not {SECRET_BYTES}.", mend)
    return key


def _whole(name: str, texts: Mapping[str, str], low: int, high: int) -> int:
    text = texts[name]
    if not text.isascii() or not text.isdigit() or not low <= int(text) <= high:
        raise ConfigError(name, f"I read {text!r}.", f"It must be a whole number from {low} to {high}.")
    return int(text)


def _address(name: str, texts: Mapping[str, str]) -> str:
    text = texts[name].rstrip("/")
    read = urlsplit(text)
    if text and (read.scheme not in {"http", "https"} or not read.hostname or read.query or read.fragment):
        raise ConfigError(name, f"I read {text!r}.", "It must be an address such as https://wash.example.")
    if len(text) > LONGEST_ADDRESS:
        raise ConfigError(name, "it is too long.", f"It must have at most {LONGEST_ADDRESS} signs.")
    return text


def _yes(name: str, texts: Mapping[str, str]) -> bool:
    text = texts[name].lower()
    if text not in {"yes", "no"}:
        raise ConfigError(name, f"I read {text!r}.", "It must be `yes` or `no`.")
    return text == "yes"
